//! What rows of a notebook are taken for.
use super::*;

fn row(direction: &str, rpm: &str, volts: &str, amps: &str, speed: &str) -> NotebookRow {
    let text = str::to_owned;
    NotebookRow {
        direction: text(direction),
        rpm: text(rpm),
        volts: text(volts),
        amps: text(amps),
        speed_over_ground: text(speed),
        ..NotebookRow::default()
    }
}

#[test]
fn rows_become_runs() {
    let rows = [row("out", "700", "49.2", "60", "4.2"), row("back", "700 rpm", "49,2 V", "61 A", "3.6 kn")];
    let runs = notebook_runs(&rows).unwrap();
    assert!((runs[0].power_w.unwrap() - 2952.0).abs() < 1e-9);
    assert!((runs[1].voltage_v.unwrap() - 49.2).abs() < 1e-9);
    assert!((runs[0].speed_over_ground_m_s.unwrap() - 4.2 * 1852.0 / 3600.0).abs() < 1e-12);
    let pairs = wakewright_core::trial::match_opposite_runs(&runs, &Default::default());
    assert_eq!(pairs.len(), 1);
}

/// A number that two people would read differently keeps its value and is doubted.
#[test]
fn two_readings_are_said() {
    let doubtful = NotebookRow { power: "1.200".to_owned(), ..row("out", "700", "49.2", "", "4.2") };
    let (runs, faults) = notebook_runs_lenient(&[doubtful]);
    assert!((runs[0].1.power_w.unwrap() - 1.2).abs() < 1e-12);
    let [fault] = faults.as_slice() else { panic!("{faults:?}") };
    assert_eq!(fault.cell, NotebookCell::Power);
    assert!(fault.problem.contains("1200"), "{}", fault.problem);
    // One reading is none of a speed.
    assert!(notebook_runs(&[row("out", "1,200", "49.2", "60", "4.125")]).is_ok());
}

/// Millivolts and kilowatts under a heading of volts and watts are doubted, not taken in silence.
#[test]
fn thousands_are_said() {
    for (volts, amps, power) in [("52580", "40", ""), ("52.6", "40300", ""), ("", "", "2.1")] {
        let odd = NotebookRow { power: power.to_owned(), ..row("out", "700", volts, amps, "4.2") };
        let (runs, faults) = notebook_runs_lenient(&[odd]);
        assert_eq!((runs.len(), faults.len()), (1, 1), "{volts} {amps} {power}: {faults:?}");
    }
    let told = NotebookRow { power: "2.1 kW".to_owned(), ..row("out", "700", "52580 mV", "40", "4.2") };
    assert_eq!(notebook_runs_lenient(&[told]).1, []);
}

/// A share of the throttle is a run like any other; a word that says nothing of it is asked about.
#[test]
fn a_part_of_the_throttle_is_no_fault() {
    for (typed, is_full) in
        [("60 %", false), ("60", false), ("62,5%", false), ("", false), ("100 %", true), ("full", true)]
    {
        let row = NotebookRow { throttle: typed.to_owned(), ..row("out", "700", "49.2", "60", "4.2") };
        let (runs, faults) = notebook_runs_lenient(std::slice::from_ref(&row));
        assert_eq!((runs.len(), faults.len(), row.is_full_throttle()), (1, 0, is_full), "{typed}");
    }
    let odd = NotebookRow { throttle: "second notch".to_owned(), ..row("out", "700", "49.2", "60", "4.2") };
    assert_eq!(notebook_runs_lenient(&[odd]).1.len(), 1);
}

#[test]
fn amps_without_volts_are_asked_about() {
    let faults = notebook_runs(&[row("NW", "700", "", "60", "4.2"), row("nowhere", "", "", "", "")]);
    let cells: Vec<NotebookCell> = faults.unwrap_err().iter().map(|fault| fault.cell).collect();
    assert_eq!(cells, [NotebookCell::Volts, NotebookCell::OverGround, NotebookCell::Direction]);
}
