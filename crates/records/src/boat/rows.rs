//! Adding and taking out whole sections of a document, leaving every other letter alone.
//! Not for: single values (`edit.rs`).

use super::document::BoatDocument;
use super::fields::section_named;
use super::syntax::{header_name, section_before};

impl BoatDocument {
    /// The text with one more, empty, section of this name; `None` for an unknown name, or when there
    /// may be only one and it is there. It comes behind the last of its kind, else at the end.
    #[must_use]
    pub fn with_section(&self, name: &str) -> Option<String> {
        let section = section_named(name)?;
        let count = self.rows(name).len();
        if !section.is_repeated && self.has_section(name) {
            return None;
        }
        let newline = self.newline();
        let header = if section.is_repeated { format!("[[{name}]]") } else { format!("[{name}]") };
        let mut lines: Vec<&str> = self.to_toml().split(newline).collect();
        let behind = match self.extent(&format!("{name}[{count}]"), &lines) {
            Some((_, end)) => end,
            None => lines.len(),
        };
        let last_kept = lines[..behind].iter().rposition(|line| !line.trim().is_empty()).map_or(0, |i| i + 1);
        let is_last = lines[behind..].iter().all(|line| line.trim().is_empty());
        let until = if is_last { lines.len() } else { behind };
        lines.splice(last_kept..until, ["", &header, ""]);
        Some(lines.join(newline))
    }

    /// The text without the section at this address (`pack[2]`, `motor`), remarks inside it included;
    /// `None` when its header has no line of its own.
    #[must_use]
    pub fn without_section(&self, address: &str) -> Option<String> {
        let newline = self.newline();
        let mut lines: Vec<&str> = self.to_toml().split(newline).collect();
        let (start, end) = self.extent(address, &lines)?;
        lines.drain(start..end);
        Some(lines.join(newline))
    }

    /// The text with sections `first` and `second` (`alternative[1]`, `alternative[2]`) in each other's
    /// place, the remarks right above their headers with them; `None` when one has no lines of its own.
    pub(super) fn with_sections_exchanged(&self, first: &str, second: &str) -> Option<String> {
        let newline = self.newline();
        let lines: Vec<&str> = self.to_toml().split(newline).collect();
        let whole = |address: &str| {
            let (start, end) = self.extent(address, &lines)?;
            let remarks = lines[..start].iter().rev().take_while(|line| line.trim().starts_with('#')).count();
            Some((start - remarks, end))
        };
        let (first, second) = (whole(first)?, whole(second)?);
        let (a, b) = if first.0 < second.0 { (first, second) } else { (second, first) };
        if a.1 > b.0 {
            return None;
        }
        let mut out: Vec<&str> = lines[..a.0].to_vec();
        // The last section of a document has no blank line behind it, and the other needs one.
        let body = |(start, end): (usize, usize)| {
            let filled =
                lines[start..end].iter().rposition(|line| !line.trim().is_empty()).map_or(0, |i| i + 1);
            &lines[start..start + filled]
        };
        let gap = |(start, end): (usize, usize)| &lines[start + body((start, end)).len()..end];
        out.extend(body(b));
        out.extend(gap(a));
        out.extend(&lines[a.1..b.0]);
        out.extend(body(a));
        out.extend(gap(b));
        out.extend(&lines[b.1..]);
        Some(out.join(newline))
    }

    pub(super) fn newline(&self) -> &'static str {
        if self.to_toml().contains("\r\n") { "\r\n" } else { "\n" }
    }

    /// First line of the section at `address`, and the first line that belongs to what follows.
    fn extent(&self, address: &str, lines: &[&str]) -> Option<(usize, usize)> {
        let start = (0..lines.len()).find(|&index| {
            header_name(lines[index]).is_some() && section_before(lines, index).as_deref() == Some(address)
        })?;
        // `[alternative.changes]` belongs to the `[[alternative]]` above it.
        let parts = format!("{}.", header_name(lines[start])?.0);
        let next = (start + 1..lines.len())
            .find(|&index| header_name(lines[index]).is_some_and(|(name, _)| !name.starts_with(&parts)));
        // Remarks right above the next header speak of what follows.
        let end = next.map_or(lines.len(), |next| {
            let remarks = lines[start + 1..next].iter().rev().take_while(|line| line.trim().starts_with('#'));
            next - remarks.count()
        });
        Some((start, end))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TWO_PACKS: &str = "[boat]\nname = \"Tern\"\n\n[[pack]]\ncount = 2  # alike\n\n[[pack]]\n# older\ncount = 1\n\n# of both\n[bank]\nreserve = \"20 %\"\n";

    fn document(text: &str) -> BoatDocument {
        BoatDocument::parse_lenient(text).0.unwrap()
    }

    #[test]
    fn a_row_comes_behind_the_last_of_its_kind() {
        let text = document(TWO_PACKS).with_section("pack").unwrap();
        assert!(text.contains("count = 1\n\n[[pack]]\n\n# of both\n[bank]"), "{text}");
        assert_eq!(document(&text).rows("pack").len(), 3);
        assert_eq!(document(&text).without_section("pack[3]").unwrap(), TWO_PACKS);
    }

    #[test]
    fn a_first_row_or_a_section_comes_at_the_end() {
        let start = document("[boat]\nname = \"Tern\"\n");
        assert_eq!(start.with_section("pack").unwrap(), "[boat]\nname = \"Tern\"\n\n[[pack]]\n");
        assert_eq!(start.with_section("motor").unwrap(), "[boat]\nname = \"Tern\"\n\n[motor]\n");
        assert_eq!(start.with_section("boat"), None);
        assert_eq!(start.with_section("nonsense"), None);
        assert_eq!(document("").with_section("boat").unwrap(), "\n[boat]\n");
    }

    #[test]
    fn a_row_goes_and_the_remarks_of_what_follows_stay() {
        let text = document(TWO_PACKS).without_section("pack[2]").unwrap();
        assert_eq!(
            text,
            "[boat]\nname = \"Tern\"\n\n[[pack]]\ncount = 2  # alike\n\n# of both\n[bank]\nreserve = \"20 %\"\n"
        );
        assert_eq!(document(TWO_PACKS).without_section("pack[7]"), None);
        let windows = TWO_PACKS.replace('\n', "\r\n");
        assert!(!document(&windows).without_section("pack[1]").unwrap().contains("alike"));
    }
}
