//! What is looked at from year to year: values with their trend and limit, what a bank holds and how it fades, the list
//! of a check-up. Not for: commissioning, faults.

mod capacity;
mod checklist;
mod figure;
mod sheets;
mod study;
mod trend;

pub use capacity::{Capacity, CapacityError, CapacityTest, Fullness, capacity};
pub use checklist::{CHECKLIST, Fitted, Item, Measured, Stage, Standing, item_named};
pub use figure::UPKEEP_FIGURES;
pub use sheets::UPKEEP_SHEETS;
pub use study::{Found, Listed, Look, PartRow, Tested, UpkeepAsked, UpkeepStudy, ValueRow};
pub use trend::{Bad, NoTrend, Reached, Reading, Trend};
