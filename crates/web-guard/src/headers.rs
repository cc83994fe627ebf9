//! What every answer tells the browser.

use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY as POLICY, HeaderName, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
    X_FRAME_OPTIONS,
};
use axum::http::{HeaderMap, HeaderValue};

/// Own scripts, styles, fonts and pictures from own files; nothing inline, nothing foreign, no frame
/// around the page. A picture that the page's own script has made may be painted (`blob:`).
pub const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; \
     img-src 'self' blob:; font-src 'self'; connect-src 'self'; manifest-src 'self'; form-action 'self'; \
     base-uri 'none'; frame-ancestors 'none'";

/// Sets the headers; a route cannot weaken them. Only its own `Cache-Control` stands.
pub(crate) fn secure(headers: &mut HeaderMap) {
    let fixed = [
        (POLICY, CONTENT_SECURITY_POLICY),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (X_FRAME_OPTIONS, "DENY"),
        // Not "no-referrer": browsers would send `Origin: null` with our own forms.
        (REFERRER_POLICY, "same-origin"),
        (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    ];
    for (name, value) in fixed {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers.entry(CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
}
