//! A fault of a document: where it stands, what was found, what to do. And its rendering as text.

use super::wrap::push_wrapped;
use std::fmt::Write as _;

/// Whether a fault stops the document from being used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Possible but unusual; the document can be used.
    Doubt,
    /// The document cannot be used.
    Error,
}

/// One fault.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Line, from 1.
    pub line: usize,
    /// Column in letters, from 1.
    pub column: usize,
    /// Field (`hull.draught`, `pack[2].capacity`), section, or empty where none is known.
    pub field: String,
    /// What stands there, as typed; empty where something is missing.
    pub found: String,
    /// What is wrong.
    pub problem: String,
    /// What to do.
    pub advice: String,
    /// Whether it stops the document from being used.
    pub severity: Severity,
    /// Other fields that are part of a contradiction, with their lines; line 0 when the field is not
    /// written and its usual value was taken.
    pub also: Vec<(String, usize)>,
}

impl std::fmt::Display for Fault {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if self.severity == Severity::Doubt {
            write!(out, "doubt: ")?;
        }
        if !self.field.is_empty() {
            write!(out, "{}: ", self.field)?;
        }
        write!(out, "{}", self.problem)
    }
}

impl std::error::Error for Fault {}

impl Fault {
    /// For programs that read the answer.
    #[must_use]
    pub fn to_json(&self) -> serde_json::Value {
        let also: Vec<_> = self
            .also
            .iter()
            .map(|(field, line)| serde_json::json!({ "field": field, "line": line }))
            .collect();
        serde_json::json!({
            "severity": match self.severity { Severity::Doubt => "doubt", Severity::Error => "error" },
            "line": self.line,
            "column": self.column,
            "field": self.field,
            "found": self.found,
            "problem": self.problem,
            "advice": self.advice,
            "also": also,
        })
    }
}

/// Sorts by place, errors before doubts at one place, and drops repetitions.
pub(crate) fn put_in_order(faults: &mut Vec<Fault>) {
    faults.sort_by(|a, b| {
        (a.line, a.column, b.severity, &a.field).cmp(&(b.line, b.column, a.severity, &b.field))
    });
    faults.dedup();
}

/// The faults as text: `file:line:column`, the line with a caret under it, what to do.
#[must_use]
pub fn render_faults(faults: &[Fault], source: &str, file: &str) -> String {
    let lines: Vec<&str> = source.lines().collect();
    let mut out = String::new();
    for (i, fault) in faults.iter().enumerate() {
        if i > 0 {
            out.push('\n');
        }
        // Writing into a String cannot fail.
        let _ = writeln!(out, "{file}:{}:{}: {fault}", fault.line, fault.column);
        render_line(&mut out, &lines, fault.line, Some((fault.column, fault.found.chars().count())));
        for (field, line) in &fault.also {
            if *line != 0 && *line != fault.line {
                render_line(&mut out, &lines, *line, None);
            }
            if *line == 0 {
                let _ = writeln!(out, "       {field} is not written; its usual value is taken");
            }
        }
        if !fault.advice.is_empty() {
            push_wrapped(&mut out, "      ", &fault.advice);
        }
    }
    out
}

/// Characters of a line that are shown: more is no excerpt.
const EXCERPT: usize = 160;

fn render_line(out: &mut String, lines: &[&str], line: usize, mark: Option<(usize, usize)>) {
    let Some(text) = line.checked_sub(1).and_then(|index| lines.get(index)) else { return };
    let all = text.chars().count();
    let column = mark.map_or(0, |(column, _)| column.saturating_sub(1));
    let first = if all <= EXCERPT { 0 } else { column.saturating_sub(EXCERPT / 2) };
    let shown: String = text.chars().skip(first).take(EXCERPT).collect();
    let (from, to) = (if first > 0 { "…" } else { "" }, if first + EXCERPT < all { "…" } else { "" });
    let _ = writeln!(out, "{line:5} | {from}{shown}{to}");
    let Some((_, length)) = mark else { return };
    let before: String = from
        .chars()
        .chain(shown.chars().take(column - first))
        .map(|c| if c == '\t' { '\t' } else { ' ' })
        .collect();
    let room = shown.chars().count().saturating_sub(column - first).max(1);
    let _ = writeln!(out, "      | {before}{}", "^".repeat(length.clamp(1, room)));
}
