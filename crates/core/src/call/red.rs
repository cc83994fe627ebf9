//! What comes before anything: signs at which nothing is looked for, and what is done. Not for: the words of what is done
//! (`caution`).

use crate::caution::{RED_DRIFTING, RED_FIRE, RED_OVERBOARD, RED_TINGLE, RED_WATER};
use crate::notice::Notice;

/// A sign.
#[derive(Debug, Clone)]
pub struct Red {
    /// Stable name.
    pub key: &'static str,
    /// In words.
    pub words: &'static str,
    /// Beginnings of words by which a caller tells of it; several joined by `+` must all be there.
    pub told_by: &'static [&'static str],
    /// What is done.
    pub to_do: Notice,
}

/// All of them; those that cost a life soonest come first.
pub const RED: [Red; 8] = [
    Red {
        key: "overboard",
        words: "somebody in the water",
        told_by: &[
            "overboard",
            "over board",
            "in the water+man ",
            "in the water+some",
            "in the water+child",
            "in the water+he ",
            "in the water+she ",
            "in the water+person",
            "in the water+people",
            "in the water+crew",
            "in the water+swim",
            "fell in",
            "fallen in",
            "swimmer",
            "man over ",
            "in the water+wife",
            "in the water+husband",
            "in the water+boy",
            "in the water+girl",
            "in the water+skipper",
        ],
        to_do: RED_OVERBOARD,
    },
    Red {
        key: "smoke",
        words: "smoke",
        told_by: &["smok", "fire", "flame", "burning", "on fire", "fumes"],
        to_do: RED_FIRE,
    },
    Red { key: "hissing", words: "hissing", told_by: &["hiss", "venting", "gassing"], to_do: RED_FIRE },
    Red {
        key: "smell",
        words: "a smell",
        told_by: &["smell", "stink", "stench", "reek", "odour", "odor"],
        to_do: RED_FIRE,
    },
    Red {
        key: "swelling",
        words: "heat or swelling at a pack",
        told_by: &[
            "swell",
            "swollen",
            "bulg",
            "bloat",
            "hot+pack",
            "hot+batter",
            "hot+bank",
            "warm+pack",
            "warm+batter",
            "heat+pack",
            "heat+batter",
        ],
        to_do: RED_FIRE,
    },
    Red {
        key: "tingle",
        words: "a tingle",
        told_by: &["tingl", "shock", "electrocut", "prickl", "zap"],
        to_do: RED_TINGLE,
    },
    Red {
        key: "water",
        words: "water at a pack",
        told_by: &[
            "water+pack",
            "water+batter",
            "water+bank",
            "wet+pack",
            "wet+batter",
            "flood",
            "sinking",
            "bilge+batter",
            "bilge+pack",
        ],
        to_do: RED_WATER,
    },
    Red {
        key: "drifting",
        words: "drifting on to something",
        told_by: &[
            "drift",
            "aground",
            "rocks",
            "lee shore",
            "towards the",
            "toward the",
            "weir",
            "blown on",
            "pushed on",
            "collision",
            "onto the",
            "on to the",
        ],
        to_do: RED_DRIFTING,
    },
];

/// Words that take back what follows them in the same clause.
const NONE_OF: [&str; 9] = ["no", "not", "none", "nor", "without", "never", "nothing", "nobody", "isn't"];

/// Signs that `said` tells of. A "no" takes back what stands between it and the next comma, stop, "but" or "and": in doubt a sign counts.
/// # Example
/// ```
/// # use wakewright_core::call::red_in;
/// let keys = |said: &str| red_in(said).iter().map(|red| red.key).collect::<Vec<_>>();
/// assert_eq!(keys("Smoke from the locker, no smell"), ["smoke"]);
/// assert!(keys("no smoke or smell").is_empty());
/// ```
#[must_use]
pub fn red_in(said: &str) -> Vec<&'static Red> {
    let small = said
        .to_lowercase()
        .replace(['\u{2019}', '\u{2018}'], "'")
        .replace(" but ", ",")
        .replace(" and ", ",");
    let clauses: Vec<String> = small.split([',', '.', ';', ':', '!', '?', '\n']).map(kept).collect();
    let whole = clauses.concat() + " ";
    let is_told = |red: &&Red| {
        let beginning = |part: &str| whole.contains(&format!(" {part}"));
        red.told_by.iter().any(|told| told.split('+').all(beginning))
            || clauses.iter().any(|clause| clause.trim() == red.key)
    };
    RED.iter().filter(is_told).collect()
}

/// A clause up to its "no", with a space before each word.
fn kept(clause: &str) -> String {
    let words = clause.split(|c: char| !(c.is_alphanumeric() || c == '\'')).filter(|word| !word.is_empty());
    words.take_while(|word| !NONE_OF.contains(word)).fold(String::new(), |all, word| all + " " + word)
}
