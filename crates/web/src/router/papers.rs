//! The routes of the page Report: to read and print in its place, and as a file that stands alone.
//! Not for: what stands on it (`wakewright_papers`).

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use axum::{Extension, Router};
use maud::html;
use wakewright_papers::{HAS_PDF, Reader, Record, RecordError, Report};
use wakewright_rooms::room::{AnyRoom, Replies};

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
        // The fingerprint stands for all that a report follows from.
        let asked =
            format!("for={}&from={}&width={}", reader.word(), record.fingerprint(), widths.whole.round());
        let asked = Query::parse(asked.as_bytes());
        let contents = site.once(("paper", "report"), &boat, (&asked, &visitor), || {
            let page = Some((widths.whole, widths.unfolds()));
            Ok(Report::of(site.rooms(), &record, reader, &parts::paper()).contents(page))
        })?;
        let to = |reader: Reader, rest: &str| {
            address::of_boat(&slug, &format!("report{rest}?for={}", reader.word()))
        };
        let body = html! {
            nav.ways-on.readers aria-label="For whom" {
                @for other in Reader::ALL {
                    a.button href=(to(other, "")) aria-current=[(other == reader).then_some("true")] { "For her " (other.word()) }
                }
                a.button href=(to(reader, "/file")) download { "Save as a file" }
                @if HAS_PDF { a.button href=(format!("{}&as=pdf", to(reader, "/file"))) download { "Save as PDF" } }
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
        let is_pdf = query.get("as") == Some("pdf");
        site.in_turn(|| {
            let report = Report::of(site.rooms(), &record, reader, &parts::paper());
            saved(&report, (&boat.entry.slug, reader.word()), is_pdf)
        })
    })
    .await
}

/// What a room says as a paper, its questions answered as the address does.
pub(super) fn of_room(
    site: &Site,
    boat: &BoatOnPage,
    room: &'static dyn AnyRoom,
    (query, is_pdf): (&Query, bool),
) -> Result<Response, WebError> {
    let record = record_of(site, boat)?;
    let is_reply = |name: &str| room.questions().iter().any(|question| question.key == name);
    let given = query.pairs().filter(|(name, text)| is_reply(name) && !text.trim().is_empty());
    let replies = Replies::read(room.questions(), given)
        .map_err(|(name, why)| WebError::BadRequest(format!("{name}: {why}.")))?;
    site.in_turn(|| {
        let report = Report::of_room(site.rooms(), &record, room, replies, &parts::paper())
            .map_err(|no| WebError::NoResult(no.message().to_owned()))?;
        saved(&report, (&boat.entry.slug, room.card().key), is_pdf)
    })
}

/// A paper as the file `slug-word`.
fn saved(report: &Report<'_>, (slug, word): (&str, &str), is_pdf: bool) -> Result<Response, WebError> {
    let (end, media) = if is_pdf { ("pdf", "application/pdf") } else { ("html", "text/html; charset=utf-8") };
    let file = if is_pdf { report.to_pdf() } else { Ok(report.to_html().into_bytes()) };
    let file = file.map_err(|why| WebError::NoResult(format!("There is no such file: {why}.")))?;
    let name = format!("attachment; filename=\"{slug}-{word}.{end}\"");
    let heads = [(CONTENT_TYPE, media.to_owned()), (CONTENT_DISPOSITION, name)];
    Ok((heads, file).into_response())
}
