//! Breaking a text into short lines behind a prefix. Not for: source lines, which stay as they are.

/// Longest line, prefix included.
const WIDTH: usize = 96;

/// Adds `text` to `out` in lines that each begin with `prefix`, broken between words.
pub(crate) fn push_wrapped(out: &mut String, prefix: &str, text: &str) {
    let mut length = 0;
    for word in text.split_whitespace() {
        let added = 1 + word.chars().count();
        if length == 0 || length + added > WIDTH {
            if length > 0 {
                out.push('\n');
            }
            out.push_str(prefix);
            length = prefix.chars().count();
        }
        out.push(' ');
        out.push_str(word);
        length += added;
    }
    if length > 0 {
        out.push('\n');
    }
}
