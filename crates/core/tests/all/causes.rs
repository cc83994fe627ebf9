//! The inference of causes: the stored calibration against synthetic boats, the linear study of growth and
//! in-service factor, and what must always hold. Runs here are made by the code under test unless said otherwise:
//! those tests check the bookkeeping, the calibration checks the inference.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::f64::consts::PI;

use wakewright_core::boat::{BoatSpec, Input};
use wakewright_core::causes::{
    Alone, Cause, CausesError, CausesOptions, Change, Diagnosis, Epoch, Headline, Hypothesis, Measure,
    Misfit, Missing, Noise, Observed, Oddity, OfTrial, Reach, Remedy, TrialRun, Workers, diagnose, forecast,
    score,
};
use wakewright_core::fouling::FoulingCondition;
use wakewright_core::steady::{Ask, PreparedBoat};
use wakewright_core::trial::Run;
use wakewright_records::boat::{BoatDocument, build_spec};
use wakewright_testkit::{Table, assert_near};

const KNOT_M_S: f64 = 1852.0 / 3600.0;

pub(super) fn demo() -> BoatSpec {
    let document = BoatDocument::parse(include_str!("../../../../examples/sea_campion.toml")).unwrap();
    build_spec(&document).unwrap()
}

/// Double runs of `boat` at these shaft speeds, the last at full throttle; `push` raises the
/// resistance on the first course.
pub(super) fn runs_of(
    boat: &wakewright_core::boat::Boat,
    rpm: &[f64],
    has_full: bool,
    push: f64,
) -> Vec<TrialRun> {
    let mut runs = Vec::new();
    let settings = rpm.iter().map(|rpm| Some(rpm / 60.0)).chain(has_full.then_some(None));
    for setting in settings {
        for (way, course_rad) in [(0, 0.0), (1, PI)] {
            let mut there = boat.clone();
            there.sea.in_service_factor *= if way == 0 { 1.0 + push } else { 1.0 };
            let prepared = PreparedBoat::new(&there).unwrap().value;
            let ask = setting.map_or(Ask::Throttle(1.0), Ask::ShaftSpeed);
            let state = prepared.solve(ask).unwrap().state;
            runs.push(TrialRun {
                run: Run {
                    time_s: 400.0 * runs.len() as f64,
                    duration_s: 240.0,
                    course_rad: Some(course_rad),
                    speed_over_ground_m_s: Some(state.speed_m_s + 0.2 * course_rad.cos()),
                    shaft_speed_rev_s: Some(state.shaft_rev_s),
                    power_w: Some(state.drive_power_w),
                    voltage_v: Some(state.bank_v),
                    ..Run::default()
                },
                is_full_throttle: setting.is_none(),
                left_out: None,
            });
        }
    }
    runs
}

fn clean(spec: &BoatSpec) -> wakewright_core::boat::Boat {
    let mut boat = spec.boat.clone();
    boat.sea.true_head_wind_m_s = 0.0;
    boat.bottom_sand_height_m = 30e-6;
    boat.blades_sand_height_m = 5e-6;
    boat
}

/// The same with every unsure input at its median.
pub(super) fn clean_at_medians(spec: &BoatSpec) -> wakewright_core::boat::Boat {
    clean(&BoatSpec { boat: spec.sample_by(|_| 0.0), ..spec.clone() })
}

pub(super) fn epoch(label: &str, runs: Vec<TrialRun>, observed: Observed) -> Epoch {
    Epoch { label: label.to_owned(), runs, observed, ..Epoch::default() }
}

pub(super) const RPM: [f64; 5] = [300.0, 380.0, 460.0, 530.0, 590.0];

pub(super) fn fewer() -> CausesOptions {
    CausesOptions { samples: 1200, kept: 200, ..CausesOptions::default() }
}

pub(super) fn looked_at(bottom: FoulingCondition) -> Observed {
    Observed {
        bottom: Some(bottom),
        blades: Some(FoulingCondition::CleanPolished),
        state_of_charge: Some(0.9),
        ..Observed::default()
    }
}

