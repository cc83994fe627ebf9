//! Day and time of day in one text, in any of the orders that logs write. Not for: the parts (`clock`).

use super::day::{DateOrder, Day, parse_day};
use super::{parse_time_of_day, split_zone, strip_word};

/// A time as it is written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stamp {
    pub day: Day,
    /// Second of the day.
    pub second_s: f64,
    /// Seconds east, where it is written.
    pub zone_s: Option<f64>,
    pub has_clock: bool,
}

/// Reads a date, a time of day or both, as tables write them; `order` tells three plain numbers apart.
pub(crate) fn parse_stamp(text: &str, order: DateOrder) -> Option<Stamp> {
    const LONGEST: usize = 64;
    let text = text.trim().trim_matches('"');
    if text.is_empty() || text.len() > LONGEST || !text.bytes().any(|b| b.is_ascii_digit()) {
        return None;
    }
    if !text.contains(':') {
        return without_colons(text, order);
    }
    let colon = text.find(':')?;
    let bytes = text.as_bytes();
    let mut start = colon;
    while start > 0 && colon - start < 2 && bytes[start - 1].is_ascii_digit() {
        start -= 1;
    }
    let mut end = colon;
    while end < bytes.len() && (bytes[end].is_ascii_digit() || matches!(bytes[end], b':' | b'.' | b',')) {
        end += 1;
    }
    // A comma or point at its end parts it from a date.
    let clock = text[start..end].trim_end_matches(['.', ',']);
    let mut rest = text[end..].trim();
    let mut twelve = "";
    for half in ["am", "pm", "a.m.", "p.m.", "a. m.", "p. m."] {
        if rest.get(..half.len()).is_some_and(|word| word.eq_ignore_ascii_case(half)) {
            twelve = if half.starts_with('a') { "am" } else { "pm" };
            rest = rest[half.len()..].trim();
        }
    }
    let second_s = if twelve.is_empty() {
        parse_time_of_day(clock)?
    } else {
        parse_time_of_day(&format!("{clock}{twelve}"))?
    };
    let front = text[..start].trim().trim_end_matches(['T', 't', ',', '_', '-', ' ']).trim();
    let front = strip_word(front, |word| matches!(word, "klo" | "kl" | "um" | "at" | "a" | "om" | "las"))
        .unwrap_or(front);
    let (rest, zone_s) = split_zone(rest).filter(|(_, zone)| zone.is_some()).unwrap_or((rest, None));
    let rest = rest.trim_matches([',', ' ', '(', ')', '[', ']']);
    let day = match (front.is_empty(), rest.is_empty()) {
        (true, true) => Day::Unsaid,
        (false, true) => parse_day(front, order)?,
        (true, false) => parse_day(rest, order)?,
        // `Nov 25 14:03:05 2026`
        (false, false) => parse_day(&format!("{front} {rest}"), order)?,
    };
    Some(Stamp { day, second_s, zone_s, has_clock: true })
}

/// `20261125T140305Z`, `20261125140305`, `25.11.2026 14.03.05`, or a date alone.
fn without_colons(text: &str, order: DateOrder) -> Option<Stamp> {
    let (bare, zone_s) = split_zone(text).filter(|(_, zone)| zone.is_some()).unwrap_or((text, None));
    let (date, clock) = bare.split_once(['T', 't', ' ', '_']).unwrap_or((bare, ""));
    let is_digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    if is_digits(date) && date.len() == 8 && !clock.is_empty() {
        let second_s = parse_compact_clock(clock)?;
        return Some(Stamp { day: parse_day(date, order)?, second_s, zone_s, has_clock: true });
    }
    if is_digits(bare) && bare.len() == 14 {
        let second_s = parse_compact_clock(&bare[8..])?;
        return Some(Stamp { day: parse_day(&bare[..8], order)?, second_s, zone_s, has_clock: true });
    }
    if let Some((date, clock)) = text.trim().rsplit_once(' ')
        && clock.contains(['h', 'H'])
        && clock.starts_with(|c: char| c.is_ascii_digit())
        && let Some(second_s) = parse_time_of_day(clock)
    {
        let date = strip_word(date.trim(), |word| matches!(word, "a" | "à")).unwrap_or(date);
        return Some(Stamp { day: parse_day(date, order)?, second_s, zone_s: None, has_clock: true });
    }
    if let Some((date, clock)) = text.trim().rsplit_once(' ')
        && clock.len() >= 4
        && clock.split('.').count() >= 2
        && clock.split('.').all(|part| part.len() <= 2 && is_digits(part))
        && let Some(second_s) = parse_time_of_day(&clock.replacen('.', ":", 2))
    {
        let date = strip_word(date.trim(), |word| matches!(word, "klo" | "kl")).unwrap_or(date);
        return Some(Stamp { day: parse_day(date, order)?, second_s, zone_s: None, has_clock: true });
    }
    Some(Stamp { day: parse_day(text, order)?, second_s: 0.0, zone_s: None, has_clock: false })
}

/// `140305`, `140305.5`, `1403` \[s of the day\].
pub(crate) fn parse_compact_clock(text: &str) -> Option<f64> {
    let text = text.trim();
    let whole = text.split(['.', ',']).next()?;
    if !matches!(whole.len(), 3..=6) || !whole.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    // Tables drop the nought in front: 91500 is a quarter past nine.
    let padded = if whole.len() > 4 {
        format!("{text:0>width$}", width = text.len() + 6 - whole.len())
    } else {
        format!("{text:0>width$}", width = text.len() + 4 - whole.len())
    };
    let clock = match padded.split(['.', ',']).next()?.len() {
        4 => format!("{}:{}", &padded[..2], &padded[2..4]),
        _ => format!("{}:{}:{}", &padded[..2], &padded[2..4], &padded[4..]),
    };
    parse_time_of_day(&clock)
}
