//! Whatever goes wrong on the page: one kind of error, its status and its words.
//! The page around the words is put there by the router, which knows the visitor.

use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use wakewright_store::{BoatId, StoreError, UnixMs};

use super::address;
use super::words::fault_list;
use wakewright_rooms::boats::LoadError;
use wakewright_rooms::moment;

/// Why a page cannot be shown as asked.
#[derive(Debug, thiserror::Error)]
pub enum WebError {
    /// Nothing is at this address.
    #[error("There is no such page.")]
    NoSuchPage,
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// Her document cannot be used as it is.
    #[error(transparent)]
    Document(#[from] LoadError),
    /// Her latest revision lacks something, or has faults.
    #[error("{name} is not described far enough for an answer; her sheet says what is missing.")]
    Unfinished {
        /// Her slug.
        slug: String,
        /// Her name.
        name: String,
    },
    /// No result at her numbers.
    #[error("{0}")]
    NoResult(String),
    /// What was sent cannot be used.
    #[error("{0}")]
    BadRequest(String),
    /// She was taken off the list while something was typed about her; that is kept.
    #[error("{name} was taken off the list at {}. What was typed is kept.", moment::local(*at))]
    TakenOff {
        /// Her name.
        name: String,
        /// Her number.
        id: BoatId,
        /// When.
        at: UnixMs,
        /// Her slug, and the draft with what was typed.
        typed: (String, String),
    },
    /// More is asked at once than can be computed.
    #[error(
        "More is asked of this computer than it can compute: {waiting} other questions wait. Ask again in a moment."
    )]
    Busy {
        /// Questions that came later and wait.
        waiting: usize,
    },
    /// The work was broken off.
    #[error("The program failed at this page. Nothing of it was kept; try again.")]
    BrokenOff,
}

/// Travels with the response until the router has put the page around it.
#[derive(Debug, Clone)]
pub struct ErrorPage {
    /// The sentence.
    pub sentence: String,
    /// What to do.
    pub advice: Markup,
    /// Slug of the boat whose page says what she lacks, in the place of this one.
    pub unfinished: Option<String>,
}

impl ErrorPage {
    fn says(sentence: &str) -> Self {
        Self { sentence: sentence.to_owned(), advice: html! {}, unfinished: None }
    }
}

impl WebError {
    /// The status of the answer.
    pub fn status(&self) -> StatusCode {
        match self {
            Self::NoSuchPage => StatusCode::NOT_FOUND,
            Self::Store(
                StoreError::NoSuchBoat { .. }
                | StoreError::NoSuchRevision { .. }
                | StoreError::NoSuchSide { .. }
                | StoreError::NoSuchRecord { .. }
                | StoreError::NoSuchEntry { .. },
            ) => StatusCode::NOT_FOUND,
            Self::Store(
                StoreError::NameTaken { .. }
                | StoreError::BoatRemoved { .. }
                | StoreError::NothingToUndo { .. },
            )
            | Self::TakenOff { .. } => StatusCode::CONFLICT,
            Self::Store(StoreError::BadName { .. }) | Self::BadRequest(_) => StatusCode::BAD_REQUEST,
            Self::Document(_) | Self::Unfinished { .. } | Self::NoResult(_) => {
                StatusCode::UNPROCESSABLE_ENTITY
            }
            Self::Busy { .. } => StatusCode::SERVICE_UNAVAILABLE,
            Self::Store(_) | Self::BrokenOff => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    /// What the page says.
    pub fn page(&self) -> ErrorPage {
        match self {
            Self::Document(LoadError::Faulty { faults, .. }) => ErrorPage {
                advice: fault_list(faults.iter(), ""),
                ..ErrorPage::says("Her document cannot be used as it is.")
            },
            Self::Unfinished { slug, .. } => {
                ErrorPage { unfinished: Some(slug.clone()), ..ErrorPage::says(&self.to_string()) }
            }
            Self::Store(StoreError::BoatRemoved { name, id, at }) => ErrorPage {
                advice: html! { p { "Everything of hers is kept, what was typed last too." } (put_back(*id)) },
                ..ErrorPage::says(&format!("{name} was taken off the list at {}.", moment::local(*at)))
            },
            Self::TakenOff { name, id, typed: (slug, draft), .. } => ErrorPage {
                advice: html! {
                    p { "Put her back on the list, and it is there as it was; or keep it as a new boat." }
                    (put_back(*id))
                    form method="post" action=(address::of_boat(slug, "copy")) {
                        input type="hidden" name="typed" value=(draft);
                        label for="new-name" { "Keep as a new boat under the name" }
                        input id="new-name" name="name" required maxlength="80" value={ (name) " (kept)" };
                        button { "Keep as a new boat" }
                    }
                },
                ..ErrorPage::says(&self.to_string())
            },
            _ => ErrorPage::says(&self.to_string()),
        }
    }
}

fn put_back(boat: BoatId) -> Markup {
    html! {
        form method="post" action="/reinstate" { button.main name="boat" value=(boat.0) { "Put her back on the list" } }
    }
}

impl IntoResponse for WebError {
    fn into_response(self) -> Response {
        let mut response = self.status().into_response();
        response.extensions_mut().insert(self.page());
        response
    }
}
