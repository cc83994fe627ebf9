//! What her records say over the years, put together for the study. Not for: changing them.

use jiff::civil::Date;
use wakewright_core::upkeep::{CHECKLIST, Found, Listed, Look, Tested};
use wakewright_records::checkup::{CHECKUP_KIND, CheckupReading, fitted, read_checkup};

use wakewright_records::dated::DatedDocument;
use wakewright_store::Record;

use crate::boats::Loaded;

/// What was kept.
#[derive(Debug)]
pub(crate) struct History {
    /// Check-ups with a day.
    pub checkups: usize,
    /// Her list, with the last look at each item.
    pub list: Vec<Listed>,
    /// Tests of the bank, by day.
    pub tests: Vec<Tested>,
    /// What could not be used, in words.
    pub unread: Vec<String>,
}

/// The check-ups of a boat among records up to a day, in the order of their days.
pub(crate) fn history(boat: &Loaded, records: &[Record], today: Date) -> History {
    let mut unread = Vec::new();
    let mut read: Vec<(Date, CheckupReading)> = Vec::new();
    for record in records.iter().filter(|record| record.kind == CHECKUP_KIND) {
        let number = record.number;
        match DatedDocument::parse(&record.text) {
            Err(why) => unread.push(format!("Check-up {number} cannot be read: {why}.")),
            Ok(document) => {
                let reading = read_checkup(&document, &boat.spec, today);
                unread.extend(reading.faults.iter().map(|fault| {
                    format!("Check-up {number}, {}: {}.", fault.address, fault.problem.trim_end_matches('.'))
                }));
                read.extend(reading.day.map(|day| (day, reading)));
            }
        }
    }
    read.sort_by_key(|(day, _)| *day);
    let has = fitted(&boat.document, &boat.spec);
    let said = |key: &str| read.iter().any(|(_, reading)| reading.items.iter().any(|at| at.item.key == key));
    // What was looked at once stays on the list, though the document says that she has no such thing.
    let items = CHECKLIST.iter().filter(|item| (item.fits)(&has) || said(item.key));
    let list = items.map(|item| {
        let mut listed = Listed { item, last: None, note: String::new(), readings: Vec::new() };
        for (day, reading) in &read {
            listed.readings.extend(reading.reading_of(item));
            let Some(at) = reading.items.iter().find(|at| at.item.key == item.key) else { continue };
            // A reading or a note without a word on it is a look as well.
            let found = at.found.unwrap_or(Found::Good);
            if found != Found::NotLookedAt {
                listed.last = Some(Look { day: *day, found });
                listed.note.clone_from(&at.note);
            }
        }
        listed
    });
    let list = list.collect();
    let tests = read.iter().filter_map(|(day, reading)| {
        let test = reading.test.as_ref()?;
        Some(Tested { day: *day, of: test.of.clone(), capacity: test.capacity })
    });
    History { checkups: read.len(), list, tests: tests.collect(), unread }
}
