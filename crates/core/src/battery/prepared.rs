//! The bank at one state of charge and temperature, ready for the hot loop: a voltage behind a
//! resistance, with limits. Not for: how it came to be (`bank`), time (`discharge`).

/// A bank as its terminals show it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PreparedBank {
    /// Voltage at rest \[V\].
    pub open_circuit_v: f64,
    /// Resistance of all packs together \[ohm\].
    pub packs_resistance_ohm: f64,
    /// Resistance of the cables from the packs to the controller \[ohm\].
    pub cable_resistance_ohm: f64,
    /// Bank current at which the first pack reaches the limit of its own management system \[A\];
    /// infinite when no pack has one, 0 when it is too cold or hot to discharge.
    pub discharge_limit_a: f64,
    /// The same for charging, or what cold cells may take where that is less \[A\]; 0 when charging is not
    /// allowed (cold, hot, full).
    pub charge_limit_a: f64,
    /// What the cells may take at this temperature \[A\]: infinite when the cold does not limit it.
    pub cold_charge_limit_a: f64,
    /// Pack voltage at which the first pack cuts out \[V\].
    pub low_voltage_v: f64,
    /// Highest pack voltage while charging \[V\].
    pub high_voltage_v: f64,
    /// Charge that can be taken from full to empty at this temperature and health \[C\].
    pub capacity_coulomb: f64,
    /// Discharge time to which the capacity refers \[s\].
    pub rating_s: f64,
    /// Peukert exponent, 1 for lithium.
    pub peukert_exponent: f64,
}

/// The bank under load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Terminal {
    /// Voltage at the controller \[V\].
    pub voltage_v: f64,
    /// Current out of the bank, negative into it \[A\].
    pub current_a: f64,
}

/// Which limit of the bank binds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BankLimit {
    /// The management system of the first pack: current.
    Current,
    /// The low-voltage cut-out of the first pack.
    LowVoltage,
    /// Half of the rest voltage is lost in the bank; more current gives less power.
    Resistance,
    /// The high voltage limit while charging.
    HighVoltage,
}

/// The most that the bank gives (or takes) at once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BankCeiling {
    /// Power at the controller \[W\], negative when charging.
    pub power_w: f64,
    /// Current there \[A\], negative when charging.
    pub current_a: f64,
    /// What stops it.
    pub bound_by: BankLimit,
}

impl PreparedBank {
    /// Packs and cables \[ohm\].
    #[must_use]
    pub fn resistance_ohm(&self) -> f64 {
        self.packs_resistance_ohm + self.cable_resistance_ohm
    }

    /// Voltage at the controller at a current \[V\].
    #[must_use]
    pub fn voltage_at_v(&self, current_a: f64) -> f64 {
        self.open_circuit_v - current_a * self.resistance_ohm()
    }

    /// Voltage at the packs, before the cables, at a current \[V\]: what their management systems see.
    #[must_use]
    pub fn pack_voltage_at_v(&self, current_a: f64) -> f64 {
        self.open_circuit_v - current_a * self.packs_resistance_ohm
    }

    /// Voltage and current when the controller takes `power_w` (negative: gives); `None` when the
    /// bank can't give it at any current. Its limits are not applied.
    ///
    /// `V² - E V + P R = 0`, the root near `E`.
    /// # Source
    /// Textbook: a voltage behind a resistance loaded with constant power.
    /// # Example
    /// By hand: 52 V behind 0.1 Ω are 50 V at 20 A, that is 1000 W; more than 52² / 0.4 = 6760 W never come out.
    /// ```
    /// # use wakewright_core::battery::{Bank, Chemistry, PackGroup, PreparedBank};
    /// let pack = PackGroup::new(Chemistry::Lfp, 16, 360_000.0, 1);
    /// let usual = Bank::of(pack, 0.5).prepare().unwrap();
    /// let bank = PreparedBank { open_circuit_v: 52.0, packs_resistance_ohm: 0.1, ..usual };
    /// let terminal = bank.terminal(1000.0).unwrap();
    /// assert!((terminal.voltage_v - 50.0).abs() < 1e-9 && (terminal.current_a - 20.0).abs() < 1e-9);
    /// assert_eq!(bank.terminal(6761.0), None);
    /// ```
    #[must_use]
    pub fn terminal(&self, power_w: f64) -> Option<Terminal> {
        let half = 0.5 * self.open_circuit_v;
        let under_root = half * half - power_w * self.resistance_ohm();
        if under_root < 0.0 {
            return None;
        }
        let voltage_v = half + under_root.sqrt();
        Some(Terminal { voltage_v, current_a: power_w / voltage_v })
    }

    /// The most power that the bank gives, and what stops it.
    #[must_use]
    pub fn ceiling(&self) -> BankCeiling {
        let at_low_voltage =
            ((self.open_circuit_v - self.low_voltage_v) / self.packs_resistance_ohm).max(0.0);
        let at_half = 0.5 * self.open_circuit_v / self.resistance_ohm();
        let (current_a, bound_by) = [
            (self.discharge_limit_a, BankLimit::Current),
            (at_low_voltage, BankLimit::LowVoltage),
            (at_half, BankLimit::Resistance),
        ]
        .into_iter()
        .fold((f64::INFINITY, BankLimit::Resistance), |best, next| if next.0 < best.0 { next } else { best });
        BankCeiling { power_w: current_a * self.voltage_at_v(current_a), current_a, bound_by }
    }

    /// The most power that the bank takes (regeneration, charging), and what stops it. Power and
    /// current are negative or 0.
    #[must_use]
    pub fn charge_ceiling(&self) -> BankCeiling {
        let at_high_voltage =
            ((self.high_voltage_v - self.open_circuit_v) / self.packs_resistance_ohm).max(0.0);
        let (current_a, bound_by) = if self.charge_limit_a <= at_high_voltage {
            (-self.charge_limit_a, BankLimit::Current)
        } else {
            (-at_high_voltage, BankLimit::HighVoltage)
        };
        BankCeiling { power_w: current_a * self.voltage_at_v(current_a), current_a, bound_by }
    }
}
