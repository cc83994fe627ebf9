//! The guard before the local web page: who may ask, from where, and what a browser may do with the
//! answer. Knows nothing of boats; wraps any router.
//!
//! A crate of its own, so that the part that security rests on is small, has its own few
//! dependencies and is tested without the program around it.
//!
//! # Against what
//! - **Another web page in the user's browser** (cross-site requests, a foreign name made to point
//!   at this machine, framing): the `Host` header must name an address of ours; a request that
//!   can change something must come from our own page. See [`guard`] for why no token is needed.
//! - **Another device on the boat's network**, once the page is shared: it must know the access
//!   code, which is shown on the terminal only; wrong codes cost time.
//! - **Text that gets into a page**: a content security policy without inline script or style.
//! - **Too much**: bodies and time per request are bounded, connections by number, by address and by
//!   how long they keep still ([`serve`]), and so is the guard's own memory.
//! - **Wrong codes of others**: they cost the address that they came from; when many addresses try, the
//!   right code still gets a new device in, once the owner says so on this computer.
//!
//! # Not against
//! - Someone who can listen on the boat's network: there is no encryption, because there is no name
//!   for which a certificate could be had. Share on a network of your own only.
//! - Other users of the same computer: what comes from the computer itself needs no code.
//! - A flood from this computer itself, or one that fills the network.

#![deny(missing_docs)]

mod address;
mod code;
mod config;
mod enter;
mod headers;
mod invitation;
mod limiter;
mod origin;
mod serve;
mod session;
mod waiting;
mod watch;

use std::sync::Arc;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware::from_fn_with_state;

pub use address::{OwnAddress, address_to_share, own_addresses};
pub use code::AccessCode;
pub use config::{GuardConfig, GuardError, LargerBody, Sharing};
pub use headers::CONTENT_SECURITY_POLICY;
pub use invitation::{Terminal, invitation, qr_code};
pub use serve::{ConnectionLimits, serve};

/// Puts the guard before every route of `router`, the fallback included.
///
/// The server must hand over the peer's address, as [`serve()`] does, and listen on
/// [`GuardConfig::listen_on`] alone. A request without a peer address counts as a stranger's.
///
/// # What the routes must keep to
/// - `GET` and `HEAD` change nothing.
/// - A path parameter is a key for a look-up and never becomes part of a file's path. (Dots that
///   climb, backslashes and encoded slashes are refused here already.)
/// - No inline script, no `<style>` and no `style="..."`: the policy forbids them. Presentation
///   attributes of SVG (`fill="..."`, `stroke-width="..."`) and changes that a script makes through
///   `element.style` are not inline styles and work.
/// - Static files may set their own `Cache-Control`; everything else gets `no-store`.
///
/// # Why no token against cross-site requests
/// Every request with an unsafe method must state by `Origin` or `Sec-Fetch-Site`, which a page
/// cannot forge, that it comes from the very address (port included) that it goes to; without
/// either header it is refused. When the page is shared the session cookie is `SameSite=Strict` on
/// top. The cookie alone would not do: a site is a host without its port, so any other server on
/// this machine would count as the same site, and on the machine itself there is no cookie at all.
/// `Referrer-Policy` is `same-origin`, because under `no-referrer` browsers send `Origin: null`
/// even for the page's own forms.
pub fn guard(router: Router, config: GuardConfig) -> Router {
    let guard = Arc::new(watch::Guard::new(config));
    router
        // The guard bounds bodies itself, by the configuration.
        .layer(DefaultBodyLimit::disable())
        .layer(from_fn_with_state(guard, watch::watch))
}
