//! Every address of the page in one place, and what stands around every answer.

use std::sync::Arc;

use axum::extract::{Path, Request, State};
use axum::http::HeaderValue;
use axum::http::header::{CONTENT_TYPE, SET_COOKIE};
use axum::middleware::{Next, from_fn};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use axum::{Extension, Router};
use maud::{Markup, html};

use super::error::{ErrorPage, WebError};
use super::layout::{Here, Shell, page};
use super::pages;
use super::query::Query;
use super::state::{BoatOnPage, Site};
use super::visitor::Visitor;
use super::{address, assets};

type TheSite = State<Arc<Site>>;
type Answer = Result<Markup, WebError>;

/// All routes.
pub fn router(site: Arc<Site>) -> Router {
    Router::new()
        .route("/", get(boats))
        .route("/boats", get(boats))
        .route("/boats/demo", post(make_demo))
        .route("/boats/{slug}", get(to_boat))
        .route("/boats/{slug}/boat", get(boat))
        .route("/boats/{slug}/drive", get(drive))
        .route("/boats/{slug}/range", get(range))
        .route("/boats/{slug}/drive/live", get(drive_live))
        .route("/boats/{slug}/range/live", get(range_live))
        .route("/boats/{slug}/explain/{figure}", get(explain))
        .route("/boats/{slug}/keep", post(keep))
        .route("/theme", post(pages::theme::choose))
        .route("/static/{mark}/{*name}", get(assets::serve))
        .fallback(|| async { WebError::NoSuchPage })
        .with_state(site)
        .layer(from_fn(attend))
}

/// Finds out who asks, names a new device, and puts the page around an error.
async fn attend(mut request: Request, next: Next) -> Response {
    let visitor = Visitor::from_headers(request.headers());
    let is_asset = request.uri().path().starts_with(assets::PREFIX);
    request.extensions_mut().insert(visitor.clone());
    let mut response = next.run(request).await;
    if let Some(error) = response.extensions_mut().remove::<ErrorPage>() {
        let status = response.status();
        response = (status, error_page(&visitor, &error)).into_response();
    }
    if visitor.is_new
        && !is_asset
        && let Ok(cookie) = HeaderValue::from_str(&visitor.device_cookie())
    {
        response.headers_mut().append(SET_COOKIE, cookie);
    }
    response
}

fn error_page(visitor: &Visitor, error: &ErrorPage) -> Response {
    let body = html! {
        p.sentence { (error.sentence) }
        (error.advice)
        p { a href="/" { "To the boats" } }
    };
    let shell = Shell { visitor, title: "Not as asked", boat: None, here: Here::Elsewhere };
    ([(CONTENT_TYPE, "text/html; charset=utf-8")], page(&shell, &body).into_string()).into_response()
}

async fn boats(State(site): TheSite, Extension(visitor): Extension<Visitor>) -> Answer {
    site.run(move |site| {
        let shell = Shell { visitor: &visitor, title: "Boats", boat: None, here: Here::Boats };
        Ok(page(&shell, &pages::boats::contents(site)?))
    })
    .await
}

async fn make_demo(State(site): TheSite) -> Result<Redirect, WebError> {
    let slug = site.run(pages::boats::make_demo).await?;
    Ok(Redirect::to(&address::of_boat(&slug, "drive")))
}

async fn to_boat(Path(slug): Path<String>, State(site): TheSite) -> Result<Redirect, WebError> {
    let (entry, _) = site.run(move |site| site.latest(&slug)).await?;
    Ok(Redirect::to(&address::of_boat(&entry.slug, "boat")))
}

async fn boat(
    State(site): TheSite,
    Path(slug): Path<String>,
    query: Query,
    Extension(visitor): Extension<Visitor>,
) -> Answer {
    site.run(move |site| {
        let (name, body) = pages::boat::contents(site, &slug, &query, &visitor)?;
        let shell = Shell { visitor: &visitor, title: &name, boat: Some((&name, &slug)), here: Here::Boat };
        Ok(page(&shell, &body))
    })
    .await
}

async fn drive(site: TheSite, slug: Path<String>, query: Query, visitor: Extension<Visitor>) -> Answer {
    result_page(site, slug, query, visitor, (Here::Drive, "Drive"), pages::drive::contents).await
}

async fn range(site: TheSite, slug: Path<String>, query: Query, visitor: Extension<Visitor>) -> Answer {
    result_page(site, slug, query, visitor, (Here::Range, "Range"), pages::range::contents).await
}

/// A page that shows a result for a boat, with the what-ifs of the query.
async fn result_page(
    State(site): TheSite,
    Path(slug): Path<String>,
    query: Query,
    Extension(visitor): Extension<Visitor>,
    (here, word): (Here, &'static str),
    contents: fn(&BoatOnPage, &Query, &Visitor) -> Answer,
) -> Answer {
    site.run(move |site| {
        let boat = site.boat(&slug, &[])?;
        let body = contents(&boat, &query, &visitor)?;
        let title = format!("{word}: {}", boat.entry.name);
        let about = Some((boat.entry.name.as_str(), boat.entry.slug.as_str()));
        Ok(page(&Shell { visitor: &visitor, title: &title, boat: about, here }, &body))
    })
    .await
}

async fn drive_live(site: TheSite, slug: Path<String>, query: Query, visitor: Extension<Visitor>) -> Answer {
    live(site, slug, query, visitor, pages::drive::live_parts).await
}

async fn range_live(site: TheSite, slug: Path<String>, query: Query, visitor: Extension<Visitor>) -> Answer {
    live(site, slug, query, visitor, pages::range::live_parts).await
}

/// The parts of a page that follow its sliders, without the page around them.
async fn live(
    State(site): TheSite,
    Path(slug): Path<String>,
    query: Query,
    Extension(visitor): Extension<Visitor>,
    parts: fn(&BoatOnPage, &Query, &Visitor) -> Answer,
) -> Answer {
    site.run(move |site| parts(&site.boat(&slug, &[])?, &query, &visitor)).await
}

async fn explain(
    State(site): TheSite,
    Path((slug, figure)): Path<(String, String)>,
    query: Query,
    Extension(visitor): Extension<Visitor>,
) -> Answer {
    site.run(move |site| {
        let boat = site.boat(&slug, &[])?;
        let basis = pages::explain::contents(&boat, &figure, &query)?;
        if query.get("part").is_some() {
            return Ok(basis);
        }
        let body = html! {
            h1.sentence { "Where a figure comes from" }
            div.basis { (basis) }
            p { a href=(address::of_boat(&slug, "drive")) { "Back to the drive" } }
        };
        let about = Some((boat.entry.name.as_str(), boat.entry.slug.as_str()));
        let title = format!("{figure}: {}", boat.entry.name);
        Ok(page(&Shell { visitor: &visitor, title: &title, boat: about, here: Here::Elsewhere }, &body))
    })
    .await
}

async fn keep(
    State(site): TheSite,
    Path(slug): Path<String>,
    body: axum::body::Bytes,
) -> Result<Redirect, WebError> {
    let form = Query::parse(&body);
    let next = site.run(move |site| pages::keep::keep(site, &site.boat(&slug, &[])?, &form)).await?;
    Ok(Redirect::to(&next))
}
