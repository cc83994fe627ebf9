//! Causes, forecasts, and forecasts that are held, as answers: their sheets in the order in which they are
//! read, with the words between them. Not for: the page's own parts, pictures.

use wakewright_core::causes::{
    CAUSES_SHEETS, Diagnosis, FORECAST_SHEETS, Forecast, HELD_SHEETS, HeldForecast, Measure, ShortfallPoint,
};
use wakewright_core::caution::{of_remedies, of_trials};
use wakewright_core::notice::{Notice, Severity};
use wakewright_core::sheet::{AnySheet, Filled};

use super::finding::{causes_finding, forecast_finding, score_sentence};
use super::said::{
    apart_sentences, fit_sentence, is_reading_shown, is_small, is_telling, look_first, point_title,
    sampling_sentence, score_error_sentence, small_causes, stops_text, together, unfitted,
};
use crate::room::{Answer, Block};
use crate::text::{Finding, Paper};

/// Every sheet of what was found, filled.
#[must_use]
pub fn filled<F>(sheets: &[&dyn AnySheet<F>], found: &F) -> Vec<Filled> {
    sheets.iter().map(|sheet| sheet.fill(found)).collect()
}

/// What makes her slow.
#[must_use]
pub fn causes_answer(name: &str, diagnosis: &Diagnosis, paper: &Paper) -> Answer {
    let sheets = filled(&CAUSES_SHEETS, diagnosis);
    let mut blocks = Vec::new();
    // Where nothing fits, shares of causes would be figures of a model that is refused.
    if !diagnosis.tells_nothing() {
        blocks
            .extend((0..diagnosis.points.len()).map(|point| shares_block(diagnosis, point, &sheets, paper)));
        let apart = apart_sentences(diagnosis, paper);
        if !apart.is_empty() {
            blocks.push(Block::words("What these runs cannot tell apart", apart));
        }
        blocks.push(odd_block(diagnosis, &sheets));
        blocks.push(next_block(diagnosis, &sheets).remark(look_first(diagnosis).unwrap_or_default()));
    }
    blocks.push(readings_block(diagnosis, &sheets));
    let mut fit = vec![fit_sentence(diagnosis, paper)];
    fit.extend(diagnosis.fit.misfits.iter().map(|misfit| misfit.text(diagnosis)));
    fit.push(sampling_sentence(diagnosis));
    blocks.push(Block::words("How well it fits", fit));
    if !diagnosis.calibrated.is_empty() {
        let hint = "What this trial knows better than her document can be adopted (--adopt), so that range and options use it.";
        blocks.push(Block::words("", hint.to_owned()));
    }
    let mut notices = remarks(diagnosis);
    notices.extend(of_trials());
    Answer::of_sheets(causes_finding(name, diagnosis, paper), sheets, blocks, notices)
}

/// What to know of how its trials are read.
#[must_use]
pub fn remarks(diagnosis: &Diagnosis) -> Vec<Notice> {
    let remarks = diagnosis.problem.epochs.iter().map(|epoch| &epoch.remark);
    let remarks = remarks.filter(|remark| !remark.is_empty());
    remarks.map(|remark| Notice::Read { severity: Severity::Weak, text: remark.clone() }).collect()
}

/// What each cause takes at a point, but for those that take next to nothing.
#[must_use]
pub fn shares_block(diagnosis: &Diagnosis, number: usize, sheets: &[Filled], paper: &Paper) -> Block {
    let point: &ShortfallPoint = &diagnosis.points[number];
    let shown: Vec<bool> = diagnosis
        .points
        .iter()
        .enumerate()
        .flat_map(|(at, point)| point.shares.iter().map(move |share| at == number && !is_small(share)))
        .collect();
    let small = small_causes(point);
    let rest =
        if small.is_empty() { String::new() } else { format!(" Next to nothing: {}.", small.join("; ")) };
    Block::sheet(sheets, "shares")
        .with_rows(|place| shown[place])
        .title(&point_title(point, paper))
        .remark(together(point, paper) + &rest)
}

/// What may be odd about her.
#[must_use]
pub fn odd_block(diagnosis: &Diagnosis, sheets: &[Filled]) -> Block {
    use wakewright_core::causes::Hypothesis::Nothing;
    let is_odd = |place: usize| {
        let (odd, probability) = diagnosis.oddities[place];
        odd.what != Nothing && probability > 0.005
    };
    Block::sheet(sheets, "odd").with_rows(is_odd)
}

/// What to do next that tells something, most telling first.
#[must_use]
pub fn next_block(diagnosis: &Diagnosis, sheets: &[Filled]) -> Block {
    const MOST: usize = 6;
    let telling: Vec<usize> =
        (0..diagnosis.next.len()).filter(|place| is_telling(&diagnosis.next[*place])).take(MOST).collect();
    Block::sheet(sheets, "next").with_rows(|place| telling.contains(&place))
}

/// Run by run, what was read but for the shaft speed, which was held.
#[must_use]
pub fn readings_block(diagnosis: &Diagnosis, sheets: &[Filled]) -> Block {
    let readings = diagnosis.runs.iter().flat_map(|fit| &fit.readings);
    let shown: Vec<bool> = readings.map(|(datum, ..)| is_reading_shown(datum.kind)).collect();
    let left_out = unfitted(diagnosis);
    let remark =
        if left_out.is_empty() { String::new() } else { format!("Not fitted: {}.", left_out.join("; ")) };
    Block::sheet(sheets, "readings").with_rows(|place| shown[place]).remark(remark)
}

/// What remedies will give.
#[must_use]
pub fn forecast_answer(name: &str, forecasts: &[Forecast], paper: &Paper) -> Answer {
    let forecasts = forecasts.to_vec();
    let sheets = filled(&FORECAST_SHEETS, &forecasts);
    let has_state = |place: usize| {
        [Measure::FullSpeed, Measure::CruiseSpeed].iter().all(|of| forecasts[place].of(*of).is_some())
    };
    let remark = stops_text(&forecasts)
        + " Both with the same samples of everything unknown, in a calm; \"helps\": a twentieth of a knot or more at full \
           throttle.";
    let blocks = vec![Block::sheet(&sheets, "forecasts").with_rows(has_state).remark(remark.trim_start())];
    Answer::of_sheets(forecast_finding(name, &forecasts, paper), sheets, blocks, of_remedies())
}

/// How forecasts fared.
#[must_use]
pub fn held_answer(held: &[HeldForecast], paper: &Paper) -> Answer {
    let held = held.to_vec();
    let sheets = filled(&HELD_SHEETS, &held);
    let is_held = |held: &&HeldForecast| {
        held.scores.iter().any(|score| score.measure == Measure::FullSpeed && score.is_inside)
    };
    let sentence = match held.as_slice() {
        [one] => score_sentence(&one.remedy, &one.scores, paper),
        all => format!(
            "Of {} forecasts kept, {} held at full throttle.",
            all.len(),
            all.iter().filter(is_held).count()
        ),
    };
    let mut blocks = Vec::new();
    let mut first = 0;
    for one in &held {
        if held.len() > 1 {
            blocks.push(Block::words("", score_sentence(&one.remedy, &one.scores, paper)));
        }
        let (from, to) = (first, first + one.scores.len());
        first = to;
        blocks.push(
            Block::sheet(&sheets, "scores")
                .with_rows(|place| (from..to).contains(&place))
                .title(&format!("\"{}\", made on {}", one.remedy, one.made_on))
                .remark(score_error_sentence(&one.scores, paper).unwrap_or_default()),
        );
    }
    Answer::of_sheets(Finding { sentence, ..Finding::default() }, sheets, blocks, Vec::new())
}
