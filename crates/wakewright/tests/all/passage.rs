//! `passage` as a user runs it.

use serde_json::Value;

use super::cli::{Folder, complaint, example, text};

fn json(folder: &Folder, args: &[&str]) -> Value {
    let output = folder.run(&[args, &["--samples", "100", "--json"][..]].concat());
    assert_eq!(output.status.code(), Some(0), "{args:?} {}", complaint(&output));
    serde_json::from_str(&text(&output)).unwrap()
}

fn to_port_aldis(folder: &Folder, more: &[&str]) -> Value {
    let files = [
        "sea_campion.toml",
        "renn_sound_to_port_aldis.gpx",
        "renn_sound_waters.txt",
        "renn_sound_streams.txt",
    ];
    let [boat, route, waters, streams] = files.map(example);
    let ask = ["passage", &boat, &route, "--streams", &streams, "--port", "Renn Sound", "--table", &waters];
    let when = ["--zone", "UTC", "--leg", "all: stream A", "--day", "2026-09-28", "--leave", "08:00"];
    json(folder, &[&ask[..], &when[..], more].concat())
}

fn figure<'j>(found: &'j Value, key: &str) -> &'j Value {
    &found["result"]["figures"][key]
}

#[test]
fn a_passage_with_streams_is_planned_and_sampled() {
    let folder = Folder::new("passage");
    let free = to_port_aldis(&folder, &["--later", "2"]);
    let soon = to_port_aldis(&folder, &["--arrive", "by 12:15", "--later", "2"]);
    let energy = |found: &Value| figure(found, "passage_energy_wh").as_f64().unwrap();
    assert!(
        energy(&soon) > 1.05 * energy(&free),
        "a deadline takes energy: {} {}",
        energy(&soon),
        energy(&free)
    );
    let hours = figure(&soon, "under_way_h").as_f64().unwrap();
    assert!(hours <= 4.26, "{hours}");
    // 4.558 + 6.042 + 4.838 nm between the points of the file over a sphere of the mean radius; the ellipsoid is 0.5 % off at most.
    let miles = figure(&free, "distance_nmi").as_f64().unwrap();
    assert!((miles - 15.438).abs() < 0.08, "{miles}");
    let points = soon["result"]["points"].as_array().unwrap();
    let above = |row: &Value| row["above_anew_share"].as_f64().unwrap();
    assert_eq!(points.len(), 4);
    assert!(points.windows(2).all(|two| above(&two[0]) >= above(&two[1])), "sureness never grows on the way");
    assert!(soon["result"]["departures"].as_array().unwrap().len() > 20);
}

/// 22 nm on 40 % of the bank: she does not come there; with a stop she does, and the stop is told.
#[test]
fn a_charging_stop_carries_her() {
    let folder = Folder::new("passage-stop");
    let boat = example("sea_campion.toml");
    let ask = |stop: &str| {
        let route = format!("from the pier\n11 nm to the Narrows{stop}\n11 nm to Port Aldis");
        json(
            &folder,
            &[
                "passage",
                &boat,
                &route,
                "--zone",
                "UTC",
                "--day",
                "2026-09-28",
                "--leave",
                "06:00",
                "--charge",
                "40 %",
            ],
        )
    };
    let (goes, stops) = (ask(""), ask("; stop 6 h at 4 kW"));
    let left = |found: &Value| figure(found, "charge_on_arrival_share")["value"].as_f64().unwrap();
    assert!(left(&stops) > left(&goes) + 0.3, "{} {}", left(&stops), left(&goes));
    let steps = stops["result"]["steps"].as_array().unwrap();
    assert!(steps.iter().any(|step| step["leg"] == "at the Narrows"), "{steps:?}");
}

