//! Options: alternatives laid beside the boat as she is, in the same sea and with common samples, so
//! that a difference is known better than the figures it is taken from.
//! Not for: finding alternatives, sampling in parallel (the app does that), wording.

mod compare;
mod figure;
mod floating;
mod measure;
mod sampling;
mod shaft_power;
mod sheets;
mod variant;

pub use compare::{Comparison, Difference, Laid, SURE_SHARE, Verdict, compare};
pub use figure::{MASS_CHANGE, ONE_PACK_LOST, SINKAGE, TRIM_AFT};
pub use floating::{Floating, MassMove, Waterplane};
pub use measure::{Measure, Measured, measures};
pub use sampling::{VariantSample, sample_variant};
pub use shaft_power::{PowerByVolts, ShaftCurves, power_by_volts, shaft_curves};
pub use sheets::OPTIONS_SHEETS;
pub use variant::{About, Variant};
