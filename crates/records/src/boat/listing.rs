//! The fields as text to read: for the command line, and as a page of the manual.

use super::descriptor::{Field, FieldKind, Presence, Section};
use super::fields::SECTIONS;
use super::spread_rule::SpreadRule;
use std::fmt::Write as _;
use wakewright_units::{UnitSystem, accepted_units, unit_for};

/// One line for each field: key, example, whether it is needed, label; for a terminal.
#[must_use]
pub fn field_listing() -> String {
    let mut out = String::new();
    let key_width = SECTIONS.iter().flat_map(|s| s.fields).map(|f| f.key.len()).max().unwrap_or(0);
    for section in SECTIONS {
        // Writing into a String cannot fail.
        let _ = writeln!(out, "{}\n", header(section));
        for field in section.fields {
            let needed = match field.presence {
                Presence::Required => "required",
                Presence::Estimated { .. } => "estimated",
                Presence::Optional => "optional",
                Presence::Default(text) => text,
            };
            let _ = writeln!(out, "  {:key_width$}  {:10}  {}", field.key, needed, field.label);
        }
        out.push('\n');
    }
    out
}

fn header(section: &Section) -> String {
    if section.is_repeated { format!("[[{}]]", section.name) } else { format!("[{}]", section.name) }
}

/// The page of the manual on the boat document.
#[must_use]
pub fn manual_markdown() -> String {
    let mut out = String::from(HEAD);
    for section in SECTIONS {
        let needed = if section.is_required { "always there" } else { "where it applies" };
        let _ = write!(
            out,
            "\n## `{}` {}\n\n{} ({needed})\n\n| field | what | example | left out | limits | band |\n|---|---|---|---|---|---|\n",
            header(section),
            section.heading,
            section.help
        );
        for field in section.fields {
            let _ = writeln!(out, "{}", table_row(field));
        }
        for field in section.fields {
            if let FieldKind::Choice(choices) = field.kind {
                let words: Vec<String> =
                    choices.iter().map(|c| format!("`{}` ({})", c.word, c.help)).collect();
                let _ = writeln!(out, "\n`{}`: {}.", field.name(), words.join("; "));
            }
        }
    }
    out.push_str("\n## Units\n\n| kind | units |\n|---|---|\n");
    let mut seen = Vec::new();
    for quantity in wakewright_units::Quantity::ALL {
        let dimension = quantity.dimension();
        if !seen.contains(&dimension) {
            seen.push(dimension);
            let _ = writeln!(out, "| {} | {} |", dimension.name(), accepted_units(dimension));
        }
    }
    out
}

const HEAD: &str = "\
# The boat document

One file for each boat, in TOML. Each value is text in quotes with its unit: `pitch = \"15 in\"`,
`displacement = \"5.4 t\"`. Whole numbers and `true` or `false` stand without quotes, plain ratios may.

- Lengths may be feet and inches and fractions: `27 ft 6 in`, `12 1/2 in`. For the inch sign use single
  quotes outside: `'12\"'`. A decimal comma is read (`8,4 m`); a comma with three digits behind it sets off
  thousands (`12,000 lb`).
- A value is measured unless it says otherwise: `\"5.4 t, plate\"` (or from a paper), `\"5.4 t, chosen\"`,
  `\"5.4 t, assumed\"`, or `\"~5.4 t\"`. What is set and cannot be measured is chosen unless it says otherwise.
- `\"5.4 t ± 0.3 t\"` (also `+/-`, and `± 5 %`) says how sure it is: four times in five the truth lies within.
  Without it the band of the last column is taken, first for a value that is measured, chosen or on a plate, then for an assumed one. Where the
  value itself is in %, the band is in the same points.
- Sections that are not there yet may be left out; a computation that needs one says so.
- Values outside the limits are refused. Unusual ones are doubted, and used.
";

fn table_row(field: &Field) -> String {
    let left_out = match field.presence {
        Presence::Required => "**required**".to_owned(),
        Presence::Optional => "nothing".to_owned(),
        Presence::Default(text) => format!("`{text}`"),
        Presence::Estimated { how, source } => format!("estimated from {how} ({source})"),
    };
    let limits = match (field.possible, field.usual) {
        (Some(possible), Some(usual)) => {
            format!("{}; usually {}", field.range_text(possible), field.range_text(usual))
        }
        (Some(possible), None) => field.range_text(possible),
        _ => String::new(),
    };
    format!(
        "| `{}` | {}: {} | `{}` | {left_out} | {limits} | {} |",
        field.name(),
        field.label,
        field.help,
        field.example,
        bands(field)
    )
}

fn bands(field: &Field) -> String {
    if field.quantity().is_none() {
        return String::new();
    }
    let (measured, assumed) = (band(field, field.spread_measured), band(field, field.spread_assumed));
    if measured == assumed { measured } else { format!("{measured}, {assumed}") }
}

fn band(field: &Field, rule: SpreadRule) -> String {
    match rule {
        SpreadRule::Exact => "exact".to_owned(),
        SpreadRule::Relative(fraction) => format!("± {} %", two_digits(fraction * 100.0)),
        SpreadRule::Factor(low, high) => format!("× {low:.2} to {high:.2}"),
        SpreadRule::Absolute(half_width) => {
            let unit = field.quantity().map(|quantity| unit_for(quantity, UnitSystem::Trade));
            // A difference: the zero of a temperature scale plays no part.
            let (factor, symbol) = unit.map_or((1.0, ""), |unit| (unit.factor, unit.symbol()));
            let symbol = if symbol == "%" { "points" } else { symbol };
            format!("± {} {symbol}", two_digits(half_width / factor)).trim_end().to_owned()
        }
    }
}

/// Two significant digits without idle zeros: 0.5, 2, 0.079.
fn two_digits(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return "0".to_owned();
    }
    let places = (1 - value.abs().log10().floor() as i32).max(0) as usize;
    let text = format!("{value:.places$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}