/// The stored calibrations, made by `scripts/calibration`: that on which the rule of naming the hull was set, and one with
/// another seed made once afterwards.
const CALIBRATIONS: [&str; 2] = ["trial/calibration_causes.csv", "trial/calibration_causes_again.csv"];

/// Runs by an independent program, ranks and bands as the tables' heads state them.
#[test]
fn calibration_against_synthetic_boats_holds() {
    for name in CALIBRATIONS {
        holds(&Table::read(name));
    }
}

fn holds(table: &Table) {
    let mut bands = Vec::new();
    let mut kinds = Vec::new();
    for row in 0..table.rows.len() {
        let (kind, name) = (table.text(row, "kind").to_owned(), table.text(row, "name").to_owned());
        let figure = table.number(row, "figure").unwrap();
        let boats = table.number(row, "boats").unwrap();
        match kind.as_str() {
            "ranks" => {
                assert!(boats >= 190.0, "{name}: {boats} boats");
                assert!(figure > 0.001, "{name}: ranks are not uniform, p {figure}");
                let held = table.number(row, "band_holds").unwrap();
                assert!((0.75..=0.85).contains(&held), "{name} holds {held}");
                bands.push(held);
            }
            "single" if name == "all" => assert!(figure >= 0.9, "single causes named first: {figure}"),
            "head_sea" if name.starts_with("not explained") => assert!(figure >= 0.9, "{name}: {figure}"),
            "head_sea" => assert!(figure <= 0.05, "{name}: {figure}"),
            _ => {}
        }
        kinds.push(kind);
    }
    let mean = bands.iter().sum::<f64>() / bands.len() as f64;
    assert!((0.75..=0.85).contains(&mean), "80 % bands hold {mean}");
    assert!(
        bands.len() >= 10 && kinds.iter().any(|k| k == "single") && kinds.iter().any(|k| k == "head_sea")
    );
}

/// The stored simulation with something unmodelled at work: hardly ever is a wrong cause named, and with nothing
/// unmodelled the right one mostly is.
#[test]
fn what_is_not_modelled_is_hardly_ever_blamed_on_another_cause() {
    for name in CALIBRATIONS {
        blames_nothing(&Table::read(name));
    }
}

fn blames_nothing(table: &Table) {
    let mut held = 0;
    for row in 0..table.rows.len() {
        let figure = table.number(row, "figure").unwrap();
        let (kind, name) = (table.text(row, "kind"), table.text(row, "name"));
        let boats = table.number(row, "boats").unwrap();
        match kind {
            "unmodelled" => assert!(figure <= 0.05 && boats > 190.0, "{name}: {figure} of {boats}"),
            "headline" => assert!(figure >= 0.9 && boats > 90.0, "{name}: {figure} of {boats}"),
            _ => continue,
        }
        held += 1;
    }
    assert_eq!(held, 5);
}

#[path = "../../examples/calibration/cases.rs"]
#[allow(dead_code, reason = "the short run takes some of the cases")]
mod cases;

