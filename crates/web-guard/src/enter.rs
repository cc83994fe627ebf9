//! The page where a device shows the access code, once.

use std::time::Duration;

use axum::body::Body;
use axum::http::header::{CONTENT_TYPE, LOCATION, RETRY_AFTER, SET_COOKIE};
use axum::http::{HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};

use crate::code::letters_of;

/// Where the code is shown and sent to.
pub(crate) const PATH: &str = "/enter";
/// Field of the form, and of the address that the QR code holds.
pub(crate) const FIELD: &str = "code";
/// Longest form that is read.
pub(crate) const FORM_LIMIT_BYTES: usize = 1000;

/// The code in a form or a query, empty when there is none.
pub(crate) fn code_in(form: &[u8]) -> String {
    form_urlencoded::parse(form)
        .find(|(name, _)| name == FIELD)
        .map_or(String::new(), |(_, v)| v.into_owned())
}

/// The page with the form. `prefilled` comes from the QR code's address: it is put into the field
/// but has to be sent by hand, because a mere link must not change anything.
pub(crate) fn page(status: StatusCode, stylesheet: Option<&str>, remark: &str, prefilled: &str) -> Response {
    let stylesheet = stylesheet
        .map(|path| format!("<link rel=\"stylesheet\" href=\"{}\">\n", escaped(path)))
        .unwrap_or_default();
    // Only letters of the alphabet are left of it, so it needs no escaping.
    let value = letters_of(prefilled).replace('?', "");
    let remark = if remark.is_empty() {
        String::new()
    } else {
        format!("<p role=\"alert\">{}</p>\n", escaped(remark))
    };
    let html = format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>Access code</title>\n{stylesheet}</head>\n<body>\n<main>\n\
         <h1>Access code</h1>\n\
         <p>The computer that serves this page shows a code of eight letters and digits. \
         Enter it once on this device.</p>\n{remark}\
         <form method=\"post\" action=\"{PATH}\">\n\
         <p><label for=\"code\">Code</label>\n\
         <input id=\"code\" name=\"{FIELD}\" value=\"{value}\" required maxlength=\"20\" \
         autocomplete=\"one-time-code\" autocapitalize=\"characters\" spellcheck=\"false\"></p>\n\
         <p><button type=\"submit\">Let this device in</button></p>\n</form>\n</main>\n</body>\n</html>\n"
    );
    (status, [(CONTENT_TYPE, "text/html; charset=utf-8")], Body::from(html)).into_response()
}

/// The page after a wrong code that costs time.
pub(crate) fn wait_page(stylesheet: Option<&str>, wait: Duration) -> Response {
    let seconds = wait.as_secs_f64().ceil() as u64;
    let remark = format!(
        "Too many wrong codes. Wait {seconds} s, then try again with the code as the computer shows it."
    );
    let mut response = page(StatusCode::TOO_MANY_REQUESTS, stylesheet, &remark, "");
    response.headers_mut().insert(RETRY_AFTER, HeaderValue::from(seconds));
    response
}

/// Sends a device that was let in to the first page, with its cookie.
pub(crate) fn let_in(cookie: &str) -> Response {
    let headers = [(LOCATION, "/"), (SET_COOKIE, cookie)];
    (StatusCode::SEE_OTHER, headers).into_response()
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
