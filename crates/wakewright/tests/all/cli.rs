//! The program as a user runs it: in a folder of its own, looked at from outside.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

const PROGRAM: &str = env!("CARGO_BIN_EXE_wakewright");

pub(super) fn example(name: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples").join(name).to_string_lossy().into_owned()
}

/// A fresh folder that goes away with it.
pub(super) struct Folder(pub(super) PathBuf);

impl Folder {
    pub(super) fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("wakewright-cli-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    pub(super) fn run(&self, args: &[&str]) -> Output {
        Command::new(PROGRAM)
            .args(args)
            .current_dir(&self.0)
            .env("WAKEWRIGHT_DATA", self.0.join("data"))
            .env_remove("NO_COLOR")
            .output()
            .unwrap()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

pub(super) fn text(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

pub(super) fn complaint(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

#[test]
fn without_arguments_it_helps() {
    let folder = Folder::new("help");
    let output = folder.run(&[]);
    assert_eq!(output.status.code(), Some(2));
    let help = complaint(&output);
    for command in ["new", "check", "drive", "range", "search", "sail", "bank", "energy", "explain", "demo"] {
        assert!(help.contains(command), "{help}");
    }
}

#[test]
fn demo_tells_the_whole_story_in_80_columns_without_colour() {
    let folder = Folder::new("demo");
    let output = folder.run(&["demo"]);
    assert_eq!(output.status.code(), Some(0));
    let story = text(&output);
    assert!(!story.contains('\u{1b}'), "no colour in a pipe");
    assert!(story.contains("invented"), "the boat says that she is invented");
    assert!(story.contains("phase current stops her"));
    let wide: Vec<&str> = story.lines().filter(|line| line.chars().count() > 80).collect();
    assert!(wide.is_empty(), "lines over 80 columns: {wide:#?}");
}

#[test]
fn every_command_fits_80_columns_in_every_unit_system() {
    let folder = Folder::new("width");
    for boat in ["sea_campion.toml", "sweet_gale.toml", "water_avens.toml"] {
        for units in ["trade", "metric", "us"] {
            for command in
                [&["check"][..], &["drive"], &["range"], &["search"], &["sail"], &["bank"], &["explain"]]
            {
                let mut args = command.to_vec();
                let file = example(boat);
                args.push(&file);
                if command == ["explain"] {
                    args.push("resistance");
                }
                args.extend(["--units", units, "--samples", "100"]);
                let output = folder.run(&args);
                assert!(output.status.code() == Some(0) || command == ["check"], "{}", complaint(&output));
                for line in text(&output).lines() {
                    assert!(line.chars().count() <= 80, "{command:?} {boat} {units}: {line}");
                }
            }
        }
    }
}

#[test]
fn colour_only_where_it_is_wanted() {
    let folder = Folder::new("colour");
    let file = example("sea_campion.toml");
    let forced = folder.run(&["drive", &file, "--colour", "always", "--samples", "60"]);
    assert!(text(&forced).contains("\u{1b}["));
    let never = folder.run(&["drive", &file, "--colour", "never", "--samples", "60"]);
    assert!(!text(&never).contains('\u{1b}'));
}

#[test]
fn json_answers_carry_format_version_and_finding() {
    let folder = Folder::new("json");
    let file = example("sea_campion.toml");
    for (args, format) in [
        (vec!["drive", file.as_str()], "wakewright/drive"),
        (vec!["range", file.as_str()], "wakewright/range"),
        (vec!["sail", file.as_str()], "wakewright/sail"),
        (vec!["bank", file.as_str()], "wakewright/bank"),
        (vec!["energy", file.as_str(), "--date", "2026-03-15", "--year"], "wakewright/energy"),
        (vec!["search", file.as_str(), "--keep", "motor"], "wakewright/search"),
        (vec!["options", file.as_str()], "wakewright/options"),
        (vec!["check", file.as_str()], "wakewright/check"),
        (vec!["explain", file.as_str(), "speed"], "wakewright/explain"),
    ] {
        let mut args = args;
        args.extend(["--json", "--samples", "100"]);
        let output = folder.run(&args);
        let value: Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(value["format"], format);
        assert!(value["version"] == 2, "{format}");
        let is_named = |finding: &str| finding.contains("Sea Campion") || format == "wakewright/options";
        assert!(value["finding"].as_str().is_some_and(is_named), "{value:#}");
    }
}

/// The watt ladder adds up to what the cells give, seen from outside the program.
#[test]
fn ladder_in_json_adds_up() {
    let folder = Folder::new("ladder");
    let output = folder.run(&["drive", &example("sea_campion.toml"), "--json", "--samples", "60"]);
    let value: Value = serde_json::from_slice(&output.stdout).unwrap();
    let result = &value["result"];
    let steps = result["watt_ladder"].as_array().unwrap();
    let sum: f64 = steps.iter().map(|step| step["power_w"].as_f64().unwrap()).sum();
    let cells = result["summary"]["cells_power_w"].as_f64().unwrap();
    assert!((sum - cells).abs() < 1e-6 * cells, "{sum} against {cells}");
}

/// A throttle and a speed that are asked for have a row of their own, and the finding tells of them.
#[test]
fn what_is_asked_has_its_row_and_is_told_of() {
    let folder = Folder::new("asked");
    let file = example("sea_campion.toml");
    let json = |args: &[&str]| -> Value {
        let mut all = vec![args[0], file.as_str(), "--json", "--samples", "100"];
        all.extend(&args[1..]);
        serde_json::from_slice(&folder.run(&all).stdout).unwrap()
    };
    let has_row = |answer: &Value, sheet: &str, name: &str, value: f64| {
        let rows = answer["result"][sheet].as_array().unwrap();
        rows.iter().any(|row| (row[name].as_f64().unwrap() - value).abs() < 1e-9)
    };
    let eased = json(&["drive", "--throttle", "65 %"]);
    assert!(has_row(&eased, "throttle", "throttle_share", 0.65), "{eased:#}");
    assert!(eased["further"].as_str().unwrap().contains("At 65 % throttle she makes"));
    let slow = json(&["range", "--speed", "3.25 kn"]);
    assert!(has_row(&slow, "speeds", "speed_kn", 3.25), "{slow:#}");
    assert!(slow["finding"].as_str().unwrap().starts_with("At 3.25 kn Sea Campion goes"), "{slow:#}");
    let fast = json(&["range", "--speed", "7 kn"]);
    let said = fast["finding"].as_str().unwrap();
    assert!(said.starts_with("Sea Campion does not reach 7.0 kn: full throttle is"), "{said}");
    assert!(has_row(&fast, "speeds", "speed_kn", 7.0));
}

/// A wind that she does not hold against is a finding, exit 1, in the same sentence whatever is asked.
#[test]
fn a_wind_that_drives_her_back_is_a_finding() {
    let folder = Folder::new("wind");
    let file = example("sea_campion.toml");
    let said = ["drive", "range", "bank", "options"].map(|command| {
        let output = folder.run(&[command, &file, "--set", "sea.head_wind=60 kn", "--samples", "60"]);
        assert_eq!(output.status.code(), Some(1), "{command}: {}", complaint(&output));
        complaint(&output)
    });
    assert!(said[0].contains("does not hold her ground against 60"), "{}", said[0]);
    assert!(said.iter().all(|other| *other == said[0]), "{said:#?}");
}

#[test]
fn same_seed_same_figures_and_another_seed_others() {
    let folder = Folder::new("seed");
    let file = example("sweet_gale.toml");
    let run = |seed: &str| text(&folder.run(&["drive", &file, "--json", "--samples", "80", "--seed", seed]));
    assert_eq!(run("7"), run("7"));
    assert_ne!(run("7"), run("8"));
}

#[test]
fn all_faults_at_once_with_line_and_advice_and_exit_2() {
    let folder = Folder::new("faults");
    let broken = std::fs::read_to_string(example("sea_campion.toml"))
        .unwrap()
        .replace("draught = \"1.7 m\"", "draught = \"1.7 kg\"")
        .replace("pitch = \"15 in\"", "pich = \"15 in\"")
        .replace("voltage = \"76.8 V\"", "voltage = \"48 V\"");
    std::fs::write(folder.0.join("broken.toml"), &broken).unwrap();
    let output = folder.run(&["drive", "broken.toml"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.is_empty(), "nothing half-done");
    let said = complaint(&output);
    for part in ["broken.toml:", "hull.draught", "Did you mean", "pack[1].voltage"] {
        assert!(said.contains(part), "{part} in {said}");
    }
    let json = folder.run(&["check", "broken.toml", "--json"]);
    assert_eq!(json.status.code(), Some(2));
    let value: Value = serde_json::from_slice(&json.stdout).unwrap();
    assert!(value["result"]["faults"].as_array().unwrap().len() >= 3);
}

#[test]
fn what_cannot_be_read_is_said() {
    let folder = Folder::new("unreadable");
    std::fs::write(folder.0.join("binary.toml"), [0_u8, 159, 146, 150, 255]).unwrap();
    for args in [
        &["drive", "missing.toml"][..],
        &["drive", "binary.toml"],
        &["drive", "."],
        &["explain", "missing.toml", "speeed"],
        &["drive", "missing.toml", "--samples", "0"],
        &["drive", "missing.toml", "--set", "nonsense"],
    ] {
        let output = folder.run(args);
        assert_eq!(output.status.code(), Some(2), "{args:?}");
        assert!(!complaint(&output).is_empty(), "{args:?}");
    }
}

/// A canal boat of the weight of her crew floats on a hand's breadth: no method reaches there, and it is said.
#[test]
fn proportions_that_no_method_knows_are_said() {
    let folder = Folder::new("proportions");
    let boat = "[boat]\nname = \"Dipper\"\n[hull]\nkind = \"canal boat\"\nlength_overall = \"12 m\"\nbeam_overall = \"2.1 m\"\n";
    std::fs::write(folder.0.join("dipper.toml"), boat).unwrap();
    assert_eq!(folder.run(&["drive", "dipper.toml", "--samples", "50"]).status.code(), Some(0));
    let light = folder.run(&["drive", "dipper.toml", "--samples", "50", "--set", "hull.displacement=250 kg"]);
    assert_eq!(light.status.code(), Some(2), "{}", complaint(&light));
    assert!(complaint(&light).contains("weigh her again"), "{}", complaint(&light));
}

#[test]
fn new_writes_a_start_and_never_overwrites() {
    let folder = Folder::new("new");
    let made =
        folder.run(&["new", "dipper.toml", "--set", "boat.name=Dipper", "--set", "hull.displacement=5.4 t"]);
    assert_eq!(made.status.code(), Some(0), "{}", complaint(&made));
    let written = std::fs::read_to_string(folder.0.join("dipper.toml")).unwrap();
    assert!(written.contains("name = \"Dipper\"") && written.contains("displacement = \"5.4 t\""));
    let check = folder.run(&["check", "dipper.toml"]);
    assert_eq!(check.status.code(), Some(2), "what is still empty is named");
    assert!(complaint(&check).contains("hull.length_overall"));
    for nonsense in ["hull.draught=5 kg", "hull.kind=28 feet", "pack[1].capacity=soon"] {
        let refused = folder.run(&["new", "other.toml", "--set", nonsense]);
        assert_eq!(refused.status.code(), Some(2), "{nonsense}");
        assert!(
            !folder.0.join("other.toml").exists() && complaint(&refused).contains(nonsense),
            "{nonsense}"
        );
    }
    let again = folder.run(&["new", "dipper.toml"]);
    assert_eq!(again.status.code(), Some(2));
    assert_eq!(std::fs::read_to_string(folder.0.join("dipper.toml")).unwrap(), written);
}

#[test]
fn a_change_is_tried_without_touching_the_file() {
    let folder = Folder::new("set");
    std::fs::copy(example("sea_campion.toml"), folder.0.join("boat.toml")).unwrap();
    let before = std::fs::read(folder.0.join("boat.toml")).unwrap();
    let speed = |set: &[&str]| {
        let mut args = vec!["drive", "boat.toml", "--json", "--samples", "60"];
        args.extend(set);
        let value: Value = serde_json::from_slice(&folder.run(&args).stdout).unwrap();
        value["result"]["full_throttle"]["speed_kn"]["value"].as_f64().unwrap()
    };
    assert!(speed(&["--set", "reduction.ratio=3:1"]) > speed(&[]) + 0.3);
    // Two fields that only make sense together; on short gears it is volts that she lacks.
    let short = ["--set", "reduction.ratio=4:1"];
    let more_volts = ["--set", "pack[1].cells_in_series=30", "--set", "pack[1].voltage=96 V"];
    assert!(speed(&[&short[..], &more_volts].concat()) > speed(&short) + 0.3);
    assert_eq!(std::fs::read(folder.0.join("boat.toml")).unwrap(), before);
}

#[test]
fn schemas_describe_what_is_printed() {
    let folder = Folder::new("schema");
    let commands = [
        "boat",
        "check",
        "drive",
        "range",
        "options",
        "search",
        "sail",
        "bank",
        "energy",
        "explain",
        "trial-import",
        "trial-runs",
        "trial-show",
        "trial-causes",
        "trial-forecast",
        "trial-held",
    ];
    for of in commands {
        let value: Value = serde_json::from_slice(&folder.run(&["schema", of]).stdout).unwrap();
        assert!(value["$schema"].as_str().is_some_and(|s| s.contains("json-schema.org")), "{of}");
    }
}

#[test]
fn completions_and_manual_are_printed() {
    let folder = Folder::new("man");
    for shell in ["bash", "zsh", "fish", "powershell"] {
        assert!(text(&folder.run(&["completions", shell])).contains("wakewright"), "{shell}");
    }
    let manual = text(&folder.run(&["man"]));
    assert!(manual.contains(".TH wakewright") && manual.contains("wakewright\\-drive"));
}

#[test]
fn energy_fits_80_columns_and_needs_a_place() {
    let folder = Folder::new("energy");
    let args = ["--date", "2026-12-21", "--year", "--samples", "30"];
    for units in ["trade", "metric", "us"] {
        let file = example("sea_campion.toml");
        let mut all = vec!["energy", file.as_str(), "--units", units];
        all.extend(args);
        let output = folder.run(&all);
        assert_eq!(output.status.code(), Some(0), "{}", complaint(&output));
        for line in text(&output).lines() {
            assert!(line.chars().count() <= 80, "{units}: {line}");
        }
    }
    let without = folder.run(&["energy", &example("sweet_gale.toml")]);
    assert_eq!(without.status.code(), Some(2));
    assert!(complaint(&without).contains("[place]"), "{}", complaint(&without));
}

/// What cannot be is refused with the field named; what is odd is doubted and computed.
#[test]
fn impossible_energy_inputs_are_named() {
    let folder = Folder::new("energy-faults");
    let file = example("sea_campion.toml");
    for (change, field) in [
        ("house[1].power=-20 W", "house[1].power"),
        ("panel[1].power=9 kW", "panel[1].power"),
        ("pack[1].voltage=0 V", "pack[1].voltage"),
        ("place.latitude=95 deg", "place.latitude"),
        ("place.clearness=0.3 0.4", "place.clearness"),
        ("place.sun=9 9 9 9 9 9 9 9 9 9 9 9", "place.sun"),
        ("week.motoring=80 h", "week.motoring"),
        ("house[2].to=17", "house[2].from"),
        ("shore.plug_in_at=90 %", "shore.plug_in_at"),
    ] {
        let output = folder.run(&["energy", &file, "--samples", "20", "--set", change]);
        assert_eq!(output.status.code(), Some(2), "{change}");
        assert!(complaint(&output).contains(field), "{change}: {}", complaint(&output));
    }
    let pole = [
        "--set",
        "place.latitude=90 deg",
        "--set",
        "place.clearness=0.5 0.5 0.5 0.5 0.5 0.5 0.5 0.5 0.5 0.5 0.5 0.5",
    ];
    let mut args = vec!["energy", file.as_str(), "--samples", "20"];
    args.extend(pole);
    assert_eq!(folder.run(&args).status.code(), Some(0));
    let check = folder.run(&["check", &file, "--samples", "60", "--set", "place.latitude=90 deg"]);
    assert!(text(&check).contains("place.latitude"), "{}", text(&check));
    // In June the pole has no night, in December no day.
    for (day, said) in [("2026-06-21", "The sun does not set."), ("2026-12-21", "The sun does not rise.")] {
        let mut args = vec!["energy", file.as_str(), "--date", day];
        args.extend(pole);
        assert!(text(&folder.run(&args)).contains(said), "{}", text(&folder.run(&args)));
    }
    for day in ["2026-02-30", "tomorrow", "2026-13-01"] {
        assert_eq!(folder.run(&["energy", &file, "--date", day]).status.code(), Some(2), "{day}");
    }
}

/// A shaft that the water does not start costs what a held one costs, and no "turning free" is spoken of; one that
/// friction lets turn but slowly drags more than held, and then the text says what to do.
#[test]
fn sail_tells_a_shaft_that_stands_from_one_that_turns() {
    let folder = Folder::new("standing");
    let file = example("sea_campion.toml");
    let at_speed = |speed: &str| {
        let args = ["sail", &file, "--set", "reduction.ratio=6:1", "--speed", speed, "--samples", "100"];
        text(&folder.run(&args)).split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let standing = at_speed("4 kn");
    assert!(standing.contains("held; left free it does not turn below 5.5 kn;"), "{standing}");
    assert!(!standing.contains("turning free;"), "{standing}");
    let turning = at_speed("5.6 kn");
    assert!(turning.contains("turning free;"), "{turning}");
    assert!(
        turning.contains("Turning free it drags more than held, braked by its own friction: hold the shaft")
    );
}
