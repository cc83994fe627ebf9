//! Forecasts, and how they fared, as text. Not for: causes.

use wakewright_core::causes::{Forecast, Measure, Score};
use wakewright_core::steady::Limit;
use wakewright_units::Quantity;

use super::finding::{forecast_finding, score_sentence};
use super::words::{knots, percent};
use crate::text::{Align, Ink, Paper, Table, finding_text};

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
    for forecast in forecasts {
        let (Some(full), Some(cruise)) = (forecast.of(Measure::FullSpeed), forecast.of(Measure::CruiseSpeed))
        else {
            continue;
        };
        let bare = |m_s: f64| knots(paper, m_s).split(' ').next().unwrap_or_default().to_owned();
        table.row(
            if forecast.helps_probability > 0.8 { Ink::Plain } else { Ink::Faint },
            vec![
                forecast.remedy.name.clone(),
                paper.decimals(full.after.value, Quantity::Speed, 1),
                bare(full.gain.value),
                format!("{} to {}", bare(full.gain.p10), bare(full.gain.p90)),
                bare(cruise.gain.value),
                percent(forecast.helps_probability),
            ],
        );
    }
    out.push('\n');
    out += &table.render(paper, 2);
    out += &paper.wrap(&stops_text(forecasts), 2);
    out += &paper.wrap(
        "Both with the same draws of everything unknown, in a calm; \"helps\": a twentieth of a knot or more at full throttle. \
         Working with packs, cables and controllers: local codes, the makers' instructions and licensed practice go first.",
        2,
    );
    out
}

/// What stops her afterwards.
fn stops_text(forecasts: &[Forecast]) -> String {
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
    for score in scores {
        let (words, quantity) = measure_words(score.measure);
        let write = |si: f64| match quantity {
            Quantity::Speed => knots(paper, si),
            _ => paper.quantity(si, quantity),
        };
        table.row(
            Ink::Plain,
            vec![
                words.to_owned(),
                write(score.before),
                write(score.forecast.value),
                paper.band(score.forecast, quantity),
                write(score.outcome.value),
                if score.is_inside { "yes" } else { "no" }.to_owned(),
            ],
        );
    }
    out += &format!("\n{}", table.render(paper, 2));
    if let Some(score) = scores.iter().find(|s| s.measure == Measure::FullSpeed) {
        out += &paper.wrap(
            &format!(
                "Made on {made_on}. Mean error of the whole forecast {} against {} for \"no change\" (ranked probability score).",
                knots(paper, score.crps),
                knots(paper, score.crps_no_change)
            ),
            2,
        );
    }
    out
}

/// A measure in words, with its kind.
pub(super) fn measure_words(measure: Measure) -> (&'static str, Quantity) {
    match measure {
        Measure::FullSpeed => ("full throttle", Quantity::Speed),
        Measure::CruiseSpeed => ("at cruising power", Quantity::Speed),
        Measure::FullShaft => ("shaft, full throttle", Quantity::RotationalSpeed),
        Measure::FullPower => ("power, full throttle", Quantity::Power),
    }
}
