//! Fields are named by their constants alone, so that one that is renamed has no forgotten reader.

use std::path::{Path, PathBuf};

use wakewright_records::boat::{FieldKind, all_fields};

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap().flatten() {
        let path = entry.path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|end| end == "rs") {
            found.push(path);
        }
    }
}

/// What ships of a file: without the tests at its end.
fn shipped(text: &str) -> &str {
    text.split_once("#[cfg(test)]\nmod tests").map_or(text, |(before, _)| before)
}

#[test]
fn no_address_is_written_out() {
    let keys: Vec<String> = all_fields().map(|field| format!("\"{}\"", field.key)).collect();
    let mut written = Vec::new();
    for crate_folder in std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/..")).unwrap().flatten() {
        let mut files = Vec::new();
        let source = crate_folder.path().join("src");
        if source.is_dir() {
            sources(&source, &mut files);
        }
        for file in files {
            let text = std::fs::read_to_string(&file).unwrap();
            let is_code = |line: &&str| !line.trim_start().starts_with("//");
            let lines = shipped(&text).lines().filter(is_code);
            let has_key = |line: &&str| keys.iter().any(|key| line.contains(key.as_str()));
            written.extend(lines.filter(has_key).map(|line| format!("{}: {}", file.display(), line.trim())));
        }
    }
    assert!(written.is_empty(), "name these by wakewright_core::field: {written:#?}");
}

#[test]
fn choices_are_words_of_their_own_table() {
    for field in all_fields() {
        let FieldKind::Choice(choices) = field.kind else { continue };
        assert!(choices.len() > 1, "{}", field.key);
        let words: std::collections::BTreeSet<&str> = choices.iter().map(|choice| choice.word).collect();
        assert_eq!(words.len(), choices.len(), "{}: two choices of one word", field.key);
    }
}
