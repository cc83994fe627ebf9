//! The whole story on the command line: two afternoons kept, why she is slow, a forecast kept and held against what
//! came, values adopted. The logs are invented, made by an independent program.

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
    let name = "Grey Wagtail";
    folder.good(&["import", &example("grey_wagtail.toml")]);
    for log in ["logs/2025-05-03_before_the_scrub.csv", "logs/2025-05-18_after_the_scrub.csv"] {
        folder.good(&["trial", "import", &example(log), "--boat", name]);
    }
    folder.good(&[
        "trial",
        "set",
        name,
        "1",
        "bottom=small shell or weed",
        "wind=2 kn",
        "wind_from=95",
        "title=before",
    ]);
    folder.good(&[
        "trial",
        "set",
        name,
        "2",
        "bottom=as applied",
        "blades=clean",
        "wind=4 kn",
        "wind_from=95",
    ]);
    let causes: Value =
        serde_json::from_str(&folder.good(&["trial", "causes", name, "1", "--json"])).unwrap();
    let point = &causes["result"]["points"][0];
    assert_eq!(point["shares"][0]["cause"], "bottom_growth", "{point:#}");
    let shares: f64 =
        point["shares"].as_array().unwrap().iter().map(|s| s["mean_kn"].as_f64().unwrap()).sum();
    let should = point["should_kn"].as_f64().unwrap();
    assert!((should - shares - point["now_kn"]["value"].as_f64().unwrap()).abs() < 0.03);
    let text = folder.good(&["trial", "causes", name, "1"]);
    assert!(text.starts_with("At full throttle Grey Wagtail makes"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");

    // What the text says of growth is what explain opens, of the same trial.
    let opened: Value = serde_json::from_str(&folder.good(&[
        "explain",
        name,
        "knots_by_bottom_growth",
        "--trial",
        "1",
        "--json",
    ]))
    .unwrap();
    let opened_kn = opened["result"]["value"]["value"].as_f64().unwrap();
    assert!(
        (opened_kn - point["shares"][0]["takes_kn"]["value"].as_f64().unwrap()).abs() < 0.006,
        "{opened:#}"
    );

    let scrub = "scrub: clean bottom; clean blades";
    let made = folder.good(&["trial", "forecast", name, "1", "--remedy", scrub, "--keep"]);
    assert!(made.contains("Kept 1 forecasts"), "{made}");
    let held = folder.good(&["trial", "forecast", name, "2", "--hold"]);
    assert!(held.contains("the forecast held"), "{held}");
    assert!(held.lines().all(|line| line.chars().count() <= 80), "{held}");

    // The second trial has the first as evidence; what it knows better becomes a revision.
    let adopted = folder.good(&["trial", "causes", name, "2", "--adopt"]);
    assert!(adopted.starts_with("Revision 2 of Grey Wagtail"), "{adopted}");
    let document = folder.good(&["trial", "causes", name, "2", "--adopted"]);
    assert!(document.contains("from trial of 2025-05-18"), "{document}");
    folder.good(&["drive", name]);
}

#[test]
fn what_is_wrong_is_said() {
    let folder = Folder::new("wrong");
    let (boat, log) = (example("grey_wagtail.toml"), example("logs/2025-05-03_before_the_scrub.csv"));
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
}
