//! Commissioning: what each meter should read and between which limits, reckoned from the samples of the drive; readings held
//! against it; and where they fall outside, which part explains them. Not for: a check-up over the years, a call at night (`call`).

mod point;
mod predict;
mod sheets;
mod study;
mod suspect;

pub use point::{FLAGS, Flag, INSULATION, INSULATION_OHM_V, Instrument, POINTS, Point, PointKey};
pub use predict::{COUNT, Predicted, ReadyHarness, Tied, predict};
pub use sheets::COMMISSION_SHEETS;
pub use study::{
    CardRow, CommissionAsked, CommissionStudy, DROP_METER, DropRow, FlagRow, PointRow, SuspectRow,
};
pub use suspect::{Misreading, Suspect};
