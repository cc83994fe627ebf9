//! Any text must be read as a boat document, changed and looked at without a panic, whatever stands in
//! it: 300 inputs for each reader; `scripts/attack` makes it 100,000 each.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use proptest::prelude::*;
use wakewright_records::boat::{BoatDocument, build_spec, render_faults, split_marks, text_of_bytes};

const BOAT: &str = include_str!("../../../examples/sea_campion.toml");

fn inputs() -> u32 {
    std::env::var("WAKEWRIGHT_FUZZ_INPUTS").ok().and_then(|text| text.parse().ok()).unwrap_or(300)
}

/// What every text must allow: faults that can be shown, or a document that can be asked.
fn hold(text: &str) {
    let (document, faults) = BoatDocument::parse_lenient(text);
    assert!(document.is_some() || !faults.is_empty(), "refused without a reason: {text:?}");
    let _ = render_faults(&faults, text, "boat.toml");
    let Some(document) = document else { return };
    let _ = (build_spec(&document), document.doubtful_since(None), document.alternatives());
    let (changed, _) = document.set_lenient("hull.draught", "1.200 m ± 1e9 m");
    assert!(changed.is_some());
}

/// The example with bytes changed, a piece cut out and a piece doubled.
fn spoilt() -> impl Strategy<Value = Vec<u8>> {
    let bytes = || BOAT.as_bytes()[..6000.min(BOAT.len())].to_vec();
    let changes = proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..10);
    let places = (any::<prop::sample::Index>(), any::<prop::sample::Index>(), any::<bool>());
    (changes, places).prop_map(move |(changes, (from, to, doubles))| {
        let mut text = bytes();
        for (at, byte) in changes {
            let at = at.index(text.len());
            text[at] = byte;
        }
        let (a, b) = (from.index(text.len()), to.index(text.len()));
        let piece: Vec<u8> = text[a.min(b)..a.max(b)].iter().copied().take(400).collect();
        if doubles {
            let at = a.max(b);
            text.splice(at..at, piece);
        } else {
            text.drain(a.min(b)..a.min(b) + piece.len());
        }
        text
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: inputs(), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn spoilt_documents(bytes in spoilt()) {
        hold(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn lines_of_odd_words(lines in proptest::collection::vec("(\\[{0,3}[a-z_]{0,9}\\]{0,3}|[a-z.\"\\[\\]]{0,12} ?=? ?[\"'\\[{]?[0-9a-z.,±~ \\r\"]{0,12}|#.{0,9})", 0..30)) {
        hold(&lines.join("\n"));
    }

    #[test]
    fn any_bytes_are_text_or_are_named(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
        match text_of_bytes(bytes) {
            Ok(text) => hold(&text),
            Err(why) => prop_assert!(why.len() > 20),
        }
    }

    #[test]
    fn values_of_odd_marks(text in "[~0-9.,± %+a-z-]{0,30}") {
        let _ = split_marks(&text);
        let document = BoatDocument::parse_lenient("[boat]\n").0.unwrap();
        for address in ["hull.displacement", "bank.house_load", "reduction.ratio", "pack[1].capacity"] {
            let _ = document.set_lenient(address, &text);
        }
    }
}
