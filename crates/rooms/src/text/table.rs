//! A tidy table of text. Not for: what stands in it.

use super::paper::{Ink, Paper, visible_length};

/// Where the text of a column stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// Mark of a row that binds, in the blanks before the table.
const MARK: &str = "> ";

/// A table: heads and rows of cells.
#[derive(Debug, Clone)]
pub struct Table {
    columns: Vec<(String, Align)>,
    rows: Vec<(Ink, Vec<String>)>,
    /// What is chosen among stands in the columns: a narrow page keeps them side by side.
    pub is_across: bool,
}

impl Table {
    /// An empty table with these heads. A head may have two lines.
    #[must_use]
    pub fn new(columns: &[(&str, Align)]) -> Self {
        Self {
            columns: columns.iter().map(|(head, align)| ((*head).to_owned(), *align)).collect(),
            rows: Vec::new(),
            is_across: false,
        }
    }

    /// The heads with where their columns stand.
    #[must_use]
    pub fn columns(&self) -> &[(String, Align)] {
        &self.columns
    }

    /// The rows.
    #[must_use]
    pub fn rows(&self) -> &[(Ink, Vec<String>)] {
        &self.rows
    }

    /// Adds a row; missing cells stay empty.
    pub fn row(&mut self, ink: Ink, cells: Vec<String>) {
        self.rows.push((ink, cells));
    }

    /// The table after `indent` blanks, two blanks between columns.
    #[must_use]
    pub fn render(&self, paper: &Paper, indent: usize) -> String {
        let widths = self.widths(paper.width.saturating_sub(indent));
        let mut out = String::new();
        let head_lines = self.columns.iter().map(|(head, _)| head.lines().count()).max().unwrap_or(0);
        for line in 0..head_lines {
            let cells: Vec<&str> = self
                .columns
                .iter()
                .map(|(head, _)| {
                    let lines: Vec<&str> = head.lines().collect();
                    // Short heads stand on the lowest line.
                    (line + lines.len())
                        .checked_sub(head_lines)
                        .and_then(|i| lines.get(i))
                        .copied()
                        .unwrap_or("")
                })
                .collect();
            self.push_line(&mut out, paper, (indent, MARK), &widths, Ink::Faint, &cells);
        }
        let total = widths.iter().sum::<usize>() + 2 * widths.len().saturating_sub(1);
        out.push_str(&" ".repeat(indent));
        out.push_str(&paper.ink(Ink::Faint, &"-".repeat(total)));
        out.push('\n');
        for (ink, row) in &self.rows {
            let cell = |i: usize| broken(row.get(i).map_or("", String::as_str), widths[i]);
            let cells: Vec<Vec<String>> = (0..self.columns.len()).map(cell).collect();
            for line in 0..cells.iter().map(Vec::len).max().unwrap_or(0) {
                let cells: Vec<&str> =
                    cells.iter().map(|cell| cell.get(line).map_or("", String::as_str)).collect();
                let mark = if line == 0 { MARK } else { "  " };
                self.push_line(&mut out, paper, (indent, mark), &widths, *ink, &cells);
            }
        }
        out
    }

    /// Width of each column: as its widest cell, the widest columns of words narrower where all together pass `room`.
    fn widths(&self, room: usize) -> Vec<usize> {
        /// Narrower than this no column of words becomes.
        const LEAST: usize = 10;
        let head = |i: usize| self.columns[i].0.lines().map(visible_length).max().unwrap_or(0);
        let widest = |i: usize| {
            let cells = self.rows.iter().filter_map(|(_, row)| row.get(i)).map(|cell| visible_length(cell));
            cells.max().unwrap_or(0).max(head(i))
        };
        let mut widths: Vec<usize> = (0..self.columns.len()).map(widest).collect();
        while widths.iter().sum::<usize>() + 2 * widths.len().saturating_sub(1) > room {
            let words = (0..widths.len()).filter(|i| self.columns[*i].1 == Align::Left);
            let Some(i) = words.filter(|i| widths[*i] > LEAST.max(head(*i))).max_by_key(|i| widths[*i])
            else {
                break;
            };
            widths[i] -= 1;
        }
        widths
    }

