//! The order of the checks that each request has to pass.

use std::net::{IpAddr, SocketAddr};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Instant;

use axum::body::{Body, to_bytes};
use axum::extract::{ConnectInfo, Request, State};
use axum::http::header::{ACCEPT, CONTENT_LENGTH, SET_COOKIE};
use axum::http::{HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use http_body_util::Limited;

use crate::address::{AllowedHosts, is_own_network};
use crate::config::{GuardConfig, Sharing};
use crate::limiter::{Limiter, Verdict};
use crate::session::{Sessions, cookie_values};
use crate::waiting::WaitingRoom;
use crate::{enter, headers, origin};

const METHODS: [Method; 6] =
    [Method::GET, Method::HEAD, Method::POST, Method::PUT, Method::PATCH, Method::DELETE];

/// What the guard knows between requests.
#[derive(Debug)]
pub(crate) struct Guard {
    config: GuardConfig,
    hosts: AllowedHosts,
    limiter: Mutex<Limiter>,
    sessions: Mutex<Sessions>,
    waiting: Mutex<WaitingRoom>,
}

/// Runs one request past the guard.
pub(crate) async fn watch(State(guard): State<Arc<Guard>>, request: Request, next: Next) -> Response {
    let patience = guard.config.timeout_of(request.uri().path());
    let answered = async {
        match guard.admit(request).await {
            Ok(request) => next.run(request).await,
            Err(refusal) => refusal,
        }
    };
    let mut response = tokio::time::timeout(patience, answered).await.unwrap_or_else(|_| {
        refuse(StatusCode::SERVICE_UNAVAILABLE, "This took too long and was given up. Try again.")
    });
    headers::secure(response.headers_mut());
    response
}

impl Guard {
    pub(crate) fn new(config: GuardConfig) -> Self {
        Self {
            hosts: AllowedHosts::new(&config),
            limiter: Mutex::default(),
            sessions: Mutex::new(Sessions::new(config.port)),
            waiting: Mutex::new(WaitingRoom::new(config.port)),
            config,
        }
    }

    /// The request as the routes may see it, or the answer that it gets instead.
    async fn admit(&self, request: Request) -> Result<Request, Response> {
        if !METHODS.contains(request.method()) {
            return Err(refuse(StatusCode::METHOD_NOT_ALLOWED, "This page does not know that method."));
        }
        let Some(host) = self.hosts.named_in(&request) else {
            return Err(refuse(
                StatusCode::MISDIRECTED_REQUEST,
                "This page answers only under the addresses that the program shows at its start.",
            ));
        };
        if !is_plain_path(request.uri().path()) {
            return Err(refuse(StatusCode::BAD_REQUEST, "There is no such page."));
        }
        if !origin::is_from_our_page(request.method(), request.headers(), host) {
            return Err(refuse(StatusCode::FORBIDDEN, "Another web page tried to use this one; refused."));
        }
        let peer = request.extensions().get::<ConnectInfo<SocketAddr>>().map(|c| c.0.ip().to_canonical());
        let request = self.let_pass(peer, request).await?;
        self.bound_body(request)
    }

    /// Passes what comes from this computer, and a device that has shown the code.
    async fn let_pass(&self, peer: Option<IpAddr>, request: Request) -> Result<Request, Response> {
        if peer.is_some_and(|p| p.is_loopback()) {
            if request.uri().path() == enter::PATH {
                return Err(self.owner(request).await);
            }
            return Ok(request);
        }
        let stranger = || refuse(StatusCode::FORBIDDEN, "This page is not shared with your device.");
        let (Some(sharing), Some(peer)) = (&self.config.sharing, peer.filter(|p| is_own_network(*p))) else {
            return Err(stranger());
        };
        let path = request.uri().path();
        if path == enter::PATH {
            return Err(self.exchange(sharing, peer, request).await);
        }
        let is_open = request.method().is_safe()
            && self.config.open_prefix.is_some_and(|prefix| path.starts_with(prefix));
        if is_open || locked(&self.sessions).knows(request.headers()) {
            return Ok(request);
        }
        // A script shows what it gets as text: a page's source would tell the reader nothing.
        let wants_page = request
            .headers()
            .get_all(ACCEPT)
            .iter()
            .any(|kinds| kinds.to_str().is_ok_and(|kinds| kinds.contains("text/html")));
        if !wants_page && request.headers().contains_key(ACCEPT) {
            let text = "The program was started anew, or this device was not let in yet: open the page anew and \
                        enter the code. What is typed here stays until then.";
            return Err(refuse(StatusCode::UNAUTHORIZED, text));
        }
        Err(enter::page(StatusCode::UNAUTHORIZED, self.config.stylesheet, "", ""))
    }

    /// What the owner sees and says about other devices.
    async fn owner(&self, request: Request) -> Response {
        if request.method() == Method::POST {
            let Ok(form) = to_bytes(request.into_body(), enter::FORM_LIMIT_BYTES).await else {
                return too_large(enter::FORM_LIMIT_BYTES);
            };
            let chosen = enter::field_in(&form, enter::LET_IN);
            if !chosen.is_empty() {
                locked(&self.waiting).let_in(&chosen);
            }
            if !enter::field_in(&form, enter::FORGET).is_empty() {
                locked(&self.limiter).forget_all();
            }
        }
        let code = self.config.sharing.as_ref().map(|sharing| sharing.code().grouped());
        let (waiting, wrong) = (locked(&self.waiting).list(), locked(&self.limiter).wrong_codes());
        enter::owners_page(self.config.stylesheet, code.as_deref(), &waiting, &wrong)
    }

    /// Exchanges the code for a session.
    async fn exchange(&self, sharing: &Sharing, peer: IpAddr, request: Request) -> Response {
        let stylesheet = self.config.stylesheet;
        if request.method().is_safe() {
            let query = request.uri().query().unwrap_or_default().as_bytes();
            let in_address = enter::field_in(query, enter::FIELD);
            if !in_address.is_empty() {
                return enter::scanned(&in_address);
            }
            if let Some((word, is_let_in)) = locked(&self.waiting).ask(request.headers()) {
                return if is_let_in { self.begin() } else { enter::waiting_page(stylesheet, &word) };
            }
            let prefilled = cookie_values(request.headers(), enter::SCANNED).next().unwrap_or_default();
            return enter::page(StatusCode::OK, stylesheet, "", prefilled);
        }
        if request.method() != Method::POST {
            return refuse(StatusCode::METHOD_NOT_ALLOWED, "The code is sent by the form.");
        }
        let Ok(form) = to_bytes(request.into_body(), enter::FORM_LIMIT_BYTES).await else {
            return too_large(enter::FORM_LIMIT_BYTES);
        };
        let typed = enter::field_in(&form, enter::FIELD);
        let verdict = locked(&self.limiter).attempt(peer, Instant::now(), || sharing.code().is(&typed));
        match verdict {
            Verdict::Wait(wait) => enter::wait_page(stylesheet, wait),
            Verdict::Wrong => enter::page(
                StatusCode::UNAUTHORIZED,
                stylesheet,
                "That is not the code. Compare it with what the computer shows.",
                "",
            ),
            Verdict::LetIn => self.begin(),
            Verdict::Ask => match locked(&self.waiting).enter(peer) {
                Ok((cookie, word)) => {
                    let mut response = enter::waiting_page(stylesheet, &word);
                    if let Ok(cookie) = HeaderValue::from_str(&cookie) {
                        response.headers_mut().insert(SET_COOKIE, cookie);
                    }
                    response
                }
                Err(error) => refuse(StatusCode::INTERNAL_SERVER_ERROR, &error.to_string()),
            },
        }
    }

    /// Lets a device in.
    fn begin(&self) -> Response {
        match locked(&self.sessions).begin() {
            Ok(cookie) => enter::let_in(&cookie),
            Err(error) => refuse(StatusCode::INTERNAL_SERVER_ERROR, &error.to_string()),
        }
    }

    /// Refuses a body that says it is too large, and cuts off one that turns out to be.
    #[expect(clippy::result_large_err, reason = "once per request, and not an error that travels")]
    fn bound_body(&self, request: Request) -> Result<Request, Response> {
        let limit = self.config.body_limit_of(request.uri().path());
        let stated = request.headers().get(CONTENT_LENGTH);
        let fits = |v: &HeaderValue| v.to_str().is_ok_and(|t| t.parse::<usize>().is_ok_and(|n| n <= limit));
        if stated.is_some_and(|length| !fits(length)) {
            return Err(too_large(limit));
        }
        Ok(request.map(|body| Body::new(Limited::new(body, limit))))
    }
}

/// No segment that climbs, no backslash, nothing encoded that could become a slash, a dot segment,
/// or an end of text further in.
fn is_plain_path(path: &str) -> bool {
    let lower = path.to_ascii_lowercase();
    let hidden = ["\\", "%2f", "%5c", "%00"];
    !hidden.iter().any(|h| lower.contains(h))
        && !lower.replace("%2e", ".").split('/').any(|segment| segment == "." || segment == "..")
}

fn refuse(status: StatusCode, text: &str) -> Response {
    (status, format!("{text}\n")).into_response()
}

fn too_large(limit_bytes: usize) -> Response {
    let text = format!("That is more than fits here; the limit is {} kB.", limit_bytes / 1000);
    refuse(StatusCode::PAYLOAD_TOO_LARGE, &text)
}

/// A panic elsewhere leaves these tables whole: they are changed in single steps.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::is_plain_path;

    #[test]
    fn paths_that_could_climb_are_not_plain() {
        for plain in ["/", "/boat/grey-heron", "/boat/%C3%A9toile", "/a.b/c..d", "/static/ink.css"] {
            assert!(is_plain_path(plain), "{plain}");
        }
        for refused in ["/../x", "/a/%2e%2E/x", "/a/.%2e", "/a%2Fb", "/a\\b", "/a%5cb", "/a%00", "/./a"] {
            assert!(!is_plain_path(refused), "{refused}");
        }
    }
}
