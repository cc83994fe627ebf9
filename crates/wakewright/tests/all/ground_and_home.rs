//! `dryout` and `gethome` as a user runs them.

use serde_json::Value;

use super::cli::{Folder, complaint, example, text};

fn json(folder: &Folder, args: &[&str]) -> Value {
    let output = folder.run(&[args, &["--json"]].concat());
    assert_eq!(output.status.code(), Some(0), "{}", complaint(&output));
    serde_json::from_str(&text(&output)).unwrap()
}

/// Ground and draught of `reference/tide/neaped_example.csv`: probabilities of 0.61 and 0.63 there with 0.15 m, here with
/// ground, draught and the mean beside the weather as a little less sure.
#[test]
fn the_way_off_is_the_reckoned_one() {
    let folder = Folder::new("dryout");
    let boat = example("sea_campion.toml");
    let ask = [
        "dryout",
        &boat,
        "Boston",
        "--day",
        "2026-10-02",
        "--ground",
        "1.70 m ± 0.01 m",
        "--draught",
        "1.50 m ± 0.01 m",
    ];
    let found = json(&folder, &ask);
    let tides = found["result"]["tides"].as_array().unwrap();
    assert!(!tides.is_empty());
    let sentence = found["finding"].as_str().unwrap();
    assert!(sentence.contains("more likely than not is"), "no way off is likely there: {sentence}");
    let ways = found["result"]["ways_off"].as_array().unwrap();
    let way = ways
        .iter()
        .find(|way| way["high_water_utc"].as_str().unwrap().starts_with("2026-10-11T16:1"))
        .unwrap();
    assert!((way["spare_m"].as_f64().unwrap() - 0.061).abs() < 0.02, "{way}");
    let (then, by) =
        (way["floats_then_share"].as_f64().unwrap(), way["floats_by_then_share"].as_f64().unwrap());
    assert!((0.55..0.70).contains(&then) && by >= then, "{way}");
}

#[test]
fn a_landing_of_hers_finds_the_ground() {
    let folder = Folder::new("dryout-landing");
    let boat = example("sea_campion.toml");
    let table = example("renn_sound_waters.txt");
    // The table has 4.50 m at 05:13 and 0.59 m at 11:27: by a cosine 2.545 m at 08:20, less 1.50 m.
    let ask = [
        "dryout",
        &boat,
        "Renn Sound",
        "--table",
        &table,
        "--zone",
        "UTC",
        "--day",
        "2026-09-18",
        "--touched",
        "2026-09-17 08:20 with 1.50 m",
    ];
    let found = json(&folder, &ask);
    let ground = found["result"]["figures"]["ground_m"]["value"].as_f64().unwrap();
    assert!((ground - 1.045).abs() < 0.01, "{ground}");
    assert!(found["further"].as_str().unwrap().contains("from one landing"));
}

#[test]
fn she_gets_home_or_she_does_not() {
    let folder = Folder::new("gethome");
    let boat = example("sea_campion.toml");
    let ask = |miles: &str, charge: &str| {
        json(
            &folder,
            &["gethome", &boat, "--miles", miles, "--charge", charge, "--now", "22:00", "--samples", "200"],
        )
    };
    assert!(ask("4", "80 %")["finding"].as_str().unwrap().starts_with("Yes: leave now"));
    let far = folder.run(&[
        "gethome",
        &boat,
        "--miles",
        "40",
        "--charge",
        "60 %",
        "--now",
        "22:00",
        "--samples",
        "200",
    ]);
    assert_eq!(far.status.code(), Some(1), "{}", complaint(&far));
    assert!(text(&far).starts_with("No: "), "{}", text(&far));
    // Waiting costs nothing of the way but the loads aboard: against two knots until half past twelve it pays.
    let against = [
        "gethome",
        &boat,
        "--miles",
        "9",
        "--stream",
        "2 kn against until 00:30",
        "--charge",
        "61 %",
        "--now",
        "22:00",
    ];
    let found = json(&folder, &against);
    let departures = found["result"]["departures"].as_array().unwrap();
    let left = |row: &Value| row["charge_left_share"]["value"].as_f64().unwrap();
    assert!(left(departures.last().unwrap()) > left(&departures[0]), "{departures:?}");
}

#[test]
fn what_cannot_be_is_said_with_what_to_do() {
    let folder = Folder::new("ground-and-home-bad");
    let boat = example("sea_campion.toml");
    let cases: [(&[&str], &str); 9] = [
        (&["dryout", "BOAT", "Boston"], "height of the ground above chart datum"),
        (&["dryout", "BOAT", "Saint Malo", "--ground", "1.2 m"], "Cannot tell: the datum"),
        (&["dryout", "BOAT", "Boston", "--ground", "deep"], "deep"),
        (&["dryout", "BOAT", "Boston", "--ground", "1 m", "--hours", "40"], "0.25 to 12"),
        (&["gethome", "BOAT"], "give the miles home"),
        (&["gethome", "BOAT", "--miles", "9", "--charge", "52.4 V"], "iron-phosphate"),
        (&["gethome", "BOAT", "--miles", "9", "--stream", "9 kn against"], "cannot stem this stream"),
        (&["gethome", "BOAT", "--miles", "9", "--stream", "2 kn until 00:30"], "with her or against her"),
        (&["gethome", "BOAT", "--miles", "9", "--now", "late"], "write 22:00"),
    ];
    for (args, said) in cases {
        let args: Vec<&str> =
            args.iter().map(|arg| if *arg == "BOAT" { boat.as_str() } else { arg }).collect();
        let output = folder.run(&args);
        assert!(matches!(output.status.code(), Some(1 | 2)), "{args:?}");
        assert!(complaint(&output).contains(said), "{args:?}: {}", complaint(&output));
    }
    for (ground, said) in [("9 m", "never floats on there"), ("-3 m", "never takes the ground")] {
        let ground = format!("--ground={ground}");
        let output = folder.run(&["dryout", &boat, "Boston", &ground, "--day", "2026-10-02"]);
        assert!(text(&output).contains(said), "{ground}: {} {}", text(&output), complaint(&output));
    }
}
