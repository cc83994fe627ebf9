//! Results as text for a terminal of 80 columns. Not for: JSON (`view`), pages.

mod answer;
mod bank;
mod check;
mod drive;
mod energy;
mod explain;
mod paper;
mod range;
mod search;
mod table;
mod trial;

pub use answer::{answer_text, finding_only};
pub use bank::{bank_finding, bank_tables, bank_text};
pub use check::{check_sentence, check_text, usual_text};
pub use drive::drive_text;
pub(crate) use drive::{finding_text, is_machinery, notices_text};
pub use energy::{
    MONTHS, change_words, day_finding, day_text, energy_finding, hours_table, year_basis_words, year_tables,
    year_text,
};
pub use explain::{InputLine, Opened, explain_list, explain_text, figure_band, figure_words};
pub(crate) use paper::visible_length;
pub use paper::{Ink, Paper};
pub use range::{beyond_heading, beyond_table, range_text};
pub(crate) use search::{motor_words, propeller_change_key};
pub use search::{search_csv, search_text};
pub use table::{Align, Table, Titled};
pub use trial::{conditions_text, import_text, runs_text};
