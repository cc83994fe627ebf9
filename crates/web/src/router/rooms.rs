//! The routes of the rooms: the page of each, its live parts, its pictures as files. Not for: what a room shows.

use crate::address;
use crate::error::WebError;
use crate::layout::{About, Here, Shell, page};
use crate::pages;
use crate::pages::room::{Door, longer as work};
use crate::query::Query;
use crate::state::Site;
use crate::visitor::Visitor;
use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::http::header::{ACCEPT, CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use axum::{Extension, Json, Router};
use maud::{Markup, html};
use std::sync::Arc;
use wakewright_rooms::Rooms;
use wakewright_rooms::dated::kind_named;
use wakewright_rooms::room::AnyRoom;
use wakewright_rooms::shop::Over;
use wakewright_store::TRIAL_KIND;

use super::{Answer, Slug, TheSite, Who, about_boat, papers};

/// Rooms with a page of their own, which changes her document or waits for long work.
const OWN_PAGES: [&str; 2] = ["options", "search"];

/// The room on which a boat opens: what happened to her stands there.
const FIRST_PAGE: &str = "drive";

/// The routes of every other room: its page, and the parts that follow its sliders without the page around them.
pub(super) fn rooms(rooms: Rooms) -> Router<Arc<Site>> {
    let with_common_page = rooms.iter().filter(|room| !OWN_PAGES.contains(&room.card().key));
    with_common_page.fold(Router::new(), |router, &room| {
        if room.over() == Over::Boats {
            let place = format!("/{}", room.card().key);
            return router
                .route(
                    &format!("{place}/live"),
                    get(move |site, query, who| shop_page(room, site, query, who, true)),
                )
                .route(&place, get(move |site, query, who| shop_page(room, site, query, who, false)));
        }
        let place = format!("/boats/{{slug}}/{}", room.card().key);
        router
            .route(
                &format!("{place}/live"),
                get(move |site, slug, query, who| live(room, site, slug, query, who)),
            )
            .route(&place, get(move |site, slug, query, who| room_page(room, site, slug, query, who)))
            .route(
                &format!("{place}/longer"),
                post(move |site, slug, heads, body| longer(room, site, slug, heads, body)),
            )
            .route(
                &format!("{place}/longer/stop"),
                post(move |site, slug, body| stop_longer(room, site, slug, body)),
            )
            .route(
                &format!("{place}/picture/{{file}}"),
                get(move |site, place, query, who| picture(room, site, place, query, who)),
            )
            .route(
                &format!("{place}/file/{{file}}"),
                get(move |site, place, query, who| file(room, site, place, query, who)),
            )
    })
}

/// The page of a room that is asked of the shop, or its parts alone.
async fn shop_page(
    room: &'static dyn AnyRoom,
    State(site): TheSite,
    query: Query,
    Extension(visitor): Who,
    is_live: bool,
) -> Answer {
    site.run_while_wanted(move |site| {
        let (boat, card) = (site.shop_for(room)?, room.card());
        let what = if is_live { "parts" } else { "page" };
        let body = site.once((what, card.key), &boat, (&query, &visitor), || {
            let door = Door { site, room, boat: &boat, query: &query, visitor: &visitor };
            if is_live { door.live() } else { door.contents() }
        })?;
        if is_live {
            return Ok(body);
        }
        let shell = Shell { visitor: &visitor, title: card.title, boat: None, here: Here::At(card.key) };
        Ok(page(&shell, &body))
    })
    .await
}

async fn room_page(
    room: &'static dyn AnyRoom,
    State(site): TheSite,
    Path(slug): Slug,
    query: Query,
    Extension(visitor): Who,
) -> Answer {
    site.run_while_wanted(move |site| {
        let boat = site.boat_for(room, &slug, &query)?;
        let card = room.card();
        let door = Door { site, room, boat: &boat, query: &query, visitor: &visitor };
        let body = answered("page", &door, || door.contents())?;
        let has_story =
            card.key == FIRST_PAGE && !site.store().records(boat.entry.id, TRIAL_KIND)?.is_empty();
        let body = html! {
            (pages::kept::told(&boat, &query, card.key))
            (body)
            @if let Some(kind) = kind_named(card.key) { (pages::dated::section(site, &boat, kind, &query)?) }
            @if has_story {
                div.story data-later=(address::of_boat(&slug, "story")) {
                    p.ways-on { a.button href=(address::of_boat(&slug, "trials")) { "Her trials" } }
                }
            }
        };
        Ok(about_boat(site.rooms(), &boat, &visitor, (Here::At(card.key), card.title), &body))
    })
    .await
}

/// A picture of a room as a file with her name.
async fn picture(
    room: &'static dyn AnyRoom,
    State(site): TheSite,
    Path((slug, file)): Path<(String, String)>,
    query: Query,
    Extension(visitor): Who,
) -> Result<Response, WebError> {
    site.run_while_wanted(move |site| {
        let boat = site.boat_for(room, &slug, &query)?;
        let key = file.strip_suffix(".svg").ok_or(WebError::NoSuchPage)?;
        let door = Door { site, room, boat: &boat, query: &query, visitor: &visitor };
        let svg = site.in_turn(|| door.picture(key))?;
        let name = format!("attachment; filename=\"{}-{}-{key}.svg\"", boat.entry.slug, room.card().key);
        Ok(([(CONTENT_TYPE, "image/svg+xml".to_owned()), (CONTENT_DISPOSITION, name)], svg).into_response())
    })
    .await
}

/// A file of what a room finds, with her name.
async fn file(
    room: &'static dyn AnyRoom,
    State(site): TheSite,
    Path((slug, file)): Path<(String, String)>,
    query: Query,
    Extension(visitor): Who,
) -> Result<Response, WebError> {
    site.run_while_wanted(move |site| {
        let boat = site.boat(&slug)?;
        if let Some(end) = file.strip_prefix("paper.").filter(|end| ["html", "pdf"].contains(end)) {
            return papers::of_room(site, &boat, room, (&query, end == "pdf"));
        }
        let kind = file.strip_prefix("plan.").ok_or(WebError::NoSuchPage)?;
        let text = Door { site, room, boat: &boat, query: &query, visitor: &visitor }.file(kind)?;
        let media = match kind {
            "ics" => "text/calendar; charset=utf-8",
            "gpx" => "application/gpx+xml",
            _ => "application/geo+json",
        };
        let name = format!("attachment; filename=\"{}-{}.{kind}\"", boat.entry.slug, room.card().key);
        Ok(([(CONTENT_TYPE, media.to_owned()), (CONTENT_DISPOSITION, name)], text).into_response())
    })
    .await
}

async fn live(
    room: &'static dyn AnyRoom,
    State(site): TheSite,
    Path(slug): Slug,
    query: Query,
    Extension(visitor): Who,
) -> Answer {
    site.run_while_wanted(move |site| {
        let boat = site.boat_for(room, &slug, &query)?;
        let door = Door { site, room, boat: &boat, query: &query, visitor: &visitor };
        answered("parts", &door, || door.live())
    })
    .await
}

/// Once for equal questions; each time while long work is told of, which has come farther since.
fn answered(
    what: &'static str,
    door: &Door<'_>,
    work: impl FnOnce() -> Result<Markup, WebError>,
) -> Result<Markup, WebError> {
    if door.query.get("job").is_some() {
        return door.site.in_turn(work);
    }
    door.site.once((what, door.room.card().key), door.boat, (door.query, door.visitor), work)
}

/// Begins what takes long.
async fn longer(
    room: &'static dyn AnyRoom,
    State(site): TheSite,
    Path(slug): Slug,
    heads: HeaderMap,
    body: Bytes,
) -> Result<Response, WebError> {
    let is_script = heads.get(ACCEPT).is_some_and(|accept| accept == "application/json");
    site.run(move |site| {
        let form = Query::parse(&body);
        let boat = site.boat_for(room, &slug, &form)?;
        let page = work::address_of(room, &boat, &form, "");
        let job = work::begin(site, room, boat, &form);
        if is_script {
            let job = job.ok_or(WebError::Busy { waiting: 0 })?;
            return Ok(Json(serde_json::json!({ "job": job.name })).into_response());
        }
        let name = job.as_ref().map_or("none", |job| job.name.as_str());
        Ok(Redirect::to(&format!("{page}{name}")).into_response())
    })
    .await
}

/// Stops it.
async fn stop_longer(
    room: &'static dyn AnyRoom,
    State(site): TheSite,
    Path(slug): Slug,
    body: Bytes,
) -> Result<Redirect, WebError> {
    site.run(move |site| {
        let form = Query::parse(&body);
        let boat = site.boat(&slug)?;
        let name = form.get("job").unwrap_or_default();
        if let Some(job) = site.jobs().find(boat.entry.id, name) {
            job.stop_now();
        }
        Ok(Redirect::to(&work::address_of(room, &boat, &form, name)))
    })
    .await
}

pub(super) async fn explain(
    State(site): TheSite,
    Path((slug, figure)): Path<(String, String)>,
    query: Query,
    Extension(visitor): Extension<Visitor>,
) -> Answer {
    site.run_while_wanted(move |site| {
        let boat = site.boat(&slug)?;
        let basis = site.in_turn(|| pages::explain::contents(site, &boat, &figure, &query))?;
        if query.get("part").is_some() {
            return Ok(basis);
        }
        let body = html! {
            h1.sentence { "Where a figure comes from" }
            div.basis { (basis) }
            p { a href=(address::of_boat(&slug, "drive")) { "Back to the drive" } }
        };
        let about = Some(About { name: &boat.entry.name, slug: &boat.entry.slug, rooms: site.rooms() });
        let title = format!("{figure}: {}", boat.entry.name);
        Ok(page(&Shell { visitor: &visitor, title: &title, boat: about, here: Here::Elsewhere }, &body))
    })
    .await
}
