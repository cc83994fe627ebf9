//! Papers against the rooms that they were made from. One binary, so that it is linked once.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

#[cfg(feature = "pdf")]
mod pdf;
mod pocket;
mod report;

use wakewright_papers::{Reader, Record, Report};
use wakewright_rooms::ROOMS;
use wakewright_rooms::boats::{Loaded, understand};
use wakewright_rooms::demo::DEMO_BOAT;
use wakewright_rooms::text::Paper;
use wakewright_units::UnitSystem;

fn demo() -> Loaded {
    understand(DEMO_BOAT, "demo", &[]).unwrap()
}

fn report_of(boat: Loaded, reader: Reader, units: UnitSystem) -> String {
    Report::of(&ROOMS, &Record::of_file(boat), reader, &Paper::plain(units)).to_html()
}

/// Text between `from` and `to` behind the place of `start`.
fn between<'t>(text: &'t str, start: &str, from: &str, to: &str) -> Option<&'t str> {
    let behind = text.split_once(start)?.1.split_once(from)?.1;
    Some(behind.split_once(to)?.0)
}
