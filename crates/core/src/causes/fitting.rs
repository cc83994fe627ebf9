//! How well the answer fits the readings, run by run, and the curves that she should and does follow.
//! Not for: the causes themselves (`diagnosis`).

use super::cause::Cause;
use super::course::CourseDifference;
use super::diagnosis::{CurveRow, FitQuality, Misfit, RunFit, interval_of};
use super::hypothesis::Hypothesis;
use super::observation::{Datum, DatumKind, Held};
use super::posterior::Posterior;
use super::predict::{LIKELIHOOD_FREEDOM, Problem, Readings};
use super::workers::Workers;
use crate::spread::Interval;
use crate::spread::{Sampler, name_number};
use crate::steady::{Ask, PreparedBoat};

/// Posterior predictive check on the robust sum of residuals, and what stands out.
///
/// # Source
/// \[gelman1996\], from memory: the same measure of misfit for the readings and for replicated ones, sample
/// by sample.
pub(super) fn fit_quality(problem: &Problem, predicted: &[Option<Vec<f64>>], sampler: Sampler) -> FitQuality {
    const FAR_OFF: f64 = 4.0;
    const SUSPECT_P: f64 = 0.02;
    let data: Vec<&Datum> = problem.data().collect();
    let measure = |residuals: &mut dyn Iterator<Item = f64>| -> f64 {
        residuals.map(|r| (1.0 + r * r / LIKELIHOOD_FREEDOM).ln()).sum()
    };
    let name = name_number("causes replicated");
    let mut worse = 0_usize;
    let mut count = 0_usize;
    for (number, predicted) in predicted.iter().enumerate() {
        let Some(predicted) = predicted else { continue };
        let found = measure(&mut data.iter().zip(predicted).map(|(d, p)| (d.value - p) / d.sd));
        let replicated =
            measure(&mut (0..data.len()).map(|i| student(sampler, name, i as u64, number as u64)));
        worse += usize::from(replicated > found);
        count += 1;
    }
    let residual = |i: usize| {
        let values = predicted.iter().flatten().map(|p| (data[i].value - p[i]) / data[i].sd);
        interval_of(values).map_or(0.0, |residual| residual.value)
    };
    let residuals: Vec<f64> = (0..data.len()).map(residual).collect();
    let squares: f64 = residuals.iter().map(|r| r * r).sum();
    let p_value = worse as f64 / count.max(1) as f64;
    let mut misfits = course_to_course(problem);
    let mut i = 0;
    for epoch in 0..problem.epochs.len() {
        for observation in problem.observations.iter().filter(|o| o.epoch == epoch) {
            for datum in &observation.data {
                if residuals[i].abs() > FAR_OFF {
                    let run = observation.runs.first().copied().unwrap_or(0);
                    misfits.push(Misfit::Run { epoch, run, kind: datum.kind, residual: residuals[i] });
                }
                i += 1;
            }
        }
    }
    if p_value < SUSPECT_P {
        misfits.push(Misfit::Scatter);
    }
    FitQuality {
        readings: data.len(),
        rms_residual: (squares / data.len().max(1) as f64).sqrt(),
        p_value,
        misfits,
    }
}

/// A sample of Student's t.
fn student(sampler: Sampler, name: u64, what: u64, sample: u64) -> f64 {
    let key = |k: u64| name.wrapping_add(100 * what).wrapping_add(k);
    let normal = sampler.deviate(key(0), sample);
    let chi: f64 = (1..=LIKELIHOOD_FREEDOM as u64).map(|k| sampler.deviate(key(k), sample).powi(2)).sum();
    normal * (LIKELIHOOD_FREEDOM / chi).sqrt()
}

fn course_to_course(problem: &Problem) -> Vec<Misfit> {
    let of = |(epoch, difference): (usize, &Option<CourseDifference>)| {
        let difference = difference.filter(CourseDifference::is_sure)?;
        Some(Misfit::CourseToCourse { epoch, difference })
    };
    problem.differences.iter().enumerate().filter_map(of).collect()
}

