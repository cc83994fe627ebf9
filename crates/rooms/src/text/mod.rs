//! Results as text for a terminal of 80 columns. Not for: JSON (`view`), pages.

mod answer;
mod check;
mod explain;
mod paper;
mod table;
mod trial;

pub use answer::{answer_text, finding_only};
pub(crate) use answer::{finding_text, notices_text};
pub use check::{check_sentence, check_text, usual_text};
pub use explain::{InputLine, Opened, explain_list, explain_text, figure_band, figure_words};
pub use paper::{Ink, Paper};
pub(crate) use paper::{NO_END, percent, visible_length};
pub use table::{Align, Table, Titled};
pub use trial::{conditions_text, import_text, runs_text};
