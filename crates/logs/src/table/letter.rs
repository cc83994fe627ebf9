//! The letter of a direction in a cell, in the words of several languages.

use super::words::words;
use serde::{Deserialize, Serialize};

/// What the letter O stands for: east (Ost, oost, øst) or west (ouest, oeste, ovest).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LetterO {
    /// German, Dutch, Danish, Norwegian, Swedish.
    #[default]
    East,
    /// French, Spanish, Italian, Portuguese.
    West,
}

impl LetterO {
    pub(super) fn is_east(&self) -> bool {
        *self == Self::East
    }

    /// What it stands for among such cells: the other side's letter tells, else the language of the names.
    pub(super) fn of<'a>(cells: impl Iterator<Item = &'a str>, heads: &[String]) -> Self {
        const ROMANCE: [&str; 18] = [
            "heure",
            "vitesse",
            "tension",
            "courant",
            "latitude",
            "longitude",
            "hora",
            "fecha",
            "latitud",
            "longitud",
            "velocidad",
            "posicion",
            "posizione",
            "velocita",
            "latitudine",
            "longitudine",
            "posicao",
            "velocidade",
        ];
        const GERMANIC: [&str; 12] = [
            "zeit",
            "breite",
            "lange",
            "breitengrad",
            "langengrad",
            "geschwindigkeit",
            "tijd",
            "breedte",
            "lengte",
            "bredde",
            "tid",
            "fart",
        ];
        let (mut east, mut west) = (false, false);
        for cell in cells {
            east |= cell.contains(['E', 'e']);
            west |= cell.contains(['W', 'w']);
        }
        if east != west {
            return if east { Self::West } else { Self::East };
        }
        let has = |listed: &[&str]| {
            heads.iter().flat_map(|head| words(head)).any(|word| listed.contains(&word.as_str()))
        };
        if has(&ROMANCE) && !has(&GERMANIC) { Self::West } else { Self::East }
    }
}

/// Side of a letter of direction: which half it belongs to, and its sign.
pub(super) fn letter(c: char, o: LetterO) -> Option<(bool, f64)> {
    match c.to_ascii_uppercase() {
        'N' => Some((true, 1.0)),
        'S' => Some((true, -1.0)),
        'E' | 'Ø' | 'Ö' | 'ø' | 'ö' => Some((false, 1.0)),
        'W' | 'V' => Some((false, -1.0)),
        'O' => Some((false, if o.is_east() { 1.0 } else { -1.0 })),
        _ => None,
    }
}

/// Sign of a column of letters beside a position; `None` for what is no such letter.
pub(super) fn hemisphere(cell: &str, o: LetterO) -> Option<f64> {
    let mut letters = cell.trim().chars();
    let sign = letter(letters.next()?, o)?.1;
    letters.next().is_none().then_some(sign)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_other_letter_tells_what_an_o_is() {
        let heads = |text: &str| vec![text.to_owned()];
        assert_eq!(LetterO::of(["4.5 O", "0.1 E"].into_iter(), &heads("x")), LetterO::West);
        assert_eq!(LetterO::of(["4.5 O"].into_iter(), &heads("Posición")), LetterO::West);
        assert_eq!(LetterO::of(["4.5 O"].into_iter(), &heads("Länge")), LetterO::East);
        assert_eq!(hemisphere("O", LetterO::West), Some(-1.0));
        assert_eq!(hemisphere("NE", LetterO::East), None);
    }
}
