//! The invented boat that is built into the program, with a year of invented records and a place to dry out on. Not for: what is done with her.

use wakewright_records::dated::PLACE_KIND;
use wakewright_store::{BoatId, Record, RecordId, UnixMs};

/// Her document.
pub static DEMO_BOAT: &str = include_str!("../../../examples/sea_campion.toml");

/// Her dated records by their kinds, as they are kept.
pub static DEMO_RECORDS: [(&str, &str); 5] = [
    ("commission", include_str!("../../../examples/records/commission-2025-06-14.toml")),
    ("checkup", include_str!("../../../examples/records/checkup-2025-09-06.toml")),
    ("checkup", include_str!("../../../examples/records/checkup-2026-09-12.toml")),
    ("call", include_str!("../../../examples/records/call-2026-07-18.toml")),
    (PLACE_KIND, include_str!("../../../examples/records/dryout-renn-pier.toml")),
];

/// The same as records that stand in no store.
#[must_use]
pub fn demo_records() -> Vec<Record> {
    let record = |(at, (kind, text)): (usize, &(&str, &str))| Record {
        id: RecordId(at as i64),
        boat: BoatId(0),
        kind: (*kind).to_owned(),
        number: 1 + DEMO_RECORDS[..at].iter().filter(|earlier| earlier.0 == *kind).count() as u32,
        created: UnixMs(0),
        removed: None,
        version: 1,
        changed: UnixMs(0),
        text: (*text).to_owned(),
    };
    DEMO_RECORDS.iter().enumerate().map(record).collect()
}
