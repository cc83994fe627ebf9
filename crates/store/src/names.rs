//! Names of boats: which are usable, when two are the same, what a web address makes of them and
//! which come near to a misspelt one.

use crate::error::{Result, StoreError};

const LONGEST_NAME: usize = 80;
const MOST_NEAR_NAMES: usize = 3;
/// Least likeness (0..1) at which another name is worth offering.
const LEAST_LIKENESS: f32 = 0.5;

/// The name as stored: single spaces, none at the ends.
pub(crate) fn tidy(name: &str) -> Result<String> {
    let bad = |why| Err(StoreError::BadName { name: name.to_owned(), why });
    if name.chars().any(|c| c.is_control() && !c.is_whitespace()) {
        return bad("it holds characters that cannot be shown");
    }
    if name.chars().any(is_unseen) {
        return bad("it holds characters that cannot be seen or that turn the writing round");
    }
    let tidied = name.split_whitespace().collect::<Vec<_>>().join(" ");
    if tidied.is_empty() {
        return bad("it is empty");
    }
    if tidied.chars().all(|c| c == '.') {
        return bad("dots alone are the name of a folder");
    }
    if tidied.chars().count() > LONGEST_NAME {
        return bad("it is longer than 80 characters");
    }
    Ok(tidied)
}

/// Marks that show nothing, so that two names look alike, or that turn the direction of all that follows. Joiners
/// are not among them: some scripts need them.
fn is_unseen(letter: char) -> bool {
    matches!(
        letter,
        '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{e0000}'..='\u{e0fff}' | '\u{fff9}'..='\u{fffb}'
    )
}

/// Two names are the same boat when their keys are equal.
pub(crate) fn key(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// What stands for the name in a web address or a file name: lower case letters and digits of any
/// script, joined by hyphens; "boat" when nothing is left.
pub(crate) fn slug(name: &str) -> String {
    let lower = name.to_lowercase();
    let words: Vec<&str> = lower.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
    if words.is_empty() { "boat".to_owned() } else { words.join("-") }
}

/// Names out of `names` that come near to `wanted`, best first.
pub(crate) fn near(wanted: &str, names: &[String]) -> Vec<String> {
    let wanted = key(wanted);
    let keys: Vec<String> = names.iter().map(|n| key(n)).collect();
    let candidates: Vec<&str> = keys.iter().map(String::as_str).collect();
    let mut found = similar::get_close_matches(wanted.as_str(), &candidates, MOST_NEAR_NAMES, LEAST_LIKENESS);
    // "tern" should offer "Arctic Tern", which is not close letter by letter.
    let parts = candidates.iter().filter(|k| !wanted.is_empty() && k.contains(wanted.as_str()));
    for part in parts {
        if !found.contains(part) {
            found.push(part);
        }
    }
    found.truncate(MOST_NEAR_NAMES);
    found.iter().filter_map(|f| keys.iter().position(|k| k == *f)).map(|i| names[i].clone()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_tidied_and_compared_without_capitals() {
        assert_eq!(tidy("  Grey \t Heron ").unwrap(), "Grey Heron");
        assert_eq!(key("GREY  heron"), key("Grey Heron"));
        assert_eq!(key("ÉTOILE"), key("Étoile"));
        assert!(tidy(" \n ").is_err());
        assert!(tidy("bell\u{7}").is_err());
        assert!(tidy(&"x".repeat(81)).is_err());
        for unseen in ["Grey\u{200b} Heron", "\u{202e}noreH", "\u{feff}Heron", "\u{2066}Heron"] {
            assert!(tidy(unseen).is_err(), "{unseen:?}");
        }
        assert!(tidy("سفينة").is_ok() && tidy("می\u{200c}روم").is_ok());
    }

    #[test]
    fn slugs_are_safe_in_an_address() {
        assert_eq!(slug("Grey Heron II"), "grey-heron-ii");
        assert_eq!(slug("../../etc/passwd"), "etc-passwd");
        assert_eq!(slug("???"), "boat");
    }

    #[test]
    fn a_misspelt_or_partial_name_offers_the_right_one() {
        let names = ["Grey Heron", "Arctic Tern", "Mergus"].map(str::to_owned);
        assert_eq!(near("Gray Heron", &names), ["Grey Heron"]);
        assert_eq!(near("tern", &names), ["Arctic Tern"]);
        assert!(near("zzz", &names).is_empty());
    }
}
