//! Strips, of which a page is made, and the tags that they belong to: paragraphs, lines across, what is read of the markup.
//! Not for: which block becomes which.

use std::rc::Rc;

use krilla::tagging::{Identifier, TagKind};
use roxmltree::Node;
use wakewright_picture::Ink;

use super::lines::{Letter, Line, Look, Piece, broken, push_text};

/// Width of what is printed, pt: A4 less 16 mm on either side.
pub const WIDTH: f32 = 504.57;
/// Height of what is printed, pt: A4 less 17 mm above and 19 mm below.
pub const HEIGHT: f32 = 739.84;

/// Something printed, from the top left corner of its strip.
#[derive(Debug, Clone)]
pub struct Print<'d> {
    pub x: f32,
    pub y: f32,
    /// Place of its tag; none for what only adorns.
    pub tag: Option<usize>,
    pub what: What<'d>,
}

#[derive(Debug, Clone)]
pub enum What<'d> {
    /// On its baseline.
    Text(Piece, f32),
    /// A filled rectangle: width, height.
    Bar(f32, f32, Ink),
    /// By this scale.
    Picture(Node<'d, 'd>, f32),
    /// A cell without contents, which is a cell all the same.
    Empty,
}

/// Frame round a box that a strip is a part of.
#[derive(Debug, Clone, Copy)]
pub struct Frame {
    pub ink: Ink,
    pub is_first: bool,
    pub is_last: bool,
}

/// What is not broken: a line, a row, a picture.
#[derive(Debug, Clone, Default)]
pub struct Strip<'d> {
    /// Kept free above it, unless it stands first on a page.
    pub gap: f32,
    pub height: f32,
    pub prints: Vec<Print<'d>>,
    /// Stands on the page of the next.
    pub keeps: bool,
    /// Printed above it once more where it opens a page: the head of its table.
    pub head: Option<Rc<Strip<'d>>>,
    pub frame: Option<Frame>,
    /// Level and words of its bookmark.
    pub bookmark: Option<(u16, String)>,
}

/// A tag with those within it; what is printed for it is told when it is printed.
#[derive(Debug)]
pub struct Tagged {
    pub kind: TagKind,
    pub within: Vec<usize>,
    pub printed: Vec<Identifier>,
}

/// A paper from top to bottom; its first tag holds all others.
#[derive(Debug)]
pub struct Set<'d> {
    pub strips: Vec<Strip<'d>>,
    pub tags: Vec<Tagged>,
    pub left: f32,
    pub width: f32,
    /// Ink of the box that is being filled.
    pub boxed: Option<Ink>,
}

pub fn has_class(node: Node<'_, '_>, class: &str) -> bool {
    node.attribute("class").is_some_and(|all| all.split(' ').any(|one| one == class))
}

pub fn child<'d>(node: Node<'d, 'd>, name: &str) -> Option<Node<'d, 'd>> {
    node.children().find(|child| child.tag_name().name() == name)
}

pub fn elements<'d>(node: Node<'d, 'd>) -> impl Iterator<Item = Node<'d, 'd>> {
    node.children().filter(Node::is_element)
}

/// The letters of everything within `node`.
pub fn letters(node: Node<'_, '_>, look: Look, keeps_blanks: bool, into: &mut Vec<Letter>) {
    if let Some(text) = node.text().filter(|_| node.is_text()) {
        push_text(into, text, look, keeps_blanks);
    }
    let bold = Look { bold: true, ..look };
    let look = match node.tag_name().name() {
        "strong" if has_class(node, "binds") => Look { ink: Ink::Binds, ..bold },
        "strong" | "b" => bold,
        _ if has_class(node, "name") => Look { serif: true, ..bold },
        _ => look,
    };
    for child in node.children() {
        letters(child, look, keeps_blanks, into);
    }
}

pub fn letters_of(node: Node<'_, '_>, look: Look) -> Vec<Letter> {
    let mut all = Vec::new();
    letters(node, look, false, &mut all);
    all
}

pub fn text_of(node: Node<'_, '_>) -> String {
    node.descendants().filter(Node::is_text).filter_map(|node| node.text()).collect()
}

impl<'d> Set<'d> {
    pub fn tag(&mut self, kind: impl Into<TagKind>, parent: usize) -> usize {
        self.tags.push(Tagged { kind: kind.into(), within: Vec::new(), printed: Vec::new() });
        let place = self.tags.len() - 1;
        self.tags[parent].within.push(place);
        place
    }

    /// Lines of one paragraph: neither its first nor its last stands alone on a page.
    pub fn paragraph(
        &mut self,
        letters: &[Letter],
        tag: usize,
        (size, leading): (f32, f32),
        gap: f32,
        keeps: bool,
    ) {
        let lines = broken(letters, self.width / size);
        let count = lines.len();
        for (place, line) in lines.into_iter().enumerate() {
            let height = size * leading;
            let baseline = height / 2.0 + size * 0.34;
            self.strips.push(Strip {
                gap: if place == 0 { gap } else { 0.0 },
                height,
                prints: prints(line, (self.left, baseline), size, tag, 0.0),
                keeps: (place == 0 && count > 1) || place + 2 == count || (keeps && place + 1 == count),
                ..Strip::default()
            });
        }
    }

    /// A line across below what was set last.
    pub fn rule(&mut self, gap: f32, thickness: f32, ink: Ink, keeps: bool) {
        if let Some(last) = self.strips.last_mut() {
            let what = What::Bar(self.width, thickness, ink);
            last.prints.push(Print { x: self.left, y: last.height + gap, tag: None, what });
            last.height += gap + thickness + 1.0;
            last.keeps |= keeps;
        }
    }
}

pub fn prints<'d>(
    line: Line,
    (left, baseline): (f32, f32),
    size: f32,
    tag: usize,
    shift: f32,
) -> Vec<Print<'d>> {
    let print = |piece: Piece| Print {
        x: left + shift + piece.x * size,
        y: baseline,
        tag: Some(tag),
        what: What::Text(piece, size),
    };
    line.pieces.into_iter().map(print).collect()
}
