//! Each step of `docs/first-hour.md`, run as it stands there: the files that it shows are written, its commands typed
//! in turn, and every line that it quotes is printed, in that order.

use std::path::Path;
use std::process::Command;

const DOCUMENT: &str = include_str!("../../../../docs/first-hour.md");

/// The words of a command as a shell takes them: parted by spaces but within double quotes.
fn words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut is_quoted = false;
    for letter in line.chars() {
        match letter {
            '"' => is_quoted = !is_quoted,
            ' ' if !is_quoted => words.push(String::new()),
            other => words.last_mut().unwrap().push(other),
        }
    }
    words
}

fn printed(folder: &Path, command: &str) -> String {
    let typed = words(command);
    assert_eq!(typed[0], "wakewright");
    let output = Command::new(env!("CARGO_BIN_EXE_wakewright"))
        .args(&typed[1..])
        .current_dir(folder)
        .env("WAKEWRIGHT_DATA", folder.join("data"))
        .output()
        .unwrap();
    let said = String::from_utf8(output.stdout).unwrap();
    assert_eq!(output.status.code(), Some(0), "{command}: {said}{}", String::from_utf8_lossy(&output.stderr));
    said
}

#[test]
fn every_step_of_the_first_hour_is_as_written() {
    let folder = std::env::temp_dir().join(format!("wakewright-first-hour-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    let mut commands = 0;
    for block in DOCUMENT.split("```").skip(1).step_by(2) {
        let (head, body) = block.split_once('\n').unwrap();
        if let Some((_, file)) = head.split_once(' ') {
            std::fs::write(folder.join(file), body).unwrap();
            continue;
        }
        assert_eq!(head, "console");
        for step in body.split("$ ").skip(1) {
            let mut lines = step.lines();
            let command = lines.next().unwrap();
            let said = printed(&folder, command);
            let mut rest = said.as_str();
            for quoted in lines.filter(|line| !line.is_empty()) {
                let at = rest.find(quoted);
                assert!(at.is_some(), "{command}: {quoted:?} is not said there: {said}");
                rest = &rest[at.unwrap() + quoted.len()..];
            }
            commands += 1;
        }
    }
    assert!(commands >= 8, "{commands} commands");
    let _ = std::fs::remove_dir_all(&folder);
}
