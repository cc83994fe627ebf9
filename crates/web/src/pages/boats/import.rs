//! Documents brought in as files or as pasted text. What cannot be entered is shown again as it was
//! sent, with what is wrong. Not for: judging a document (`transfer`).

use std::io::Cursor;

use maud::{Markup, html};
use wakewright_store::StoreError;

use crate::address;
use crate::error::WebError;
use crate::state::{Site, now};
use wakewright_rooms::archive;
use wakewright_rooms::transfer::{SameName, TransferError, bring_in};

/// One text that was sent.
#[derive(Debug, Clone)]
pub struct Sent {
    /// Name of the file; `None` when it was pasted.
    pub file: Option<String>,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// All that was sent.
#[derive(Debug, Clone, Default)]
pub struct Parcel {
    /// The texts.
    pub texts: Vec<Sent>,
    /// Name to enter her under, instead of the document's.
    pub name: Option<String>,
    /// Add to the boat of that name.
    pub adds_revision: bool,
}

/// What became of it.
#[derive(Debug)]
pub enum Came {
    /// Everything is in; go to this address.
    In(String),
    /// Something is not; this page says what.
    Not(Markup),
}

/// A text that is not in, and why.
#[derive(Debug)]
pub struct Refused {
    text: String,
    place: String,
    reason: String,
    is_name_taken: bool,
}

/// The form, with a text that was refused filled in.
pub fn form(refused: Option<&Refused>) -> Markup {
    html! {
        details.part open[refused.is_some()] {
            summary { h2 { "Bring in a boat" } }
            p.aside { "A boat document (.toml) or a form of a pocket sheet, as a file or pasted; faults in it are kept and explained on her page. Or an archive (.zip) with her trials, logs and records." }
            form method="post" action="/import" enctype="multipart/form-data" {
                @if let Some(refused) = refused {
                    div.caution role="alert" { strong { (refused.place) ": not entered yet" } p { (refused.reason) } }
                }
                p { label for="import-file" { "Files" } input id="import-file" type="file" name="file" multiple accept=".toml,.zip,text/plain"; }
                p { label for="import-text" { "Or the text itself" }
                    textarea.document id="import-text" name="text" rows="6" spellcheck="false" { "\n" @if let Some(refused) = refused { (refused.text) } } }
                p { label for="import-name" { "Name, if another than the document’s" } input id="import-name" name="name" maxlength="80" autocomplete="off"; }
                @if refused.is_some_and(|refused| refused.is_name_taken) {
                    p { label.tick { input type="checkbox" name="adds"; " add it to that boat as a new revision" } }
                }
                div.buttons { button { "Bring in" } }
            }
        }
    }
}

/// Enters each text by itself.
///
/// # Errors
/// The store fails.
pub fn import(site: &Site, parcel: &Parcel) -> Result<Came, WebError> {
    let mut store = site.store();
    let mut entered = Vec::new();
    let mut refused = Vec::new();
    let same_name = if parcel.adds_revision { SameName::AddRevision } else { SameName::Refuse };
    for sent in &parcel.texts {
        let place = sent.file.clone().unwrap_or_else(|| "The text".to_owned());
        let note = format!("brought in from {}", sent.file.as_deref().unwrap_or("a pasted text"));
        if sent.bytes.starts_with(b"PK\x03\x04") {
            match archive::bring_in(&mut store, Cursor::new(&sent.bytes), parcel.name.as_deref()) {
                Ok((boat, _)) => entered.push(boat),
                Err(error) => {
                    let reason = format!("{error}.");
                    refused.push(Refused { text: String::new(), place, reason, is_name_taken: false });
                }
            }
            continue;
        }
        let Ok(text) = String::from_utf8(sent.bytes.clone()) else {
            let reason =
                "This is no text file; a boat document is TOML in UTF-8. A backup of the whole store comes \
                          back under “Back up, restore, share”."
                    .to_owned();
            refused.push(Refused { text: String::new(), place, reason, is_name_taken: false });
            continue;
        };
        match bring_in(&mut store, &text, parcel.name.as_deref(), same_name, &note, now()) {
            Ok(got) => entered.push(got.boat),
            Err(TransferError::Store(
                error @ (StoreError::NameTaken { .. } | StoreError::BadName { .. }),
            )) => {
                let is_name_taken = matches!(error, StoreError::NameTaken { .. });
                refused.push(Refused { text, place, reason: error.to_string(), is_name_taken });
            }
            Err(TransferError::Store(error)) => return Err(error.into()),
            Err(error) => {
                refused.push(Refused { text, place, reason: format!("{error}"), is_name_taken: false });
            }
        }
    }
    if parcel.texts.is_empty() {
        let reason = "Choose a file or paste a text.".to_owned();
        refused.push(Refused {
            text: String::new(),
            place: "Nothing was sent".to_owned(),
            reason,
            is_name_taken: false,
        });
    }
    if refused.is_empty() {
        return Ok(Came::In(match entered.as_slice() {
            [only] => address::of_boat(&only.slug, "boat"),
            _ => "/".to_owned(),
        }));
    }
    Ok(Came::Not(html! {
        h1.sentence {
            @match entered.len() { 0 => "Nothing was brought in.", 1 => "One boat was brought in.", n => { (n) " boats were brought in." } }
            @if refused.len() > 1 { " " (refused.len()) " texts were not." }
        }
        @if !entered.is_empty() { ul { @for boat in &entered { li { a href=(address::of_boat(&boat.slug, "boat")) { (boat.name) } } } } }
        @for refused in &refused { (form(Some(refused))) }
        p { a href="/" { "To the boats" } }
    }))
}