/// A short run of the calibration, fresh: the program's answers to runs that the independent program made of synthetic
/// boats, some with one strong cause and some with something at work that the inference does not know.
#[test]
fn the_headline_names_what_is_there_and_nothing_else() {
    let table = Table::read("trial/calibration_runs.csv");
    let all = cases::cases(0, 7).unwrap();
    let number = |row: usize, column: &str| table.number(row, column);
    let (mut wrong, mut right, mut disturbed, mut single) = (Vec::new(), 0, 0, Vec::new());
    let mut row = 0;
    while row < table.rows.len() {
        let index = number(row, "case").unwrap() as usize;
        let case = &all[index];
        let mut epoch = case.epoch.clone();
        for run in &mut epoch.runs {
            assert_eq!(number(row, "case").unwrap() as usize, index, "row {row}");
            run.run.speed_over_ground_m_s = number(row, "speed_m_s");
            run.run.shaft_speed_rev_s = number(row, "shaft_rev_s");
            run.run.motor_speed_rev_s = number(row, "motor_rev_s");
            run.run.power_w = number(row, "power_w");
            run.run.voltage_v = number(row, "voltage_v");
            row += 1;
        }
        let found = diagnose(&case.spec, &[epoch], &fewer(), &Alone).unwrap();
        match case.kind.strip_prefix("single ") {
            Some(truth) => {
                let is_right =
                    matches!(found.headline(), Headline::Named(share) if share.cause.key() == truth);
                right += usize::from(is_right);
                single.push((truth, found.headline()));
            }
            None => {
                disturbed += 1;
                if case.is_wrong(found.headline()) {
                    wrong.push((case.kind.clone(), found.headline()));
                }
            }
        }
    }
    assert!(disturbed >= 12 && single.len() >= 8, "{disturbed}, {}", single.len());
    // One in twenty and nine in ten, as the long run is held to; of so few one may fail.
    assert!(wrong.len() <= 1, "{wrong:?}");
    assert!(right + 1 >= single.len(), "{right}: {single:?}");
}

/// Correlation of two inputs among the samples, and the spread of a function of the samples.
fn correlation(a: &[f64], b: &[f64]) -> f64 {
    let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len() as f64;
    let (ma, mb) = (mean(a), mean(b));
    let product = a.iter().zip(b).map(|(x, y)| (x - ma) * (y - mb)).sum::<f64>();
    let square = |v: &[f64], m: f64| v.iter().map(|x| (x - m).powi(2)).sum::<f64>();
    product / (square(a, ma) * square(b, mb)).sqrt()
}

/// Growth and in-service factor push the same way. A linear study of 8 runs with 0.1 kn and 3 % noise found a
/// correlation of -0.87 between them, and that a clean-bottom trial of the same boat as a baseline halves what is not
/// known of the friction (18 to 8 points). Here as there only the two are free among the boat's inputs, and the noise is
/// the same; boat, prior of the growth and what belongs to the day (load, waves, meter) differ, so that size and sign
/// are compared, not digits.
#[test]
fn growth_and_drag_trade_and_a_clean_trial_parts_them() {
    let mut spec = demo();
    spec.uncertain.retain(|u| matches!(u.input, Input::InService | Input::BottomGrowth));
    let mut grown = clean(&spec);
    grown.bottom_sand_height_m = 800e-6;
    // Nobody looked: what grows in ten months is known to a factor of five either way, the widest prior there is.
    let not_looked =
        Observed { months_since_cleaning: Some(10.0), state_of_charge: Some(0.9), ..Observed::default() };
    let now = epoch("now", runs_of(&grown, &RPM[..4], false, 0.0), not_looked);
    let noise = Noise { speed_m_s: 0.1 * KNOT_M_S, power_share: 0.03, ..Noise::default() };
    let options = CausesOptions { noise, ..CausesOptions::default() };
    let alone = diagnose(&spec, std::slice::from_ref(&now), &options, &Alone).unwrap();
    let column = |found: &Diagnosis, cause: Cause| -> Vec<f64> {
        let sampler = 0..found.posterior.samples.len();
        sampler.filter_map(|i| Some(found.sample_shares(i)?.shares_m_s[cause as usize])).collect()
    };
    let found = correlation(&column(&alone, Cause::BottomGrowth), &column(&alone, Cause::Hull));
    assert!((-0.97..=-0.75).contains(&found), "correlation {found}");
    let before =
        epoch("clean", runs_of(&clean(&spec), &RPM[..4], false, 0.0), looked_at(FoulingCondition::AsApplied));
    let with_baseline = diagnose(&spec, &[before, now], &options, &Alone).unwrap();
    let width = |found: &Diagnosis| {
        let shares = &found.points[0].shares;
        let growth = shares.iter().find(|s| s.cause == Cause::BottomGrowth).unwrap();
        growth.taken.p90 - growth.taken.p10
    };
    let narrower = width(&with_baseline) / width(&alone);
    assert!((0.25..0.75).contains(&narrower), "a clean trial leaves {narrower} of the width");
}

