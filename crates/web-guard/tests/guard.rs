//! The guarded router as a client sees it, called in-process.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::net::SocketAddr;
use std::time::Duration;

use axum::Router;
use axum::body::{Body, Bytes, to_bytes};
use axum::extract::ConnectInfo;
use axum::http::header::{
    CACHE_CONTROL, CONTENT_TYPE, COOKIE, HOST, LOCATION, ORIGIN, RETRY_AFTER, SET_COOKIE,
};
use axum::http::request::Builder;
use axum::http::{Request, Response, StatusCode};
use axum::routing::{any, get, post};
use tower::ServiceExt;
use wakewright_web_guard::{CONTENT_SECURITY_POLICY, GuardConfig, LargerBody, Sharing, guard};

const PORT: u16 = 8321;
const OWN: &str = "127.0.0.1:50000";
const PHONE: &str = "192.168.4.7:50000";
const LOCAL_HOST: &str = "127.0.0.1:8321";
const SHARED_HOST: &str = "192.168.4.2:8321";

fn routes() -> Router {
    Router::new()
        .route("/", get(|| async { "the page" }))
        .route("/save", post(|body: Bytes| async move { body.len().to_string() }))
        .route("/logs/import", post(|body: Bytes| async move { body.len().to_string() }))
        .route("/static/ink.css", get(|| async { ([(CACHE_CONTROL, "max-age=3600")], "p {}") }))
        .route("/slow", get(|| async { tokio::time::sleep(Duration::from_secs(60)).await }))
        .route("/late", get(|| async { tokio::time::sleep(Duration::from_millis(500)).await }))
        .route("/lax", any(|| async { ([("content-security-policy", "default-src *")], "") }))
}

fn larger(path_prefix: &'static str, request_timeout: Duration) -> LargerBody {
    LargerBody { path_prefix, bytes: 3_000_000, request_timeout }
}

fn local() -> Router {
    let larger_bodies = vec![larger("/logs/", Duration::from_secs(20))];
    guard(routes(), GuardConfig { larger_bodies, ..GuardConfig::loopback(PORT) })
}

/// The shared router and its code.
fn shared() -> (Router, String) {
    let sharing = Sharing::new(vec!["192.168.4.2".parse().unwrap()]).unwrap();
    let code = sharing.code().grouped();
    let config = GuardConfig {
        open_prefix: Some("/static/"),
        stylesheet: Some("/static/ink.css"),
        ..GuardConfig::shared(PORT, sharing)
    };
    (guard(routes(), config), code)
}

fn from(peer: &str, host: &str, method: &str, path: &str) -> Builder {
    Request::builder()
        .method(method)
        .uri(path)
        .header(HOST, host)
        .extension(ConnectInfo(peer.parse::<SocketAddr>().unwrap()))
}

async fn ask(router: &Router, request: Builder, body: impl Into<Body>) -> Response<Body> {
    router.clone().oneshot(request.body(body.into()).unwrap()).await.unwrap()
}

async fn status(router: &Router, request: Builder) -> StatusCode {
    ask(router, request, "").await.status()
}

async fn text(response: Response<Body>) -> String {
    String::from_utf8(to_bytes(response.into_body(), 100_000).await.unwrap().to_vec()).unwrap()
}

async fn enter(router: &Router, peer: &str, code: &str) -> Response<Body> {
    let request = from(peer, SHARED_HOST, "POST", "/enter")
        .header(ORIGIN, format!("http://{SHARED_HOST}"))
        .header(CONTENT_TYPE, "application/x-www-form-urlencoded");
    ask(router, request, format!("code={code}")).await
}

#[tokio::test]
async fn this_computer_sees_the_page() {
    for host in [LOCAL_HOST, "localhost:8321", "LOCALHOST:8321", "[::1]:8321"] {
        assert_eq!(status(&local(), from(OWN, host, "GET", "/")).await, StatusCode::OK, "{host}");
    }
    let mapped = from("[::ffff:127.0.0.1]:5", LOCAL_HOST, "GET", "/");
    assert_eq!(status(&local(), mapped).await, StatusCode::OK);
}

#[tokio::test]
async fn a_wrong_host_is_refused() {
    let hosts =
        ["evil.example:8321", "127.0.0.1", "127.0.0.1:80", "127.0.0.1:8321.evil.example", SHARED_HOST, ""];
    for host in hosts {
        let refused = status(&local(), from(OWN, host, "GET", "/")).await;
        assert_eq!(refused, StatusCode::MISDIRECTED_REQUEST, "{host}");
    }
    let twice = from(OWN, LOCAL_HOST, "GET", "/").header(HOST, LOCAL_HOST);
    assert_eq!(status(&local(), twice).await, StatusCode::MISDIRECTED_REQUEST);
    let in_line = from(OWN, LOCAL_HOST, "GET", "http://evil.example:8321/");
    assert_eq!(status(&local(), in_line).await, StatusCode::MISDIRECTED_REQUEST);
    let none = Request::get("/").extension(ConnectInfo(OWN.parse::<SocketAddr>().unwrap()));
    assert_eq!(status(&local(), none).await, StatusCode::MISDIRECTED_REQUEST);
}

