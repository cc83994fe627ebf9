//! What may not be said without ground: samples without an answer are told first, what is typed is what is answered,
//! what is forbidden is no pick, readings that fit nothing name nothing. Not for: the figures themselves.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

fn example(name: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples").join(name).to_string_lossy().into_owned()
}

fn run(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_wakewright")).args(args).output().unwrap()
}

fn text(output: &Output) -> String {
    // A terminal wraps; a sentence is one.
    let said = String::from_utf8(output.stdout.clone()).unwrap();
    said.split_whitespace().collect::<Vec<&str>>().join(" ")
}

fn complaint(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// Against a wind that she holds at her medians and not in all samples, the share is told before anything else.
#[test]
fn samples_that_cannot_stem_the_wind_are_told_first() {
    let boat = example("sea_campion.toml");
    let found = (15..60).step_by(3).find_map(|wind| {
        let set = format!("sea.head_wind={wind} kn");
        let output = run(&["drive", &boat, "--samples", "200", "--json", "--set", &set]);
        let json: Value = serde_json::from_slice(&output.stdout).ok()?;
        let reasons = json["without_answer"].as_array().unwrap().clone();
        let driven = reasons.into_iter().find(|reason| reason["reason"] == "driven_back")?;
        Some((set, json, driven))
    });
    let (set, json, driven) = found.expect("some wind is held in some samples only");
    assert!(driven["samples"].as_u64().unwrap() > 0 && driven["of"] == 200, "{driven}");
    let sentence = json["finding"].as_str().unwrap();
    let begin = sentence.split(';').next().unwrap();
    assert!(begin.starts_with("In ") && begin.contains("she cannot stem the wind"), "{sentence}");
    let said = text(&run(&["drive", &boat, "--samples", "200", "--set", &set]));
    assert!(said.starts_with("In "), "{said}");
    let calm = run(&["drive", &boat, "--samples", "100", "--json", "--set", "sea.head_wind=0 kn"]);
    let calm: Value = serde_json::from_slice(&calm.stdout).unwrap();
    assert!(calm["without_answer"].as_array().unwrap().is_empty());
    assert!(!calm["finding"].as_str().unwrap().starts_with("In "));
}

#[test]
fn the_speed_that_is_typed_is_the_speed_that_is_answered() {
    let boat = example("water_avens.toml");
    let said = text(&run(&["range", &boat, "--samples", "60", "--speed", "3.25 kn"]));
    let finding = said.split(" Speed").next().unwrap();
    assert!(finding.contains("At 3.25 kn"), "{said}");
    assert!(!finding.contains("At 3.5 kn"), "{said}");
}

/// Volts above what may be touched bring a duty, which is said and does not fail; packs that trip one after the other
/// are forbidden, and fail.
#[test]
fn a_duty_is_said_and_what_is_forbidden_fails() {
    let boat = example("sea_campion.toml");
    let duty = run(&["check", &boat, "--samples", "60"]);
    assert_eq!(duty.status.code(), Some(0), "{}", text(&duty));
    let said = text(&duty);
    assert!(said.contains("It brings a duty: above 60 V direct current can kill"), "{said}");
    assert!(!said.contains("must not be so"), "{said}");
    let forbidden = run(&[
        "check",
        &boat,
        "--samples",
        "60",
        "--set",
        "pack[1].count=2",
        "--set",
        "pack[1].bms_discharge=40 A",
    ]);
    let said = text(&forbidden);
    assert_eq!(forbidden.status.code(), Some(1), "{said}");
    assert!(said.contains("it must not be so: load on the packs that are left when one drops out"), "{said}");
}

/// What `check` forbids is no pick; the duty of a pick stands in its sentence.
#[test]
fn no_pick_is_forbidden() {
    let boat = example("sea_campion.toml");
    let keep = [
        "--keep",
        "motor",
        "--keep",
        "reduction",
        "--keep",
        "voltage",
        "--keep",
        "packs",
        "--allow-over-60-v",
    ];
    let search = |more: &[&str]| {
        let args = [&["search", boat.as_str(), "--samples", "60", "--rows", "3"][..], &keep, more].concat();
        text(&run(&args))
    };
    let said = search(&[]);
    let sentence = said.split(". ").next().unwrap();
    assert!(sentence.contains("it brings a duty, for above 60 V"), "{said}");
    let barred = search(&["--set", "pack[1].count=2", "--set", "pack[1].bms_discharge=40 A"]);
    assert!(!barred.contains("The pick for"), "{barred}");
}

struct Folder(PathBuf);

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// A power that nothing aboard explains: nothing is named, nothing may be adopted.
#[test]
fn readings_that_fit_nothing_name_nothing() {
    let folder = Folder(std::env::temp_dir().join(format!("wakewright-misfit-{}", std::process::id())));
    std::fs::create_dir_all(&folder.0).unwrap();
    let log = std::fs::read_to_string(example("logs/2025-09-21_as_she_came.csv")).unwrap();
    let head = log.lines().find(|line| !line.starts_with('#')).unwrap();
    let column = head.split(',').position(|name| name.contains("current")).expect("a column of amps");
    let mut is_below_head = false;
    let odd: Vec<String> = log
        .lines()
        .map(|line| {
            let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
            if is_below_head && let Some(Ok(amps)) = cells.get(column).map(|cell| cell.trim().parse::<f64>())
            {
                cells[column] = format!("{:.1}", 4.0 * amps);
            }
            is_below_head |= line == head;
            cells.join(",")
        })
        .collect();
    let place = folder.0.join("odd.csv");
    std::fs::write(&place, odd.join("\n")).unwrap();
    let boat = example("sea_campion.toml");
    let output = run(&["trial", "causes", &boat, "--log", place.to_str().unwrap()]);
    let said = text(&output);
    assert!(said.contains("do not fit any cause that I know"), "{said} {}", complaint(&output));
    assert!(said.contains("nothing is offered for adoption"), "{said}");
    for sure in ["the main cause", "--adopt"] {
        assert!(!said.contains(sure), "{said}");
    }
}

/// The volts of a free propeller are not told as those when the protection opens.
#[test]
fn free_volts_are_not_told_as_safe() {
    let boat = example("sweet_gale.toml");
    let said = text(&run(&["sail", &boat, "--samples", "60", "--set", "controller.overvoltage=400 V"]));
    assert!(said.contains("within milliseconds"), "{said}");
    for (at, _) in said.match_indices("does not by itself reach") {
        assert!(said[at..].split('.').next().unwrap().contains("within milliseconds all the same"), "{said}");
    }
}

/// From a tape alone no limit stops her in half the samples: the first sentence names none as the one that does.
#[test]
fn a_tape_names_no_limit_for_sure() {
    let path = std::env::temp_dir().join(format!("wakewright-tape-{}.toml", std::process::id()));
    let tape = "[boat]\nname = \"Tape Alone\"\n[hull]\nkind = \"sailing yacht\"\nlength_overall = \"9.6 m\"\nbeam_overall = \"3.1 m\"\n";
    std::fs::write(&path, tape).unwrap();
    let said = text(&run(&["drive", path.to_str().unwrap(), "--samples", "400"]));
    let json = run(&["drive", path.to_str().unwrap(), "--samples", "400", "--json"]);
    std::fs::remove_file(&path).unwrap();
    assert!(said.contains("what stops her is not sure: ") && !said.contains("(BMS) stops her"), "{said}");
    // No figure at full throttle stands outside its own band.
    let json: Value = serde_json::from_slice(&json.stdout).unwrap();
    fn walk(json: &Value, seen: &mut usize) {
        if let (Some(value), Some(p10), Some(p90)) =
            (json["value"].as_f64(), json["p10"].as_f64(), json["p90"].as_f64())
        {
            assert!(p10 <= value && value <= p90, "{json}");
            *seen += 1;
        }
        match json {
            Value::Array(all) => all.iter().for_each(|one| walk(one, seen)),
            Value::Object(all) => all.values().for_each(|one| walk(one, seen)),
            _ => {}
        }
    }
    let mut seen = 0;
    walk(&json, &mut seen);
    assert!(seen > 10, "{seen} figures with a band");
}

/// Five centimetres under the keel: she sinks by more as she moves, and that stands with the speeds.
#[test]
fn little_water_under_the_keel_is_said_with_the_speeds() {
    let boat = example("sea_campion.toml");
    let at = |depth: &str| {
        text(&run(&["drive", &boat, "--samples", "60", "--set", &format!("sea.depth={depth}")]))
    };
    assert!(at("1.75 m").contains("she strikes before that"), "{}", at("1.75 m"));
    assert!(!at("12 m").contains("between keel and bottom"));
}
