//! The causes, forecasts and scores as JSON. Not for: text.

use schemars::JsonSchema;
use serde::Serialize;
use wakewright_core::causes::{
    Calibrated, CalibratedField, CurveRow, DatumKind, Diagnosis, Forecast, Measure, Misfit, PointKind, Score,
};
use wakewright_core::caution::{of_remedies, of_trials};
use wakewright_core::study::Interval;
use wakewright_units::factors::{KNOT_M_S, RPM_REV_S};

use super::CausesScene;
use super::finding::{causes_finding, forecast_finding, score_sentence};
use super::words::{misfit_text, next_text};
use crate::text::Paper;
use crate::view::{Band, Envelope, FORMAT_VERSION, NoticeView};

/// What makes her slow.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct CausesView {
    /// The trial that counts as now.
    pub trial: String,
    /// Earlier trials that were evidence.
    pub evidence: Vec<String>,
    /// Full throttle, then the cruising power.
    pub points: Vec<PointView>,
    /// Causes that cannot be kept apart.
    pub not_told_apart: Vec<PairView>,
    /// What is odd about her.
    pub odd: Vec<OddView>,
    /// What would tell more, most telling first.
    pub next: Vec<NextView>,
    /// Run by run.
    pub runs: Vec<RunFitView>,
    /// Runs that are not fitted.
    pub not_fitted: Vec<NotFittedView>,
    /// How well it fits.
    pub fit: FitView,
    /// What she should do against shaft speed: clean, calm, within the methods' own bands.
    pub should_curve: Vec<CurveView>,
    /// What she does.
    pub found_curve: Vec<CurveView>,
    /// What the trial knows better than the document.
    pub calibrated: Vec<CalibratedView>,
}

/// The shortfall at one point.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PointView {
    /// `full_throttle` or `power`.
    pub at: &'static str,
    /// Power out of the bank, for `power`.
    pub bank_power_w: Option<f64>,
    /// What she should do.
    pub should_kn: f64,
    /// What she does.
    pub now_kn: Band,
    /// The difference.
    pub shortfall_kn: Band,
    /// How probable it is that she falls short by more than a twentieth of a knot.
    pub short_probability: f64,
    /// By cause.
    pub shares: Vec<ShareView>,
}

/// What a cause takes.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ShareView {
    /// Its name for machines.
    pub cause: &'static str,
    /// In words.
    pub words: &'static str,
    /// Median and 80 % band.
    pub takes_kn: Band,
    /// Mean; these add up to the mean shortfall.
    pub mean_kn: f64,
    /// How probable it is that it takes most.
    pub main_probability: f64,
    /// What to look at.
    pub look: &'static str,
}

/// Two causes that trade against each other.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PairView {
    /// One.
    pub first: &'static str,
    /// The other.
    pub second: &'static str,
    /// Correlation of their shares.
    pub correlation: f64,
    /// Both together.
    pub together_kn: Band,
}

/// Something odd.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct OddView {
    /// Its name for machines.
    pub what: &'static str,
    /// In words.
    pub words: &'static str,
    /// How probable it is.
    pub probability: f64,
}

/// What can be done next.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct NextView {
    /// Its name for machines.
    pub what: &'static str,
    /// In words.
    pub words: String,
    /// Share of the doubt about the main cause that it is expected to take away.
    pub doubt_removed: f64,
    /// How probable the main cause is expected to be then.
    pub main_probability_after: f64,
    /// Width of the leading shares then, over what it is now.
    pub width_left: f64,
}

/// One observation.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct RunFitView {
    /// The trial.
    pub trial: String,
    /// Its runs, from 1.
    pub runs: Vec<usize>,
    /// Shaft.
    pub shaft_rpm: f64,
    /// Readings.
    pub readings: Vec<ReadingView>,
}

/// One reading, in the unit of its name.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ReadingView {
    /// `speed_kn`, `power_w`, `bank_v` and so on.
    pub reading: &'static str,
    /// As measured.
    pub measured: f64,
    /// Its standard deviation.
    pub sd: f64,
    /// As she should have had it.
    pub should: f64,
    /// As the causes give it.
    pub given: Band,
}

/// A run that is not fitted.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct NotFittedView {
    /// The trial.
    pub trial: String,
    /// The run, from 1.
    pub run: usize,
    /// Why.
    pub why: &'static str,
}

/// How well it fits.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct FitView {
    /// Readings.
    pub readings: usize,
    /// Root mean square of residuals over their standard deviations.
    pub rms_residual: f64,
    /// Share of repeated trials that would fit worse.
    pub p_value: f64,
    /// What does not fit: `course_to_course`, `run` or `scatter`.
    pub misfits: Vec<MisfitView>,
    /// Weighted samples.
    pub samples: usize,
    /// Worth so many of equal weight.
    pub effective_samples: f64,
    /// Tail of the weights.
    pub pareto_k: f64,
    /// Rounds of tempering.
    pub tempered: usize,
    /// False when the figures are not to be trusted.
    pub is_trusted: bool,
}

/// Something that does not fit.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct MisfitView {
    /// Its kind.
    pub kind: &'static str,
    /// As a sentence.
    pub text: String,
}

