//! Numbers as they are typed: decimal point or comma, thousands set off, fractions of an inch.
//! Not for: units.

use std::fmt;

/// Why no number could be read.
#[derive(Debug, Clone, PartialEq)]
pub enum NumberError {
    /// The text does not begin with a digit.
    NotANumber,
    /// Points and commas stand so that the number can be read in two ways, or in none.
    Separators {
        /// The number as typed.
        number: String,
    },
    /// An amount of money with other decimals than two, or one that may be in thousands.
    Money {
        /// The number as typed.
        number: String,
    },
    /// A fraction over zero.
    ZeroDenominator,
    /// Larger than a number can be here.
    TooLarge,
}

impl fmt::Display for NumberError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotANumber => write!(out, "a number is expected"),
            Self::Separators { number } => write!(
                out,
                "the points and commas of {number} cannot be read for certain; \
                 write thousands as 12,000 and decimals as 8.4 or 8,4"
            ),
            Self::Money { number } => write!(
                out,
                "{number} is no amount of money for certain: it has two decimals or none; \
                 write 1200 or 1,200 for thousands and 1.20 for decimals"
            ),
            Self::ZeroDenominator => write!(out, "a fraction over 0 has no value"),
            Self::TooLarge => write!(out, "the number is too large"),
        }
    }
}

/// No quantity of a boat comes near it.
const LARGEST: f64 = 1e15;

/// Fractions that have a sign of their own.
const VULGAR: [(char, f64); 9] = [
    ('½', 0.5),
    ('¼', 0.25),
    ('¾', 0.75),
    ('⅛', 0.125),
    ('⅜', 0.375),
    ('⅝', 0.625),
    ('⅞', 0.875),
    ('⅓', 1.0 / 3.0),
    ('⅔', 2.0 / 3.0),
];

/// A number at the start of a text.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadNumber<'a> {
    /// Its value: a point before three digits marks decimals, a comma there sets off thousands.
    pub value: f64,
    /// What it would be if its only separator stood for the other of the two: `1,200` may be 1.2,
    /// `1.200` may be 1200. `None` when the number has one reading.
    pub other: Option<f64>,
    /// The text behind it.
    pub rest: &'a str,
}

/// Reads the number at the start of `text`: its value and the rest of the text.
///
/// `1,234.5`, `1.234,5`, `12 000`, `8,4`, `-3`, `12 1/2`, `12-1/2`, `12½`, `1e3`. One comma with
/// exactly three digits behind it sets off thousands (`12,000`), unless a zero stands before it
/// (`0,125`).
///
/// # Errors
/// [`NumberError`] when there is no number or it can be read in two ways.
pub fn read_number(text: &str) -> Result<(f64, &str), NumberError> {
    read_number_twice(text).map(|read| (read.value, read.rest))
}

/// As [`read_number`], with the other reading that the number may have.
///
/// # Errors
/// [`NumberError`] when there is no number or its separators stand so that it has no reading.
pub fn read_number_twice(text: &str) -> Result<ReadNumber<'_>, NumberError> {
    let text = text.trim_start();
    let (sign, unsigned) = match text.chars().next() {
        Some('-' | '−') => (-1.0, text[text.chars().next().map_or(0, char::len_utf8)..].trim_start()),
        Some('+') => (1.0, text[1..].trim_start()),
        _ => (1.0, text),
    };
    if let Some((value, rest)) = vulgar_fraction(unsigned) {
        return Ok(ReadNumber { value: sign * value, other: None, rest });
    }
    let length = mantissa_length(unsigned);
    let (typed, rest) = unsigned.split_at(length);
    let (value, other) = mantissa_values(typed)?;
    let (rest, divisor, factor, addend) = if let Some((denominator, after)) = denominator(rest)? {
        (after, denominator, 1.0, 0.0)
    } else if let Some((exponent, after)) = exponent(rest) {
        (after, 1.0, 10_f64.powi(exponent), 0.0)
    } else if let Some((fraction, after)) = trailing_fraction(rest)? {
        (after, 1.0, 1.0, fraction)
    } else {
        (rest, 1.0, 1.0, 0.0)
    };
    let whole = |mantissa: f64| sign * (mantissa * factor / divisor + addend);
    let fits = |value: &f64| value.is_finite() && value.abs() <= LARGEST;
    let value = Some(whole(value)).filter(fits).ok_or(NumberError::TooLarge)?;
    Ok(ReadNumber { value, other: other.map(whole).filter(fits), rest })
}

