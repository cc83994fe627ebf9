//! The invented afternoon of the demo as a trial, written as Parquet and read back by the format's own reader: samples and runs
//! are those of the log.

use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::record::{Field, Row};
use wakewright_rooms::demo::DEMO_BOAT;
use wakewright_rooms::parquet::write_shop;
use wakewright_rooms::trials::{IncomingLog, keep_logs, pack};
use wakewright_store::{Store, UnixMs};

fn rows(file: &std::path::Path) -> Vec<Row> {
    let reader = SerializedFileReader::new(std::fs::File::open(file).unwrap()).unwrap();
    reader.get_row_iter(None).unwrap().map(Result::unwrap).collect()
}

fn number(row: &Row, column: &str) -> Option<f64> {
    match row.get_column_iter().find(|(name, _)| *name == column)?.1 {
        Field::Double(value) => Some(*value),
        Field::Long(value) | Field::TimestampMicros(value) => Some(*value as f64),
        _ => None,
    }
}

#[test]
fn samples_and_runs_are_those_of_the_log() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = Store::open(folder.path().join("boats.sqlite")).unwrap();
    let boat = store.create("Sea Campion", DEMO_BOAT, "", UnixMs(1)).unwrap();
    let name = "2025-09-21_as_she_came.csv";
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/logs").join(name);
    let log = pack(&IncomingLog { name: name.to_owned(), path: path.clone() }, &[]).unwrap();
    keep_logs(&mut store, boat, None, &[log], "", UnixMs(2)).unwrap();
    let (written, unread) = write_shop(folder.path(), &store, jiff::civil::date(2026, 10, 1)).unwrap();
    assert!(unread.is_empty() && written.len() >= 5, "{written:?} {unread:?}");
    let samples = rows(&folder.path().join("samples/boat=sea-campion/month=2025-09/trial-1.parquet"));
    // By hand from the log: two lines of remark and one of heads, then a line a second; volts of the first and the last line.
    let text = std::fs::read_to_string(path).unwrap();
    let lines: Vec<&str> = text.lines().filter(|line| line.starts_with("2025-")).collect();
    assert_eq!(samples.len(), lines.len());
    for (row, line) in [(&samples[0], lines[0]), (&samples[samples.len() - 1], lines[lines.len() - 1])] {
        let cells: Vec<&str> = line.split(',').collect();
        let volts: f64 = cells[4].parse().unwrap();
        assert!((number(row, "voltage_v").unwrap() - volts).abs() < 1e-9, "{line}: {row}");
        assert_eq!(number(row, "trial"), Some(1.0));
    }
    // 13:00:00 of the 21st of September 2025 in universal time.
    assert_eq!(number(&samples[0], "time"), Some(1_758_459_600.0e6));
    let runs = rows(&folder.path().join("runs/boat=sea-campion/trial-1.parquet"));
    assert!(runs.len() >= 6, "{} runs", runs.len());
    for run in runs.iter().filter(|run| number(run, "is_used") == Some(1.0)) {
        let (volts, amps) = (number(run, "voltage_v").unwrap(), number(run, "current_a").unwrap());
        assert!((60.0..90.0).contains(&volts) && (1.0..200.0).contains(&amps), "{run}");
        assert!(number(run, "duration_s").unwrap() >= 60.0, "{run}");
    }
}
