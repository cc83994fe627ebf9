//! What a candidate must keep to, which of it refuses how many, and by how little.
//! Not for: evaluating a candidate (`run`).

/// Why a candidate is refused, in the order in which it is asked: a candidate counts for the first
/// that it violates.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[repr(usize)]
pub enum Cause {
    /// The blades come nearer to hull or aperture than a tenth of the diameter.
    Clearance,
    /// The fastest cruising speed lies beyond the hull method, or the propeller cannot give the thrust.
    Thrust,
    /// Cavitation at the fastest cruising speed.
    Cavitation,
    /// The bank is above the touch limit when full.
    Touch,
    /// The motor turns faster than makers allow.
    MotorSpeed,
    /// Phase current at the fastest cruising speed.
    PhaseAmps,
    /// The winding, when that speed is held for hours.
    MotorHeat,
    /// The motor's short-time power or the controller's power limit.
    Power,
    /// The bank's voltage under load.
    BankVolts,
    /// The controller's battery current.
    BatteryAmps,
    /// The packs' own protection.
    Bms,
    /// A low-voltage cut-off, or more than the bank can give.
    LowVoltage,
    /// Motor and packs together are too heavy.
    Mass,
    /// It costs more than the budget.
    Budget,
}

/// Number of [`Cause`]s.
pub const CAUSE_COUNT: usize = 14;

impl Cause {
    /// All causes in order.
    pub const ALL: [Self; CAUSE_COUNT] = [
        Self::Clearance,
        Self::Thrust,
        Self::Cavitation,
        Self::Touch,
        Self::MotorSpeed,
        Self::PhaseAmps,
        Self::MotorHeat,
        Self::Power,
        Self::BankVolts,
        Self::BatteryAmps,
        Self::Bms,
        Self::LowVoltage,
        Self::Mass,
        Self::Budget,
    ];

    /// Short stable name for files.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Clearance => "clearance",
            Self::Thrust => "thrust",
            Self::Cavitation => "cavitation",
            Self::Touch => "touch_voltage",
            Self::MotorSpeed => "motor_speed",
            Self::PhaseAmps => "phase_amps",
            Self::MotorHeat => "motor_heat",
            Self::Power => "power",
            Self::BankVolts => "bank_volts",
            Self::BatteryAmps => "battery_amps",
            Self::Bms => "bms",
            Self::LowVoltage => "low_voltage",
            Self::Mass => "mass",
            Self::Budget => "budget",
        }
    }

    /// In words that can be the subject of a sentence.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Clearance => "the room for the propeller",
            Self::Thrust => "the thrust asked at the fastest cruising speed",
            Self::Cavitation => "cavitation at the fastest cruising speed",
            Self::Touch => "the touch limit of 60 V",
            Self::MotorSpeed => "the motor's own speed",
            Self::PhaseAmps => "the controller's phase current",
            Self::MotorHeat => "the motor's heat at cruise for hours",
            Self::Power => "the power limit of motor or controller",
            Self::BankVolts => "the bank's voltage",
            Self::BatteryAmps => "the controller's battery current",
            Self::Bms => "the packs' own protection (BMS)",
            Self::LowVoltage => "the low-voltage cut-off",
            Self::Mass => "the mass allowed",
            Self::Budget => "the budget",
        }
    }
}

/// What is demanded of every candidate besides the limits of its own parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Demands {
    /// Largest propeller that leaves a tenth of its diameter clear \[m\].
    pub largest_diameter_m: f64,
    /// Banks above the touch limit are tried as well.
    pub may_exceed_touch_limit: bool,
    /// Heaviest motor and packs together \[kg\].
    pub most_mass_kg: f64,
    /// Most that may be spent, in the currency of the prices.
    pub budget: f64,
}

/// How many candidates were refused by what.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tally {
    /// Candidates looked at.
    pub candidates: u64,
    /// Candidates within all limits.
    pub within: u64,
    /// Candidates refused, by the first cause that they violate.
    pub refused: [u64; CAUSE_COUNT],
}

