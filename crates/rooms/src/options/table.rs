//! Alternatives as text: one column each where 80 columns hold them, else one table each.
//! Not for: which figures stand in it (`sections`).

use wakewright_core::options::{Difference, Laid, Verdict};
use wakewright_core::sheet::Better;
use wakewright_units::format_number;

use super::finding::Beside;
use super::sections::{Line, sections};
use crate::text::{Align, Ink, Table, visible_length};

const LEGEND: &str = "Beside the boat as she is stand differences; below each its 80 % band, taken sample by sample in the same \
    sea with the same hull: it is surer than either figure. ~ marks what lies within the noise. A changed part has an error of \
    its own. A crash stop counts from the moment the shaft turns astern.";

/// The tables with the word on how they are read.
pub(super) fn options_tables(beside: &Beside<'_>) -> String {
    let wide = side_by_side(beside);
    let fits = wide.lines().all(|line| visible_length(line) <= beside.paper.width);
    let tables = if fits { wide } else { stacked(beside) };
    tables + &beside.paper.wrap(LEGEND, 2)
}

fn difference_of(laid: &Laid, line: &Line) -> Option<Difference> {
    laid.differences.get(line.m).copied().flatten()
}

/// A difference and its band; where there is none to take, the value itself.
fn cells(laid: &Laid, line: &Line) -> (String, String) {
    let scale = &line.scale;
    match (difference_of(laid, line), laid.values[line.m]) {
        (Some(difference), _) => match difference.verdict(line.of.better) {
            Verdict::Same => ("=".to_owned(), String::new()),
            verdict => {
                let mark = if verdict == Verdict::Noise { "~" } else { "" };
                (
                    format!("{mark}{}", scale.signed(difference.interval.value)),
                    scale.signed_band(difference.interval),
                )
            }
        },
        (None, Some(interval)) => (format!("is {}", scale.value(interval.value)), scale.band(interval)),
        (None, None) => ("-".to_owned(), String::new()),
    }
}

/// Columns that a name may take in a head before it is broken.
const NAME_WIDTH: usize = 10;

fn side_by_side(beside: &Beside<'_>) -> String {
    let (own, others) = (&beside.found.columns[0], &beside.found.columns[1..]);
    let names: Vec<String> = beside.found.columns.iter().map(|laid| broken(&laid.name, NAME_WIDTH)).collect();
    let mut heads: Vec<(&str, Align)> = vec![("", Align::Left)];
    heads.extend(names.iter().map(|name| (name.as_str(), Align::Right)));
    let mut out = String::new();
    for (heading, lines) in sections(beside) {
        let mut table = Table::new(&heads);
        for line in lines {
            let (scale, value) = (&line.scale, own.values[line.m]);
            let mut first =
                vec![scale.label(line.of.words), value.map_or("-".to_owned(), |i| scale.value(i.value))];
            let mut second = vec![String::new(), value.map_or(String::new(), |i| scale.band(i))];
            for laid in others {
                let (value, band) = cells(laid, &line);
                first.push(value);
                second.push(band);
            }
            table.row(Ink::Plain, first);
            if second.iter().any(|cell| !cell.is_empty()) {
                table.row(Ink::Faint, second);
            }
        }
        out += &format!("\n{heading}\n{}", table.render(beside.paper, 0));
    }
    out
}

fn stacked(beside: &Beside<'_>) -> String {
    let (own, others) = (&beside.found.columns[0], &beside.found.columns[1..]);
    let mut out = String::new();
    for laid in others {
        for (heading, lines) in sections(beside) {
            let mut table = Table::new(&[
                ("", Align::Left),
                ("as she is", Align::Right),
                ("becomes", Align::Right),
                ("difference", Align::Right),
                ("80 % band", Align::Right),
                ("better\nin", Align::Right),
            ]);
            for line in lines {
                let value =
                    |of: &Laid| of.values[line.m].map_or("-".to_owned(), |i| line.scale.value(i.value));
                let difference = difference_of(laid, &line);
                let (step, band) = difference.map_or_else(Default::default, |_| cells(laid, &line));
                let share = difference.map_or(String::new(), |d| better_share(&d, line.of.better));
                table.row(
                    Ink::Plain,
                    vec![line.scale.label(line.of.words), value(own), value(laid), step, band, share],
                );
            }
            let heading = heading.replacen("At", "at", 1);
            out += &format!("\n\"{}\", {heading}\n{}", laid.name, table.render(beside.paper, 0));
        }
    }
    out
}

fn better_share(difference: &Difference, better: Better) -> String {
    match (better, difference.verdict(better)) {
        (Better::Neither, _) | (_, Verdict::Same) => String::new(),
        _ => format!("{} %", format_number(100.0 * difference.better_in(better), 0)),
    }
}

/// A name in lines of `width`, broken at blanks where there are any.
fn broken(name: &str, width: usize) -> String {
    let mut lines: Vec<String> = Vec::new();
    for word in name.split_whitespace() {
        let mut rest: Vec<char> = word.chars().collect();
        if let Some(last) = lines.last_mut()
            && last.chars().count() + 1 + rest.len() <= width
        {
            last.push(' ');
            last.extend(rest);
            continue;
        }
        while rest.len() > width {
            lines.push(rest.drain(..width).collect());
        }
        lines.push(rest.into_iter().collect());
    }
    lines.join("\n")
}
