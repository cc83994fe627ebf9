//! The steady state: hull, propeller, reduction, motor, controller and bank in one balance. Asked
//! by throttle, shaft speed, speed or battery power; names what stops her.
//! Not for: intervals (`study`), ranges over a discharge (`study`), anything unsteady.

mod braking;
mod demand;
mod error;
mod limit;
mod prepared;
mod reach;
mod solve;
mod state;
mod taken;
mod wind;

pub use braking::{ADDED_MASS_FRACTION, ASTERN, CrashStop, bollard_astern_n, crash_stop};
pub use demand::Demand;
pub use error::BoatError;
pub use limit::{LIMIT_COUNT, Limit, Usage, tightest};
pub use prepared::PreparedBoat;
pub use reach::{Reach, ReachPiece, ShaftPoint};
pub use solve::{Ask, Bound, FullThrottle, SteadyError};
pub use state::{Bollard, State, WattEnd, WattLadder, WattStep};
pub use taken::{NoSample, Taken};
pub use wind::most_head_wind_m_s;
