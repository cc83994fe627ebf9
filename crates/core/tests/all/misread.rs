//! Runs that were made or read otherwise than written, or hardly read: what is said before any cause is named. Runs here are made by the
//! code under test, and what is done to them on the way into the book is known: which sentence comes is checked, no figure.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use wakewright_core::boat::Boat;
use wakewright_core::causes::{
    Alone, Cause, Diagnosis, Headline, Hypothesis, Measure, Missing, Observed, OfTrial, Refusal, diagnose,
    forecast, usual_remedies,
};
use wakewright_core::fouling::FoulingCondition;
use wakewright_core::steady::{Ask, PreparedBoat};
use wakewright_core::trial::Run;
use wakewright_records::boat::{BoatDocument, build_spec};

use crate::causes::{RPM, clean_at_medians, demo, epoch, fewer, looked_at, runs_of};

/// Runs of a sound boat with two packs and a reduction, changed on the way into the book; what is then said.
fn said_of(changes: &[(&str, &str)], write: impl Fn(&mut Run)) -> (Diagnosis, Headline) {
    said_of_boat(changes, |_| {}, write)
}

/// The same of runs for which she was otherwise than her document has her.
fn said_of_boat(
    changes: &[(&str, &str)],
    was: impl Fn(&mut Boat),
    write: impl Fn(&mut Run),
) -> (Diagnosis, Headline) {
    let mut document = BoatDocument::parse(include_str!("../../../../examples/sea_campion.toml")).unwrap();
    for (field, value) in changes {
        document = document.set(field, value).unwrap();
    }
    let spec = build_spec(&document).unwrap();
    let mut boat = clean_at_medians(&spec);
    was(&mut boat);
    let mut runs = runs_of(&boat, &RPM[1..], true, 0.0);
    runs.iter_mut().for_each(|run| write(&mut run.run));
    let observed = Observed { true_wind_m_s: Some(0.5), ..looked_at(FoulingCondition::AsApplied) };
    let found = diagnose(&spec, &[epoch("now", runs, observed)], &fewer(), &Alone).unwrap();
    let headline = found.headline();
    (found, headline)
}

/// The motor's turns in the shaft's column are 3.4 times the shaft's and fit with that factor: no propeller is blamed.
#[test]
fn turns_of_the_motor_for_the_shafts_are_seen() {
    let spec = demo();
    let ratio = spec.boat.drive_line.ratio;
    let (found, headline) = said_of(&[], |run| {
        run.shaft_speed_rev_s = run.shaft_speed_rev_s.map(|turns| ratio * turns);
    });
    assert_eq!(headline, Headline::Misread(Hypothesis::OtherTurns), "{:?}", found.oddities);
    assert!(found.calibrated.is_empty());
}

/// Half the power of a bank of two packs is one pack's, not another pitch.
#[test]
fn amps_of_one_of_two_packs_are_seen() {
    let (found, headline) = said_of(&[("pack[1].count", "2")], |run| {
        run.power_w = run.power_w.map(|power| 0.5 * power);
    });
    assert_eq!(headline, Headline::Misread(Hypothesis::OnePackRead), "{:?}", found.oddities);
    assert!(found.calibrated.is_empty());
}

/// Volts of a house battery beside the drive's amps: they are left out with the power made of them, and asked for.
#[test]
fn volts_of_another_battery_name_no_joint() {
    let (found, headline) = said_of(&[], |run| {
        run.current_a = run.power_w.zip(run.voltage_v).map(|(power, volts)| power / volts);
        run.voltage_v = Some(12.6);
        run.power_w = run.current_a.map(|current| 12.6 * current);
    });
    assert_eq!(headline, Headline::Ask(Missing::OwnVolts), "{:?}", found.oddities);
    let point = &found.points[0];
    assert!(point.now.p90 > 0.97 * point.should_m_s, "a sound boat: {point:?}");
}

