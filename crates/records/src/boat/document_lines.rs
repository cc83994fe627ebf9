//! Lines of a document as they stand: headers, remarks, the last line of a section.

use super::descriptor::Field;
use super::fields::section_named;
use super::syntax::{header_name, section_before};
use std::collections::HashMap;

/// The line of each address that has one: the first that assigns it.
pub(super) fn own_lines(lines: &[String]) -> HashMap<String, usize> {
    let mut counts: HashMap<&str, usize> = HashMap::new();
    let mut found = HashMap::new();
    let (mut place, mut is_behind_mark) = (String::new(), false);
    for (index, line) in lines.iter().enumerate() {
        if let Some((name, is_repeated)) = header_name(line) {
            let count = counts.entry(name).or_insert(0);
            *count += 1;
            place = if is_repeated { format!("{name}[{count}]") } else { name.to_owned() };
            is_behind_mark = false;
        } else if is_header_behind_mark(line) {
            is_behind_mark = true;
        }
        let line = line.trim_start();
        if is_behind_mark || place.is_empty() || line.starts_with('#') {
            continue;
        }
        if let Some((key, _)) = line.split_once('=') {
            found.entry(format!("{place}.{}", key.trim().trim_matches('"'))).or_insert(index);
        }
    }
    found
}

pub(super) fn header_of(field: &Field) -> String {
    let is_repeated = section_named(field.section()).is_some_and(|section| section.is_repeated);
    if is_repeated { format!("[[{}]]", field.section()) } else { format!("[{}]", field.section()) }
}

/// True when a header behind `#` stands between line `index` and its section's header: the line
/// belongs to that other section.
pub(super) fn passed_mark(lines: &[String], index: usize) -> bool {
    for line in lines[..=index].iter().rev() {
        if header_name(line).is_some() {
            return false;
        }
        if is_header_behind_mark(line) {
            return true;
        }
    }
    false
}

fn is_header_behind_mark(line: &str) -> bool {
    line.trim_start()
        .strip_prefix('#')
        .and_then(|rest| header_name(rest.trim()))
        .is_some_and(|(name, _)| section_named(name).is_some())
}

/// The line `# [motor]` of the section to which `field` belongs.
pub(super) fn header_behind_mark(lines: &[String], field: &Field) -> Option<usize> {
    let header = header_of(field);
    lines
        .iter()
        .position(|line| line.trim_start().strip_prefix('#').is_some_and(|rest| rest.trim() == header))
}

/// The last line of section `place` that holds an assignment, or its header.
pub(super) fn last_line_of(lines: &[String], place: &str) -> Option<usize> {
    (0..lines.len()).rfind(|&index| {
        let line = lines[index].trim();
        !line.is_empty() && !line.starts_with('#') && section_before(lines, index).as_deref() == Some(place)
    })
}

/// `# remark` behind a value, outside quotes.
pub(super) fn remark_of(rest: &str) -> &str {
    let mut quote: Option<char> = None;
    for (i, c) in rest.char_indices() {
        match (quote, c) {
            (None, '#') => return rest[i..].trim_end(),
            (None, '"' | '\'') => quote = Some(c),
            (Some(open), _) if c == open => quote = None,
            _ => {}
        }
    }
    ""
}
