//! Forecasts, and how they fared, as text. Not for: causes.

use wakewright_core::causes::{Forecast, Measure, Score};
use wakewright_core::caution::of_remedies;
use wakewright_core::steady::Limit;
use wakewright_units::Quantity;

use super::finding::{forecast_finding, score_sentence};
use super::said::{bare_knots, hundredths};
use super::words::{knots, percent};
use crate::text::{Align, Ink, Paper, Table, finding_text, notices_text};

/// What remedies will give.
#[must_use]
pub fn forecast_text(name: &str, forecasts: &[Forecast], paper: &Paper) -> String {
    let mut out = finding_text(&forecast_finding(name, forecasts, paper), paper);
    let mut table = Table::new(&[
        ("remedy", Align::Left),
        ("full\nthrottle", Align::Right),
        ("gain", Align::Right),
        ("80 %", Align::Left),
        ("at cruising\npower", Align::Right),
        ("helps", Align::Right),
    ]);
    for row in forecast_rows(forecasts, paper) {
        let ink = if row.is_sure { Ink::Plain } else { Ink::Faint };
        table.row(ink, vec![row.remedy, row.after, row.gain, row.band, row.cruise_gain, row.helps]);
    }
    out.push('\n');
    out += &table.render(paper, 2);
    out += &paper.wrap(&stops_text(forecasts), 2);
    out += &paper.wrap(
        "Both with the same samples of everything unknown, in a calm; \"helps\": a twentieth of a knot or more at full throttle.",
        2,
    );
    out += &notices_text(&of_remedies(), paper);
    out
}

/// What a remedy gives, as it is shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ForecastRow {
    /// Its name.
    pub remedy: String,
    /// Speed at full throttle with it.
    pub after: String,
    /// What it gives there, without the unit of `after`.
    pub gain: String,
    /// The 80 % band of that.
    pub band: String,
    /// What it gives with the cruising power.
    pub cruise_gain: String,
    /// How probable it is that it helps.
    pub helps: String,
    /// It helps as good as surely.
    pub is_sure: bool,
}

/// The rows of the table of forecasts; a remedy with which she has no steady state has none.
#[must_use]
pub fn forecast_rows(forecasts: &[Forecast], paper: &Paper) -> Vec<ForecastRow> {
    let rows = forecasts.iter().filter_map(|forecast| {
        let (full, cruise) = (forecast.of(Measure::FullSpeed)?, forecast.of(Measure::CruiseSpeed)?);
        Some(ForecastRow {
            remedy: forecast.remedy.name.clone(),
            after: paper.decimals(full.after.value, Quantity::Speed, 1),
            gain: bare_knots(full.gain.value, paper),
            band: hundredths(full.gain, paper),
            cruise_gain: bare_knots(cruise.gain.value, paper),
            helps: percent(forecast.helps_probability),
            is_sure: forecast.helps_probability > 0.8,
        })
    });
    rows.collect()
}

/// What stops her afterwards; nothing without forecasts.
#[must_use]
pub fn stops_text(forecasts: &[Forecast]) -> String {
    let mut limits: Vec<(Limit, Vec<&str>)> = Vec::new();
    for forecast in forecasts {
        let limit = forecast.limit_after.0;
        match limits.iter_mut().find(|(known, _)| *known == limit) {
            Some((_, names)) => names.push(&forecast.remedy.name),
            None => limits.push((limit, vec![&forecast.remedy.name])),
        }
    }
    match limits.as_slice() {
        [] => String::new(),
        [(limit, _)] => format!("Afterwards {} stops her in every case.", limit.words()),
        several => {
            let said =
                several.iter().map(|(limit, names)| format!("{} with {}", limit.words(), names.join(", ")));
            format!("Afterwards she is stopped by {}.", said.collect::<Vec<_>>().join("; by "))
        }
    }
}

/// How a forecast fared.
#[must_use]
pub fn score_text(remedy: &str, made_on: &str, scores: &[Score], paper: &Paper) -> String {
    let mut out = paper.wrap(&score_sentence(remedy, scores, paper), 0);
    let mut table = Table::new(&[
        ("", Align::Left),
        ("before", Align::Right),
        ("forecast", Align::Right),
        ("80 %", Align::Left),
        ("found", Align::Right),
        ("inside", Align::Left),
    ]);
    for row in score_rows(scores, paper) {
        let inside = if row.is_inside { "yes" } else { "no" }.to_owned();
        table.row(
            Ink::Plain,
            vec![row.measure.to_owned(), row.before, row.forecast, row.band, row.outcome, inside],
        );
    }
    out += &format!("\n{}", table.render(paper, 2));
    if let Some(error) = score_error_sentence(made_on, scores, paper) {
        out += &paper.wrap(&error, 2);
    }
    out
}

/// A measure beside its forecast, as it is shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScoreRow {
    /// What was forecast.
    pub measure: &'static str,
    /// As she was.
    pub before: String,
    /// As forecast.
    pub forecast: String,
    /// Its 80 % band.
    pub band: String,
    /// As found.
    pub outcome: String,
    /// The outcome lies within the band.
    pub is_inside: bool,
}

/// The rows of the table of scores.
#[must_use]
pub fn score_rows(scores: &[Score], paper: &Paper) -> Vec<ScoreRow> {
    let rows = scores.iter().map(|score| {
        let (measure, quantity) = measure_words(score.measure);
        let write = |si: f64| match quantity {
            Quantity::Speed => knots(paper, si),
            _ => paper.quantity(si, quantity),
        };
        ScoreRow {
            measure,
            before: write(score.before),
            forecast: write(score.forecast.value),
            band: paper.band(score.forecast, quantity),
            outcome: write(score.outcome.value),
            is_inside: score.is_inside,
        }
    });
    rows.collect()
}

/// How far off the whole forecast was, beside that of no change.
#[must_use]
pub fn score_error_sentence(made_on: &str, scores: &[Score], paper: &Paper) -> Option<String> {
    let score = scores.iter().find(|score| score.measure == Measure::FullSpeed)?;
    Some(format!(
        "Made on {made_on}. Mean error of the whole forecast {} against {} for \"no change\" (ranked probability score).",
        knots(paper, score.crps),
        knots(paper, score.crps_no_change)
    ))
}

/// A measure in words, with its kind.
pub(super) fn measure_words(measure: Measure) -> (&'static str, Quantity) {
    match measure {
        Measure::FullSpeed => ("full throttle", Quantity::Speed),
        Measure::CruiseSpeed => ("at cruising power", Quantity::Speed),
        Measure::FullShaft => ("shaft then", Quantity::RotationalSpeed),
        Measure::FullPower => ("power then", Quantity::Power),
    }
}