/// A sound boat in the canal of her document does there what she should there, whether a depth was noted or not.
#[test]
fn a_canal_of_the_document_is_reckoned_with() {
    let canal = [("sea.depth", "2.4 m"), ("sea.canal_width", "22 m")];
    for noted in [None, Some(2.4)] {
        let (found, headline) = said_of(&canal, |run| run.depth_m = noted);
        assert_eq!(headline, Headline::NotShort, "{noted:?}: {:?}", found.points[0]);
        assert!(found.problem.unfitted[0].is_empty(), "{:?}", found.problem.unfitted);
    }
}

/// What else is aboard draws the same at every setting: no part of the drive is blamed.
#[test]
fn a_steady_power_beside_the_drives_is_seen() {
    let (found, headline) = said_of(&[], |run| run.power_w = run.power_w.map(|power| power + 1200.0));
    assert_eq!(headline, Headline::Misread(Hypothesis::OtherLoads), "{:?}", found.oddities);
}

/// Readings that nothing fits are not read otherwise: negative amps are no pack that was forgotten.
#[test]
fn what_fits_nothing_is_no_reading_either() {
    let (found, headline) =
        said_of(&[("pack[1].count", "2")], |run| run.power_w = run.power_w.map(|power| -power));
    assert!(matches!(headline, Headline::FitsNothing(_)), "{headline:?} {:?}", found.oddities);
}

/// Amps of the motor's leads are the bank's over the duty of the controller: far too many at low speeds, right with the lever fully open.
#[test]
fn amps_of_the_motors_leads_are_seen() {
    let spec = demo();
    let (found, headline) = said_of(&[], |run| {
        let prepared = PreparedBoat::new(&clean_at_medians(&spec)).unwrap().value;
        let Some(turns) = run.shaft_speed_rev_s else { return };
        let state = prepared.solve(Ask::ShaftSpeed(turns)).unwrap().state;
        run.power_w = Some(state.bank_v * state.motor.current_a);
    });
    assert_eq!(headline, Headline::Misread(Hypothesis::MotorAmps), "{:?}", found.oddities);
}

/// What slips under full load alone is the belt, toothed or not, and no limit of a controller: the motor turns as fast as its volts allow.
#[test]
fn a_belt_that_gives_is_no_limit() {
    let spec = demo();
    let ratio = spec.boat.drive_line.ratio;
    let (found, headline) = said_of(&[], |run| {
        let Some(turns) = run.shaft_speed_rev_s.filter(|turns| *turns > 580.0 / 60.0) else { return };
        run.motor_speed_rev_s = Some(1.25 * ratio * turns);
    });
    assert!(
        !matches!(headline, Headline::Named(share) if share.cause == Cause::Limits),
        "{headline:?} {:?}",
        found.oddities
    );
}

/// What holds her back may be volts or amps as long as nobody has read the limit: no other propeller or reduction is sure to help.
#[test]
fn no_other_propeller_is_sure_to_help_what_is_held_back() {
    let held = |boat: &mut Boat| boat.controller.battery_current_limit_a *= 0.2;
    let (found, _) = said_of_boat(&[], held, |_| {});
    assert_eq!(found.oddities[0].0.what, Hypothesis::HeldBack, "{:?}", found.oddities);
    let remedies = usual_remedies(&found);
    let forecasts = forecast(&found, &remedies, &Alone);
    for name in ["re-pitch to 2 in more", "a tenth less reduction", "a tenth more reduction"] {
        let told = forecasts.iter().find(|told| told.remedy.name == name).unwrap();
        let gain = told.of(Measure::FullSpeed).unwrap().gain;
        assert!(
            told.helps_probability < 0.8 && gain.p10 < 0.0,
            "{name}: {} {gain:?}",
            told.helps_probability
        );
    }
}

/// Without any turns nothing tells a limit from another propeller or reduction: they are asked for.
#[test]
fn turns_are_asked_for() {
    let held = |boat: &mut Boat| boat.controller.battery_current_limit_a *= 0.2;
    let (found, headline) = said_of_boat(&[], held, |run| {
        (run.shaft_speed_rev_s, run.motor_speed_rev_s) = (None, None);
    });
    assert_eq!(headline, Headline::Ask(Missing::Turns), "{:?}", found.oddities);
}

