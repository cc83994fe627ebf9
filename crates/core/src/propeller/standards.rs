//! Tables of standards for making and fitting propellers: ISO 484-2 classes, SAE J755 tapers.
//! Not for: the current text of the standards, to which these excerpts defer.

use wakewright_units::factors::INCH_M;

/// Accuracy class of ISO 484-2.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AccuracyClass {
    /// Very high accuracy.
    S,
    /// High.
    I,
    /// Medium.
    II,
    /// Wide tolerances.
    III,
}

/// A tolerance in percent that is never less than a length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PercentOrLength {
    /// Percent of the nominal value.
    pub percent: f64,
    /// But at least this \[m\].
    pub at_least_m: f64,
}

/// Tolerances of one class.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClassTolerances {
    /// Local pitch ± percent; not measured in class III.
    pub local_pitch_percent: Option<f64>,
    /// Mean pitch of one radius of one blade, ± percent.
    pub radius_pitch_percent: f64,
    /// Mean pitch of one blade, ± percent.
    pub blade_pitch_percent: f64,
    /// Mean pitch of the propeller, ± percent.
    pub propeller_pitch_percent: f64,
    /// Angle between blades, ± degrees.
    pub blade_spacing_deg: f64,
    /// Thickness above nominal.
    pub thickness_plus: PercentOrLength,
    /// Thickness below nominal.
    pub thickness_minus: PercentOrLength,
    /// Rake, ± percent of the diameter.
    pub rake_percent_of_diameter: f64,
    /// Section length.
    pub section_length: PercentOrLength,
}

const fn part(percent: f64, at_least_mm: f64) -> PercentOrLength {
    PercentOrLength { percent, at_least_m: at_least_mm * 1e-3 }
}

impl AccuracyClass {
    /// All classes, finest first.
    pub const ALL: [Self; 4] = [Self::S, Self::I, Self::II, Self::III];

    /// Tolerances of the class.
    /// # Source
    /// \[iso484\] (ISO 484-2), two pages read that agree; least lengths of the section length in one.
    /// # Valid for
    /// Diameters 0.80 to 2.50 m; used for smaller ones by convention.
    /// # Example
    /// The printed table: the mean pitch of a propeller of class I to 0.75 %.
    /// ```
    /// # use wakewright_core::propeller::standards::AccuracyClass;
    /// assert_eq!(AccuracyClass::I.tolerances().propeller_pitch_percent, 0.75);
    /// ```
    #[must_use]
    pub const fn tolerances(self) -> ClassTolerances {
        match self {
            Self::S => ClassTolerances {
                local_pitch_percent: Some(1.5),
                radius_pitch_percent: 1.0,
                blade_pitch_percent: 0.75,
                propeller_pitch_percent: 0.5,
                blade_spacing_deg: 1.0,
                thickness_plus: part(2.0, 2.0),
                thickness_minus: part(1.0, 1.0),
                rake_percent_of_diameter: 0.5,
                section_length: part(1.5, 7.0),
            },
            Self::I => ClassTolerances {
                local_pitch_percent: Some(2.0),
                radius_pitch_percent: 1.5,
                blade_pitch_percent: 1.0,
                propeller_pitch_percent: 0.75,
                blade_spacing_deg: 1.0,
                thickness_plus: part(2.5, 2.5),
                thickness_minus: part(1.5, 1.5),
                rake_percent_of_diameter: 1.0,
                section_length: part(2.0, 10.0),
            },
            Self::II => ClassTolerances {
                local_pitch_percent: Some(3.0),
                radius_pitch_percent: 2.0,
                blade_pitch_percent: 1.5,
                propeller_pitch_percent: 1.0,
                blade_spacing_deg: 2.0,
                thickness_plus: part(4.0, 4.0),
                thickness_minus: part(2.0, 2.0),
                rake_percent_of_diameter: 1.5,
                section_length: part(3.0, 13.0),
            },
            Self::III => ClassTolerances {
                local_pitch_percent: None,
                radius_pitch_percent: 5.0,
                blade_pitch_percent: 4.0,
                propeller_pitch_percent: 3.0,
                blade_spacing_deg: 2.0,
                thickness_plus: part(6.0, 6.0),
                thickness_minus: part(4.0, 4.0),
                rake_percent_of_diameter: 3.0,
                section_length: part(5.0, 15.0),
            },
        }
    }

