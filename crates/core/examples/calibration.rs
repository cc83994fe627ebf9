//! The inference of causes held against synthetic boats whose truth is known. `make` samples boats, `judge`
//! reads the runs that an independent program made of them (`scripts/peers/calibration_logs.py`) and says
//! how the answers fared. `scripts/calibration` does all three. Not for: users.
#![allow(clippy::print_stdout, clippy::disallowed_methods, reason = "a program that reads and writes files")]

#[path = "dumped/mod.rs"]
mod dumped;

use std::collections::BTreeMap;
use std::error::Error;

use dumped::boat_as_json;
use serde_json::{Value, json};
use wakewright_core::boat::{BoatSpec, Input};
use wakewright_core::causes::{
    Alone, Cause, CausesOptions, Diagnosis, Epoch, Hypothesis, Noise, Observed, OfTrial, Problem, SharesAt,
    TrialRun, Unknown, diagnose, shares_at,
};
use wakewright_core::fouling::FoulingCondition;
use wakewright_core::spread::{Sampler, name_number};
use wakewright_core::steady::{Limit, PreparedBoat};
use wakewright_core::trial::Run;
use wakewright_records::boat::{BoatDocument, build_spec};

/// Boats with one strong cause: as many of each kind on each design.
const SINGLES: usize = 7 * 4 * 6;
/// Boats with a sea that nobody noted.
const HEAD_SEAS: usize = 24;
/// Ranks run from 0 to this.
const RANKS: usize = 99;
/// Wind given for every synthetic day \[m/s\], from ahead on the first course.
const WIND_M_S: f64 = 2.0;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        ["make", count, seed] => make(count.parse()?, seed.parse()?),
        ["judge", boats, logs] => judge(boats, logs),
        _ => Err("calibration make COUNT SEED | judge BOATS LOGS".into()),
    }
}

/// The designs that the synthetic boats are sampled around: the demo boat, and three that differ in hull,
/// propeller, drive and what was looked at.
fn designs() -> Result<Vec<BoatSpec>, Box<dyn Error>> {
    let changes: [&[(&str, &str)]; 4] = [
        &[],
        &[
            ("hull.displacement", "9.8 t"),
            ("hull.length_waterline", "11.3 m"),
            ("hull.keel", "fin"),
            ("hull.keel_chord", "1.9 m"),
            ("propeller.arrangement", "P-bracket"),
            ("hull.rudder", "spade"),
            ("propeller.diameter", "20 in"),
            ("propeller.pitch", "13 in"),
            ("reduction.ratio", "3.4:1"),
        ],
        &[
            ("pack[1].count", "2"),
            ("pack[1].bms_discharge", "85 A"),
            ("propeller.pitch", "14 in"),
            ("reduction.kind", "V-belt"),
            ("reduction.ratio", "3.1:1"),
            ("controller.battery_current", "165 A"),
        ],
        &[
            ("motor.speed_constant", "29 rpm/V"),
            ("reduction.ratio", "2.6:1"),
            ("hull.displacement", "18.5 t"),
            ("hull.length_waterline", "11.8 m"),
            ("propeller.diameter", "23 in"),
            ("propeller.pitch", "16 in"),
        ],
    ];
    changes
        .iter()
        .map(|changes| {
            let mut document = BoatDocument::parse(include_str!("../../../examples/sea_campion.toml"))
                .map_err(|faults| format!("{faults:?}"))?;
            for (field, text) in *changes {
                document = document.set(field, text).map_err(|faults| format!("{field}: {faults:?}"))?;
            }
            Ok(build_spec(&document).map_err(|faults| format!("{faults:?}"))?)
        })
        .collect()
}

