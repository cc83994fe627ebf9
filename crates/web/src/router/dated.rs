//! The routes of dated records. Not for: what their pages show.

use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::{Multipart, Path, State};
use axum::response::{Redirect, Response};
use axum::routing::{get, post};
use axum::{Extension, Json, Router};

use super::{Answer, Onward, TheSite, Who, about, onward};
use crate::error::WebError;
use crate::layout::Here;
use crate::pages::dated;
use crate::query::Query;
use crate::state::Site;
use wakewright_rooms::photograph::LONGEST_PHOTOGRAPH_BYTES;

/// All of them.
pub fn routes() -> Router<Arc<Site>> {
    let record = "/boats/{slug}/kept/{kind}/{number}";
    let at = |rest: &str| format!("{record}{rest}");
    Router::new()
        .route("/boats/{slug}/kept/{kind}", post(begin))
        .route(record, get(self::record).post(submit))
        .route(&at("/draft"), post(draft))
        .route(&at("/live"), get(live))
        .route(&at("/remove"), post(remove))
        .route(&at("/reinstate"), post(reinstate))
        .route(&at("/photographs/{id}"), get(picture))
        .route(&at("/photographs/{id}/remove"), post(take_off))
        .route("/bring-in/{slug}/kept/{kind}/{number}", post(bring_in))
}

type OfRecord = Path<(String, String, u32)>;
type OfPicture = Path<(String, String, u32, i64)>;

async fn begin(Path((slug, kind)): Path<(String, String)>, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, form| dated::begin(site, &slug, &kind, form)).await
}

async fn record(
    State(site): TheSite,
    Path((slug, kind, number)): OfRecord,
    query: Query,
    Extension(who): Who,
) -> Answer {
    let kind = dated::kind(&kind)?;
    about(site, who, (Here::At(kind.key), dated::title(kind)), move |site, who| {
        dated::contents(site, (&slug, kind, number), &query, who)
    })
    .await
}

async fn live(
    State(site): TheSite,
    Path((slug, kind, number)): OfRecord,
    query: Query,
    Extension(who): Who,
) -> Answer {
    site.run(move |site| dated::live_parts(site, (&slug, dated::kind(&kind)?, number), &query, &who)).await
}

async fn submit(Path((slug, kind, number)): OfRecord, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, form| dated::submit(site, (&slug, dated::kind(&kind)?, number), form))
        .await
}

async fn draft(
    Path((slug, kind, number)): OfRecord,
    State(site): TheSite,
    body: Bytes,
) -> Result<Json<serde_json::Value>, WebError> {
    let answer = site
        .run(move |site| dated::draft(site, (&slug, dated::kind(&kind)?, number), &Query::parse(&body)))
        .await?;
    Ok(Json(answer))
}

async fn remove(Path((slug, kind, number)): OfRecord, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, _| dated::shelve(site, (&slug, dated::kind(&kind)?, number), true)).await
}

async fn reinstate(Path((slug, kind, number)): OfRecord, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, _| dated::shelve(site, (&slug, dated::kind(&kind)?, number), false)).await
}

async fn picture(
    State(site): TheSite,
    Path((slug, kind, number, id)): OfPicture,
) -> Result<Response, WebError> {
    site.run(move |site| dated::picture(site, (&slug, dated::kind(&kind)?, number), id)).await
}

async fn take_off(Path((slug, kind, number, id)): OfPicture, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, _| dated::take_off(site, (&slug, dated::kind(&kind)?, number), id)).await
}

/// Takes photographs in, one after the other, so that no more than one is in memory.
async fn bring_in(
    State(site): TheSite,
    Path((slug, kind, number)): OfRecord,
    mut form: Multipart,
) -> Result<Redirect, WebError> {
    let kind = dated::kind(&kind)?;
    let broken = |_| WebError::BadRequest("The photograph did not arrive whole. Send it again.".to_owned());
    let (mut refused, mut as_it_came, mut place) = (Vec::new(), false, String::new());
    while let Some(mut part) = form.next_field().await.map_err(broken)? {
        as_it_came |= part.name() == Some("as-it-came");
        let is_place = part.name() == Some("of");
        let name = part.file_name().filter(|name| !name.is_empty()).map(str::to_owned);
        if name.is_none() && !is_place {
            continue;
        }
        let mut bytes: Vec<u8> = Vec::new();
        // Of what is too long the rest is read past, one byte more than is taken being enough to say so.
        while let Some(piece) = part.chunk().await.map_err(broken)? {
            let room = (LONGEST_PHOTOGRAPH_BYTES + 1).saturating_sub(bytes.len());
            bytes.extend_from_slice(&piece[..piece.len().min(room)]);
        }
        let Some(name) = name else {
            place = String::from_utf8_lossy(&bytes).chars().take(80).collect();
            continue;
        };
        let (slug, place) = (slug.clone(), place.clone());
        let kept = site.clone().run(move |site| {
            dated::bring_in(site, (&slug, kind, number), (&name, &bytes), &place, as_it_came)
        });
        refused.extend(kept.await?);
    }
    Ok(Redirect::to(&dated::brought_in(&slug, kind, number, &refused)?))
}
