//! One kind of pack and how many of it stand in parallel.
//! Not for: the bank of several kinds (`bank`).

use super::chemistry::Chemistry;
use super::{BankError, INSTANT_SHARE, TOUCH_LIMIT_V, positive, within};
use crate::spread::{Interval, Spread};

/// Equal packs in parallel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PackGroup {
    /// Chemistry of the cells.
    pub chemistry: Chemistry,
    /// Cells in series in each pack (a 12 V lead block has 6).
    pub cells_in_series: u32,
    /// Number of such packs, side by side.
    pub packs_in_parallel: u32,
    /// Rated capacity of one pack \[C\].
    pub capacity_coulomb: f64,
    /// Resistance of one pack, well charged at 25 °C, after minutes of load \[ohm\].
    pub resistance_ohm: Option<f64>,
    /// The same in the first instant, as a short circuit meets it, where its sheet tells it \[ohm\].
    pub instant_ohm: Option<f64>,
    /// Capacity left over rated capacity.
    pub health: f64,
    /// Discharge current at which its battery management system cuts out \[A\].
    pub bms_discharge_a: Option<f64>,
    /// Charge current at which it cuts out \[A\].
    pub bms_charge_a: Option<f64>,
    /// Pack voltage at which it cuts out \[V\]; the chemistry's lowest when not given.
    pub low_voltage_v: Option<f64>,
}

impl PackGroup {
    /// New packs with nothing known but chemistry, cells, capacity and number.
    #[must_use]
    pub fn new(
        chemistry: Chemistry,
        cells_in_series: u32,
        capacity_coulomb: f64,
        packs_in_parallel: u32,
    ) -> Self {
        Self {
            chemistry,
            cells_in_series,
            packs_in_parallel,
            capacity_coulomb,
            resistance_ohm: None,
            instant_ohm: None,
            health: 1.0,
            bms_discharge_a: None,
            bms_charge_a: None,
            low_voltage_v: None,
        }
    }

    /// Volts at rest at `state_of_charge` \[V\].
    #[must_use]
    pub fn rest_v(&self, state_of_charge: f64) -> f64 {
        f64::from(self.cells_in_series) * self.chemistry.open_circuit_v(state_of_charge)
    }

    /// Resistance of one pack, well charged at 25 °C \[ohm\]: as stated, or estimated from
    /// [`Chemistry::one_hour_drop_v`] and what capacity is left.
    #[must_use]
    pub fn reference_resistance_ohm(&self) -> f64 {
        self.resistance_ohm.unwrap_or_else(|| {
            self.chemistry.one_hour_drop_v() * 3600.0 * f64::from(self.cells_in_series)
                / (self.capacity_coulomb * self.health)
        })
    }