#[test]
fn shares_add_up_to_the_shortfall() {
    let spec = demo();
    let mut grown = clean(&spec);
    grown.bottom_sand_height_m = 1e-3;
    let now = epoch("now", runs_of(&grown, &RPM, true, 0.0), looked_at(FoulingCondition::SmallShellOrWeed));
    let found = diagnose(&spec, &[now], &fewer(), &Alone).unwrap();
    for i in 0..found.posterior.samples.len() {
        let shares = found.sample_shares(i).unwrap();
        let sum: f64 = shares.shares_m_s.iter().sum();
        assert_near("sum of shares", sum, shares.shortfall_m_s, 1e-12);
    }
    let main = found.points[0].shares.iter().map(|s| s.main_probability).sum::<f64>();
    assert!(main <= 1.0 + 1e-9);
    assert_eq!(found.points[0].shares[0].cause, Cause::BottomGrowth);
    assert!(found.sampling.is_trusted, "{:?}", found.sampling);
}

/// Two jobs at a time in a mixed order.
struct Backwards;

impl Workers for Backwards {
    fn map<T: Send>(&self, count: usize, job: impl Fn(usize) -> T + Sync + Send) -> Vec<T> {
        let mut done: Vec<T> = (0..count).rev().map(job).collect();
        done.reverse();
        done
    }
}

#[test]
fn the_same_for_any_order_of_work() {
    let spec = demo();
    let now =
        epoch("now", runs_of(&clean(&spec), &RPM[..3], false, 0.0), looked_at(FoulingCondition::AsApplied));
    let options = CausesOptions { samples: 600, kept: 100, ..CausesOptions::default() };
    let one = diagnose(&spec, std::slice::from_ref(&now), &options, &Alone).unwrap();
    let other = diagnose(&spec, &[now], &options, &Backwards).unwrap();
    assert_eq!(one.points, other.points);
    assert_eq!(one.next, other.next);
}

#[test]
fn a_push_on_one_course_is_not_explained() {
    let spec = demo();
    let now = epoch("now", runs_of(&clean(&spec), &RPM, true, 1.0), looked_at(FoulingCondition::AsApplied));
    let found = diagnose(&spec, &[now], &fewer(), &Alone).unwrap();
    assert!(found.fit.misfits.iter().any(|m| matches!(m, Misfit::CourseToCourse { .. })), "{:?}", found.fit);
    assert_eq!(found.points[0].shares[0].cause, Cause::Unexplained);
    assert!(found.points[0].short_probability > 0.9);
}

#[test]
fn a_controller_that_holds_back_is_found() {
    let spec = demo();
    let mut held = clean(&spec);
    held.controller.battery_current_limit_a *= 0.2;
    let now = epoch("now", runs_of(&held, &RPM[..3], true, 0.0), looked_at(FoulingCondition::AsApplied));
    let found = diagnose(&spec, &[now], &fewer(), &Alone).unwrap();
    assert_eq!(found.oddities[0].0.what, Hypothesis::HeldBack, "{:?}", found.oddities);
    assert_eq!(found.points[0].shares[0].cause, Cause::Limits);
}

/// Packs with four times the resistance of their plate are no lost pack, and nobody sells a new one for it: the runs
/// cannot tell them from a poor joint, and say so.
#[test]
fn packs_that_sag_are_not_taken_for_a_lost_one() {
    let document = BoatDocument::parse(include_str!("../../../../examples/sea_campion.toml")).unwrap();
    let two = document.set("pack[1].count", "2").unwrap().set("pack[1].resistance", "20 mohm").unwrap();
    let spec = build_spec(&two).unwrap();
    let mut poor = clean_at_medians(&spec);
    poor.scale_pack_resistance(4.0);
    let now = epoch("now", runs_of(&poor, &RPM, true, 0.0), looked_at(FoulingCondition::AsApplied));
    let found = diagnose(&spec, &[now], &fewer(), &Alone).unwrap();
    let odds = |what: Hypothesis| -> f64 {
        found.oddities.iter().filter(|(odd, _)| odd.what == what).map(|(_, p)| p).sum()
    };
    assert!(odds(Hypothesis::PackLost) < 0.05, "{:?}", found.oddities);
    assert!(odds(Hypothesis::PoorPacks) > 0.1 && odds(Hypothesis::PoorJoint) > 0.1, "{:?}", found.oddities);
}

