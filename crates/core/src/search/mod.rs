//! The search: every stock propeller with every reduction, motor, voltage and number of packs that
//! fits, and the front of those that no other beats in everything.
//!
//! The work is laid out in tables, so that little is left for one candidate: what hull and propeller
//! ask is found once for each propeller (`demand`), what the motor makes of it once for each motor
//! and reduction (`curve`), and a bank then only has to be held against that curve (`run`). No threads
//! are started here: [`Search::run`] takes a range of candidates, and the fronts of any split of the
//! whole merge to the same front. Not for: intervals (`study`), wording, prices that nobody gave.

mod choice;
mod curve;
mod demand;
mod exact;
mod front;
mod limits;
mod outcome;
mod pick;
mod prepared;
mod run;
mod scope;
mod sheets;
mod space;
mod stock;

pub use choice::{Change, Prices};
pub use demand::Demand;
pub use exact::{Candidate, evaluate};
pub use front::{Front, MERIT_COUNT, Member, Merit, Merits};
pub use limits::{CAUSE_COUNT, Cause, Demands, Refusals, Tally};
pub use outcome::{Gain, Outcome, gain, gain_sample};
pub use pick::{Pick, Preference, pick, spread_out};
pub use prepared::{CRUISE_SPEEDS, Search, SearchError, room_m};
pub use run::{Depth, Partial};
pub use scope::{Keep, Scope, Shelf};
pub use sheets::SEARCH_SHEETS;
pub use space::{NEW_BLADES, Place, Reduction, Space};
pub use stock::{Machine, generic_machines, stock_pitches_m, stock_propellers, stock_sizes_m};
