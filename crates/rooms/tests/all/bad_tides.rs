//! What cannot be, asked of tide, dry-out, get home and passage: each is answered with what is wrong, where, and what to do.

use std::path::Path;

use wakewright_core::trial::StreamVector;
use wakewright_rooms::ROOMS;
use wakewright_rooms::boats::load;
use wakewright_rooms::room::{Asked, Replies};
use wakewright_rooms::shop::{Shop, TrialStream};
use wakewright_rooms::text::Paper;
use wakewright_units::UnitSystem;

const WATERS: &str = include_str!("../../../../examples/renn_sound_waters.txt");

/// What the room says: the sentence of its answer, or why there is none.
fn said(room: &str, replies: &[(&str, &str)]) -> String {
    said_of(room, replies, &Shop::default())
}

fn said_of(room: &str, replies: &[(&str, &str)], shop: &Shop) -> String {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/sea_campion.toml");
    let boat = load(&demo.to_string_lossy(), &[]).unwrap();
    let room = ROOMS.iter().find(|known| known.card().key == room).unwrap();
    let replies = match Replies::read(room.questions(), replies.iter().copied()) {
        Ok(replies) => replies,
        Err(why) => return format!("{why:?}"),
    };
    let paper = Paper::plain(UnitSystem::Trade);
    match room.answer(&Asked { replies, shop: Some(shop), ..Asked::of(&boat, 50) }, None, &paper) {
        Ok(answer) => format!("{} {}", answer.finding.sentence, answer.finding.further),
        Err(why) => why.message().to_owned(),
    }
}

/// Boston's waters of 2 October 2026 in UTC: as they are; summer time of the place taken for UTC; with a third of the rise.
const BOSTON: &str = "2026-10-02 01:38 -0.06 07:50 2.83 13:52 0.28 20:03 3.25";
const BOSTON_LOCAL: &str = "2026-10-02 03:50 2.83 09:52 0.28 16:03 3.25 22:23 0.05";
const BOSTON_OTHER: &str = "2026-10-02 01:38 -0.06 07:50 0.83 13:52 0.08 20:03 0.95";

type Row<'a> = (&'a str, String, &'a [&'a str]);

