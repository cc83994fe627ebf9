//! The survey sheet: every section and field of the document, made from their descriptors.

use maud::{Markup, html};
use wakewright_records::boat::{FieldKind, Origin, Presence, SECTIONS, Section, Severity};
use wakewright_rooms::first_questions::QUESTIONS;

use super::field::FieldOnSheet;
use crate::sent::{DO, OfSheet};
use crate::words::fault_list;
use crate::working::Reading;

/// Every field that the sheet of this text shows.
pub fn fields(reading: &Reading) -> Vec<FieldOnSheet<'_>> {
    SECTIONS
        .iter()
        .flat_map(|section| places(section, reading).into_iter().map(move |place| (section, place)))
        .flat_map(|(section, place)| fields_at(section, &place, reading))
        .collect()
}

fn fields_at<'a>(section: &'static Section, place: &str, reading: &'a Reading) -> Vec<FieldOnSheet<'a>> {
    let at = |field: &'static wakewright_records::boat::Field| FieldOnSheet {
        field,
        address: format!("{place}.{}", field.name()),
        reading,
    };
    section.fields.iter().map(at).collect()
}

/// Addresses of the section: one, or one for each row.
fn places(section: &Section, reading: &Reading) -> Vec<String> {
    if !section.is_repeated {
        return vec![section.name.to_owned()];
    }
    let rows = reading.document.as_ref().map_or(0, |document| document.rows(section.name).len());
    (1..=rows).map(|row| format!("{}[{row}]", section.name)).collect()
}

/// All sections; on a narrow page each is folded under its chief figures, with the way to the next at its end.
pub fn sheet(reading: &Reading, unfolds: bool) -> Markup {
    html! {
        @for (at, section) in SECTIONS.iter().enumerate() {
            (section_part(section, SECTIONS.get(at + 1), reading, unfolds))
        }
    }
}

/// Whether a field stands before those that are opened on asking.
fn is_at_hand(field: &FieldOnSheet<'_>) -> bool {
    field.is_filled()
        || field.is_invalid()
        || field.field.presence == Presence::Required
        || QUESTIONS.contains(&field.field.key)
}

/// A section of more rows than these is opened on asking.
const MOST_OPEN: usize = 2;

fn section_part(
    section: &'static Section,
    next: Option<&'static Section>,
    reading: &Reading,
    unfolds: bool,
) -> Markup {
    let is_begun = reading.document.as_ref().is_some_and(|document| document.has_section(section.name));
    let places = places(section, reading);
    let is_faulty =
        places.iter().flat_map(|place| fields_at(section, place, reading)).any(|field| field.is_invalid());
    let chief = chief(section, &places, reading);
    html! {
        details.part id={ "part-" (section.name) } data-fold={ "part-" (section.name) }
            open[is_faulty || unfolds && (is_begun || section.is_required) && places.len() <= MOST_OPEN] {
            summary {
                h2 { (section.heading) }
                span.count { (count(section, &places, reading, is_begun)) }
                span.chief { (chief) }
            }
            p.aside { (section.help) }
            @for (index, place) in places.iter().enumerate() {
                @if section.is_repeated {
                    h3 id={ "part-" (section.name) "-" (index + 1) } { (section.heading) ", number " (index + 1) }
                }
                @let (at_hand, more): (Vec<_>, Vec<_>) = fields_at(section, place, reading).into_iter().partition(is_at_hand);
                div.sheet { @for field in &at_hand { (field.row()) } }
                @if !more.is_empty() {
                    // What is empty throughout has been asked for: nothing of it is folded.
                    @let is_filled = at_hand.iter().any(FieldOnSheet::is_filled);
                    details.more-fields data-fold=[is_filled.then(|| format!("more-{place}"))] open[!is_filled] {
                        summary { (more.len()) " more, estimated, usual or none while nothing is filled in" }
                        div.sheet { @for field in &more { (field.row()) } }
                    }
                }
                @if is_begun && !section.is_required {
                    p { button.quiet name=(DO) value=(OfSheet::Remove(place.clone()).value()) {
                        "Take out "
                        @if section.is_repeated { "number " (index + 1) } @else { "this section" }
                    } }
                }
            }
            @if section.is_repeated {
                p { button name=(DO) value=(OfSheet::Add(section.name.to_owned()).value()) {
                    @if places.is_empty() { "Begin the first" } @else { "Add another" }
                } }
            }
            @if let Some(next) = next {
                p.next { a href={ "#part-" (next.name) } data-next=(next.name) { "Next: " (next.heading) } }
            }
        }
    }
}

