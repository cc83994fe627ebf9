//! Tables of a PDF: how wide columns are, how rows stand, the head once more on each page. Not for: where pages end.

use std::rc::Rc;

use krilla::tagging::{TableHeaderScope, Tag, TagKind};
use roxmltree::Node;
use wakewright_picture::Ink;

use super::lines::{Letter, Line, Look, broken, widths};
use super::strips::{HEIGHT, Print, Set, Strip, What, child, elements, has_class, letters_of, prints};

/// Between columns, pt.
const GUTTER: f32 = 8.0;
/// A number up to so many times its letters' size is not broken, pt.
const WHOLE: f32 = 12.0;

/// A cell of a row.
pub struct Cell {
    pub letters: Vec<Letter>,
    pub tag: usize,
    pub is_right: bool,
}

impl<'d> Set<'d> {
    pub fn table(&mut self, node: Node<'d, 'd>, parent: usize) {
        let table = self.tag(Tag::Table, parent);
        if let Some(caption) = child(node, "caption") {
            let tag = self.tag(Tag::Caption, table);
            let look = Look { bold: true, ..Look::PLAIN };
            self.paragraph(&letters_of(caption, look), tag, (9.0, 1.4), 7.0, true);
        }
        let mut rows = Vec::new();
        for (part, is_head) in [("thead", true), ("tbody", false)] {
            let Some(part) = child(node, part).filter(|part| elements(*part).next().is_some()) else {
                continue;
            };
            let within = self.tag(if is_head { TagKind::from(Tag::THead) } else { Tag::TBody.into() }, table);
            for line in elements(part) {
                let tag = self.tag(Tag::TR, within);
                rows.push((
                    is_head,
                    elements(line).map(|cell| self.cell(cell, line, is_head, tag)).collect::<Vec<_>>(),
                ));
            }
        }
        let columns = rows.iter().map(|(_, cells)| cells.len()).max().unwrap_or(0);
        let (widths, size) = columns_of(&rows, columns, self.width);
        let mut head: Option<Rc<Strip<'d>>> = None;
        let (heads, count) = (rows.iter().filter(|(is_head, _)| *is_head).count(), rows.len());
        for (place, (is_head, cells)) in rows.into_iter().enumerate() {
            // Neither its first row nor its last stands alone.
            let keeps = is_head || place + 2 == count || (place == heads && place + 1 < count);
            let mut strips = row(&cells, (&widths, self.left), (size, 2.0), is_head);
            for strip in &mut strips {
                strip.keeps = keeps;
                strip.head.clone_from(&head);
            }
            self.strips.extend(strips);
            let (thickness, ink) = if is_head { (0.75, Ink::Ink) } else { (0.5, Ink::Hatch) };
            self.rule(0.0, thickness, ink, is_head);
            if is_head {
                head = self.strips.last().cloned().map(Rc::new);
            }
        }
        if let Some(last) = self.strips.last_mut() {
            last.height += 5.0;
        }
    }

    fn cell(&mut self, cell: Node<'d, 'd>, line: Node<'d, 'd>, is_head: bool, row: usize) -> Cell {
        let is_mark = has_class(cell, "mark");
        let look = match () {
            () if is_head || is_mark => Look { ink: Ink::Muted, ..Look::PLAIN },
            () if has_class(line, "binds") => Look { ink: Ink::Binds, bold: true, serif: false },
            () if has_class(line, "looked-at") => Look { bold: true, ..Look::PLAIN },
            () if has_class(line, "out") => Look { ink: Ink::Muted, ..Look::PLAIN },
            () => Look::PLAIN,
        };
        let tag = match (cell.tag_name().name(), cell.attribute("scope")) {
            ("th", Some("row")) => self.tag(Tag::TH(TableHeaderScope::Row), row),
            ("th", _) => self.tag(Tag::TH(TableHeaderScope::Column), row),
            _ => self.tag(Tag::TD, row),
        };
        Cell { letters: letters_of(cell, look), tag, is_right: has_class(cell, "number") }
    }
}

/// One row; a strip for each of its lines where it is too tall to be kept together.
pub fn row<'d>(
    cells: &[Cell],
    (widths, left): (&[f32], f32),
    (size, pad): (f32, f32),
    is_low: bool,
) -> Vec<Strip<'d>> {
    let lines: Vec<Vec<Line>> = cells
        .iter()
        .zip(widths)
        .map(|(cell, width)| broken(&cell.letters, (width - GUTTER).max(size) / size))
        .collect();
    let most = lines.iter().map(Vec::len).max().unwrap_or(0).max(1);
    let leading = size * 1.3;
    let is_torn = most as f32 * leading > HEIGHT / 3.0;
    let count = if is_torn { most } else { 1 };
    let mut strips = vec![Strip { height: most as f32 * leading / count as f32, ..Strip::default() }; count];
    let mut x = left;
    for ((cell, lines), width) in cells.iter().zip(lines).zip(widths) {
        if lines.is_empty() {
            strips[0].prints.push(Print { x, y: 0.0, tag: Some(cell.tag), what: What::Empty });
        }
        let down = if is_low { most - lines.len() } else { 0 };
        for (place, line) in lines.into_iter().enumerate() {
            let (strip, within) = if is_torn { (place, 0) } else { (0, place + down) };
            let shift = if cell.is_right { width - GUTTER - line.width * size } else { 0.0 };
            let baseline = pad + within as f32 * leading + size * 0.98;
            strips[strip].prints.extend(prints(line, (x, baseline), size, cell.tag, shift));
        }
        x += width;
    }
    if let [only] = strips.as_mut_slice() {
        only.height += 2.0 * pad;
    }
    strips
}

/// Widths of the columns and size of the letters: smaller before a word is broken.
fn columns_of(rows: &[(bool, Vec<Cell>)], count: usize, width: f32) -> (Vec<f32>, f32) {
    let mut wants = vec![(0.0_f32, 0.0_f32); count];
    for (is_head, cells) in rows {
        for (want, cell) in wants.iter_mut().zip(cells) {
            let (least, most) = widths(&cell.letters);
            let least = if cell.is_right && !is_head && most < WHOLE { most } else { least };
            *want = (want.0.max(least), want.1.max(most));
        }
    }
    let (least, most) = wants.iter().fold((0.0, 0.0), |sum, want| (sum.0 + want.0, sum.1 + want.1));
    let room = width - GUTTER * count as f32 - 0.5;
    let size = [8.0, 7.25, 6.5, 6.0].into_iter().find(|size| least * size <= room).unwrap_or(6.0);
    let (least, most, wish) = (least * size, most * size, |want: &(f32, f32)| (want.0 * size, want.1 * size));
    let one = |want: &(f32, f32)| {
        let want = wish(want);
        GUTTER
            + if most <= room {
                want.1 * room / most.max(1.0)
            } else if least <= room {
                want.0 + (want.1 - want.0) * (room - least) / (most - least).max(1e-3)
            } else {
                want.0 * room / least
            }
    };
    (wants.iter().map(one).collect(), size)
}