/// What is planned for a day: shaft speeds as shares of full throttle's, and the throttle fully open; of the
/// readings only that they are taken matters yet.
fn planned(spec: &BoatSpec, observed: Observed) -> Result<Epoch, Box<dyn Error>> {
    let full = PreparedBoat::new(&spec.boat)?.value.solve_limited(1.0, Limit::acts_at_once)?.state;
    let mut runs = Vec::new();
    for (setting, share) in [0.5, 0.62, 0.75, 0.87, 1.0].into_iter().enumerate() {
        for course_rad in [0.0, std::f64::consts::PI] {
            runs.push(TrialRun {
                run: Run {
                    time_s: 400.0 * runs.len() as f64,
                    duration_s: 240.0,
                    course_rad: Some(course_rad),
                    speed_over_ground_m_s: Some(1.0),
                    shaft_speed_rev_s: Some(share * full.shaft_rev_s),
                    voltage_v: Some(50.0),
                    power_w: Some(1000.0),
                    ..Run::default()
                },
                is_full_throttle: setting == 4,
                left_out: None,
            });
        }
    }
    Ok(Epoch { label: "synthetic".into(), date: "2026-01-01".into(), runs, observed, ..Epoch::default() })
}

/// One synthetic boat: what is true, and what is noted of the day.
struct Case {
    kind: String,
    spec: BoatSpec,
    epoch: Epoch,
    problem: Problem,
    deviates: Vec<f64>,
    hypothesis: Hypothesis,
    /// Share by which a sea that nobody noted raises the resistance on the first course.
    unknown_sea: f64,
}

fn observed(number: usize) -> Observed {
    let looks =
        [FoulingCondition::AsApplied, FoulingCondition::HeavySlime, FoulingCondition::SmallShellOrWeed];
    Observed {
        bottom: number.is_multiple_of(2).then(|| looks[(number / 2) % 3]),
        blades: number.is_multiple_of(3).then_some(FoulingCondition::CleanPolished),
        months_since_cleaning: (!number.is_multiple_of(2)).then_some((number % 11) as f64),
        true_wind_m_s: Some(WIND_M_S),
        wind_from_rad: Some(0.0),
        state_of_charge: Some(0.85),
        ..Observed::default()
    }
}

/// Everything from the prior, odd causes at their prior odds.
fn from_prior(designs: &[BoatSpec], number: usize, seed: u64) -> Result<Case, Box<dyn Error>> {
    let spec = &designs[number % designs.len()];
    let epoch = planned(spec, observed(number / designs.len()))?;
    let problem = Problem::new(spec, std::slice::from_ref(&epoch), &Noise::default())?;
    let sampler = Sampler::new(seed);
    let name = name_number("synthetic boat");
    let deviates =
        (0..problem.size()).map(|j| sampler.deviate(name.wrapping_add(j as u64), number as u64)).collect();
    let possible = problem.hypotheses();
    let total: f64 = possible.iter().map(|h| h.prior()).sum();
    let mut left = total * sampler.uniform(name_number("synthetic oddity"), number as u64);
    let mut hypothesis = Hypothesis::Nothing;
    for candidate in possible {
        if left < candidate.prior() {
            hypothesis = candidate;
            break;
        }
        left -= candidate.prior();
    }
    Ok(Case {
        kind: "prior".to_owned(),
        spec: spec.clone(),
        epoch,
        problem,
        deviates,
        hypothesis,
        unknown_sea: 0.0,
    })
}

