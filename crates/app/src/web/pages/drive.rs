//! The Drive page. Not for: computing or drawing.

use maud::{Markup, html};

use crate::web::error::WebError;
use crate::web::query::Query;
use crate::web::state::BoatOnPage;
use crate::web::visitor::Visitor;

/// The contents of the page.
///
/// # Errors
/// When there is no result at her numbers.
pub fn contents(boat: &BoatOnPage, _query: &Query, _visitor: &Visitor) -> Result<Markup, WebError> {
    Ok(html! { p.sentence { (boat.loaded.name) ": nothing is shown here yet." } })
}
