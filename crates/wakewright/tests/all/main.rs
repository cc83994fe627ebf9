//! Tests of the program: as a user runs it, and as one who adds to it does. One binary, so that it is linked once.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod bad_input;
mod call_and_commission;
mod causes;
mod cli;
mod first_hour;
mod ground_and_home;
mod logs;
mod no_sure_voice;
mod options;
mod papers;
mod passage;
mod search;
mod store_commands;
mod tide;
mod toy_room;
mod wiring_and_controls;
