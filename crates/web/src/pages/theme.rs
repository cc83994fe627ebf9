//! The switches of colours and units, as forms that work without a script.

use axum::body::Bytes;
use axum::http::HeaderMap;
use axum::http::header::{LOCATION, REFERER, SET_COOKIE};
use axum::http::{StatusCode, Uri};
use axum::response::{IntoResponse, Response};

use crate::query::Query;
use crate::visitor::{Theme, theme_cookie, units_cookie};

/// Keeps the choice and goes back to the page where it was made.
pub async fn choose(headers: HeaderMap, body: Bytes) -> Response {
    let form = Query::parse(&body);
    let theme = || theme_cookie(Theme::from_word(form.get("theme").unwrap_or_default()));
    let chosen = form.get("units").map_or_else(theme, units_cookie);
    let back = headers.get(REFERER).and_then(|value| value.to_str().ok()).and_then(local_part);
    let answer = [(SET_COOKIE, chosen), (LOCATION, back.unwrap_or_else(|| "/".to_owned()))];
    (StatusCode::SEE_OTHER, answer).into_response()
}

/// Path and query only: the way back never leads to another place.
fn local_part(address: &str) -> Option<String> {
    let uri: Uri = address.parse().ok()?;
    let path = uri.path_and_query()?.as_str();
    (path.starts_with('/') && !path.starts_with("//")).then(|| path.to_owned())
}

#[cfg(test)]
mod tests {
    use super::local_part;

    #[test]
    fn the_way_back_stays_here() {
        assert_eq!(local_part("http://127.0.0.1:8321/boats/a?x=1").as_deref(), Some("/boats/a?x=1"));
        assert_eq!(local_part("http://127.0.0.1:8321//evil.example/"), None);
        assert_eq!(local_part("nonsense\n"), None);
    }
}
