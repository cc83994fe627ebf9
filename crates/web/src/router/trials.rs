//! The routes of the page Trials. Not for: what the page shows.

use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::{Multipart, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use axum::{Extension, Json, Router};
use maud::Markup;

use super::{Answer, Onward, Slug, TheSite, Who, about, onward};
use crate::error::WebError;
use crate::layout::{Here, Shell, page};
use crate::pages;
use crate::query::Query;
use crate::state::Site;
use crate::visitor::Visitor;

/// All of them.
pub fn routes() -> Router<Arc<Site>> {
    let trial = "/boats/{slug}/trials/{number}";
    let at = |rest: &str| format!("{trial}{rest}");
    Router::new()
        .route("/boats/{slug}/trials", get(trials).post(begin_trial))
        .route("/boats/{slug}/story", get(story))
        .route(trial, get(self::trial).post(submit_trial))
        .route(&at("/draft"), post(draft_trial))
        .route(&at("/live"), get(trial_live))
        .route(&at("/remove"), post(remove_trial))
        .route(&at("/reinstate"), post(reinstate_trial))
        .route(&at("/samples.csv"), get(trial_samples))
        .route(&at("/trial.json"), get(trial_document))
        .route(&at("/causes"), get(causes).post(submit_causes))
        .route(&at("/causes/part"), get(causes_part))
        .route(&at("/causes/brief"), get(causes_brief))
        .route("/bring-in/{slug}", post(bring_in_logs))
        .route("/bring-in/{slug}/{number}", post(add_logs))
}

type OfTrial = Path<(String, u32)>;

async fn trials(State(site): TheSite, Path(slug): Slug, query: Query, Extension(who): Who) -> Answer {
    about(site, who, (Here::At("trials"), "Trials"), move |site, who| {
        pages::trials::list(site, &slug, &query, who)
    })
    .await
}

async fn story(State(site): TheSite, Path(slug): Slug, query: Query, Extension(who): Who) -> Answer {
    site.run_while_wanted(move |site| pages::trials::story(site, &slug, &query, &who)).await
}

async fn begin_trial(Path(slug): Slug, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, form| pages::trials::begin(site, &slug, form)).await
}

async fn trial(
    State(site): TheSite,
    Path((slug, number)): OfTrial,
    query: Query,
    Extension(who): Who,
) -> Answer {
    about(site, who, (Here::At("trials"), "Trial"), move |site, who| {
        pages::trials::contents(site, &slug, number, &query, who)
    })
    .await
}

async fn trial_live(
    State(site): TheSite,
    Path((slug, number)): OfTrial,
    query: Query,
    Extension(who): Who,
) -> Answer {
    site.run_while_wanted(move |site| pages::trials::live_parts(site, &slug, number, &query, &who)).await
}

async fn submit_trial(
    Path((slug, number)): OfTrial,
    State(site): TheSite,
    Extension(visitor): Who,
    body: Bytes,
) -> Result<Response, WebError> {
    let kept = (slug.clone(), Some(number));
    let came = Arc::clone(&site)
        .run(move |site| {
            let came = pages::trials::submit(site, &slug, number, &Query::parse(&body))?;
            Ok(came_to(came, &visitor, "Trial"))
        })
        .await?;
    site.once_quiet(kept, pages::trials::hold);
    Ok(came)
}

/// Where what was sent leads, or the page that says what of it is not in.
fn came_to(came: Result<String, Markup>, visitor: &Visitor, title: &str) -> Response {
    match came {
        Ok(address) => Redirect::to(&address).into_response(),
        Err(body) => {
            let shell = Shell { visitor, title, boat: None, here: Here::Elsewhere };
            (StatusCode::UNPROCESSABLE_ENTITY, page(&shell, &body)).into_response()
        }
    }
}

async fn draft_trial(
    Path((slug, number)): OfTrial,
    State(site): TheSite,
    body: Bytes,
) -> Result<Json<serde_json::Value>, WebError> {
    let kept = (slug.clone(), Some(number));
    let answer = Arc::clone(&site)
        .run(move |site| pages::trials::draft(site, &slug, number, &Query::parse(&body)))
        .await?;
    site.once_quiet(kept, pages::trials::hold);
    Ok(Json(answer))
}

async fn remove_trial(Path((slug, number)): OfTrial, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, _| pages::trials::shelve(site, &slug, number, true)).await
}

async fn reinstate_trial(Path((slug, number)): OfTrial, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, _| pages::trials::shelve(site, &slug, number, false)).await
}

async fn trial_samples(Path((slug, number)): OfTrial, State(site): TheSite) -> Result<Response, WebError> {
    site.run_while_wanted(move |site| pages::trials::download(site, &slug, number, true)).await
}

async fn trial_document(Path((slug, number)): OfTrial, State(site): TheSite) -> Result<Response, WebError> {
    site.run(move |site| pages::trials::download(site, &slug, number, false)).await
}

async fn causes(
    State(site): TheSite,
    Path((slug, number)): OfTrial,
    query: Query,
    Extension(who): Who,
) -> Answer {
    about(site, who, (Here::At("trials"), "Causes"), move |site, who| {
        pages::trials::causes(site, &slug, number, &query, who)
    })
    .await
}

async fn causes_part(
    State(site): TheSite,
    Path((slug, number)): OfTrial,
    query: Query,
    Extension(who): Who,
) -> Answer {
    site.run_while_wanted(move |site| pages::trials::causes_part(site, &slug, number, &query, &who)).await
}

async fn causes_brief(State(site): TheSite, Path((slug, number)): OfTrial) -> Answer {
    site.run(move |site| pages::trials::causes_brief(site, &slug, number)).await
}

async fn submit_causes(Path((slug, number)): OfTrial, State(site): TheSite, body: Bytes) -> Onward {
    onward(site, body, move |site, form| pages::trials::submit_causes(site, &slug, number, form)).await
}

async fn bring_in_logs(
    site: TheSite,
    Path(slug): Slug,
    who: Who,
    form: Multipart,
) -> Result<Response, WebError> {
    upload(site, slug, None, who, form).await
}

async fn add_logs(
    site: TheSite,
    Path((slug, number)): OfTrial,
    who: Who,
    form: Multipart,
) -> Result<Response, WebError> {
    upload(site, slug, Some(number), who, form).await
}

/// Takes logs in and keeps them.
async fn upload(
    State(site): TheSite,
    slug: String,
    number: Option<u32>,
    Extension(visitor): Who,
    form: Multipart,
) -> Result<Response, WebError> {
    let upload = super::safekeeping::received(form).await?;
    let kept = (slug.clone(), number);
    let came = Arc::clone(&site)
        .run(move |site| {
            Ok(came_to(pages::trials::bring_in(site, &slug, number, &upload)?, &visitor, "Logs"))
        })
        .await?;
    site.once_quiet(kept, pages::trials::hold);
    Ok(came)
}
