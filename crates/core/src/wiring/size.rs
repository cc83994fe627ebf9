//! Stock sizes of copper conductors: what each carries and how much it resists.
//! Not for: how a run is laid and bundled (`conductor`).

use std::f64::consts::PI;

/// Rated temperatures of insulation, in the order of the columns of `AMPACITY`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Insulation {
    /// 60 °C.
    C60,
    /// 75 °C.
    C75,
    /// 80 °C.
    C80,
    /// 90 °C.
    C90,
    /// 105 °C.
    C105,
    /// 125 °C.
    C125,
    /// 200 °C.
    C200,
}

impl Insulation {
    /// All of them.
    pub const ALL: [Self; 7] =
        [Self::C60, Self::C75, Self::C80, Self::C90, Self::C105, Self::C125, Self::C200];

    /// Rated temperature \[°C\].
    #[must_use]
    pub fn rated_c(self) -> f64 {
        [60.0, 75.0, 80.0, 90.0, 105.0, 125.0, 200.0][self as usize]
    }

    /// What is left of the amperes in an engine space of 50 °C. Source: \[cfr183-425\], the factors as its note 1 has
    /// them from memory; 60, 75 and 90 °C agree with a second table.
    #[must_use]
    pub fn engine_space_factor(self) -> f64 {
        [0.58, 0.75, 0.78, 0.82, 0.85, 0.89, 1.00][self as usize]
    }
}

/// How the wires of a conductor are drawn and coated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Strand {
    /// Fine wires, plain (class 5 and 6).
    FlexiblePlain,
    /// Fine wires, tinned.
    FlexibleTinned,
    /// Coarse wires, plain (class 2).
    StiffPlain,
    /// Coarse wires, tinned.
    StiffTinned,
}

impl Strand {
    /// All of them, in the order of the columns of `RESISTANCE`.
    pub const ALL: [Self; 4] =
        [Self::FlexiblePlain, Self::FlexibleTinned, Self::StiffPlain, Self::StiffTinned];
}

/// Gauge number (0 for 1/0, -1 for 2/0 and so on), area \[mm²\] and amperes in air of 30 °C, not more than two conductors
/// together, by insulation. Source: \[cfr183-425\] Table 5.
const AMPACITY: [(i32, f64, [f64; 7]); 15] = [
    (18, 0.823, [10.0, 10.0, 15.0, 20.0, 20.0, 25.0, 25.0]),
    (16, 1.309, [15.0, 15.0, 20.0, 25.0, 25.0, 30.0, 35.0]),
    (14, 2.081, [20.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0]),
    (12, 3.309, [25.0, 25.0, 35.0, 40.0, 45.0, 50.0, 55.0]),
    (10, 5.261, [40.0, 40.0, 50.0, 55.0, 60.0, 70.0, 70.0]),
    (8, 8.366, [55.0, 65.0, 70.0, 70.0, 80.0, 90.0, 100.0]),
    (6, 13.302, [80.0, 95.0, 100.0, 100.0, 120.0, 125.0, 135.0]),
    (4, 21.151, [105.0, 125.0, 130.0, 135.0, 160.0, 170.0, 180.0]),
    (3, 26.670, [120.0, 145.0, 150.0, 155.0, 180.0, 195.0, 210.0]),
    (2, 33.631, [140.0, 170.0, 175.0, 180.0, 210.0, 225.0, 240.0]),
    (1, 42.408, [165.0, 195.0, 210.0, 210.0, 245.0, 265.0, 280.0]),
    (0, 53.475, [195.0, 230.0, 245.0, 245.0, 285.0, 305.0, 325.0]),
    (-1, 67.431, [225.0, 265.0, 285.0, 285.0, 330.0, 355.0, 370.0]),
    (-2, 85.029, [260.0, 310.0, 330.0, 330.0, 385.0, 410.0, 430.0]),
    (-3, 107.219, [300.0, 360.0, 385.0, 385.0, 445.0, 475.0, 510.0]),
];

/// Area \[mm²\] and greatest resistance at 20 °C \[ohm/km\]: flexible plain and tinned, stiff plain and tinned. Source:
/// \[iec60228-2004\] as three cable tables agree on; tinned stiff from 240 mm² on is not printed, and stands for plain.
const RESISTANCE: [(f64, [f64; 4]); 22] = [
    (0.5, [39.0, 40.1, 36.0, 36.7]),
    (0.75, [26.0, 26.7, 24.5, 24.8]),
    (1.0, [19.5, 20.0, 18.1, 18.2]),
    (1.5, [13.3, 13.7, 12.1, 12.2]),
    (2.5, [7.98, 8.21, 7.41, 7.56]),
    (4.0, [4.95, 5.09, 4.61, 4.70]),
    (6.0, [3.30, 3.39, 3.08, 3.11]),
    (10.0, [1.91, 1.95, 1.83, 1.84]),
    (16.0, [1.21, 1.24, 1.15, 1.16]),
    (25.0, [0.780, 0.795, 0.727, 0.734]),
    (35.0, [0.554, 0.565, 0.524, 0.529]),
    (50.0, [0.386, 0.393, 0.387, 0.391]),
    (70.0, [0.272, 0.277, 0.268, 0.270]),
    (95.0, [0.206, 0.210, 0.193, 0.195]),
    (120.0, [0.161, 0.164, 0.153, 0.154]),
    (150.0, [0.129, 0.132, 0.124, 0.126]),
    (185.0, [0.106, 0.108, 0.0991, 0.100]),
    (240.0, [0.0801, 0.0817, 0.0754, 0.0754]),
    (300.0, [0.0641, 0.0654, 0.0601, 0.0601]),
    (400.0, [0.0486, 0.0495, 0.0470, 0.0470]),
    (500.0, [0.0384, 0.0391, 0.0366, 0.0366]),
    (630.0, [0.0287, 0.0292, 0.0283, 0.0283]),
];

