//! Runs written down by hand, each a card that a thumb can fill; and what it was like that day.

use maud::{Markup, html};
use wakewright_core::fouling::FoulingCondition;
use wakewright_logs::trial::{
    CONDITION_FIELDS, ConditionField, ConditionKind, NOTEBOOK_CELLS, RunOrigin, condition_word,
};
use wakewright_units::Quantity;

use super::field::{Kind, TrialField, id_of};
use super::sheet;
use wakewright_rooms::trials::KeptTrial;

/// The cards, and the ways to the next.
#[must_use]
pub fn cards(kept: &KeptTrial, wants_blank: bool) -> Markup {
    let rows = kept.document.notebook.len();
    let shown = if rows == 0 || wants_blank { rows + 1 } else { rows };
    html! {
        datalist id="directions" { @for word in ["out", "back", "N", "NE", "E", "SE", "S", "SW", "W", "NW"] { option value=(word); } }
        @for row in 0..shown { (card(kept, row, row + 1 == shown)) }
        div.buttons {
            button.main name="do" value="next" { "Next run, the other way" }
            button name="do" value="blank" { "Another run" }
        }
    }
}

fn card(kept: &KeptTrial, row: usize, is_last: bool) -> Markup {
    html! {
        fieldset.card.last[is_last] id={ "notebook-" (row) } {
            legend { "Written run " (row + 1) }
            div.cells {
                @for (cell, label, hint, is_number) in NOTEBOOK_CELLS {
                    @let name = format!("notebook.{row}.{cell}");
                    @let kind = match cell {
                        "lever" => Kind::Choice(&[("", "part"), ("full", "full")]),
                        _ if is_number => Kind::Number,
                        _ => Kind::Text,
                    };
                    (TrialField { name: &name, label, hint, kind }.markup(kept))
                }
            }
            p.read id={ (id_of(&format!("notebook.{row}"))) "-read" } { (read(kept, row)) }
            @if row < kept.document.notebook.len() {
                button.quiet name="do" value={ "clear:" (row) } { "Empty this card" span.visually-hidden { " of run " (row + 1) } }
            }
        }
    }
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
    ]
    .into_iter()
    .flatten()
    .collect();
    format!("Read as {}.", parts.join(", "))
}

/// The day: name, date, what was seen and what it was like.
#[must_use]
pub fn day(kept: &KeptTrial) -> Markup {
    let text = |name, label, hint, kind| TrialField { name, label, hint, kind }.markup(kept);
    html! {
        div.named {
            (text("date", "Day", "2026-09-12", Kind::Text))
            (text("title", "Called", "as she came", Kind::Text))
            div.wide { (text("note", "Note", "", Kind::Long)) }
        }
        h3 { "What it was like" }
        div.named { @for field in &CONDITION_FIELDS { (condition(kept, field)) } }
    }
}

fn condition(kept: &KeptTrial, field: &ConditionField) -> Markup {
    let growth = FoulingCondition::ALL.map(condition_word);
    let mut states = vec![("", "not looked at")];
    states.extend(growth.iter().map(|word| (*word, *word)));
    let kind = match field.kind {
        ConditionKind::Growth => Kind::Choice(&states),
        ConditionKind::YesNo => Kind::Choice(&[("", "not said"), ("no", "no"), ("yes", "yes")]),
        ConditionKind::Direction => Kind::Text,
        ConditionKind::Number(..) | ConditionKind::Percent => Kind::Number,
    };
    TrialField { name: field.word, label: field.label, hint: field.hint, kind }.markup(kept)
}
