//! Every address of the page in one place.

mod around;
mod dated;
mod packed;
mod papers;
mod parcel;
mod rooms;
mod safekeeping;
mod trials;

use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::{Multipart, Path, State};
use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;
use axum::middleware::{from_fn, from_fn_with_state};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use axum::{Extension, Json, Router};
use maud::{Markup, html};

use super::error::WebError;
use super::layout::{About, Here, Shell, page};
use super::pages;
use super::pages::boat::AboutBoat;
use super::pages::boats::Came;
use super::sent::View;
use wakewright_core::field;
use wakewright_rooms::{Rooms, moment};

use super::query::Query;
use super::state::{BoatOnPage, Site};
use super::visitor::Visitor;
use super::words::{fault_words, field_words};
use super::{address, assets};
use around::attend;
use parcel::parcel_of;

type TheSite = State<Arc<Site>>;
type Answer = Result<Markup, WebError>;

/// All routes.
pub fn router(site: Arc<Site>) -> Router {
    let whose = Arc::clone(&site);
    Router::new()
        .route("/", get(boats))
        .route("/boats", get(boats))
        .route("/new", get(new).post(make))
        .route("/demo", post(make_demo))
        .route("/import", post(import))
        .route("/reinstate", post(reinstate))
        .route("/boats/{slug}", get(to_boat))
        .route("/boats/{slug}/boat", get(boat).post(submit))
        .route("/boats/{slug}/text", get(text))
        .route("/boats/{slug}/draft", post(draft))
        .route("/boats/{slug}/verdict", get(verdict))
        .route("/boats/{slug}/history", get(history))
        .route("/boats/{slug}/compare", get(compare))
        .route("/boats/{slug}/undo", post(undo))
        .route("/boats/{slug}/bring-back", post(bring_back))
        .route("/boats/{slug}/aside/{id}", get(aside).post(settle))
        .route("/boats/{slug}/document.toml", get(download))
        .route("/boats/{slug}/copy", post(copy))
        .route("/boats/{slug}/rename", post(rename))
        .route("/boats/{slug}/remove", post(remove))
        .merge(rooms::rooms(site.rooms()))
        .merge(trials::routes())
        .merge(dated::routes())
        .merge(papers::routes())
        .merge(safekeeping::routes())
        .route("/boats/{slug}/options", get(options).post(change_options))
        .route("/boats/{slug}/options.csv", get(options_csv))
        .route("/boats/{slug}/options.json", get(options_json))
        .route("/boats/{slug}/search", get(search).post(begin_search))
        .route("/boats/{slug}/search.csv", get(search_csv))
        .route("/boats/{slug}/search.json", get(search_json))
        .route("/boats/{slug}/search/progress", get(search_progress))
        .route("/boats/{slug}/search/stop", post(stop_search))
        .route("/boats/{slug}/search/keep", post(keep_candidate))
        .route("/boats/{slug}/explain/{figure}", get(rooms::explain))
        .route("/boats/{slug}/keep", post(keep))
        .route("/theme", post(pages::theme::choose))
        .route("/static/{mark}/{*name}", get(assets::serve))
        .fallback(|| async { WebError::NoSuchPage })
        .with_state(site)
        .layer(from_fn_with_state(whose, attend))
        .layer(from_fn(packed::pack))
}

async fn boats(State(site): TheSite, Extension(visitor): Extension<Visitor>) -> Answer {
    site.run(move |site| {
        let shell = Shell { visitor: &visitor, title: "Boats", boat: None, here: Here::At("boats") };
        Ok(page(&shell, &pages::boats::contents(site)?))
    })
    .await
}

/// An answer that only sends the browser on.
type Onward = Result<Redirect, WebError>;
type Who = Extension<Visitor>;
type Slug = Path<String>;

