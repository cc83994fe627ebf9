//! The Boat page: the survey sheet. Not for: reading the document.

use maud::{Markup, html};

use crate::web::error::WebError;
use crate::web::query::Query;
use crate::web::state::Site;
use crate::web::visitor::Visitor;

/// The contents of the page.
///
/// # Errors
/// There is no such boat.
pub fn contents(
    site: &Site,
    slug: &str,
    _query: &Query,
    _visitor: &Visitor,
) -> Result<(String, Markup), WebError> {
    let (entry, revision) = site.latest(slug)?;
    let body = html! { p.sentence { (entry.name) } pre { (revision.text) } };
    Ok((entry.name, body))
}
