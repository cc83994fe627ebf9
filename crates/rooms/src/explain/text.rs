//! `explain` as text: where a figure comes from. Not for: the facts themselves (`Origin`).

use wakewright_core::causes::CAUSES_FIGURES;
use wakewright_core::notice::Notice;
use wakewright_core::sheet::{self, Figure};
use wakewright_core::study::{Interval, WidthShare};
use wakewright_units::{Quantity, format_number};

use crate::Rooms;
use crate::text::{Align, Table};
use crate::text::{Ink, Paper, percent};

/// An input of a figure as the document has it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InputLine {
    /// Field or model factor.
    pub key: String,
    /// Label in words.
    pub label: String,
    /// As written, or as filled in.
    pub value: String,
    /// How it is known.
    pub known: Known,
}

/// How an input of a figure is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Known {
    /// Read off a tape, an instrument or a plate.
    Measured,
    /// On a plate or a paper.
    Plate,
    /// Set or decided, or a word of the document.
    Chosen,
    /// Assumed by whoever wrote the document.
    Assumed,
    /// The usual value of a field that is not written.
    Usual,
    /// Estimated from what is named.
    Estimated(&'static str),
    /// A factor of a method, with the method's own spread.
    OfMethod,
    /// Not given, and nothing stands for it.
    NotGiven,
}

impl Known {
    /// Marks of a paper, surest first.
    pub const MARKS: [&'static str; 5] = ["measured", "plate", "chosen", "assumed", "estimated"];

    /// The mark that a paper gives an input; none for what is no input of hers.
    #[must_use]
    pub fn mark(&self) -> Option<&'static str> {
        let place = match self {
            Self::Measured => 0,
            Self::Plate => 1,
            Self::Chosen => 2,
            Self::Assumed | Self::Usual => 3,
            Self::Estimated(_) => 4,
            Self::OfMethod | Self::NotGiven => return None,
        };
        Some(Self::MARKS[place])
    }
}

impl std::fmt::Display for Known {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Measured => "measured",
            Self::Plate => "from plate or paper",
            Self::Chosen => "chosen",
            Self::Assumed => "assumed",
            Self::Usual => "usual value",
            Self::Estimated(how) => return write!(f, "estimated from {how}"),
            Self::OfMethod => "the method's own spread",
            Self::NotGiven => "not given",
        })
    }
}

/// What is said of a figure when it is opened.
#[derive(Debug, Clone, Copy)]
pub struct Origin {
    /// Stable name for commands and files.
    pub key: &'static str,
    /// In words, lower case.
    pub label: &'static str,
    /// Kind of quantity, which decides the unit it is written in.
    pub quantity: Quantity,
    /// Formula with its symbols explained.
    pub formula: &'static str,
    /// Keys of the sources.
    pub sources: &'static [&'static str],
    /// Document fields and model factors that it stands on.
    pub inputs: &'static [&'static str],
    /// Where the formula holds, and how well.
    pub validity: &'static str,
}

/// A figure opened: what it is, its value on one occasion, and what it stands on.
#[derive(Debug, Clone)]
pub struct Opened {
    /// Formula, sources, validity.
    pub origin: Origin,
    /// When: `At full throttle`, `At 5.0 kn under sail`.
    pub occasion: String,
    /// Value with its band; `None` where she has none then.
    pub interval: Option<Interval>,
    /// What makes the band wide, largest first; empty where that is not taken apart.
    pub widths: Vec<WidthShare>,
    /// The inputs as the document has them.
    pub inputs: Vec<InputLine>,
    /// (key, citation).
    pub sources: Vec<(String, String)>,
    /// What to read first.
    pub notices: Vec<Notice>,
}

impl Opened {
    /// What is said of a figure that opens; `None` for one that does not.
    #[must_use]
    pub fn origin_of(figure: &Figure) -> Option<Origin> {
        let sheet::Origin::Formula { formula, sources, inputs, validity } = figure.origin else {
            return None;
        };
        let Figure { key, label, quantity, .. } = *figure;
        Some(Origin { key, label, quantity, formula, sources, inputs, validity })
    }
}

