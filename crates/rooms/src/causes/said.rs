//! Titles and sentences that terminal and page say alike. Not for: tables, layout.

use wakewright_core::causes::{
    Cause, DatumKind, Diagnosis, Forecast, LeftOut, Measure, NextRun, PointKind, Score, Share, ShortfallPoint,
};
use wakewright_core::steady::Limit;
use wakewright_core::study::Interval;
use wakewright_units::{Quantity, format_number};

use super::words::{knots, percent};
use crate::text::Paper;

/// Where a shortfall is taken, what she should do there and what she does.
#[must_use]
pub fn point_title(point: &ShortfallPoint, paper: &Paper) -> String {
    let at = match point.kind {
        PointKind::FullThrottle => "At full throttle".to_owned(),
        PointKind::Power(watts) => format!("With {} out of the bank", paper.quantity(watts, Quantity::Power)),
    };
    format!(
        "{at}: should {}, does {} ({})",
        knots(paper, point.should_m_s),
        knots(paper, point.now.value),
        paper.band(point.now, Quantity::Speed)
    )
}

/// Causes that surely take next to nothing at `point`, in words.
#[must_use]
pub fn small_causes(point: &ShortfallPoint) -> Vec<&'static str> {
    point.shares.iter().filter(|share| is_small(share)).map(|share| share.cause.words()).collect()
}

/// True for a cause that surely takes next to nothing.
pub(super) fn is_small(share: &Share) -> bool {
    /// What surely takes less than this is put together with its like \[m/s\].
    const SMALL_M_S: f64 = 0.012;
    share.taken.p90.abs() < SMALL_M_S && share.taken.p10.abs() < SMALL_M_S && share.main_probability < 0.01
}

/// What all causes take together, and how far her document is sure of what she should do here.
pub(super) fn together(point: &ShortfallPoint, paper: &Paper) -> String {
    format!(
        "Together {} ({}). As described she should do {}; her document leaves {} open, clean and in a calm.",
        knots(paper, point.shortfall.value),
        hundredths(point.shortfall, paper),
        knots(paper, point.described_m_s),
        paper.band(point.promised, Quantity::Speed)
    )
}

/// An interval of speeds in hundredths, without the unit.
#[must_use]
pub(super) fn hundredths(interval: Interval, paper: &Paper) -> String {
    format!("{} to {}", bare_knots(interval.p10, paper), bare_knots(interval.p90, paper))
}

/// A speed in hundredths without its unit.
#[must_use]
pub(super) fn bare_knots(m_s: f64, paper: &Paper) -> String {
    let text = knots(paper, m_s);
    text.split_once(' ').map_or(text.clone(), |(number, _)| number.to_owned())
}

/// Pairs of causes that the runs cannot tell apart, the strongest first.
#[must_use]
pub fn apart_sentences(diagnosis: &Diagnosis, paper: &Paper) -> Vec<String> {
    let said = diagnosis.correlated.iter().take(4).map(|pair| {
        format!(
            "{} and {}: what one takes the other leaves (correlation {}); together {} ({}).",
            pair.first.words(),
            pair.second.words(),
            format_number(pair.correlation, 2),
            knots(paper, pair.together.value),
            hundredths(pair.together, paper)
        )
    });
    said.collect()
}

/// True for what tells something.
pub(super) fn is_telling(next: &NextRun) -> bool {
    next.doubt_removed > 0.005 || next.width_left < 0.99
}

/// What to look at for the likeliest cause; nothing while no cause is likely.
#[must_use]
pub fn look_first(diagnosis: &Diagnosis) -> Option<&'static str> {
    let shares = &diagnosis.points.first()?.shares;
    let main = shares.iter().max_by(|a, b| a.main_probability.total_cmp(&b.main_probability))?;
    (main.main_probability > 0.2).then(|| main.cause.what_to_look_at())
}

/// False for the shaft speed, which was held.
pub(super) fn is_reading_shown(kind: DatumKind) -> bool {
    !matches!(kind, DatumKind::Shaft | DatumKind::Motor)
}

/// Runs that are not fitted, those of one trial and reason together.
#[must_use]
pub fn unfitted(diagnosis: &Diagnosis) -> Vec<String> {
    let mut said = Vec::new();
    for (epoch, runs) in diagnosis.problem.unfitted.iter().enumerate() {
        let mut reasons: Vec<LeftOut> = Vec::new();
        for (_, why) in runs {
            if !reasons.contains(why) {
                reasons.push(*why);
            }
        }
        for reason in reasons {
            let numbers: Vec<String> =
                runs.iter().filter(|(_, why)| *why == reason).map(|(run, _)| (run + 1).to_string()).collect();
            let label = &diagnosis.problem.epochs[epoch].label;
            let plural = if numbers.len() == 1 { "run" } else { "runs" };
            said.push(format!("{plural} {} of \"{label}\": {}", numbers.join(", "), reason.words()));
        }
    }
    said
}

/// How well the causes fit the readings, and how much is left unexplained.
#[must_use]
pub fn fit_sentence(diagnosis: &Diagnosis, paper: &Paper) -> String {
    let fit = &diagnosis.fit;
    let unexplained = diagnosis.points[0].shares.iter().find(|share| share.cause == Cause::Unexplained);
    let unexplained = unexplained.map_or_else(String::new, |share| {
        format!(
            " Not explained by any cause: {} ({}).",
            knots(paper, share.taken.value),
            hundredths(share.taken, paper)
        )
    });
    format!(
        "{} readings lie {} of their usual scatter from what the causes give: {}.{unexplained}",
        fit.readings,
        percent(fit.rms_residual),
        chance_words(diagnosis)
    )
}

/// How often readings would lie so far off by chance, in plain words.
pub(super) fn chance_words(diagnosis: &Diagnosis) -> String {
    match diagnosis.fit.p_value {
        rare if rare < 0.01 => {
            "were they right, hardly one trial in 100 would lie so far off by chance".to_owned()
        }
        usual if usual >= 0.1 => "no further than chance would have them".to_owned(),
        seldom => format!(
            "were they right, {} in 100 trials would lie so far off by chance",
            percent(seldom).trim_end_matches(" %")
        ),
    }
}

/// How far the samples can be trusted.
#[must_use]
pub fn sampling_sentence(diagnosis: &Diagnosis) -> String {
    let sampling = &diagnosis.sampling;
    let tempered = if sampling.tempered > 0 {
        format!(", tempered in {} rounds", sampling.tempered)
    } else {
        String::new()
    };
    format!(
        "{} samples, worth {} of equal weight{tempered}; their Pareto k {} (0.7 is the most that can be trusted).",
        sampling.samples,
        format_number(sampling.effective, 0),
        format_number(sampling.pareto_k, 2)
    )
}

/// What stops her afterwards; nothing without forecasts.
#[must_use]
pub fn stops_text(forecasts: &[Forecast]) -> String {
    let mut limits: Vec<(Limit, Vec<&str>)> = Vec::new();
    for forecast in forecasts {
        let Some((limit, _)) = forecast.limit_after else { continue };
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

/// How far off the whole forecast was, beside that of no change.
#[must_use]
pub fn score_error_sentence(scores: &[Score], paper: &Paper) -> Option<String> {
    let score = scores.iter().find(|score| score.measure == Measure::FullSpeed)?;
    Some(format!(
        "Mean error of the whole forecast {} against {} for \"no change\" (ranked probability score).",
        knots(paper, score.crps),
        knots(paper, score.crps_no_change)
    ))
}
