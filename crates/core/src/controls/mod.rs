//! What the lever may do, and what the bus, the shaft and the crew see when something opens: demand against lever, going
//! from full ahead to full astern, and the events by time, each passed, failed or not to be told.
//!
//! Not for: cables, fuses and short circuits (`wiring`), how she is driven steadily (`steady`).

mod event;
mod events_of_bus;
mod events_of_drive;
mod figure;
mod lever;
mod reckon;
mod reversing;
mod rules;
mod sheets;
mod study;

pub use event::{Event, EventKind, Hangs, Volts};
pub use lever::{Controls, OnLoss, StopOrder, TakesOver};
pub use reversing::{Reversal, ReversalMoment, Turnover, key_force_n, shaft_shear_pa};
pub use sheets::CONTROLS_SHEETS;
pub use study::{ControlsError, ControlsStudy, Creep};
