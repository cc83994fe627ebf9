//! Pages, scripts, pictures and tables leave packed where the browser takes them so. Not for: what is packed already.

use std::io::Write as _;

use axum::body::{Body, HttpBody as _, to_bytes};
use axum::extract::Request;
use axum::http::HeaderValue;
use axum::http::header::{ACCEPT_ENCODING, CONTENT_ENCODING, CONTENT_LENGTH, CONTENT_TYPE, VARY};
use axum::middleware::Next;
use axum::response::Response;
use flate2::Compression;
use flate2::write::GzEncoder;

/// Less is not worth it, more is a file that is saved.
const BYTES: std::ops::Range<u64> = 1_000..8_000_000;
/// The reader waits while it is packed: little work for most of the gain.
const LEVEL: Compression = Compression::new(3);

pub(super) async fn pack(request: Request, next: Next) -> Response {
    let takes = request.headers().get_all(ACCEPT_ENCODING).iter().filter_map(|line| line.to_str().ok());
    let takes = takes.flat_map(|line| line.split(',')).any(|way| way.trim() == "gzip");
    let response = next.run(request).await;
    let kind = response.headers().get(CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or_default();
    let is_text = ["text/", "application/json", "image/svg+xml"].iter().any(|text| kind.starts_with(text));
    let has_size = response.body().size_hint().exact().is_some_and(|bytes| BYTES.contains(&bytes));
    if !(takes && is_text && has_size) {
        return response;
    }
    let (mut head, body) = response.into_parts();
    let mut packed = GzEncoder::new(Vec::new(), LEVEL);
    // Neither a body of known size nor writing to memory fails.
    let plain = to_bytes(body, usize::MAX).await.unwrap_or_default();
    let _ = packed.write_all(&plain);
    head.headers.remove(CONTENT_LENGTH);
    head.headers.insert(CONTENT_ENCODING, HeaderValue::from_static("gzip"));
    head.headers.append(VARY, HeaderValue::from_static("accept-encoding"));
    Response::from_parts(head, Body::from(packed.finish().unwrap_or_default()))
}
