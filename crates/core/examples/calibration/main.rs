//! The inference of causes held against synthetic boats whose truth is known. `make` samples boats, `judge`
//! reads the runs that an independent program made of them (`scripts/peers/calibration_logs.py`) and says
//! how the answers fared. `scripts/calibration` does all three. Not for: users.
#![allow(clippy::print_stdout, clippy::disallowed_methods, reason = "a program that reads and writes files")]

mod cases;
#[path = "../dumped/mod.rs"]
mod dumped;

use std::collections::BTreeMap;
use std::error::Error;

use dumped::boat_as_json;
use serde_json::{Value, json};
use wakewright_core::boat::Input;
use wakewright_core::causes::{
    Alone, Cause, CausesOptions, Diagnosis, Epoch, Headline, Hypothesis, Noise, OfTrial, Problem, SharesAt,
    Unknown, diagnose, shares_at,
};
use wakewright_core::steady::PreparedBoat;

use cases::{Case, cases};

/// Ranks run from 0 to this.
const RANKS: usize = 99;
fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        ["make", count, seed] => make(count.parse()?, seed.parse()?),
        ["judge", boats, logs] => judge(boats, logs),
        _ => Err("calibration make COUNT SEED | judge BOATS LOGS".into()),
    }
}

fn make(count: usize, seed: u64) -> Result<(), Box<dyn Error>> {
    let mut all = Vec::new();
    for case in cases(count, seed)? {
        let (boat, day) = case.problem.boat(&case.deviates, case.hypothesis, 0, |_| true);
        let dumped = match PreparedBoat::new(&boat) {
            Ok(prepared) => boat_as_json(&boat, &prepared.value)?,
            Err(_) => Value::Null,
        };
        let settings: Vec<Value> = case
            .epoch
            .runs
            .iter()
            .step_by(2)
            .map(|run| {
                let of_motor = run.run.motor_speed_rev_s.map(|motor| motor / case.spec.boat.drive_line.ratio);
                let shown = run.run.shaft_speed_rev_s.or(of_motor);
                json!({ "shown_rev_s": shown, "is_full_throttle": run.is_full_throttle })
            })
            .collect();
        all.push(json!({
            "kind": case.kind, "boat": dumped, "settings": settings, "disturbance": case.disturbance,
            "day": { "wind_m_s": day.wind_m_s, "meter_factor": day.meter_factor, "turning_factor": day.turning_factor },
        }));
    }
    println!("{}", json!({ "prior": count, "seed": seed, "boats": all }));
    Ok(())
}

/// The runs that the peer made; `None` where the boat has no such states.
fn measured(case: &Case, log: &Value) -> Option<Epoch> {
    let runs = log.get("runs")?.as_array()?;
    let mut epoch = case.epoch.clone();
    for (mine, made) in epoch.runs.iter_mut().zip(runs) {
        let number = |key: &str| made.get(key).and_then(Value::as_f64);
        mine.run.speed_over_ground_m_s = Some(number("speed_over_ground_m_s")?);
        mine.run.shaft_speed_rev_s = number("shaft_rev_s");
        mine.run.motor_speed_rev_s = number("motor_rev_s");
        mine.run.power_w = Some(number("power_w")?);
        mine.run.voltage_v = number("voltage_v");
    }
    Some(epoch)
}

/// Number of the truth among the samples.
const TRUTH: u64 = 999_999;

/// The shares of a sample, or of the truth, which takes an order of the causes of its own, like every sample.
fn shares_of(
    problem: &Problem,
    diagnosis: &Diagnosis,
    deviates: &[f64],
    hypothesis: Hypothesis,
    number: u64,
) -> Option<SharesAt> {
    if number == TRUTH {
        // The truth belongs to the problem as it was made, before anything was measured.
        let seed = diagnosis.options.seed;
        shares_at(problem, deviates, hypothesis, diagnosis.cruise_power_w, (seed, number))
    } else {
        diagnosis.sample_shares(number as usize)
    }
}

