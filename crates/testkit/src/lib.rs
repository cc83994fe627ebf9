//! What tests share: reference tables with their provenance head, and assertions with tolerance.
//! Never a dependency of the built program.

use std::path::{Path, PathBuf};

/// Folder of the reference tables, `reference/` at the workspace root.
#[must_use]
pub fn reference_dir() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../reference")
}

/// A reference table: provenance head (`#` lines), column names, rows of text cells.
#[derive(Debug, Clone)]
pub struct Table {
    /// Lines of the head without the `#`.
    pub head: Vec<String>,
    /// Column names.
    pub columns: Vec<String>,
    /// Cells by row.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// Reads `reference/<path>`.
    ///
    /// # Panics
    /// When the file is missing, has no head, or a row has another number of cells than the
    /// column line: a test must fail then.
    #[must_use]
    pub fn read(path: &str) -> Self {
        let full = reference_dir().join(path);
        let text = std::fs::read_to_string(&full).unwrap_or_else(|e| panic!("{}: {e}", full.display()));
        Self::parse(&text, path)
    }

    fn parse(text: &str, path: &str) -> Self {
        let head: Vec<String> =
            text.lines().filter(|l| l.starts_with('#')).map(|l| l[1..].trim().to_owned()).collect();
        assert!(!head.is_empty(), "{path}: a reference table needs a provenance head of # lines");
        let mut lines = text.lines().filter(|l| !l.starts_with('#') && !l.trim().is_empty());
        let columns = split_csv(lines.next().unwrap_or_else(|| panic!("{path}: no column line")));
        let rows: Vec<Vec<String>> = lines.map(split_csv).collect();
        for (i, row) in rows.iter().enumerate() {
            assert_eq!(row.len(), columns.len(), "{path}: row {} has {} cells", i + 1, row.len());
        }
        Self { head, columns, rows }
    }

    /// Index of a column.
    ///
    /// # Panics
    /// When there is no such column.
    #[must_use]
    pub fn column(&self, name: &str) -> usize {
        self.columns
            .iter()
            .position(|c| c == name)
            .unwrap_or_else(|| panic!("no column {name:?} in {:?}", self.columns))
    }

    /// Text of a cell.
    #[must_use]
    pub fn text(&self, row: usize, column: &str) -> &str {
        &self.rows[row][self.column(column)]
    }

    /// Number in a cell; `None` when it is empty or no number.
    #[must_use]
    pub fn number(&self, row: usize, column: &str) -> Option<f64> {
        self.text(row, column).trim().parse().ok()
    }

    /// A whole column as numbers.
    ///
    /// # Panics
    /// When a cell is no number.
    #[must_use]
    pub fn numbers(&self, column: &str) -> Vec<f64> {
        (0..self.rows.len())
            .map(|r| self.number(r, column).unwrap_or_else(|| panic!("row {}: {column} is no number", r + 1)))
            .collect()
    }
}

fn split_csv(line: &str) -> Vec<String> {
    let mut cells = Vec::new();
    let mut cell = String::new();
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(std::mem::take(&mut cell)),
            _ => cell.push(c),
        }
    }
    cells.push(cell);
    cells
}

/// Asserts that `found` is within `tolerance` (absolute) of `expected`.
///
/// # Panics
/// When it is not; the message names `what`.
pub fn assert_near(what: &str, found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{what}: found {found}, expected {expected} within {tolerance} (off by {})",
        found - expected
    );
}

/// Asserts that `found` is within `fraction` (relative to `expected`).
///
/// # Panics
/// When it is not; the message names `what`.
pub fn assert_within(what: &str, found: f64, expected: f64, fraction: f64) {
    assert_near(what, found, expected, fraction * expected.abs());
}
