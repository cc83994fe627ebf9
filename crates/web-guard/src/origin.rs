//! Whether a request comes from a page of ours, by the headers that a browser sets and no page can
//! forge.

use axum::http::header::ORIGIN;
use axum::http::{HeaderMap, Method};

const SEC_FETCH_SITE: &str = "sec-fetch-site";
const SEC_FETCH_MODE: &str = "sec-fetch-mode";

/// Whether the request may pass. `host` is the allowed host that it names.
pub(crate) fn is_from_our_page(method: &Method, headers: &HeaderMap, host: &str) -> bool {
    // One that stands twice may be read either way by whoever reads it next.
    let value = |name: &str| {
        let mut all = headers.get_all(name).iter();
        let first = all.next()?;
        Some(if all.next().is_some() { "unreadable" } else { first.to_str().unwrap_or("unreadable") })
    };
    let site = value(SEC_FETCH_SITE);
    if method.is_safe() {
        // Links may lead here from anywhere; pulling our pages into another one may not.
        return site != Some("cross-site") || value(SEC_FETCH_MODE) == Some("navigate");
    }
    let origin = value(ORIGIN.as_str());
    let origin_is_ours =
        origin.map(|o| o.strip_prefix("http://").is_some_and(|o| o.eq_ignore_ascii_case(host)));
    // "same-site" is not enough: it covers every other port of this host.
    let site_is_ours = site.map(|s| s == "same-origin");
    // Sec-Fetch-Site is not sent to plain addresses on a network, Origin is; one must be there.
    match (origin_is_ours, site_is_ours) {
        (None, None) => false,
        (origin, site) => origin.unwrap_or(true) && site.unwrap_or(true),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOST: &str = "127.0.0.1:8321";

    fn passes(method: Method, set: &[(&'static str, &str)]) -> bool {
        let headers = set.iter().map(|(n, v)| (n.parse().unwrap(), v.parse().unwrap())).collect();
        is_from_our_page(&method, &headers, HOST)
    }

    #[test]
    fn a_change_must_come_from_our_own_page() {
        let own = ("origin", "http://127.0.0.1:8321");
        assert!(passes(Method::POST, &[own]));
        assert!(passes(Method::POST, &[own, ("sec-fetch-site", "same-origin")]));
        assert!(passes(Method::DELETE, &[("sec-fetch-site", "same-origin")]));
        for refused in [
            vec![],
            vec![("origin", "null")],
            vec![("origin", "https://127.0.0.1:8321")],
            vec![("origin", "http://127.0.0.1:9000")],
            vec![("origin", "http://127.0.0.1:8321.evil.example")],
            vec![("origin", "http://evil.example")],
            vec![("sec-fetch-site", "same-site")],
            vec![("sec-fetch-site", "none")],
            vec![own, ("sec-fetch-site", "cross-site")],
            vec![own, ("origin", "http://evil.example")],
            vec![("origin", "http://evil.example"), own],
            vec![("origin", "http://evil.example"), ("sec-fetch-site", "same-origin")],
        ] {
            assert!(!passes(Method::POST, &refused), "{refused:?}");
        }
    }

    #[test]
    fn a_page_may_be_linked_to_but_not_pulled_in() {
        assert!(passes(Method::GET, &[]));
        assert!(passes(Method::GET, &[("sec-fetch-site", "none")]));
        let cross = ("sec-fetch-site", "cross-site");
        assert!(passes(Method::GET, &[cross, ("sec-fetch-mode", "navigate")]));
        assert!(!passes(Method::GET, &[cross, ("sec-fetch-mode", "no-cors")]));
    }
}
