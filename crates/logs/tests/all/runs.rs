//! From two made-up logs of one afternoon (a bus gateway's sentences and a meter's table, each with
//! noise, lag and steps of its own) back to the speeds and the stream that they were made with.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::fmt::Write;
use std::io::Cursor;

use wakewright_core::trial::{PairBounds, double_run, match_opposite_runs};
use wakewright_logs::{
    JoinError, JoinOptions, Log, LogNotice, Measured, Packs, RunBounds, between, find_steady_runs, join,
    key_in_log, read_log, sniff, suggest_shifts,
};
use wakewright_testkit::assert_near;

const KNOT_M_S: f64 = 1852.0 / 3600.0;

/// Even noise of -1 to 1, the same on every run.
struct Noise(u64);

impl Noise {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }

    /// Nearly normal with standard deviation 1.
    fn normal(&mut self) -> f64 {
        (0..3).map(|_| self.next()).sum()
    }
}

/// Legs: seconds, course \[deg\], rpm. In between she turns and the throttle is moved.
const LEGS: [(u32, f64, f64); 6] = [
    (240, 20.0, 700.0),
    (240, 200.0, 700.0),
    (240, 20.0, 850.0),
    (240, 200.0, 850.0),
    (200, 200.0, 1000.0),
    (200, 20.0, 1000.0),
];
const TURN_S: u32 = 40;
/// Along 020 degrees.
const STREAM_KN: f64 = 0.7;

fn truth_kn(rpm: f64) -> f64 {
    rpm / 170.0
}

fn truth_w(rpm: f64) -> f64 {
    2500.0 * (rpm / 700.0).powi(3)
}

struct Made {
    sentences: String,
    table: String,
}

fn sentence(out: &mut String, body: &str) {
    let sum = body.bytes().fold(0_u8, |sum, byte| sum ^ byte);
    writeln!(out, "${body}*{sum:02X}").unwrap();
}

fn made() -> Made {
    let mut noise = Noise(7);
    let (mut sentences, mut table) = (String::new(), String::from("Time,Volts,Amps (A),Shaft RPM\n"));
    let (mut speed, mut course, mut rpm) = (0.0, 20.0, 300.0_f64);
    let mut second = 0_u32;
    for (length, leg_course, leg_rpm) in LEGS {
        for i in 0..TURN_S + length {
            // She turns evenly, the throttle is moved at the end of the turn, the speed follows with
            // a lag of 15 s.
            if i < TURN_S {
                course += (leg_course - course) / f64::from(TURN_S - i);
            } else if rpm != leg_rpm {
                rpm += (leg_rpm - rpm).clamp(-40.0, 40.0);
            }
            speed += (truth_kn(rpm) - speed) / 15.0;
            let stw = speed + 0.06 * noise.normal();
            let along = STREAM_KN * (course - 20.0).to_radians().cos();
            let sog = speed + along + 0.05 * noise.normal();
            let cog = course + 1.5 * noise.normal();
            let (h, m, s) = (14 + second / 3600, second / 60 % 60, second % 60);
            let body = format!(
                "GPRMC,{h:02}{m:02}{s:02},A,5236.100,N,00518.400,E,{sog:.1},{:.1},251126,,,A",
                cog.rem_euclid(360.0)
            );
            sentence(&mut sentences, &body);
            sentence(&mut sentences, &format!("IIVHW,,T,,M,{stw:.1},N,,K"));
            if second.is_multiple_of(3) {
                let power = truth_w(rpm) + 180.0;
                let volts = 51.0 - power / 51.0 * 0.02;
                let amps = power / volts + 1.5 + 0.3 * noise.normal();
                // The meter's clock is 20 s ahead.
                let ahead = second + 20;
                let (h, m, s) = (14 + ahead / 3600, ahead / 60 % 60, ahead % 60);
                let turning = rpm + 2.0 * noise.normal();
                writeln!(table, "2026-11-25T{h:02}:{m:02}:{s:02}Z,{volts:.2},{amps:.1},{turning:.0}")
                    .unwrap();
            }
            second += 1;
        }
    }
    Made { sentences, table }
}

fn read(text: &str) -> Log {
    read_log(Cursor::new(text.as_bytes()), sniff(text.as_bytes())).unwrap()
}

