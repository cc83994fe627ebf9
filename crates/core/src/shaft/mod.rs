//! The shaft line: the speeds at which it whirls, at which blades meet the hull's own beat, balance, pitch as measured, the fit of
//! the hub; and what makes it shake. Not for: torque and strength (`propeller::installation`).

mod cause;
mod figure;
mod metal;
mod pitch;
mod sheets;
mod study;
mod whirl;

pub use cause::{Cause, Suspect};
pub use figure::SHAFT_FIGURES;
pub use metal::{Metal, hub_gap_m};
pub use pitch::{Mean, MeasuredPitch};
pub use sheets::SHAFT_SHEETS;
pub use study::{AtFull, Avoid, Balance, ShaftAsked, ShaftError, ShaftStudy, imbalance_kg_m};
pub use whirl::{bearing_spacing_m, natural_rev_s, overhung_sag_m, span_rev_s, together_rev_s};
