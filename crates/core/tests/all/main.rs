//! All integration tests of this crate in one binary: the computations against published figures, and their invariants.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod bank_study;
mod battery;
mod causes;
mod cavitation;
mod charging;
mod common;
mod delft_tables;
mod displacement;
mod drive;
mod drying_out;
mod energy;
mod fouling;
mod four_quadrant;
mod hull;
mod hull_curve;
mod hull_properties;
mod options;
mod passage;
mod passage_plan;
mod propeller;
mod reach;
mod sail;
mod search;
mod search_best;
mod small_load;
mod solar;
mod steady;
mod steady_properties;
mod tide;
mod trade_facts;
mod trial;
mod trial_day;
mod two_drives;
mod water;
mod wiring;
