//! Drying out: when a boat touches the ground, lies dry, is wet again and floats, tide by tide; how sure she is to float
//! off at a coming high water, and at any of them by then.
//! Heights are metres above the datum of the place, time is Unix seconds UTC. Not for: where the tide comes from
//! (`tide`), the state of the ground.

pub mod floats;
pub mod foot;
pub mod landing;
pub mod light;
pub mod lying;
pub mod stand;
pub mod visit;

pub use floats::{LandedWeather, LevelError, floats_by_then, floats_then};
pub use landing::{Landed, Landing, ground_found, mean_learned, weather_learned_m};
pub use light::{daylight, shared_s};
pub use lying::{First, Lying, Section, lying};
pub use stand::{Berth, Moment, Standing, standings};
pub use visit::{Visit, WAYS_OFF, Wanted, WayOff, recommended, visits};
