//! What the name of a column says among the other names of its table. Not for: a name alone (`meaning`).

use super::meaning::{Meaning, meaning_of};
use super::numbers::number_in;
use super::propose::{Sheet, unit_said};
use super::unit_said::{UnitSaid, split_unit, unit_named};
use super::words::words;
use crate::measured::Measured as M;

/// Whether a latitude or longitude of the table can be nothing else than ten-millionths of a degree.
pub(super) fn is_in_ten_millionths(sheet: &Sheet) -> bool {
    (0..sheet.heads.len()).any(|column| {
        let limit = match meaning_of(&sheet.heads[column]).map(|meaning| meaning.measured) {
            Some(M::Latitude) => 90e6,
            Some(M::Longitude) => 180e6,
            _ => return false,
        };
        let cells = sheet.column(column);
        cells.iter().any(|cell| number_in(cell, sheet.decimal_comma).is_some_and(|(n, _)| n.abs() > limit))
    })
}

/// `Current speed`: the speed of now in English, or that of a current.
pub(super) fn says_current(head: &str) -> bool {
    words(head).iter().any(|word| word == "current")
}

/// `BSP`, `Boat speed`, `Bootsgeschwindigkeit`.
pub(super) fn says_boat_speed(head: &str) -> bool {
    let (bare, _) = split_unit(head);
    let words = words(&bare);
    words.iter().any(|word| word == "bsp" || word.starts_with("bootsgesch") || word.starts_with("bootssp"))
        || words.windows(2).any(|two| {
            matches!(two[0].as_str(), "boat" | "vessel" | "ship")
                && matches!(two[1].as_str(), "speed" | "spd")
        })
}

/// `Voltage A` beside `Voltage B`: a letter that says which of several, no unit. The name without it, and the letter.
pub(super) fn label_of(sheet: &Sheet, column: usize) -> Option<(String, String)> {
    let parts = |head: &str| -> Option<(String, String, String)> {
        let head = head.trim();
        // A unit in brackets stands behind the letter.
        let (front, unit) = match head.find(['[', '(']) {
            Some(open) if head.ends_with([']', ')']) => (head[..open].trim_end(), &head[open..]),
            _ => (head, ""),
        };
        let (name, letter) = front.rsplit_once([' ', '_', '-'])?;
        // `P batt V`, `S batt V`: port and starboard stand before, the unit behind.
        if let Some((side @ ("P" | "S" | "B"), of)) = front.split_once([' ', '_', '-'])
            && unit_named(letter).is_some()
        {
            return Some((of.to_owned(), side.to_lowercase(), unit.to_owned()));
        }
        let is_letter = letter.chars().count() == 1 && letter.chars().all(char::is_uppercase);
        is_letter.then(|| (name.to_owned(), letter.to_lowercase(), unit.to_owned()))
    };
    let (name, letter, unit) = parts(&sheet.heads[column])?;
    let costly = |name: &str| {
        let measured = meaning_of(name)?.measured;
        matches!(measured, M::Voltage | M::Current | M::Power | M::StateOfCharge).then_some(measured)
    };
    let of = costly(&format!("{name} {unit}"))?;
    // The name says the quantity without the letter, and another column of it has another letter.
    let has_other = sheet.heads.iter().filter_map(|other| parts(other)).any(|(other, its, unit)| {
        crate::fold::fold(&other) == crate::fold::fold(&name)
            && its != letter
            && costly(&format!("{other} {unit}")) == Some(of)
    });
    has_other.then(|| (format!("{name} {unit}").trim().to_owned(), letter))
}

/// What the name of a column means among the others.
pub(super) fn named(sheet: &Sheet, column: usize) -> Option<Meaning> {
    let head = &sheet.heads[column];
    let plain = || short_name(sheet, head).unwrap_or(head.clone());
    meaning_of(&label_of(sheet, column).map_or_else(plain, |(bare, _)| bare))
}

