//! Connections that say nothing, half a request or too much at once, against a server that listens.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::net::SocketAddr;
use std::time::{Duration, Instant};

use axum::Router;
use axum::routing::get;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};
use wakewright_web_guard::{ConnectionLimits, GuardConfig, guard, serve};

/// Bytes of an answer that fits into no buffer on its way.
const LONG: usize = 64_000_000;

async fn begin(limits: ConnectionLimits) -> SocketAddr {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let address = listener.local_addr().unwrap();
    let routes = Router::new().route("/", get(|| async { "the page" }));
    let routes = routes.route("/long", get(|| async { "x".repeat(LONG) }));
    let router = guard(routes, GuardConfig::loopback(address.port()));
    tokio::spawn(serve(vec![listener], router, false, limits));
    address
}

fn quick() -> ConnectionLimits {
    ConnectionLimits { own: 8, head: Duration::from_millis(300), ..ConnectionLimits::default() }
}

async fn page(address: SocketAddr) -> String {
    let mut stream = TcpStream::connect(address).await.unwrap();
    let request = format!("GET / HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n\r\n");
    stream.write_all(request.as_bytes()).await.unwrap();
    let mut answer = String::new();
    let _ = stream.read_to_string(&mut answer).await;
    answer
}

/// How long the server keeps the connection after `sent`.
async fn held(address: SocketAddr, sent: &str) -> Duration {
    let mut stream = TcpStream::connect(address).await.unwrap();
    stream.write_all(sent.as_bytes()).await.unwrap();
    let started = Instant::now();
    let mut rest = Vec::new();
    let read = tokio::time::timeout(Duration::from_secs(10), stream.read_to_end(&mut rest)).await;
    assert!(read.is_ok(), "held for ever after {sent:?}");
    started.elapsed()
}

#[tokio::test]
async fn silent_half_sent_and_kept_connections_end() {
    let address = begin(quick()).await;
    let whole = format!("GET / HTTP/1.1\r\nHost: {address}\r\n\r\n");
    for sent in ["", "GET / HT", "GET / HTTP/1.1\r\nHost: x\r\n", whole.as_str()] {
        let time = held(address, sent).await;
        assert!(time < Duration::from_secs(3), "{sent:?}: {time:?}");
    }
    assert!(page(address).await.contains("the page"));
}

#[tokio::test]
async fn more_than_the_limit_are_turned_away_and_the_rest_is_served_again() {
    let address = begin(quick()).await;
    let mut held = Vec::new();
    for _ in 0..8 {
        let mut stream = TcpStream::connect(address).await.unwrap();
        stream.write_all(b"GET / HT").await.unwrap();
        held.push(stream);
    }
    tokio::time::sleep(Duration::from_millis(50)).await;
    assert!(!page(address).await.contains("the page"), "the ninth finds no place");
    tokio::time::sleep(Duration::from_millis(500)).await;
    assert!(page(address).await.contains("the page"), "the silent ones were let go");
}

/// Whoever takes an answer byte by byte holds its place no longer than one who takes nothing.
#[tokio::test(flavor = "multi_thread")]
async fn a_slow_reader_is_let_go() {
    let limits = ConnectionLimits { own: 1, write: Duration::from_millis(400), ..quick() };
    let address = begin(limits).await;
    let mut stream = TcpStream::connect(address).await.unwrap();
    stream.write_all(format!("GET /long HTTP/1.1\r\nHost: {address}\r\n\r\n").as_bytes()).await.unwrap();
    let reading = tokio::spawn(async move {
        let mut byte = [0];
        while stream.read(&mut byte).await.is_ok() {
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
    });
    tokio::time::sleep(Duration::from_millis(100)).await;
    assert!(!page(address).await.contains("the page"), "the one place is taken");
    let started = Instant::now();
    while !page(address).await.contains("the page") {
        assert!(started.elapsed() < Duration::from_secs(10), "held for ever");
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    reading.abort();
}
