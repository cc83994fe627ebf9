//! Trial documents: conditions read, runs of logs set by hand, every fault at once.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::fmt::Write;

use wakewright_core::fouling::FoulingCondition;
use wakewright_logs::trial::{Condition, LogUse, RunMark, RunOrigin, RunState, TrialDocument, read_trial};
use wakewright_logs::{FileKind, Log, NotebookRow, read_log};
use wakewright_units::factors::YEAR_S;

/// Ten minutes at 900 rpm going north, then ten going south, a sample a second. Invented.
fn log() -> Log {
    let mut text = "time,SOG [kn],COG,rpm,volts [V],amps [A]\n".to_owned();
    for second in 0..1200 {
        let (course, speed) = if second < 600 { (0, 4.6) } else { (180, 4.0) };
        let clock = format!("2026-05-02 14:{:02}:{:02}Z", second / 60, second % 60);
        let _ = writeln!(text, "{clock},{speed},{course},900,49.0,60.0");
    }
    read_log(text.as_bytes(), FileKind::Table).unwrap()
}

fn with_log() -> TrialDocument {
    let used = LogUse {
        digest: "d".to_owned(),
        name: "a.csv".to_owned(),
        shift: String::new(),
        mapping: None,
        left_out: Default::default(),
    };
    let mut document = TrialDocument::titled("before the scrub");
    document.logs = vec![used];
    document
}

#[test]
fn runs_are_found_then_trimmed_and_dropped_by_hand() {
    let log = log();
    let mut document = with_log();
    let found = read_trial(&document, &[Some(&log)]);
    assert_eq!(found.faults, []);
    assert_eq!(found.runs.len(), 2, "{:#?}", found.runs);
    assert!(found.runs.iter().all(|run| run.origin == RunOrigin::Found));

    let mut marks: Vec<RunMark> = found.runs.iter().map(|run| run.mark.clone()).collect();
    assert!(marks[0].from.starts_with("2026-05-02 14:0"), "{}", marks[0].from);
    marks[0].from = "14:02:00".to_owned();
    marks[0].to = "14:05".to_owned();
    marks[1].is_dropped = true;
    document.marks = Some(marks);
    let set = read_trial(&document, &[Some(&log)]);
    assert_eq!(set.faults, []);
    assert_eq!(set.runs[0].run.duration_s, 180.0);
    assert!((set.runs[0].run.power_w.unwrap() - 2940.0).abs() < 1e-6);
    assert_eq!(set.runs[1].state, RunState::Dropped);
    assert_eq!(set.used().len(), 1);
}

#[test]
fn the_meter_is_put_right_and_a_dead_sensor_left_out() {
    let log = log();
    let mut document = with_log();
    document.meter.zero = "2 A".to_owned();
    document.meter.house = "100".to_owned();
    let reading = read_trial(&document, &[Some(&log)]);
    assert!((reading.runs[0].run.power_w.unwrap() - (49.0 * 58.0 - 100.0)).abs() < 1e-6);

    let volts = log.channels.iter().find(|channel| channel.measured.word() == "voltage").unwrap();
    document.logs[0].left_out.insert(volts.key());
    let reading = read_trial(&document, &[Some(&log)]);
    assert_eq!(reading.runs[0].run.voltage_v, None);
    assert_eq!(reading.runs[0].run.power_w, None, "amps without volts are not watts");
}

#[test]
fn every_fault_is_named_and_the_rest_is_used() {
    let log = log();
    let mut document = with_log();
    document.date = "2026-02-30".to_owned();
    for (word, text) in [
        ("bottom", "a bit green"),
        ("wind", "8 kn"),
        ("displacement", "5.6"),
        ("water_temperature", "14"),
        ("months_since_cleaning", "7 months"),
        ("wave_height", "-3 m"),
        ("confined", "perhaps"),
        ("moon", "full"),
    ] {
        document.conditions.insert(word.to_owned(), text.to_owned());
    }
    document.logs[0].shift = "soon".to_owned();
    document.meter.house = "-50 W".to_owned();
    document.least_run = "1 s".to_owned();
    document.marks = Some(vec![
        RunMark { from: "14:05".to_owned(), to: "14:03".to_owned(), ..RunMark::default() },
        RunMark { from: "noon".to_owned(), to: "14:03".to_owned(), ..RunMark::default() },
        RunMark { from: "18:00".to_owned(), to: "18:03".to_owned(), ..RunMark::default() },
        RunMark { from: "14:01".to_owned(), to: "14:03".to_owned(), ..RunMark::default() },
    ]);
    document.notebook = vec![
        NotebookRow { rpm: "7oo".to_owned(), speed_over_ground: "4".to_owned(), ..NotebookRow::default() },
        NotebookRow { rpm: "700".to_owned(), speed_over_ground: "4".to_owned(), ..NotebookRow::default() },
    ];
    let reading = read_trial(&document, &[Some(&log)]);
    let mut fields: Vec<&str> = reading.faults.iter().map(|fault| fault.field.as_str()).collect();
    fields.sort_unstable();
    let expected = [
        "bottom",
        "confined",
        "date",
        "least_run",
        "logs.0.shift",
        "marks.0",
        "marks.1",
        "marks.2",
        "meter.house",
        "moon",
        "notebook.0.rpm",
        "wave_height",
        "wind_from",
    ];
    assert_eq!(fields, expected, "{:#?}", reading.faults);
    assert_eq!(reading.conditions.displacement_kg, Some(5600.0));
    assert!((reading.conditions.water_temperature_k.unwrap() - 287.15).abs() < 1e-9);
    assert!((reading.conditions.since_cleaning_s.unwrap() - 7.0 / 12.0 * YEAR_S).abs() < 1e-3);
    assert_eq!(reading.used().len(), 2, "one row of the notebook, one mark");
}

#[test]
fn growth_is_said_in_words_or_by_the_rating() {
    for seen in FoulingCondition::ALL {
        let mut document = TrialDocument::default();
        document.set_condition(Condition::Bottom, seen.word());
        assert_eq!(read_trial(&document, &[]).conditions.bottom, Some(seen));
    }
    let mut document = TrialDocument::default();
    document.set_condition(Condition::Blades, "30");
    assert_eq!(read_trial(&document, &[]).conditions.blades, Some(FoulingCondition::HeavySlime));
    // What the form offers as an example is read.
    for condition in Condition::ALL {
        let example = condition.field().hint.split(',').next().unwrap();
        if example.starts_with(|c: char| c.is_ascii_digit()) {
            document.set_condition(condition, example);
        }
    }
    document.set_condition(Condition::WindFrom, "SW");
    assert_eq!(read_trial(&document, &[]).faults, []);
}
