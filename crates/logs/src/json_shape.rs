//! Tells JSON whose columns, or rows, are lists from JSON of rows that are objects. Not for: reading it.

/// Whether a text of JSON stands open.
#[derive(Debug, Default)]
pub(crate) struct Quoted {
    is_open: bool,
    is_escaped: bool,
}

impl Quoted {
    /// True for what stands within a text, its end among it.
    pub fn takes(&mut self, byte: u8) -> bool {
        if !self.is_open {
            self.is_open = byte == b'"';
            return false;
        }
        match byte {
            _ if self.is_escaped => self.is_escaped = false,
            b'\\' => self.is_escaped = true,
            b'"' => self.is_open = false,
            _ => {}
        }
        true
    }
}

/// A list of so many values that has not ended is a column.
const MANY: usize = 65;

/// Whether the first bytes of a JSON text are those of one value whose columns, or rows, are lists.
pub(crate) fn looks_like(head: &[u8]) -> bool {
    // What is open: the bracket, and how many values were begun in it.
    let mut open: Vec<(u8, usize)> = Vec::new();
    let mut series: Vec<usize> = Vec::new();
    let (mut quoted, mut is_value_due) = (Quoted::default(), true);
    let (mut lengths, mut lists, mut objects, mut is_numbered) = (Vec::new(), 0, 0, false);
    for (at, byte) in head.iter().enumerate() {
        if quoted.takes(*byte) {
            continue;
        }
        let begins_value = !matches!(byte, b',' | b':' | b'}' | b']') && !byte.is_ascii_whitespace();
        if begins_value && is_value_due {
            if let Some(last) = open.last_mut() {
                last.1 += 1;
            }
            is_value_due = false;
        }
        match byte {
            b',' => is_value_due = true,
            b'{' | b'[' => {
                let depth = open.iter().take_while(|(bracket, _)| *bracket == b'{').count();
                // In a list that stands in objects only.
                if depth + 1 == open.len() {
                    lists += usize::from(*byte == b'[');
                    objects += usize::from(*byte == b'{');
                }
                is_numbered |= depth == open.len() && depth > 0 && begins_numbered(&head[at + 1..]);
                open.push((*byte, 0));
                is_value_due = true;
            }
            b'}' | b']' => {
                let Some((bracket, count)) = open.pop() else { return false };
                let depth = open.iter().take_while(|(bracket, _)| *bracket == b'{').count();
                if bracket == b'[' && depth == open.len() {
                    lengths.push(count);
                } else if bracket == b'[' && depth + 2 == open.len() {
                    series.push(count);
                }
                is_value_due = false;
                if open.is_empty() {
                    // Another value follows: a row on each line.
                    if head[at + 1..].iter().any(|b| !b.is_ascii_whitespace()) {
                        return false;
                    }
                    break;
                }
            }
            _ => {}
        }
    }
    let is_long = open.iter().any(|(bracket, count)| *bracket == b'[' && *count >= MANY);
    lengths.retain(|length| *length >= 2);
    let is_equal = (1..lengths.len()).any(|at| lengths[..at].contains(&lengths[at]));
    // Objects of a name and its values, not rows.
    let says = |names: &[&str]| {
        names.iter().any(|name| head.windows(name.len()).any(|part| part == name.as_bytes()))
    };
    let is_series = objects > 0
        && (is_long || series.len() > 1 && series[0] > 1 && series.windows(2).all(|two| two[0] == two[1]))
        && says(&["\"name\"", "\"label\"", "\"field\"", "\"channel\"", "\"signal\""])
        && says(&["\"values\"", "\"data\"", "\"samples\"", "\"y\""]);
    // An answer of a database of time series, a list of names beside a list of rows.
    let is_answer = says(&["\"series\""]) && says(&["\"columns\""]) && says(&["\"values\""]);
    is_series || is_answer || (objects < 2 && (lists >= 2 || is_long || is_equal || is_numbered))
}

/// `"0": 51.2` at the beginning of an object.
fn begins_numbered(inside: &[u8]) -> bool {
    let inside = inside.trim_ascii_start();
    inside.strip_prefix(b"\"0\"").is_some_and(|rest| rest.trim_ascii_start().starts_with(b":"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_told_from_rows() {
        for text in [
            r#"{"time":[1,2,3],"volts":[51.2,51.3,51.4]}"#,
            r#" [ ["time","volts"], [1, 51.2], [2, 51.3]]"#,
            r#"{"time":{"0":1,"1":2},"volts":{"0":51.2,"1":51.3}}"#,
            r#"{"columns":["time","volts"],"data":[[1,51.2],[2,51.3]]}"#,
            r#"{"series":[{"name":"time","values":[1,2,3]},{"name":"volts","values":[51.2,51.3,51.4]}]}"#,
        ] {
            assert!(looks_like(text.as_bytes()), "{text}");
        }
        let long = format!("{{\"time\":[{}", "1,".repeat(100));
        assert!(looks_like(long.as_bytes()));
        for text in [
            "{\"t\":1,\"cells\":[3,4],\"temps\":[20,21]}\n{\"t\":2,\"cells\":[3,4],\"temps\":[20,21]}\n",
            r#"[{"t":1,"cells":[3,4]},{"t":2,"cells":[3,4]}]"#,
            r#"{"rows":[{"t":1,"v":2},{"t":2,"v":2}]}"#,
            r#"{"t":1,"v":2}"#,
        ] {
            assert!(!looks_like(text.as_bytes()), "{text}");
        }
    }
}
