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

/// Name of the cookie that carries a scanned code from the address into the form: the address with the
/// code is answered by sending the browser on, so that it stays in no history.
pub(crate) const SCANNED: &str = "wakewright_scanned";
/// Field of the owner's form: the word of the device to let in.
pub(crate) const LET_IN: &str = "let_in";
/// Field of the owner's form: forget all wrong codes.
pub(crate) const FORGET: &str = "forget";

/// The value of a field in a form, empty when there is none.
pub(crate) fn field_in(form: &[u8], wanted: &str) -> String {
    form_urlencoded::parse(form)
        .find(|(name, _)| name == wanted)
        .map_or(String::new(), |(_, v)| v.into_owned())
}

/// Sends a scanned code on to the form.
pub(crate) fn scanned(code: &str) -> Response {
    let code = letters_of(code).replace('?', "");
    let cookie = format!("{SCANNED}={code}; HttpOnly; SameSite=Lax; Max-Age=600; Path={PATH}");
    (StatusCode::SEE_OTHER, [(LOCATION, PATH.to_owned()), (SET_COOKIE, cookie)]).into_response()
}

/// The page with the form. `prefilled` comes from the QR code's address: it is put into the field
/// but has to be sent by hand, because a mere link must not change anything.
pub(crate) fn page(status: StatusCode, stylesheet: Option<&str>, remark: &str, prefilled: &str) -> Response {
    // Only letters of the alphabet are left of it, so it needs no escaping.
    let value = letters_of(prefilled).replace('?', "");
    let remark = if remark.is_empty() {
        String::new()
    } else {
        format!("<p role=\"alert\">{}</p>\n", escaped(remark))
    };
    let body = format!(
        "<p>The computer that serves this page shows a code of eight letters and digits. \
         Enter it once on this device.</p>\n{remark}\
         <form method=\"post\" action=\"{PATH}\">\n\
         <p><label for=\"code\">Code</label>\n\
         <input id=\"code\" name=\"{FIELD}\" value=\"{value}\" required maxlength=\"20\" \
         autocomplete=\"one-time-code\" autocapitalize=\"characters\" spellcheck=\"false\"></p>\n\
         <p><button type=\"submit\">Let this device in</button></p>\n</form>\n"
    );
    whole(status, stylesheet, "Access code", &body, "")
}

/// The page of a device that waits for the owner; it asks again by itself.
pub(crate) fn waiting_page(stylesheet: Option<&str>, word: &str) -> Response {
    let body = format!(
        "<p>The code is right. Because many wrong ones were tried on this network, the owner has to agree: \
         on the computer, open <b>/enter</b> of the page and let in the device <b>{}</b>. \
         This page goes on by itself.</p>\n",
        escaped(word)
    );
    let again = format!("<meta http-equiv=\"refresh\" content=\"3; url={PATH}\">\n");
    whole(StatusCode::OK, stylesheet, "Waiting for the owner", &body, &again)
}

/// The owner's page: who waits, who tried wrong codes, and what to do about it.
pub(crate) fn owners_page(
    stylesheet: Option<&str>,
    code: Option<&str>,
    waiting: &[(std::net::IpAddr, String)],
    wrong: &[(std::net::IpAddr, u32)],
) -> Response {
    let mut body = match code {
        Some(code) => format!("<p>The code for other devices: <b>{}</b></p>\n", escaped(code)),
        None => "<p>The page is not shared; only this computer sees it.</p>\n".to_owned(),
    };
    for (peer, word) in waiting {
        body += &format!(
            "<form method=\"post\" action=\"{PATH}\"><p>{peer} knows the code and waits. Its screen shows <b>{word}</b>. \
             <button name=\"{LET_IN}\" value=\"{word}\">Let {word} in</button></p></form>\n"
        );
    }
    if !wrong.is_empty() {
        body += "<p>Wrong codes so far:</p>\n<ul>\n";
        for (peer, count) in wrong.iter().take(20) {
            body += &format!("<li>{peer}: {count}</li>\n");
        }
        body += &format!(
            "</ul>\n<form method=\"post\" action=\"{PATH}\"><p><button name=\"{FORGET}\" value=\"1\">\
             Forget them, so that nobody has to wait</button></p></form>\n"
        );
    }
    body += "<p><a href=\"/\">To the boats</a></p>\n";
    whole(StatusCode::OK, stylesheet, "Devices", &body, "")
}

fn whole(status: StatusCode, stylesheet: Option<&str>, title: &str, body: &str, head: &str) -> Response {
    let stylesheet = stylesheet
        .map(|path| format!("<link rel=\"stylesheet\" href=\"{}\">\n", escaped(path)))
        .unwrap_or_default();
    let html = format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}</title>\n{head}{stylesheet}</head>\n<body>\n<main>\n\
         <h1>{title}</h1>\n{body}</main>\n</body>\n</html>\n"
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