/// The plan as GPX is a route again, of the same length; as GeoJSON it has a point for each point and a line for each leg.
#[test]
fn the_plan_is_had_as_files() {
    let folder = Folder::new("passage-files");
    let boat = example("sea_campion.toml");
    let route = example("renn_sound_to_port_aldis.gpx");
    let ask = [
        "passage",
        &boat,
        &route,
        "--zone",
        "UTC",
        "--day",
        "2026-09-28",
        "--leave",
        "08:00",
        "--samples",
        "50",
    ];
    let had = |kind: &str| text(&folder.run(&[&ask[..], &["--as", kind][..]].concat()));
    let gpx = had("gpx");
    assert!(gpx.contains("<name>Gull Skerry</name>") && gpx.contains("Not for navigation"), "{gpx}");
    let again =
        json(&folder, &["passage", &boat, &gpx, "--zone", "UTC", "--day", "2026-09-28", "--leave", "08:00"]);
    let miles = figure(&again, "distance_nmi").as_f64().unwrap();
    assert!((miles - 15.438).abs() < 0.08, "{miles}");
    let geojson: Value = serde_json::from_str(&had("geojson")).unwrap();
    let kinds: Vec<&str> = geojson["features"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|f| f["geometry"]["type"].as_str())
        .collect();
    assert_eq!(kinds, ["Point", "Point", "Point", "Point", "LineString", "LineString", "LineString"]);
    let typed = folder.run(&["passage", &boat, "9 nm to the berth", "--as", "gpx"]);
    assert!(complaint(&typed).contains("it takes positions"), "{}", complaint(&typed));
}

#[test]
fn wind_depth_and_sail_of_a_leg_count() {
    let folder = Folder::new("passage-legs");
    let boat = example("sea_campion.toml");
    let ask = |said: &str| {
        let route = format!("from the pier\n8 nm to the Narrows{said}");
        let found = json(
            &folder,
            &[
                "passage",
                &boat,
                &route,
                "--zone",
                "UTC",
                "--day",
                "2026-09-28",
                "--leave",
                "08:00",
                "--arrive",
                "by 10:30",
            ],
        );
        figure(&found, "passage_energy_wh").as_f64().unwrap()
    };
    let plain = ask("");
    assert!(ask("; wind 18 kn") > 1.05 * plain && ask("; depth 2.2 m") > 1.05 * plain);
    assert!(ask("; sail 50 % at 4.5 kn") < 0.8 * plain && ask("; stream 1 kn with") < 0.9 * plain);
}

#[test]
fn what_cannot_be_is_said_with_what_to_do() {
    let folder = Folder::new("passage-bad");
    let boat = example("sea_campion.toml");
    let many: String = (0..5000).map(|i| format!("{:.4} N 7.4 W\n", 50.0 + f64::from(i) * 0.001)).collect();
    let leg = "9 nm 040 to the berth";
    let against = "9 nm to the berth; stream 9 kn against until 23:40";
    let cases: [(&[&str], &str, i32); 15] = [
        (&[], "give the route", 2),
        (&["nowhere.gpx"], "there is no file nowhere.gpx", 2),
        (&["55.9 N 7.4 W the pier"], "takes two points", 2),
        (&[&many], "the route has 5000 points", 2),
        (&["9 nm to the berth; speed 3 kn"], "line 1: speed 3 kn is not understood", 2),
        (&[leg, "--leg", "2: wind 8 kn"], "has 1 legs", 2),
        (&[leg, "--leg", "1: stream A"], "there is no stream table A", 2),
        (&[leg, "--leave", "late"], "write 08:00", 2),
        (&[leg, "--day", "2026-09-28"], "give the hour at which she leaves", 2),
        (
            &[leg, "--leave", "08:00", "--day", "2026-09-28", "--arrive", "2026-09-27 12:00"],
            "closes before she leaves",
            2,
        ),
        (&[leg, "--leave", "08:00", "--arrive", "by 08:30"], "even at full throttle", 1),
        (&[leg, "--charge", "52.4 V"], "iron-phosphate", 2),
        (&[against, "--leave", "22:00"], "before 23:40", 1),
        (&["9 nm to the berth; stream 9 kn against", "--leave", "22:00"], "nor within two days", 1),
        (&[leg, "--zone", "Nowhere/Town"], "time zone Nowhere/Town is not known", 2),
    ];
    for (args, said, code) in cases {
        let output = folder.run(&[&["passage", boat.as_str()][..], args].concat());
        let told = complaint(&output) + &text(&output);
        assert!(told.contains(said), "{args:?}: {told}");
        assert_eq!(output.status.code(), Some(code), "{args:?}");
    }
    // Over the antimeridian: 57.3 nm, not round the world.
    let route = "17.5 S 179.5 E the buoy\n17.5 S 179.5 W Far point";
    let found =
        json(&folder, &["passage", &boat, route, "--zone", "UTC", "--day", "2026-09-28", "--leave", "08:00"]);
    assert!((figure(&found, "distance_nmi").as_f64().unwrap() - 57.343).abs() < 0.01);
}