/// Whether a point or comma stands before three digits anywhere in `text`; without one, no number in
/// it has two readings.
#[must_use]
pub fn may_have_two_readings(text: &str) -> bool {
    text.as_bytes().windows(4).any(|w| matches!(w[0], b'.' | b',') && w[1..].iter().all(u8::is_ascii_digit))
}

/// Length in bytes of digits, points, commas and spaces that set off thousands.
pub(crate) fn mantissa_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let mut end = 0;
    while end < bytes.len() {
        let next_is_digit = bytes.get(end + 1).is_some_and(u8::is_ascii_digit);
        let belongs = match bytes[end] {
            b'0'..=b'9' => true,
            b'.' | b',' => next_is_digit,
            _ => {
                // Space, thin space or no-break space before a group of exactly three digits.
                let Some(space) = text[end..].chars().next().filter(|c| c.is_whitespace()) else { break };
                let group = &text[end + space.len_utf8()..];
                if end > 0 && is_thousands_group(group) && digits_before(bytes, end) <= 3 {
                    end += space.len_utf8();
                    continue;
                }
                false
            }
        };
        if !belongs {
            break;
        }
        end += 1;
    }
    end
}

fn is_thousands_group(text: &str) -> bool {
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    digits == 3 && !text[3..].trim_start().starts_with('/')
}

fn digits_before(bytes: &[u8], end: usize) -> usize {
    bytes[..end].iter().rev().take_while(|b| b.is_ascii_digit()).count()
}

/// The value, and the other one where the only separator may mean decimals or thousands.
fn mantissa_values(typed: &str) -> Result<(f64, Option<f64>), NumberError> {
    let plain: String = typed.chars().filter(|c| !c.is_whitespace()).collect();
    if plain.is_empty() || !plain.bytes().any(|b| b.is_ascii_digit()) {
        return Err(NumberError::NotANumber);
    }
    let unclear = || NumberError::Separators { number: typed.to_owned() };
    let other = other_reading(&plain);
    let commas = plain.matches(',').count();
    let points = plain.matches('.').count();
    let normal = match (commas, points) {
        (0, 0 | 1) => plain,
        (1, 0) if sets_off_thousands(&plain, ',') && !plain.starts_with('0') => plain.replace(',', ""),
        (1, 0) => plain.replace(',', "."),
        (_, 0) if sets_off_thousands(&plain, ',') => plain.replace(',', ""),
        (0, _) if sets_off_thousands(&plain, '.') => plain.replace('.', ""),
        (_, 1) if plain.rfind(',') < plain.find('.') => {
            let (whole, decimals) = plain.split_once('.').ok_or_else(unclear)?;
            if !sets_off_thousands(whole, ',') {
                return Err(unclear());
            }
            format!("{}.{decimals}", whole.replace(',', ""))
        }
        (1, _) if plain.rfind('.') < plain.find(',') => {
            let (whole, decimals) = plain.split_once(',').ok_or_else(unclear)?;
            if !sets_off_thousands(whole, '.') {
                return Err(unclear());
            }
            format!("{}.{decimals}", whole.replace('.', ""))
        }
        _ => return Err(unclear()),
    };
    Ok((normal.parse().map_err(|_| unclear())?, other))
}

/// `1.2` for `1,200`, `1200` for `1.200`: one separator, three digits behind it and one to three
/// before it, of which the first is no nought.
fn other_reading(plain: &str) -> Option<f64> {
    let at = plain.find(['.', ','])?;
    let (whole, decimals) = (&plain[..at], &plain[at + 1..]);
    let is_doubtful = (1..=3).contains(&whole.len())
        && !whole.starts_with('0')
        && decimals.len() == 3
        && !decimals.contains(['.', ',']);
    let join = if plain[at..].starts_with(',') { "." } else { "" };
    is_doubtful.then(|| format!("{whole}{join}{decimals}").parse().ok()).flatten()
}

/// True for `1,234` and `12,345,678`: one to three digits, then groups of three.
fn sets_off_thousands(number: &str, separator: char) -> bool {
    let mut groups = number.split(separator);
    let first = groups.next().map_or(0, str::len);
    (1..=3).contains(&first) && groups.all(|group| group.len() == 3)
}

