//! The access code: made at random, read from a terminal, typed on a phone.

use std::fmt;

use subtle::ConstantTimeEq;

use crate::config::GuardError;

/// Without the pairs that are mistaken for each other (0 O, 1 I L, 2 Z, 5 S, 8 B).
const ALPHABET: &[u8; 25] = b"34679ACDEFGHJKMNPQRTUVWXY";
/// 25^8 codes, about 37 bits: with the delays for wrong codes, guessing takes millennia.
const LENGTH: usize = 8;

/// A code that lets a device in. Shown to the user only; not to be logged.
#[derive(Clone)]
pub struct AccessCode([u8; LENGTH]);

impl AccessCode {
    /// A new code from the system's random source.
    ///
    /// # Errors
    /// [`GuardError::NoRandomness`].
    pub fn random() -> Result<Self, GuardError> {
        let mut code = [0; LENGTH];
        let mut filled = 0;
        while filled < LENGTH {
            let mut bytes = [0; 4 * LENGTH];
            getrandom::fill(&mut bytes).map_err(GuardError::NoRandomness)?;
            for letter in bytes.into_iter().filter_map(letter_from).take(LENGTH - filled) {
                code[filled] = letter;
                filled += 1;
            }
        }
        Ok(Self(code))
    }

    /// The code in two groups, as it is to be read out: `ACDE-F346`.
    #[must_use]
    pub fn grouped(&self) -> String {
        let plain = self.plain();
        let (first, second) = plain.split_at(LENGTH / 2);
        format!("{first}-{second}")
    }

    /// The code without grouping, for an address.
    #[must_use]
    pub fn plain(&self) -> String {
        self.0.iter().map(|b| char::from(*b)).collect()
    }

    /// Whether `typed` is this code; small letters, spaces and hyphens do not matter. Takes the
    /// same time wherever the first wrong letter stands.
    #[must_use]
    pub fn is(&self, typed: &str) -> bool {
        self.0.as_slice().ct_eq(letters_of(typed).as_bytes()).into()
    }
}

impl fmt::Debug for AccessCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("AccessCode(hidden)")
    }
}

/// The letters of the alphabet in what was typed, at most one more than a code has.
pub(crate) fn letters_of(typed: &str) -> String {
    typed
        .chars()
        .filter(|c| !c.is_whitespace() && *c != '-')
        .map(|c| c.to_ascii_uppercase())
        .map(|c| if u8::try_from(c).is_ok_and(|b| ALPHABET.contains(&b)) { c } else { '?' })
        .take(LENGTH + 1)
        .collect()
}

/// One letter from a random byte, all letters alike; bytes beyond the last whole multiple of the
/// alphabet are thrown away.
fn letter_from(byte: u8) -> Option<u8> {
    let count = ALPHABET.len() as u8;
    let usable = u8::MAX - u8::MAX % count;
    (byte < usable).then(|| ALPHABET[usize::from(byte % count)])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_letter_is_alike() {
        let mut counts = [0; 256];
        (0..=255).filter_map(letter_from).for_each(|l| counts[usize::from(l)] += 1);
        assert!(ALPHABET.iter().all(|l| counts[usize::from(*l)] == 10));
        assert_eq!(counts.iter().sum::<i32>(), 250);
    }

    #[test]
    fn a_code_is_recognised_however_it_is_typed() {
        let code = AccessCode(*b"ACDEF346");
        assert_eq!(code.grouped(), "ACDE-F346");
        for right in ["ACDEF346", "acde-f346", " acde f346 "] {
            assert!(code.is(right), "{right}");
        }
        for wrong in ["", "ACDEF34", "ACDEF3466", "ACDEF347", "ACDEÉ346"] {
            assert!(!code.is(wrong), "{wrong}");
        }
        assert_eq!(format!("{code:?}"), "AccessCode(hidden)");
        assert_ne!(AccessCode::random().unwrap().plain(), AccessCode::random().unwrap().plain());
    }
}
