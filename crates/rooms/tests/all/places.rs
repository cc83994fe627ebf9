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
    of_shop(room, Ok(shop_places), replies)
}

fn of_shop(room: &str, shop_places: Result<Vec<Record>, String>, replies: &[(&str, &str)]) -> String {
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

/// A store whose places cannot be read is not one without places.
#[test]
fn places_that_cannot_be_read_are_said() {
    let unread = |replies: &[(&str, &str)]| of_shop("tide", Err("the file is no store".to_owned()), replies);
    let missed = unread(&[("place", "Creek quay at the steps")]);
    assert!(missed.contains("could not be read (the file is no store)"), "{missed}");
    let station = unread(&[("place", "Boston"), ("day", "2026-10-02")]);
    assert!(
        station.contains("high water at 03:50") && station.contains("none of them was looked at"),
        "{station}"
    );
}

/// She lies on her keel's foot and her bilge where nothing holds her: an opening low down fills, a high one does not.
#[test]
fn she_fills_before_she_floats() {
    let dry = |more: &[(&str, &str)]| {
        said(
            "dryout",
            vec![creek(&[("said.ground", "0.9 m ± 0.1 m")])],
            &[&[("place", "Creek quay")], more].concat(),
        )
    };
    assert!(dry(&[]).contains("cannot be told: type her lowest opening"), "{}", dry(&[]));
    let low = dry(&[("opening", "1.6 m out, 1.9 m up")]);
    assert!(
        low.contains("Lying over she fills before she floats.") && low.contains("shut and seal it"),
        "{low}"
    );
    let high = dry(&[("opening", "0.3 m out, 3.4 m up")]);
    assert!(high.contains("she lifts before water comes in"), "{high}");
    assert!(!dry(&[("opening", "1.6 m out, 1.9 m up"), ("held", "legs")]).contains("fills before"));
}

/// A landing makes the bands of the next tides narrower, and the weather of a place is learned.
#[test]
fn landings_narrow_the_bands() {
    let dry = |more: &[(&str, &str)]| {
        said(
            "dryout",
            vec![creek(&[("said.ground", "0.9 m ± 0.3 m")])],
            &[&[("place", "Creek quay"), ("day", "2026-09-20")], more].concat(),
        )
    };
    let (plain, landed) =
        (dry(&[]), dry(&[("touched", "2026-09-19 08:40 with 1.70 m; 2026-09-18 08:15 with 1.70 m")]));
    println!("{plain}\n{landed}");
    let within = |text: &str| -> f64 {
        let (_, rest) = text.split_once("touches at ").unwrap();
        rest.split_once("± ").unwrap().1.split_whitespace().next().unwrap().parse().unwrap()
    };
    assert!(within(&landed) < within(&plain), "{plain} {landed}");
    assert!(landed.contains("Weather there, one sigma with these landings"), "{landed}");
}
