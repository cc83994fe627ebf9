//! A paper's markup set as strips of lines from top to bottom, each with the tag that it belongs to.
//! Not for: pages.

use std::num::NonZeroU16;

use krilla::tagging::{ListNumbering, Tag};
use roxmltree::Node;
use wakewright_picture::Ink;

use super::lines::{Letter, Look, is_blank};
use super::strips::{
    Frame, Print, Set, Strip, Tagged, WIDTH, What, child, elements, has_class, letters, letters_of, text_of,
};
use super::table::{Cell, row};

/// Tallest picture, pt.
const PICTURE: f32 = 306.0;
const BODY: f32 = 9.5;

/// Sets a paper.
pub fn set<'d>(root: Node<'d, 'd>) -> Set<'d> {
    let mut set = Set { strips: Vec::new(), tags: Vec::new(), left: 0.0, width: WIDTH, boxed: None };
    set.tags.push(Tagged { kind: Tag::Part.into(), within: Vec::new(), printed: Vec::new() });
    set.contents(root, 0);
    set
}

impl<'d> Set<'d> {
    /// Everything within `node`; words that stand beside blocks are a paragraph.
    fn contents(&mut self, node: Node<'d, 'd>, parent: usize) {
        let mut loose = Vec::new();
        for child in node.children() {
            let is_inline =
                child.is_text() || matches!(child.tag_name().name(), "strong" | "b" | "bdi" | "span");
            if is_inline {
                let look = Look { ink: self.boxed.unwrap_or(Ink::Ink), ..Look::PLAIN };
                letters(child, if child.is_text() { Look::PLAIN } else { look }, false, &mut loose);
                continue;
            }
            self.loose(&mut loose, parent);
            self.block(child, parent);
        }
        self.loose(&mut loose, parent);
    }

    fn loose(&mut self, loose: &mut Vec<Letter>, parent: usize) {
        let letters = std::mem::take(loose);
        if !is_blank(&letters) {
            let tag = self.tag(Tag::P, parent);
            self.paragraph(&letters, tag, (BODY, 1.4), 3.0, self.boxed.is_some());
        }
    }

    fn block(&mut self, node: Node<'d, 'd>, parent: usize) {
        let ink = if has_class(node, "caution") { Ink::Binds } else { Ink::Ink };
        if self.boxed.is_none() && (has_class(node, "caution") || has_class(node, "invented")) {
            return self.framed(node, ink, parent);
        }
        match node.tag_name().name() {
            name @ ("h1" | "h2" | "h3") => self.heading(node, name, parent),
            "p" | "pre" => {
                let muted = has_class(node, "aside") || has_class(node, "foot");
                let size = match node.tag_name().name() {
                    "pre" => 8.0,
                    _ if muted => 8.0,
                    _ if has_class(node, "lead") => 10.5,
                    _ => BODY,
                };
                let keeps_blanks = node.tag_name().name() == "pre" || has_class(node, "note");
                let look = Look { ink: if muted { Ink::Muted } else { Ink::Ink }, ..Look::PLAIN };
                let mut all = Vec::new();
                letters(node, look, keeps_blanks, &mut all);
                let tag = self.tag(Tag::P, parent);
                self.paragraph(&all, tag, (size, 1.4), 4.0, false);
            }
            "ul" | "dl" => self.list(node, parent),
            "table" => self.table(node, parent),
            "figure" => self.figure(node, parent),
            "section" => {
                let tag = self.tag(Tag::Section, parent);
                self.contents(node, tag);
            }
            "div" if has_class(node, "top") => self.top(node, parent),
            _ => self.contents(node, parent),
        }
    }

    fn heading(&mut self, node: Node<'d, 'd>, name: &str, parent: usize) {
        let (level, size, gap) = match (name, self.boxed) {
            ("h1", _) => (1, 19.0, 10.0),
            ("h2", Some(_)) => (2, 10.5, 0.0),
            ("h2", None) => (2, 13.0, 16.0),
            _ => (3, 10.5, 9.0),
        };
        let title = text_of(node);
        let look = Look { serif: true, bold: level > 1, ink: self.boxed.unwrap_or(Ink::Ink) };
        let number = NonZeroU16::new(level).unwrap_or(NonZeroU16::MIN);
        let tag = self.tag(Tag::Hn(number, Some(title.clone())), parent);
        let start = self.strips.len();
        self.paragraph(&letters_of(node, look), tag, (size, 1.25), gap, true);
        for strip in &mut self.strips[start..] {
            strip.keeps = true;
        }
        if let Some(first) = self.strips.get_mut(start) {
            first.bookmark = Some((level, title));
        }
        if level == 2 && self.boxed.is_none() {
            self.rule(1.5, 0.75, Ink::Ink, true);
        }
    }

