//! A fault of syntax in words: what was meant, and how the line is put right.

use super::fault::{Fault, Severity};
use super::fields::{SECTIONS, section_named};
use super::syntax::{header_name, join_key, key_of};
use wakewright_units::nearest;

/// A header with a bracket missing, when it is clear which section is meant.
pub(super) fn repair_header(typed: &str, line: usize) -> Option<(String, Fault)> {
    let trimmed = typed.split('#').next().unwrap_or_default().trim();
    if !trimmed.starts_with('[') || trimmed.contains('=') || header_name(trimmed).is_some() {
        return None;
    }
    let bare = trimmed.trim_matches(|c: char| !c.is_alphanumeric() && c != '_');
    let section = section_named(bare)
        .or_else(|| nearest(bare, SECTIONS.iter().map(|s| s.name)).and_then(section_named))?;
    let header =
        if section.is_repeated { format!("[[{}]]", section.name) } else { format!("[{}]", section.name) };
    let fault = Fault {
        line,
        column: 1,
        field: section.name.to_owned(),
        found: trimmed.to_owned(),
        problem: format!("{trimmed} is not the beginning of a section"),
        advice: format!("Write {header}."),
        severity: Severity::Error,
        also: Vec::new(),
    };
    Some((header, fault))
}

pub(super) fn header_fault(typed: &str, line: usize, message: &str) -> Fault {
    let typed = typed.trim();
    let (problem, advice) = if message.contains("duplicate") {
        (format!("the section {typed} is written twice"), "Put its fields under one heading.".to_owned())
    } else {
        let names: Vec<&str> = SECTIONS.iter().map(|section| section.name).collect();
        (format!("{typed} is not the beginning of a section"), format!("Sections: {}.", names.join(", ")))
    };
    Fault {
        line,
        column: 1,
        field: header_name(typed).map(|(name, _)| name.to_owned()).unwrap_or_default(),
        found: typed.to_owned(),
        problem,
        advice,
        severity: Severity::Error,
        also: Vec::new(),
    }
}

pub(super) fn syntax_fault(
    typed: &str,
    line: usize,
    column: usize,
    message: &str,
    section: Option<&str>,
) -> Fault {
    let name = key_of(typed);
    let value = typed.split_once('=').map_or("", |(_, value)| value.trim());
    let is_duplicate = message.contains("duplicate");
    let quotes = value.matches('"').count();
    let (problem, advice) = match name {
        Some(name) if is_duplicate => {
            (format!("{name} is written twice"), "Keep one of the two lines.".to_owned())
        }
        Some(name) if value.is_empty() => (
            format!("{name} has no value"),
            format!("Write it like {name} = \"...\", or put # before the line."),
        ),
        Some(name) if quotes == 0 => (
            format!("the value of {name} is not in quotes"),
            format!("Write {name} = \"{}\".", value.split('#').next().unwrap_or(value).trim()),
        ),
        Some(name) if quotes == 1 => (
            format!("a quote is missing around the value of {name}"),
            format!("Write {name} = \"{}\".", value.replace('"', "").trim()),
        ),
        // Inches in quotes: 27'6" ends the text too early.
        Some(name) if value.contains("\"\"") || quotes == 3 => (
            format!("the inch sign \" ends the value of {name} too early"),
            format!("Write in for inches, or put the value in single quotes: {name} = '12\"'."),
        ),
        Some(name) => (
            format!("the line of {name} cannot be read: {message}"),
            "See the example of this field.".to_owned(),
        ),
        None if typed.trim_end_matches('\r').contains('\r') => (
            "a carriage return stands alone in the line".to_owned(),
            "Save the text with one kind of line ends.".to_owned(),
        ),
        None => (
            format!("the line cannot be read: {message}"),
            "Each line is a section in brackets, key = \"value\", or a remark behind #.".to_owned(),
        ),
    };
    Fault {
        line,
        column,
        field: name.map_or_else(|| section.unwrap_or_default().to_owned(), |name| join_key(section, name)),
        found: typed.trim().to_owned(),
        problem,
        advice,
        severity: Severity::Error,
        also: Vec::new(),
    }
}
