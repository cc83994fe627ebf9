//! JSON as logs write it: objects one after the other, a line each, or in a list, taken out one at a
//! time with bounded memory; names and values of one object.
//! Not for: what the names mean.

use std::io::{self, BufRead};

use crate::json_shape::Quoted;

/// Longest object that is kept: one row of a log, or one message.
const LONGEST_OBJECT: usize = 256 * 1024;

/// Objects of a stream: those of the outermost list, else the outermost objects.
#[derive(Debug)]
pub(crate) struct Objects<R> {
    reader: R,
    buffer: Vec<u8>,
    /// Lines that were passed.
    pub number: u64,
    /// The file ended within an object.
    pub is_broken_off: bool,
}

/// An object as it stands, or that it is too long.
#[derive(Debug)]
pub(crate) struct Object<'a> {
    /// Line on which it begins.
    pub line: u64,
    pub bytes: Result<&'a [u8], ()>,
}

impl<R: BufRead> Objects<R> {
    pub fn new(reader: R) -> Self {
        Self { reader, buffer: Vec::new(), number: 1, is_broken_off: false }
    }

    /// Objects that are rows: those of a list within one object where the file is one object around them.
    pub fn of_rows(mut reader: R) -> Self {
        let mut number = 1;
        if let Ok(head) = reader.fill_buf()
            && let Some(start) = rows_within(&head[..head.len().min(WRAPPER_SEEN)])
        {
            number += head[..start].iter().filter(|b| **b == b'\n').count() as u64;
            reader.consume(start);
        }
        Self { reader, buffer: Vec::new(), number, is_broken_off: false }
    }

    /// The next object.
    pub fn next(&mut self) -> io::Result<Option<Object<'_>>> {
        self.buffer.clear();
        let (mut open, mut is_text, mut is_escaped, mut length) = (0_usize, false, false, 0_usize);
        let mut line = self.number;
        loop {
            let available = match self.reader.fill_buf() {
                Ok(available) => available,
                Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
                Err(error) => return Err(error),
            };
            if available.is_empty() {
                self.is_broken_off = open > 0;
                return Ok(None);
            }
            let (mut used, mut start, mut is_whole) = (0, if open > 0 { Some(0) } else { None }, false);
            for byte in available {
                used += 1;
                if is_text {
                    match byte {
                        _ if is_escaped => is_escaped = false,
                        b'\\' => is_escaped = true,
                        b'"' => is_text = false,
                        b'\n' => self.number += 1,
                        _ => {}
                    }
                    continue;
                }
                match byte {
                    b'\n' => self.number += 1,
                    b'"' if open > 0 => is_text = true,
                    b'{' => {
                        if open == 0 {
                            line = self.number;
                            start = Some(used - 1);
                        }
                        open += 1;
                    }
                    b'}' if open > 0 => {
                        open -= 1;
                        if open == 0 {
                            is_whole = true;
                            break;
                        }
                    }
                    _ => {}
                }
            }
            if let Some(start) = start {
                let piece = &available[start..used];
                length += piece.len();
                let room = LONGEST_OBJECT.saturating_sub(self.buffer.len());
                self.buffer.extend_from_slice(&piece[..piece.len().min(room)]);
            }
            self.reader.consume(used);
            if is_whole {
                break;
            }
            // An object that never ends is a quote or brace too many: begin anew behind it.
            if length > 8 * LONGEST_OBJECT {
                return Ok(Some(Object { line, bytes: Err(()) }));
            }
        }
        Ok(Some(Object { line, bytes: if length > LONGEST_OBJECT { Err(()) } else { Ok(&self.buffer) } }))
    }
}

/// Bytes in which an object around the rows shows.
const WRAPPER_SEEN: usize = 16 * 1024;

/// Where the list begins that holds at least two objects, in text that is one object around it.
fn rows_within(head: &[u8]) -> Option<usize> {
    let first = head.iter().position(|b| !b.is_ascii_whitespace() && !matches!(b, 0xef | 0xbb | 0xbf))?;
    if head[first] != b'{' {
        return None;
    }
    let (mut open, mut quoted) = (0_usize, Quoted::default());
    let (mut list, mut inside) = (None, 0);
    for (at, byte) in head.iter().enumerate().skip(first) {
        if quoted.takes(*byte) {
            continue;
        }
        match byte {
            b'{' | b'[' => {
                open += 1;
                let is_list = *byte == b'[' && (2..=3).contains(&open);
                let next = head[at + 1..].iter().find(|b| !b.is_ascii_whitespace());
                if is_list && list.is_none() && next == Some(&b'{') {
                    list = Some((at, open));
                }
                inside += usize::from(*byte == b'{' && list.is_some_and(|(_, depth)| open == depth + 1));
            }
            b'}' | b']' => {
                open = open.saturating_sub(1);
                // Another object follows: a row on each line.
                let rest = &head[at + 1..];
                if open == 0 && rest.iter().any(|b| !b.is_ascii_whitespace()) {
                    return None;
                }
            }
            _ => {}
        }
    }
    list.filter(|_| inside >= 2).map(|(at, _)| at)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn objects(text: &str) -> Vec<(u64, String)> {
        let mut objects = Objects::new(text.as_bytes());
        let mut all = Vec::new();
        while let Some(object) = objects.next().unwrap() {
            all.push((object.line, String::from_utf8_lossy(object.bytes.unwrap()).into_owned()));
        }
        all
    }

    #[test]
    fn lines_and_lists_give_the_same_objects() {
        let expected = ["{\"a\":1}", "{\"a\":\"}{\"}"];
        for text in ["{\"a\":1}\n{\"a\":\"}{\"}\n", "[{\"a\":1},\n {\"a\":\"}{\"}]"] {
            let found: Vec<String> = objects(text).into_iter().map(|(_, object)| object).collect();
            assert_eq!(found, expected);
        }
        assert_eq!(objects("{\"a\":1}\n{\"a\":2}")[1].0, 2);
        assert!(objects("{\"a\":1").is_empty());
    }
}
