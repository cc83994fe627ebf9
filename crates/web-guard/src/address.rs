//! Addresses: which are the boat's own network, and which names the page answers to.

use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr};

use axum::extract::Request;
use axum::http::header::HOST;

use crate::config::{GuardConfig, GuardError};

/// Whether an address belongs to this computer or to a network that the world does not route to.
pub(crate) fn is_own_network(address: IpAddr) -> bool {
    match address.to_canonical() {
        IpAddr::V4(v4) => v4.is_loopback() || v4.is_private() || v4.is_link_local(),
        IpAddr::V6(v6) => v6.is_loopback() || v6.is_unique_local() || v6.is_unicast_link_local(),
    }
}

/// An address that this computer has on a network of its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnAddress {
    /// The address.
    pub address: IpAddr,
    /// Name of the interface that has it.
    pub interface: String,
    /// Whether the interface is a tunnel: it leads elsewhere, though its address is a private one.
    pub is_tunnel: bool,
}

/// The addresses of this computer's own networks, tunnels last. Nothing is sent, and no route out of
/// them is needed.
///
/// # Errors
/// What the system says when it does not list them.
pub fn own_addresses() -> std::io::Result<Vec<OwnAddress>> {
    let mut found: Vec<OwnAddress> = if_addrs::get_if_addrs()?
        .into_iter()
        .filter(|interface| {
            interface.is_oper_up() || interface.oper_status == if_addrs::IfOperStatus::Unknown
        })
        .filter(|interface| is_shareable(interface.ip()))
        .map(|interface| OwnAddress {
            address: interface.ip(),
            is_tunnel: interface.is_p2p() || is_tunnel_name(&interface.name),
            interface: interface.name,
        })
        .collect();
    found.sort_by_key(|own| (own.is_tunnel, own.address.is_ipv6(), own.interface.clone(), own.address));
    Ok(found)
}

/// Private, and one that a browser can be pointed at: link-local addresses of IPv6 need the name of
/// an interface behind them, which no browser takes.
fn is_shareable(address: IpAddr) -> bool {
    let needs_scope = matches!(address, IpAddr::V6(v6) if v6.is_unicast_link_local());
    is_own_network(address) && !address.is_loopback() && !needs_scope
}

/// Networks of tunnels and of virtual machines, by the names that systems give them.
fn is_tunnel_name(name: &str) -> bool {
    let name = name.to_ascii_lowercase();
    ["tun", "tap", "wg", "utun", "ppp", "ipsec", "tailscale", "zt", "docker", "br-", "veth", "virbr", "vmnet"]
        .iter()
        .any(|start| name.starts_with(start))
}

/// The address to share on: the one of `wanted`, else the only one there is. IPv6 counts only where
/// there is nothing else, for it stands beside IPv4 on one network.
///
/// # Errors
/// [`GuardError::NoAddress`] when there is none, [`GuardError::SeveralAddresses`] when there is more than
/// one to choose from, [`GuardError::NotHere`] when this computer does not have the one wanted.
pub fn address_to_share(found: &[OwnAddress], wanted: Option<IpAddr>) -> Result<IpAddr, GuardError> {
    if let Some(wanted) = wanted {
        return match found.iter().any(|own| own.address == wanted) {
            true => Ok(wanted),
            false if !is_shareable(wanted) => Err(GuardError::NotOwnNetwork(wanted)),
            false => Err(GuardError::NotHere { wanted, listed: listed(found) }),
        };
    }
    let plain: Vec<&OwnAddress> = found.iter().filter(|own| !own.is_tunnel).collect();
    let v4: Vec<&OwnAddress> = plain.iter().copied().filter(|own| own.address.is_ipv4()).collect();
    match (v4.as_slice(), plain.as_slice()) {
        ([one], _) | ([], [one]) => Ok(one.address),
        ([], []) if found.is_empty() => Err(GuardError::NoAddress),
        _ => Err(GuardError::SeveralAddresses { listed: listed(found) }),
    }
}

fn listed(found: &[OwnAddress]) -> String {
    let line = |own: &OwnAddress| {
        let tunnel = if own.is_tunnel { ", a tunnel or virtual network" } else { "" };
        format!("\n  --address {}  ({}{tunnel})", own.address, own.interface)
    };
    if found.is_empty() { "\n  none".to_owned() } else { found.iter().map(line).collect() }
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

    fn own(address: &str, interface: &str) -> OwnAddress {
        OwnAddress {
            address: address.parse().unwrap(),
            interface: interface.to_owned(),
            is_tunnel: is_tunnel_name(interface),
        }
    }

    #[test]
    fn a_boats_network_needs_no_way_out_and_a_tunnel_is_not_taken_for_it() {
        let wireless = own("192.168.8.100", "wlan0");
        let tunnel = own("10.8.0.2", "tun0");
        let share = |found: &[OwnAddress]| address_to_share(found, None);
        assert_eq!(share(std::slice::from_ref(&wireless)).unwrap(), wireless.address);
        assert_eq!(share(&[wireless.clone(), tunnel.clone()]).unwrap(), wireless.address);
        assert_eq!(share(&[wireless.clone(), own("fd00::8", "wlan0")]).unwrap(), wireless.address);
        assert_eq!(share(&[own("fd00::8", "wlan0")]).unwrap(), "fd00::8".parse::<IpAddr>().unwrap());
        assert!(matches!(share(&[]), Err(GuardError::NoAddress)));
        let two = share(&[wireless.clone(), own("172.20.10.2", "usb0"), tunnel.clone()]).unwrap_err();
        let said = two.to_string();
        assert!(said.contains("--address 172.20.10.2  (usb0)") && said.contains("tun0, a tunnel"), "{said}");
        let alone = share(std::slice::from_ref(&tunnel)).unwrap_err();
        assert!(
            matches!(alone, GuardError::SeveralAddresses { .. }),
            "a tunnel is shared on only when named"
        );
    }

    #[test]
    fn the_address_that_is_named_must_be_this_computers_and_private() {
        let found = [own("192.168.8.100", "wlan0"), own("fd00::8", "wlan0"), own("10.8.0.2", "tun0")];
        for wanted in ["192.168.8.100", "fd00::8", "10.8.0.2"] {
            let wanted = wanted.parse().unwrap();
            assert_eq!(address_to_share(&found, Some(wanted)).unwrap(), wanted);
        }
        let refused = |wanted: &str| address_to_share(&found, Some(wanted.parse().unwrap())).unwrap_err();
        assert!(matches!(refused("192.168.8.101"), GuardError::NotHere { .. }));
        for outside in ["203.0.113.9", "0.0.0.0", "127.0.0.1", "fe80::1"] {
            assert!(matches!(refused(outside), GuardError::NotOwnNetwork(_)), "{outside}");
        }
    }

    #[test]
    fn this_computer_lists_its_own_addresses() {
        for own in own_addresses().unwrap() {
            assert!(is_own_network(own.address) && !own.address.is_loopback(), "{own:?}");
        }
    }

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
