//! Line by line comparison of two documents, as data. Not for showing it.

use similar::{ChangeTag, TextDiff};

/// What happened to a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineChange {
    /// In both.
    Same,
    /// Only in the old text.
    Removed,
    /// Only in the new text.
    Added,
}

/// A line of the comparison. Line numbers count from 1.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DiffLine {
    /// What happened to it.
    pub change: LineChange,
    /// Its number in the old text.
    pub old_line: Option<usize>,
    /// Its number in the new text.
    pub new_line: Option<usize>,
    /// The line without its end.
    pub text: String,
}

/// Compares two texts; in a changed place the removed lines come before the added ones.
#[must_use]
pub fn diff_lines(old: &str, new: &str) -> Vec<DiffLine> {
    TextDiff::from_lines(old, new)
        .iter_all_changes()
        .map(|change| DiffLine {
            change: match change.tag() {
                ChangeTag::Equal => LineChange::Same,
                ChangeTag::Delete => LineChange::Removed,
                ChangeTag::Insert => LineChange::Added,
            },
            old_line: change.old_index().map(|i| i + 1),
            new_line: change.new_index().map(|i| i + 1),
            text: change.value().trim_end_matches(['\r', '\n']).to_owned(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_changed_line_is_removed_then_added() {
        let lines = diff_lines("name = \"a\"\npitch = \"12 in\"\n", "name = \"a\"\npitch = \"13 in\"\nx = 1");
        let seen: Vec<_> =
            lines.iter().map(|l| (l.change, l.old_line, l.new_line, l.text.as_str())).collect();
        assert_eq!(
            seen,
            [
                (LineChange::Same, Some(1), Some(1), "name = \"a\""),
                (LineChange::Removed, Some(2), None, "pitch = \"12 in\""),
                (LineChange::Added, None, Some(2), "pitch = \"13 in\""),
                (LineChange::Added, None, Some(3), "x = 1"),
            ]
        );
    }
}
