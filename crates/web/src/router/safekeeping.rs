//! The whole store as one file and back, and all of a boat as one file. Not for: documents (`pages::boats`).

use std::io::Cursor;
use std::sync::Arc;

use axum::extract::{Multipart, Path, State};
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Extension, Router};
use maud::html;
use wakewright_rooms::{archive, moment};
use wakewright_store::{Overwrite, Store};

use super::{Answer, Slug, TheSite, Who};
use crate::error::WebError;
use crate::layout::{Here, Shell, page};
use crate::pages::trials::Upload;
use crate::state::{Site, now};

/// All of them.
pub(super) fn routes() -> Router<Arc<Site>> {
    Router::new()
        .route("/backup", get(backup))
        .route("/restore", post(restore))
        .route("/boats/{slug}/archive.zip", get(archived))
}

fn disk(error: std::io::Error) -> WebError {
    WebError::BadRequest(format!("The file cannot be taken in: {error}."))
}

/// The files of a form, taken in piece by piece, so that a large one is never in memory.
pub(super) async fn received(mut form: Multipart) -> Result<Upload, WebError> {
    let broken = |_| WebError::BadRequest("The file did not arrive whole. Send it again.".to_owned());
    let mut upload = Upload::default();
    while let Some(mut part) = form.next_field().await.map_err(broken)? {
        let Some(name) = part.file_name().filter(|name| !name.is_empty()).map(str::to_owned) else {
            continue;
        };
        upload.begin(&name).map_err(disk)?;
        while let Some(piece) = part.chunk().await.map_err(broken)? {
            upload.add(&piece).map_err(disk)?;
        }
    }
    Ok(upload)
}

fn saved(name: &str, bytes: Vec<u8>) -> Response {
    let as_file = format!("attachment; filename=\"{name}\"");
    let heads = [(CONTENT_TYPE, "application/octet-stream".to_owned()), (CONTENT_DISPOSITION, as_file)];
    (heads, bytes).into_response()
}

async fn backup(State(site): TheSite) -> Result<Response, WebError> {
    site.run(|site| {
        let mut upload = Upload::default();
        upload.begin("backup").map_err(disk)?;
        let Some(path) = upload.paths().next() else { return Err(WebError::BrokenOff) };
        site.store().backup(path, Overwrite::Replace)?;
        Ok(saved(&format!("boats-{}.wakewright", moment::today()), std::fs::read(path).map_err(disk)?))
    })
    .await
}

async fn restore(State(site): TheSite, Extension(visitor): Who, form: Multipart) -> Answer {
    let upload = received(form).await?;
    site.run(move |site| {
        let Some(backup) = upload.paths().next() else {
            return Err(WebError::BadRequest("Choose the file that a backup wrote.".to_owned()));
        };
        let place = site.store().path().to_owned();
        let restored = Store::restore(place, backup, now())
            .map_err(|error| WebError::BadRequest(format!("Nothing was restored: {error}")))?;
        let count = site.store().list()?.len();
        let body = html! {
            h1.sentence { "The boats are those of the backup: " strong { (count) } " in use." }
            @if let Some(aside) = restored.kept_aside {
                p { "What stood here before is kept in its folder as " (aside.file_name().unwrap_or_default().to_string_lossy())
                    ", and comes back in the same way." }
            }
            p { a.button.main href="/" { "To the boats" } }
        };
        Ok(page(&Shell { visitor: &visitor, title: "Restored", boat: None, here: Here::Elsewhere }, &body))
    })
    .await
}

async fn archived(Path(slug): Slug, State(site): TheSite) -> Result<Response, WebError> {
    site.run(move |site| {
        let (store, mut bytes) = (site.store(), Cursor::new(Vec::new()));
        let boat = store.find_by_slug(&slug)?;
        archive::write(&store, &boat, &mut bytes).map_err(|error| WebError::BadRequest(error.to_string()))?;
        Ok(saved(&format!("{slug}.zip"), bytes.into_inner()))
    })
    .await
}