/// `A pack A` beside `A pack B`: the last letter is which of several, no unit.
fn is_one_of_letters(
    sheet: &Sheet,
    stem: &str,
    before: &dyn Fn(&str) -> Option<(bool, String)>,
    is_volts: bool,
) -> bool {
    let Some((name, letter)) = stem.rsplit_once([' ', '_', '-']) else { return false };
    letter.len() == 1
        && sheet.heads.iter().filter_map(|other| before(other)).any(|(other_volts, other)| {
            other_volts == is_volts
                && other.rsplit_once([' ', '_', '-']).is_some_and(|(its, end)| {
                    its == name && end.len() == 1 && end != letter && end.chars().all(char::is_uppercase)
                })
        })
}

/// `V1` and `A1` beside each other are of one battery; `v` beside `U` is a speed.
pub(super) fn short_name(sheet: &Sheet, head: &str) -> Option<String> {
    let has = |name: &str| sheet.heads.iter().any(|other| other.trim() == name);
    let head = head.trim();
    if head == "v" && has("U") {
        return Some("speed".to_owned());
    }
    // `A bank` beside `V bank`, `Abat` beside `Vbat`: the letters are the quantities of one thing.
    let before = |head: &str| -> Option<(bool, String)> {
        let joined = || head.trim().split_at_checked(1).filter(|(_, stem)| stem.len() >= 3);
        let (letter, stem) = head.trim().split_once([' ', '_', '.']).or_else(joined)?;
        let is_volts = match letter {
            "V" | "U" => true,
            "A" | "I" => false,
            _ => return None,
        };
        Some((is_volts, stem.trim().to_owned()))
    };
    if let Some((is_volts, stem)) = before(head)
        && sheet
            .heads
            .iter()
            .filter_map(|other| before(other))
            .any(|other| other == (!is_volts, stem.clone()))
        && (matches!(unit_said(head), UnitSaid::None) || is_one_of_letters(sheet, &stem, &before, is_volts))
    {
        return Some(format!("{stem} [{}]", if is_volts { "V" } else { "A" }));
    }
    // `BatA` beside `BatV`.
    if let Some(at) = head.len().checked_sub(1)
        && head.is_char_boundary(at)
        && head[..at].ends_with(|c: char| c.is_lowercase() || c.is_ascii_digit())
        && at >= 2
    {
        let (stem, letter) = head.split_at(at);
        let meets = |others: [&str; 2]| others.iter().any(|other| has(&format!("{stem}{other}")));
        match letter {
            "V" | "U" if meets(["A", "I"]) => return Some(format!("{stem} [V]")),
            "A" | "I" if meets(["V", "U"]) => return Some(format!("{stem} [A]")),
            _ => {}
        }
    }
    // `payload.i` beside `payload.v`: amps and volts of one thing.
    if let Some((stem, letter)) = head.rsplit_once(['.', '_', ' ', '/'])
        && !stem.is_empty()
    {
        let has = |other: &str| {
            sheet
                .heads
                .iter()
                .any(|head| head.trim().rsplit_once(['.', '_', ' ', '/']) == Some((stem, other)))
        };
        let one = match letter {
            "v" | "V" | "u" | "U" if has("i") || has("I") => Some("[V]"),
            "i" | "I" if ["v", "V", "u", "U"].into_iter().any(has) => Some("[A]"),
            "p" | "P" if has("i") || has("I") => Some("power"),
            _ => None,
        };
        if let Some(unit) = one.filter(|_| matches!(unit_said(head), UnitSaid::None)) {
            return Some(format!("{stem} {unit}"));
        }
    }
    let (letter, number) = head.split_at_checked(1).filter(|(_, number)| number.parse::<u8>().is_ok())?;
    let (volts, amps) = (["V", "U"], ["A", "I"]);
    let meets = |others: [&str; 2]| others.iter().any(|other| has(&format!("{other}{number}")));
    match letter {
        "V" | "U" if meets(amps) => Some(format!("battery {number} [V]")),
        "A" | "I" if meets(volts) => Some(format!("battery {number} [A]")),
        _ => None,
    }
}
