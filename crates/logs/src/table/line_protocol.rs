//! Lines of measurement, tags, fields and a time in nanoseconds. Not for: what the names mean.

use std::collections::HashMap;
use std::io::BufRead;

use super::mapping::Mapping;
use super::rows::{Row, Rows, columns};
use super::separated::fill;
use crate::LogError;
use crate::bad::BadKind;
use crate::line::{Line, Lines};

/// Where a mark stands that no backslash and no quotes hold.
fn bare_mark(text: &str, mark: char, has_quotes: bool) -> Option<usize> {
    if !has_quotes {
        return text.find(mark);
    }
    let (mut is_text, mut is_escaped) = (false, false);
    text.char_indices().find_map(|(at, c)| {
        match c {
            _ if is_escaped => is_escaped = false,
            '\\' => is_escaped = true,
            '"' => is_text = !is_text,
            _ if c == mark && !is_text => return Some(at),
            _ => {}
        }
        None
    })
}

/// Parts between commas that no backslash and no quotes hold.
fn bare_parts(text: &str, has_quotes: bool) -> impl Iterator<Item = &str> {
    let mut rest = Some(text);
    std::iter::from_fn(move || {
        let text = rest?;
        let Some(at) = bare_mark(text, ',', has_quotes) else { return rest.take() };
        rest = Some(&text[at + 1..]);
        Some(&text[..at])
    })
}

/// `measurement,tag=a field=1.5,other=2i 1795615385000000000`: names and values of a line, its time.
pub(super) fn protocol_line<'a>(line: &'a str, sink: &mut dyn FnMut(&str, &'a str)) -> Option<&'a str> {
    let has_quotes = line.contains(['\\', '"']);
    let (series, rest) = line.split_at(bare_mark(line, ' ', has_quotes)?);
    let (fields, time) = rest[1..].split_at(bare_mark(&rest[1..], ' ', has_quotes)?);
    let time = time.trim();
    if time.is_empty()
        || !time.trim_start_matches('-').bytes().all(|b| b.is_ascii_digit())
        || !fields.contains('=')
    {
        return None;
    }
    let mut of = bare_parts(series, has_quotes);
    let mut name = of.next()?.replace('\\', "");
    for tag in of {
        name.push(' ');
        name.push_str(&tag.split_once('=')?.1.replace('\\', ""));
    }
    for field in bare_parts(fields, has_quotes) {
        let (key, value) = field.split_once('=')?;
        let value = value.trim_matches('"');
        let value = value.strip_suffix('i').filter(|v| v.parse::<i64>().is_ok()).unwrap_or(value);
        if key == "value" {
            sink(&name, value);
        } else {
            sink(&format!("{name} {key}"), value);
        }
    }
    Some(time)
}

pub(super) struct ProtocolRows<R> {
    lines: Lines<R>,
    cells: Vec<String>,
    columns: HashMap<String, usize>,
}

impl<R: BufRead> ProtocolRows<R> {
    pub fn new(reader: R, mapping: &Mapping) -> Self {
        Self {
            lines: Lines::new(reader),
            cells: vec![String::new(); mapping.heads.len()],
            columns: columns(mapping),
        }
    }
}

impl<R: BufRead> Rows for ProtocolRows<R> {
    fn next(&mut self, record: &mut csv::ByteRecord) -> Result<Option<Row>, LogError> {
        loop {
            let number = self.lines.number + 1;
            let Some(line) = self.lines.next()? else { return Ok(None) };
            let Line::Whole(bytes) = line else {
                return Ok(Some(Row::Bad { line: number, kind: BadKind::TooLong }));
            };
            let text = String::from_utf8_lossy(bytes);
            let text = text.trim();
            if text.is_empty() || text.starts_with('#') {
                continue;
            }
            let (columns, cells) = (&self.columns, &mut self.cells);
            let time = protocol_line(text, &mut |name, value| {
                if let Some(index) = columns.get(name) {
                    cells[*index].push_str(value);
                }
            });
            let Some(time) = time else {
                fill(record, cells);
                return Ok(Some(Row::Bad { line: number, kind: BadKind::NotUnderstood }));
            };
            if let Some(first) = cells.first_mut() {
                first.push_str(time);
            }
            fill(record, cells);
            return Ok(Some(Row::Cells { line: number }));
        }
    }

    fn lines(&self) -> u64 {
        self.lines.number
    }
}