/// `/2` behind a whole number.
fn denominator(rest: &str) -> Result<Option<(f64, &str)>, NumberError> {
    let Some(after) = rest.strip_prefix(['/', '⁄']) else { return Ok(None) };
    let digits = after.bytes().take_while(u8::is_ascii_digit).count();
    if digits == 0 {
        return Ok(None);
    }
    let value: f64 = after[..digits].parse().map_err(|_| NumberError::NotANumber)?;
    if value == 0.0 { Err(NumberError::ZeroDenominator) } else { Ok(Some((value, &after[digits..]))) }
}

/// ` 1/2`, `-1/2` or `½` behind a whole number.
fn trailing_fraction(rest: &str) -> Result<Option<(f64, &str)>, NumberError> {
    if let Some(found) = vulgar_fraction(rest.trim_start()) {
        return Ok(Some(found));
    }
    let start = rest.trim_start_matches([' ', '-']);
    if start.len() == rest.len() {
        return Ok(None);
    }
    let digits = start.bytes().take_while(u8::is_ascii_digit).count();
    let Ok(numerator) = start[..digits].parse::<f64>() else { return Ok(None) };
    Ok(denominator(&start[digits..])?.map(|(denominator, after)| (numerator / denominator, after)))
}

fn vulgar_fraction(text: &str) -> Option<(f64, &str)> {
    let first = text.chars().next()?;
    VULGAR.iter().find(|(sign, _)| *sign == first).map(|(_, value)| (*value, &text[first.len_utf8()..]))
}

/// `e3`, `E-2` behind a number.
fn exponent(rest: &str) -> Option<(i32, &str)> {
    let after = rest.strip_prefix(['e', 'E'])?;
    let sign = usize::from(after.starts_with(['-', '+']));
    let digits = after[sign..].bytes().take_while(u8::is_ascii_digit).count();
    if digits == 0 || digits > 2 {
        return None;
    }
    after[..sign + digits].parse().ok().map(|exponent| (exponent, &after[sign + digits..]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_as_typed() {
        for (text, value, rest) in [
            ("12", 12.0, ""),
            ("8,4 m", 8.4, " m"),
            ("12,000 lb", 12_000.0, " lb"),
            ("0,125 in", 0.125, " in"),
            ("1,234.5", 1234.5, ""),
            ("1.234,5", 1234.5, ""),
            ("1,234,567", 1_234_567.0, ""),
            ("12 000 lb", 12_000.0, " lb"),
            ("12 1/2 in", 12.5, " in"),
            ("12-1/2in", 12.5, "in"),
            ("12½\"", 12.5, "\""),
            ("1/2 in", 0.5, " in"),
            ("−3 C", -3.0, " C"),
            ("1e3 W", 1000.0, " W"),
            ("27 ft 6 in", 27.0, " ft 6 in"),
            (".5 m", 0.5, " m"),
        ] {
            assert_eq!(read_number(text), Ok((value, rest)), "{text}");
        }
    }

    #[test]
    fn one_separator_before_three_digits_has_two_readings() {
        for (text, value, other) in [
            ("12.500 mm", 12.5, Some(12_500.0)),
            ("1,200 W", 1200.0, Some(1.2)),
            ("-1.200", -1.2, Some(-1200.0)),
            ("1.200e3", 1200.0, Some(1_200_000.0)),
            ("1,200 1/2", 1200.5, Some(1.7)),
            ("0.125", 0.125, None),
            ("0,125", 0.125, None),
            ("00.125", 0.125, None),
            ("1234.500", 1234.5, None),
            ("1.2000", 1.2, None),
            ("1,200.0", 1200.0, None),
            ("1.200.000", 1_200_000.0, None),
            ("12 000,500", 12_000.5, None),
            (".500", 0.5, None),
        ] {
            let read = read_number_twice(text).unwrap();
            assert_eq!((read.value, read.other), (value, other), "{text}");
        }
    }

    #[test]
    fn unclear_numbers_are_refused() {
        for text in ["1,23,4", "1.2.3", "1,2.3,4"] {
            assert!(matches!(read_number(text), Err(NumberError::Separators { .. })), "{text}");
        }
        assert_eq!(read_number("1/0 in"), Err(NumberError::ZeroDenominator));
        assert_eq!(read_number("twelve"), Err(NumberError::NotANumber));
    }
}