/// Runs what a form asks for and sends the browser to where it leads.
async fn onward(
    site: Arc<Site>,
    body: Bytes,
    work: impl FnOnce(&Site, &Query) -> Result<String, WebError> + Send + 'static,
) -> Onward {
    let address = site.run(move |site| work(site, &Query::parse(&body))).await?;
    Ok(Redirect::to(&address))
}

async fn make_demo(State(site): TheSite) -> Onward {
    let slug = site.run(pages::boats::make_demo).await?;
    Ok(Redirect::to(&address::of_boat(&slug, "drive")))
}

async fn new(Extension(visitor): Who) -> Markup {
    page(&new_shell(&visitor), &pages::boats::questions(&Query::default(), None))
}

fn new_shell(visitor: &Visitor) -> Shell<'_> {
    Shell { visitor, title: "A new boat", boat: None, here: Here::Elsewhere }
}

async fn make(State(site): TheSite, Extension(visitor): Who, body: Bytes) -> Result<Response, WebError> {
    site.run(move |site| {
        let form = Query::parse(&body);
        Ok(match pages::boats::make(site, &form)? {
            Ok(address) => Redirect::to(&address).into_response(),
            Err(fault) => {
                let body = pages::boats::questions(&form, Some(&fault));
                (StatusCode::UNPROCESSABLE_ENTITY, page(&new_shell(&visitor), &body)).into_response()
            }
        })
    })
    .await
}

async fn import(
    State(site): TheSite,
    Extension(visitor): Who,
    form: Multipart,
) -> Result<Response, WebError> {
    let parcel = parcel_of(form).await?;
    site.run(move |site| {
        Ok(match pages::boats::import(site, &parcel)? {
            Came::In(address) => Redirect::to(&address).into_response(),
            Came::Not(body) => {
                let shell = Shell { visitor: &visitor, title: "Bring in", boat: None, here: Here::Elsewhere };
                (StatusCode::UNPROCESSABLE_ENTITY, page(&shell, &body)).into_response()
            }
        })
    })
    .await
}

async fn reinstate(State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, pages::boats::reinstate).await
}

async fn copy(Path(slug): Slug, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, form| pages::boats::copy(site, &slug, form)).await
}

async fn rename(Path(slug): Slug, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, form| pages::boats::rename(site, &slug, form)).await
}

async fn remove(Path(slug): Slug, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, _| pages::boats::remove(site, &slug)).await
}

async fn to_boat(Path(slug): Slug, State(site): TheSite) -> Onward {
    let (entry, _) = site.run(move |site| site.latest(&slug)).await?;
    Ok(Redirect::to(&address::of_boat(&entry.slug, "boat")))
}

/// A page about a boat whose document need not be whole.
async fn about(
    site: Arc<Site>,
    visitor: Visitor,
    (here, word): (Here, &'static str),
    work: impl FnOnce(&Site, &Visitor) -> Result<AboutBoat, WebError> + Send + 'static,
) -> Answer {
    site.run_while_wanted(move |site| {
        let AboutBoat { entry, body } = work(site, &visitor)?;
        let title = format!("{word}: {}", entry.name);
        let about = Some(About { name: &entry.name, slug: &entry.slug, rooms: site.rooms() });
        Ok(page(&Shell { visitor: &visitor, title: &title, boat: about, here }, &body))
    })
    .await
}

async fn boat(State(site): TheSite, Path(slug): Slug, query: Query, Extension(who): Who) -> Answer {
    about(site, who, (Here::At("boat"), "Boat"), move |site, who| {
        pages::boat::contents(site, &slug, &query, who, View::Sheet)
    })
    .await
}

async fn text(State(site): TheSite, Path(slug): Slug, query: Query, Extension(who): Who) -> Answer {
    about(site, who, (Here::At("boat"), "Document"), move |site, who| {
        pages::boat::contents(site, &slug, &query, who, View::Text)
    })
    .await
}

async fn submit(Path(slug): Slug, State(site): TheSite, Extension(who): Who, body: Bytes) -> Onward {
    onward(site, body, move |site, form| pages::boat::submit(site, &slug, form, &who)).await
}

async fn draft(
    Path(slug): Slug,
    State(site): TheSite,
    Extension(who): Who,
    body: Bytes,
) -> Result<Json<serde_json::Value>, WebError> {
    let answer = site.run(move |site| pages::boat::draft(site, &slug, &Query::parse(&body), &who)).await?;
    Ok(Json(answer))
}

async fn verdict(State(site): TheSite, Path(slug): Slug, query: Query, Extension(who): Who) -> Answer {
    site.run_while_wanted(move |site| pages::boat::verdict(site, &slug, &query, &who)).await
}

async fn history(State(site): TheSite, Path(slug): Slug, Extension(who): Who) -> Answer {
    about(site, who, (Here::At("boat"), "Revisions"), move |site, _| pages::boat::history(site, &slug)).await
}

async fn compare(State(site): TheSite, Path(slug): Slug, query: Query, Extension(who): Who) -> Answer {
    about(site, who, (Here::At("boat"), "Compared"), move |site, _| pages::boat::compare(site, &slug, &query))
        .await
}

async fn undo(Path(slug): Slug, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, form| pages::boat::undo(site, &slug, form)).await
}

