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

impl Face {
    /// The face as a TrueType file, for papers that are no pages.
    #[must_use]
    pub const fn truetype(self) -> &'static [u8] {
        match self {
            Self::Sans => include_bytes!("../fonts/sans-regular.ttf"),
            Self::SansBold => include_bytes!("../fonts/sans-semibold.ttf"),
            Self::Serif => include_bytes!("../fonts/serif-regular.ttf"),
            Self::SerifBold => include_bytes!("../fonts/serif-semibold.ttf"),
        }
    }

    fn width_per_mille(self, c: char) -> Option<u16> {
        let table = match self {
            Self::Sans => SANS_REGULAR,
            Self::SansBold => SANS_SEMIBOLD,
            Self::Serif => SERIF_REGULAR,
            Self::SerifBold => SERIF_SEMIBOLD,
        };
        let code = u16::try_from(u32::from(c)).ok()?;
        table.binary_search_by_key(&code, |entry| entry.0).ok().map(|index| table[index].1)
    }
}

/// Whether the face has that letter.
#[must_use]
pub fn has_letter(c: char, face: Face) -> bool {
    face.width_per_mille(c).is_some()
}

/// Width of a text in that face and size, px, without kerning (which narrows it by a per cent or less).
#[must_use]
pub fn text_width_px(text: &str, face: Face, size_px: f64) -> f64 {
    let width = |c| u32::from(face.width_per_mille(c).unwrap_or(MISSING_PER_MILLE));
    let per_mille: u32 = text.chars().map(width).sum();
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
