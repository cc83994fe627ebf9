//! `check` as text: the document's doubts, what was estimated, the boat against common practice.
//! Not for: faults of a document (`wakewright-records` renders them).

use wakewright_core::notice::Notice;
use wakewright_core::practice::{Finding, Standing};
use wakewright_units::{Digits, Quantity, format_quantity};

use crate::text::{Ink, Paper};

/// The whole text. `doubts` are lines that the document already gave.
#[must_use]
pub fn check_text(
    name: &str,
    findings: &[Finding],
    (doubts, doubt_count): (&str, usize),
    notices: &[Notice],
    paper: &Paper,
) -> String {
    let sentence = check_sentence(name, findings, doubt_count);
    let mut out = paper.wrap(&paper.ink(Ink::Plain, &sentence), 0);
    out += "\nHeld against common practice\n";
    let mut gravest_first: Vec<&Finding> = findings.iter().collect();
    gravest_first.sort_by_key(|finding| match finding.standing {
        Standing::Forbidden => 0,
        Standing::Duty => 1,
        Standing::Unusual => 2,
        Standing::Usual => 3,
    });
    for finding in gravest_first {
        let (mark, ink) = match finding.standing {
            Standing::Usual => ("ok", Ink::Passes),
            Standing::Unusual => ("? ", Ink::Strong),
            Standing::Duty => ("! ", Ink::Binds),
            Standing::Forbidden => ("!!", Ink::Binds),
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
    let estimates: Vec<&Notice> = notices.iter().filter(|n| n.estimated().is_some()).collect();
    if !estimates.is_empty() {
        out += "\nEstimated because not given\n";
        for notice in estimates {
            out += &paper.wrap_hanging(&format!("- {} [{}]", notice.text(), notice.source()), 2, 4);
        }
    }
    let remarks: Vec<&Notice> = notices.iter().filter(|n| n.estimated().is_none()).collect();
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
pub fn check_sentence(name: &str, findings: &[Finding], doubts: usize) -> String {
    let of = |standing: Standing| findings.iter().filter(move |f| f.standing == standing);
    let forbidden: Vec<&str> = of(Standing::Forbidden).map(|finding| finding.topic).collect();
    // What is doubted in the document is worth a second look as much as what practice would not expect.
    let unusual = of(Standing::Unusual).count() + doubts;
    let duties: Vec<&str> = of(Standing::Duty).map(|finding| finding.meaning).collect();
    let duties =
        if duties.is_empty() { String::new() } else { format!(" It brings a duty: {}.", duties.join("; ")) };
    let sound = format!("The document of {name} holds together");
    match (forbidden.as_slice(), unusual) {
        ([], 0) => format!("{sound}, and she is as such boats usually are.{duties}"),
        ([], n) => format!("{sound}; {} worth a second look.{duties}", things(n)),
        (forbidden, n) => {
            let more = if n > 0 {
                format!(" {} worth a second look.", crate::sentence::capitalised(&things(n)))
            } else {
                String::new()
            };
            format!("Mend this on {name} first, it must not be so: {}.{duties}{more}", forbidden.join("; "))
        }
    }
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
