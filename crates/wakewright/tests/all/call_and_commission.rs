//! `call` and `commission` as a user runs them: codes, width, what is asked again instead of guessed.

use super::cli::{Folder, complaint, example, text};

#[test]
fn what_comes_first_ends_with_1_and_names_no_part() {
    let folder = Folder::new("call");
    let boat = example("sea_campion.toml");
    let red = folder.run(&[
        "call",
        &boat,
        "--danger",
        "a battery hisses",
        "--symptom",
        "nothing",
        "--stops",
        "stop",
    ]);
    assert_eq!(red.status.code(), Some(1));
    let said = text(&red);
    assert!(said.starts_with("Leave: everybody up") && !said.contains("emergency stop"), "{said}");
    let first = text(&folder.run(&["call", &boat]));
    assert!(first.starts_with("Before anything: is there"), "{first}");
    let stop =
        text(&folder.run(&["call", &boat, "--danger", "none", "--symptom", "nothing", "--stops", "stop"]));
    let (caution, advice) =
        (stop.find("Lever in neutral, nobody in the").unwrap(), stop.find("Turn the").unwrap());
    assert!(stop.starts_with("Most likely the emergency stop") && caution < advice, "{stop}");
    for (replies, said) in [
        (&["--danger", "maybe"][..], "or none"),
        (&["--danger", "none", "--meter", "less"], "competent"),
        (&["--danger", "none", "--competent", "--meter", "less"], "qualified person"),
        (&["--danger", "none", "--volts", "52"], "of what"),
        (&["--danger", "none", "--volts", "-52 V"], "below zero"),
        (&["--danger", "none", "--volts", "140 A"], "volts"),
        (&["--danger", "none", "--volts", "70 V", "--lever-volts", "80 V", "--lever-amps", "9 A"], "swapped"),
        (&["--danger", "none", "--lever-volts", "80 V"], "lever-amps"),
    ] {
        let output = folder.run(&[&["call", &boat], replies].concat());
        assert_eq!(output.status.code(), Some(2), "{replies:?}");
        assert!(complaint(&output).to_lowercase().contains(said), "{replies:?}: {}", complaint(&output));
    }
}

#[test]
fn readings_pass_fail_or_are_asked_again() {
    let folder = Folder::new("commission");
    let boat = example("sea_campion.toml");
    let joint = ["--quay-volts", "76.1 V", "--quay-amps", "110 A", "--drop", "main cable=1500 mV"];
    let output = folder.run(&[&["commission", &boat][..], &joint].concat());
    assert_eq!(output.status.code(), Some(1));
    assert!(
        text(&output).replace('\n', " ").contains("a joint in the main cable that hardly carries"),
        "{}",
        text(&output)
    );
    let all = [
        "--quay-volts",
        "110 A",
        "--quay-amps",
        "-110 A",
        "--drop",
        "foo=1 V",
        "--insulation",
        "5",
        "--quay-pull",
        "NaN N",
    ];
    let output = folder.run(&[&["commission", &boat][..], &all].concat());
    assert_eq!(output.status.code(), Some(2));
    for key in ["quay-volts", "quay-amps", "foo", "insulation", "quay-pull"] {
        assert!(complaint(&output).contains(key), "{key}: {}", complaint(&output));
    }
    for boat in ["sea_campion.toml", "sweet_gale.toml", "water_avens.toml"] {
        for units in ["trade", "metric", "us"] {
            for command in ["call", "commission"] {
                let output = folder.run(&[command, &example(boat), "--units", units]);
                assert_eq!(output.status.code(), Some(0), "{command} {boat}: {}", complaint(&output));
                for line in text(&output).lines() {
                    assert!(line.chars().count() <= 80, "{command} {boat} {units}: {line}");
                }
            }
        }
    }
}
