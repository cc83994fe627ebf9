//! What something that is tried gives over what is kept, from the figures as both findings show them.
//! Not for: computing either.

/// "0.8 kn more than as kept" for figures of one unit; none where they cannot be set beside each other.
#[must_use]
pub fn gain(kept: &str, tried: &str) -> Option<String> {
    let parts = |figure: &str| {
        let (number, unit) = figure.trim().split_once(' ')?;
        // "6.1 kn at 736 rpm" is a speed; "3 days 4 h" is no single number.
        let unit = unit.split_once(" at ").map_or(unit, |(unit, _)| unit);
        let decimals = number.split_once('.').map_or(0, |(_, decimals)| decimals.len());
        Some((number.replace(',', "").parse::<f64>().ok()?, decimals, unit.to_owned()))
    };
    let ((kept, kept_decimals, kept_unit), (tried, decimals, unit)) = (parts(kept)?, parts(tried)?);
    if kept_unit != unit {
        return None;
    }
    let decimals = decimals.max(kept_decimals);
    let by = format!("{:.decimals$}", (tried - kept).abs());
    let is_same = by.bytes().all(|b| matches!(b, b'0' | b'.'));
    let way = if tried > kept { "more" } else { "less" };
    Some(if is_same { "the same as kept".to_owned() } else { format!("{by} {unit} {way} than as kept") })
}

#[cfg(test)]
mod tests {
    use super::gain;

    #[test]
    fn figures_of_one_unit_are_set_beside_each_other() {
        assert_eq!(gain("5.2 kn", "6.0 kn").as_deref(), Some("0.8 kn more than as kept"));
        let at = gain("5.2 kn at 760 rpm", "6.0 kn at 805 rpm");
        assert_eq!(at.as_deref(), Some("0.8 kn more than as kept"));
        assert_eq!(gain("27 nm", "25 nm").as_deref(), Some("2 nm less than as kept"));
        assert_eq!(gain("1,204 Wh", "1,204 Wh").as_deref(), Some("the same as kept"));
        assert_eq!(gain("9.6 km", "11 nm"), None);
        assert_eq!(gain("", "6.0 kn"), None);
        assert_eq!(gain("3 days 4 h", "2 days 1 h"), None);
    }
}