/// With no other speed than one log that reads low, a sound boat is not said to drag: a second speed is asked for.
#[test]
fn a_log_alone_names_no_drag() {
    let spec = demo();
    let mut runs = runs_of(&clean(&spec), &RPM, true, 0.0);
    for run in &mut runs {
        let along = 0.2 * run.run.course_rad.unwrap().cos();
        let through = run.run.speed_over_ground_m_s.take().map(|speed| 0.88 * (speed - along));
        run.run.speed_through_water_m_s = through;
    }
    let now = epoch("low log", runs, looked_at(FoulingCondition::AsApplied));
    let found = diagnose(&spec, &[now], &fewer(), &Alone).unwrap();
    assert!(!matches!(found.headline(), Headline::Named(_)), "{:?}", found.headline());
    assert_eq!(found.missing_for(Cause::Hull)[0], Missing::OtherSpeed);
}

/// What belongs to a drive is not named while the volts that tell its parts from each other were not read.
#[test]
fn volts_are_asked_for_before_a_cause_of_the_drive_is_named() {
    let spec = demo();
    let mut held = clean(&spec);
    held.controller.battery_current_limit_a *= 0.2;
    let mut runs = runs_of(&held, &RPM[..3], true, 0.0);
    let with = epoch("with volts", runs.clone(), looked_at(FoulingCondition::AsApplied));
    let found = diagnose(&spec, &[with], &fewer(), &Alone).unwrap();
    assert!(matches!(found.headline(), Headline::Named(share) if share.cause == Cause::Limits));
    for run in &mut runs {
        run.run.voltage_v = None;
    }
    let without = epoch("without volts", runs, looked_at(FoulingCondition::AsApplied));
    let found = diagnose(&spec, &[without], &fewer(), &Alone).unwrap();
    assert_eq!(found.headline(), Headline::Ask(Missing::Volts));
}

/// A sound boat in 1.2 kn of foul stream, over ground and one way only: no verdict, nothing adopted; with her log read as well,
/// or the runs made back, she is judged.
#[test]
fn runs_over_ground_one_way_give_no_verdict() {
    let spec = demo();
    let both = runs_of(&clean(&spec), &RPM[..3], true, 0.0);
    let one_way = |has_log: bool| -> Vec<TrialRun> {
        let ahead = both.iter().step_by(2).cloned();
        let foul = |mut run: TrialRun| {
            // `runs_of` has 0.2 m/s with her on this course.
            let through = run.run.speed_over_ground_m_s.map(|speed| speed - 0.2);
            run.run.speed_over_ground_m_s = through.map(|speed| speed - 1.2 * KNOT_M_S);
            run.run.speed_through_water_m_s = through.filter(|_| has_log);
            run
        };
        ahead.map(foul).collect()
    };
    let found = |runs: Vec<TrialRun>| {
        let now = epoch("now", runs, looked_at(FoulingCondition::AsApplied));
        diagnose(&spec, &[now], &fewer(), &Alone).unwrap()
    };
    let blind = found(one_way(false));
    assert_eq!(blind.headline(), Headline::StreamIn);
    assert!(blind.tells_nothing() && blind.calibrated.is_empty());
    assert_ne!(found(one_way(true)).headline(), Headline::StreamIn);
    assert_ne!(found(both.clone()).headline(), Headline::StreamIn);
}

