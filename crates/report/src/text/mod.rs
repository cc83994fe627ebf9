//! Results as text for a terminal of 80 columns. Not for: JSON (`view`), pages.

mod bank;
mod check;
mod drive;
mod energy;
mod explain;
mod paper;
mod range;
mod sail;
mod search;
mod table;
mod trial;

pub use bank::{bank_finding, bank_text};
pub use check::{check_sentence, check_text, usual_text};
pub use drive::drive_text;
pub(crate) use drive::{finding_text, is_machinery, notices_text};
pub use energy::{day_finding, day_text, energy_finding, year_text};
pub use explain::{InputLine, explain_list, explain_text};
pub(crate) use paper::visible_length;
pub use paper::{Ink, Paper};
pub use range::range_text;
pub use sail::{sail_finding, sail_text};
pub(crate) use search::{motor_words, propeller_change_key};
pub use search::{search_csv, search_text};
pub use table::{Align, Table};
pub use trial::{conditions_text, import_text, runs_text};
