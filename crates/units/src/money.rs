//! Amounts of money: two decimals or none, whatever the currency.
//! Not for: currencies.

use crate::number::{NumberError, read_number_twice};

/// Reads the amount at the start of `text`: `1900`, `1,900`, `1900.50`, `1.900,50`, `1 900`.
///
/// A comma before three digits sets off thousands, for no currency here has three decimals. A point
/// there is refused: some write thousands so, some lists of prices have three decimals.
///
/// # Errors
/// [`NumberError`] when there is no amount or it can be read in two ways.
pub fn read_money(text: &str) -> Result<(f64, &str), NumberError> {
    let read = read_number_twice(text)?;
    let typed = text[..text.len() - read.rest.len()].trim();
    let unsigned = typed.trim_start_matches(['+', '-', '−', ' ']);
    let is_plain =
        unsigned.chars().all(|c| c.is_ascii_digit() || c.is_whitespace() || matches!(c, '.' | ','));
    let decimals = match unsigned.rfind(['.', ',']) {
        Some(at) if read.value.fract() != 0.0 || unsigned.len() - at != 4 => unsigned.len() - at - 1,
        _ => 0,
    };
    if !is_plain || read.other.is_some_and(|other| other > read.value) || !matches!(decimals, 0 | 2) {
        return Err(NumberError::Money { number: typed.to_owned() });
    }
    Ok((read.value, read.rest))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn money_has_two_decimals_or_none() {
        for (text, amount, rest) in [
            ("1900", 1900.0, ""),
            ("1,900 EUR", 1900.0, " EUR"),
            ("1900.50", 1900.5, ""),
            ("1.900,50 EUR", 1900.5, " EUR"),
            ("1,900.50", 1900.5, ""),
            ("1 900 EUR", 1900.0, " EUR"),
            ("1.234.567", 1_234_567.0, ""),
            ("0.99", 0.99, ""),
            ("250.00", 250.0, ""),
        ] {
            assert_eq!(read_money(text), Ok((amount, rest)), "{text}");
        }
        for text in ["1.200", "-1.200", "12.5", "0.125", "1,2345", "1/2", "1e3", "12½"] {
            assert!(matches!(read_money(text), Err(NumberError::Money { .. })), "{text}");
        }
    }
}
