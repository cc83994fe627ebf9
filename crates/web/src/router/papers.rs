//! The routes of the page Report: to read and print in its place, and as a file that stands alone.
//! Not for: what stands on it (`wakewright_papers`).

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use axum::{Extension, Router};
use maud::html;
use wakewright_papers::{Reader, Record, RecordError, Report};

use super::{Answer, Slug, TheSite, Who, about_boat};
use crate::error::WebError;
use crate::layout::Here;
use crate::parts::Widths;
use crate::query::Query;
use crate::state::{BoatOnPage, Site};
use crate::{address, parts};

/// All of them.
pub(super) fn routes() -> Router<Arc<Site>> {
    Router::new().route("/boats/{slug}/report", get(report)).route("/boats/{slug}/report/file", get(file))
}

impl From<RecordError> for WebError {
    fn from(error: RecordError) -> Self {
        match error {
            RecordError::Load(error) => error.into(),
            RecordError::Trial(error) => error.into(),
        }
    }
}

fn reader_of(query: &Query) -> Result<Reader, WebError> {
    let Some(word) = query.get("for") else { return Ok(Reader::Owner) };
    let words: Vec<&str> = Reader::ALL.iter().map(|reader| reader.word()).collect();
    Reader::of_word(word).ok_or_else(|| {
        WebError::BadRequest(format!("There is a report for {}, and none for {word:?}.", words.join(", ")))
    })
}

fn record_of(site: &Site, boat: &BoatOnPage) -> Result<Record, WebError> {
    let store = site.store();
    Ok(Record::of_loaded(&store, site.shelf(), &boat.entry, &boat.revision, boat.loaded.clone())?)
}

async fn report(State(site): TheSite, Path(slug): Slug, query: Query, Extension(visitor): Who) -> Answer {
    site.run_while_wanted(move |site| {
        let boat = site.boat(&slug)?;
        let (record, reader) = (record_of(site, &boat)?, reader_of(&query)?);
        let widths = Widths::of(parts::contents_width(&query, &visitor));
        let page = Some((widths.whole, widths.unfolds()));
        let contents = site
            .in_turn(|| Ok(Report::of(site.rooms(), &record, reader, &parts::paper()).contents(page)))?;
        let to = |reader: Reader, rest: &str| {
            address::of_boat(&slug, &format!("report{rest}?for={}", reader.word()))
        };
        let body = html! {
            nav.ways-on.readers aria-label="For whom" {
                @for other in Reader::ALL {
                    a.button href=(to(other, "")) aria-current=[(other == reader).then_some("true")] { "For her " (other.word()) }
                }
                a.button href=(to(reader, "/file")) download { "Save as a file" }
            }
            article.report { (contents) }
        };
        Ok(about_boat(site.rooms(), &boat, &visitor, (Here::At("report"), "Report"), &body))
    })
    .await
}

/// The same as a file for printing and keeping.
async fn file(State(site): TheSite, Path(slug): Slug, query: Query) -> Result<Response, WebError> {
    site.run_while_wanted(move |site| {
        let boat = site.boat(&slug)?;
        let (record, reader) = (record_of(site, &boat)?, reader_of(&query)?);
        let text =
            site.in_turn(|| Ok(Report::of(site.rooms(), &record, reader, &parts::paper()).to_html()))?;
        let name = format!("attachment; filename=\"{}-{}.html\"", boat.entry.slug, reader.word());
        let heads = [(CONTENT_TYPE, "text/html; charset=utf-8".to_owned()), (CONTENT_DISPOSITION, name)];
        Ok((heads, text).into_response())
    })
    .await
}
