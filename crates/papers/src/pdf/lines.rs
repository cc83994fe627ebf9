//! Letters and lines of a PDF: which letters the fonts have, how wide they are, where a line breaks.
//! Not for: where lines stand.

use wakewright_picture::{Face, Ink, has_letter, text_width_px};

/// How letters look, apart from their size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Look {
    pub serif: bool,
    pub bold: bool,
    pub ink: Ink,
}

impl Look {
    pub const PLAIN: Self = Self { serif: false, bold: false, ink: Ink::Ink };

    pub const fn face(self) -> Face {
        match (self.serif, self.bold) {
            (false, false) => Face::Sans,
            (false, true) => Face::SansBold,
            (true, false) => Face::Serif,
            (true, true) => Face::SerifBold,
        }
    }
}

/// A letter with its width for a size of 1.
#[derive(Debug, Clone, Copy)]
pub struct Letter {
    c: char,
    look: Look,
    width: f32,
    is_lacking: bool,
}

/// Letters of one look that stand together. Where the font lacks any of a word, `text` has their numbers, `said` the word.
#[derive(Debug, Clone)]
pub struct Piece {
    pub x: f32,
    pub text: String,
    pub said: Option<String>,
    pub look: Look,
}

/// A line: its pieces for a size of 1, and its width without blanks at the end.
#[derive(Debug, Clone, Default)]
pub struct Line {
    pub pieces: Vec<Piece>,
    pub width: f32,
}

/// The letter as it is shown: by its number where the face lacks it.
pub fn shown(c: char, face: Face) -> String {
    if has_letter(c, face) { c.to_string() } else { format!("[U+{:04X}]", u32::from(c)) }
}

/// `text` in that look, behind `letters`. Blanks are one, as in the page, unless they are kept.
pub fn push_text(letters: &mut Vec<Letter>, text: &str, look: Look, keeps_blanks: bool) {
    let start = letters.len();
    for c in text.chars() {
        let is_end = c == '\n' && keeps_blanks;
        let c = if c.is_whitespace() && c != '\u{a0}' && !is_end { ' ' } else { c };
        if c == ' ' && !keeps_blanks && letters.last().is_none_or(|letter| letter.c == ' ') {
            continue;
        }
        let is_lacking = !is_end && !has_letter(c, look.face());
        let width = if is_end { 0.0 } else { text_width_px(&shown(c, look.face()), look.face(), 1.0) as f32 };
        letters.push(Letter { c, look, width, is_lacking });
    }
    // A word is read as one.
    for word in letters[start..].split_mut(|letter| matches!(letter.c, ' ' | '\n')) {
        let is_lacking = word.iter().any(|letter| letter.is_lacking);
        word.iter_mut().for_each(|letter| letter.is_lacking = is_lacking);
    }
}

/// Whether nothing but blanks is there.
pub fn is_blank(letters: &[Letter]) -> bool {
    letters.iter().all(|letter| letter.c == ' ')
}

/// Width of the widest word and of the whole, for a size of 1.
pub fn widths(letters: &[Letter]) -> (f32, f32) {
    let word = |word: &[Letter]| word.iter().map(|letter| letter.width).sum::<f32>();
    let widest = letters.split(|letter| letter.c == ' ').map(word).fold(0.0, f32::max);
    (widest, word(letters))
}

/// Lines of at most `width`: broken behind blanks, within a word only where it is wider than the line.
pub fn broken(letters: &[Letter], width: f32) -> Vec<Line> {
    let mut lines = Vec::new();
    let mut start = 0;
    while start < letters.len() {
        let (mut x, mut end, mut behind_blank) = (0.0, start, None);
        while let Some(letter) = letters.get(end).filter(|letter| letter.c != '\n') {
            if letter.c != ' ' && x + letter.width > width + 1e-3 {
                break;
            }
            x += letter.width;
            end += 1;
            if letter.c == ' ' {
                behind_blank = Some(end);
            }
        }
        let is_end = letters.get(end).is_none_or(|letter| letter.c == '\n');
        let end = if is_end { end } else { behind_blank.unwrap_or(end.max(start + 1)) };
        lines.push(line(&letters[start..end]));
        start = end + usize::from(letters.get(end).is_some_and(|letter| letter.c == '\n'));
    }
    lines
}

fn line(letters: &[Letter]) -> Line {
    let mut line = Line::default();
    let mut x = 0.0;
    for group in letters.chunk_by(|a, b| a.look == b.look && a.is_lacking == b.is_lacking) {
        let (look, is_lacking) = (group[0].look, group[0].is_lacking);
        let text = group.iter().map(|letter| shown(letter.c, look.face())).collect();
        let said = is_lacking.then(|| group.iter().map(|letter| letter.c).collect());
        line.pieces.push(Piece { x, text, said, look });
        for letter in group {
            x += letter.width;
            if letter.c != ' ' {
                line.width = x;
            }
        }
    }
    line
}
