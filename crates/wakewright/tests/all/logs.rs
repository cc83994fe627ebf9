//! Logs on the command line: what they hold, runs in them, questions about them.

use std::path::Path;
use std::process::Output;

use serde_json::Value;

use super::cli::{Folder, complaint, text};

fn recorded(name: &str) -> String {
    let reference = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../reference/logs");
    reference.join(name).to_string_lossy().into_owned()
}

#[test]
fn logs_are_reported_without_being_kept() {
    let folder = Folder::new("import");
    let passage = recorded("nmea0183/passage_instruments_18000_lines.log");
    let output = folder.run(&["trial", "import", "--dry-run", &passage]);
    assert_eq!(output.status.code(), Some(0), "{}", complaint(&output));
    let said = text(&output);
    assert!(
        said.starts_with("passage_instruments_18000_lines.log is an NMEA 0183 log from 10:47:10 to"),
        "{said}"
    );
    assert!(said.contains("speed through the water  IIVHW") && said.contains("2.62"), "{said}");
    assert!(said.lines().all(|line| line.chars().count() <= 80), "{said}");
    assert!(!folder.0.join("data").exists());
    let bus = recorded("nmea2000/n2k_under_way_csv.data");
    let capture = recorded("messy/can0-1_head.pcap");
    let output = folder.run(&["trial", "import", "--dry-run", "--json", &bus, &capture]);
    assert_eq!(output.status.code(), Some(1));
    let value: Value = serde_json::from_slice(&output.stdout).unwrap();
    let logs = value["result"]["logs"].as_array().unwrap();
    assert_eq!(logs[0]["bad"][0]["first_lines"][0], 9381);
    assert!(logs[1]["failure"].as_str().unwrap().contains("binary capture"));
    assert_eq!(folder.run(&["trial", "import", &bus]).status.code(), Some(2));
}

/// Two files of one afternoon, the columns of one given: out and back, the stream taken out.
#[test]
fn runs_are_found_and_paired() {
    let folder = Folder::new("runs");
    let mut table = String::from("t (s);Kurs;Speed;U;I\n");
    for second in 0..900 {
        let (course, speed, amps) = match second {
            0..=399 => (20, "4,7", -60),
            400..=449 => (20 + (second - 400) * 180 / 50, "3,0", -20),
            _ => (200, "3,7", -60),
        };
        table += &format!("{second};{course};{speed};50,0;{amps}\n");
    }
    let file = folder.0.join("meter.csv");
    std::fs::write(&file, table).unwrap();
    let said = text(&folder.run(&["trial", "runs", "meter.csv"]));
    assert!(said.contains("negative while the boat is driven"), "{said}");
    let proposed = text(&folder.run(&["trial", "import", "--propose", "meter.csv"]));
    let mut mapping: Value = serde_json::from_str(&proposed).unwrap();
    let current = mapping["columns"].as_array_mut().unwrap().last_mut().unwrap();
    assert_eq!(current["measured"], "current");
    current["is_negated"] = true.into();
    std::fs::write(folder.0.join("meter.json"), mapping.to_string()).unwrap();
    let args = ["trial", "runs", "meter.csv", "--mapping", "meter.json", "--house", "200 W", "--json"];
    let output = folder.run(&args);
    assert_eq!(output.status.code(), Some(0), "{}", complaint(&output));
    let value: Value = serde_json::from_slice(&output.stdout).unwrap();
    let pairs = value["result"]["pairs"].as_array().unwrap();
    assert_eq!(pairs.len(), 1);
    assert!((pairs[0]["speed_through_water_kn"].as_f64().unwrap() - 4.2).abs() < 0.001);
    assert!((pairs[0]["stream_along_kn"].as_f64().unwrap() - 0.5).abs() < 0.001);
    assert!((pairs[0]["power_w"].as_f64().unwrap() - 2800.0).abs() < 1.0);
    assert!(!text(&output).contains("current-sign"));
}

