//! How the page is served: alone on this computer, or shared on the boat's network.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::time::Duration;

use thiserror::Error;

use crate::address::is_own_network;
use crate::code::AccessCode;

const BODY_LIMIT_BYTES: usize = 1_000_000;
const REQUEST_TIMEOUT: Duration = Duration::from_secs(30);

/// Why the page cannot be shared.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum GuardError {
    /// The address can be reached from outside the boat, or is no address of a network at all.
    #[error(
        "{0} is not an address of a network of your own. Share on the address that your boat's or workshop's network gave to this computer."
    )]
    NotOwnNetwork(IpAddr),
    /// There is nothing to share on.
    #[error("No address of a network of your own was found to share on. Join the boat's network first.")]
    NoAddress,
    /// More than one network.
    #[error(
        "This computer is on more than one network, or only on a tunnel. Name the address to share on:{listed}"
    )]
    SeveralAddresses {
        /// The addresses, a line for each.
        listed: String,
    },
    /// An address that this computer does not have.
    #[error("{wanted} is not an address of this computer. It has:{listed}")]
    NotHere {
        /// What was named.
        wanted: IpAddr,
        /// The addresses, a line for each.
        listed: String,
    },
    /// The system gave no random numbers.
    #[error("The system's random source failed ({0}); without it no access code can be made.")]
    NoRandomness(getrandom::Error),
}

/// Sharing on the boat's network.
#[derive(Debug)]
pub struct Sharing {
    addresses: Vec<IpAddr>,
    code: AccessCode,
}

impl Sharing {
    /// Shares on `addresses`, with a new access code that holds until the program ends.
    ///
    /// # Errors
    /// No address, one that is not of a private network, or no random numbers.
    pub fn new(addresses: Vec<IpAddr>) -> Result<Self, GuardError> {
        if addresses.is_empty() {
            return Err(GuardError::NoAddress);
        }
        if let Some(open) = addresses.iter().find(|a| a.is_loopback() || !is_own_network(**a)) {
            return Err(GuardError::NotOwnNetwork(*open));
        }
        Ok(Self { addresses, code: AccessCode::random()? })
    }

    /// The addresses shared on, at least one.
    #[must_use]
    pub fn addresses(&self) -> &[IpAddr] {
        &self.addresses
    }

    /// The code to show on the terminal.
    #[must_use]
    pub fn code(&self) -> &AccessCode {
        &self.code
    }
}

/// Paths that take larger bodies, such as the import of a log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LargerBody {
    /// Start of the path.
    pub path_prefix: &'static str,
    /// Largest body.
    pub bytes: usize,
    /// Longest time for such a request; a large body takes long over a weak wireless network.
    pub request_timeout: Duration,
}

/// What the guard allows. Begin with [`GuardConfig::loopback`] or [`GuardConfig::shared`].
#[derive(Debug)]
pub struct GuardConfig {
    /// The port that the server really listens on.
    pub port: u16,
    /// `None`: this computer only.
    pub sharing: Option<Sharing>,
    /// Largest request body.
    pub body_limit_bytes: usize,
    /// Exceptions to it.
    pub larger_bodies: Vec<LargerBody>,
    /// Longest time for one request, from its head to the head of the answer.
    pub request_timeout: Duration,
    /// Start of the paths that need no code: style sheet and fonts, never data.
    pub open_prefix: Option<&'static str>,
    /// Style sheet of the page where the code is entered; under `open_prefix`.
    pub stylesheet: Option<&'static str>,
}

impl GuardConfig {
    /// This computer only.
    #[must_use]
    pub fn loopback(port: u16) -> Self {
        Self {
            port,
            sharing: None,
            body_limit_bytes: BODY_LIMIT_BYTES,
            larger_bodies: Vec::new(),
            request_timeout: REQUEST_TIMEOUT,
            open_prefix: None,
            stylesheet: None,
        }
    }

    /// This computer, and with the access code every device on the boat's network.
    #[must_use]
    pub fn shared(port: u16, sharing: Sharing) -> Self {
        Self { sharing: Some(sharing), ..Self::loopback(port) }
    }

    /// The addresses to listen on: never all of them, so that a network joined later does not see
    /// the page.
    #[must_use]
    pub fn listen_on(&self) -> Vec<SocketAddr> {
        let shared = self.sharing.iter().flat_map(|s| s.addresses.iter().copied());
        std::iter::once(IpAddr::V4(Ipv4Addr::LOCALHOST))
            .chain(shared)
            .map(|address| SocketAddr::new(address, self.port))
            .collect()
    }

    /// Addresses of the page to show to the user, this computer's first.
    #[must_use]
    pub fn urls(&self) -> Vec<String> {
        self.listen_on().iter().map(|address| format!("http://{address}/")).collect()
    }

    pub(crate) fn timeout_of(&self, path: &str) -> Duration {
        let larger =
            self.larger_bodies.iter().filter(|l| path.starts_with(l.path_prefix)).map(|l| l.request_timeout);
        larger.fold(self.request_timeout, Duration::max)
    }

    pub(crate) fn body_limit_of(&self, path: &str) -> usize {
        let larger = self.larger_bodies.iter().filter(|l| path.starts_with(l.path_prefix)).map(|l| l.bytes);
        larger.fold(self.body_limit_bytes, usize::max)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_on_private_addresses_only() {
        let share = |a: &str| Sharing::new(vec![a.parse().unwrap()]);
        assert!(share("192.168.4.2").is_ok());
        assert!(share("fd00::2").is_ok());
        for refused in ["0.0.0.0", "127.0.0.1", "203.0.113.9", "2001:db8::1", "::"] {
            assert!(matches!(share(refused), Err(GuardError::NotOwnNetwork(_))), "{refused}");
        }
        assert!(matches!(Sharing::new(vec![]), Err(GuardError::NoAddress)));
    }

    #[test]
    fn listens_on_this_computer_unless_shared() {
        assert_eq!(GuardConfig::loopback(8321).urls(), ["http://127.0.0.1:8321/"]);
        let sharing = Sharing::new(vec!["fd00::2".parse().unwrap()]).unwrap();
        let config = GuardConfig::shared(8321, sharing);
        assert_eq!(config.urls(), ["http://127.0.0.1:8321/", "http://[fd00::2]:8321/"]);
    }
}
