//! `explain` as text: where a figure comes from. Not for: the facts themselves (`Figure::origin`).

use wakewright_core::study::{Figure, Study};

use super::drive::percent;
use super::paper::{Ink, Paper};
use super::table::{Align, Table};

/// An input of a figure as the document has it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InputLine {
    /// Field or model factor.
    pub key: String,
    /// Label in words.
    pub label: String,
    /// As written, or as filled in.
    pub value: String,
    /// "measured", "assumed", "estimated: how".
    pub origin: String,
}

/// Where `figure` comes from, at full throttle. `sources` are (key, citation).
#[must_use]
pub fn explain_text(
    name: &str,
    figure: Figure,
    study: &Study,
    inputs: &[InputLine],
    sources: &[(String, String)],
    paper: &Paper,
) -> String {
    let origin = figure.origin();
    let interval = study.at_full(figure);
    let value = paper.quantity(interval.value, origin.quantity);
    let sentence = format!("At full throttle, {} of {name} is {value}.", origin.label);
    let mut out = paper.wrap(&sentence, 0);
    out +=
        &paper.wrap(&format!("Four times in five it lies in {}.", paper.band(interval, origin.quantity)), 0);
    out += "\nFormula\n";
    out += &paper.wrap(origin.formula, 2);
    out += "\nSource\n";
    for (key, citation) in sources {
        out +=
            &paper.wrap_hanging(&format!("{} {citation}", paper.ink(Ink::Faint, &format!("[{key}]"))), 2, 4);
    }
    out += "\nStands on\n";
    for input in inputs {
        let value = if input.value.is_empty() { String::new() } else { format!(" {},", input.value) };
        out += &paper.wrap_hanging(&format!("- {}:{value} {}", input.label, input.origin), 2, 6);
    }
    out += "\nHolds for\n";
    out += &paper.wrap(origin.validity, 2);
    let widths = study.width_of(figure);
    if !widths.is_empty() {
        out += "\nWhat makes it unsure\n";
        let parts: Vec<String> =
            widths.iter().take(6).map(|w| format!("{} {}", w.input.words(), percent(w.share))).collect();
        out += &paper.wrap(&format!("{}.", parts.join(", ")), 2);
    }
    out
}

/// The figures that can be asked.
#[must_use]
pub fn explain_list(paper: &Paper) -> String {
    let mut table = Table::new(&[("figure", Align::Left), ("what it is", Align::Left)]);
    for figure in Figure::ALL {
        let origin = figure.origin();
        table.row(Ink::Plain, vec![origin.key.to_owned(), origin.label.to_owned()]);
    }
    table.render(paper, 2)
}