/// A log that reads 7 % low loses no speed: it is told as what it is, and no cause takes knots for it.
#[test]
fn a_log_that_reads_low_is_no_speed_lost() {
    let spec = demo();
    let mut runs = runs_of(&clean(&spec), &RPM, true, 0.0);
    for run in &mut runs {
        // The stream of the runs is 0.2 m/s along the first course.
        let along = 0.2 * run.run.course_rad.unwrap().cos();
        run.run.speed_through_water_m_s = run.run.speed_over_ground_m_s.map(|speed| 0.93 * (speed - along));
    }
    let now = epoch("low log", runs, looked_at(FoulingCondition::AsApplied));
    let found = diagnose(&spec, &[now], &fewer(), &Alone).unwrap();
    let wrong = found.wrong_instruments();
    let log = wrong.iter().find(|(what, _)| *what == OfTrial::LogFactor).expect("the log is named");
    assert_near("log over truth", log.1.value, 0.93, 0.015);
    assert!(found.points[0].shares.iter().all(|share| share.cause != Cause::Instruments));
    let truth = PreparedBoat::new(&clean(&spec)).unwrap().value.solve(Ask::Throttle(1.0)).unwrap();
    assert_near("what she does", found.points[0].now.value, truth.state.speed_m_s, 0.08 * KNOT_M_S);
}

/// A power that no cause explains names none, and teaches nothing about her.
#[test]
fn what_fits_nothing_names_nothing() {
    let spec = demo();
    let mut runs = runs_of(&clean(&spec), &RPM, true, 0.0);
    for run in &mut runs {
        run.run.power_w = run.run.power_w.map(|power| 5.0 * power);
    }
    let now = epoch("odd power", runs, looked_at(FoulingCondition::AsApplied));
    let found = diagnose(&spec, &[now], &fewer(), &Alone).unwrap();
    assert!(matches!(found.headline(), Headline::FitsNothing(_)), "{:?}", found.fit);
    assert!(found.calibrated.is_empty());
}

#[test]
fn missing_channels_are_lived_with() {
    let spec = demo();
    let mut runs = runs_of(&clean(&spec), &RPM, false, 0.0);
    for run in &mut runs {
        (run.run.power_w, run.run.voltage_v) = (None, None);
    }
    let found =
        diagnose(&spec, &[epoch("rpm only", runs.clone(), Observed::default())], &fewer(), &Alone).unwrap();
    assert!(found.points[0].now.value.is_finite());
    for run in &mut runs {
        run.run.shaft_speed_rev_s = None;
    }
    let nothing = diagnose(&spec, &[epoch("speed only", runs, Observed::default())], &fewer(), &Alone);
    assert!(matches!(nothing, Err(CausesError::NothingToFit { .. })), "{nothing:?}");
    assert_eq!(diagnose(&spec, &[], &fewer(), &Alone), Err(CausesError::NoTrial));
}

#[test]
fn odd_readings_give_an_answer_or_words() {
    let spec = demo();
    for factor in [0.0, 1e-6, 0.2, 5.0, 1e9, f64::NAN] {
        let mut runs = runs_of(&clean(&spec), &RPM[..3], true, 0.0);
        for run in &mut runs {
            run.run.speed_over_ground_m_s = run.run.speed_over_ground_m_s.map(|speed| speed * factor);
            run.run.power_w = run.run.power_w.map(|power| power * factor);
        }
        // Whatever comes, it is no panic.
        let _ = diagnose(&spec, &[epoch("odd", runs, Observed::default())], &fewer(), &Alone);
    }
}

