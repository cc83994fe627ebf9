//! What tide, drying out, the way home and a passage cost, and the numbers with which other programs compute the same year and the same
//! passage: one JSON object on standard output. Not for: users.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::disallowed_types,
    reason = "a measurement may stop, prints, and needs a clock"
)]

use std::time::Instant;

use serde_json::{Value, json};
use wakewright_core::passage::{Aboard, Course, Flow, Grid, Leg, PowerRow, PowerTable, Stream};
use wakewright_rooms::ROOMS;
use wakewright_rooms::boats::understand;
use wakewright_rooms::demo::DEMO_BOAT;
use wakewright_rooms::room::{Asked, Replies};
use wakewright_rooms::text::Paper;
use wakewright_rooms::tide::station::stations;
use wakewright_units::UnitSystem;
use wakewright_units::factors::{DAY_S, HOUR_S, KNOT_M_S, NAUTICAL_MILE_M};

const REPEATS: usize = 7;
const WATERS: &str = include_str!("../../../examples/renn_sound_waters.txt");
const STREAMS: &str = include_str!("../../../examples/renn_sound_streams.txt");
const ROUTE: &str = include_str!("../../../examples/renn_sound_to_port_aldis.gpx");
/// 1 January 2026.
const YEAR_S: f64 = 1_767_225_600.0;

/// Median seconds of some runs.
fn median_s(mut run: impl FnMut()) -> f64 {
    let mut times: Vec<f64> = (0..REPEATS)
        .map(|_| {
            let begin = Instant::now();
            run();
            begin.elapsed().as_secs_f64()
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[REPEATS / 2]
}

/// A room asked as its command is, with so many samples.
fn room_s(key: &str, samples: usize, replies: &[(&str, &str)]) -> f64 {
    let boat = understand(DEMO_BOAT, "demo", &[]).unwrap();
    let room = ROOMS.iter().find(|room| room.card().key == key).unwrap();
    let replies = Replies::read(room.questions(), replies.iter().copied()).unwrap();
    let paper = Paper::plain(UnitSystem::Trade);
    let asked = Asked { replies, ..Asked::of(&boat, samples) };
    median_s(|| {
        room.answer(&asked, None, &paper).unwrap();
    })
}

/// High and low waters of a year, and what another program needs for the same.
fn year() -> Value {
    let set = stations().unwrap();
    let boston = set.by_name("Boston", 6)[0].1;
    let tide = set.tide(boston).unwrap();
    let last_s = YEAR_S + 365.0 * DAY_S;
    let seconds = median_s(|| {
        tide.waters(YEAR_S, last_s).unwrap();
    });
    let waters = tide.waters(YEAR_S, last_s).unwrap();
    let hourly: Vec<f64> =
        tide.port.heights(YEAR_S, last_s, HOUR_S).unwrap().iter().map(|(_, height)| *height).collect();
    json!({
        "station": boston.id, "seconds": seconds, "latitude_deg": boston.place.latitude_rad.to_degrees(),
        "hourly_m": hourly,
        "waters": waters.iter().map(|water| (water.unix_s, water.height_m)).collect::<Vec<_>>(),
    })
}

/// A way of 40 nm in 1,000 pieces by 200 instants, once backwards; power a cube, the stream a tide.
fn programme() -> Value {
    const GRID: Grid = Grid { is_close: false, pieces: 1000, instants: 200, speeds: 24 };
    const HOURS: f64 = 9.0;
    let flow = |at_s: f64| Flow {
        along_m_s: 1.2 * KNOT_M_S * (at_s / (12.42 * HOUR_S) * std::f64::consts::TAU).sin(),
        across_m_s: 0.0,
    };
    let stream = Stream::sampled((0.0, 20.0 * HOUR_S), 300.0, flow);
    let legs = [Leg { distance_m: 40.0 * NAUTICAL_MILE_M, stream, sail: None, table: 0, stop: None }];
    let power_w = (0..160).map(|i| 25.0 * (0.1 + f64::from(i) * 0.05_f64).powi(3)).collect();
    let rows = vec![PowerRow { share: 1.0, power_w, fastest_m_s: 8.0 * KNOT_M_S }];
    let tables = [PowerTable { first_m_s: 0.1 * KNOT_M_S, step_m_s: 0.05 * KNOT_M_S, rows }];
    let aboard = Aboard::new(&[60.0; 24], &[0.0; 24], 0.0);
    let course = Course {
        legs: &legs,
        tables: &tables,
        aboard: &aboard,
        leaves_s: 0.0,
        window_s: (None, Some(HOURS * HOUR_S)),
        slowest_m_s: 2.0 * KNOT_M_S,
    };
    let pieces = course.pieces(GRID);
    let shares = vec![1.0; pieces.len() + 1];
    let gains = vec![Vec::new(); pieces.len()];
    let (spans, _) = course.spans_s(&pieces, &shares).unwrap();
    let policy = || course.policy(&pieces, &shares, &gains, &spans, GRID);
    let seconds = median_s(|| {
        policy();
    });
    json!({
        "seconds": seconds, "energy_j": policy().to_go_j(0, 0.0), "hours": HOURS, "pieces": pieces.len(), "instants": GRID.instants,
        "speeds": GRID.speeds, "spans_s": spans,
    })
}

fn main() {
    let water = [("zone", "UTC"), ("table", WATERS)];
    let dryout = [&water[..], &[("ground", "2.20 m ± 0.10 m"), ("draught", "1.72 m")]].concat();
    let home = [("miles", "9"), ("stream", "2 kn against until 00:30"), ("charge", "61 %"), ("now", "22:00")];
    let by_table = [("leg", "all: stream A"), ("streams", STREAMS), ("port", "Renn Sound"), ("route", ROUTE)];
    let leaves = [("day", "2026-09-18"), ("leave", "08:00"), ("arrive", "by 14:00")];
    let passage = [&water[..], &by_table, &leaves].concat();
    let at_boston = [("place", "Boston"), ("day", "2026-10-01"), ("ground", "1.2 m"), ("draught", "1.5 m")];
    let figures = json!({
        "year": year(),
        "programme": programme(),
        "dryout_table_s": room_s("dryout", 50, &dryout),
        "dryout_constants_s": room_s("dryout", 50, &at_boston),
        "gethome_2000_s": room_s("gethome", 2000, &home),
        "passage_500_with_fortnight_s": room_s("passage", 500, &passage),
        "passage_quick_s": room_s("passage", 50, &passage),
    });
    println!("{figures}");
}