/// Resistivity of annealed copper at 20 °C \[ohm mm²/km\]. Source: \[iacs1914\].
const COPPER_OHM_MM2_KM: f64 = 17.241;

/// A stock size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Size {
    /// Of the metric row, by its place.
    Metric(usize),
    /// Of the American gauge, by its place.
    Gauge(usize),
}

impl Size {
    /// Every stock size, metric first, each row rising.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..RESISTANCE.len()).map(Self::Metric).chain((0..AMPACITY.len()).map(Self::Gauge))
    }

    /// Reads `35 mm2`, `2/0 AWG`, `AWG 4`; `None` for anything that is no stock size.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim().to_lowercase().replace('²', "2");
        if let Some(number) = text.strip_suffix("mm2") {
            let area: f64 = number.trim().replace(',', ".").parse().ok()?;
            return RESISTANCE.iter().position(|row| (row.0 - area).abs() < 1e-9).map(Self::Metric);
        }
        let number = text.strip_prefix("awg").or_else(|| text.strip_suffix("awg"))?.trim();
        let gauge = match number.split_once('/') {
            Some((noughts, "0")) => 1 - noughts.parse::<i32>().ok()?,
            _ => number.parse().ok()?,
        };
        AMPACITY.iter().position(|row| row.0 == gauge).map(Self::Gauge)
    }

    /// As it is written: `35 mm2`, `2/0 AWG`.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Metric(place) => format!("{} mm2", RESISTANCE[place].0),
            Self::Gauge(place) => match AMPACITY[place].0 {
                gauge if gauge > 0 => format!("{gauge} AWG"),
                gauge => format!("{}/0 AWG", 1 - gauge),
            },
        }
    }

    /// Cross-section of its copper \[mm²\].
    #[must_use]
    pub fn area_mm2(self) -> f64 {
        match self {
            Self::Metric(place) => RESISTANCE[place].0,
            Self::Gauge(place) => AMPACITY[place].1,
        }
    }

    /// What one carries in air of 30 °C, alone or two together \[A\]; a metric size as the next smaller gauge. `None`
    /// beyond the table.
    /// # Source
    /// \[cfr183-425\] Table 5: US law written for boats with petrol engines, a yardstick here. There is no open table of
    /// the European standard's figures.
    /// # Valid for
    /// Stranded copper of 18 AWG to 4/0; metric 1 to 120 mm².
    /// # Accuracy
    /// Printed in steps of 5 A.
    /// # Example
    /// 105 °C, 2/0 AWG: 330 A; 70 mm² as 2/0.
    /// ```
    /// # use wakewright_core::wiring::{Insulation, Size};
    /// let size = Size::parse("2/0 AWG").unwrap();
    /// assert_eq!(size.ampacity_a(Insulation::C105), Some(330.0));
    /// assert_eq!(Size::parse("70 mm2").unwrap().ampacity_a(Insulation::C105), Some(330.0));
    /// ```
    #[must_use]
    pub fn ampacity_a(self, insulation: Insulation) -> Option<f64> {
        /// Above this the table has ended and a larger size would be taken for far too little \[mm²\].
        const LARGEST_MM2: f64 = 120.0;
        let row = match self {
            Self::Gauge(place) => &AMPACITY[place],
            Self::Metric(_) if self.area_mm2() > LARGEST_MM2 => return None,
            Self::Metric(_) => AMPACITY.iter().rfind(|row| row.1 <= self.area_mm2())?,
        };
        Some(row.2[insulation as usize])
    }

    /// Greatest resistance of one at 20 °C \[ohm/m\].
    /// # Source
    /// Metric: \[iec60228-2004\]. Gauge: the diameter 0.127 mm x 92^((36 - n)/39) \[astmb258\] from memory, copper of
    /// 17.241 ohm mm²/km, no allowance for stranding.
    /// # Valid for
    /// 0.5 to 630 mm², 18 AWG to 4/0.
    /// # Accuracy
    /// Greatest for metric; for gauges the least, some 2 % below a tinned strand.
    /// # Example
    /// 35 mm², tinned and flexible: 0.565 ohm/km.
    /// ```
    /// # use wakewright_core::wiring::{Size, Strand};
    /// let size = Size::parse("35 mm2").unwrap();
    /// assert!((size.resistance_ohm_m(Strand::FlexibleTinned) - 0.565e-3).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn resistance_ohm_m(self, strand: Strand) -> f64 {
        match self {
            Self::Metric(place) => RESISTANCE[place].1[strand as usize] * 1e-3,
            Self::Gauge(place) => {
                let diameter_mm = 0.127 * 92_f64.powf(f64::from(36 - AMPACITY[place].0) / 39.0);
                COPPER_OHM_MM2_KM / (0.25 * PI * diameter_mm * diameter_mm) * 1e-3
            }
        }
    }
}
