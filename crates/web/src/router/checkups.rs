//! The routes of check-ups. Not for: what their pages show.

use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::{Multipart, Path, State};
use axum::response::{Redirect, Response};
use axum::routing::{get, post};
use axum::{Extension, Json, Router};

use super::{Answer, Onward, Slug, TheSite, Who, about, onward};
use crate::error::WebError;
use crate::layout::Here;
use crate::pages::checkups;
use crate::query::Query;
use crate::state::Site;
use wakewright_rooms::photograph::LONGEST_PHOTOGRAPH_BYTES;

/// All of them.
pub fn routes() -> Router<Arc<Site>> {
    let checkup = "/boats/{slug}/checkups/{number}";
    let at = |rest: &str| format!("{checkup}{rest}");
    Router::new()
        .route("/boats/{slug}/checkups", post(begin))
        .route(checkup, get(self::checkup).post(submit))
        .route(&at("/draft"), post(draft))
        .route(&at("/live"), get(live))
        .route(&at("/remove"), post(remove))
        .route(&at("/reinstate"), post(reinstate))
        .route(&at("/photographs/{id}"), get(picture))
        .route(&at("/photographs/{id}/remove"), post(take_off))
        .route("/bring-in/{slug}/checkup/{number}", post(bring_in))
}

type OfCheckup = Path<(String, u32)>;
type OfPicture = Path<(String, u32, i64)>;

async fn begin(Path(slug): Slug, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, _| checkups::begin(site, &slug)).await
}

async fn checkup(
    State(site): TheSite,
    Path((slug, number)): OfCheckup,
    query: Query,
    Extension(who): Who,
) -> Answer {
    about(site, who, (Here::At(checkups::ROOM), "Check-up"), move |site, who| {
        checkups::contents(site, &slug, number, &query, who)
    })
    .await
}

async fn live(State(site): TheSite, Path((slug, number)): OfCheckup) -> Answer {
    site.run(move |site| checkups::live_parts(site, &slug, number)).await
}

async fn submit(Path((slug, number)): OfCheckup, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, form| checkups::submit(site, &slug, number, form)).await
}

async fn draft(
    Path((slug, number)): OfCheckup,
    State(site): TheSite,
    body: Bytes,
) -> Result<Json<serde_json::Value>, WebError> {
    let answer = site.run(move |site| checkups::draft(site, &slug, number, &Query::parse(&body))).await?;
    Ok(Json(answer))
}

async fn remove(Path((slug, number)): OfCheckup, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, _| checkups::shelve(site, &slug, number, true)).await
}

async fn reinstate(Path((slug, number)): OfCheckup, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, _| checkups::shelve(site, &slug, number, false)).await
}

async fn picture(State(site): TheSite, Path((slug, _, id)): OfPicture) -> Result<Response, WebError> {
    site.run(move |site| checkups::picture(site, &slug, id)).await
}

async fn take_off(Path((slug, number, id)): OfPicture, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, _| checkups::take_off(site, &slug, number, id)).await
}

/// Takes photographs in, one after the other, so that no more than one is in memory.
async fn bring_in(
    State(site): TheSite,
    Path((slug, number)): OfCheckup,
    mut form: Multipart,
) -> Result<Redirect, WebError> {
    let broken = |_| WebError::BadRequest("The photograph did not arrive whole. Send it again.".to_owned());
    let (mut refused, mut as_it_came) = (Vec::new(), false);
    while let Some(mut part) = form.next_field().await.map_err(broken)? {
        as_it_came |= part.name() == Some("as-it-came");
        let Some(name) = part.file_name().filter(|name| !name.is_empty()).map(str::to_owned) else {
            continue;
        };
        let mut bytes: Vec<u8> = Vec::new();
        // Of what is too long the rest is read past, one byte more than is taken being enough to say so.
        while let Some(piece) = part.chunk().await.map_err(broken)? {
            let room = (LONGEST_PHOTOGRAPH_BYTES + 1).saturating_sub(bytes.len());
            bytes.extend_from_slice(&piece[..piece.len().min(room)]);
        }
        let slug = slug.clone();
        let kept = site
            .clone()
            .run(move |site| checkups::bring_in(site, &slug, number, (&name, &bytes), as_it_came));
        refused.extend(kept.await?);
    }
    Ok(Redirect::to(&checkups::brought_in(&slug, number, &refused)?))
}
