//! The whole story on the command line: two afternoons kept, why she is slow, a forecast kept, the work done and
//! held against what came, values adopted. The logs are invented, made by an independent program.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("wakewright-causes-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    fn run(&self, args: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_wakewright"))
            .args(args)
            .current_dir(&self.0)
            .env("WAKEWRIGHT_DATA", self.0.join("data"))
            .output()
            .unwrap()
    }

    fn good(&self, args: &[&str]) -> String {
        let output = self.run(args);
        assert_eq!(output.status.code(), Some(0), "{args:?}: {}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn example(name: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples").join(name).to_string_lossy().into_owned()
}

#[test]
fn slow_why_a_forecast_and_whether_it_held() {
    let folder = Folder::new("story");
    let name = "Sea Campion";
    folder.good(&["import", &example("sea_campion.toml")]);
    for log in ["logs/2025-09-21_as_she_came.csv", "logs/2025-10-12_after_the_work.csv"] {
        folder.good(&["trial", "import", &example(log), "--boat", name]);
    }
    let noted = |number: &str, own: &[&str]| {
        let seen = ["bottom=light slime", "blades=clean", "wind_from=NW", "full_throttle=9,10"];
        folder.good(&[&["trial", "set", name, number][..], &seen, own].concat());
    };
    noted("1", &["wind=3 kn", "title=as she came"]);
    noted("2", &["wind=4 kn"]);
    let beyond = folder.run(&["trial", "set", name, "1", "full_throttle=9,11"]);
    assert_eq!(beyond.status.code(), Some(2));
    assert!(String::from_utf8(beyond.stderr).unwrap().contains("no run 11; the trial holds 10 runs"));
    let causes: Value =
        serde_json::from_str(&folder.good(&["trial", "causes", name, "1", "--json"])).unwrap();
    let point = &causes["result"]["points"][0];
    let shares = causes["result"]["shares"].as_array().unwrap();
    let of_point: Vec<&Value> = shares.iter().filter(|share| share["at"] == point["at"]).collect();
    assert_eq!(of_point[0]["cause"], "limits", "{of_point:#?}");
    let shares: f64 = of_point.iter().map(|share| share["mean_kn"].as_f64().unwrap()).sum();
    let should = point["should_kn"].as_f64().unwrap();
    assert!((should - shares - point["now_kn"]["value"].as_f64().unwrap()).abs() < 0.03);
    let text = folder.good(&["trial", "causes", name, "1"]);
    assert!(text.starts_with("At full throttle Sea Campion makes"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");

    // What the text says of the limits is what explain opens, of the same trial.
    let opened: Value =
        serde_json::from_str(&folder.good(&["explain", name, "knots_by_limits", "--trial", "1", "--json"]))
            .unwrap();
    let opened_kn = opened["result"]["value"]["value"].as_f64().unwrap();
    assert!((opened_kn - of_point[0]["takes_kn"]["value"].as_f64().unwrap()).abs() < 0.006, "{opened:#}");

    let work = "current and pulleys: limits as stated; ratio 3";
    let made = folder.good(&["trial", "forecast", name, "1", "--remedy", work, "--keep"]);
    assert!(made.contains("Kept 1 forecast of"), "{made}");
    let document = std::fs::read_to_string(example("sea_campion.toml")).unwrap();
    let geared = document.replace("ratio = \"2.2:1\"", "ratio = \"3:1\"");
    std::fs::write(folder.0.join("geared.toml"), geared).unwrap();
    folder.good(&["import", "--add-revision", "geared.toml"]);
    let held = folder.good(&["trial", "forecast", name, "2", "--hold"]);
    assert!(held.contains("the forecast held"), "{held}");
    assert!(held.lines().all(|line| line.chars().count() <= 80), "{held}");

    // The first was run on the old pulleys: as evidence for the second it is read under the document of then.
    let both = folder.good(&["trial", "causes", name, "2"]);
    let plain = both.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(plain.contains("Trial 1 is read under revision 1 of her document"), "{both}");
    let readings = folder.good(&["trial", "causes", name, "2", "--csv", "readings"]);
    let of_first =
        readings.lines().find(|line| line.starts_with("as she came") && line.contains("drive_power_w"));
    assert!(of_first.is_some(), "{readings}");

    // What the second trial knows better becomes a revision.
    let adopted = folder.good(&["trial", "causes", name, "2", "--alone", "--adopt"]);
    assert!(adopted.starts_with("Revision 3 of Sea Campion"), "{adopted}");
    let document = folder.good(&["trial", "causes", name, "2", "--alone", "--adopted"]);
    assert!(document.contains("from trial of 2025-10-12"), "{document}");
    folder.good(&["drive", name]);
}

#[test]
fn what_is_wrong_is_said() {
    let folder = Folder::new("wrong");
    let (boat, log) = (example("sea_campion.toml"), example("logs/2025-09-21_as_she_came.csv"));
    let refused = |args: &[&str], words: &str| {
        let mut all = vec!["trial"];
        all.extend(args);
        let output = folder.run(&all);
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{args:?}: {said}");
        assert!(said.contains(words), "{args:?}: {said}");
    };
    refused(&["causes", &boat, "--log", &log, "--full-throttle", "11"], "hold 10 runs");
    refused(&["causes", &boat, "--log", &log, "--noted", "bottom=mossy"], "bottom");
    refused(&["causes", &boat, "--log", &log, "--noted", "bottum=clean"], "did you mean bottom");
    refused(&["causes", &boat, "--log", "missing.csv"], "missing.csv");
    refused(&["causes", &boat, "--log", &log, "--cruise", "90 kn"], "no speed of such a boat");
    refused(&["forecast", &boat, "--log", &log, "--remedy", "x: polish"], "polish");
    refused(&["runs", &log, "--csv", "legs"], "there are summary, runs, pairs");
}