#[test]
fn runs_and_stream_are_found_again() {
    let made = made();
    let (bus, meter) = (read(&made.sentences), read(&made.table));
    let options = JoinOptions { current_zero_a: 1.5, house_power_w: 180.0, ..JoinOptions::default() };
    let outings = join(&[(&bus, 0.0), (&meter, -20.0)], &options).unwrap();
    assert_eq!(outings.len(), 1);
    let found = find_steady_runs(&outings[0], &RunBounds::default());
    let runs: Vec<_> = found.iter().map(|steady| steady.run).collect();
    assert_eq!(runs.len(), LEGS.len(), "{runs:#?}");
    for (run, (length, course, rpm)) in runs.iter().zip(LEGS) {
        assert_near("course", run.course_rad.unwrap().to_degrees(), course, 1.0);
        assert_near("rpm", run.shaft_speed_rev_s.or(run.motor_speed_rev_s).unwrap() * 60.0, rpm, 1.0);
        // Noise of 0.06 kn over more than 100 s: a standard error of 0.006 kn; the log reads in 0.1 kn.
        assert_near("speed", run.speed_through_water_m_s.unwrap() / KNOT_M_S, truth_kn(rpm), 0.02);
        assert_near("power", run.power_w.unwrap(), truth_w(rpm), 15.0);
        // Where the course stays, the time before the throttle is moved belongs to the leg before.
        let longest = f64::from(length + TURN_S) + 5.0;
        assert!((0.6 * f64::from(length)..longest).contains(&run.duration_s), "{run:?}");
    }
    let pairs = match_opposite_runs(&runs, &PairBounds::default());
    assert_eq!(pairs.len(), 3);
    for (pair, (.., rpm)) in pairs.iter().zip([LEGS[0], LEGS[2], LEGS[4]]) {
        let speed = |i: usize| runs[i].speed_over_ground_m_s.unwrap();
        let double = double_run(speed(pair.first), speed(pair.second));
        assert_near("speed", double.speed_through_water_m_s / KNOT_M_S, truth_kn(rpm), 0.02);
        assert_near("stream", double.stream_along_m_s.abs() / KNOT_M_S, STREAM_KN, 0.02);
    }
}

#[test]
fn a_boat_at_rest_makes_no_runs() {
    let mut text = String::from("elapsed (s),sog (kn),cog (deg)\n");
    for second in 0..600 {
        writeln!(text, "{second},0.1,{}", second % 360).unwrap();
    }
    let log = read(&text);
    let outings = join(&[(&log, 0.0)], &JoinOptions::default()).unwrap();
    assert!(find_steady_runs(&outings[0], &RunBounds::default()).is_empty());
}

#[test]
fn a_long_break_parts_two_outings() {
    let mut text = String::from("elapsed (s),sog (kn)\n");
    for second in (0..300).chain(10_000..10_300) {
        writeln!(text, "{second},4.5").unwrap();
    }
    let outings = join(&[(&read(&text), 0.0)], &JoinOptions::default()).unwrap();
    assert_eq!(outings.len(), 2);
    assert_eq!(find_steady_runs(&outings[1], &RunBounds::default()).len(), 1);
}

#[test]
fn logs_on_different_clocks_are_not_joined() {
    let elapsed = read("elapsed (s),sog (kn)\n0,4.5\n1,4.5\n");
    let dated = read("time,stw (kn)\n2026-11-25T14:00:00Z,4.5\n2026-11-25T14:00:01Z,4.5\n");
    let joined = join(&[(&elapsed, 0.0), (&dated, 0.0)], &JoinOptions::default());
    assert_eq!(joined, Err(JoinError::MixedClocks));
}

#[test]
fn headings_join_across_north() {
    let mut text = String::from("elapsed (s),sog (kn),course (deg)\n");
    for second in (0..300).step_by(3) {
        writeln!(text, "{second},4.5,{}", if second % 2 == 0 { 359 } else { 1 }).unwrap();
    }
    let outings = join(&[(&read(&text), 0.0)], &JoinOptions::default()).unwrap();
    let runs = find_steady_runs(&outings[0], &RunBounds::default());
    assert_eq!(runs.len(), 1);
    let course = runs[0].run.course_rad.unwrap();
    assert_near("course", course.sin(), 0.0, 0.002);
}

/// A logger's table of so many minutes from `from_s`, in an invented boat's figures; `factor` on its amps.
fn logger(from_s: u32, minutes: u32, factor: f64, columns: &str, shift_s: f64) -> Log {
    let mut text = format!("unix time,{columns}\n");
    for second in (0..60 * minutes).step_by(5) {
        let at = f64::from(from_s + second);
        // Four speeds, two minutes each, in an order that does not come again within the hour.
        let step =
            [2.0, 4.4, 3.1, 5.2, 2.6, 3.8, 4.9][(at as usize / 120) * 3 % 7] + (at / 900.0).sin().abs();
        let (volts, amps) = (53.0 - 0.01 * step, factor * 0.8 * step * step);
        text += &format!("{:.0},{volts:.2},{amps:.1},{step:.2}\n", 1.78e9 + at + shift_s);
    }
    read(&text)
}

const OF_LOGGER: &str = "volts (V),amps (A),sog (kn)";

#[test]
fn the_next_file_of_a_logger_goes_on_with_the_first() {
    let (first, second) = (logger(0, 8, 1.0, OF_LOGGER, 0.0), logger(480, 8, 1.0, OF_LOGGER, 0.0));
    for logs in [[(&first, 0.0), (&second, 0.0)], [(&second, 0.0), (&first, 0.0)]] {
        let outings = join(&logs, &JoinOptions::default()).unwrap();
        assert_eq!(outings.len(), 1);
        let known = outings[0].of(Measured::Current).unwrap().values.iter().filter(|v| v.is_finite()).count();
        assert!(known > 940, "{known} of 960 seconds");
        assert!(between(&logs, Packs::Apart).is_empty(), "{:?}", between(&logs, Packs::Apart));
    }
}

