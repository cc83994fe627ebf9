//! The one sentence with which a page, command or report section opens, made from the results.
//! Not for: tables and pictures.

/// A finding in words: the opening sentence, and what goes with it in one or two more.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Finding {
    /// What was found.
    pub sentence: String,
    /// The words of the sentence that name what binds, for emphasis.
    pub binding: String,
    /// The figure of the sentence that is set apart.
    pub figure: String,
    /// How sure, and what comes next.
    pub further: String,
}

/// The name of a month from 1 to 12.
#[must_use]
pub fn month_name(month: u32) -> &'static str {
    const NAMES: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    NAMES[(month.clamp(1, 12) - 1) as usize]
}

/// The same with a capital at its beginning.
#[must_use]
pub fn capitalised(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + chars.as_str())
}