/// A point of a curve.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct CurveView {
    /// Shaft.
    pub shaft_rpm: f64,
    /// Speed.
    pub speed_kn: Band,
    /// Drive power.
    pub drive_power_w: Band,
}

/// A value that the trial knows better.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct CalibratedView {
    /// Field of the document.
    pub field: &'static str,
    /// After the trial (SI).
    pub value_si: Band,
    /// Before it (SI).
    pub before_si: Band,
}

/// The causes as JSON.
#[must_use]
pub fn causes_view(scene: &CausesScene<'_>, paper: &Paper) -> Envelope<CausesView> {
    let diagnosis = scene.diagnosis;
    let finding = causes_finding(scene, paper);
    let epochs = &diagnosis.problem.epochs;
    let named = |epoch: usize| epochs.get(epoch).map_or_else(String::new, |e| e.label.clone());
    let result = CausesView {
        trial: named(epochs.len().saturating_sub(1)),
        evidence: epochs.iter().rev().skip(1).rev().map(|epoch| epoch.label.clone()).collect(),
        points: diagnosis.points.iter().map(point_view).collect(),
        not_told_apart: diagnosis
            .correlated
            .iter()
            .map(|pair| PairView {
                first: pair.first.key(),
                second: pair.second.key(),
                correlation: pair.correlation,
                together_kn: Band::of(pair.together, KNOT_M_S),
            })
            .collect(),
        odd: diagnosis
            .hypotheses
            .iter()
            .map(|(odd, probability)| OddView {
                what: odd.key(),
                words: odd.words(),
                probability: *probability,
            })
            .collect(),
        next: diagnosis
            .next
            .iter()
            .map(|next| NextView {
                what: next.proposal.key(),
                words: next_text(next, paper),
                doubt_removed: next.doubt_removed,
                main_probability_after: next.main_probability_after,
                width_left: next.width_left,
            })
            .collect(),
        runs: diagnosis.runs.iter().map(|fit| run_view(fit, named(fit.epoch))).collect(),
        not_fitted: diagnosis
            .problem
            .unfitted
            .iter()
            .enumerate()
            .flat_map(|(epoch, runs)| {
                let trial = named(epoch);
                runs.iter().map(move |(run, why)| NotFittedView {
                    trial: trial.clone(),
                    run: run + 1,
                    why: why.words(),
                })
            })
            .collect(),
        fit: fit_view(diagnosis),
        should_curve: diagnosis.promised.iter().map(curve_view).collect(),
        found_curve: diagnosis.found.iter().map(curve_view).collect(),
        calibrated: diagnosis.calibrated.iter().map(calibrated_view).collect(),
    };
    Envelope {
        format: "wakewright/causes".to_owned(),
        version: FORMAT_VERSION,
        boat: scene.name.to_owned(),
        finding: finding.sentence,
        further: finding.further,
        result,
        notices: of_trials().iter().map(NoticeView::of).collect(),
    }
}

fn point_view(point: &wakewright_core::causes::ShortfallPoint) -> PointView {
    let (at, bank_power_w) = match point.kind {
        PointKind::FullThrottle => ("full_throttle", None),
        PointKind::Power(watts) => ("power", Some(watts)),
    };
    PointView {
        at,
        bank_power_w,
        should_kn: point.should_m_s / KNOT_M_S,
        now_kn: Band::of(point.now, KNOT_M_S),
        shortfall_kn: Band::of(point.shortfall, KNOT_M_S),
        short_probability: point.short_probability,
        shares: point
            .shares
            .iter()
            .map(|share| ShareView {
                cause: share.cause.key(),
                words: share.cause.words(),
                takes_kn: Band::of(share.taken, KNOT_M_S),
                mean_kn: point.mean_shares_m_s[share.cause as usize] / KNOT_M_S,
                main_probability: share.main_probability,
                look: share.cause.what_to_look_at(),
            })
            .collect(),
    }
}

fn run_view(fit: &wakewright_core::causes::RunFit, trial: String) -> RunFitView {
    let readings = fit.readings.iter().map(|(datum, should, given)| {
        let (reading, unit) = match datum.kind {
            DatumKind::Speed => ("speed_kn", KNOT_M_S),
            DatumKind::LogSpeed => ("log_speed_kn", KNOT_M_S),
            DatumKind::Shaft => ("shaft_rpm", RPM_REV_S),
            DatumKind::Motor => ("motor_rpm", RPM_REV_S),
            DatumKind::Power => ("drive_power_w", 1.0),
            DatumKind::Volts => ("bank_v", 1.0),
            DatumKind::Current => ("bank_a", 1.0),
            DatumKind::RestVolts => ("rest_v", 1.0),
        };
        ReadingView {
            reading,
            measured: datum.value / unit,
            sd: datum.sd / unit,
            should: should / unit,
            given: Band::of(*given, unit),
        }
    });
    RunFitView {
        trial,
        runs: fit.runs.iter().map(|run| run + 1).collect(),
        shaft_rpm: fit.shaft_rev_s / RPM_REV_S,
        readings: readings.collect(),
    }
}