/// A quantity whose rank among the samples is taken.
type Quantity = (&'static str, Asked);

/// Its value at given deviates.
type Asked = Box<dyn Fn(&Problem, &Diagnosis, &[f64], Hypothesis, u64) -> Option<f64> + Sync>;

fn quantities() -> Vec<Quantity> {
    fn parameter(unknown: Unknown) -> Asked {
        Box::new(move |problem, _, deviates, _, _| {
            let j = problem.parameters.iter().position(|p| p.unknown == unknown)?;
            Some(deviates[j])
        })
    }
    fn share(cause: Cause) -> Asked {
        Box::new(move |problem, diagnosis, deviates, hypothesis, number| {
            Some(shares_of(problem, diagnosis, deviates, hypothesis, number)?.shares_m_s[cause as usize])
        })
    }
    vec![
        ("growth on the bottom", parameter(Unknown::Trial(0, OfTrial::BottomGrowth))),
        ("growth on the blades", parameter(Unknown::Trial(0, OfTrial::BladeGrowth))),
        ("not explained", parameter(Unknown::Trial(0, OfTrial::Unexplained))),
        ("in-service factor", parameter(Unknown::Boat(Input::InService))),
        ("pitch", parameter(Unknown::Boat(Input::PropellerPitch))),
        ("wake", parameter(Unknown::Boat(Input::Wake))),
        ("torque factor", parameter(Unknown::Boat(Input::TorqueFactor))),
        ("motor constant", parameter(Unknown::Boat(Input::SpeedConstant))),
        ("pack resistance", parameter(Unknown::Boat(Input::PackResistance))),
        (
            "shortfall",
            Box::new(|problem, diagnosis, deviates, hypothesis, number| {
                Some(shares_of(problem, diagnosis, deviates, hypothesis, number)?.shortfall_m_s)
            }),
        ),
        ("knots by growth", share(Cause::BottomGrowth)),
        ("knots by the propeller", share(Cause::Propeller)),
        ("knots by the hull", share(Cause::Hull)),
    ]
}

fn judge(boats: &str, logs: &str) -> Result<(), Box<dyn Error>> {
    let boats: Value = serde_json::from_str(&std::fs::read_to_string(boats)?)?;
    let logs: Value = serde_json::from_str(&std::fs::read_to_string(logs)?)?;
    let count = boats["prior"].as_u64().ok_or("no count")? as usize;
    let seed = boats["seed"].as_u64().ok_or("no seed")?;
    let cases = cases(count, seed)?;
    let logs = logs["logs"].as_array().ok_or("no logs")?;
    let options = CausesOptions { noise: Noise::default(), ..CausesOptions::default() };
    // One boat on each core; inside a boat one after the other.
    let answers = on_all_cores(cases.len(), |i| {
        let case = &cases[i];
        let epoch = measured(case, &logs[i])?;
        let seed = options.seed + i as u64;
        let found =
            diagnose(&case.spec, std::slice::from_ref(&epoch), &CausesOptions { seed, ..options }, &Alone);
        Some(found.map(|diagnosis| verdict(case, &diagnosis)))
    });
    let mut ranks: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    let mut inside: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    let (mut refused, mut without_state) = (0, 0);
    println!(
        "case,kind,truth,first_cause,first_probability,share_of_truth_kn,unexplained_probability,misfits,p_value,effective,pareto_k,tempered,headline,named,named_probability,short_probability,rms_residual,odd,odd_probability,is_wrong"
    );
    for (i, (case, answer)) in cases.iter().zip(answers).enumerate() {
        match answer {
            None => without_state += 1,
            Some(Err(error)) => {
                refused += 1;
                println!("# case {i} ({}) refused: {error}", case.kind);
            }
            Some(Ok(verdict)) => {
                println!("{i},{},{}", case.kind, verdict.line);
                if case.kind == "prior" {
                    for (name, rank, is_inside) in verdict.ranks {
                        ranks.entry(name).or_default().push(rank);
                        let entry = inside.entry(name).or_default();
                        entry.0 += usize::from(is_inside);
                        entry.1 += 1;
                    }
                }
            }
        }
    }
    println!("# refused {refused}, without such states {without_state}");
    for (name, ranks) in ranks {
        const BINS: usize = 10;
        let mut bins = [0_usize; BINS];
        for rank in &ranks {
            bins[(rank * BINS / (RANKS + 1)).min(BINS - 1)] += 1;
        }
        let expected = ranks.len() as f64 / BINS as f64;
        let chi: f64 = bins.iter().map(|b| (*b as f64 - expected).powi(2) / expected).sum();
        let (held, of) = inside[name];
        println!(
            "# ranks,{name},{},{chi:.1},{:.3}",
            bins.map(|b| b.to_string()).join(" "),
            held as f64 / of as f64
        );
    }
    Ok(())
}

struct Verdict {
    line: String,
    ranks: Vec<(&'static str, usize, bool)>,
}

fn verdict(case: &Case, diagnosis: &Diagnosis) -> Verdict {
    let samples = &diagnosis.posterior.samples;
    let step = samples.len() / RANKS;
    let quantities = quantities();
    let mut ranks = Vec::new();
    for (name, of) in &quantities {
        let Some(truth) = of(&case.problem, diagnosis, &case.deviates, case.hypothesis, TRUTH) else {
            continue;
        };
        let mut values: Vec<f64> = samples
            .iter()
            .enumerate()
            .filter_map(|(i, sample)| {
                of(&diagnosis.problem, diagnosis, &sample.deviates, sample.odd.what, i as u64)
            })
            .collect();
        let thinned: Vec<f64> = values.iter().copied().step_by(step.max(1)).take(RANKS).collect();
        let rank = thinned.iter().filter(|value| **value < truth).count();
        values.sort_by(f64::total_cmp);
        let at = |share: f64| values[((values.len() - 1) as f64 * share) as usize];
        ranks.push((*name, rank, truth >= at(0.1) && truth <= at(0.9)));
    }
    let point = &diagnosis.points[0];
    let mut by_probability = point.shares.clone();
    by_probability.sort_by(|a, b| b.main_probability.total_cmp(&a.main_probability));
    let first = by_probability[0];
    let unexplained =
        point.shares.iter().find(|s| s.cause == Cause::Unexplained).map_or(0.0, |s| s.main_probability);
    let truth = case.kind.strip_prefix("single ").unwrap_or("");
    let share_of_truth = Cause::ALL.iter().find(|c| c.key() == truth).and_then(|cause| {
        Some(
            shares_of(&case.problem, diagnosis, &case.deviates, case.hypothesis, TRUTH)?.shares_m_s
                [*cause as usize]
                * 3600.0
                / 1852.0,
        )
    });
    let quality = &diagnosis.sampling;
    let (headline, named, named_probability) = match diagnosis.headline() {
        Headline::FitsNothing(_) => ("fits_nothing", "", 0.0),
        Headline::Misread(what) => ("misread", what.key(), 0.0),
        Headline::StreamIn => ("stream_in", "", 0.0),
        Headline::NotShort => ("not_short", "", 0.0),
        Headline::Ask(_) => ("ask", "", 0.0),
        Headline::Open => ("open", "", 0.0),
        Headline::Named(share) => ("named", share.cause.key(), share.main_probability),
    };
    let (odd, odd_probability) = diagnosis.oddities[0];
    Verdict {
        line: format!(
            "{truth},{},{:.3},{:.3},{unexplained:.3},{},{:.3},{:.0},{:.2},{},{headline},{named},{named_probability:.3},{:.3},{:.2},{},{odd_probability:.3},{}",
            first.cause.key(),
            first.main_probability,
            share_of_truth.unwrap_or(f64::NAN),
            diagnosis.fit.misfits.len(),
            diagnosis.fit.p_value,
            quality.effective,
            quality.pareto_k,
            quality.tempered,
            point.short_probability,
            diagnosis.fit.rms_residual,
            odd.key(),
            u8::from(case.is_wrong(diagnosis.headline()))
        ),
        ranks,
    }
}

/// `job(0)` to `job(count - 1)` on as many threads as there are cores.
fn on_all_cores<T: Send>(count: usize, job: impl Fn(usize) -> T + Sync) -> Vec<T> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let next = std::sync::atomic::AtomicUsize::new(0);
    let mut done: Vec<(usize, T)> = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..threads)
            .map(|_| {
                scope.spawn(|| {
                    let mut mine = Vec::new();
                    loop {
                        let i = next.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
                        if i >= count {
                            return mine;
                        }
                        mine.push((i, job(i)));
                    }
                })
            })
            .collect();
        workers.into_iter().flat_map(|worker| worker.join().unwrap_or_default()).collect()
    });
    done.sort_by_key(|(i, _)| *i);
    done.into_iter().map(|(_, value)| value).collect()
}