pub(super) fn run_fits(
    problem: &Problem,
    reference: &PreparedBoat,
    predicted: &[Option<Vec<f64>>],
) -> Vec<RunFit> {
    let calm = super::predict::Day::default();
    let zero = vec![0.0; problem.size()];
    let mut fits = Vec::new();
    let mut at = 0;
    for epoch in 0..problem.epochs.len() {
        let then = problem.epochs[epoch].then.as_ref().and_then(|_| {
            let (boat, _) = problem.boat(&zero, Hypothesis::Nothing, epoch, |_| false);
            PreparedBoat::new(&boat).ok().map(|boat| boat.value)
        });
        let reference = then.as_ref().unwrap_or(reference);
        let ratio = problem.ratio(epoch);
        for observation in problem.observations.iter().filter(|o| o.epoch == epoch) {
            let should = Readings::of(reference, &calm, observation);
            let readings: Vec<(Datum, Option<f64>, Interval)> = observation
                .data
                .iter()
                .enumerate()
                .filter_map(|(i, datum)| {
                    let given = interval_of(predicted.iter().flatten().map(|p| p[at + i]))?;
                    Some((*datum, should.map(|s| s.of_kind(datum.kind)), given))
                })
                .collect();
            at += observation.data.len();
            if observation.runs.is_empty() {
                continue;
            }
            let measured = match observation.held {
                Held::Shaft(shaft) | Held::TiedUp(shaft) => Some(shaft),
                Held::Motor(motor) => Some(motor / ratio),
                _ => observation.data.iter().find_map(|d| match d.kind {
                    DatumKind::Shaft => Some(d.value),
                    DatumKind::Motor => Some(d.value / ratio),
                    _ => None,
                }),
            };
            fits.push(RunFit {
                epoch,
                runs: observation.runs.clone(),
                held: observation.held,
                shaft_rev_s: measured.or(should.map(|s| s.shaft_rev_s)),
                readings,
            });
        }
    }
    fits
}

/// Shaft speeds of the curves: from a third of the fastest to a little above.
pub(super) fn shaft_row(problem: &Problem, reference: &PreparedBoat) -> Vec<f64> {
    const ROWS: usize = 12;
    let fastest = super::predict::full_throttle(reference).map_or(15.0, |bound| bound.state.shaft_rev_s);
    let measured = problem.observations.iter().filter_map(|o| match o.held {
        Held::Shaft(shaft) => Some(shaft),
        Held::Motor(motor) => Some(motor / problem.ratio(o.epoch)),
        _ => None,
    });
    let highest = measured.fold(fastest, f64::max);
    (0..ROWS).map(|i| highest * (0.35 + 0.75 * i as f64 / (ROWS - 1) as f64)).collect()
}

/// Boats as the document promises: clean, in a calm, every input and method within its band.
pub(super) fn promised_boats(
    problem: &Problem,
    sampler: Sampler,
    workers: &impl Workers,
) -> Vec<Option<PreparedBoat>> {
    const BOATS: usize = 160;
    let name = name_number("causes promised");
    workers.map(BOATS, |sample| {
        let deviates: Vec<f64> = (0..problem.size())
            .map(|j| sampler.deviate(name.wrapping_add(j as u64), sample as u64))
            .collect();
        let is_of_day = |cause: Cause| {
            cause.is_of_day()
                || matches!(cause, Cause::BottomGrowth | Cause::BladeGrowth | Cause::Unexplained)
        };
        let (boat, _) =
            problem.boat(&deviates, Hypothesis::Nothing, problem.now(), |cause| !is_of_day(cause));
        PreparedBoat::new(&boat).ok().map(|boat| boat.value)
    })
}

pub(super) fn found_boats(
    problem: &Problem,
    posterior: &Posterior,
    workers: &impl Workers,
) -> Vec<Option<PreparedBoat>> {
    const BOATS: usize = 160;
    let step = posterior.samples.len().div_ceil(BOATS).max(1);
    workers.map(posterior.samples.len() / step, |i| {
        let sample = &posterior.samples[i * step];
        let (boat, _) =
            problem.boat(&sample.deviates, sample.odd.on(problem.now()), problem.now(), |cause| {
                !cause.is_of_day()
            });
        PreparedBoat::new(&boat).ok().map(|boat| boat.value)
    })
}

pub(super) fn curve(shafts: &[f64], boats: &[Option<PreparedBoat>], workers: &impl Workers) -> Vec<CurveRow> {
    let rows = workers.map(shafts.len(), |row| {
        let states: Vec<_> = boats
            .iter()
            .flatten()
            .filter_map(|boat| boat.solve(Ask::ShaftSpeed(shafts[row])).ok())
            .map(|bound| bound.state)
            .collect();
        // Rows at which a good part of the boats has no state would be biased.
        if 2 * states.len() <= boats.len() {
            return None;
        }
        Some(CurveRow {
            shaft_rev_s: shafts[row],
            speed: interval_of(states.iter().map(|s| s.speed_m_s))?,
            power: interval_of(states.iter().map(|s| s.drive_power_w))?,
        })
    });
    rows.into_iter().flatten().collect()
}
