//! What stands around every answer: who asks, and the page around an error. Not for: any answer.

use std::sync::Arc;

use axum::extract::{Request, State};
use axum::http::HeaderValue;
use axum::http::header::{CONTENT_TYPE, SET_COOKIE};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use maud::html;

use super::{Answer, TheSite, about};
use crate::assets;
use crate::error::{ErrorPage, WebError};
use crate::layout::{Here, Shell, page};
use crate::pages;
use crate::state::Site;
use crate::visitor::{ASKED_IN, Visitor};

/// Finds out who asks, names a new device, and puts the page around an error.
pub(super) async fn attend(State(site): TheSite, mut request: Request, next: Next) -> Response {
    let visitor = Visitor::from_headers(request.headers());
    let is_asset = request.uri().path().starts_with(assets::PREFIX);
    let asked = request.uri().path().rsplit('/').next().unwrap_or_default().to_owned();
    request.extensions_mut().insert(visitor.clone());
    let mut response = ASKED_IN.scope(visitor.units, next.run(request)).await;
    let status = response.status();
    let error = response.extensions_mut().remove::<ErrorPage>();
    // An address or a method that no route takes is answered before any page can say so.
    let is_bare = error.is_none() && status.is_client_error() && !is_page(&response);
    if let Some(error) = error.or_else(|| is_bare.then(|| WebError::NoSuchPage.page())) {
        let unfinished = match &error.unfinished {
            Some(slug) => unfinished_page(site, &visitor, slug.clone(), &asked).await.ok(),
            None => None,
        };
        let body = match unfinished {
            Some(page) => ([(CONTENT_TYPE, "text/html; charset=utf-8")], page.into_string()).into_response(),
            None => error_page(&visitor, &error),
        };
        response = (status, body).into_response();
    }
    if visitor.is_new
        && !is_asset
        && let Ok(cookie) = HeaderValue::from_str(&visitor.device_cookie())
    {
        response.headers_mut().append(SET_COOKIE, cookie);
    }
    response
}

/// In the place of the page `asked` about a boat whose document lacks something: what, within her navigation.
async fn unfinished_page(site: Arc<Site>, visitor: &Visitor, slug: String, asked: &str) -> Answer {
    let room = site.rooms().iter().find(|room| room.card().key == asked);
    let place =
        room.map_or((Here::Elsewhere, "Not yet"), |room| (Here::At(room.card().key), room.card().title));
    about(site, visitor.clone(), place, move |site, who| pages::boat::unfinished(site, &slug, who)).await
}

fn is_page(response: &Response) -> bool {
    response.headers().get(CONTENT_TYPE).is_some_and(|kind| kind.as_bytes().starts_with(b"text/html"))
}

fn error_page(visitor: &Visitor, error: &ErrorPage) -> Response {
    let body = html! {
        h1.sentence { (error.sentence) }
        (error.advice)
        p { a href="/" { "To the boats" } }
    };
    let shell = Shell { visitor, title: "Not as asked", boat: None, here: Here::Elsewhere };
    ([(CONTENT_TYPE, "text/html; charset=utf-8")], page(&shell, &body).into_string()).into_response()
}
