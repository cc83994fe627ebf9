//! A starting document: every field with its help and an example, answers filled in.
//! Not for: checking the answers.

use super::descriptor::{Field, FieldKind, Presence, Section};
use super::fields::SECTIONS;
use super::wrap::push_wrapped;
use std::fmt::Write as _;

const HEAD: &str = "\
# Boat document. Each value is written with its unit in quotes: \"12 in\", \"5.4 t\", \"27 ft 6 in\".
# Mark what you did not measure: \"5.4 t, plate\" (or from a paper), \"5.4 t, chosen\", \"5.4 t, assumed\"
# or \"~5.4 t\". How sure you are may follow:
# \"5.4 t ± 0.3 t\" means that four times in five the truth lies within 0.3 t on either side.
# A line behind # is not read; take the # away to fill it in.
";

/// A document with `answers` (address and text) filled in: `hull.draught`, `pack[2].capacity`.
/// Required fields of a section that is begun stand empty, other unanswered fields and sections
/// behind `#`.
#[must_use]
pub fn new_document(answers: &[(&str, &str)]) -> String {
    let mut out = HEAD.to_owned();
    for section in SECTIONS {
        if section.is_repeated {
            let rows =
                (1..).take_while(|row| has_answers(answers, &format!("{}[{row}].", section.name))).count();
            for row in 1..=rows.max(1) {
                write_section(&mut out, section, &format!("{}[{row}]", section.name), answers, row == 1);
            }
        } else {
            write_section(&mut out, section, section.name, answers, true);
        }
    }
    out
}

fn has_answers(answers: &[(&str, &str)], prefix: &str) -> bool {
    answers.iter().any(|(address, _)| address.starts_with(prefix))
}

fn write_section(
    out: &mut String,
    section: &Section,
    place: &str,
    answers: &[(&str, &str)],
    with_help: bool,
) {
    let is_begun = section.is_required || has_answers(answers, &format!("{place}."));
    out.push_str("\n\n");
    if with_help {
        push_wrapped(out, "#", &format!("{}. {}", section.heading, section.help));
    }
    let mark = if is_begun { "" } else { "# " };
    let (open, close) = if section.is_repeated { ("[[", "]]") } else { ("[", "]") };
    // Writing into a String cannot fail.
    let _ = writeln!(out, "{mark}{open}{}{close}", section.name);
    for field in section.fields {
        let address = format!("{place}.{}", field.name());
        let answer = answers.iter().find(|(key, _)| *key == address).map(|(_, text)| *text);
        if with_help {
            out.push('\n');
            push_wrapped(out, "#", &field_remark(field));
        }
        let _ = match answer {
            Some(text) => writeln!(out, "{} = {}", field.name(), field.literal(text)),
            None if is_begun && field.presence == Presence::Required => {
                writeln!(out, "{} = \"\"  # required, for example {}", field.name(), field.example)
            }
            None => writeln!(out, "# {} = {}", field.name(), field.literal(field.example)),
        };
    }
}

/// Help, words to choose from, and what stands in when it is left out.
pub(super) fn field_remark(field: &Field) -> String {
    let mut text = format!("{}{}: {}", field.label[..1].to_uppercase(), &field.label[1..], field.help);
    if let FieldKind::Choice(choices) = field.kind {
        let words: Vec<&str> = choices.iter().map(|choice| choice.word).collect();
        let _ = write!(text, " One of: {}.", words.join(", "));
    }
    let _ = match field.presence {
        Presence::Required => Ok(()),
        Presence::Estimated { how, .. } => write!(text, " Left out: estimated from {how}."),
        Presence::Default(default) => write!(text, " Left out: {default}."),
        Presence::Optional => write!(text, " May be left out."),
    };
    text
}
