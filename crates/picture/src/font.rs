//! The embedded fonts: real text widths for the label placer, and the faces as a style element for files.

use super::font_widths::{SANS_REGULAR, SANS_SEMIBOLD, SERIF_REGULAR, SERIF_SEMIBOLD};
use std::fmt::Write as _;

/// A face of the embedded fonts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    /// Sans, regular.
    Sans,
    /// Sans, semibold.
    SansBold,
    /// Serif, regular.
    Serif,
    /// Serif, semibold.
    SerifBold,
}

/// Width for a character that the subset lacks: that of a wide letter, so that boxes stay on the safe side.
const MISSING_PER_MILLE: u16 = 700;

/// Width of a text in that face and size, px, without kerning (which narrows it by a per cent or less).
#[must_use]
pub fn text_width_px(text: &str, face: Face, size_px: f64) -> f64 {
    let table = match face {
        Face::Sans => SANS_REGULAR,
        Face::SansBold => SANS_SEMIBOLD,
        Face::Serif => SERIF_REGULAR,
        Face::SerifBold => SERIF_SEMIBOLD,
    };
    let per_mille: u32 = text
        .chars()
        .map(|c| {
            let width = u16::try_from(u32::from(c))
                .ok()
                .and_then(|code| table.binary_search_by_key(&code, |entry| entry.0).ok())
                .map_or(MISSING_PER_MILLE, |index| table[index].1);
            u32::from(width)
        })
        .sum();
    f64::from(per_mille) * size_px / 1000.0
}

/// The sans faces, which pictures are written in.
pub const SANS: &[Face] = &[Face::Sans, Face::SansBold];

/// Every face.
pub const ALL_FACES: &[Face] = &[Face::Sans, Face::SansBold, Face::Serif, Face::SerifBold];

/// The CSS that embeds `faces` in a file that stands alone.
#[must_use]
pub fn embedded_css(faces: &[Face]) -> String {
    let mut css = String::with_capacity(45_000);
    for face in faces {
        let (family, weight, data) = match face {
            Face::Sans => ("Sans", 400, include_bytes!("../fonts/sans-regular.woff2").as_slice()),
            Face::SansBold => ("Sans", 600, include_bytes!("../fonts/sans-semibold.woff2").as_slice()),
            Face::Serif => ("Serif", 400, include_bytes!("../fonts/serif-regular.woff2").as_slice()),
            Face::SerifBold => ("Serif", 600, include_bytes!("../fonts/serif-semibold.woff2").as_slice()),
        };
        let _ = write!(
            css,
            "@font-face{{font-family:\"Wakewright {family}\";font-weight:{weight};src:url(data:font/woff2;base64,{}) format(\"woff2\")}}",
            base64(data)
        );
    }
    css
}

fn base64(data: &[u8]) -> String {
    const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(data.len().div_ceil(3) * 4);
    for chunk in data.chunks(3) {
        let bits =
            chunk.iter().fold(0_u32, |bits, byte| bits << 8 | u32::from(*byte)) << (8 * (3 - chunk.len()));
        for place in 0..4 {
            if place <= chunk.len() {
                let index = (bits >> (18 - 6 * place)) & 63;
                text.push(char::from(ALPHABET[index as usize]));
            } else {
                text.push('=');
            }
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    /// [josefsson2006] section 10.
    #[test]
    fn base64_gives_the_vectors_of_rfc4648() {
        for (plain, coded) in
            [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foobar", "Zm9vYmFy")]
        {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }

    #[test]
    fn figures_are_tabular() {
        for face in [Face::Sans, Face::SansBold, Face::Serif, Face::SerifBold] {
            let one = text_width_px("1", face, 1000.0);
            assert!("0123456789".chars().all(|c| text_width_px(&c.to_string(), face, 1000.0) == one));
        }
    }
}