#[tokio::test]
async fn a_cross_site_post_is_refused() {
    let post = || from(OWN, LOCAL_HOST, "POST", "/save");
    let own = status(&local(), post().header(ORIGIN, "http://127.0.0.1:8321")).await;
    assert_eq!(own, StatusCode::OK);
    for origin in ["http://evil.example", "null", "http://127.0.0.1:9000", "http://localhost:8321"] {
        let refused = status(&local(), post().header(ORIGIN, origin)).await;
        assert_eq!(refused, StatusCode::FORBIDDEN, "{origin}");
    }
    assert_eq!(status(&local(), post()).await, StatusCode::FORBIDDEN, "no word of where it comes from");
    let preflight = from(OWN, LOCAL_HOST, "OPTIONS", "/save").header(ORIGIN, "http://evil.example");
    assert_eq!(status(&local(), preflight).await, StatusCode::METHOD_NOT_ALLOWED);
}

#[tokio::test]
async fn strangers_do_not_get_in() {
    for peer in [PHONE, "203.0.113.5:1"] {
        assert_eq!(status(&local(), from(peer, LOCAL_HOST, "GET", "/")).await, StatusCode::FORBIDDEN);
    }
    let unknown = Request::get("/").header(HOST, LOCAL_HOST);
    assert_eq!(status(&local(), unknown).await, StatusCode::FORBIDDEN);
    let (router, _) = shared();
    let outside = from("203.0.113.5:1", SHARED_HOST, "GET", "/enter");
    assert_eq!(status(&router, outside).await, StatusCode::FORBIDDEN, "not even the form");
    let unknown = Request::get("/").header(HOST, SHARED_HOST);
    assert_eq!(status(&router, unknown).await, StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn when_shared_a_device_needs_the_code_and_this_computer_does_not() {
    let (router, _) = shared();
    assert_eq!(status(&router, from(OWN, LOCAL_HOST, "GET", "/")).await, StatusCode::OK);
    for (method, path) in [("GET", "/"), ("HEAD", "/"), ("POST", "/save"), ("GET", "/nowhere")] {
        // Claiming to be this computer by the Host header does not help.
        for host in [SHARED_HOST, LOCAL_HOST] {
            let request = from(PHONE, host, method, path).header(ORIGIN, format!("http://{host}"));
            let response = ask(&router, request, "").await;
            assert_eq!(response.status(), StatusCode::UNAUTHORIZED, "{method} {path}");
            let said = text(response).await;
            assert!(method == "HEAD" || said.contains("Access code"), "{said}");
        }
    }
    assert_eq!(status(&router, from(PHONE, SHARED_HOST, "GET", "/static/ink.css")).await, StatusCode::OK);
    let forged =
        from(PHONE, SHARED_HOST, "GET", "/").header(COOKIE, format!("wakewright_8321={}", "0".repeat(64)));
    assert_eq!(status(&router, forged).await, StatusCode::UNAUTHORIZED);
}

#[tokio::test]
async fn the_right_code_gives_a_cookie_and_the_cookie_the_page() {
    let (router, code) = shared();
    let form = ask(&router, from(PHONE, SHARED_HOST, "GET", "/enter"), "").await;
    assert_eq!(form.status(), StatusCode::OK);
    let form = text(form).await;
    assert!(form.contains("<form method=\"post\" action=\"/enter\">") && form.contains("/static/ink.css"));
    assert!(!form.contains("style=") && !form.contains("<script") && !form.contains("<style"));

    let entered = enter(&router, PHONE, &code.to_lowercase()).await;
    assert_eq!(entered.status(), StatusCode::SEE_OTHER);
    assert_eq!(entered.headers()[LOCATION], "/");
    let cookie = entered.headers()[SET_COOKIE].to_str().unwrap().to_owned();
    assert!(cookie.contains("; HttpOnly; SameSite=Strict; Path=/"), "{cookie}");
    let pair = cookie.split(';').next().unwrap();
    let page = ask(&router, from(PHONE, SHARED_HOST, "GET", "/").header(COOKIE, pair), "").await;
    assert_eq!((page.status(), text(page).await.as_str()), (StatusCode::OK, "the page"));
    // The cookie does not make up for a foreign origin.
    let foreign =
        from(PHONE, SHARED_HOST, "POST", "/save").header(COOKIE, pair).header(ORIGIN, "http://evil.example");
    assert_eq!(status(&router, foreign).await, StatusCode::FORBIDDEN);
    // Another run of the program does not know it.
    let (other, _) = shared();
    let elsewhere = from(PHONE, SHARED_HOST, "GET", "/").header(COOKIE, pair);
    assert_eq!(status(&other, elsewhere).await, StatusCode::UNAUTHORIZED);
}

#[tokio::test]
async fn the_third_wrong_code_has_to_wait_even_with_the_right_one() {
    let (router, code) = shared();
    assert_eq!(enter(&router, PHONE, "AAAA-AAAA").await.status(), StatusCode::UNAUTHORIZED);
    assert_eq!(enter(&router, PHONE, "").await.status(), StatusCode::UNAUTHORIZED);
    let third = enter(&router, PHONE, "AAAA-AAAC").await;
    assert_eq!(third.status(), StatusCode::TOO_MANY_REQUESTS);
    assert_eq!(third.headers()[RETRY_AFTER], "15");
    assert_eq!(enter(&router, PHONE, &code).await.status(), StatusCode::TOO_MANY_REQUESTS);
    let other = enter(&router, "192.168.4.8:1", &code).await;
    assert_eq!(other.status(), StatusCode::SEE_OTHER, "another device is not held up");
}

#[tokio::test]
async fn a_link_alone_lets_nobody_in_and_smuggles_nothing_into_the_form() {
    let (router, code) = shared();
    let plain = code.replace('-', "");
    let scanned = ask(&router, from(PHONE, SHARED_HOST, "GET", &format!("/enter?code={plain}")), "").await;
    // Sent on at once, so that the address with the code stays in no history.
    assert_eq!(scanned.status(), StatusCode::SEE_OTHER);
    assert_eq!(scanned.headers()[LOCATION], "/enter");
    let cookie = scanned.headers()[SET_COOKIE].to_str().unwrap().split(';').next().unwrap().to_owned();
    let form = ask(&router, from(PHONE, SHARED_HOST, "GET", "/enter").header(COOKIE, cookie), "").await;
    assert!(form.headers().get(SET_COOKIE).is_none());
    assert!(text(form).await.contains(&format!("value=\"{plain}\"")));
    let smuggled = from(PHONE, SHARED_HOST, "GET", "/enter").header(COOKIE, "wakewright_scanned=\"><script>");
    assert!(!text(ask(&router, smuggled, "").await).await.contains("<script"));
    let long = enter(&router, PHONE, &"A".repeat(2000)).await;
    assert_eq!(long.status(), StatusCode::PAYLOAD_TOO_LARGE);
}

#[tokio::test]
async fn wrong_codes_of_others_keep_no_new_phone_out() {
    let (router, code) = shared();
    for n in 0..40 {
        enter(&router, &format!("192.168.4.{}:1", 50 + n), "AAAA-AAAA").await;
    }
    // The right code of a new phone: it waits for the owner's word, not for a quarter of an hour.
    let waits = enter(&router, PHONE, &code).await;
    assert_eq!(waits.status(), StatusCode::OK);
    let cookie = waits.headers()[SET_COOKIE].to_str().unwrap().split(';').next().unwrap().to_owned();
    assert!(text(waits).await.contains("The code is right"));
    let again = || from(PHONE, SHARED_HOST, "GET", "/enter").header(COOKIE, cookie.clone());
    assert_eq!(status(&router, again()).await, StatusCode::OK, "still waiting");
    let owner = text(ask(&router, from(OWN, LOCAL_HOST, "GET", "/enter"), "").await).await;
    let word = owner.split("value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned();
    assert!(owner.contains("192.168.4.7") && owner.contains("192.168.4.50: 1"), "{owner}");
    let say = |body: String| {
        let request = from(OWN, LOCAL_HOST, "POST", "/enter").header(ORIGIN, format!("http://{LOCAL_HOST}"));
        ask(&router, request, body)
    };
    say(format!("let_in={word}")).await;
    let entered = ask(&router, again(), "").await;
    assert_eq!(entered.status(), StatusCode::SEE_OTHER);
    let session = entered.headers()[SET_COOKIE].to_str().unwrap().split(';').next().unwrap().to_owned();
    let page = from(PHONE, SHARED_HOST, "GET", "/").header(COOKIE, session);
    assert_eq!(status(&router, page).await, StatusCode::OK);
    // A device whose own wrong codes cost it time is freed by the owner's other button.
    for _ in 0..3 {
        enter(&router, "192.168.4.9:1", "AAAA-AAAA").await;
    }
    assert_eq!(enter(&router, "192.168.4.9:1", &code).await.status(), StatusCode::TOO_MANY_REQUESTS);
    say("forget=1".to_owned()).await;
    assert_eq!(enter(&router, "192.168.4.9:1", &code).await.status(), StatusCode::SEE_OTHER);
    // Nobody else sees or does what the owner may.
    let foreign = text(ask(&router, from(PHONE, SHARED_HOST, "GET", "/enter"), "").await).await;
    assert!(!foreign.contains("192.168.4.50") && !foreign.contains(&code));
}

#[tokio::test]
async fn a_script_of_a_device_that_is_not_let_in_gets_a_sentence() {
    let (router, _) = shared();
    let post = from(PHONE, SHARED_HOST, "POST", "/save")
        .header(ORIGIN, format!("http://{SHARED_HOST}"))
        .header("accept", "*/*");
    let answer = ask(&router, post, "").await;
    assert_eq!(answer.status(), StatusCode::UNAUTHORIZED);
    let said = text(answer).await;
    assert!(said.contains("enter the code") && !said.contains('<'), "{said}");
    let page = from(PHONE, SHARED_HOST, "GET", "/").header("accept", "text/html,application/xhtml+xml");
    assert!(text(ask(&router, page, "").await).await.contains("<h1>Access code</h1>"));
}

#[tokio::test]
async fn an_oversized_body_is_refused_whether_announced_or_not() {
    let post =
        |path: &str| from(OWN, LOCAL_HOST, "POST", path).header(ORIGIN, format!("http://{LOCAL_HOST}"));
    let fits = ask(&local(), post("/save"), vec![b'x'; 1_000_000]).await;
    assert_eq!(text(fits).await, "1000000");
    let silent = ask(&local(), post("/save"), vec![b'x'; 1_000_001]).await;
    assert_eq!(silent.status(), StatusCode::PAYLOAD_TOO_LARGE);
    for length in ["1000001", "99999999999999999999999"] {
        let announced = ask(&local(), post("/save").header("content-length", length), "").await;
        assert_eq!(announced.status(), StatusCode::PAYLOAD_TOO_LARGE, "{length}");
    }
    let import = ask(&local(), post("/logs/import"), vec![b'x'; 2_500_000]).await;
    assert_eq!(text(import).await, "2500000", "more than the framework's own 2 MB");
}

#[tokio::test]
async fn every_answer_carries_the_headers() {
    let (router, _) = shared();
    let answers = [
        ask(&local(), from(OWN, LOCAL_HOST, "GET", "/"), "").await,
        ask(&local(), from(OWN, LOCAL_HOST, "GET", "/nowhere"), "").await,
        ask(&local(), from(OWN, LOCAL_HOST, "DELETE", "/"), "").await,
        ask(&local(), from(OWN, LOCAL_HOST, "GET", "/lax"), "").await,
        ask(&local(), from(OWN, "evil.example", "GET", "/"), "").await,
        ask(&router, from(PHONE, SHARED_HOST, "GET", "/enter"), "").await,
    ];
    for answer in answers {
        let header = |name: &str| answer.headers()[name].to_str().unwrap();
        assert_eq!(header("content-security-policy"), CONTENT_SECURITY_POLICY);
        assert!(!CONTENT_SECURITY_POLICY.contains("unsafe"));
        assert!(CONTENT_SECURITY_POLICY.contains("frame-ancestors 'none'"));
        assert_eq!(header("x-content-type-options"), "nosniff");
        assert_eq!(header("referrer-policy"), "same-origin");
        assert_eq!(header("x-frame-options"), "DENY");
        assert_eq!(header("cache-control"), "no-store");
    }
    let file = ask(&local(), from(OWN, LOCAL_HOST, "GET", "/static/ink.css"), "").await;
    assert_eq!(file.headers()[CACHE_CONTROL], "max-age=3600");
}

#[tokio::test]
async fn paths_that_climb_are_refused() {
    for path in ["/../secret", "/boat/..%2f..%2fsecret", "/boat/%2e%2e/x", "/boat/a%00"] {
        assert_eq!(
            status(&local(), from(OWN, LOCAL_HOST, "GET", path)).await,
            StatusCode::BAD_REQUEST,
            "{path}"
        );
    }
}

#[tokio::test]
async fn a_request_that_takes_too_long_is_given_up() {
    let request_timeout = Duration::from_millis(20);
    let config = GuardConfig { request_timeout, ..GuardConfig::loopback(PORT) };
    let given_up = status(&guard(routes(), config), from(OWN, LOCAL_HOST, "GET", "/slow")).await;
    assert_eq!(given_up, StatusCode::SERVICE_UNAVAILABLE);
    // Where more may come, it may take longer: half a second is then in time.
    let larger_bodies = vec![larger("/late", Duration::from_secs(20))];
    let config = GuardConfig { request_timeout, larger_bodies, ..GuardConfig::loopback(PORT) };
    let answered = status(&guard(routes(), config), from(OWN, LOCAL_HOST, "GET", "/late")).await;
    assert_eq!(answered, StatusCode::OK);
}
