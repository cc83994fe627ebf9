//! The computations of Wakewright: pure functions of their arguments, in SI units, without files,
//! network, clock, environment, threads or printing. Same input, same output.
//!
//! Names carry their unit (`_m _m2 _m3 _kg _n _n_m _w _v _a _ohm _pa _s _rad _rev_s _k _m_s`); no
//! suffix means dimensionless. Keys in square brackets are found in `SOURCES.toml`.
#![deny(missing_docs)]

pub mod battery;
pub mod boat;
pub mod causes;
pub mod caution;
pub mod constants;
pub mod drive;
pub mod energy;
pub mod fouling;
pub mod friction;
pub mod hull;
pub mod notice;
pub mod numeric;
pub mod options;
pub mod practice;
pub mod propeller;
pub mod sail;
pub mod search;
pub mod sheet;
pub mod solar;
pub mod spread;
pub mod steady;
pub mod study;
pub mod trial;
pub mod water;
