//! Alternatives side by side, made readable: the finding, the table, JSON and CSV are made from one
//! scene. Not for: comparing them (`wakewright_core::options`).

mod csv;
mod finding;
mod picture;
mod rows;
mod scale;
mod table;
mod view;

pub use csv::options_csv;
pub use finding::{measure_words, options_finding, shaft_power_words, work_words};
pub use picture::{differences_picture, goal_measures};
pub use rows::{OptionCell, OptionRow, OptionSection, OptionStep, alternative_words, option_sections};
pub use table::options_text;
pub use view::{ColumnView, DifferenceView, MeasureView, OptionsView, options_view};

use wakewright_core::options::Comparison;

/// What is known of an alternative beyond its figures.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OptionWords {
    /// Its note.
    pub note: Option<String>,
    /// What changes: "pitch 11 in instead of 8 in".
    pub changes: Vec<String>,
    /// What comes and goes: "14 kg in: four more cells".
    pub masses: Vec<String>,
    /// Cost with its currency, as typed.
    pub cost: Option<String>,
}

/// What is shown.
#[derive(Debug, Clone, Copy)]
pub struct OptionsScene<'a> {
    /// Name of the boat.
    pub name: &'a str,
    /// The figures; column 0 is the boat as she is.
    pub comparison: &'a Comparison,
    /// One for each alternative.
    pub words: &'a [OptionWords],
    /// Which of the speeds asked the finding speaks of.
    pub cruise: Option<usize>,
}
