//! The bank: what is asked. Not for: computing.

use wakewright_core::study::BankQuestions;
use wakewright_records::boat::{charging_sources, further_banks};

use crate::boats::Loaded;

/// Throttle positions at which a pack is lost.
const THROTTLES: [f64; 5] = [0.3, 0.5, 0.7, 0.85, 1.0];

/// What is asked of the bank of `boat`.
#[must_use]
pub fn questions(boat: &Loaded) -> BankQuestions {
    BankQuestions {
        throttles: THROTTLES.to_vec(),
        sources: charging_sources(&boat.document),
        further: further_banks(&boat.document, &boat.spec),
    }
}
