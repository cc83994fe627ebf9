//! The local page: one process, one store, no network beyond what is asked for. This file opens the
//! store and the sockets and serves until it is told to stop. Not for: routes (`router.rs`), what a
//! page shows (`pages`), who may ask (the guard's crate).

mod address;
mod answers;
mod assets;
mod diagnoses;
mod error;
mod job;
mod jobs;
mod layout;
mod letters;
mod pages;
mod parts;
mod query;
mod router;
mod sent;
mod state;
mod stores;
#[cfg(test)]
mod tests;
mod turns;
mod visitor;
mod words;
mod working;

use std::io;
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::sync::Arc;

use tokio::net::TcpListener;
use wakewright_rooms::Rooms;
use wakewright_store::{Store, StoreError};
use wakewright_web_guard::{
    ConnectionLimits, GuardConfig, GuardError, LargerBody, Sharing, Terminal, address_to_share, guard,
    invitation, own_addresses,
};

use state::Site;

/// Port taken when none is asked for, if it is free.
pub const USUAL_PORT: u16 = 8321;

/// Documents and archives that are brought in may be this large.
const IMPORT_LIMIT_BYTES: usize = 64_000_000;

/// What is typed or pasted into a page may be this large, encoded; nothing of it is lost.
const TYPING_LIMIT_BYTES: usize = 8_000_000;

/// What is asked of the server.
#[derive(Debug, Clone, Copy, Default)]
pub struct Wish {
    /// This port and no other; 0 for any that is free.
    pub port: Option<u16>,
    /// Also for other devices on the boat's network.
    pub is_shared: bool,
    /// On this address of this computer.
    pub address: Option<IpAddr>,
}

/// Why the page cannot be served.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// Sharing.
    #[error(transparent)]
    Guard(#[from] GuardError),
    /// An address cannot be listened on.
    #[error(
        "{address} cannot be opened: {source}. Another program may have it: name another port with --port."
    )]
    Address {
        /// Which.
        address: SocketAddr,
        /// What the system said.
        source: io::Error,
    },
    /// Anything else of the system.
    #[error("the server stopped: {0}")]
    System(#[from] io::Error),
}

/// The page over `store`, without sockets and without what guards them: for those who ask in the same process.
pub fn site(store: Store, rooms: Rooms) -> axum::Router {
    router::router(Arc::new(Site::new(store, rooms)))
}

/// Serves the page until Ctrl-C; `announce` is given what to say once it can be asked, in colour where
/// `has_colour`.
///
/// # Errors
/// [`ServeError`], before `announce` in all cases that the user can put right.
pub fn run(
    rooms: Rooms,
    wish: Wish,
    has_colour: bool,
    announce: impl FnOnce(&str),
) -> Result<(), ServeError> {
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    let terminal = if has_colour { Terminal::Colour } else { Terminal::Plain };
    let ready = |config: &GuardConfig| {
        let address = config.urls().into_iter().next().unwrap_or_default();
        let shared = invitation(config, terminal).map_or(String::new(), |text| format!("\n{text}"));
        announce(&format!("The page is at {address}\nCtrl-C ends it.\n{shared}"));
    };
    let served = runtime.block_on(serve(rooms, wish, ready, async {
        // Without a signal to wait for, it runs until it is killed; that loses nothing either.
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    }));
    // Not waiting for open connections: every answer given is on the disk.
    runtime.shutdown_background();
    served
}

/// Serves the page; calls `ready` once it can be asked, and returns when `stop` is done.
///
/// # Errors
/// [`ServeError`], before `ready` in all cases that the user can put right.
async fn serve(
    rooms: Rooms,
    wish: Wish,
    ready: impl FnOnce(&GuardConfig),
    stop: impl Future<Output = ()> + Send + 'static,
) -> Result<(), ServeError> {
    let site = Arc::new(Site::new(Store::open_default_to_read()?, rooms));
    // Nobody waits for it: pages of the shop answer sooner when it is through.
    drop(tokio::spawn(Arc::clone(&site).run(|site| site.look_over())));
    let here = listen_on_this_computer(wish.port).await?;
    let port = here.local_addr()?.port();
    let config = guarded(port, wish)?;
    let mut listeners = vec![here];
    for address in config.listen_on().into_iter().filter(|address| !address.ip().is_loopback()) {
        listeners.push(bind(address).await?);
    }
    pages::trials::sweep_left_over();
    ready(&config);
    let is_shared = config.sharing.is_some();
    let guarded = guard(router::router(site), config);
    tokio::select! {
        () = stop => {}
        () = wakewright_web_guard::serve(listeners, guarded, is_shared, ConnectionLimits::default()) => {}
    }
    Ok(())
}

fn guarded(port: u16, wish: Wish) -> Result<GuardConfig, ServeError> {
    let plain = if wish.is_shared {
        let address = address_to_share(&own_addresses()?, wish.address)?;
        GuardConfig::shared(port, Sharing::new(vec![address])?)
    } else {
        GuardConfig::loopback(port)
    };
    let larger = |path_prefix, bytes, request_timeout| LargerBody { path_prefix, bytes, request_timeout };
    Ok(GuardConfig {
        open_prefix: Some(assets::PREFIX),
        stylesheet: Some(assets::address("style.css")),
        larger_bodies: vec![
            larger("/import", IMPORT_LIMIT_BYTES, plain.request_timeout),
            larger(address::BRING_IN, pages::trials::UPLOAD_LIMIT_BYTES, pages::trials::UPLOAD_TIME),
            larger("/restore", pages::trials::UPLOAD_LIMIT_BYTES, pages::trials::UPLOAD_TIME),
            larger("/boats/", TYPING_LIMIT_BYTES, plain.request_timeout),
        ],
        ..plain
    })
}

async fn listen_on_this_computer(port: Option<u16>) -> Result<TcpListener, ServeError> {
    let at = |port| SocketAddr::new(IpAddr::V4(Ipv4Addr::LOCALHOST), port);
    match port {
        Some(port) => bind(at(port)).await,
        None => match bind(at(USUAL_PORT)).await {
            Ok(listener) => Ok(listener),
            Err(_) => bind(at(0)).await,
        },
    }
}

async fn bind(address: SocketAddr) -> Result<TcpListener, ServeError> {
    TcpListener::bind(address).await.map_err(|source| ServeError::Address { address, source })
}
