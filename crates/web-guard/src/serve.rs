//! Accepting connections: how many at once, how long each may say nothing. The protocol, and the
//! time for a head and for idling, are the server library's. Not for: what is answered.

use std::collections::HashMap;
use std::net::{IpAddr, SocketAddr};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use axum::Router;
use axum::body::Body;
use axum::extract::ConnectInfo;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::net::{TcpListener, TcpStream};
use tokio_io_timeout::TimeoutStream;
use tower::ServiceExt;
use tower::util::MapRequestLayer;

use crate::address::is_own_network;

/// How many connections there may be and how long one may keep still.
#[derive(Debug, Clone, Copy)]
pub struct ConnectionLimits {
    /// From this computer.
    pub own: usize,
    /// From all others together; those of this computer are not counted, so its share stays free.
    pub others: usize,
    /// From one other address.
    pub each: usize,
    /// Time for the head of a request, and for saying nothing between two.
    pub head: Duration,
    /// Time in which some of an answer must have been taken.
    pub write: Duration,
}

impl Default for ConnectionLimits {
    fn default() -> Self {
        Self {
            // A program may have a thousand files and connections open on a usual system.
            own: 300,
            others: 300,
            // A browser opens six; several may stand behind one address.
            each: 40,
            head: Duration::from_secs(20),
            write: Duration::from_secs(60),
        }
    }
}

/// Who is connected.
#[derive(Debug)]
struct Gate {
    limits: ConnectionLimits,
    is_shared: bool,
    open: Mutex<HashMap<IpAddr, usize>>,
}

/// A place at the gate, given back when the connection ends.
#[derive(Debug)]
struct Place {
    gate: Arc<Gate>,
    peer: IpAddr,
}

impl Gate {
    /// A place for `peer`, if it may have one. Whoever the guard refuses in any case gets none.
    fn enter(self: &Arc<Self>, peer: IpAddr) -> Option<Place> {
        let peer = peer.to_canonical();
        let is_expected = peer.is_loopback() || (self.is_shared && is_own_network(peer));
        if !is_expected {
            return None;
        }
        let mut open = self.open.lock().unwrap_or_else(PoisonError::into_inner);
        let own: usize = open.iter().filter(|(ip, _)| ip.is_loopback()).map(|(_, count)| count).sum();
        let others = open.values().sum::<usize>() - own;
        let here = open.get(&peer).copied().unwrap_or(0);
        let has_room = if peer.is_loopback() {
            own < self.limits.own
        } else {
            others < self.limits.others && here < self.limits.each
        };
        if !has_room {
            return None;
        }
        *open.entry(peer).or_insert(0) += 1;
        Some(Place { gate: Arc::clone(self), peer })
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let mut open = self.gate.open.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(count) = open.get_mut(&self.peer) {
            *count -= 1;
            if *count == 0 {
                open.remove(&self.peer);
            }
        }
    }
}

/// Serves `router`, which should be behind the guard, on `listeners`. Returns when they are gone.
pub async fn serve(listeners: Vec<TcpListener>, router: Router, is_shared: bool, limits: ConnectionLimits) {
    let gate = Arc::new(Gate { limits, is_shared, open: Mutex::default() });
    let mut accepting = tokio::task::JoinSet::new();
    for listener in listeners {
        accepting.spawn(accept(listener, router.clone(), Arc::clone(&gate)));
    }
    while accepting.join_next().await.is_some() {}
}

async fn accept(listener: TcpListener, router: Router, gate: Arc<Gate>) {
    loop {
        match listener.accept().await {
            Ok((stream, peer)) => {
                // Without a place the connection is closed by being dropped.
                if let Some(place) = gate.enter(peer.ip()) {
                    let (router, limits) = (router.clone(), gate.limits);
                    tokio::spawn(async move {
                        attend(stream, peer, router, limits).await;
                        drop(place);
                    });
                }
            }
            // Out of files, or the peer was gone already: others may come in a moment.
            Err(_) => tokio::time::sleep(Duration::from_millis(50)).await,
        }
    }
}

async fn attend(stream: TcpStream, peer: SocketAddr, router: Router, limits: ConnectionLimits) {
    // Answers are small; waiting for more to send with them only delays them.
    let _ = stream.set_nodelay(true);
    let mut stream = TimeoutStream::new(stream);
    stream.set_write_timeout(Some(limits.write));
    let told = MapRequestLayer::new(move |mut request: hyper::Request<hyper::body::Incoming>| {
        request.extensions_mut().insert(ConnectInfo(peer));
        request.map(Body::new)
    });
    let service = tower::Layer::layer(&told, router.into_service().boxed_clone());
    // A connection that breaks off concerns nobody but its peer.
    let _ = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(limits.head)
        .serve_connection(TokioIo::new(Box::pin(stream)), TowerToHyperService::new(service))
        .await;
}