/// All that issue and trade know to go wrong, item by item: each said with the line or the field, what is wrong with it, and what to do.
#[test]
fn bad_input_item_by_item() {
    let of_table =
        |table: &str, zone: &str| said("tide", &[("place", "the creek"), ("table", table), ("zone", zone)]);
    let at_boston = |table: &str| said("tide", &[("place", "Boston"), ("table", table), ("zone", "UTC")]);
    let dry = |ground: &str, draught: &str| {
        said("dryout", &[("table", WATERS), ("zone", "UTC"), ("ground", ground), ("draught", draught)])
    };
    let passage = |route: &str, more: &[(&str, &str)]| {
        let own = [("route", route), ("leave", "08:00"), ("zone", "UTC"), ("day", "2026-10-02")];
        said("passage", &[&own, more].concat())
    };
    let many: String = (0..5000).map(|i| format!("{:.3} N 4.0 W\n", 50.0 + f64::from(i) * 0.001)).collect();
    let day_missing = "2026-10-02 01:40 0.5 07:50 2.83 14:02 0.40 20:10 2.9\n2026-10-04 03:20 0.4 09:20 2.9 15:30 0.3 21:40 2.8";
    let clocks = "2026-10-24 01:40 0.5 07:50 2.83 14:02 0.40 20:10 2.9\n2026-10-25 01:20 0.4 08:20 2.9";
    let home = |stream: &str| said("gethome", &[("miles", "3"), ("stream", stream), ("now", "22:00")]);
    let hours = |hours: &[i32]| {
        let lines: String = hours.iter().map(|hour| format!("{hour} 215 1 0.5\n")).collect();
        format!("A: springs 4 m, neaps 2 m\n{lines}")
    };
    let (gap, early) =
        (hours(&[-6, -5, -4, -3, -2, -1, 0, 3, 4, 5, 6]), hours(&[-6, -5, -4, -3, -2, -1, 0, 1, 2, 3, 4]));
    let rows: &[Row<'_>] = &[
        (
            "waters out of order",
            of_table("2026-10-02 07:50 2.83 06:02 0.40 20:10 2.9", "UTC"),
            &["line 1: this water is not later"],
        ),
        (
            "low above high",
            of_table("2026-10-02 LW 07:50 2.83 HW 14:02 0.40 LW 20:10 2.2", "UTC"),
            &["line 1"],
        ),
        ("a day missing", of_table(day_missing, "UTC"), &["line 2: 31 h", "a day is missing"]),
        (
            "a clock change inside the table",
            of_table(clocks, "Europe/London"),
            &["line 2", "the clocks change", "UTC"],
        ),
        ("a ground that never dries", dry("-3 m", "1.7 m"), &["never takes the ground there"]),
        ("one that never covers", dry("6 m", "1.7 m"), &["never floats on there", "7.70 m"]),
        (
            "a draught deeper than spring high water",
            dry("3 m", "2.1 m"),
            &["she needs 5.10 m, and the highest water has 4.66 m"],
        ),
        (
            "a draught in the unit of another",
            dry("1 m", "1.48 ft"),
            &["draught 0.45 m as typed, and 1.70 m in her document", "the unit"],
        ),
        (
            "a landing that contradicts the ground",
            said(
                "dryout",
                &[
                    ("table", WATERS),
                    ("zone", "UTC"),
                    ("ground", "0.2 m ± 0.05 m"),
                    ("touched", "2026-09-21 08:10 with 1.48 m"),
                ],
            ),
            &["the landing of 2026-09-21 08:10", "2.90 m, and 0.20 m was typed", "its zone"],
        ),
        (
            "hours that end as they begin",
            said(
                "dryout",
                &[
                    ("table", WATERS),
                    ("zone", "UTC"),
                    ("ground", "2.2 m"),
                    ("from", "08:00"),
                    ("to", "08:00"),
                ],
            ),
            &["begin and end at the same time", "leave both out"],
        ),
        ("a route of one point", passage("55.90 N 7.40 W Renn pier", &[]), &["two points"]),
        ("of 5,000 points", passage(&many, &[]), &["5000 points", "keep the points"]),
        (
            "over the antimeridian: 7.4 nm at 2 kn",
            passage("52.0 N 179.9 E a\n52.0 N 179.9 W b", &[]),
            &["at b by 11:4"],
        ),
        (
            "a stream faster than she can go",
            passage("3 nm to a; stream 9 kn against until 09:40, 1 kn with", &[]),
            &["cannot stem the stream", "before 09:40"],
        ),
        (
            "the same on the way home",
            home("9 kn against until 23:40, 1 kn with"),
            &["cannot stem it before 23:40"],
        ),
        (
            "a charge below the reserve",
            said("gethome", &[("miles", "1"), ("charge", "20 %"), ("now", "22:00")]),
            &["No: 20 % is below the reserve of 25 % already", "she is home"],
        ),
        (
            "a stream table with a gap",
            passage("3 nm 80 to a; stream A", &[("streams", &gap), ("port", "Boston")]),
            &["table A tells nothing between +0 and +3 hours", "every hour"],
        ),
        (
            "one that ends early",
            passage("3 nm 80 to a; stream A", &[("streams", &early), ("port", "Boston")]),
            &["table A tells nothing between +4 and +6 hours"],
        ),
        ("without an end", home("9 kn against"), &["cannot stem this stream", "until 23:40"]),
        (
            "an arrival window before departure",
            passage("3 nm to a", &[("arrive", "by 2026-10-02 07:00")]),
            &["arrive", "the window closes before she leaves"],
        ),
        (
            "a year outside the nodal formulas",
            said("tide", &[("place", "Boston"), ("day", "2150-01-01")]),
            &["outside 1900 to 2100"],
        ),
        (
            "of a stream too",
            said("tide", &[("place", "at noaa/FPI0901"), ("day", "2150-01-01")]),
            &["outside 1900 to 2100"],
        ),
        ("a place without zone", said("tide", &[("place", "the creek"), ("table", WATERS)]), &["zone UTC"]),
        (
            "a zone that is none",
            of_table(WATERS, "Europe/Atlantis"),
            &["the time zone Europe/Atlantis is not known", "UTC"],
        ),
        (
            "a datum left out",
            said("dryout", &[("place", "ticon/brest-822-fra-uhslc_fd"), ("ground", "1 m")]),
            &["Cannot tell", "datum-offset"],
        ),
        ("as it is", at_boston(BOSTON), &["high water at 07:50"]),
        (
            "local time taken for UTC",
            at_boston(BOSTON_LOCAL),
            &["before those that the constants of Boston give", "local time taken for UTC", "(zone)"],
        ),
        ("a table of another place", at_boston(BOSTON_OTHER), &["rise 0.8 m", "another place or year"]),
        (
            "or of another year",
            said(
                "tide",
                &[("place", "the creek"), ("table", WATERS), ("zone", "UTC"), ("day", "2027-10-02")],
            ),
            &["2027-10-02 is not in it", "another year"],
        ),
    ];
    for (what, text, parts) in rows {
        for part in *parts {
            assert!(text.contains(part), "{what}: {part:?} is not in {text:?}");
        }
    }
}

