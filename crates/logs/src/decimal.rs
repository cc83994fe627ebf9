//! A decimal number of a log, read without the library's rules of words.

/// A plain decimal number: sign, digits, one point. No exponent, nothing else around it but blanks.
pub(super) fn decimal(text: &[u8]) -> Option<f64> {
    const POWERS: [f64; 16] =
        [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15];
    const MOST_DIGITS: usize = 15;
    let text = text.trim_ascii();
    let (is_negative, digits) = match text.first()? {
        b'-' => (true, &text[1..]),
        b'+' => (false, &text[1..]),
        _ => (false, text),
    };
    let (mut mantissa, mut count, mut decimals) = (0_u64, 0_usize, 0_usize);
    let mut has_point = false;
    for byte in digits {
        match byte {
            b'0'..=b'9' => {
                // Digits beyond what a double holds: only decimals can be dropped.
                if count == MOST_DIGITS {
                    if has_point {
                        continue;
                    }
                    return None;
                }
                mantissa = mantissa * 10 + u64::from(byte - b'0');
                count += usize::from(mantissa > 0);
                decimals += usize::from(has_point);
                if decimals > MOST_DIGITS {
                    return None;
                }
            }
            b'.' if !has_point => has_point = true,
            _ => return None,
        }
    }
    if digits.is_empty() || digits == b"." {
        return None;
    }
    let value = mantissa as f64 / POWERS[decimals];
    Some(if is_negative { -value } else { value })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_as_the_language_reads_them() {
        for text in ["0", "5.99", "-12.5", "+3", ".5", "5.", "4829.0005", "002327.982", "123456789.123456"] {
            assert_eq!(decimal(text.as_bytes()), text.parse().ok(), "{text}");
        }
        for text in ["", ".", "-", "-1.-3", "1e5", "nan", "0x10", "1,5"] {
            assert_eq!(decimal(text.as_bytes()), None, "{text}");
        }
    }
}
