//! The verdict at the foot of the sheet, for what is typed: her speed with its band and what stops her, and the field
//! that would narrow it most; or what still stands between her and a result. Not for: the whole of it (Drive).

use maud::{Markup, html};
use wakewright_records::boat::Severity;
use wakewright_rooms::boats::understand;
use wakewright_rooms::drive::glance;

use crate::error::WebError;
use crate::parts;
use crate::query::Query;
use crate::state::Site;
use crate::visitor::Visitor;
use crate::words::{fault_words, field_words, place_on_sheet};
use crate::working::{Reading, WorkingCopy};

/// The line.
///
/// # Errors
/// There is no such boat; too much is asked at once.
pub fn verdict(site: &Site, slug: &str, query: &Query, visitor: &Visitor) -> Result<Markup, WebError> {
    let copy = WorkingCopy::open(site, slug, visitor, query)?;
    let reading = Reading::typed(&copy.text, &copy.base.text);
    let way = |address: &str, words: &str| match place_on_sheet(address) {
        Some(place) => html! { a href={ "#" (place) } { (words) } },
        None => html! { (words) },
    };
    if let Some(first) = reading.faults.iter().find(|fault| fault.severity == Severity::Error) {
        let others = match reading.errors() - 1 {
            0 => String::new(),
            1 => " One more thing is missing.".to_owned(),
            count => format!(" {count} more are missing."),
        };
        let words = fault_words(first);
        let said = if first.field.is_empty() {
            html! { (words) }
        } else {
            html! { (way(&first.field, &field_words(&first.field))) ": " (words) }
        };
        return Ok(html! { span { "No verdict yet. " (said) (others) } });
    }
    let loaded = understand(&copy.text, &copy.entry.name, &[])?;
    site.in_turn(|| {
        Ok(match glance(&loaded, parts::SETTLED_SAMPLES, &parts::paper()) {
            Ok(seen) => html! {
                strong { (seen.verdict) }
                @if let Some((key, advice)) = &seen.narrows { " " (way(&address_of(key), advice)) }
            },
            Err(no) => html! { (no.message()) },
        })
    })
}

/// The field of this key on the sheet: of a part that may be there several times the first.
fn address_of(key: &str) -> String {
    use wakewright_records::boat::section_named;
    match key.split_once('.') {
        Some((section, name)) if section_named(section).is_some_and(|section| section.is_repeated) => {
            format!("{section}[1].{name}")
        }
        _ => key.to_owned(),
    }
}