/// A stretch of time below this is told in seconds \[s\].
const SECONDS_BELOW_S: f64 = 120.0;

/// A figure's value in words.
#[must_use]
pub fn figure_words(interval: Interval, quantity: Quantity, paper: &Paper) -> String {
    match quantity {
        Quantity::Duration if interval.value < SECONDS_BELOW_S => {
            format!("{} s", format_number(interval.value, 0))
        }
        _ => paper.quantity(interval.value, quantity),
    }
}

/// A figure's band in words; `None` where it has none.
#[must_use]
pub fn figure_band(interval: Interval, quantity: Quantity, paper: &Paper) -> Option<String> {
    let has_band = interval.p10 < interval.p90;
    has_band.then(|| match quantity {
        Quantity::Duration if interval.value < SECONDS_BELOW_S => {
            format!("{} to {} s", format_number(interval.p10, 0), format_number(interval.p90, 0))
        }
        _ => paper.band(interval, quantity),
    })
}

impl Opened {
    /// The value in words.
    #[must_use]
    pub fn value_words(&self, paper: &Paper) -> Option<String> {
        Some(figure_words(self.interval?, self.origin.quantity, paper))
    }

    /// The band in words; `None` where there is no value or no band.
    #[must_use]
    pub fn band_words(&self, paper: &Paper) -> Option<String> {
        figure_band(self.interval?, self.origin.quantity, paper)
    }

    /// `At full throttle, resistance of Sea Campion is 590 N.`
    #[must_use]
    pub fn sentence(&self, name: &str, paper: &Paper) -> String {
        match self.value_words(paper) {
            Some(value) => format!("{}, {} of {name} is {value}.", self.occasion, self.origin.label),
            None => format!("{}, {name} has no figure for {}.", self.occasion, self.origin.label),
        }
    }
}

/// Where a figure comes from.
#[must_use]
pub fn explain_text(name: &str, opened: &Opened, paper: &Paper) -> String {
    let mut out = paper.wrap(&opened.sentence(name, paper), 0);
    if let Some(band) = opened.band_words(paper) {
        out += &paper.wrap(&format!("Four times in five it lies in {band}."), 0);
    }
    out += "\nFormula\n";
    out += &paper.wrap(opened.origin.formula, 2);
    out += "\nSource\n";
    for (key, citation) in &opened.sources {
        out +=
            &paper.wrap_hanging(&format!("{} {citation}", paper.ink(Ink::Faint, &format!("[{key}]"))), 2, 4);
    }
    out += "\nStands on\n";
    for input in &opened.inputs {
        let value = if input.value.is_empty() { String::new() } else { format!(" {},", input.value) };
        out += &paper.wrap_hanging(&format!("- {}:{value} {}", input.label, input.known), 2, 6);
    }
    out += "\nHolds for\n";
    out += &paper.wrap(opened.origin.validity, 2);
    if !opened.widths.is_empty() {
        out += "\nWhat makes it unsure\n";
        let parts: Vec<String> = opened
            .widths
            .iter()
            .take(6)
            .map(|w| format!("{} {}", w.input.words(), percent(w.share)))
            .collect();
        out += &paper.wrap(&format!("{}.", parts.join(", ")), 2);
    }
    out
}

/// The figures that can be asked.
#[must_use]
pub fn explain_list(rooms: Rooms, paper: &Paper) -> String {
    let mut table = Table::new(&[("figure", Align::Left), ("what it is", Align::Left)]);
    let of_trials = CAUSES_FIGURES.0.iter().map(|column| column.figure);
    for figure in crate::explain::figures(rooms).map(|(_, figure)| figure).chain(of_trials) {
        table.row(Ink::Plain, vec![figure.key.to_owned(), figure.label.to_owned()]);
    }
    table.render(paper, 2)
}
