//! Reading TOML with as many syntax faults as can be had: a line that cannot be read is named,
//! set aside and the rest is read again. Line numbers never change.
//! Not for: what the keys mean.

use super::fault::Fault;
use super::syntax_fault::{header_fault, repair_header, syntax_fault};
use toml_edit::Document;

/// More faults than this are not worth reading at once.
const MOST_FAULTS: usize = 100;

/// So much text is read in all, however many faults are in it.
const MOST_READ_BYTES: usize = 5_000_000;

/// A document of which every readable line has been read.
pub(crate) struct Parsed {
    /// The text that was read, broken lines set aside; the same lines as the source.
    pub text: String,
    /// The TOML of it.
    pub toml: Document<String>,
    /// Section and name of keys whose line is broken, with that line.
    pub broken: Vec<(String, usize)>,
    /// Byte at which each line begins.
    line_starts: Vec<usize>,
}

impl Parsed {
    fn new(text: String, toml: Document<String>, broken: Vec<(String, usize)>) -> Self {
        let breaks = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at + 1);
        let line_starts = std::iter::once(0).chain(breaks).collect();
        Self { text, toml, broken, line_starts }
    }

    /// As [`place_of`] in the text that was read, without counting its lines anew for every key.
    pub fn place(&self, offset: usize) -> (usize, usize) {
        let line = self.line_starts.partition_point(|start| *start <= offset.min(self.text.len()));
        let start = self.line_starts[line - 1];
        (line, place_of(&self.text[start..], offset.saturating_sub(start)).1)
    }
}

/// Line and column, both from 1, of a byte of `text`.
pub(crate) fn place_of(text: &str, offset: usize) -> (usize, usize) {
    let mut offset = offset.min(text.len());
    while !text.is_char_boundary(offset) {
        offset -= 1;
    }
    let before = &text[..offset];
    let line_start = before.rfind('\n').map_or(0, |i| i + 1);
    (before.matches('\n').count() + 1, before[line_start..].chars().count() + 1)
}

/// Reads `source`, adding a fault for each line that cannot be read. `None` when too little is left.
pub(crate) fn parse_with_recovery(source: &str, faults: &mut Vec<Fault>) -> Option<Parsed> {
    let mut lines: Vec<String> = source.split('\n').map(str::to_owned).collect();
    let mut broken = Vec::new();
    // Every fault costs another reading of the whole.
    let readings = (MOST_READ_BYTES / source.len().max(1)).clamp(10, MOST_FAULTS);
    for _ in 0..readings {
        let text = lines.join("\n");
        let error = match Document::parse(text.clone()) {
            Ok(toml) => return Some(Parsed::new(text, toml, broken)),
            Err(error) => error,
        };
        let (line, column) = place_of(&text, error.span().map_or(0, |span| span.start));
        let Some(index) = faulty_line(&lines, line - 1) else {
            // Nothing but remarks and blank lines above: the fault is in one of them.
            let typed = lines.get(line - 1).map_or("", String::as_str);
            faults.push(syntax_fault(typed, line, column, error.message(), None));
            return None;
        };
        let column = if index + 1 == line { column } else { 1 };
        let typed = lines[index].clone();
        let section = section_before(&lines, index);
        if let Some((repaired, fault)) = repair_header(&typed, index + 1) {
            faults.push(fault);
            lines[index] = repaired;
            continue;
        }
        if typed.trim_start().starts_with('[') && key_of(&typed).is_none() {
            faults.push(header_fault(&typed, index + 1, error.message()));
            set_section_aside(&mut lines, index, &mut broken);
            continue;
        }
        let mut fault = syntax_fault(&typed, index + 1, column, error.message(), section.as_deref());
        if let Some(name) = key_of(&typed) {
            let first = (0..index).find(|i| {
                key_of(&lines[*i]) == Some(name)
                    && section_before(&lines, *i).as_deref() == section.as_deref()
            });
            fault.also.extend(first.map(|i| (fault.field.clone(), i + 1)));
            broken.push((join_key(section.as_deref(), name), index + 1));
        }
        faults.push(fault);
        set_aside(&mut lines[index]);
    }
    None
}

/// The line as a remark of the same length.
fn set_aside(line: &mut String) {
    *line = format!("#{}", " ".repeat(line.len().saturating_sub(1)));
}

/// Sets a section aside whose header cannot be read: its keys must not fall to the section above.
fn set_section_aside(lines: &mut [String], index: usize, broken: &mut Vec<(String, usize)>) {
    let name = lines[index].trim().trim_matches(|c: char| !c.is_alphanumeric() && c != '_').to_owned();
    for (i, line) in lines.iter_mut().enumerate().skip(index) {
        if i > index && header_name(line).is_some() {
            break;
        }
        if let Some(key) = key_of(line) {
            broken.push((join_key(Some(&name), key), i + 1));
        }
        set_aside(line);
    }
}

/// The line to set aside: where the fault was met, or the nearest line above that holds something.
fn faulty_line(lines: &[String], index: usize) -> Option<usize> {
    let holds_something = |line: &String| !line.trim().is_empty() && !line.trim_start().starts_with('#');
    (0..=index.min(lines.len().checked_sub(1)?)).rev().find(|i| holds_something(&lines[*i]))
}

pub(super) fn key_of(line: &str) -> Option<&str> {
    line.split_once('=').map(|(key, _)| key.trim()).filter(|key| !key.is_empty())
}

pub(super) fn join_key(section: Option<&str>, name: &str) -> String {
    section.map_or_else(|| name.to_owned(), |section| format!("{section}.{name}"))
}

/// Address of the section in which line `index` stands: `hull`, `pack[2]`.
pub(crate) fn section_before(lines: &[impl AsRef<str>], index: usize) -> Option<String> {
    let headers = || lines.iter().take(index + 1).filter_map(|line| header_name(line.as_ref()));
    let (name, is_repeated) = headers().last()?;
    if !is_repeated {
        return Some(name.to_owned());
    }
    let count = headers().filter(|(other, _)| *other == name).count();
    Some(format!("{name}[{count}]"))
}

/// `hull` of `[hull]`, `pack` and true of `[[pack]]`.
pub(crate) fn header_name(line: &str) -> Option<(&str, bool)> {
    let line = line.split('#').next().unwrap_or_default().trim();
    let twice = line.strip_prefix("[[").and_then(|rest| rest.strip_suffix("]]"));
    let once = line.strip_prefix('[').and_then(|rest| rest.strip_suffix(']'));
    let found = twice.map(|name| (name, true)).or(once.map(|name| (name, false)));
    found
        .map(|(name, is_repeated)| (name.trim(), is_repeated))
        .filter(|(name, _)| !name.contains(['[', ']', '=']))
}
