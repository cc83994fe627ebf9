//! What can stop her, as one list. Not for: how a limit is evaluated (see `prepared.rs`).

use crate::sheet::Word;

/// A thing that can keep her from going faster.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[repr(usize)]
pub enum Limit {
    /// The throttle is not fully open.
    Throttle,
    /// The motor asks for more volts than the loaded bank and the controller can give.
    BankVolts,
    /// The controller's limit on current from the bank.
    BatteryAmps,
    /// The controller's limit on motor (phase) current.
    PhaseAmps,
    /// The controller's limit on power.
    Power,
    /// The most power that the motor may give at its shaft, for minutes.
    MotorPower,
    /// The packs' own protection on discharge.
    Bms,
    /// The low-voltage cut-off of packs or controller.
    LowVoltage,
    /// The winding's temperature when held for hours.
    MotorHeat,
    /// Blade loading beyond which cavitation takes thrust.
    Cavitation,
    /// Not a thing aboard: the published range of the resistance method ends.
    HullMethod,
}

/// Number of [`Limit`]s.
pub const LIMIT_COUNT: usize = 11;

impl Limit {
    /// All limits, in the order of their numbers.
    pub const ALL: [Self; LIMIT_COUNT] = [
        Self::Throttle,
        Self::BankVolts,
        Self::BatteryAmps,
        Self::PhaseAmps,
        Self::Power,
        Self::MotorPower,
        Self::Bms,
        Self::LowVoltage,
        Self::MotorHeat,
        Self::Cavitation,
        Self::HullMethod,
    ];

    /// Both its names.
    #[must_use]
    pub fn word(self) -> Word {
        Word { key: self.key(), words: self.words() }
    }

    /// Short stable name for files and fields.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            // The word in kept forecasts and in the JSON of all versions.
            Self::Throttle => "lever",
            Self::BankVolts => "bank_volts",
            Self::BatteryAmps => "battery_amps",
            Self::PhaseAmps => "phase_amps",
            Self::Power => "power",
            Self::MotorPower => "motor_power",
            Self::Bms => "bms",
            Self::LowVoltage => "low_voltage",
            Self::MotorHeat => "motor_heat",
            Self::Cavitation => "cavitation",
            Self::HullMethod => "hull_method",
        }
    }

    /// In words that can be the subject of a sentence ("… stops her").
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Throttle => "the throttle",
            Self::BankVolts => "the bank's voltage",
            Self::BatteryAmps => "the controller's limit on battery current",
            Self::PhaseAmps => "the controller's limit on phase current",
            Self::Power => "the controller's limit on power",
            Self::MotorPower => "the motor's peak power",
            Self::Bms => "the packs' own protection (BMS)",
            Self::LowVoltage => "the low-voltage cut-off",
            Self::MotorHeat => "the motor's heat",
            Self::Cavitation => "cavitation at the blades",
            Self::HullMethod => "the end of what is known of her drag",
        }
    }

    /// What would move this limit, in a few words.
    #[must_use]
    pub fn remedy(self) -> &'static str {
        match self {
            Self::Throttle => "open the throttle further",
            Self::BankVolts => "more pitch, less reduction or a higher bank voltage",
            Self::BatteryAmps => {
                "a controller or setting with more battery current, or a higher bank voltage"
            }
            Self::PhaseAmps => "less pitch, more reduction or a controller with more phase current",
            Self::Power => "a larger controller or a higher power setting, if the motor may take it",
            Self::MotorPower => "a larger motor; a controller set higher would overload this one",
            Self::Bms => "more packs in parallel or packs that may give more current",
            Self::LowVoltage => "a fuller or stiffer bank, heavier cable",
            Self::MotorHeat => "more cooling, more reduction or a larger motor",
            Self::Cavitation => "a larger blade area or diameter, slower turning",
            Self::HullMethod => "a towing test of this hull",
        }
    }

    /// True for limits that act at once; heat acts after minutes.
    #[must_use]
    pub fn acts_at_once(self) -> bool {
        self != Self::MotorHeat
    }
}

/// Share of each limit that a state uses: 1 is at the limit. Indexed by [`Limit`].
pub type Usage = [f64; LIMIT_COUNT];

/// The limit that is used most, of those for which `counts` is true, and its share.
#[must_use]
pub fn tightest(usage: &Usage, counts: impl Fn(Limit) -> bool) -> (Limit, f64) {
    let mut found = (Limit::Throttle, 0.0);
    for limit in Limit::ALL {
        let share = usage[limit as usize];
        if share > found.1 && counts(limit) {
            found = (limit, share);
        }
    }
    found
}
