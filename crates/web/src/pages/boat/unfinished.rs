//! In the place of an answer about a boat whose document lacks something: what, each a way to its field; what is
//! typed on this device and not kept yet is counted in. Not for: the sheet.

use maud::{Markup, html};
use wakewright_records::boat::Severity;

use super::{AboutBoat, sheet};
use crate::error::WebError;
use crate::query::Query;
use crate::state::Site;
use crate::visitor::Visitor;
use crate::words::{fault_list, sheet_of};
use crate::working::{Reading, WorkingCopy};
use wakewright_rooms::moment;

/// What stands between her and an answer.
///
/// # Errors
/// There is no such boat.
pub fn unfinished(site: &Site, slug: &str, visitor: &Visitor) -> Result<AboutBoat, WebError> {
    let copy = WorkingCopy::open(site, slug, visitor, &Query::default())?;
    let reading = Reading::typed(&copy.text, &copy.base.text);
    let to_sheet = sheet_of(&copy.entry.slug);
    let faults = reading.faults.iter().filter(|fault| fault.severity == Severity::Error);
    let counted: Markup = html! {
        @if let Some(time) = copy.typed {
            p.under-sentence { "What was typed up to " (moment::local_to_the_second(time)) " and is not kept yet is counted in." }
        }
    };
    let body = html! {
        @if reading.errors() == 0 {
            h1.sentence { "Nothing stands between " (copy.entry.name) " and a result but keeping what was typed." }
            (counted)
            p { a href=(to_sheet) { "To her sheet, to keep it as a revision" } }
        } @else {
            h1.sentence { (sheet::sentence(&copy.entry.name, &reading)) }
            (counted)
            (fault_list(faults, &to_sheet))
            p { a href=(to_sheet) { "To her sheet" } }
        }
    };
    Ok(AboutBoat { entry: copy.entry, body })
}
