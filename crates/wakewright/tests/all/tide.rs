//! `tide` as a user runs it.

use serde_json::Value;

use super::cli::{Folder, complaint, example, text};

fn json(folder: &Folder, args: &[&str]) -> Value {
    let output = folder.run(&[&["tide"], args, &["--json"]].concat());
    assert_eq!(output.status.code(), Some(0), "{}", complaint(&output));
    serde_json::from_str(&text(&output)).unwrap()
}

/// Rows of `reference/tide/boston_month.csv`, computed by an independent program: 20 mm, 2 min.
#[test]
fn boston_has_the_waters_of_an_independent_program() {
    let folder = Folder::new("tide-boston");
    let found = json(&folder, &["Boston", "--day", "2026-10-02", "--days", "2"]);
    let waters = found["result"]["waters"].as_array().unwrap();
    for (utc, height_m) in
        [("2026-10-02T07:50Z", 2.829), ("2026-10-02T20:04Z", 3.243), ("2026-10-03T08:51Z", 2.730)]
    {
        let minute = |text: &str| {
            let part = |from: usize| text[from..from + 2].parse::<i32>().unwrap();
            (part(8) * 24 + part(11)) * 60 + part(14)
        };
        let near =
            waters.iter().find(|water| (minute(water["utc"].as_str().unwrap()) - minute(utc)).abs() <= 2);
        let near = near.unwrap_or_else(|| panic!("{utc} is not among {waters:?}"));
        assert!((near["height_m"]["value"].as_f64().unwrap() - height_m).abs() < 0.02, "{near}");
    }
    assert!(found["further"].as_str().unwrap().starts_with("Not for navigation"));
}

#[test]
fn a_position_and_a_pasted_table_are_places_too() {
    let folder = Folder::new("tide-places");
    let near = json(&folder, &["42.36 N 71.05 W", "--day", "2026-10-02"]);
    assert!(near["finding"].as_str().unwrap().starts_with("Boston"), "{near}");
    let table = example("renn_sound_waters.txt");
    let typed = json(&folder, &["Renn Sound", "--table", &table, "--zone", "UTC"]);
    assert!(typed["further"].as_str().unwrap().contains("60 min off"), "{typed}");
    let curve = ["Renn Sound", "--table", &table, "--zone", "UTC", "--curve", "-6:0 -3:0.6 0:1 6:0"];
    assert!(json(&folder, &curve)["further"].as_str().unwrap().contains("15 min off"));
}

#[test]
fn what_cannot_be_is_said_with_what_to_do() {
    let folder = Folder::new("tide-bad");
    let table = example("renn_sound_waters.txt");
    let cases: [(&[&str], &str); 8] = [
        (&["Bostom"], "names like it"),
        (&["55.9 N 7.4 W"], "no station of the built-in set lies within 20 nm"),
        (&["Boston", "--day", "2150-01-01"], "the factors of the tide hold"),
        (&["Renn Sound", "--table", &table], "in which time the table stands"),
        (&["Renn Sound", "--table", &table, "--zone", "Europe/Nowhere"], "is not known"),
        (&["Renn Sound", "--table", &table, "--zone", "UTC", "--day", "2025-09-20"], "another year"),
        (&["Renn Sound", "--table", "nowhere.txt"], "there is no such file"),
        (&["Boston", "--pressure", "5 hPa"], "870 to 1090"),
    ];
    for (args, said) in cases {
        let output = folder.run(&[&["tide"], args].concat());
        assert_eq!(output.status.code(), Some(2), "{args:?}");
        assert!(complaint(&output).contains(said), "{args:?}: {}", complaint(&output));
    }
}
