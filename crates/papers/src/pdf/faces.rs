//! The embedded faces and the colours of the printed page. Not for: where anything stands.

use krilla::color::rgb;
use krilla::geom::Point;
use krilla::paint::Fill;
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use skrifa::{FontRef, MetadataProvider};
use wakewright_picture::{ALL_FACES, Face, Ink, Theme, text_width_px};

use super::lines::shown;

/// The faces, ready to be printed with.
pub struct Faces(Vec<(Face, Font, FontRef<'static>)>);

impl Faces {
    pub fn new() -> Option<Self> {
        let face = |face: &Face| {
            Some((*face, Font::new(face.truetype().into(), 0)?, FontRef::new(face.truetype()).ok()?))
        };
        ALL_FACES.iter().map(face).collect::<Option<Vec<_>>>().map(Self)
    }

    /// `text` with its baseline at the point; as outlines where it is not to be read twice.
    pub fn write(
        &self,
        surface: &mut Surface<'_>,
        at: (f32, f32),
        text: &str,
        (face, size): (Face, f32),
        outlined: bool,
    ) {
        let Some((_, font, table)) = self.0.iter().find(|(known, ..)| *known == face) else { return };
        let map = table.charmap();
        let mut letter = [0; 4];
        let glyphs = text.char_indices().map(|(place, c)| {
            let glyph = map.map(c).map_or(0, |glyph| glyph.to_u32());
            let width = text_width_px(c.encode_utf8(&mut letter), face, 1.0) as f32;
            KrillaGlyph::new(GlyphId::new(glyph), width, 0.0, 0.0, 0.0, place..place + c.len_utf8(), None)
        });
        let glyphs: Vec<KrillaGlyph> = glyphs.collect();
        surface.draw_glyphs(Point::from_xy(at.0, at.1), &glyphs, font.clone(), text, size, outlined);
    }
}

/// A colour of the printed page: `#1b232b`.
pub fn colour(ink: Ink) -> rgb::Color {
    let code = u32::from_str_radix(Theme::Light.paint(ink).trim_start_matches('#'), 16).unwrap_or(0);
    let part = |shift: u32| (code >> shift & 0xff) as u8;
    rgb::Color::new(part(16), part(8), part(0))
}

pub fn filled(ink: Ink) -> Fill {
    Fill { paint: colour(ink).into(), ..Fill::default() }
}

/// Text of a picture, letters that the face lacks by their numbers.
pub fn spelled(text: &str, face: Face) -> String {
    text.chars().map(|c| shown(c, face)).collect()
}