    fn framed(&mut self, node: Node<'d, 'd>, ink: Ink, parent: usize) {
        const PAD: f32 = 6.0;
        let start = self.strips.len();
        self.boxed = Some(ink);
        (self.left, self.width) = (self.left + 12.0, self.width - 18.0);
        let tag = self.tag(Tag::Div, parent);
        if node.tag_name().name() == "p" {
            let tag = self.tag(Tag::P, tag);
            self.paragraph(&letters_of(node, Look::PLAIN), tag, (BODY, 1.4), 0.0, false);
        } else {
            self.contents(node, tag);
        }
        (self.left, self.width) = (self.left - 12.0, self.width + 18.0);
        self.boxed = None;
        let last = self.strips.len().saturating_sub(1);
        for (place, strip) in self.strips.iter_mut().enumerate().skip(start) {
            let (is_first, is_last) = (place == start, place == last);
            strip.frame = Some(Frame { ink, is_first, is_last });
            // A short box is not torn; a long one is, between paragraphs.
            strip.keeps = (strip.keeps || !has_class(node, "long")) && !is_last;
            if is_first {
                strip.gap = 8.0;
                strip.height += PAD;
                strip.prints.iter_mut().for_each(|print| print.y += PAD);
            }
            strip.height += if is_last { PAD } else { 0.0 };
        }
    }

    fn top(&mut self, node: Node<'d, 'd>, parent: usize) {
        let cells = elements(node).enumerate().map(|(place, cell)| {
            let look = Look { ink: Ink::Muted, ..Look::PLAIN };
            let letters = letters_of(cell, if has_class(cell, "name") { Look::PLAIN } else { look });
            Cell { letters, tag: self.tag(Tag::P, parent), is_right: place > 0 }
        });
        let cells: Vec<Cell> = cells.collect();
        let widths = vec![self.width / cells.len().max(1) as f32; cells.len()];
        let strips = row(&cells, (&widths, self.left), (10.5, 0.0), false);
        self.strips.extend(strips);
        self.rule(2.0, 1.0, Ink::Ink, true);
    }

    fn list(&mut self, node: Node<'d, 'd>, parent: usize) {
        const TERM: f32 = 72.0;
        let list = self.tag(Tag::L(ListNumbering::None), parent);
        let mut item = list;
        let mut term = None;
        for child in elements(node) {
            let name = child.tag_name().name();
            if name != "dd" {
                item = self.tag(Tag::LI, list);
            }
            if name == "dt" {
                let letters = letters_of(child, Look { bold: true, ..Look::PLAIN });
                term = Some(Cell { letters, tag: self.tag(Tag::Lbl, item), is_right: false });
                continue;
            }
            let body = self.tag(Tag::LBody, item);
            let cell = Cell { letters: letters_of(child, Look::PLAIN), tag: body, is_right: false };
            match term.take() {
                Some(term) => {
                    let widths = [TERM, self.width - TERM];
                    let strips = row(&[term, cell], (&widths, self.left), (BODY, 2.0), false);
                    self.strips.extend(strips);
                }
                None if has_class(node, "short") => {
                    self.paragraph(&cell.letters, body, (BODY, 1.4), 2.5, false);
                    self.rule(2.0, 0.5, Ink::Hatch, false);
                }
                None => self.paragraph(&cell.letters, body, (8.5, 1.35), 2.5, false),
            }
        }
    }

    fn figure(&mut self, node: Node<'d, 'd>, parent: usize) {
        let Some(svg) = node.descendants().find(|node| node.tag_name().name() == "svg") else { return };
        let number = |name| svg.attribute(name).and_then(|text| text.parse::<f32>().ok()).unwrap_or(1.0);
        let (width, height) = (number("width").max(1.0), number("height").max(1.0));
        let said = |name| child(svg, name).map(text_of).unwrap_or_default();
        let alt = format!("{}. {}", said("title"), said("desc"));
        let tag = self.tag(Tag::Figure(Some(alt)), parent);
        if let Some(caption) = child(node, "figcaption") {
            let within = self.tag(Tag::Caption, tag);
            let look = Look { bold: true, ..Look::PLAIN };
            self.paragraph(&letters_of(caption, look), within, (9.0, 1.4), 8.0, true);
        }
        let scale = (self.width / width).min(PICTURE / height).min(0.75);
        let print = Print { x: self.left, y: 0.0, tag: Some(tag), what: What::Picture(svg, scale) };
        self.strips.push(Strip {
            gap: 3.0,
            height: height * scale + 6.0,
            prints: vec![print],
            ..Strip::default()
        });
    }
}
