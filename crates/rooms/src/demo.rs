//! The invented boat that is built into the program, with a year of invented check-ups. Not for: what is done with her.

use wakewright_records::checkup::CHECKUP_KIND;
use wakewright_store::{BoatId, Record, RecordId, UnixMs};

/// Her document.
pub static DEMO_BOAT: &str = include_str!("../../../examples/sea_campion.toml");

/// Her check-ups, as they are kept.
pub static DEMO_CHECKUPS: [&str; 2] = [
    include_str!("../../../examples/checkups/2025-09-06.toml"),
    include_str!("../../../examples/checkups/2026-09-12.toml"),
];

/// The same as records that stand in no store.
#[must_use]
pub fn demo_records() -> Vec<Record> {
    let numbered = DEMO_CHECKUPS.iter().zip(1..);
    let record = |(text, number): (&&str, u32)| Record {
        id: RecordId(i64::from(number)),
        boat: BoatId(0),
        kind: CHECKUP_KIND.to_owned(),
        number,
        created: UnixMs(0),
        removed: None,
        version: 1,
        changed: UnixMs(0),
        text: (*text).to_owned(),
    };
    numbered.map(record).collect()
}
