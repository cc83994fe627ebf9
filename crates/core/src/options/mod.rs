//! Options: alternatives laid beside the boat as she is, in the same sea and with common samples, so
//! that a difference is known better than the figures it is taken from.
//! Not for: finding alternatives, sampling in parallel (the app does that), wording.

mod basis;
mod compare;
mod floating;
mod measure;
mod sampling;
mod shaft_power;
mod variant;

pub use basis::Basis;
pub use compare::{Column, Comparison, Difference, SURE_SHARE, Verdict, compare};
pub use floating::{Floating, MassMove, Waterplane};
pub use measure::{Better, Measure, MeasureKind, measures};
pub use sampling::{VariantSample, sample_variant};
pub use shaft_power::{PowerByVolts, ShaftCurves, power_by_volts, shaft_curves};
pub use variant::Variant;
