//! Angles of a position as tables write them: degrees, minutes and seconds, letters of direction.
//! Not for: both halves in one cell (`position`).

use super::letter::{LetterO, letter};
use super::numbers::number_in;

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
}
