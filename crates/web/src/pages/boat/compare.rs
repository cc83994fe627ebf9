//! Two texts of a boat compared, by field and by line.

use super::AboutBoat;
use super::history::document;
use crate::address;
use crate::error::WebError;
use crate::query::Query;
use crate::state::Site;
use crate::words::field_words;
use maud::{Markup, html};
use wakewright_records::boat::Difference;
use wakewright_rooms::moment;
use wakewright_store::{DiffLine, LineChange, diff_lines};

/// Two revisions, or a revision and a draft, side by side.
///
/// # Errors
/// There is no such boat, revision or draft.
pub fn compare(site: &Site, slug: &str, query: &Query) -> Result<AboutBoat, WebError> {
    let store = site.store();
    let entry = store.find_by_slug(slug)?;
    let number = |name: &str| query.get(name).and_then(|text| text.parse::<u32>().ok());
    let latest = store.latest(entry.id)?.head.number;
    let old_number = number("old").unwrap_or(latest);
    let old = store.get(entry.id, old_number)?.text;
    let (new, new_words) = match query.get("draft") {
        Some(device) => {
            let drafts = store.drafts(entry.id)?;
            let found = drafts.into_iter().find(|draft| draft.device.replace('.', "-") == device);
            let draft = found.ok_or(WebError::NoSuchPage)?;
            (draft.text, format!("what was typed up to {}", moment::local_to_the_second(draft.time)))
        }
        None => {
            let number = number("new").unwrap_or(latest);
            (store.get(entry.id, number)?.text, format!("revision {number}"))
        }
    };
    drop(store);
    let old_words = format!("revision {old_number}");
    let found = differences(&old, &new);
    let body = html! {
        h1.sentence {
            @match found.as_ref().map(Vec::len) {
                Some(0) if old == new => { "No difference between " (old_words) " and " (new_words) "." }
                Some(0) => { "No field differs between " (old_words) " and " (new_words) "; only remarks or layout do." }
                Some(1) => { strong { "One field" } " differs between " (old_words) " and " (new_words) "." }
                Some(count) => { strong { (count) " fields" } " differ between " (old_words) " and " (new_words) "." }
                None => { (old_words) " and " (new_words) " can be compared line by line only." }
            }
        }
        @if let Some(found) = found.filter(|found| !found.is_empty()) { (difference_table(&found, &old_words, &new_words)) }
        (line_table(&diff_lines(&old, &new)))
        p { a href=(address::of_boat(slug, "history")) { "To the revisions" } }
    };
    Ok(AboutBoat { entry, body })
}

/// The fields that differ, if both texts are documents.
pub(super) fn differences(old: &str, new: &str) -> Option<Vec<Difference>> {
    Some(document(old)?.differences(&document(new)?))
}

fn difference_table(found: &[Difference], old: &str, new: &str) -> Markup {
    html! {
        div.scroll { table.stacks {
            caption { "Field by field" }
            thead { tr { th scope="col" { "field" } th scope="col" { (old) } th scope="col" { (new) } } }
            tbody { @for difference in found { tr {
                th scope="row" { (field_words(&difference.address)) }
                td data-head=(old) { (value(difference.first.as_ref())) }
                td data-head=(new) { (value(difference.second.as_ref())) }
            } } }
        } }
    }
}

/// A value as written, or that there is none.
pub(super) fn value(text: Option<&String>) -> Markup {
    html! { @match text { Some(text) => (text), None => span.aside { "not stated" } } }
}

/// The lines that differ, with two lines around each place.
pub(super) fn line_table(lines: &[DiffLine]) -> Markup {
    const AROUND: usize = 2;
    let is_near = |index: usize| {
        let around = index.saturating_sub(AROUND)..=(index + AROUND).min(lines.len().saturating_sub(1));
        lines.get(around).is_some_and(|part| part.iter().any(|line| line.change != LineChange::Same))
    };
    if lines.iter().all(|line| line.change == LineChange::Same) {
        return html! {};
    }
    html! {
        details.lines {
            summary { "Line by line" }
            div.scroll tabindex="0" role="region" aria-label="Line by line" { table.code { tbody {
                @for (index, line) in lines.iter().enumerate().filter(|(index, _)| is_near(*index)) {
                    @let (class, mark, word) = match line.change {
                        LineChange::Same => ("same", "", ""),
                        LineChange::Removed => ("removed", "−", "before: "),
                        LineChange::Added => ("added", "+", "after: "),
                    };
                    tr class=(class) data-index=(index) {
                        td.number { @if let Some(n) = line.old_line { (n) } }
                        td.number { @if let Some(n) = line.new_line { (n) } }
                        td { span aria-hidden="true" { (mark) } span.visually-hidden { (word) } }
                        td { code { (line.text) } }
                    }
                }
            } } }
        }
    }
}