fn fit_view(diagnosis: &Diagnosis) -> FitView {
    let (fit, sampling) = (&diagnosis.fit, &diagnosis.sampling);
    FitView {
        readings: fit.readings,
        rms_residual: fit.rms_residual,
        p_value: fit.p_value,
        misfits: fit
            .misfits
            .iter()
            .map(|misfit| MisfitView {
                kind: match misfit {
                    Misfit::CourseToCourse { .. } => "course_to_course",
                    Misfit::Run { .. } => "run",
                    Misfit::Scatter => "scatter",
                },
                text: misfit_text(misfit, diagnosis),
            })
            .collect(),
        samples: sampling.samples,
        effective_samples: sampling.effective,
        pareto_k: sampling.pareto_k,
        tempered: sampling.tempered,
        is_trusted: sampling.is_trusted,
    }
}

fn curve_view(row: &CurveRow) -> CurveView {
    CurveView {
        shaft_rpm: row.shaft_rev_s / RPM_REV_S,
        speed_kn: Band::of(row.speed, KNOT_M_S),
        drive_power_w: Band::of(row.power, 1.0),
    }
}

fn calibrated_view(calibrated: &Calibrated) -> CalibratedView {
    let field = match calibrated.field {
        CalibratedField::Field(input) => input.key(),
        CalibratedField::Bottom(_) => "hull.bottom",
        CalibratedField::Blades(_) => "propeller.blades_state",
    };
    CalibratedView {
        field,
        value_si: Band::of(calibrated.value, 1.0),
        before_si: Band::of(calibrated.before, 1.0),
    }
}

/// What remedies will give.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ForecastsView {
    /// One for each remedy.
    pub forecasts: Vec<ForecastView>,
}

/// One remedy.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ForecastView {
    /// Its name.
    pub remedy: String,
    /// Power of `cruise_speed_m_s`, out of the bank.
    pub cruise_power_w: f64,
    /// How probable it is that it helps by a twentieth of a knot or more at full throttle.
    pub helps_probability: f64,
    /// What stops her then.
    pub limit_after: &'static str,
    /// By measure, in the unit of its name.
    pub measures: Vec<MeasureView>,
}

/// One measure.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct MeasureView {
    /// Which, with its unit.
    pub measure: &'static str,
    /// As she is.
    pub now: Band,
    /// With the remedy.
    pub after: Band,
    /// The difference.
    pub gain: Band,
}

/// Forecasts as JSON.
#[must_use]
pub fn forecast_view(name: &str, forecasts: &[Forecast], paper: &Paper) -> Envelope<ForecastsView> {
    let finding = forecast_finding(name, forecasts, paper);
    let views = forecasts.iter().map(|forecast| ForecastView {
        remedy: forecast.remedy.name.clone(),
        cruise_power_w: forecast.cruise_power_w,
        helps_probability: forecast.helps_probability,
        limit_after: forecast.limit_after.0.key(),
        measures: forecast.measures.iter().map(|m| measure_view(m.measure, m.now, m.after, m.gain)).collect(),
    });
    Envelope {
        format: "wakewright/forecast".to_owned(),
        version: FORMAT_VERSION,
        boat: name.to_owned(),
        finding: finding.sentence,
        further: finding.further,
        result: ForecastsView { forecasts: views.collect() },
        notices: of_remedies().iter().map(NoticeView::of).collect(),
    }
}

fn measure_view(measure: Measure, now: Interval, after: Interval, gain: Interval) -> MeasureView {
    MeasureView {
        measure: measure.key(),
        now: Band::of(now, 1.0),
        after: Band::of(after, 1.0),
        gain: Band::of(gain, 1.0),
    }
}

/// How a forecast fared.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ScoreView {
    /// The remedy.
    pub remedy: String,
    /// Day on which it was made.
    pub made_on: String,
    /// As a sentence.
    pub finding: String,
    /// By measure.
    pub measures: Vec<ScoredView>,
}

/// One measure against its forecast, in the unit of its name.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ScoredView {
    /// Which, with its unit.
    pub measure: &'static str,
    /// As she was.
    pub before: f64,
    /// As forecast.
    pub forecast: Band,
    /// As found.
    pub outcome: Band,
    /// Off by so many standard deviations of both.
    pub z: f64,
    /// Within the forecast's 80 % band.
    pub is_inside: bool,
    /// Ranked probability score.
    pub crps: f64,
    /// The same for "no change".
    pub crps_no_change: f64,
}

/// Scores as JSON.
#[must_use]
pub fn score_views(remedy: &str, made_on: &str, scores: &[Score], paper: &Paper) -> ScoreView {
    ScoreView {
        remedy: remedy.to_owned(),
        made_on: made_on.to_owned(),
        finding: score_sentence(remedy, scores, paper),
        measures: scores
            .iter()
            .map(|score| ScoredView {
                measure: score.measure.key(),
                before: score.before,
                forecast: Band::of(score.forecast, 1.0),
                outcome: Band::of(score.outcome, 1.0),
                z: score.z,
                is_inside: score.is_inside,
                crps: score.crps,
                crps_no_change: score.crps_no_change,
            })
            .collect(),
    }
}