    fn push_line(
        &self,
        out: &mut String,
        paper: &Paper,
        (indent, mark): (usize, &str),
        widths: &[usize],
        ink: Ink,
        cells: &[&str],
    ) {
        let mut line = String::new();
        for (i, cell) in cells.iter().enumerate() {
            if i > 0 {
                line.push_str("  ");
            }
            let fill = " ".repeat(widths[i].saturating_sub(visible_length(cell)));
            match self.columns[i].1 {
                Align::Left => {
                    line.push_str(cell);
                    line.push_str(&fill);
                }
                Align::Right => {
                    line.push_str(&fill);
                    line.push_str(cell);
                }
            }
        }
        // What binds is marked where there is no colour to tell it.
        let is_marked = ink == Ink::Binds && indent >= MARK.len();
        out.push_str(&" ".repeat(if is_marked { indent - MARK.len() } else { indent }));
        if is_marked {
            line.insert_str(0, mark);
        }
        out.push_str(&paper.ink(ink, line.trim_end()));
        out.push('\n');
    }
}

/// `cell` in lines of no more than `width`, broken at blanks, a longer word wherever it must.
fn broken(cell: &str, width: usize) -> Vec<String> {
    if visible_length(cell) <= width {
        return vec![cell.to_owned()];
    }
    let mut lines = vec![String::new()];
    for word in cell.split_whitespace() {
        let letters: Vec<char> = word.chars().collect();
        for piece in letters.chunks(width.max(1)) {
            let last = lines.len() - 1;
            let taken = visible_length(&lines[last]);
            if taken > 0 && taken + 1 + piece.len() > width {
                lines.push(piece.iter().collect());
            } else {
                lines[last].push_str(if taken > 0 { " " } else { "" });
                lines[last].extend(piece);
            }
        }
    }
    lines
}

/// A table with its title and a remark under it: what text and page both show.
#[derive(Debug, Clone)]
pub struct Titled {
    /// What it shows.
    pub title: String,
    /// The table.
    pub table: Table,
    /// How to read it; empty when it needs no word.
    pub note: String,
}

impl Titled {
    /// `table` under `title`.
    #[must_use]
    pub fn new(title: impl Into<String>, table: Table, note: impl Into<String>) -> Self {
        Self { title: title.into(), table, note: note.into() }
    }

    /// As text, after an empty line.
    #[must_use]
    pub fn render(&self, paper: &Paper) -> String {
        let note = if self.note.is_empty() { String::new() } else { paper.wrap(&self.note, 2) };
        format!("\n{}\n{}{note}", self.title, self.table.render(paper, 2))
    }
}

#[cfg(test)]
mod tests {
    use wakewright_units::UnitSystem;

    use super::*;

    /// Long names are broken at blanks, longer words wherever they must; the figures stay whole.
    #[test]
    fn a_wide_table_stays_on_the_paper() {
        let paper = Paper { width: 40, has_ink: false, units: UnitSystem::Trade };
        let mut table = Table::new(&[("part", Align::Left), ("rule", Align::Left), ("found", Align::Right)]);
        let name = "the cable that goes round the engine";
        table.row(Ink::Binds, vec![name.to_owned(), "x".repeat(50), "1,234,567 A".to_owned()]);
        let said = table.render(&paper, 2);
        assert!(said.lines().all(|line| line.chars().count() <= 40), "{said}");
        assert!(said.contains("1,234,567 A") && said.contains("> the cable"), "{said}");
        let words: Vec<&str> = name.split(' ').collect();
        assert!(words.iter().all(|word| said.contains(word)), "{said}");
    }
}
