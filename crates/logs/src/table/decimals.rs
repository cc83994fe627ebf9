//! Which mark parts the decimals of a column.

use super::numbers::split_number;

/// What the cells of one column say about its decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Decimals {
    /// No mark stands in any cell, or nothing else fits.
    Point,
    Comma,
    /// Each mark is followed by three digits: decimals or thousands. With the mark.
    Doubtful(char),
}

/// What the cells of a column say about its decimals.
pub(super) fn decimals_of<'a>(cells: impl Iterator<Item = &'a str>) -> Option<Decimals> {
    let (mut point, mut comma, mut three_point, mut three_comma) = (0, 0, 0, 0);
    // Cells without a mark: numbers of at most three digits, as a column with thousands has them.
    let (mut bare_short, mut bare_long, mut noughts) = (0, 0, 0);
    for cell in cells {
        let Some((digits, _)) = split_number(cell) else { continue };
        let digits = digits.trim_start_matches(['-', '+', '\u{2212}']);
        let (points, commas) = (digits.matches('.').count(), digits.matches(',').count());
        let tail = digits.rsplit(['.', ',']).next().map_or(0, str::len);
        let front = digits.split(['.', ',']).next().unwrap_or_default();
        match (points, commas) {
            (0, 0) if digits.len() <= 3 => bare_short += 1,
            (0, 0) => bare_long += 1,
            (p, c) if p > 0 && c > 0 => {
                if digits.rfind('.') > digits.rfind(',') {
                    point += 1;
                } else {
                    comma += 1;
                }
            }
            // Several marks of one kind part thousands.
            (p, 0) if p > 1 => comma += 1,
            (0, c) if c > 1 => point += 1,
            (1, 0) if tail == 3 && !front.is_empty() && front.len() <= 3 => {
                three_point += 1;
                noughts += usize::from(front.starts_with('0'));
            }
            (1, 0) => point += 1,
            (0, 1) if tail == 3 && !front.is_empty() && front.len() <= 3 => {
                three_comma += 1;
                noughts += usize::from(front.starts_with('0'));
            }
            _ => comma += 1,
        }
    }
    if point + comma > 0 {
        return Some(if comma > point { Decimals::Comma } else { Decimals::Point });
    }
    if three_point + three_comma == 0 {
        return None;
    }
    let is_point = three_point >= three_comma;
    // `0,512` is no thousand; long numbers without a mark beside short ones with it neither.
    if noughts > 0 || bare_long > 0 {
        return Some(if is_point { Decimals::Point } else { Decimals::Comma });
    }
    // Short numbers without a mark beside many of exactly three digits after it: thousands.
    const MANY: usize = 5;
    let marked = three_point + three_comma;
    if bare_short > 0 && marked >= MANY {
        return Some(if is_point { Decimals::Comma } else { Decimals::Point });
    }
    Some(Decimals::Doubtful(if is_point { '.' } else { ',' }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_columns_decimals_decide() {
        let of = |cells: &[&str]| decimals_of(cells.iter().copied());
        assert_eq!(of(&["12.5", "13.25"]), Some(Decimals::Point));
        assert_eq!(of(&["12,5", "1.234,5"]), Some(Decimals::Comma));
        assert_eq!(of(&["1,234.5"]), Some(Decimals::Point));
        assert_eq!(of(&["1.234", "987"]), Some(Decimals::Doubtful('.')));
        assert_eq!(of(&["0,512", "1,024"]), Some(Decimals::Comma));
        assert_eq!(of(&["12", "13"]), None);
        assert_eq!(of(&["1.234.567"]), Some(Decimals::Comma));
    }
}