async fn bring_back(Path(slug): Slug, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, form| pages::boat::bring_back(site, &slug, form)).await
}

async fn aside(State(site): TheSite, Path((slug, id)): Path<(String, i64)>, Extension(who): Who) -> Answer {
    about(site, who, (Here::At("boat"), "Two texts"), move |site, _| pages::boat::aside(site, &slug, id))
        .await
}

async fn settle(State(site): TheSite, Path((slug, id)): Path<(String, i64)>, body: Bytes) -> Onward {
    onward(site, body, move |site, form| pages::boat::settle(site, &slug, id, form)).await
}

async fn download(State(site): TheSite, Path(slug): Slug, query: Query) -> Result<Response, WebError> {
    site.run(move |site| pages::boat::download(site, &slug, &query)).await
}

async fn options(State(site): TheSite, Path(slug): Slug, query: Query, Extension(visitor): Who) -> Answer {
    site.run_while_wanted(move |site| {
        let boat = site.boat(&slug)?;
        let body = site.once(("page", "options"), &boat, (&query, &visitor), || {
            pages::options::contents(site.rooms(), &boat, &query, &visitor)
        })?;
        Ok(about_boat(site.rooms(), &boat, &visitor, (Here::At("options"), "Options"), &body))
    })
    .await
}

async fn change_options(
    State(site): TheSite,
    Path(slug): Slug,
    Extension(visitor): Who,
    body: Bytes,
) -> Result<Response, WebError> {
    site.run(move |site| {
        let boat = site.boat(&slug)?;
        let sent = pages::options::change(site, &boat, &Query::parse(&body), &visitor)?;
        Ok(match sent {
            pages::options::Sent::Done(address) => Redirect::to(&address).into_response(),
            pages::options::Sent::Again { body, is_fine } => {
                let status = if is_fine { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
                (status, about_boat(site.rooms(), &boat, &visitor, (Here::At("options"), "Options"), &body))
                    .into_response()
            }
        })
    })
    .await
}

/// The frame around a page about a boat.
fn about_boat(
    rooms: Rooms,
    boat: &BoatOnPage,
    visitor: &Visitor,
    (here, word): (Here, &'static str),
    body: &Markup,
) -> Markup {
    let title = format!("{word}: {}", boat.entry.name);
    let about = Some(About { name: &boat.entry.name, slug: &boat.entry.slug, rooms });
    let doubtful = boat.loaded.document.doubtful_values();
    let body = html! {
        @for doubt in &doubtful {
            div.caution role="note" { strong { (field_words(&doubt.field)) } p { (fault_words(doubt)) } }
        }
        (body)
        p.on-paper { (on_paper(boat)) }
    };
    page(&Shell { visitor, title: &title, boat: about, here }, &body)
}

/// What a printed page says of what it was printed from.
fn on_paper(boat: &BoatOnPage) -> String {
    let head = &boat.revision.head;
    let invented =
        boat.loaded.document.text(field::boat::INVENTED).map_or("", |_| " Her numbers are invented.");
    format!("{}, revision {} of {}.{invented}", boat.entry.name, head.number, moment::local(head.time))
}

async fn options_csv(State(site): TheSite, Path(slug): Slug, query: Query) -> Result<Response, WebError> {
    site.run_while_wanted(move |site| {
        as_csv(site.in_turn(|| pages::options::file(&site.boat(&slug)?, &query, false))?)
    })
    .await
}

async fn options_json(State(site): TheSite, Path(slug): Slug, query: Query) -> Result<Response, WebError> {
    site.run_while_wanted(move |site| {
        as_json(site.in_turn(|| pages::options::file(&site.boat(&slug)?, &query, true))?)
    })
    .await
}

fn as_csv(text: String) -> Result<Response, WebError> {
    Ok(([(CONTENT_TYPE, "text/csv; charset=utf-8")], text).into_response())
}

fn as_json(text: String) -> Result<Response, WebError> {
    Ok(([(CONTENT_TYPE, "application/json")], text).into_response())
}

async fn search(State(site): TheSite, Path(slug): Slug, query: Query, Extension(visitor): Who) -> Answer {
    site.run(move |site| {
        let boat = site.boat(&slug)?;
        if query.get("part").is_some() {
            return pages::search::front_parts(site, &boat, &query, &visitor);
        }
        let body = pages::search::contents(site, &boat, &query, &visitor)?;
        Ok(about_boat(site.rooms(), &boat, &visitor, (Here::At("search"), "Search"), &body))
    })
    .await
}

async fn begin_search(
    State(site): TheSite,
    Path(slug): Slug,
    Extension(visitor): Who,
    body: Bytes,
) -> Result<Response, WebError> {
    site.run(move |site| {
        let boat = site.boat(&slug)?;
        Ok(match pages::search::begin(site, &boat, &Query::parse(&body))? {
            pages::search::Sent::Done(address) => Redirect::to(&address).into_response(),
            pages::search::Sent::Again(body) => {
                let page = about_boat(site.rooms(), &boat, &visitor, (Here::At("search"), "Search"), &body);
                (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
            }
        })
    })
    .await
}

async fn stop_search(State(site): TheSite, Path(slug): Slug, body: Bytes) -> Onward {
    onward(site, body, move |site, form| pages::search::stop(site, &site.boat(&slug)?, form)).await
}

async fn keep_candidate(State(site): TheSite, Path(slug): Slug, body: Bytes) -> Onward {
    onward(site, body, move |site, form| pages::search::keep(site, &site.boat(&slug)?, form)).await
}

async fn search_progress(
    State(site): TheSite,
    Path(slug): Slug,
    query: Query,
) -> Result<Json<serde_json::Value>, WebError> {
    let answer = site.run(move |site| pages::search::progress(site, &site.boat(&slug)?, &query)).await?;
    Ok(Json(answer))
}

async fn search_csv(State(site): TheSite, Path(slug): Slug, query: Query) -> Result<Response, WebError> {
    site.run(move |site| as_csv(pages::search::file(site, &site.boat(&slug)?, &query, false)?)).await
}

async fn search_json(State(site): TheSite, Path(slug): Slug, query: Query) -> Result<Response, WebError> {
    site.run(move |site| as_json(pages::search::file(site, &site.boat(&slug)?, &query, true)?)).await
}

async fn keep(
    State(site): TheSite,
    Path(slug): Path<String>,
    body: axum::body::Bytes,
) -> Result<Redirect, WebError> {
    let form = Query::parse(&body);
    let next = site.run(move |site| pages::keep::keep(site, &site.boat(&slug)?, &form)).await?;
    Ok(Redirect::to(&next))
}
