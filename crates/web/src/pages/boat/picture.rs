//! Her profile at the head of the sheet, drawn from the numbers as they are typed.
//! Not for: drawing.

use maud::{Markup, PreEscaped, html};
use wakewright_core::field;
use wakewright_picture::{Frame, Picture, Theme};
use wakewright_records::boat::Severity;
use wakewright_rooms::text::Paper;
use wakewright_units::UnitSystem;

use crate::visitor::Visitor;
use crate::working::Reading;
use wakewright_rooms::scene::profile_of;

/// Sections that the drawing is made from.
const DRAWN: [&str; 2] = ["hull.", "propeller."];

/// The drawing; `None` when she has no length yet, or when one of the numbers that it is made from
/// cannot be read.
pub fn picture(reading: &Reading, visitor: &Visitor) -> Option<Markup> {
    let document = reading.document.as_ref()?;
    document.stated_number(field::hull::LENGTH_OVERALL)?;
    let spoils =
        |field: &str| DRAWN.iter().any(|part| field.starts_with(part)) && document.typed(field).is_some();
    let is_spoilt =
        reading.faults.iter().any(|fault| fault.severity == Severity::Error && spoils(&fault.field));
    if is_spoilt {
        return None;
    }
    let paper = Paper { width: 80, has_ink: false, units: UnitSystem::Trade };
    let profile = profile_of(document, reading.spec.as_ref(), &paper);
    let svg = profile.to_svg(&Frame::new(visitor.width_px, Theme::Page, "profile"));
    Some(html! { figure { (PreEscaped(svg)) } })
}

/// The drawing of what is typed, else the last good one that is known here, which says so.
pub fn picture_or_last_good(reading: &Reading, base_text: &str, visitor: &Visitor) -> Markup {
    if let Some(picture) = picture(reading, visitor) {
        return picture;
    }
    match picture(&Reading::of(base_text), visitor) {
        Some(last) => {
            html! { p.notice { "The last good drawing: one of the numbers typed since cannot be read." } (last) }
        }
        None => html! { p.aside { "Her drawing appears here once her length overall is filled in." } },
    }
}
