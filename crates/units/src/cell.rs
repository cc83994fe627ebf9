//! Text in the cells of a table that another program opens. Not for: numbers, which stay as they are.

/// First letters by which a spreadsheet takes a text for a formula, or for the end of a cell.
const MEANT: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// `text` as a cell of a table with commas: in quotes where it needs them, and with an apostrophe in
/// front where a spreadsheet would run it as a formula.
#[must_use]
pub fn text_cell(text: &str) -> String {
    let apostrophe = if text.trim_start_matches('\'').starts_with(MEANT) { "'" } else { "" };
    let plain = format!("{apostrophe}{text}");
    if plain.contains([',', ';', '"', '\n', '\r', '\t']) {
        format!("\"{}\"", plain.replace('"', "\"\""))
    } else {
        plain
    }
}

/// The text that [`text_cell`] was given, from a cell without its quotes.
#[must_use]
pub fn text_of_cell(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if rest.trim_start_matches('\'').starts_with(MEANT) => rest,
        _ => cell,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_written_reads_back_the_same_and_runs_nowhere() {
        for text in [
            "=1+1",
            "+49",
            "-3 in pitch",
            "@x",
            "\tx",
            "\rx",
            "'=x",
            "''=x",
            "Tern",
            "",
            "'tis",
            "a,b",
            "\"q\"",
        ] {
            let cell = text_cell(text);
            let read = match cell.strip_prefix('"').and_then(|inner| inner.strip_suffix('"')) {
                Some(inner) => inner.replace("\"\"", "\""),
                None => cell.clone(),
            };
            assert!(!read.starts_with(MEANT), "{cell:?}");
            assert_eq!(text_of_cell(&read), text, "{cell:?}");
        }
    }
}
