//! A call at night: "she won't go". What must come before anything, which part explains what is seen, and the next question
//! that tells most. One part is taken to have failed; that none of those known here explains it is an answer, too.
//!
//! Not for: readings of a whole commissioning (`commission`), a trial's causes (`causes`).

mod asks;
mod numbers;
mod parts;
mod red;
mod score;
mod sheets;
mod weigh;

pub use asks::{ASKS, Ask, FIGURES, METER_DRY_V, METER_WET_V, Meter, ask_of};
pub use numbers::{CallBoat, Read};
pub use parts::{PARTS, Part, STRANGE, place_words};
pub use red::{RED, Red, red_in};
pub use score::{CallScore, LEAST_TOLD, place_of};
pub use sheets::{CALL_SHEETS, SCORE_COLUMNS};
pub use weigh::{CallAsked, CallStudy, Next, Reply, Standing};
