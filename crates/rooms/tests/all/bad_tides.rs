//! What cannot be, asked of tide, dry-out, get home and passage: each is answered with what is wrong, where, and what to do.

use std::path::Path;

use wakewright_rooms::ROOMS;
use wakewright_rooms::boats::load;
use wakewright_rooms::room::{Asked, Replies};
use wakewright_rooms::text::Paper;
use wakewright_units::UnitSystem;

const WATERS: &str = include_str!("../../../../examples/renn_sound_waters.txt");

/// What the room says: the sentence of its answer, or why there is none.
fn said(room: &str, replies: &[(&str, &str)]) -> String {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/sea_campion.toml");
    let boat = load(&demo.to_string_lossy(), &[]).unwrap();
    let room = ROOMS.iter().find(|known| known.card().key == room).unwrap();
    let replies = match Replies::read(room.questions(), replies.iter().copied()) {
        Ok(replies) => replies,
        Err(why) => return format!("{why:?}"),
    };
    let paper = Paper::plain(UnitSystem::Trade);
    match room.answer(&Asked { replies, ..Asked::of(&boat, 50) }, None, &paper) {
        Ok(answer) => answer.finding.sentence,
        Err(why) => why.message().to_owned(),
    }
}

fn of_table(table: &str, zone: &str) -> String {
    said("tide", &[("place", "the creek"), ("table", table), ("zone", zone)])
}

#[test]
fn tables_of_waters() {
    let out_of_order = of_table("2026-10-02 07:50 2.83 06:02 0.40 20:10 2.9", "UTC");
    assert!(out_of_order.contains("line 1: this water is not later"), "{out_of_order}");
    let low_above = of_table("2026-10-02 LW 07:50 2.83 HW 14:02 0.40 LW 20:10 2.2", "UTC");
    assert!(low_above.contains("line 1"), "{low_above}");
    let missing = of_table(
        "2026-10-02 01:40 0.5 07:50 2.83 14:02 0.40 20:10 2.9\n2026-10-04 03:20 0.4 09:20 2.9 15:30 0.3 21:40 2.8",
        "UTC",
    );
    assert!(missing.contains("line 2: 31 h") && missing.contains("a day is missing"), "{missing}");
    let clocks = of_table(
        "2026-10-24 01:40 0.5 07:50 2.83 14:02 0.40 20:10 2.9\n2026-10-25 01:20 0.4 08:20 2.9",
        "Europe/London",
    );
    assert!(
        clocks.contains("line 2") && clocks.contains("the clocks change") && clocks.contains("UTC"),
        "{clocks}"
    );
    let no_zone = said("tide", &[("place", "the creek"), ("table", WATERS)]);
    assert!(no_zone.contains("zone UTC"), "{no_zone}");
    let other_year =
        said("tide", &[("place", "the creek"), ("table", WATERS), ("zone", "UTC"), ("day", "2027-10-02")]);
    assert!(
        other_year.contains("2027-10-02 is not in it") && other_year.contains("another year"),
        "{other_year}"
    );
    let outside = said("tide", &[("place", "Boston"), ("day", "2150-01-01")]);
    assert!(outside.contains("outside 1900 to 2100"), "{outside}");
}

/// Boston's waters of 2 October 2026 in UTC: as they are; summer time of the place taken for UTC; with a third of the rise.
#[test]
fn tables_of_another_time_or_place() {
    let at_boston = |table: &str| said("tide", &[("place", "Boston"), ("table", table), ("zone", "UTC")]);
    let own = at_boston("2026-10-02 01:38 -0.06 07:50 2.83 13:52 0.28 20:03 3.25");
    assert!(own.contains("high water at 07:50"), "{own}");
    let local_time = at_boston("2026-10-02 03:50 2.83 09:52 0.28 16:03 3.25 22:23 0.05");
    assert!(local_time.contains("before those that the constants of Boston give"), "{local_time}");
    assert!(local_time.contains("local time taken for UTC"), "{local_time}");
    let other = at_boston("2026-10-02 01:38 -0.06 07:50 0.83 13:52 0.08 20:03 0.95");
    assert!(other.contains("rise 0.8 m") && other.contains("another place or year"), "{other}");
}

#[test]
fn grounds() {
    let dry = |ground: &str, draught: &str| {
        said("dryout", &[("table", WATERS), ("zone", "UTC"), ("ground", ground), ("draught", draught)])
    };
    let never_dries = dry("-3 m", "1.7 m");
    assert!(never_dries.contains("never takes the ground there"), "{never_dries}");
    let never_covers = dry("6 m", "1.7 m");
    assert!(
        never_covers.contains("never floats on there") && never_covers.contains("7.70 m"),
        "{never_covers}"
    );
    let too_deep = dry("1 m", "4.9 m");
    assert!(too_deep.contains("she needs 5.90 m, and the highest water has 4.66 m"), "{too_deep}");
    let no_datum = said("dryout", &[("place", "ticon/brest-822-fra-uhslc_fd"), ("ground", "1 m")]);
    assert!(no_datum.contains("Cannot tell") && no_datum.contains("datum-offset"), "{no_datum}");
}

#[test]
fn routes() {
    let passage = |route: &str, more: &[(&str, &str)]| {
        said(
            "passage",
            &[&[("route", route), ("leave", "08:00"), ("zone", "UTC"), ("day", "2026-10-02")], more].concat(),
        )
    };
    assert!(passage("55.90 N 7.40 W Renn pier", &[]).contains("two points"));
    let many = (0..5000)
        .map(|i| format!("{:.3} N 4.0 W", 50.0 + f64::from(i) * 0.001))
        .collect::<Vec<_>>()
        .join("\n");
    assert!(passage(&many, &[]).contains("5000 points"));
    let over = passage("52.0 N 179.9 E a\n52.0 N 179.9 W b", &[]);
    assert!(over.contains("at b by 11:4"), "7.4 nm at 2 kn: {over}");
    let held = passage("3 nm to a; stream 9 kn against until 09:40, 1 kn with", &[]);
    assert!(held.contains("cannot stem the stream") && held.contains("before 09:40"), "{held}");
    let closed = passage("3 nm to a", &[("arrive", "by 2026-10-02 07:00")]);
    assert!(closed.contains("the window closes before she leaves"), "{closed}");
    let home = said("gethome", &[("miles", "3"), ("stream", "9 kn against"), ("now", "22:00")]);
    assert!(home.contains("cannot stem this stream"), "{home}");
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