/// Questions are answered by the words that the question itself names, on every command that reads logs;
/// channels are left out, and what is no answer is refused with those that are.
#[test]
fn questions_are_answered_and_channels_left_out() {
    let folder = Folder::new("answers");
    let mut table = String::from("time (s),speed,U (V),I (A)\n");
    for second in 0..400 {
        table += &format!("{second},4.2,50.0,-60.0\n");
    }
    std::fs::write(folder.0.join("meter.csv"), table).unwrap();
    let plain = |output: &Output| text(output).split_whitespace().collect::<Vec<_>>().join(" ");
    let said = plain(&folder.run(&["trial", "import", "--dry-run", "meter.csv"]));
    assert!(said.contains("something about it must be asked"), "{said}");
    assert!(
        said.contains("--answer sign=drawing: out of the bank: she was driven, then she took 3.00 kW"),
        "{said}"
    );
    let unit = said.split("--answer ").find(|part| part.contains("=km/h")).unwrap();
    let unit = unit.split(':').next().unwrap().to_owned();
    let runs = ["trial", "runs", "meter.csv", "--answer", "sign=drawing", "--json", "--answer", &unit];
    let output = folder.run(&runs);
    assert_eq!(output.status.code(), Some(0), "{}", complaint(&output));
    let value: Value = serde_json::from_slice(&output.stdout).unwrap();
    let run = &value["result"]["runs"][0];
    assert!((run["power_w"].as_f64().unwrap() - 3000.0).abs() < 1.0, "{run:#}");
    assert!((run["speed_over_ground_kn"].as_f64().unwrap() - 4.2 / 1.852).abs() < 0.01, "{run:#}");
    assert!(run["is_of_drive"].as_bool().unwrap());
    let refused = |args: &[&str], words: &str| {
        let output = folder.run(&[&["trial", "runs", "meter.csv"][..], args].concat());
        assert_eq!(output.status.code(), Some(2), "{args:?}");
        let said = complaint(&output).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains(words), "{args:?}: {said}");
    };
    refused(&["--answer", "sign=perhaps"], "--answer sign=charging: into the bank");
    refused(&["--answer", "tide=in"], "no log asks tide; open are");
    refused(&["--leave-out", "current/column 9"], "there are");
    let without = ["trial", "runs", "meter.csv", "--leave-out", "current/column 4", "--json"];
    let output = folder.run(&without);
    let value: Value = serde_json::from_slice(&output.stdout).unwrap();
    let run = &value["result"]["runs"][0];
    assert!(run["power_w"].is_null() && !run["is_of_drive"].as_bool().unwrap(), "{run:#}");
    assert!(value["finding"].as_str().unwrap().contains("without any reading of the motor"), "{value:#}");
}

/// Opposite neighbours of a phone's track are pairs once somebody says that the throttle was not touched, and not before.
#[test]
fn a_held_throttle_makes_pairs_of_a_phones_track() {
    let folder = Folder::new("held");
    let mut table = String::from("time (s),SOG (kn),COG (°)\n");
    for second in 0..900 {
        let (speed, course) = match second {
            0..400 => (4.7, 45),
            400..500 => (2.0, 120),
            _ => (3.7, 225),
        };
        table += &format!("{second},{speed:.1},{course}\n");
    }
    std::fs::write(folder.0.join("phone.csv"), table).unwrap();
    let told = |args: &[&str]| -> Value {
        let output = folder.run(&[&["trial", "runs", "phone.csv", "--json"][..], args].concat());
        assert_eq!(output.status.code(), Some(0), "{}", complaint(&output));
        serde_json::from_slice(&output.stdout).unwrap()
    };
    let (untold, held) = (told(&[]), told(&["--throttle-held"]));
    let count = |value: &Value, sheet: &str| value["result"][sheet].as_array().map_or(0, Vec::len);
    assert_eq!((count(&untold, "pairs"), count(&untold, "offered_pairs")), (0, 1), "{untold:#}");
    assert!(untold["finding"].as_str().unwrap().contains("if the throttle was not touched"), "{untold:#}");
    assert!(!untold["result"]["runs"][0]["is_of_drive"].as_bool().unwrap());
    assert_eq!((count(&held, "pairs"), count(&held, "offered_pairs")), (1, 0), "{held:#}");
    let pair = &held["result"]["pairs"][0];
    assert!((pair["speed_through_water_kn"].as_f64().unwrap() - 4.2).abs() < 0.01, "{pair:#}");
    assert!(held["result"]["runs"][0]["is_of_drive"].as_bool().unwrap());
}