#[test]
fn a_forecast_is_held_against_what_came() {
    let spec = demo();
    let mut grown = clean(&spec);
    grown.bottom_sand_height_m = 1e-3;
    let slow = epoch("slow", runs_of(&grown, &RPM, true, 0.0), looked_at(FoulingCondition::SmallShellOrWeed));
    let found = diagnose(&spec, &[slow], &fewer(), &Alone).unwrap();
    let scrub = Remedy { name: "scrub".to_owned(), changes: vec![Change::CleanBottom] };
    let pitch = Remedy { name: "pitch".to_owned(), changes: vec![Change::Repitch(0.0254)] };
    let made = forecast(&found, &[scrub, pitch], &Alone);
    let gain = made[0].of(Measure::FullSpeed).unwrap().gain;
    assert!(gain.p10 > 0.0, "a scrub never slows her: {gain:?}");
    let own_width =
        |m: Measure| made[1].of(m).map(|f| (f.gain.p90 - f.gain.p10, f.after.p90 - f.after.p10)).unwrap();
    // Paired samples: a gain is known better than the speed would make one think.
    let (of_gain, of_speed) = own_width(Measure::FullSpeed);
    assert!(of_gain < 1.2 * of_speed);
    let after =
        epoch("after", runs_of(&clean(&spec), &RPM, true, 0.0), looked_at(FoulingCondition::AsApplied));
    let later = diagnose(&spec, &[after], &fewer(), &Alone).unwrap();
    let scores = score(&made[0], &later, &Alone);
    let full = scores.iter().find(|s| s.measure == Measure::FullSpeed).unwrap();
    assert!(full.is_inside && full.z.abs() < 1.5, "{full:?}");
    assert!(full.crps < full.crps_no_change);
    let truth = PreparedBoat::new(&clean(&spec)).unwrap().value.solve(Ask::Throttle(1.0)).unwrap();
    assert_near("outcome", full.outcome.value, truth.state.speed_m_s, 0.06 * KNOT_M_S);
    assert!(later.problem.spec.uncertain.iter().any(|u| u.input == Input::InService));
}

/// A trial made on another reduction is read with it: nothing of that is laid to a cause, and its readings
/// stand beside what she should have shown then. Read as she is today, something odd is blamed that she had before.
#[test]
fn an_earlier_trial_is_read_as_she_was_then() {
    let document = BoatDocument::parse(include_str!("../../../../examples/sea_campion.toml")).unwrap();
    let then = build_spec(&document).unwrap();
    let now = build_spec(&document.set("reduction.ratio", "3:1").unwrap()).unwrap();
    let seen = looked_at(FoulingCondition::AsApplied);
    let trial = |label: &str, spec: &BoatSpec| epoch(label, runs_of(&clean(spec), &RPM, true, 0.0), seen);
    let found = |read_as: Option<&BoatSpec>| {
        let first = Epoch { then: read_as.cloned().map(Box::new), ..trial("on the old pulleys", &then) };
        diagnose(&now, &[first, trial("on the new", &now)], &fewer(), &Alone).unwrap()
    };
    let as_she_was = found(Some(&then));
    assert!(as_she_was.points[0].shortfall.value.abs() < 0.1 * KNOT_M_S, "{:?}", as_she_was.points[0]);
    assert!(as_she_was.fit.rms_residual < 0.8, "{}", as_she_was.fit.rms_residual);
    let of_first = as_she_was.runs.iter().filter(|fit| fit.epoch == 0).flat_map(|fit| &fit.readings);
    for (datum, should, _) in of_first {
        let should = should.unwrap();
        assert!((datum.value - should).abs() < 0.04 * should.abs(), "{datum:?} should be {should}");
    }
    let as_she_is = found(None);
    let most_probable = |found: &Diagnosis| found.oddities[0];
    let (odd, probability) = most_probable(&as_she_was);
    assert!(odd == Oddity::NOTHING && probability > 0.95, "{:?}", as_she_was.oddities);
    let (odd, probability) = most_probable(&as_she_is);
    assert!(odd.reach == Reach::Before(1) && probability > 0.95, "{:?}", as_she_is.oddities);
}