    /// What one pack, full and warm, sets against a short circuit \[ohm\]: that of the first instant as its sheet tells it, within a
    /// tenth (common practice, no source); else the share of that under load which its chemistry shows then, of which the greatest
    /// is the whole. `under_load` is the band of the resistance under load.
    /// # Example
    /// By hand: a sheet's 11 mohm are 10.0 to 12.1, a tenth as a factor; of 24 mohm under load lithium shows half at first, at the most all of it.
    /// ```
    /// # use wakewright_core::battery::{Chemistry, PackGroup};
    /// let pack = PackGroup { resistance_ohm: Some(0.024), ..PackGroup::new(Chemistry::Lfp, 24, 378_000.0, 1) };
    /// let sheet = PackGroup { instant_ohm: Some(0.011), ..pack }.fault_ohm(None);
    /// assert!((sheet.p10 - 0.010).abs() < 1e-9 && (sheet.p90 - 0.0121).abs() < 1e-9);
    /// let guessed = pack.fault_ohm(None);
    /// assert!((guessed.value - 0.012).abs() < 1e-9 && (guessed.p90 - 0.024).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn fault_ohm(&self, under_load: Option<Spread>) -> Interval {
        let spread = match self.instant_ohm {
            Some(_) => Spread::relative(1.0, 0.1),
            None => under_load.unwrap_or_else(|| Spread::exact(1.0)),
        };
        let usual = self.instant_ohm.unwrap_or_else(|| self.reference_resistance_ohm());
        let share = if self.instant_ohm.is_some() || self.chemistry.is_lead() { 1.0 } else { INSTANT_SHARE };
        Interval {
            value: usual * share,
            p10: usual * share * spread.p10 / spread.median,
            p90: usual * spread.p90 / spread.median,
        }
    }

    /// Capacity of the whole group at 25 °C, as aged \[C\].
    #[must_use]
    pub fn aged_capacity_coulomb(&self) -> f64 {
        self.capacity_coulomb * self.health * f64::from(self.packs_in_parallel)
    }

    /// Name-plate voltage \[V\].
    #[must_use]
    pub fn nominal_voltage_v(&self) -> f64 {
        f64::from(self.cells_in_series) * self.chemistry.window().nominal_v
    }

    /// Lowest and highest voltage in service \[V\].
    #[must_use]
    pub fn voltage_window_v(&self) -> (f64, f64) {
        let window = self.chemistry.window();
        let cells = f64::from(self.cells_in_series);
        (cells * window.lowest_v, cells * window.highest_v)
    }

    /// Highest voltage that charging brings, equalising of vented lead included \[V\].
    #[must_use]
    pub fn highest_charging_v(&self) -> f64 {
        f64::from(self.cells_in_series) * self.chemistry.window().equalising_v
    }

    /// True when charging brings the pack above [`TOUCH_LIMIT_V`].
    #[must_use]
    pub fn exceeds_touch_limit(&self) -> bool {
        self.highest_charging_v() > TOUCH_LIMIT_V
    }

    /// Pack voltage at which it cuts out \[V\].
    #[must_use]
    pub fn cut_out_v(&self) -> f64 {
        self.low_voltage_v.unwrap_or_else(|| self.voltage_window_v().0)
    }

    /// Most current into a pack \[A\]: as stated, else half of the current that would fill it in an hour, for lead a
    /// fifth. Common practice, no source: what sheets of such packs mostly allow.
    #[must_use]
    pub fn charge_limit_a(&self) -> f64 {
        let rate_1_h = if self.chemistry.is_lead() { 0.2 } else { 0.5 };
        self.bms_charge_a.unwrap_or(rate_1_h * self.capacity_coulomb / 3600.0)
    }

    /// That every figure can be.
    pub(crate) fn check(&self) -> Result<(), BankError> {
        if self.packs_in_parallel == 0 || self.cells_in_series == 0 {
            return Err(BankError::Empty);
        }
        positive("pack capacity", self.capacity_coulomb)?;
        within("state of health", self.health, (0.05, 1.5), "")?;
        for (quantity, value) in [
            ("pack resistance", self.resistance_ohm),
            ("discharge limit of the battery management system", self.bms_discharge_a),
            ("charge limit of the battery management system", self.bms_charge_a),
            ("low-voltage cut-out", self.low_voltage_v),
        ] {
            value.map_or(Ok(0.0), |value| positive(quantity, value))?;
        }
        Ok(())
    }
}

/// What a voltage written down for a pack says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StatedVoltage {
    /// Close to the name-plate voltage.
    Nominal,
    /// Not the name-plate voltage, but one that the pack has in service.
    InWindow,
    /// A pack of this chemistry and cell count never has it.
    Impossible {
        /// Lowest in service \[V\].
        lowest_v: f64,
        /// Highest in service \[V\].
        highest_v: f64,
        /// Cells in series that would have this name-plate voltage.
        likely_cells: u32,
    },
}

/// Holds a stated pack voltage against chemistry and cell count.
///
/// Nominal means within 6.5 % of the name-plate voltage, so that "12 V" and "12.8 V", "48 V" and
/// "51.2 V" of iron phosphate both pass for what they are called.
/// # Example
/// By hand: 16 cells of 3.2 V are 51.2 V; 36 V would be 11 of them.
/// ```
/// # use wakewright_core::battery::{Chemistry, StatedVoltage, check_stated_voltage};
/// assert_eq!(check_stated_voltage(Chemistry::Lfp, 16, 48.0), StatedVoltage::Nominal);
/// let found = check_stated_voltage(Chemistry::Lfp, 16, 36.0);
/// assert!(matches!(found, StatedVoltage::Impossible { likely_cells: 11, .. }));
/// ```
#[must_use]
pub fn check_stated_voltage(chemistry: Chemistry, cells_in_series: u32, stated_v: f64) -> StatedVoltage {
    let pack = PackGroup::new(chemistry, cells_in_series, 1.0, 1);
    let nominal_v = pack.nominal_voltage_v();
    let (lowest_v, highest_v) = pack.voltage_window_v();
    if (stated_v - nominal_v).abs() <= 0.065 * nominal_v {
        StatedVoltage::Nominal
    } else if stated_v >= lowest_v && stated_v <= highest_v {
        StatedVoltage::InWindow
    } else {
        StatedVoltage::Impossible { lowest_v, highest_v, likely_cells: likely_cells(chemistry, stated_v) }
    }
}

/// Cells in series that a pack of this name-plate voltage has, at least 1.
#[must_use]
pub fn likely_cells(chemistry: Chemistry, nominal_v: f64) -> u32 {
    // Float to integer saturates: nonsense gives 1 or a huge count, never undefined behaviour.
    ((nominal_v / chemistry.window().nominal_v).round() as u32).max(1)
}
