//! Changing one value in the text of a document, leaving every other letter alone.
//! Not for: checking the value (the changed text is read again).

use super::BoatDocument;
use super::descriptor::Field;
use super::document_lines::{header_behind_mark, header_of, last_line_of, own_lines, passed_mark, remark_of};
use super::fields::{field_named, section_named};
use super::file::beyond_bounds;
use super::reading::Content;
use super::syntax::section_before;

/// Why a change has no place in the document.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub(crate) enum EditError {
    #[error("there is no field of this name")]
    UnknownField,
    #[error("this section can stand several times; say which by its number, [1] to [{count}], or [{}] to add one", count + 1)]
    NoSuchRow { count: usize },
    #[error("a section heading is broken; put that right first")]
    BrokenHeaders,
}

/// `source` with `text` at `address`.
pub(crate) fn edited(
    source: &str,
    content: &Content,
    address: &str,
    text: &str,
) -> Result<String, EditError> {
    let field = field_named(address).ok_or(EditError::UnknownField)?;
    let place = address.split_once('.').map_or(address, |(place, _)| place);
    check_row(content, field, place)?;
    let is_clearing = text.trim().is_empty();
    let newline = if source.contains("\r\n") { "\r\n" } else { "\n" };
    let mut lines: Vec<String> = source.split(newline).map(str::to_owned).collect();
    let own_line = assigned_line(&lines, place, field.name(), false);
    if let Some(entry) = content.entries.get(address) {
        let is_multi_line = source.get(entry.span.clone()).is_some_and(|typed| typed.contains('\n'));
        // Written over several lines, or in a dotted or inline form that has no line of its own.
        if is_multi_line || own_line.is_none() {
            let literal = if is_clearing { "\"\"".to_owned() } else { field.literal(text) };
            return replace_span(source, content, &entry.span, &literal);
        }
    }
    let assignment = format!("{} = {}", field.name(), field.literal(text));
    if let Some(line) = own_line {
        lines[line] = if is_clearing {
            format!("# {}", lines[line].trim_start())
        } else {
            replace_value(&lines[line], field, &field.literal(text))
        };
        return Ok(lines.join(newline));
    }
    if is_clearing {
        return Ok(source.to_owned());
    }
    if let Some(line) = assigned_line(&lines, place, field.name(), true) {
        lines[line] = assignment;
    } else if let Some(line) = last_line_of(&lines, place) {
        lines.insert(line + 1, assignment);
    } else if let Some(line) = header_behind_mark(&lines, field) {
        lines[line] = lines[line].trim_start_matches(['#', ' ']).to_owned();
        match assigned_line(&lines, place, field.name(), true) {
            Some(line) => lines[line] = assignment,
            None => lines.insert(line + 1, assignment),
        }
    } else {
        while lines.last().is_some_and(|line| line.trim().is_empty()) {
            lines.pop();
        }
        lines.extend([String::new(), header_of(field), assignment, String::new()]);
    }
    Ok(lines.join(newline))
}

impl BoatDocument {
    /// The text with many fields changed at once, faulty values as typed, in time that does not grow with the
    /// square of their number: fields that have a line of their own are written in one pass. Where that makes
    /// more than is read as a document, what has no place yet is kept as remarks at its end.
    #[must_use]
    pub fn text_with_all(&self, changes: &[(&str, &str)]) -> String {
        let (text, mut rest) = edited_lines(&self.source, &self.content, changes);
        let mut document = match Self::parse_alone(&text).0 {
            Some(document) => document,
            None if beyond_bounds(&text).is_some() => return with_remarks(text, &rest),
            None => {
                rest = changes.to_vec();
                self.clone()
            }
        };
        for (index, (address, value)) in rest.iter().enumerate() {
            let Ok(text) = document.with(address, value) else { continue };
            match Self::parse_alone(&text).0 {
                Some(changed) => document = changed,
                None if beyond_bounds(&text).is_some() => return with_remarks(text, &rest[index + 1..]),
                None => {}
            }
        }
        document.source
    }
}

