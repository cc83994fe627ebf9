//! `check` as text: the document's doubts, what was estimated, the boat against common practice.
//! Not for: faults of a document (`wakewright-records` renders them).

use wakewright_core::notice::Notice;
use wakewright_core::practice::{Finding, Standing};
use wakewright_units::{Digits, Quantity, format_quantity};

use super::paper::{Ink, Paper};

/// The whole text. `doubts` are lines that the document already gave.
#[must_use]
pub fn check_text(
    name: &str,
    findings: &[Finding],
    doubts: &str,
    notices: &[Notice],
    paper: &Paper,
) -> String {
    let sentence = check_sentence(name, findings);
    let mut out = paper.wrap(&paper.ink(Ink::Plain, &sentence), 0);
    out += "\nHeld against common practice\n";
    for finding in findings {
        let (mark, ink) = match finding.standing {
            Standing::Usual => ("ok", Ink::Passes),
            Standing::Unusual => ("? ", Ink::Strong),
            Standing::Danger => ("!!", Ink::Binds),
        };
        let value = format_quantity(finding.value, finding.quantity, paper.units, Digits::Usual);
        let line = format!("{}: {value} ({})", finding.topic, usual_text(finding, paper));
        out += &paper.marked(mark, ink, &line);
        if finding.standing != Standing::Usual {
            out += &paper.wrap(&format!("{} [{}]", capitalised(finding.meaning), finding.source), 5);
        }
    }
    if !doubts.is_empty() {
        out += "\nDoubts about values in the document\n";
        out += doubts;
    }
    let estimates: Vec<&Notice> = notices.iter().filter(|n| matches!(n, Notice::Estimated { .. })).collect();
    if !estimates.is_empty() {
        out += "\nEstimated because not given\n";
        for notice in estimates {
            out += &paper.wrap_hanging(&format!("- {} [{}]", notice.text(), notice.source()), 2, 4);
        }
    }
    let remarks: Vec<&Notice> = notices.iter().filter(|n| !matches!(n, Notice::Estimated { .. })).collect();
    if !remarks.is_empty() {
        out += "\nRemarks\n";
        for notice in remarks {
            out += &paper.wrap_hanging(&format!("- {} [{}]", notice.text(), notice.source()), 2, 4);
        }
    }
    out
}

/// The sentence that says how document and boat stand.
#[must_use]
pub fn check_sentence(name: &str, findings: &[Finding]) -> String {
    let unusual = findings.iter().filter(|f| f.standing != Standing::Usual).count();
    let danger = findings.iter().filter(|f| f.standing == Standing::Danger).count();
    let sound = format!("The document of {name} holds together");
    match (unusual - danger, danger) {
        (0, 0) => format!("{sound}, and she is as such boats usually are."),
        (n, 0) => format!("{sound}; {} worth a second look.", things(n)),
        (0, d) => {
            format!("{sound}; {d} of the rules below {} can hurt somebody or break something.", broken(d))
        }
        (n, d) => format!(
            "{sound}; {} worth a second look, and {d} of the rules below {} can hurt somebody or break something.",
            things(n),
            broken(d)
        ),
    }
}

fn broken(n: usize) -> &'static str {
    if n == 1 { "is broken in a way that" } else { "are broken in ways that" }
}

fn things(n: usize) -> String {
    if n == 1 { "one thing is".to_owned() } else { format!("{n} things are") }
}

/// `usual 0.7 kW to 2.5 kW`, `usual up to 30 m/s`, `usual from 10 %`.
#[must_use]
pub fn usual_text(finding: &Finding, paper: &Paper) -> String {
    let write = |si: f64| {
        let quantity = finding.quantity;
        let digits = if quantity == Quantity::Share { Digits::Decimals(0) } else { Digits::Usual };
        format_quantity(si, quantity, paper.units, digits)
    };
    let (low, high) = finding.usual;
    match (low > 0.0, high.is_finite()) {
        (true, true) => format!("usual {} to {}", write(low), write(high)),
        (true, false) => format!("usual from {}", write(low)),
        _ => format!("usual up to {}", write(high)),
    }
}

fn capitalised(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + chars.as_str() + ".")
}