/// The first figures that are filled in, as typed, as many as stand in one line of a phone.
fn chief(section: &'static Section, places: &[String], reading: &Reading) -> String {
    const LINE: usize = 46;
    let fields = places.iter().take(1).flat_map(|place| fields_at(section, place, reading));
    let figures =
        fields.filter(|field| matches!(field.field.kind, FieldKind::Quantity(_))).filter_map(|field| {
            Some(format!("{} {}", field.field.label, field.plain_value().filter(|value| !value.is_empty())?))
        });
    let mut line = String::new();
    for figure in figures {
        if !line.is_empty() && line.len() + figure.len() > LINE {
            break;
        }
        line += if line.is_empty() { "" } else { ", " };
        line += &figure;
    }
    line
}

fn count(section: &'static Section, places: &[String], reading: &Reading, is_begun: bool) -> String {
    if !is_begun && !section.is_required {
        return "nothing yet".to_owned();
    }
    let fields: Vec<FieldOnSheet<'_>> =
        places.iter().flat_map(|place| fields_at(section, place, reading)).collect();
    let filled = fields.iter().filter(|field| field.is_filled()).count();
    let faulty = fields.iter().filter(|field| field.is_invalid()).count();
    let faults = match faulty {
        0 => String::new(),
        1 => ", 1 fault".to_owned(),
        count => format!(", {count} faults"),
    };
    format!("{filled} of {} filled in{faults}", fields.len())
}

/// The words beside each section's heading and its first figures, by its name, for pages that are open.
pub fn summaries(reading: &Reading) -> Vec<(&'static str, [String; 2])> {
    SECTIONS
        .iter()
        .map(|section| {
            let is_begun =
                reading.document.as_ref().is_some_and(|document| document.has_section(section.name));
            let places = places(section, reading);
            (section.name, [count(section, &places, reading, is_begun), chief(section, &places, reading)])
        })
        .collect()
}

/// What is wrong or doubtful in the whole document, each a way to its place.
pub fn findings(reading: &Reading) -> Markup {
    let list = |severity: Severity| {
        reading.faults.iter().filter(move |fault| fault.severity == severity).collect::<Vec<_>>()
    };
    html! {
        @for (severity, heading) in [(Severity::Error, "To put right"), (Severity::Doubt, "Unusual, but used")] {
            @let faults = list(severity);
            @if !faults.is_empty() {
                details.findings open[severity == Severity::Error && faults.len() <= 8] {
                    summary { (heading) " (" (faults.len()) ")" }
                    (fault_list(faults.into_iter(), ""))
                }
            }
        }
    }
}

/// The sentence that says how far she is described.
pub fn sentence(name: &str, reading: &Reading) -> Markup {
    let filled: Vec<FieldOnSheet<'_>> = fields(reading).into_iter().filter(|f| f.is_filled()).collect();
    let assumed = filled.iter().filter(|f| f.mark() == super::field::Mark::Said(Origin::Assumed)).count();
    html! {
        @match (reading.errors(), reading.document.is_some()) {
            (_, false) => { (name) "’s document cannot be read as it stands." }
            (0, _) => {
                (name) " is described in " strong { (filled.len()) " fields" } ", "
                @match assumed { 0 => "none of them assumed.", 1 => "one of them assumed.", n => { (n) " of them assumed." } }
            }
            (1, _) => { strong.binds { "One thing" } " stands between " (name) " and a result." }
            (n, _) => { strong.binds { (n) " things" } " stand between " (name) " and a result." }
        }
    }
}
