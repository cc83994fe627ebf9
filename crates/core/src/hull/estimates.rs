//! Notes what was estimated while a hull is completed.
//! Not for: the values.

use super::form::HullKind;
use crate::notice::{Notice, push_once};

/// Key of the measured Delft hulls.
pub(super) const DELFT: &str = "dsyhs2022";
/// A fact of the trade.
pub(super) const PRACTICE: &str = "common practice, no source";

/// What is taken for a form that was not measured, by kind of hull.
pub(super) struct Medians {
    pub prismatic: f64,
    pub midship: f64,
    /// Waterplane area / (length x beam).
    pub waterplane: f64,
    pub lcb_fraction: f64,
    pub lcf_fraction: f64,
    /// Block coefficients beyond which the tape or the scales are wrong. Common practice, no source.
    pub block_range: (f64, f64),
    pub basis: &'static str,
    pub source: &'static str,
}

/// Own medians of the main particulars \[dsyhs2022\]; buoyancy 2.4 %, waterplane 5.5 % abaft midship.
const DELFT_MEDIANS: Medians = Medians {
    prismatic: 0.551,
    midship: 0.711,
    waterplane: 0.678,
    lcb_fraction: 0.524,
    lcf_fraction: 0.555,
    block_range: (0.2, 0.7),
    basis: "the median of the 51 Delft hulls",
    source: DELFT,
};

/// Round-bilge displacement motor boats are fuller in the ends than sailing boats. Common practice, no source: judged
/// from main dimensions, from memory; the prismatic coefficient matters most, between 0.57 and 0.65.
const MOTOR_MEDIANS: Medians = Medians {
    prismatic: 0.61,
    midship: 0.76,
    waterplane: 0.74,
    lcb_fraction: 0.52,
    lcf_fraction: 0.545,
    block_range: (0.2, 0.8),
    basis: "what displacement motor boats usually have",
    source: PRACTICE,
};

/// Steel boats with a flat bottom and a short swim at each end: judged from main dimensions, from memory.
const CANAL_MEDIANS: Medians = Medians {
    prismatic: 0.88,
    midship: 0.97,
    waterplane: 0.93,
    lcb_fraction: 0.50,
    lcf_fraction: 0.50,
    block_range: (0.55, 0.95),
    basis: "what canal boats usually have",
    source: PRACTICE,
};

impl Medians {
    pub fn of(kind: HullKind) -> &'static Self {
        match kind {
            HullKind::SailingYacht => &DELFT_MEDIANS,
            HullKind::RoundBilgeMotor => &MOTOR_MEDIANS,
            HullKind::CanalBoat => &CANAL_MEDIANS,
        }
    }
}

/// Notes each estimate as it is made.
pub(super) struct Estimates<'a> {
    pub notices: &'a mut Vec<Notice>,
    pub medians: &'static Medians,
}

impl Estimates<'_> {
    pub fn note(
        &mut self,
        quantity: &'static str,
        value: f64,
        unit: &'static str,
        basis: &'static str,
        source: &'static str,
    ) -> f64 {
        push_once(self.notices, Notice::Estimated { quantity, value, unit, basis, source });
        value
    }

    pub fn median(&mut self, quantity: &'static str, value: f64, unit: &'static str) -> f64 {
        self.note(quantity, value, unit, self.medians.basis, self.medians.source)
    }

    pub fn habit(&mut self, quantity: &'static str, value: f64, unit: &'static str) -> f64 {
        self.note(quantity, value, unit, "the usual share of the lateral plan for this sort", PRACTICE)
    }
}
