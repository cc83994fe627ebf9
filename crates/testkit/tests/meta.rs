//! Rules that the whole tree keeps: every cited source is listed once, every reference table has its
//! head and a test that reads it, nothing speaks of one machine.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn files(folder: &Path, extensions: &[&str], found: &mut Vec<PathBuf>) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_dir() {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            if !matches!(name.as_str(), "target" | "node_modules" | ".venv" | "screenshots") {
                files(&path, extensions, found);
            }
        } else if path.extension().is_some_and(|e| extensions.iter().any(|x| e == *x)) {
            found.push(path);
        }
    }
}

/// Keys of SOURCES.toml with how often each heading stands there.
fn source_keys() -> BTreeMap<String, usize> {
    let text = std::fs::read_to_string(root().join("SOURCES.toml")).unwrap();
    let mut keys = BTreeMap::new();
    for line in text.lines() {
        if let Some(key) = line.strip_prefix('[').and_then(|rest| rest.strip_suffix(']')) {
            *keys.entry(key.to_owned()).or_insert(0) += 1;
        }
    }
    keys
}

#[test]
fn every_source_stands_once() {
    let twice: Vec<_> = source_keys().into_iter().filter(|(_, count)| *count > 1).collect();
    assert!(twice.is_empty(), "{twice:?}");
}

/// A key in escaped brackets in a document comment must be in the list.
#[test]
fn every_cited_key_is_listed() {
    let keys = source_keys();
    let mut sources = Vec::new();
    files(&root().join("crates"), &["rs"], &mut sources);
    let mut unknown = BTreeSet::new();
    for path in sources {
        let text = std::fs::read_to_string(&path).unwrap();
        for piece in text.split("\\[").skip(1) {
            let Some((key, _)) = piece.split_once("\\]") else { continue };
            let looks_like_key =
                key.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
                    && key.chars().filter(char::is_ascii_digit).count() >= 3
                    && key.starts_with(|c: char| c.is_ascii_lowercase());
            if looks_like_key && !keys.contains_key(key) {
                unknown.insert(format!("{key} in {}", path.display()));
            }
        }
    }
    assert!(unknown.is_empty(), "not in SOURCES.toml: {unknown:#?}");
}

#[test]
fn every_reference_table_has_a_head_and_a_test() {
    let reference = root().join("reference");
    let mut tables = Vec::new();
    files(&reference, &["csv"], &mut tables);
    let mut tests = Vec::new();
    files(&root().join("crates"), &["rs"], &mut tests);
    let code: String = tests
        .iter()
        .filter(|path| path.to_string_lossy().contains("/tests/") || path.to_string_lossy().contains("/src/"))
        .map(|path| std::fs::read_to_string(path).unwrap())
        .collect();
    assert!(!tables.is_empty());
    for table in tables {
        let text = std::fs::read_to_string(&table).unwrap();
        assert!(text.starts_with('#'), "{}: no provenance head", table.display());
        let stem = table.file_stem().unwrap().to_string_lossy().into_owned();
        assert!(code.contains(&stem), "{}: no test reads it", table.display());
    }
}

#[test]
fn nothing_speaks_of_one_machine() {
    let mut all = Vec::new();
    files(&root(), &["rs", "md", "toml", "js", "mjs", "css", "sh", "py", "json", "csv"], &mut all);
    let words = [concat!("/wo", "rk/"), concat!("/tm", "p/"), concat!("/ro", "ot/")];
    for path in all {
        let text = std::fs::read_to_string(&path).unwrap_or_default();
        for word in words {
            assert!(!text.contains(word), "{} holds {word}", path.display());
        }
    }
}
