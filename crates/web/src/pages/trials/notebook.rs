//! Runs written down by hand, each a card that a thumb can fill; and what it was like that day.

use maud::{Markup, html};
use wakewright_core::fouling::FoulingCondition;
use wakewright_logs::table::RunRowsError;
use wakewright_logs::trial::{Condition, ConditionKind, NO, RunOrigin, TrialAddress, YES};
use wakewright_logs::{CellKind, FULL_THROTTLE, NotebookCell};
use wakewright_units::Quantity;

use super::act::Act;
use super::field::{Kind, TrialField};
use super::sheet;
use crate::sent::DO;
use wakewright_rooms::trials::KeptTrial;

/// The field of a form that holds a table to be taken.
pub const PASTED: &str = "pasted";

/// The cards, and the ways to the next.
#[must_use]
pub fn cards(kept: &KeptTrial, wants_blank: bool) -> Markup {
    let rows = kept.document.notebook.len();
    let shown = if rows == 0 || wants_blank { rows + 1 } else { rows };
    html! {
        datalist id="directions" { @for word in ["out", "back", "N", "NE", "E", "SE", "S", "SW", "W", "NW"] { option value=(word); } }
        @for row in 0..shown { (card(kept, row, row + 1 == shown)) }
        div.buttons {
            button.main name=(DO) value=(Act::Next.value()) { "Next run, the other way" }
            button name=(DO) value=(Act::Blank.value()) { "Another run" }
        }
        details {
            summary { "Paste a table, a row for each run" }
            p.aside { "With a heading over each column, as a spreadsheet copies it: direction, shaft rpm, motor rpm, volts, amps, speed over ground (kn), throttle, pull (kgf)." }
            (paste_field(""))
        }
    }
}

fn paste_field(text: &str) -> Markup {
    html! {
        p { label for="pasted" { "The table" } textarea id="pasted" name=(PASTED) rows="6" { "\n" (text) } }
        div.buttons { button name=(DO) value=(Act::Paste.value()) { "Take its rows as runs" } }
    }
}

/// A table that could not be taken, as it was pasted, with the reason.
#[must_use]
pub fn paste_again(trial: &str, version: u32, text: &str, why: &RunRowsError) -> Markup {
    html! {
        h1.sentence { "The table was not taken; all else is kept." }
        p.fault { (super::field::sentence(&why.to_string())) }
        form method="post" action=(trial) autocomplete="off" {
            input type="hidden" name="version" value=(version);
            (paste_field(text))
        }
        p { a href=(trial) { "Back to the trial" } }
    }
}

fn card(kept: &KeptTrial, row: usize, is_last: bool) -> Markup {
    html! {
        fieldset.card.last[is_last] id=(card_id(row)) {
            legend { "Written run " (row + 1) }
            div.cells {
                @for cell in NotebookCell::ALL {
                    @let kind = match cell.kind() {
                        CellKind::Throttle => Kind::Choice(&[("", "part"), (FULL_THROTTLE, "full")]),
                        CellKind::Number(..) => Kind::Number,
                        CellKind::Text => Kind::Text,
                    };
                    (TrialField { address: TrialAddress::Cell(row, cell), label: cell.label(), hint: cell.hint(), kind }.markup(kept))
                }
            }
            p.read id=(read_id(row)) { (read(kept, row)) }
            @if row < kept.document.notebook.len() {
                button.quiet name=(DO) value=(Act::Clear(row).value()) { "Empty this card" span.visually-hidden { " of run " (row + 1) } }
            }
        }
    }
}

/// The id of a row's card; those of its cells begin with it.
fn card_id(row: usize) -> String {
    format!("notebook-{row}")
}

/// The id of what was made of a row.
#[must_use]
pub fn read_id(row: usize) -> String {
    format!("{}-read", card_id(row))
}

/// What was made of a row.
#[must_use]
pub fn read(kept: &KeptTrial, row: usize) -> String {
    let Some(read) = kept.reading.runs.iter().find(|read| read.origin == RunOrigin::Notebook(row)) else {
        return String::new();
    };
    let paper = sheet();
    let (run, say) = (&read.run, |si: f64, quantity: Quantity| paper.quantity(si, quantity));
    let parts: Vec<String> = [
        run.speed_over_ground_m_s.map(|v| format!("{} over ground", paper.decimals(v, Quantity::Speed, 2))),
        run.speed_through_water_m_s
            .map(|v| format!("{} through the water", paper.decimals(v, Quantity::Speed, 2))),
        run.shaft_speed_rev_s.map(|v| say(v, Quantity::RotationalSpeed)),
        run.power_w.map(|v| say(v, Quantity::Power)),
        run.pull_n.map(|v| format!("{} on the line", say(v, Quantity::Force))),
    ]
    .into_iter()
    .flatten()
    .collect();
    format!("Read as {}.", parts.join(", "))
}

/// The day: name, date, what was seen and what it was like.
#[must_use]
pub fn day(kept: &KeptTrial) -> Markup {
    let text = |address, label, hint, kind| TrialField { address, label, hint, kind }.markup(kept);
    html! {
        div.named {
            (text(TrialAddress::Date, "Day", "2026-09-12", Kind::Text))
            (text(TrialAddress::Title, "Called", "as she came", Kind::Text))
            div.wide { (text(TrialAddress::Done, "Done since the trial before", "scrubbed, propeller re-pitched", Kind::Text)) }
            div.wide { (text(TrialAddress::Note, "Note", "", Kind::Long)) }
        }
        h3 { "What it was like" }
        div.named { @for one in Condition::ALL { (condition(kept, one)) } }
    }
}

fn condition(kept: &KeptTrial, condition: Condition) -> Markup {
    let field = condition.field();
    let growth = FoulingCondition::ALL.map(FoulingCondition::word);
    let mut states = vec![("", "not looked at")];
    states.extend(growth.iter().map(|word| (*word, *word)));
    let kind = match field.kind {
        ConditionKind::Growth(_) => Kind::Choice(&states),
        ConditionKind::YesNo(_) => Kind::Choice(&[("", "not said"), (NO, NO), (YES, YES)]),
        ConditionKind::Direction(_) => Kind::Text,
        ConditionKind::Number { .. } | ConditionKind::Percent(_) => Kind::Number,
    };
    TrialField { address: TrialAddress::Condition(condition), label: field.label, hint: field.hint, kind }
        .markup(kept)
}