/// What was mended between two trials held on the first alone: both are read together, nothing is refused, and she is
/// not held back now.
#[test]
fn what_was_mended_between_two_trials_is_read_as_such() {
    let spec = demo();
    let mut held = clean(&spec);
    held.controller.battery_current_limit_a *= 0.25;
    let seen = looked_at(FoulingCondition::AsApplied);
    let first = epoch("as she came", runs_of(&held, &RPM[..3], true, 0.0), seen);
    let second = epoch("after the work", runs_of(&clean(&spec), &RPM, true, 0.0), seen);
    let found = diagnose(&spec, &[first.clone(), second.clone()], &fewer(), &Alone).unwrap();
    assert_eq!(found.refusal(), None, "{:?}", found.fit);
    let (odd, probability) = found.oddities[0];
    assert_eq!(odd, Oddity { what: Hypothesis::HeldBack, reach: Reach::Before(1) }, "{:?}", found.oddities);
    assert!(probability > 0.9, "{:?}", found.oddities);
    assert_eq!(
        odd.words(&found.problem.epochs),
        "controller, throttle, BMS or heat held her back on \"as she came\" and no longer on \"after the work\""
    );
    assert_eq!(found.headline(), Headline::NotShort, "{:?}", found.points[0]);
    // The other way round it came in between, and holds her back now.
    let found = diagnose(&spec, &[second, first], &fewer(), &Alone).unwrap();
    assert_eq!(found.refusal(), None, "{:?}", found.fit);
    assert_eq!(found.oddities[0].0, Oddity { what: Hypothesis::HeldBack, reach: Reach::From(1) });
    assert_eq!(found.points[0].shares[0].cause, Cause::Limits);
}

/// A pull against a quay is fitted like a run: it leaves the hull out, so what the propeller takes is known better; at
/// part throttle it needs the shaft's speed.
#[test]
fn a_pull_against_a_quay_tells_of_the_propeller_alone() {
    let spec = demo();
    let mut boat = clean_at_medians(&spec);
    boat.bottom_sand_height_m = 1e-3;
    let there = PreparedBoat::new(&boat).unwrap().value;
    let tied_up = |state: wakewright_core::steady::State, is_full_throttle| TrialRun {
        run: Run {
            // What reaches the line is a little less than the thrust.
            pull_n: Some(0.95 * state.thrust_n),
            shaft_speed_rev_s: Some(state.shaft_rev_s),
            voltage_v: Some(state.bank_v),
            power_w: Some(state.drive_power_w),
            ..Run::default()
        },
        is_full_throttle,
        left_out: None,
    };
    let part = there.tied_up_at(5.0).state;
    let full = there.tied_up_at_full_throttle().unwrap().state;
    let at_sea = runs_of(&boat, &RPM, true, 0.0);
    let found = |more: &[TrialRun]| {
        let runs = [at_sea.as_slice(), more].concat();
        let observed =
            Observed { state_of_charge: Some(spec.boat.bank.state_of_charge), ..Observed::default() };
        // A width wants more samples than a middle: of 400 samples an 80 % band errs by a twentieth.
        let options = CausesOptions { samples: 8000, kept: 2400, ..CausesOptions::default() };
        diagnose(&spec, &[epoch("as she came", runs, observed)], &options, &Alone).unwrap()
    };
    let (before, after) = (found(&[]), found(&[tied_up(part, false), tied_up(full, true)]));
    assert_eq!(after.runs.len(), before.runs.len() + 2);
    let width = |found: &Diagnosis| {
        let share = found.points[0].shares.iter().find(|share| share.cause == Cause::Propeller).unwrap();
        share.taken.p90 - share.taken.p10
    };
    // Since another pitch than stated is a rival of its own, which a pull cannot shut out, the width falls to 0.82 to 0.84 of what
    // it was; before it fell below 0.8.
    assert!(width(&after) < 0.9 * width(&before), "{} against {}", width(&after), width(&before));
    let main = after.points[0].shares[0].cause;
    assert!(matches!(main, Cause::BottomGrowth | Cause::Hull), "{main:?}");
    let mut unheld = tied_up(part, false);
    unheld.run.shaft_speed_rev_s = None;
    assert_eq!(found(&[unheld]).runs.len(), before.runs.len());
}
