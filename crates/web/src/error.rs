//! Whatever goes wrong on the page: one kind of error, its status and its words.
//! The page around the words is put there by the router, which knows the visitor.

use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use wakewright_store::StoreError;

use wakewright_rooms::boats::LoadError;

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
    /// No result at her numbers.
    #[error("{0}")]
    NoResult(String),
    /// What was sent cannot be used.
    #[error("{0}")]
    BadRequest(String),
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
                | StoreError::NoSuchTrial { .. },
            ) => StatusCode::NOT_FOUND,
            Self::Store(
                StoreError::NameTaken { .. }
                | StoreError::BoatRemoved { .. }
                | StoreError::NothingToUndo { .. },
            ) => StatusCode::CONFLICT,
            Self::Store(StoreError::BadName { .. }) | Self::BadRequest(_) => StatusCode::BAD_REQUEST,
            Self::Document(_) | Self::NoResult(_) => StatusCode::UNPROCESSABLE_ENTITY,
            Self::Store(_) | Self::BrokenOff => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    /// What the page says.
    pub fn page(&self) -> ErrorPage {
        match self {
            Self::Document(error @ LoadError::Faulty { .. }) => ErrorPage {
                sentence: "Her document cannot be used as it is.".to_owned(),
                advice: html! { pre.faults { (error.message()) } },
            },
            _ => ErrorPage { sentence: self.to_string(), advice: html! {} },
        }
    }
}

impl IntoResponse for WebError {
    fn into_response(self) -> Response {
        let mut response = self.status().into_response();
        response.extensions_mut().insert(self.page());
        response
    }
}
