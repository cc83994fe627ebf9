//! Whether she gets home, and how she makes a passage: legs with streams that change, speed through the water, what is left in
//! the bank on arrival, how sure, and when going back is cheaper than going on. Speeds are along her way, time is seconds from
//! a start. Not for: the steady state at a speed (`steady`), depths, navigation.

pub mod aboard;
pub mod chance;
pub mod course;
pub mod geodesic;
pub mod home;
pub mod keep;
pub mod least;
pub mod leg;
pub mod plan;
pub mod power;
pub mod stream;
pub mod summary;
pub mod supply;
pub mod tabled;
pub mod voyage;

pub use aboard::Aboard;
pub use chance::{ChanceAsked, Gone, PassageRow, PassageSample, PassageStudy, summarise_passage, turns_back};
pub use course::{COARSE, Course, FINE, Grid, MOVING, NoPlan, Piece, Spans};
pub use geodesic::geodesic;
pub use home::{Arrival, HOME_SPREADS, HomeAsked, HomeSample, HomeSpreads, Try, sample_home};
pub use keep::{Kept, Step};
pub use least::{least_energy_speed, turn_back_s};
pub use leg::{Flow, Leg, Off, Sail, Stop, Stream, over_ground_m_s};
pub use plan::{Plan, Policy};
pub use power::{PowerCurve, PowerRow, PowerTable, Setting, power_tables, shaft_rev_s};
pub use stream::{Stage, Way};
pub use summary::{HomeStudy, TryRow, summarise_home};
pub use supply::{Held, Left, Supply};
pub use tabled::{StreamHour, TidalStream};
pub use voyage::{Planned, Run, Stands};
