//! Places as they are kept: found by name by every boat, what is typed goes before what is kept.

use wakewright_records::dated::{DatedDocument, PLACE_KIND};
use wakewright_rooms::ROOMS;
use wakewright_rooms::boats::{Loaded, understand};
use wakewright_rooms::demo::DEMO_BOAT;
use wakewright_rooms::room::{Asked, Replies};
use wakewright_rooms::sheets::answer_text;
use wakewright_rooms::text::Paper;
use wakewright_store::{BoatId, Record, RecordId, UnixMs};
use wakewright_units::UnitSystem;

const WATERS: &str = include_str!("../../../../examples/renn_sound_waters.txt");

fn place(number: i64, entries: &[(&str, &str)]) -> Record {
    let mut document = DatedDocument::default();
    for (address, text) in entries {
        document.set(address, text).unwrap();
    }
    Record {
        id: RecordId(number),
        boat: BoatId(number),
        kind: PLACE_KIND.to_owned(),
        number: 1,
        created: UnixMs(1),
        removed: None,
        version: 1,
        changed: UnixMs(1),
        text: document.to_toml(),
    }
}

fn said(room: &str, shop_places: Vec<Record>, replies: &[(&str, &str)]) -> String {
    let boat = Loaded { shop_places, ..understand(DEMO_BOAT, "Sea Campion", &[]).unwrap() };
    let room = ROOMS.iter().find(|known| known.card().key == room).unwrap();
    let replies = Replies::read(room.questions(), replies.iter().copied()).unwrap();
    let paper = Paper::plain(UnitSystem::Trade);
    let answer = room.answer(&Asked { replies, ..Asked::of(&boat, 50) }, None, &paper);
    let text = answer.map_or_else(|no| no.message().to_owned(), |answer| answer_text(&answer, &paper));
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn creek(more: &[(&str, &str)]) -> Record {
    let own = [
        ("name", "Creek quay"),
        ("said.table", WATERS),
        ("said.zone", "UTC"),
        ("said.allowed", "the warden"),
    ];
    place(1, &[&own[..], more].concat())
}

#[test]
fn a_kept_place_is_found_by_name() {
    let ground = [("said.ground", "0.9 m ± 0.1 m"), ("said.bottom", "soft")];
    let text = said("dryout", vec![creek(&ground)], &[("place", "creek  QUAY")]);
    assert!(text.contains("ground 0.90 m ± 0.10 m (as typed)"), "{text}");
    assert!(text.contains("allowed by the warden") && text.contains("The ground is soft"), "{text}");
    let typed = said("dryout", vec![creek(&ground)], &[("place", "Creek quay"), ("ground", "1.1 m ± 0.2 m")]);
    assert!(typed.contains("ground 1.10 m ± 0.20 m"), "{typed}");
    assert!(said("tide", vec![creek(&ground)], &[("place", "Creek quay")]).starts_with("Creek quay, by"));
}

#[test]
fn what_cannot_be_used_of_it_is_said() {
    let twice = said("dryout", vec![creek(&[]), creek(&[])], &[("place", "Creek quay")]);
    assert!(twice.contains("2 places are kept under the name"), "{twice}");
    let wrong = [("said.ground", "high"), ("said.touched", "2026-10-04 10:42"), ("said.held", "rope")];
    let wrong = said("dryout", vec![creek(&wrong)], &[("place", "Creek quay")]);
    for part in ["ground:", "touched: say with what draught", "held: write one of wall"] {
        assert!(wrong.contains(part), "{part}: {wrong}");
    }
}
