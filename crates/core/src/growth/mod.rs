//! What growth takes from month to month since she was cleaned, learned from her trials, and when the next scrub pays.
//! Not for: the friction of a rough surface (`fouling`), one trial's causes (`causes`).

mod learn;
mod pays;
mod sheets;
mod study;

pub use learn::GrowthTrial;
pub use pays::scrub_interval;
pub use sheets::{GROWTH_FIGURES, GROWTH_SHEETS};
pub use study::{After, GrowthAsked, GrowthStudy, Month};