/// `source` with every one of `changes` whose field has a line of its own, and the changes that have none, or
/// that name a field a second time. One pass over the lines, however many changes there are.
fn edited_lines<'c>(
    source: &str,
    content: &Content,
    changes: &[(&'c str, &'c str)],
) -> (String, Vec<(&'c str, &'c str)>) {
    let newline = if source.contains("\r\n") { "\r\n" } else { "\n" };
    let mut lines: Vec<String> = source.split(newline).map(str::to_owned).collect();
    let mut own_lines = own_lines(&lines);
    let mut rest = Vec::new();
    for &(address, text) in changes {
        let entry = content.entries.get(address);
        let is_multi_line = entry
            .is_some_and(|entry| source.get(entry.span.clone()).is_some_and(|typed| typed.contains('\n')));
        let field = field_named(address).filter(|_| !is_multi_line);
        match field.and_then(|field| Some((field, own_lines.remove(address)?))) {
            Some((_, line)) if text.trim().is_empty() => {
                lines[line] = format!("# {}", lines[line].trim_start());
            }
            Some((field, line)) => lines[line] = replace_value(&lines[line], field, &field.literal(text)),
            None => rest.push((address, text)),
        }
    }
    (lines.join(newline), rest)
}

/// `text` with `changes` behind it as remarks.
fn with_remarks(mut text: String, changes: &[(&str, &str)]) -> String {
    if changes.is_empty() {
        return text;
    }
    let newline = if text.contains("\r\n") { "\r\n" } else { "\n" };
    text.extend([newline, "# Typed as well, and not yet in its place:", newline]);
    for (address, value) in changes {
        for line in format!("{address} = {value}").lines() {
            text.extend(["# ", line, newline]);
        }
    }
    text
}

fn check_row(content: &Content, field: &Field, place: &str) -> Result<(), EditError> {
    let section = section_named(field.section()).ok_or(EditError::UnknownField)?;
    let number = place.strip_prefix(section.name).map(|rest| rest.trim_matches(['[', ']']));
    let count = content.rows.get(section.name).copied().unwrap_or(0);
    match (section.is_repeated, number) {
        (false, Some("")) => Ok(()),
        (true, Some(number)) => match number.parse::<usize>() {
            Ok(row) if (1..=count + 1).contains(&row) => Ok(()),
            _ => Err(EditError::NoSuchRow { count }),
        },
        _ => Err(EditError::UnknownField),
    }
}

/// The line in section `place` that assigns `name`, or the one that would if it were not behind `#`.
fn assigned_line(lines: &[String], place: &str, name: &str, behind_mark: bool) -> Option<usize> {
    (0..lines.len()).find(|&index| {
        let line = lines[index].trim_start();
        let line = match (behind_mark, line.strip_prefix('#')) {
            (true, Some(rest)) => rest.trim_start(),
            (false, None) => line,
            _ => return false,
        };
        let key = line.split_once('=').map(|(key, _)| key.trim().trim_matches('"'));
        key == Some(name)
            && section_before(lines, index).as_deref() == Some(place)
            && !passed_mark(lines, index)
    })
}

/// The line with another value; what stands behind it (a remark) stays.
fn replace_value(line: &str, field: &Field, literal: &str) -> String {
    let Some((key, rest)) = line.split_once('=') else { return format!("{} = {literal}", field.name()) };
    let remark = remark_of(rest);
    let gap = if remark.is_empty() { "" } else { " " };
    format!("{}= {literal}{gap}{remark}", if key.ends_with(' ') { key.to_owned() } else { format!("{key} ") })
}

fn replace_span(
    source: &str,
    content: &Content,
    span: &std::ops::Range<usize>,
    literal: &str,
) -> Result<String, EditError> {
    match (source.get(..span.start), source.get(span.end..)) {
        (Some(before), Some(after)) if content.is_as_typed => Ok(format!("{before}{literal}{after}")),
        _ => Err(EditError::BrokenHeaders),
    }
}