impl Tally {
    pub(super) fn refuse(&mut self, cause: Cause, candidates: usize) {
        self.refused[cause as usize] += candidates as u64;
    }

    /// Adds the counts of another part of the space.
    pub fn merge(&mut self, other: &Self) {
        self.candidates += other.candidates;
        self.within += other.within;
        for (mine, theirs) in self.refused.iter_mut().zip(other.refused) {
            *mine += theirs;
        }
    }
}

/// Every cause by itself, for a search that found nothing: how many candidates violate it, how many
/// violate nothing else, and by how little.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Refusals {
    /// Candidates that violate the cause.
    pub violated: [u64; CAUSE_COUNT],
    /// Candidates that violate this cause alone.
    pub alone: [u64; CAUSE_COUNT],
    /// Of those, the smallest share of the limit (above 1) and the candidate that has it.
    pub nearest: [Option<(f64, usize)>; CAUSE_COUNT],
    /// The candidate whose worst share is the smallest, with that share and its cause.
    pub closest: Option<(f64, usize, Cause)>,
}

impl Default for Refusals {
    fn default() -> Self {
        Self {
            violated: [0; CAUSE_COUNT],
            alone: [0; CAUSE_COUNT],
            nearest: [None; CAUSE_COUNT],
            closest: None,
        }
    }
}

impl Refusals {
    /// Counts a candidate with these shares of its limits.
    pub(super) fn add(&mut self, shares: &[f64; CAUSE_COUNT], index: usize) {
        let mut last = None;
        let mut count = 0;
        for cause in Cause::ALL {
            if shares[cause as usize] > 1.0 {
                self.violated[cause as usize] += 1;
                last = Some(cause as usize);
                count += 1;
            }
        }
        let worst = Cause::ALL.into_iter().max_by(|&a, &b| shares[a as usize].total_cmp(&shares[b as usize]));
        if let Some(cause) = worst.filter(|_| count > 0) {
            self.keep_closest((shares[cause as usize], index, cause));
        }
        if let (Some(cause), 1) = (last, count) {
            self.alone[cause] += 1;
            self.keep_nearest(cause, (shares[cause], index));
        }
    }

    fn keep_closest(&mut self, found: (f64, usize, Cause)) {
        let is_closer =
            self.closest.is_none_or(|known| found.0.total_cmp(&known.0).then(found.1.cmp(&known.1)).is_lt());
        if is_closer {
            self.closest = Some(found);
        }
    }

    fn keep_nearest(&mut self, cause: usize, found: (f64, usize)) {
        let is_nearer = self.nearest[cause]
            .is_none_or(|(share, index)| found.0.total_cmp(&share).then(found.1.cmp(&index)).is_lt());
        if is_nearer {
            self.nearest[cause] = Some(found);
        }
    }

    /// Adds the counts of another part of the space.
    pub fn merge(&mut self, other: &Self) {
        for cause in 0..CAUSE_COUNT {
            self.violated[cause] += other.violated[cause];
            self.alone[cause] += other.alone[cause];
            if let Some(found) = other.nearest[cause] {
                self.keep_nearest(cause, found);
            }
        }
        if let Some(found) = other.closest {
            self.keep_closest(found);
        }
    }

    /// The cause that most candidates violate.
    #[must_use]
    pub fn foremost(&self) -> Option<Cause> {
        Cause::ALL
            .into_iter()
            .filter(|&cause| self.violated[cause as usize] > 0)
            .max_by_key(|&cause| (self.violated[cause as usize], std::cmp::Reverse(cause)))
    }

    /// The cause whose loosening alone would let candidates in, with the share of the limit that the
    /// nearest needs: the one that needs least.
    #[must_use]
    pub fn easiest(&self) -> Option<(Cause, f64, usize)> {
        Cause::ALL
            .into_iter()
            .filter_map(|cause| self.nearest[cause as usize].map(|(share, index)| (cause, share, index)))
            .min_by(|a, b| a.1.total_cmp(&b.1))
    }
}
