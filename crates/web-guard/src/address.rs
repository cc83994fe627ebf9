//! Addresses: which are the boat's own network, and which names the page answers to.

use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr, UdpSocket};

use axum::extract::Request;
use axum::http::header::HOST;

use crate::config::GuardConfig;

/// Whether an address belongs to this computer or to a network that the world does not route to.
pub(crate) fn is_own_network(address: IpAddr) -> bool {
    match address.to_canonical() {
        IpAddr::V4(v4) => v4.is_loopback() || v4.is_private() || v4.is_link_local(),
        IpAddr::V6(v6) => v6.is_loopback() || v6.is_unique_local() || v6.is_unicast_link_local(),
    }
}

/// The address that this computer has on the boat's network, as far as the system's routes tell.
/// Nothing is sent.
#[must_use]
pub fn own_address() -> Option<IpAddr> {
    // Connecting a datagram socket only asks for the route. The targets stand for the private
    // ranges; without a default route one of them may still be reachable.
    let targets = ["192.168.0.1:9", "10.0.0.1:9", "172.16.0.1:9", "[fd00::1]:9"];
    targets.iter().filter_map(|target| target.parse::<SocketAddr>().ok()).find_map(|target| {
        let any: IpAddr =
            if target.is_ipv4() { Ipv4Addr::UNSPECIFIED.into() } else { Ipv6Addr::UNSPECIFIED.into() };
        let socket = UdpSocket::bind((any, 0)).ok()?;
        socket.connect(target).ok()?;
        let address = socket.local_addr().ok()?.ip();
        (is_own_network(address) && !address.is_loopback()).then_some(address)
    })
}

/// The values of `Host` that the page answers to.
#[derive(Debug)]
pub(crate) struct AllowedHosts(Vec<String>);

impl AllowedHosts {
    pub(crate) fn new(config: &GuardConfig) -> Self {
        let port = config.port;
        let mut hosts = vec![format!("localhost:{port}")];
        let local = [IpAddr::V4(Ipv4Addr::LOCALHOST), IpAddr::V6(Ipv6Addr::LOCALHOST)];
        let shared = config.sharing.iter().flat_map(|s| s.addresses().iter().copied());
        hosts.extend(local.into_iter().chain(shared).map(|ip| SocketAddr::new(ip, port).to_string()));
        if port == 80 {
            let bare: Vec<String> =
                hosts.iter().filter_map(|h| h.strip_suffix(":80")).map(str::to_owned).collect();
            hosts.extend(bare);
        }
        Self(hosts)
    }

    /// The host that the request names, if it names exactly one and that is ours.
    pub(crate) fn named_in<'r>(&self, request: &'r Request) -> Option<&'r str> {
        let mut named = request.headers().get_all(HOST).iter();
        let host = named.next()?.to_str().ok()?;
        let is_ours = |name: &str| self.0.iter().any(|h| h.eq_ignore_ascii_case(name));
        // The request line may name a host as well; then that one counts for the router.
        let in_line = request.uri().authority().is_none_or(|a| is_ours(a.as_str()));
        (named.next().is_none() && in_line && is_ours(host)).then_some(host)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worlds_addresses_are_not_ours() {
        let ours = |a: &str| is_own_network(a.parse().unwrap());
        for a in [
            "127.0.0.1",
            "10.1.2.3",
            "172.20.10.2",
            "192.168.1.9",
            "169.254.3.4",
            "::1",
            "fe80::1",
            "fd12::1",
        ] {
            assert!(ours(a), "{a}");
        }
        for a in ["8.8.8.8", "172.32.0.1", "100.64.0.1", "0.0.0.0", "2001:db8::1", "::ffff:8.8.8.8"] {
            assert!(!ours(a), "{a}");
        }
        assert!(ours("::ffff:192.168.1.9"));
    }
}
