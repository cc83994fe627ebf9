//! The causes as text for a terminal. Not for: forecasts (`forecast_text`).

use wakewright_core::causes::{Diagnosis, ShortfallPoint};
use wakewright_core::caution::of_trials;

use super::CausesScene;
use super::finding::causes_finding;
use super::said::{
    apart_sentences, fit_sentence, hundredths, is_small, look_first, odd_rows, point_title, reading_rows,
    sampling_sentence, small_causes, telling, unfitted,
};
use super::words::{knots, misfit_text, next_text, percent};
use crate::text::{Align, Ink, Paper, Table, finding_text, notices_text};

/// The whole text.
#[must_use]
pub fn causes_text(scene: &CausesScene<'_>, paper: &Paper) -> String {
    let diagnosis = scene.diagnosis;
    let mut out = finding_text(&causes_finding(scene, paper), paper);
    for point in &diagnosis.points {
        out += &format!("\n{}\n", paper.ink(Ink::Strong, &point_title(point, paper)));
        out += &shares_table(point, paper);
    }
    out += &apart(diagnosis, paper);
    out += &odd(diagnosis, paper);
    out += &next(diagnosis, paper);
    out += &runs(diagnosis, paper);
    out += &fit(diagnosis, paper);
    out += &calibrated_hint(diagnosis, paper);
    out += &notices_text(&of_trials(), paper);
    out
}

fn shares_table(point: &ShortfallPoint, paper: &Paper) -> String {
    let mut table = Table::new(&[
        ("cause", Align::Left),
        ("takes", Align::Right),
        ("80 %", Align::Left),
        ("main\ncause", Align::Right),
    ]);
    for share in &point.shares {
        if is_small(share) {
            continue;
        }
        let ink = if share.main_probability > 0.5 { Ink::Strong } else { Ink::Plain };
        table.row(
            ink,
            vec![
                share.cause.words().to_owned(),
                knots(paper, share.taken.value),
                hundredths(share.taken, paper),
                if share.main_probability < 0.005 { String::new() } else { percent(share.main_probability) },
            ],
        );
    }
    table.row(
        Ink::Faint,
        vec![
            "together".to_owned(),
            knots(paper, point.shortfall.value),
            hundredths(point.shortfall, paper),
            String::new(),
        ],
    );
    let small = small_causes(point);
    let mut out = table.render(paper, 2);
    if !small.is_empty() {
        out += &paper.wrap(&format!("Next to nothing: {}.", small.join("; ")), 2);
    }
    out
}

fn apart(diagnosis: &Diagnosis, paper: &Paper) -> String {
    let said = apart_sentences(diagnosis, paper);
    if said.is_empty() {
        return String::new();
    }
    let head = format!("\n{}\n", paper.ink(Ink::Strong, "What these runs cannot tell apart"));
    head + &said.iter().map(|sentence| paper.wrap(sentence, 2)).collect::<String>()
}

fn odd(diagnosis: &Diagnosis, paper: &Paper) -> String {
    let odd = odd_rows(diagnosis);
    if odd.is_empty() {
        return String::new();
    }
    let head = format!("\n{}\n", paper.ink(Ink::Strong, "Something odd about her"));
    head + &odd.iter().map(|(share, words)| format!("  {share:>5}  {words}\n")).collect::<String>()
}

fn next(diagnosis: &Diagnosis, paper: &Paper) -> String {
    if diagnosis.next.is_empty() {
        return String::new();
    }
    let mut table = Table::new(&[
        ("what to do next", Align::Left),
        ("doubt\ntaken", Align::Right),
        ("cause\nknown", Align::Right),
        ("width\nleft", Align::Right),
    ]);
    for next in telling(diagnosis) {
        table.row(
            Ink::Plain,
            vec![
                shortened(&next_text(next, paper), 50),
                percent(next.doubt_removed),
                percent(next.main_probability_after),
                percent(next.width_left),
            ],
        );
    }
    let look = look_first(diagnosis).map_or_else(String::new, |look| paper.wrap(look, 2));
    format!("\n{}\n{look}{}", paper.ink(Ink::Strong, "What would tell more"), table.render(paper, 2))
}

/// What stands before the first comma, where the whole is longer than a column.
fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.split_once(',').map_or(text, |(head, _)| head).to_owned()
}

fn runs(diagnosis: &Diagnosis, paper: &Paper) -> String {
    let mut table = Table::new(&[
        ("run", Align::Left),
        ("rpm", Align::Right),
        ("reading", Align::Left),
        ("measured", Align::Right),
        ("she\nshould", Align::Right),
        ("causes\ngive", Align::Right),
    ]);
    for row in reading_rows(diagnosis, paper) {
        let (place, shaft) = row.run.unwrap_or_default();
        table
            .row(Ink::Plain, vec![place, shaft, row.reading.to_owned(), row.measured, row.should, row.given]);
    }
    let unfitted = unfitted(diagnosis);
    let mut out = format!("\n{}\n{}", paper.ink(Ink::Strong, "Run by run"), table.render(paper, 2));
    if !unfitted.is_empty() {
        out += &paper.wrap(&format!("Not fitted: {}.", unfitted.join("; ")), 2);
    }
    out
}

fn fit(diagnosis: &Diagnosis, paper: &Paper) -> String {
    let mut out = format!("\n{}\n", paper.ink(Ink::Strong, "How well it fits"));
    out += &paper.wrap(&fit_sentence(diagnosis, paper), 2);
    for misfit in &diagnosis.fit.misfits {
        out += &paper.marked("!", Ink::Binds, &misfit_text(misfit, diagnosis));
    }
    out + &paper.wrap(&sampling_sentence(diagnosis), 2)
}

fn calibrated_hint(diagnosis: &Diagnosis, paper: &Paper) -> String {
    if diagnosis.calibrated.is_empty() {
        return String::new();
    }
    let text = "What this trial knows better than her document can be adopted (--adopt), so that range and options use it.";
    format!("\n{}", paper.wrap(text, 2))
}
