//! Whether she gets home: a way with a stream that changes, speed through the water, what is left in the bank on arrival,
//! how sure, and when going back is cheaper than going on. Speeds are along her way, time is seconds from now.
//! Not for: the steady state at a speed (`steady`), sailing, depths, navigation.

pub mod home;
pub mod least;
pub mod stream;
pub mod summary;

pub use home::{Arrival, HOME_SPREADS, HomeAsked, HomeSample, Try, sample_home};
pub use least::{least_energy_speed, turn_back_s};
pub use stream::{Stage, Way};
pub use summary::{HomeStudy, TryRow, summarise_home};
