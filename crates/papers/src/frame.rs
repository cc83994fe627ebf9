//! The file around every paper: fonts, colours and sheets of paper within it, nothing that is fetched.
//! Not for: what stands on it.

use maud::{DOCTYPE, Markup, PreEscaped, html};
use wakewright_picture::{Face, Ink, Theme, embedded_css};
use wakewright_rooms::sentence::does_more_than_show;
use wakewright_units::UnitSystem;

use crate::VERSION;
use crate::fingerprint::units_word;

static STYLE: &str = include_str!("paper.css");

/// What stands in the head of a file.
pub struct Head<'a> {
    /// In the browser's tab.
    pub title: &'a str,
    /// Name of the boat.
    pub boat: &'a str,
    /// Which paper, for whom.
    pub of: &'a str,
    /// Units.
    pub units: UnitSystem,
    /// Fingerprint, in full.
    pub fingerprint: &'a str,
    /// What stands at the foot of every sheet.
    pub foot: &'a str,
    /// Day of the revision, `2026-05-02`; none for a document from a file.
    pub day: Option<&'a str>,
    /// Faces that it is written in.
    pub faces: &'a [Face],
}

impl Head<'_> {
    /// What a file says of itself, by names; the boat last, since her name may hold anything.
    pub fn claims(&self) -> [(&'static str, &str); 5] {
        [
            ("for", self.of),
            ("units", units_word(self.units)),
            ("version", VERSION),
            ("fingerprint", self.fingerprint),
            ("boat", self.boat),
        ]
    }
}

/// The whole file with `body` as its contents; `script` is run where scripts run, and nothing needs it.
pub fn file(head: &Head<'_>, body: &Markup, script: &str) -> String {
    let inks: String =
        Ink::ALL.iter().map(|ink| format!("--{}:{};", ink.name(), Theme::Light.paint(*ink))).collect();
    let foot = css_text(head.foot);
    let style = format!(
        "{}:root{{{inks}}}{STYLE}@page{{@bottom-left{{content:\"{foot}\"}}@bottom-right{{content:counter(page) \" of \" counter(pages)}}}}",
        embedded_css(head.faces)
    );
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                @for (name, value) in head.claims() { meta name={ "wakewright-" (name) } content=(value); }
                @if let Some(day) = head.day { meta name="date" content=(day); }
                title { (head.title) }
                style { (PreEscaped(style)) }
            }
            body {
                main { (body) }
                @if !script.is_empty() { script { (PreEscaped(script)) } }
            }
        }
    };
    harmless(&page.into_string())
}

/// What somebody typed into a note does nothing on paper either; what no file may hold is marked too.
pub fn harmless(text: &str) -> String {
    let is_harmful = |c: char| does_more_than_show(c) || matches!(c, '\u{fffe}' | '\u{ffff}' | '\u{feff}');
    let one = |c: char| if c != '\n' && c != '\t' && is_harmful(c) { '\u{fffd}' } else { c };
    text.chars().map(one).collect()
}

/// `text` as it may stand between quotes in a style: letters, digits and blanks as they are, all else by its number.
fn css_text(text: &str) -> String {
    let one = |c: char| match c {
        c if c.is_ascii_alphanumeric() || c == ' ' => c.to_string(),
        c if c.is_control() => String::new(),
        c => format!("\\{:x} ", u32::from(c)),
    };
    text.chars().map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_ends_the_style_early() {
        assert_eq!(css_text("a\"}</style>"), "a\\22 \\7d \\3c \\2f style\\3e ");
        assert_eq!(css_text("Sea\nCampion 2"), "SeaCampion 2");
    }
}
