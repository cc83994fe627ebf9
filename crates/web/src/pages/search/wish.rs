//! What a search was asked for, read from its form and written into an address.

use crate::query::Query;
use wakewright_rooms::room::{Replies, Room};
use wakewright_rooms::search::{Pattern, Searching, Wish};

/// How many preferences the form takes.
pub(super) const PREFERENCES: usize = 3;

/// The wish of a form or an address; what no question takes is left out.
pub fn wish_of(query: &Query) -> Wish {
    let questions = Searching.questions();
    let pairs: Vec<(&str, String)> = query
        .pairs()
        .map(|(name, text)| (name, text.trim()))
        .filter(|(_, text)| !text.is_empty())
        .map(|(name, text)| match name.strip_prefix("price:") {
            Some(item) => ("price", format!("{item}={text}")),
            None => (name, text.to_owned()),
        })
        .collect();
    let pairs = pairs.iter().map(|(name, text)| (*name, text.as_str()));
    Wish::of(&Replies::read(questions, pairs).unwrap_or_default())
}

/// The wish as a query, what is empty left out.
pub fn to_query(wish: &Wish) -> String {
    let mut out = form_urlencoded::Serializer::new(String::new());
    let mut add = |name: &str, text: &str| {
        if !text.is_empty() {
            out.append_pair(name, text);
        }
    };
    add("cruise", &wish.cruise.join(", "));
    for preference in &wish.prefer {
        add("prefer", preference.key());
    }
    for part in &wish.keep {
        add("keep", part.key());
    }
    for (name, text) in texts(wish) {
        add(name, text);
    }
    add("pattern", wish.pattern.map_or("", Pattern::key));
    for (item, amount) in &wish.prices {
        add(&format!("price:{item}"), amount);
    }
    add("allow-over-60-v", if wish.may_exceed_touch_limit { "on" } else { "" });
    out.finish()
}

pub(super) fn texts(wish: &Wish) -> [(&'static str, &str); 9] {
    [
        ("diameter", &wish.diameter),
        ("pitch", &wish.pitch),
        ("blades", &wish.blades),
        ("ratios", &wish.ratios),
        ("cells", &wish.cells),
        ("packs", &wish.packs),
        ("largest", &wish.largest),
        ("mass", &wish.mass),
        ("budget", &wish.budget),
    ]
}

#[cfg(test)]
mod tests {
    use wakewright_core::search::Preference;

    use super::*;

    #[test]
    fn a_wish_goes_through_an_address_and_comes_back() {
        let form = "cruise=3.5+kn,4+kn&prefer=speed&prefer=&prefer=cheap&keep=motor&diameter=12+in..14+in&blades=3\
                    &pattern=fixed&ratios=2,3&mass=90+kg&budget=900&price%3Apropeller=450&allow-over-60-v=on&packs=";
        let wish = wish_of(&Query::parse(form.as_bytes()));
        assert_eq!(wish.cruise, ["3.5 kn", "4 kn"]);
        assert_eq!(wish.prefer, [Preference::Speed, Preference::Cheap]);
        assert_eq!(wish.prices, [("propeller".to_owned(), "450".to_owned())]);
        assert_eq!(wish_of(&Query::parse(to_query(&wish).as_bytes())), wish);
        assert_eq!(to_query(&Wish::default()), "");
    }
}