/// One strong cause, all else within half of its band.
fn single(designs: &[BoatSpec], number: usize, seed: u64) -> Result<Case, Box<dyn Error>> {
    const KINDS: [&str; 7] = ["bottom_growth", "propeller", "limits", "bank", "hull", "load", "blade_growth"];
    let spec = &designs[(number / KINDS.len()) % designs.len()];
    let kind = KINDS[number % KINDS.len()];
    let mut noted = Observed {
        bottom: Some(FoulingCondition::AsApplied),
        blades: Some(FoulingCondition::CleanPolished),
        ..observed(number)
    };
    match kind {
        "bottom_growth" => noted.bottom = Some(FoulingCondition::SmallShellOrWeed),
        "blade_growth" => noted.blades = Some(FoulingCondition::MediumShell),
        "load" => noted.displacement_kg = Some(1.3 * spec.boat.form.displacement_kg),
        _ => {}
    }
    let epoch = planned(spec, noted)?;
    let problem = Problem::new(spec, std::slice::from_ref(&epoch), &Noise::default())?;
    let sampler = Sampler::new(seed + 1);
    let name = name_number("single cause");
    let mut deviates: Vec<f64> = (0..problem.size())
        .map(|j| 0.5 * sampler.deviate(name.wrapping_add(j as u64), number as u64))
        .collect();
    let mut hypothesis = Hypothesis::Nothing;
    let mut set = |unknown: Unknown, deviate: f64| {
        if let Some(j) = problem.parameters.iter().position(|p| p.unknown == unknown) {
            deviates[j] = deviate;
        }
    };
    match kind {
        "bottom_growth" => set(Unknown::Trial(0, OfTrial::BottomGrowth), 0.8),
        "blade_growth" => set(Unknown::Trial(0, OfTrial::BladeGrowth), 0.8),
        "propeller" => set(Unknown::Boat(Input::PropellerPitch), -3.5),
        "hull" => set(Unknown::Boat(Input::InService), 1.8),
        "limits" => {
            hypothesis = Hypothesis::HeldBack;
            set(Unknown::Odd, -0.8);
        }
        "bank" => hypothesis = Hypothesis::PackLost,
        _ => {}
    }
    Ok(Case {
        kind: format!("single {kind}"),
        spec: spec.clone(),
        epoch,
        problem,
        deviates,
        hypothesis,
        unknown_sea: 0.0,
    })
}

/// A sea on one course that is in nobody's notes.
fn head_sea(designs: &[BoatSpec], number: usize, seed: u64) -> Result<Case, Box<dyn Error>> {
    let mut noted = observed(number);
    (noted.bottom, noted.blades) = (Some(FoulingCondition::AsApplied), Some(FoulingCondition::CleanPolished));
    let spec = &designs[number % designs.len()];
    let epoch = planned(spec, noted)?;
    let problem = Problem::new(spec, std::slice::from_ref(&epoch), &Noise::default())?;
    let sampler = Sampler::new(seed + 2);
    let name = name_number("head sea");
    let deviates = (0..problem.size())
        .map(|j| 0.5 * sampler.deviate(name.wrapping_add(j as u64), number as u64))
        .collect();
    let unknown_sea = 0.5 + 0.6 * sampler.uniform(name_number("sea"), number as u64);
    Ok(Case {
        kind: "head_sea".to_owned(),
        spec: spec.clone(),
        epoch,
        problem,
        deviates,
        hypothesis: Hypothesis::Nothing,
        unknown_sea,
    })
}

fn cases(count: usize, seed: u64) -> Result<Vec<Case>, Box<dyn Error>> {
    let designs = designs()?;
    let mut cases = Vec::new();
    for number in 0..count {
        cases.push(from_prior(&designs, number, seed)?);
    }
    for number in 0..SINGLES {
        cases.push(single(&designs, number, seed)?);
    }
    for number in 0..HEAD_SEAS {
        cases.push(head_sea(&designs, number, seed)?);
    }
    Ok(cases)
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
            .map(
                |run| json!({ "shown_rev_s": run.run.shaft_speed_rev_s, "is_full_throttle": run.is_full_throttle }),
            )
            .collect();
        all.push(json!({
            "kind": case.kind, "boat": dumped, "settings": settings, "unknown_sea": case.unknown_sea,
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
        mine.run.shaft_speed_rev_s = Some(number("shaft_rev_s")?);
        mine.run.power_w = Some(number("power_w")?);
        mine.run.voltage_v = Some(number("voltage_v")?);
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
        "case,kind,truth,first_cause,first_probability,share_of_truth_kn,unexplained_probability,misfits,p_value,effective,pareto_k,tempered"
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
                of(&diagnosis.problem, diagnosis, &sample.deviates, sample.hypothesis, i as u64)
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
    Verdict {
        line: format!(
            "{truth},{},{:.3},{:.3},{unexplained:.3},{},{:.3},{:.0},{:.2},{}",
            first.cause.key(),
            first.main_probability,
            share_of_truth.unwrap_or(f64::NAN),
            diagnosis.fit.misfits.len(),
            diagnosis.fit.p_value,
            quality.effective,
            quality.pareto_k,
            quality.tempered
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
