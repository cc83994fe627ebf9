//! Alternatives as text: one column each where 80 columns hold them, else one table each.
//! Not for: the words of the finding.

use wakewright_core::notice::Notice;
use wakewright_core::options::Column;

use super::OptionsScene;
use super::finding::{options_finding, shaft_power_words};
use super::rows::{alternative_words, better_share, cells, label, sections};
use super::scale::Scale;
use crate::text::{Align, Ink, Paper, Table, finding_text, notices_text};

/// The whole text.
#[must_use]
pub fn options_text(scene: &OptionsScene<'_>, paper: &Paper) -> String {
    let mut out = finding_text(&options_finding(scene, paper), paper);
    out += "\nLaid beside her\n";
    for (column, i) in scene.comparison.columns.iter().skip(1).zip(0..) {
        out += &alternative_text(scene, column, i, paper);
    }
    let side_by_side = side_by_side(scene, paper);
    let fits = side_by_side.lines().all(|line| crate::text::visible_length(line) <= paper.width);
    out += &if fits { side_by_side } else { stacked(scene, paper) };
    out += &paper.wrap(LEGEND, 2);
    out += "\nWhy they differ at the shaft\n";
    for sentence in shaft_power_words(scene, paper) {
        out += &paper.wrap_hanging(&sentence, 2, 4);
    }
    let notices: Vec<Notice> = scene.comparison.notices().into_iter().cloned().collect();
    out += &notices_text(&notices, paper);
    out
}

const LEGEND: &str = "Beside the boat as she is stand differences; below each its 80 % band, taken sample by sample in the same \
    sea with the same hull: it is surer than either figure. ~ marks what lies within the noise. A changed part has an error of \
    its own. A crash stop counts from the moment the shaft turns astern.";

fn alternative_text(scene: &OptionsScene<'_>, column: &Column, i: usize, paper: &Paper) -> String {
    let Some(words) = scene.words.get(i) else { return String::new() };
    let mut text = format!("\"{}\": {}.", column.name, words.changes.join(", "));
    for sentence in alternative_words(scene, i + 1, paper) {
        text += &format!(" {sentence}");
    }
    paper.wrap_hanging(&text, 2, 4)
}

/// Columns that a name may take in a head before it is broken.
const NAME_WIDTH: usize = 10;

fn side_by_side(scene: &OptionsScene<'_>, paper: &Paper) -> String {
    let mut out = String::new();
    for (heading, rows) in sections(scene, paper) {
        let names: Vec<String> =
            scene.comparison.columns.iter().map(|column| broken(&column.name, NAME_WIDTH)).collect();
        let mut heads: Vec<(&str, Align)> = vec![("", Align::Left)];
        heads.extend(names.iter().map(|name| (name.as_str(), Align::Right)));
        let mut table = Table::new(&heads);
        for (m, measure) in rows {
            let scale = Scale::of(measure.kind, paper);
            let columns = &scene.comparison.columns;
            let own = columns[0].values[m];
            let mut first =
                vec![label(measure.kind, &scale), own.map_or("-".to_owned(), |i| scale.value(i.value))];
            let mut second = vec![String::new(), own.map_or(String::new(), |i| scale.band(i))];
            for column in &columns[1..] {
                let (value, band) = cells(column, m, measure.kind.better(), &scale);
                first.push(value);
                second.push(band);
            }
            table.row(Ink::Plain, first);
            if second.iter().any(|cell| !cell.is_empty()) {
                table.row(Ink::Faint, second);
            }
        }
        out += &format!("\n{heading}\n{}", table.render(paper, 0));
    }
    out
}

fn stacked(scene: &OptionsScene<'_>, paper: &Paper) -> String {
    let (base, alternatives) = (&scene.comparison.columns[0], &scene.comparison.columns[1..]);
    let mut out = String::new();
    for column in alternatives {
        for (heading, rows) in sections(scene, paper) {
            let mut table = Table::new(&[
                ("", Align::Left),
                ("as she is", Align::Right),
                ("becomes", Align::Right),
                ("difference", Align::Right),
                ("80 % band", Align::Right),
                ("better\nin", Align::Right),
            ]);
            for (m, measure) in rows {
                let scale = Scale::of(measure.kind, paper);
                let value = |of: &Column| of.values[m].map_or("-".to_owned(), |i| scale.value(i.value));
                let better = measure.kind.better();
                let difference = column.differences.get(m).copied().flatten();
                let (step, band) = match difference {
                    Some(_) => cells(column, m, better, &scale),
                    None => (String::new(), String::new()),
                };
                let share = difference.map_or(String::new(), |d| better_share(&d, better));
                table.row(
                    Ink::Plain,
                    vec![label(measure.kind, &scale), value(base), value(column), step, band, share],
                );
            }
            out += &format!("\n\"{}\", {}\n{}", column.name, lower_first(&heading), table.render(paper, 0));
        }
    }
    out
}

fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_lowercase().collect::<String>() + chars.as_str())
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
