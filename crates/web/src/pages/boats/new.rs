//! A boat from nothing: the few questions that matter most, made from the fields' descriptors.

use maud::{Markup, html};
use wakewright_core::field;
use wakewright_records::boat::{field_named, new_document};
use wakewright_store::StoreError;

use crate::address;
use crate::error::WebError;
use crate::pages::boat::FieldOnSheet;
use crate::query::Query;
use crate::state::{Site, now};
use crate::working::{Reading, with_changes};
use wakewright_rooms::first_questions::QUESTIONS;

/// The page with the questions, `answers` filled in and `fault` named.
pub fn questions(answers: &Query, fault: Option<&str>) -> Markup {
    let mut reading = Reading::of(&with_changes(String::new(), "", answers));
    // What is not answered yet is no fault here; what is answered wrongly is.
    let is_typed = |address: &str| reading.document.as_ref().is_some_and(|d| d.typed(address).is_some());
    let named: Vec<_> = reading.faults.iter().filter(|fault| is_typed(&fault.field)).cloned().collect();
    reading.faults = named;
    let fields = QUESTIONS.iter().filter_map(|key| {
        Some(FieldOnSheet { field: field_named(key)?, address: (*key).to_owned(), reading: &reading })
    });
    html! {
        h1.sentence { "A few measurements make a boat; the rest can be estimated and measured later." }
        p.under-sentence { "Only her name is needed now. Write units as you have them: 12 in, 5.4 t, 27 ft 6 in." }
        @if let Some(fault) = fault { div.caution role="alert" { strong { "Not entered yet" } p { (fault) } } }
        form method="post" action="/new" autocomplete="off" {
            div.sheet { @for field in fields { (field.row()) } }
            div.buttons { button.main { "Enter her" } a.button href="/" { "Back to the boats" } }
        }
    }
}

/// Enters the boat that the form describes, wrong answers kept as typed for the survey sheet to
/// explain. Gives the address to go to, or what is wrong with her name.
///
/// # Errors
/// The store fails.
pub fn make(site: &Site, form: &Query) -> Result<Result<String, String>, WebError> {
    let reading = Reading::of(&with_changes(String::new(), "", form));
    let typed = |key: &str| reading.document.as_ref().and_then(|d| d.typed(key)).map(str::to_owned);
    let answers: Vec<(&str, String)> = QUESTIONS.iter().filter_map(|key| Some((*key, typed(key)?))).collect();
    let borrowed: Vec<(&str, &str)> = answers.iter().map(|(key, text)| (*key, text.as_str())).collect();
    let name = typed(field::boat::NAME).unwrap_or_default();
    if name.trim().is_empty() {
        return Ok(Err("She needs a name.".to_owned()));
    }
    let mut store = site.store();
    match store.create(&name, &new_document(&borrowed), "first description", now()) {
        Ok(id) => Ok(Ok(address::of_boat(&store.boat(id)?.slug, "boat"))),
        Err(error @ (StoreError::NameTaken { .. } | StoreError::BadName { .. })) => {
            Ok(Err(error.to_string()))
        }
        Err(error) => Err(error.into()),
    }
}
