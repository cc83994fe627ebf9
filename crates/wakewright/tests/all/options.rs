//! Alternatives as a user compares them: table, CSV, picture, and what cannot be.

use serde_json::Value;

use super::cli::{Folder, complaint, example, text};

#[test]
fn options_lay_alternatives_side_by_side_in_80_columns() {
    let folder = Folder::new("options");
    let file = example("sea_campion.toml");
    let four = ["--try", "geared: reduction.ratio=2.4:1"];
    let five = ["--try", "geared: reduction.ratio=2.4:1", "--try", "smaller: propeller.diameter=20 in"];
    for units in ["trade", "metric", "us"] {
        for tries in [&[][..], &four, &five] {
            let mut args = vec!["options", &file, "--samples", "100", "--units", units];
            args.extend(tries);
            let output = folder.run(&args);
            assert_eq!(output.status.code(), Some(0), "{}", complaint(&output));
            for line in text(&output).lines() {
                assert!(line.chars().count() <= 80, "{units} {tries:?}: {line}");
            }
        }
    }
    let four_wide = text(&folder.run(&[&["options", &file, "--samples", "500"][..], &four].concat()));
    let is_head = |line: &&str| line.contains("as she is") && line.contains("geared");
    assert!(four_wide.lines().any(|line| is_head(&line)), "four stand side by side: {four_wide}");
    let said = text(&folder.run(&[&["options", &file, "--samples", "200"][..], &five[2..]].concat()));
    assert!(said.starts_with("For top speed \"3:1 pulleys\" is best"), "{said}");
    for part in ["A re-pitch", "A new propeller", "310 EUR", "two ways to the same power", "Caution"] {
        assert!(said.replace("\n    ", " ").contains(part), "{part}");
    }
}

/// The figures of the boat as she is are those of `drive`, and a difference is what two runs differ by.
#[test]
fn options_agree_with_drive() {
    let folder = Folder::new("options-drive");
    let file = example("sea_campion.toml");
    let json = |args: &[&str]| -> Value { serde_json::from_slice(&folder.run(args).stdout).unwrap() };
    let options =
        json(&["options", &file, "--json", "--samples", "100", "--try", "geared: reduction.ratio=2.4:1"]);
    let speed_of = |variant: &str| {
        let rows = options["result"]["rows"].as_array().unwrap();
        let is_it = |row: &&Value| {
            row["variant"] == variant && row["measure"] == "speed_kn" && row["speed_kn"].is_null()
        };
        rows.iter().find(is_it).unwrap().clone()
    };
    let speed = |set: &[&str]| {
        let mut args = vec!["drive", &file, "--json", "--samples", "100"];
        args.extend(set);
        json(&args)["result"]["full_throttle"]["speed_kn"]["value"].as_f64().unwrap()
    };
    let own = speed_of("as she is")["value"]["value"].as_f64().unwrap();
    assert!((own - speed(&[])).abs() < 1e-9);
    let step = speed_of("geared")["difference"]["value"].as_f64().unwrap();
    let changed = speed(&["--set", "reduction.ratio=2.4:1"]);
    // The middle of the differences lies near the difference of the middles; that part has an error of its own.
    assert!((step - (changed - own)).abs() < 0.1, "{step} beside {changed} less {own}");
    assert_eq!(options["format"], "wakewright/options");
}

#[test]
fn options_as_csv_have_a_row_for_each_measure() {
    let folder = Folder::new("options-csv");
    let file = example("sea_campion.toml");
    let args = ["options", &file, "--csv", "rows", "--samples", "60", "--speeds", "3 kn, 4 kn"];
    let written = text(&folder.run(&args));
    let mut rows = written.lines();
    let width = rows.next().unwrap().split(',').count();
    assert!(rows.clone().count() > 4 * 30);
    assert!(rows.all(|row| row.split(',').count() == width));
    assert!(written.contains("re-pitch to 13 in,3,energy_per_mile_wh_per_nmi,"));
}

#[test]
fn options_that_cannot_be_are_said() {
    let folder = Folder::new("options-faults");
    let (alone, with) = (example("sweet_gale.toml"), example("sea_campion.toml"));
    for (args, part) in [
        (vec!["options", &alone], "no alternatives"),
        (vec!["options", &alone, "--try", "deeper"], "a name, a colon"),
        (vec!["options", &alone, "--try", "deeper: propeller.pich=11 in"], "propeller.pitch"),
        (vec!["options", &alone, "--try", "deeper: propeller.pitch=11 kg"], "deeper: propeller.pitch"),
        (
            vec!["options", &alone, "--try", "more: pack[1].cells_in_series=20; pack[1].voltage=24 V"],
            "more: pack[1].voltage",
        ),
        (vec!["options", &with, "--try", "320 A controller: propeller.pitch=11 in"], "already"),
        (vec!["options", &with, "--speeds", "3 kn,fast"], "fast"),
    ] {
        let output = folder.run(&args);
        assert_eq!(output.status.code(), Some(2), "{args:?}");
        assert!(complaint(&output).contains(part), "{args:?}: {}", complaint(&output));
    }
}

#[test]
fn an_alternative_is_drawn_beside_her() {
    let folder = Folder::new("options-draw");
    let file = example("sea_campion.toml");
    let draw = |name: &str, picture: &str| {
        folder.run(&[
            "draw",
            &file,
            picture,
            "--alternative",
            name,
            "--out",
            "a.svg",
            "--samples",
            "60",
            "--force",
        ])
    };
    let output = draw("320 A controller", "torque");
    assert_eq!(output.status.code(), Some(0), "{}", complaint(&output));
    let svg = std::fs::read_to_string(folder.0.join("a.svg")).unwrap();
    for part in ["320 A controller", "as she is", "at the shaft"] {
        assert!(svg.contains(part), "{part}");
    }
    assert!(complaint(&draw("321 A controller", "torque")).contains("re-pitch to 13 in"));
    assert_eq!(draw("320 A controller", "range").status.code(), Some(2));
}
