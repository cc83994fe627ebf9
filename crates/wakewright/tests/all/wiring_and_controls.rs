//! `wiring` and `controls` as a user runs them: codes, files, pictures, what cannot be, how long it takes.

use std::time::Instant;

use serde_json::Value;

use super::cli::{Folder, complaint, example, text};

#[test]
fn both_end_with_1_when_something_can_hurt_and_fit_80_columns() {
    let folder = Folder::new("safety");
    for boat in ["sea_campion.toml", "sweet_gale.toml", "water_avens.toml"] {
        for units in ["trade", "metric", "us"] {
            for command in ["wiring", "controls"] {
                let file = example(boat);
                let output = folder.run(&[command, &file, "--units", units]);
                let code = output.status.code();
                assert!(matches!(code, Some(0 | 1)), "{command} {boat}: {}", complaint(&output));
                assert!(boat != "sea_campion.toml" || code == Some(1), "{command}");
                for line in text(&output).lines() {
                    assert!(line.chars().count() <= 80, "{command} {boat} {units}: {line}");
                }
                // Where something is not given nothing is called safe; a caution may say that nothing is.
                let said = text(&output);
                let before = said.split("Read first").next().unwrap_or_default();
                assert!(command == "wiring" || !before.contains(" is safe"), "{command} {boat}");
            }
        }
    }
}

#[test]
fn files_pictures_and_explanations() {
    let folder = Folder::new("safety-files");
    let boat = example("sea_campion.toml");
    let schedule = text(&folder.run(&["wiring", &boat, "--csv", "schedule"]));
    assert!(schedule.lines().count() == 6 && schedule.contains("main cable"), "{schedule}");
    let events = text(&folder.run(&["controls", &boat, "--csv", "events"]));
    assert_eq!(events.lines().count(), 11, "{events}");
    for picture in ["wiring", "events", "reversing", "later", "lever"] {
        let file = format!("{picture}.svg");
        let output = folder.run(&["draw", &boat, picture, "--out", &file]);
        assert_eq!(output.status.code(), Some(0), "{picture}: {}", complaint(&output));
        let svg = std::fs::read_to_string(folder.0.join(&file)).unwrap();
        assert!(svg.contains("<svg"), "{picture}");
    }
    let explained = text(&folder.run(&["explain", &boat, "reversing_torque"]));
    assert!(explained.contains("stepped in time"), "{explained}");
}

#[test]
fn a_proposal_with_prices() {
    let folder = Folder::new("safety-propose");
    let boat = example("sea_campion.toml");
    let started = Instant::now();
    let output =
        folder.run(&["wiring", &boat, "--propose", "--price", "70 mm2=20", "--price", "95 mm2=30", "--json"]);
    let seconds = started.elapsed().as_secs_f64();
    println!("{seconds:.2} s");
    let found: Value = serde_json::from_str(&text(&output)).unwrap();
    let rows = found["result"]["proposed"].as_array().unwrap();
    let main = rows.iter().find(|row| row["cable"] == "main cable" && row["is_metric"] == true).unwrap();
    // Two conductors of 2.4 m each.
    let price = match main["proposed_size"].as_str().unwrap() {
        "70 mm2" => 20.0,
        "95 mm2" => 30.0,
        other => panic!("{other}"),
    };
    assert!((main["cost"].as_f64().unwrap() - 2.0 * 2.4 * price).abs() < 1e-9, "{main}");
    let wrong = folder.run(&["wiring", &boat, "--propose", "--price", "71 mm2=20"]);
    assert_eq!(wrong.status.code(), Some(2));
    assert!(complaint(&wrong).contains("no price of a stock size"), "{}", complaint(&wrong));
}

/// Everything wrong at once, each with line, field and what to do.
#[test]
fn what_cannot_be_is_named_at_once() {
    let folder = Folder::new("safety-bad");
    let boat = example("sea_campion.toml");
    let sets = [
        "cable[1].size=0 mm2",
        "cable[2].length=900 m",
        "fuse[1].cable=nobody's",
        "controls.dead_band=99 %",
        "controls.stop_order=some time",
        "pack[1].cells_in_series=3",
    ];
    for command in ["wiring", "controls"] {
        let mut args = vec![command, boat.as_str()];
        for set in sets {
            args.extend(["--set", set]);
        }
        let output = folder.run(&args);
        assert_eq!(output.status.code(), Some(2), "{}", text(&output));
        let said = complaint(&output);
        for field in
            ["cable[1].size", "cable[2].length", "fuse[1].cable", "controls.dead_band", "controls.stop_order"]
        {
            assert!(said.contains(field), "{field}: {said}");
        }
    }
}