/// The stream of a station as `tide` shows it: official figures of 30 August 2026 (`reference/tide/noaa_tides_currents.csv`): flood of 3.14
/// kn at 00:56, slack at 04:05, ebb of 3.51 kn at 06:51, all UTC; a bin that is not held, and a depth that is not told.
#[test]
fn the_stream_of_a_station() {
    let at = |place: &str| {
        said("tide", &[("place", place), ("day", "2026-08-30"), ("days", "1"), ("zone", "UTC")])
    };
    let told = at("at noaa/FPI0901@9");
    for part in ["flood of 3.1 kn at 00:5", "slack at 04:0", "ebb of 3.5 kn at 06:5", "setting to"] {
        assert!(told.contains(part), "{part}: {told}");
    }
    assert_eq!(at("noaa/FPI0901"), told, "a key needs no word before it");
    assert!(at("at noaa/EPT0003@4").contains("not bin 4"));
    assert!(at("at noaa/EPT0003 depth deep").contains("depth 14 ft"));
    assert!(at("at the Gull Rock").contains("no station"));
}

/// What the way home makes of streams by constants and tables, and what is missing.
#[test]
fn streams_of_the_way_home() {
    let home = |more: &[(&str, &str)]| said("gethome", &[&[("miles", "5"), ("now", "18:00")], more].concat());
    let at = |stream| home(&[("stream", stream), ("course", "245"), ("day", "2026-10-02")]);
    assert!(home(&[("stream", "at noaa/FPI0901")]).contains("give the course home"));
    assert!(at("at noaa/FPI0901").contains("she is home"), "{}", at("at noaa/FPI0901"));
    assert!(at("at noaa/EPT0003 depth deep").contains("depth 14 ft"));
    assert!(at("at noaa/FPI0901@3").contains("bin 3"));
    let hours: String = (-6..=6).map(|hour| format!("{hour} 245 2 1\n")).collect();
    let table = format!("A: springs 3 m, neaps 1 m\n{hours}");
    let by_table = |stream: &str, port: &[(&str, &str)]| {
        home(
            &[
                &[("stream", stream), ("streams", table.as_str()), ("course", "245"), ("day", "2026-10-02")],
                port,
            ]
            .concat(),
        )
    };
    assert!(by_table("A", &[]).contains("standard port"));
    assert!(by_table("B", &[("port", "Boston")]).contains("names none of the stream tables (A)"));
    let home = by_table("A", &[("port", "Boston")]);
    assert!(home.contains("she is home"), "{home}");
}

/// A window that is past when she leaves is no window of the day after.
#[test]
fn an_hour_of_arrival_before_leaving() {
    let route = ("route", "from Renn pier\n4 nm 245 to Gull Skerry");
    let of =
        |arrive| said("passage", &[route, ("leave", "10:00"), ("day", "2026-10-02"), ("arrive", arrive)]);
    let past = of("by 09:00");
    assert!(past.contains("that hour is past") && past.contains("by 2026-10-03 09:00"), "{past}");
    assert!(!of("by 2026-10-03 01:00").contains("past"), "{}", of("by 2026-10-03 01:00"));
    assert!(of("08:00-09:00").contains("that hour is past"), "{}", of("08:00-09:00"));
}

