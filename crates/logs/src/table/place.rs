//! Angles of a position as tables write them: degrees, minutes and seconds, letters of direction.
//! Not for: both halves in one cell (`position`).

use serde::{Deserialize, Serialize};

use super::numbers::number_in;
use super::words::words;

/// What the letter O stands for: east (Ost, oost, øst) or west (ouest, oeste, ovest).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LetterO {
    /// German, Dutch, Danish, Norwegian, Swedish.
    #[default]
    East,
    /// French, Spanish, Italian, Portuguese.
    West,
}

impl LetterO {
    pub(super) fn is_east(&self) -> bool {
        *self == Self::East
    }

    /// What it stands for among such cells: the other side's letter tells, else the language of the names.
    pub(super) fn of<'a>(cells: impl Iterator<Item = &'a str>, heads: &[String]) -> Self {
        const ROMANCE: [&str; 18] = [
            "heure",
            "vitesse",
            "tension",
            "courant",
            "latitude",
            "longitude",
            "hora",
            "fecha",
            "latitud",
            "longitud",
            "velocidad",
            "posicion",
            "posizione",
            "velocita",
            "latitudine",
            "longitudine",
            "posicao",
            "velocidade",
        ];
        const GERMANIC: [&str; 12] = [
            "zeit",
            "breite",
            "lange",
            "breitengrad",
            "langengrad",
            "geschwindigkeit",
            "tijd",
            "breedte",
            "lengte",
            "bredde",
            "tid",
            "fart",
        ];
        let (mut east, mut west) = (false, false);
        for cell in cells {
            east |= cell.contains(['E', 'e']);
            west |= cell.contains(['W', 'w']);
        }
        if east != west {
            return if east { Self::West } else { Self::East };
        }
        let has = |listed: &[&str]| {
            heads.iter().flat_map(|head| words(head)).any(|word| listed.contains(&word.as_str()))
        };
        if has(&ROMANCE) && !has(&GERMANIC) { Self::West } else { Self::East }
    }
}

/// Side of a letter of direction: which half it belongs to, and its sign.
pub(super) fn letter(c: char, o: LetterO) -> Option<(bool, f64)> {
    match c.to_ascii_uppercase() {
        'N' => Some((true, 1.0)),
        'S' => Some((true, -1.0)),
        'E' | 'Ø' | 'Ö' | 'ø' | 'ö' => Some((false, 1.0)),
        'W' | 'V' => Some((false, -1.0)),
        'O' => Some((false, if o.is_east() { 1.0 } else { -1.0 })),
        _ => None,
    }
}

/// Sign of a column of letters beside a position; `None` for what is no such letter.
pub(super) fn hemisphere(cell: &str, o: LetterO) -> Option<f64> {
    let mut letters = cell.trim().chars();
    let sign = letter(letters.next()?, o)?.1;
    letters.next().is_none().then_some(sign)
}

/// An angle as it stands.
pub(super) struct Angle {
    pub degrees: f64,
    /// True for north or south, false for east or west.
    pub is_latitude: Option<bool>,
    has_sign_of_degrees: bool,
    /// Whole degrees alone are no place.
    pub has_parts: bool,
}

