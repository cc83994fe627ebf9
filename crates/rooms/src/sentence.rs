//! Pieces of sentences. Not for: tables and pictures.

use wakewright_units::is_symbol;

/// What stands up to the first full stop before a space, that with it; all of it where there is none.
#[must_use]
pub fn first_sentence(text: &str) -> &str {
    text.find(". ").map_or(text, |end| &text[..=end])
}

/// The same with a capital at its beginning.
#[must_use]
pub fn capitalised(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + chars.as_str())
}

/// `one boat`, `5 boats`.
#[must_use]
pub fn counted(count: usize, one: &str, more: &str) -> String {
    if count == 1 { format!("one {one}") } else { format!("{count} {more}") }
}

/// What paragraphs say most where they are folded away: their first figure with its unit, else how many they are.
#[must_use]
pub fn chief_of<'t>(text: impl ExactSizeIterator<Item = &'t str>) -> String {
    let count = text.len();
    let first_figure = |text: &str| {
        let words: Vec<&str> = text.split_whitespace().collect();
        words.windows(2).find_map(|pair| {
            let (number, unit) =
                (pair[0].trim_start_matches('('), pair[1].trim_end_matches([',', '.', ';', ':', ')']));
            let is_number = number.starts_with(|c: char| c.is_ascii_digit())
                && number.ends_with(|c: char| c.is_ascii_digit())
                && number.chars().all(|c| c.is_ascii_digit() || c == '.' || c == ',');
            (is_number && is_symbol(unit)).then(|| format!("{number} {unit}"))
        })
    };
    let mut text = text;
    text.find_map(first_figure).unwrap_or_else(|| counted(count, "line", "lines"))
}

/// The name of a month from 1 to 12.
#[must_use]
pub fn month_name(month: u32) -> &'static str {
    const NAMES: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    NAMES[(month.clamp(1, 12) - 1) as usize]
}

/// `five cases of eight`: a probability as people keep it, never rounded up to certainty nor down to never.
#[must_use]
pub fn cases(share: f64) -> String {
    const WORDS: [&str; 11] =
        ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    const NEVER_ABOVE: f64 = 0.025;
    if share >= 1.0 - NEVER_ABOVE {
        return "nearly every case".to_owned();
    }
    if share <= NEVER_ABOVE {
        return "hardly any case".to_owned();
    }
    // One of many is dearer to keep in mind, so that a smaller count wins where both are near.
    let plain = [2_u32, 3, 4, 5, 7, 8, 10].into_iter().map(|of| {
        let count = (share * f64::from(of)).round().clamp(1.0, f64::from(of - 1));
        ((share - count / f64::from(of)).abs() + 0.004 * f64::from(of), count as usize, of as usize)
    });
    let (off, count, of) = plain.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((1.0, 1, 2));
    let twentieth = if share < 0.5 { 0.05 } else { 0.95 };
    if (share - twentieth).abs() + 0.004 * 10.0 < off {
        return if share < 0.5 { "one case of twenty" } else { "nineteen cases of twenty" }.to_owned();
    }
    format!("{} {} of {}", WORDS[count], if count == 1 { "case" } else { "cases" }, WORDS[of])
}

/// Control characters, and those that change the direction of what follows: they do more than show.
pub fn does_more_than_show(c: char) -> bool {
    c.is_control() || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

#[cfg(test)]
mod tests {
    use super::{cases, chief_of};

    #[test]
    fn a_fold_is_named_by_the_first_figure_in_it() {
        let said = |text: &[&str]| chief_of(text.iter().copied());
        assert_eq!(said(&["No figure.", "It draws (1,270 A) at first, 3 times."]), "1,270 A");
        assert_eq!(said(&["All 5 of them."]), "one line");
    }

    #[test]
    fn no_share_is_rounded_to_certainty() {
        for (share, said) in [
            (0.0, "hardly any case"),
            (0.05, "one case of twenty"),
            (0.1, "one case of ten"),
            (0.143, "one case of seven"),
            (0.31, "one case of three"),
            (0.5, "one case of two"),
            (0.625, "five cases of eight"),
            (0.8, "four cases of five"),
            (0.9, "nine cases of ten"),
            (0.95, "nineteen cases of twenty"),
            (0.97, "nineteen cases of twenty"),
            (0.99, "nearly every case"),
            (1.0, "nearly every case"),
        ] {
            assert_eq!(cases(share), said, "{share}");
        }
    }
}
