//! `search` as a user runs it. Not for: whether its front is right (the core's tests).

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

fn search(boat: &str, args: &[&str]) -> Output {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples").join(boat);
    Command::new(env!("CARGO_BIN_EXE_wakewright"))
        .arg("search")
        .arg(file)
        .args(["--samples", "100"])
        .args(args)
        .output()
        .unwrap()
}

fn json(boat: &str, args: &[&str]) -> Value {
    let args = [args, &["--json"]].concat();
    let output = search(boat, &args);
    assert_eq!(output.status.code(), Some(0), "{}", complaint(&output));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn text(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn complaint(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// Only what a shop can do to the propeller she has; her bank is above 60 V as it is.
const PROPELLER_ONLY: [&str; 9] =
    ["--keep", "motor", "--keep", "reduction", "--keep", "voltage", "--keep", "packs", "--allow-over-60-v"];

#[test]
fn same_answer_for_any_number_of_threads() {
    for boat in ["sea_campion.toml", "sweet_gale.toml"] {
        let one = search(boat, &["--json", "--threads", "1"]).stdout;
        assert!(!one.is_empty());
        for threads in ["2", "5"] {
            assert!(
                search(boat, &["--json", "--threads", threads]).stdout == one,
                "{boat}, {threads} threads"
            );
        }
    }
}

/// The front says what `drive` says of the same boat.
#[test]
fn pick_is_what_drive_finds() {
    let found = json("sea_campion.toml", &PROPELLER_ONLY);
    let result = &found["result"];
    let pick = &result["front"][result["summary"]["picked"].as_u64().unwrap() as usize];
    assert_eq!(pick["propeller_change"], "new");
    let set = |field: &str, value: String| format!("propeller.{field}={value}");
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/sea_campion.toml");
    let output = Command::new(env!("CARGO_BIN_EXE_wakewright"))
        .arg("drive")
        .arg(file)
        .args(["--json", "--samples", "50"])
        .args(["--set", &set("diameter", format!("{} in", pick["diameter_in"]))])
        .args(["--set", &set("pitch", format!("{} in", pick["pitch_in"]))])
        .args(["--set", &set("blades", pick["blades"].to_string())])
        .args(["--set", &set("area_ratio", pick["area_ratio"].to_string())])
        // A new propeller comes with clean blades.
        .args(["--set", &set("blades_state", "clean".to_owned())])
        .output()
        .unwrap();
    let drive: Value = serde_json::from_slice(&output.stdout).unwrap();
    // A search takes her as expected, and so do the limits of `drive`: the first of them stops her.
    let top = drive["result"]["limits"][0]["alone_stops_at_kn"].as_f64().unwrap();
    assert!((top - pick["top_speed_kn"].as_f64().unwrap()).abs() < 1e-6, "{top} {pick:#}");
}

#[test]
fn repitching_and_a_new_propeller_are_kept_apart() {
    let prices = ["--price", "propeller=450", "--price", "folding-propeller=1400", "--price", "repitch=100"];
    let within = [&PROPELLER_ONLY[..], &prices, &["--budget", "300", "--prefer", "speed"]].concat();
    let shop = text(&search("sea_campion.toml", &within));
    assert!(shop.contains("re-pitched to") && shop.contains("an inch or two"), "{shop}");
    let beyond = text(&search("sea_campion.toml", &[&PROPELLER_ONLY[..], &["--prefer", "speed"]].concat()));
    assert!(beyond.contains("new propeller"), "{beyond}");
    for row in json("sea_campion.toml", &within)["result"]["front"].as_array().unwrap() {
        assert!(row["cost"].as_f64().unwrap() <= 300.0 && row["propeller_change"] != "new");
    }
}

/// Preferences move the pick along that part of the front which may be recommended.
#[test]
fn preferences_choose() {
    let pick = |prefer: &str, field: &str| {
        let found = json("sea_campion.toml", &["--keep", "motor", "--prefer", prefer]);
        let result = &found["result"];
        let front = result["front"].as_array().unwrap();
        let picked = &front[result["summary"]["picked"].as_u64().unwrap() as usize];
        assert!(picked["forbidden"].is_null(), "{picked:#}");
        let allowed = front.iter().filter(|row| row["forbidden"].is_null());
        let values = allowed.map(|row| row[field].as_f64().unwrap());
        let (low, high) = values.fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
        (picked[field].as_f64().unwrap() - low) / (high - low)
    };
    assert!(pick("speed", "top_speed_kn") > 0.9);
    assert!(pick("range", "energy_per_mile_wh_per_nmi") < 0.1);
    assert!(pick("quiet", "tip_speed_m_s") < 0.1);
    assert!(pick("light", "drive_mass_kg") < 0.1);
    assert!(pick("cheap", "cost") < 0.3);
}

#[test]
fn nothing_found_says_which_limit_and_what_loosening_gives() {
    let output = search("sea_campion.toml", &["--keep", "nothing", "--mass", "60 kg"]);
    let said = text(&output).replace('\n', " ");
    assert!(said.contains("the mass allowed refuses most"), "{said}");
    let needed = said.split(" of motor and packs would let the first").next().unwrap();
    // Told to the kilogram: half of one more lets it in for certain.
    let mass: Vec<&str> = needed.rsplit(' ').take(2).collect();
    let loosened = search(
        "sea_campion.toml",
        &["--keep", "nothing", "--mass", &format!("{} {}", mass[1].parse::<f64>().unwrap() + 0.6, mass[0])],
    );
    let said = text(&loosened).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("on the Pareto front"), "{said}");
    let too_fast = text(&search(
        "sea_campion.toml",
        &["--cruise", "8 kn", "--keep", "motor", "--keep", "voltage", "--allow-over-60-v"],
    ));
    assert!(too_fast.contains("slower cruising"), "{too_fast}");
}

/// Every row of the CSV has a cell for each head; the front is the same as in JSON.
#[test]
fn csv_is_the_front() {
    let args = ["--keep", "motor", "--keep", "voltage", "--allow-over-60-v"];
    let csv = text(&search("sweet_gale.toml", &[&args[..], &["--csv", "front"]].concat()));
    let rows: Vec<&str> = csv.lines().collect();
    let front = json("sweet_gale.toml", &args)["result"]["front"].as_array().unwrap().len();
    assert_eq!(rows.len(), front + 1);
    let heads = rows[0].split(',').count();
    for row in &rows[1..] {
        // No cell of these holds a quoted comma: the motor is as aboard.
        assert_eq!(row.split(',').count(), heads, "{row}");
    }
    assert_eq!(rows.iter().filter(|row| row.starts_with("true,")).count(), 1);
}

/// Motor, volts and packs stay unless asked; what cells are to be tried is asked for by that.
#[test]
fn search_begins_with_the_propeller() {
    let begun = json("sea_campion.toml", &[]);
    let rows = begun["result"]["front"].as_array().unwrap();
    assert!(rows.iter().all(|row| row["cells_in_series"] == rows[0]["cells_in_series"]), "{rows:#?}");
    let said = text(&search("sea_campion.toml", &["--keep", "nothing"]));
    assert!(said.contains(" a motor of "), "{said}");
}

#[test]
fn touch_limit_is_kept_unless_allowed() {
    let args = ["--keep", "propeller", "--keep", "reduction"];
    let careful = text(&search("sea_campion.toml", &args));
    assert!(!careful.contains("above 60 V when full"), "{careful}");
    let bold = text(&search("sea_campion.toml", &[&args[..], &["--allow-over-60-v"]].concat()));
    assert!(bold.contains("above 60 V when full") && bold.contains("Caution"), "{bold}");
}

#[test]
fn bad_wishes_are_answered_with_what_to_do() {
    for (args, word) in [
        (&["--budget", "500"][..], "--price propeller=..."),
        (&["--price", "anchor=3"], "folding-propeller"),
        (&["--price", "pack=-3"], "amount"),
        (&["--cruise", "30 kn"], "hull method"),
        (&["--cruise", "4 kg"], "--cruise"),
        (&["--ratios", "3..2/0"], "list"),
        (&["--cells", "16,0"], "whole numbers"),
        (&["--mass", "0 kg"], "above zero"),
    ] {
        let output = search("sea_campion.toml", args);
        assert_eq!(output.status.code(), Some(2), "{args:?}");
        assert!(
            output.stdout.is_empty() && complaint(&output).contains(word),
            "{args:?}: {}",
            complaint(&output)
        );
    }
}
