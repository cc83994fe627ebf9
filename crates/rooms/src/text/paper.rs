//! What text is written on: width, ink and unit system. Not for: what is written.

use wakewright_core::study::Interval;
use wakewright_units::{Digits, Quantity, UnitSystem, format_number, format_quantity, is_symbol};

/// What is said of a way or a time without end.
pub(crate) const NO_END: &str = "no end";

/// How a word stands out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// Ordinary.
    Plain,
    /// A finding.
    Strong,
    /// What binds or fails.
    Binds,
    /// What passes.
    Passes,
    /// Of lesser weight.
    Faint,
}

/// A sheet to write on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Paper {
    /// Columns.
    pub width: usize,
    /// Colour and weight, as terminals have them.
    pub has_ink: bool,
    /// Units.
    pub units: UnitSystem,
}

impl Paper {
    /// A sheet of 80 columns without ink: what a pipe gets.
    #[must_use]
    pub fn plain(units: UnitSystem) -> Self {
        Self { width: 80, has_ink: false, units }
    }

    /// `text` in `ink`.
    #[must_use]
    pub fn ink(&self, ink: Ink, text: &str) -> String {
        let code = match ink {
            Ink::Strong => "1",
            Ink::Binds => "1;31",
            Ink::Passes => "32",
            Ink::Faint => "2",
            Ink::Plain => return text.to_owned(),
        };
        if self.has_ink { format!("\u{1b}[{code}m{text}\u{1b}[0m") } else { text.to_owned() }
    }

    /// A quantity with its unit, in the usual digits; an infinite way or time has no end.
    #[must_use]
    pub fn quantity(&self, si: f64, quantity: Quantity) -> String {
        if si == f64::INFINITY && matches!(quantity, Quantity::Distance | Quantity::Duration) {
            return NO_END.to_owned();
        }
        format_quantity(si, quantity, self.units, Digits::Usual)
    }

    /// A quantity with so many decimals.
    #[must_use]
    pub fn decimals(&self, si: f64, quantity: Quantity, decimals: usize) -> String {
        format_quantity(si, quantity, self.units, Digits::Decimals(decimals))
    }

    /// `3.8 to 4.6 kn`: a band with its unit written once.
    #[must_use]
    pub fn band(&self, interval: Interval, quantity: Quantity) -> String {
        self.between(interval, &|si| self.quantity(si, quantity))
    }

    /// The same with so many decimals.
    #[must_use]
    pub fn band_decimals(&self, interval: Interval, quantity: Quantity, decimals: usize) -> String {
        self.between(interval, &|si| self.decimals(si, quantity, decimals))
    }

    fn between(&self, interval: Interval, written: &dyn Fn(f64) -> String) -> String {
        let (low, high) = (written(interval.p10), written(interval.p90));
        // Feet and inches hold a number in their unit: they are written out twice.
        let is_plain = |unit: &str| !unit.contains(|c: char| c.is_ascii_digit());
        match (low.split_once(' '), high.split_once(' ')) {
            (Some((number, low_unit)), Some((_, high_unit)))
                if low_unit == high_unit && is_plain(low_unit) =>
            {
                format!("{number} to {high}")
            }
            _ => format!("{low} to {high}"),
        }
    }

    /// `four times in five 5.4 to 5.8 kn`; nothing where both ends read alike.
    #[must_use]
    pub fn four_in_five(&self, interval: Interval, quantity: Quantity) -> Option<String> {
        let differs = self.quantity(interval.p10, quantity) != self.quantity(interval.p90, quantity);
        differs.then(|| format!("four times in five {}", self.band(interval, quantity)))
    }

    /// `text` broken at blanks to the width, each line after `indent` blanks.
    #[must_use]
    pub fn wrap(&self, text: &str, indent: usize) -> String {
        self.wrap_hanging(text, indent, indent)
    }

    /// `text` wrapped to the right of a mark of two characters in `ink`.
    #[must_use]
    pub fn marked(&self, mark: &str, ink: Ink, text: &str) -> String {
        let wrapped = self.wrap(text, 5);
        format!("  {}{}", self.ink(ink, mark), &wrapped[4..])
    }

    /// As [`Self::wrap`], the first line after `first` blanks and the others after `rest`.
    #[must_use]
    pub fn wrap_hanging(&self, text: &str, first: usize, rest: usize) -> String {
        let mut out = " ".repeat(first);
        let mut column = first;
        let mut is_line_empty = true;
        for word in unbroken(text) {
            let length = visible_length(&word);
            if !is_line_empty && column + 1 + length > self.width {
                out.push('\n');
                out.push_str(&" ".repeat(rest));
                column = rest;
                is_line_empty = true;
            }
            if !is_line_empty {
                out.push(' ');
                column += 1;
            }
            out.push_str(&word);
            column += length;
            is_line_empty = false;
        }
        out.push('\n');
        out
    }
}

/// The words of `text`, a number with its unit as one: "0 %" stands on one line.
fn unbroken(text: &str) -> Vec<String> {
    let bare = |word: &str| word.trim_matches(|c: char| ",;:.()".contains(c)).to_owned();
    let is_number = |word: &str| {
        let word = word.trim_start_matches(['(', '+', '-', '−', '~']);
        word.starts_with(|c: char| c.is_ascii_digit()) && word.ends_with(|c: char| c.is_ascii_digit())
    };
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match words.last_mut() {
            // "4.5 N m" is three words of which the first has taken the second.
            Some(last) => {
                let unit = last.rsplit_once(' ').map(|(_, unit)| format!("{unit} {}", bare(word)));
                if is_number(last) && is_symbol(&bare(word)) || unit.is_some_and(|unit| is_symbol(&unit)) {
                    *last = format!("{last} {word}");
                } else {
                    words.push(word.to_owned());
                }
            }
            None => words.push(word.to_owned()),
        }
    }
    words
}

/// A share in whole per cent.
pub(crate) fn percent(share: f64) -> String {
    format!("{} %", format_number(100.0 * share, 0))
}

/// Characters that take a place on the screen: escape sequences do not.
#[must_use]
pub(crate) fn visible_length(text: &str) -> usize {
    let mut length = 0;
    let mut is_escape = false;
    for c in text.chars() {
        match (is_escape, c) {
            (false, '\u{1b}') => is_escape = true,
            (true, 'm') => is_escape = false,
            (true, _) => {}
            (false, _) => length += 1,
        }
    }
    length
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_band_names_its_unit_once() {
        let band = Interval { value: 25.0, p10: 23.2, p90: 28.2 };
        let paper = Paper::plain(UnitSystem::Trade);
        assert_eq!(paper.band(band, Quantity::Torque), "23.2 to 28.2 N m");
    }

    #[test]
    fn a_number_keeps_its_unit() {
        let paper = Paper { width: 20, has_ink: false, units: UnitSystem::Trade };
        assert_eq!(paper.wrap("sea margin it takes 0 %.", 0), "sea margin it takes\n0 %.\n");
        assert_eq!(
            paper.wrap("a torque of about 23.2 N m at 6 m", 0),
            "a torque of about\n23.2 N m at 6 m\n"
        );
        assert_eq!(paper.wrap("the shaft turns 12 or more", 0), "the shaft turns 12\nor more\n");
    }

    #[test]
    fn wraps_at_the_width_whatever_the_ink() {
        let paper = Paper { width: 20, has_ink: true, units: UnitSystem::Trade };
        let strong = paper.ink(Ink::Strong, "stops her");
        let wrapped = paper.wrap(&format!("the bank's voltage {strong} at once"), 2);
        assert!(wrapped.lines().all(|line| visible_length(line) <= 20), "{wrapped}");
    }
}