    /// Greatest imbalance, as mass at the blade tip \[kg\]: `min(C M / (R N²), K M)`.
    /// # Source
    /// ISO 484-2, constants from memory: C 15, 25, 40, 75 and K 0.0005, 0.001, 0.001, 0.001 with M in kg,
    /// R in m and N in revolutions per minute.
    /// # Arguments
    /// `mass_kg` M of the propeller, `radius_m` R, `revs_per_s` at full speed.
    /// # Example
    /// By hand, class II: 40 x 10 kg / (0.2 m x 1000² 1/min²) = 2 g.
    /// ```
    /// # use wakewright_core::propeller::standards::AccuracyClass;
    /// let found_kg = AccuracyClass::II.greatest_imbalance_kg(10.0, 0.2, 1000.0 / 60.0);
    /// assert!((found_kg - 0.002).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn greatest_imbalance_kg(self, mass_kg: f64, radius_m: f64, revs_per_s: f64) -> f64 {
        let (c, k) = match self {
            Self::S => (15.0, 0.000_5),
            Self::I => (25.0, 0.001),
            Self::II => (40.0, 0.001),
            Self::III => (75.0, 0.001),
        };
        let per_minute = 60.0 * revs_per_s;
        (c * mass_kg / (radius_m * per_minute * per_minute)).min(k * mass_kg)
    }
}

/// Shaft end and propeller bore by SAE J755, taper 1 in 16 on the diameter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShaftTaper {
    /// Shaft diameter \[m\].
    pub shaft_diameter_m: f64,
    /// Small end of the shaft's taper \[m\].
    pub small_end_m: f64,
    /// Length of the taper \[m\].
    pub taper_length_m: f64,
    /// Small end of the propeller's bore \[m\].
    pub bore_small_end_m: f64,
    /// Width of the keyway \[m\].
    pub keyway_width_m: f64,
    /// Thread of the shaft end, diameter in inches and threads per inch.
    pub thread: &'static str,
}

const fn taper(d: f64, small: f64, length: f64, bore: f64, key: f64, thread: &'static str) -> ShaftTaper {
    ShaftTaper {
        shaft_diameter_m: d * INCH_M,
        small_end_m: small * INCH_M,
        taper_length_m: length * INCH_M,
        bore_small_end_m: bore * INCH_M,
        keyway_width_m: key * INCH_M,
        thread,
    }
}

/// Tapers for shafts of 3/4 to 3 in.
///
/// Source: \[saej755\], two tables read; fractions of some threads from memory. Measure before ordering.
pub const SHAFT_TAPERS: [ShaftTaper; 13] = [
    taper(0.75, 0.625, 2.0, 0.609, 0.1875, "1/2-13"),
    taper(0.875, 0.727, 2.375, 0.711, 0.25, "5/8-11"),
    taper(1.0, 0.828, 2.75, 0.813, 0.25, "3/4-10"),
    taper(1.125, 0.93, 3.125, 0.914, 0.25, "3/4-10"),
    taper(1.25, 1.031, 3.5, 1.016, 0.3125, "7/8-9"),
    taper(1.375, 1.133, 3.875, 1.117, 0.3125, "1-8"),
    taper(1.5, 1.234, 4.25, 1.219, 0.375, "1 1/8-7"),
    taper(1.75, 1.438, 5.0, 1.422, 0.4375, "1 1/4-7"),
    taper(2.0, 1.641, 5.75, 1.625, 0.5, "1 1/2-6"),
    taper(2.25, 1.844, 6.5, 1.828, 0.5625, "1 3/4-5"),
    taper(2.5, 2.047, 7.25, 2.031, 0.625, "1 3/4-5"),
    taper(2.75, 2.258, 7.875, 2.234, 0.625, "2-4.5"),
    taper(3.0, 2.461, 8.625, 2.438, 0.75, "2 1/4-4.5"),
];

/// The taper for a shaft diameter, if the table has that diameter within 0.5 mm.
#[must_use]
pub fn shaft_taper(shaft_diameter_m: f64) -> Option<&'static ShaftTaper> {
    SHAFT_TAPERS.iter().find(|row| (row.shaft_diameter_m - shaft_diameter_m).abs() <= 0.000_5)
}
