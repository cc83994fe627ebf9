//! Twelve numbers written in one text, January to December. Not for: what they mean.

/// Reads twelve numbers between 0 and `highest`, separated by blanks or semicolons, decimals with point or
/// comma.
///
/// # Errors
/// What is wrong, in words.
pub(crate) fn read_months(text: &str, highest: f64) -> Result<[f64; 12], String> {
    let mut months = [0.0; 12];
    let mut count = 0;
    for word in text.split(|c: char| c.is_whitespace() || c == ';').filter(|word| !word.is_empty()) {
        let word = word.trim_end_matches(',').replace(',', ".");
        let value: f64 = word.parse().map_err(|_| format!("\"{word}\" is no number"))?;
        if !(0.0..=highest).contains(&value) {
            return Err(format!("{value} does not lie between 0 and {highest}"));
        }
        if let Some(month) = months.get_mut(count) {
            *month = value;
        }
        count += 1;
    }
    if count == 12 { Ok(months) } else { Err(format!("{count} numbers, and a year has twelve months")) }
}

#[cfg(test)]
mod tests {
    use super::read_months;

    #[test]
    fn twelve_numbers_in_any_writing() {
        let months = read_months("0,3 0.4; 0.5, 0.5 0.5 0.5 0.5 0.5 0.5 0.4 0.3 0.3", 0.85);
        assert_eq!(months.map(|m| (m[0], m[2])), Ok((0.3, 0.5)));
        assert!(read_months("0.3 0.4", 0.85).is_err_and(|problem| problem.starts_with("2 numbers")));
        assert!(read_months("0.3 x", 0.85).is_err());
        assert!(read_months("-0.3", 0.85).is_err());
    }
}