/// The port's own curve for springs and neaps: what is missing of it.
#[test]
fn curves() {
    let of =
        |curve| said("tide", &[("place", "the creek"), ("table", WATERS), ("zone", "UTC"), ("curve", curve)]);
    let half = "springs 3.9 m -6:0 -3:0.55 0:1 3:0.6 6:0";
    assert!(of(half).contains("springs and neaps"), "{}", of(half));
    let both = format!("{half}; neaps 1.9 m -6:0 -3:0.5 0:1 3:0.5 6:0");
    assert!(of(&both).contains("high water"), "{}", of(&both));
    assert!(of(&both.replace("3.9", "1.2")).contains("larger mean range"));
}

#[test]
fn streams_by_constants() {
    let passage =
        |route: &str| said("passage", &[("route", route), ("leave", "08:00"), ("day", "2026-10-02")]);
    assert!(passage("3 nm 80 to a; stream at noaa/FPI0901@9").contains("at a by"));
    let other_bin = passage("3 nm 80 to a; stream at noaa/EPT0003@4");
    assert!(
        other_bin.contains("leg 1") && other_bin.contains("not bin 4") && other_bin.contains("official page"),
        "{other_bin}"
    );
    assert!(passage("3 nm to a; stream at noaa/FPI0901").contains("has no course"));
    let unknown = passage("3 nm 80 to a; stream at the Gull Rock");
    assert!(unknown.contains("leg 1: no station"), "{unknown}");
}

/// Streams as found: by the hour of a table of one tide, and by a trial of hers; what neither tells is no slack water.
#[test]
fn streams_as_found() {
    // High water at 05:48 and 18:10 of 18 September; the trial ran from an hour after the evening's on.
    let waters = [("table", WATERS), ("zone", "UTC"), ("port", "Renn Sound"), ("day", "2026-09-18")];
    let evening_s = 1_789_755_000.0;
    let trial = |number, from_to_s, speed_m_s: f64| TrialStream {
        number,
        from_to_s,
        found: (speed_m_s > 0.0).then_some((StreamVector { speed_m_s, towards_rad: 3.8 }, 0.2)),
    };
    let runs = Some((evening_s + 3600.0, evening_s + 7200.0));
    let shop = Shop {
        streams: vec![trial(3, runs, 0.9), trial(4, None, 0.9), trial(5, runs, 0.0)],
        ..Shop::default()
    };
    let passage = |stream: &str, leave: &str, more: &[(&str, &str)]| {
        let route = format!("3 nm 218 to a; stream {stream}");
        let own = [("route", route.as_str()), ("leave", leave)];
        said_of("passage", &[&own, &waters[..], more].concat(), &shop)
    };
    let as_trial = passage("as trial 3", "06:30", &[]);
    assert!(as_trial.contains("at a by"), "{as_trial}");
    let later = passage("as trial 3", "10:00", &[]);
    assert!(later.contains("some hours of the tide alone") && later.contains("at 10:00"), "{later}");
    assert!(passage("as trial 4", "06:30", &[]).contains("does not tell the day"));
    assert!(passage("as trial 5", "06:30", &[]).contains("share no stream"));
    assert!(passage("as trial 6", "06:30", &[]).contains("no such trial"));
    let found = ("streams", "T: found at 3.97 m, ± 0.3 kn, ± 30 min\n+1 218 1.75\n+2 218 1.75");
    assert!(passage("T", "06:30", &[found]).contains("at a by"), "{}", passage("T", "06:30", &[found]));
    assert!(passage("T", "06:30", &[("streams", "T: found at 4 m\n+1 218")]).contains("one rate"));
    assert!(passage("T", "06:30", &[("streams", "T: found at 4 m, ± far\n+1 218 1")]).contains("line 1"));
    let home = |stream: &str, now: &str| {
        let own = [("miles", "3"), ("course", "218"), ("now", now), ("stream", stream)];
        said_of("gethome", &[&own, &waters[..]].concat(), &shop)
    };
    assert!(home("as trial 3", "07:00").contains("she is home"), "{}", home("as trial 3", "07:00"));
    assert!(home("as trial 3", "11:00").contains("for none at 11:00"), "{}", home("as trial 3", "11:00"));
}