/// A meter that shows a third less or half as much again, while turns and way are as they should be, is no other propeller.
#[test]
fn a_meter_that_is_far_off_fits_nothing() {
    for factor in [0.6, 1.5] {
        let (found, headline) = said_of(&[], |run| run.power_w = run.power_w.map(|power| factor * power));
        let meter = Headline::FitsNothing(Refusal::Instrument(OfTrial::MeterFactor));
        assert_eq!(headline, meter, "{factor}: {:?} {:?}", found.wrong_instruments(), found.oddities);
    }
}

/// Runs with the lever part open that made more way than she has with all of it, by a limit that her document states: nothing explains that.
#[test]
fn more_way_than_at_full_throttle_fits_nothing() {
    let held = [("controller.battery_current", "20 A")];
    let (found, headline) =
        said_of_boat(&held, |boat| boat.controller.battery_current_limit_a = 300.0, |_| {});
    assert!(matches!(headline, Headline::FitsNothing(_)), "{headline:?} {:?}", found.points[0]);
    assert!(found.calibrated.is_empty());
}

/// A canal that is narrower that day than her document has it is no drag of hers: the depth is asked for.
#[test]
fn a_narrower_canal_is_no_drag_of_hers() {
    let canal = [("sea.depth", "2.4 m"), ("sea.canal_width", "22 m")];
    let narrow = |boat: &mut Boat| boat.sea.canal_width_m = Some(8.0);
    let (found, headline) = said_of_boat(&canal, narrow, |_| {});
    assert!(matches!(headline, Headline::Open | Headline::Ask(Missing::Depth)), "{:?}", found.points[0]);
    let shares = &found.points[0].shares;
    let likeliest = shares.iter().max_by(|a, b| a.main_probability.total_cmp(&b.main_probability)).unwrap();
    assert_eq!(likeliest.cause, Cause::Banks, "{:?}", found.points[0]);
}

/// Speeds of another unit, written as knots, fit by its factor: no hull that drags or flies.
#[test]
fn speeds_of_another_unit_are_seen() {
    let units = [
        (Hypothesis::KilometresRead, 1.852),
        (Hypothesis::MilesRead, 1.852 / 1.609_344),
        (Hypothesis::MetresRead, 1.852 / 3.6),
    ];
    for (what, factor) in units {
        let (found, headline) = said_of(&[], |run| {
            run.speed_over_ground_m_s = run.speed_over_ground_m_s.map(|speed| factor * speed);
        });
        assert_eq!(headline, Headline::Misread(what), "{:?}", found.oddities);
    }
}

/// Runs on one of two drives are no wrong propeller.
#[test]
fn one_of_two_drives_standing_is_seen() {
    let one = |boat: &mut Boat| (boat.drives.running, boat.drives.idle) = (1, 1);
    let (found, headline) = said_of_boat(&[("motor.count", "2")], one, |_| {});
    assert_eq!(headline, Headline::Misread(Hypothesis::OneDrive), "{:?}", found.oddities);
    // Who says that both ran is not asked again.
    let told = [("motor.count", "2"), ("motor.running", "2")];
    let (found, headline) = said_of_boat(&told, one, |_| {});
    assert!(!matches!(headline, Headline::Misread(_)), "{headline:?} {:?}", found.oddities);
}

/// Opposite runs at full throttle of which nothing but the way was read are one setting: the stream is out of them.
#[test]
fn runs_at_full_throttle_without_any_reading_are_a_pair() {
    let spec = demo();
    let mut runs = runs_of(&clean_at_medians(&spec), &RPM[..3], true, 0.0);
    for run in runs.iter_mut().filter(|run| run.is_full_throttle) {
        run.run = Run { shaft_speed_rev_s: None, power_w: None, voltage_v: None, ..run.run };
    }
    let now = epoch("now", runs, looked_at(FoulingCondition::CleanPolished));
    let found = diagnose(&spec, &[now], &fewer(), &Alone).unwrap();
    let held: Vec<&Vec<usize>> = found.runs.iter().map(|fit| &fit.runs).collect();
    assert!(held.contains(&&vec![6, 7]), "{held:?}");
}
