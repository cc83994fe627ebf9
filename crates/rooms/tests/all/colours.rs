//! Colours of pictures and style sheet are one set, and their contrasts meet WCAG 2.2 AA.

// Helpers of tests may fail loudly.
#![allow(clippy::unwrap_used)]

use wakewright_picture::{Ink, Theme};

const STYLE: &str = include_str!("../../../web/static/style.css");

/// Relative luminance. Source: [wcag2023] "relative luminance".
fn luminance(colour: &str) -> f64 {
    let channel = |from: usize| {
        let value = f64::from(u8::from_str_radix(&colour[from..from + 2], 16).unwrap()) / 255.0;
        if value <= 0.040_45 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
}

/// Contrast ratio. Source: [wcag2023] "contrast ratio".
fn contrast(a: &str, b: &str) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// The rule block of the style sheet that begins with that selector.
fn block(selector: &str) -> &'static str {
    let start = STYLE.find(selector).unwrap_or_else(|| panic!("no {selector}"));
    let rest = &STYLE[start..];
    &rest[..rest.find('}').unwrap()]
}

fn token(block: &str, name: &str) -> String {
    let key = format!("--{name}: ");
    let start = block.find(&key).unwrap_or_else(|| panic!("no --{name}")) + key.len();
    block[start..].split(';').next().unwrap().trim().to_owned()
}

const BLOCKS: [(&str, Theme); 4] = [
    (":root, [data-theme=\"light\"] {", Theme::Light),
    (":root:not([data-theme]) {", Theme::Dark),
    ("\n[data-theme=\"dark\"] {", Theme::Dark),
    ("[data-theme=\"night\"] {", Theme::Night),
];

/// Published pairs: black on white 21, mid grey #767676 on white 4.54 (WCAG's threshold pair; from memory).
#[test]
fn contrast_formula_gives_known_pairs() {
    assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
    assert!((contrast("#767676", "#ffffff") - 4.54).abs() < 0.005);
}

#[test]
fn pictures_and_style_sheet_hold_the_same_colours() {
    for (selector, theme) in BLOCKS {
        for ink in Ink::ALL {
            assert_eq!(token(block(selector), ink.name()), theme.paint(ink), "{selector} {ink:?}");
        }
    }
}

#[test]
fn contrasts_meet_wcag_aa_in_every_theme() {
    for (selector, theme) in BLOCKS {
        let mut line = format!("{theme:?}:");
        for ink in [Ink::Ink, Ink::Muted, Ink::Binds, Ink::Passes] {
            for paper in [Ink::Ground, Ink::Raised] {
                let ratio = contrast(theme.paint(ink), theme.paint(paper));
                line += &format!(" {}/{} {ratio:.2}", ink.name(), paper.name());
                assert!(ratio >= 4.5, "{theme:?}: {ink:?} on {paper:?} has only {ratio:.2}");
            }
        }
        // What differs in a conflict stands on the tint; controls and marks need 3 : 1 against the paper.
        let on_tint = contrast(theme.paint(Ink::Ink), theme.paint(Ink::Tint));
        let edge = contrast(&token(block(selector), "edge"), theme.paint(Ink::Ground));
        println!("{line} ink/tint {on_tint:.2} edge/ground {edge:.2}");
        assert!(on_tint >= 3.0, "{theme:?}: ink on tint {on_tint:.2}");
        assert!(edge >= 3.0, "{theme:?}: edge {edge:.2}");
    }
}
