//! The computations of Wakewright: pure functions of their arguments, in SI units, without files,
//! network, clock, environment, threads or printing. Same input, same output.
//!
//! Names carry their unit (`_m _m2 _m3 _kg _n _n_m _w _v _a _ohm _pa _s _rad _rev_s _k _m_s`); no
//! suffix means dimensionless. Keys in square brackets are found in `SOURCES.toml`.
//!
//! # Glossary
//!
//! - **advance ratio** J: speed of advance over revolutions times diameter.
//! - **band**: the 80 % band, from the value that one sample in ten lies below to that which one in ten exceeds.
//! - **bank**: all packs on one pair of terminals, with cables and protection.
//! - **binding limit**: what stops her, the limit whose share of use is the largest.
//! - **bollard pull**: thrust tied up, at no speed.
//! - **canoe body**: the hull without keel and rudder.
//! - **clearness**: light that reaches the ground over light above the air.
//! - **cruising speed**: the speed at which ranges, remedies and alternatives are compared.
//! - **datum**: the level that heights of tide and ground are told above.
//! - **deviate**: how many standard deviations an input lies from its median.
//! - **double run**: two runs at one setting on opposite courses, so that the stream cancels.
//! - **evidence**: how probable the readings are under a hypothesis, all unknowns averaged.
//! - **finding**: the sentence that answers the question, before any table.
//! - **Froude number**: speed over the root of gravity times waterline length.
//! - **full throttle**: the throttle fully open; what then binds is in the finding.
//! - **growth**: weed, slime and shell as one equivalent sand height on bottom or blades.
//! - **harvest**: power taken out of the shaft under sail.
//! - **hypothesis**: a rival account of a shortfall: an odd cause at work, or none.
//! - **in-service factor**: her resistance over that of the method, for what no formula holds.
//! - **interval**: the middle of a figure over the samples with its 80 % band.
//! - **ladder**: where each watt goes from cells to water.
//! - **notice**: what must be read with a figure, with severity and source.
//! - **pack**: cells in series with one BMS; like packs are a group.
//! - **posterior**: what is known of all unknowns once the runs are in.
//! - **prepared**: worked out once, ready for many questions.
//! - **reserve**: charge that stays in the bank as the user wishes.
//! - **residuary resistance**: what is left of a hull's resistance without friction.
//! - **run**: a stretch of minutes at one setting and course, averaged.
//! - **sample**: one boat with all unsure inputs chosen from their spreads; a pure function of its number.
//! - **sampler**: the source of samples under one seed.
//! - **sand height**: roughness as the height of sand grains with the same friction.
//! - **share**: part of a whole, 0 to 1.
//! - **speed of advance**: of the water at the propeller, boat speed less wake.
//! - **spread**: median and 80 % band of an input.
//! - **steady state**: thrust, torque, power and heat all in balance at one speed.
//! - **thrust deduction**: what the propeller adds to the resistance of the hull before it.
//! - **thrown away, surplus**: sun that neither loads nor bank can take.
//! - **unexplained**: a shortfall that no cause in the list accounts for.
//! - **usage**: how much of a limit is used, 1 where it binds.
//! - **wake fraction**: what the hull takes from the speed of the water at the propeller.
//! - **workers**: whoever does like jobs, one thread or all cores.
#![deny(missing_docs)]

pub mod battery;
pub mod boat;
pub mod call;
pub mod causes;
pub mod caution;
pub mod commission;
pub mod constants;
pub mod controls;
pub mod drive;
pub mod drying_out;
pub mod energy;
pub mod field;
pub mod fleet;
pub mod fouling;
pub mod friction;
pub mod growth;
pub mod hull;
pub mod notice;
pub mod numeric;
pub mod offer;
pub mod options;
pub mod passage;
pub mod possible;
pub mod practice;
pub mod propeller;
pub mod sail;
pub mod search;
pub mod shaft;
pub mod sheet;
pub mod solar;
pub mod spread;
pub mod steady;
pub mod study;
pub mod tide;
pub mod trial;
pub mod upkeep;
pub mod water;
pub mod weights;
pub mod wiring;
