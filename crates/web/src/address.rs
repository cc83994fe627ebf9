//! Addresses on this site. Not for: which handler answers them.

/// The address of a page of a boat: `/boats/sea-campion/drive`. Letters beyond ASCII are encoded, so
/// that it can stand in a header as well as in a link.
pub fn of_boat(slug: &str, rest: &str) -> String {
    format!("/boats/{}/{rest}", encoded(slug))
}

/// Start of the address to which logs are sent; it takes larger bodies than other pages.
pub const BRING_IN: &str = "/bring-in/";

/// The address to which logs of a boat are sent.
pub fn bring_in(slug: &str) -> String {
    format!("{BRING_IN}{}", encoded(slug))
}

fn encoded(slug: &str) -> String {
    form_urlencoded::byte_serialize(slug.as_bytes()).collect()
}

#[cfg(test)]
mod tests {
    use super::of_boat;

    #[test]
    fn letters_of_any_script_fit_a_header() {
        assert_eq!(of_boat("sea-campion", "boat"), "/boats/sea-campion/boat");
        assert_eq!(of_boat("étoile-2", "boat"), "/boats/%C3%A9toile-2/boat");
    }
}
