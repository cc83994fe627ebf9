//! What masses that come and go do to a boat: how she floats at both ends, her list, her height of gravity; and her
//! initial stability by what a fitter can measure. Not for: the range of stability, flooding, a design category, which
//! a naval architect reckons.

mod figure;
mod sheets;
mod stability;
mod study;

pub use figure::WEIGHTS_FIGURES;
pub use sheets::WEIGHTS_SHEETS;
pub use stability::{gm_by_inclining_m, gm_by_roll_m, gm_ratio_by_roll};
pub use study::{Inclining, Looked, Moved, WeightsAsked, WeightsStudy};