/// `54°23.5'N`, `54 23 30 N`, `N 54.3917`, `W4.5`, `5423.5N`, `54.3917`.
pub(super) fn angle(text: &str, decimal_comma: bool, o: LetterO) -> Option<Angle> {
    let text = text.trim();
    // `5.4E+01` is a number, and no east.
    let exponent = ["E+", "e+", "E-", "e-"].iter().any(|mark| text.contains(mark));
    let spelt = super::numbers::plain(text).filter(|_| exponent).map(|number| number.to_string());
    let decimal_comma = decimal_comma && spelt.is_none();
    let text = spelt.as_deref().unwrap_or(text);
    let mut side = None;
    let mut numbers: Vec<f64> = Vec::new();
    let mut whole_digits = 0;
    let mut has_sign_of_degrees = false;
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        if c.is_ascii_digit() || c == '-' || c == '+' {
            let end = rest
                .char_indices()
                .skip(1)
                .find(|(_, c)| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
                .map_or(rest.len(), |(at, _)| at);
            let text = rest[..end].trim_end_matches([',', '.']);
            if numbers.is_empty() {
                whole_digits =
                    text.trim_start_matches(['-', '+']).bytes().take_while(u8::is_ascii_digit).count();
            }
            numbers.push(number_in(text, decimal_comma || (text.contains(',') && !text.contains('.')))?.0);
            rest = &rest[end..];
            continue;
        }
        match c {
            '°' | 'º' | '\'' | '"' | '′' | '″' | '’' | '”' | '´' => has_sign_of_degrees = true,
            ' ' | ',' | '\u{a0}' => {}
            c => match letter(c, o) {
                Some(found) if side.is_none() => side = Some(found),
                _ => return None,
            },
        }
        rest = &rest[c.len_utf8()..];
    }
    if numbers.is_empty() || numbers.len() > 3 {
        return None;
    }
    let is_negative = numbers[0] < 0.0 || text.starts_with('-');
    let mut parts =
        [numbers[0].abs(), numbers.get(1).copied().unwrap_or(0.0), numbers.get(2).copied().unwrap_or(0.0)];
    // Four digits or more before the point are degrees and minutes in one number.
    if numbers.len() == 1 && whole_digits >= 4 {
        let degrees = (parts[0] / 100.0).trunc();
        parts = [degrees, parts[0] - 100.0 * degrees, 0.0];
    }
    if parts[1] >= 60.0 || parts[2] >= 60.0 || parts[1] < 0.0 || parts[2] < 0.0 {
        return None;
    }
    let size = parts[0] + parts[1] / 60.0 + parts[2] / 3600.0;
    let degrees = side.map_or(1.0, |(_, sign)| sign) * if is_negative { -size } else { size };
    Some(Angle {
        degrees,
        is_latitude: side.map(|(is_latitude, _)| is_latitude),
        has_sign_of_degrees,
        has_parts: numbers.len() > 1 || text.contains(['.', ',']),
    })
}

/// `54°23.5'N`, `54 23 30 N`, `N 54.3917`, `W4.5`: degrees, south and west negative. `None` without a
/// letter or a degree sign: the plain number is read as the column's unit has it.
pub(super) fn angle_of_place(cell: &str, decimal_comma: bool, o: LetterO) -> Option<f64> {
    let angle = angle(cell, decimal_comma, o)?;
    (angle.is_latitude.is_some() || angle.has_sign_of_degrees).then_some(angle.degrees)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_with_minutes_and_letters() {
        let near = |cell: &str, degrees: f64| {
            let read = angle_of_place(cell, false, LetterO::East).unwrap_or(f64::NAN);
            assert!((read - degrees).abs() < 1e-9, "{cell}: {read}");
        };
        near("54°23.5'N", 54.0 + 23.5 / 60.0);
        near("54° 23' 30\" S", -(54.0 + 23.5 / 60.0));
        near("W4.5", -4.5);
        near("54 23.5 N", 54.0 + 23.5 / 60.0);
        near("5423.5 N", 54.0 + 23.5 / 60.0);
        near("00030.5W", -30.5 / 60.0);
        assert_eq!(angle_of_place("54.5", false, LetterO::East), None);
    }

    #[test]
    fn the_other_letter_tells_what_an_o_is() {
        let heads = |text: &str| vec![text.to_owned()];
        assert_eq!(LetterO::of(["4.5 O", "0.1 E"].into_iter(), &heads("x")), LetterO::West);
        assert_eq!(LetterO::of(["4.5 O"].into_iter(), &heads("Posición")), LetterO::West);
        assert_eq!(LetterO::of(["4.5 O"].into_iter(), &heads("Länge")), LetterO::East);
        assert_eq!(hemisphere("O", LetterO::West), Some(-1.0));
        assert_eq!(hemisphere("NE", LetterO::East), None);
    }
}