#[test]
fn another_bank_does_not_go_on_with_the_first() {
    let first = logger(0, 8, 1.0, OF_LOGGER, 0.0);
    let mut second = logger(480, 8, 0.1, OF_LOGGER, 0.0);
    for channel in second.channels.iter_mut().filter(|c| c.measured == Measured::Voltage) {
        channel.values.iter_mut().for_each(|volts| *volts /= 4.0);
    }
    let logs = [(&first, 0.0), (&second, 0.0)];
    let outings = join(&logs, &JoinOptions::default()).unwrap();
    let volts = &outings[0].of(Measured::Voltage).unwrap().values;
    assert!(volts.iter().all(|v| v.is_nan() || *v > 50.0));
    assert!(between(&logs, Packs::Apart).iter().any(|apart| apart.notice.word() == "left-out"));
}

#[test]
fn logs_that_speak_at_once_and_differ_are_asked_about() {
    let (one, other) = (logger(0, 10, 1.0, OF_LOGGER, 0.0), logger(0, 10, 1.4, OF_LOGGER, 0.0));
    let apart = between(&[(&one, 0.0), (&other, 0.0)], Packs::Apart);
    let amps = apart.iter().find(|apart| apart.notice.word() == "logs-disagree").unwrap();
    assert_eq!(amps.leave_out, [(0, "current/column 3".to_owned()), (1, "current/column 3".to_owned())]);
    assert_eq!(key_in_log("2:current/column 3", 2), Some("current/column 3"));
    assert_eq!(key_in_log("2:current/column 3", 1), None);
    assert_eq!(key_in_log("current/column 3", 1), Some("current/column 3"));
}

/// Half of the amps in each of two logs: asked about, and whole once somebody said that they are two packs.
#[test]
fn two_packs_of_a_log_each_are_asked_about_and_added() {
    for share in [0.5, 0.44] {
        let (one, other) = (logger(0, 10, share, OF_LOGGER, 0.0), logger(0, 10, 1.0 - share, OF_LOGGER, 0.0));
        let logs = [(&one, 0.0), (&other, 0.0)];
        assert!(between(&logs, Packs::Apart).iter().any(|apart| apart.may_be_packs), "{share}");
        assert!(!between(&logs, Packs::Beside).iter().any(|apart| apart.may_be_packs), "{share}");
        let whole = logger(0, 10, 1.0, OF_LOGGER, 0.0);
        let options = JoinOptions { packs: Packs::Beside, ..JoinOptions::default() };
        let amps = |outings: Vec<wakewright_logs::Outing>| {
            let values = outings[0].of(Measured::Current).unwrap().values.clone();
            values.iter().filter(|v| v.is_finite()).sum::<f64>()
        };
        let added = amps(join(&logs, &options).unwrap());
        let told = amps(join(&[(&whole, 0.0)], &JoinOptions::default()).unwrap());
        assert!((added / told - 1.0).abs() < 0.02, "{added} {told}");
    }
}

/// Two packs of half the volts with one current: their volts added are the bank's, and the watts twice those of one.
#[test]
fn two_packs_in_series_of_a_log_each_are_added() {
    let (one, other) = (logger(0, 10, 1.0, OF_LOGGER, 0.0), logger(0, 10, 1.0, OF_LOGGER, 0.0));
    let logs = [(&one, 0.0), (&other, 0.0)];
    assert!(between(&logs, Packs::Apart).iter().any(|apart| apart.may_be_packs));
    assert!(between(&logs, Packs::Series).is_empty());
    let options = JoinOptions { packs: Packs::Series, ..JoinOptions::default() };
    let sum = |outings: &[wakewright_logs::Outing], measured: Measured| {
        let values = &outings[0].of(measured).unwrap().values;
        values.iter().filter(|v| v.is_finite()).sum::<f64>()
    };
    let (both, alone) = (join(&logs, &options).unwrap(), join(&logs[..1], &JoinOptions::default()).unwrap());
    for (measured, factor) in [(Measured::Voltage, 2.0), (Measured::Current, 1.0), (Measured::Power, 2.0)] {
        let found = sum(&both, measured) / sum(&alone, measured);
        assert!((found - factor).abs() < 1e-9, "{measured:?} {found}");
    }
}

#[test]
fn a_clock_without_zone_is_told_by_how_the_amps_move() {
    let places = logger(0, 60, 1.0, OF_LOGGER, 0.0);
    let mut meter = logger(0, 60, 1.0, OF_LOGGER, 2700.0);
    meter.channels.retain(|channel| channel.measured != Measured::SpeedOverGround);
    assert!(suggest_shifts(&[&places, &meter]).is_empty(), "a count from 1970 has a zone");
    meter.notices.push(LogNotice::NoZone);
    let found = suggest_shifts(&[&places, &meter]);
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].is_by_motion && found[0].log == 1 && found[0].shift_s == -2700.0, "{found:?}");
}
