//! A check-up while it is entered: begun, written entry by entry, so that two devices can write at once. Nothing typed is
//! lost: what another wrote into the same entry meanwhile goes into the note. Not for: how it is shown.

use jiff::civil::Date;
use wakewright_records::checkup::{CHECKUP_KIND, CheckupDocument, CheckupReading, read_checkup};
use wakewright_store::{BoatId, Record, RecordSave, Store, StoreError, UnixMs};

use crate::boats::Loaded;

/// A check-up with what it says.
#[derive(Debug)]
pub struct KeptCheckup {
    /// As it is kept.
    pub record: Record,
    /// What is written.
    pub document: CheckupDocument,
    /// What it says.
    pub reading: CheckupReading,
}

/// Why a check-up cannot be had or changed.
#[derive(Debug, thiserror::Error)]
pub enum CheckupError {
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// An entry that there is not, or that is too long.
    #[error("{0}")]
    Entry(String),
    /// It is not what it was written as.
    #[error("check-up {number} cannot be read: {why}")]
    Unreadable {
        /// Its number.
        number: u32,
        /// Why.
        why: String,
    },
    /// Others save again and again.
    #[error("others changed this check-up at the same moment; send it again")]
    Busy,
}

/// An entry that is written: where, what stood there as far as the writer knew (`None`: he does not say), and what
/// shall.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// Its address.
    pub address: String,
    /// What may have stood there before.
    pub was: Option<Vec<String>>,
    /// What is written.
    pub text: String,
}

impl KeptCheckup {
    /// The check-up of that number of a boat, removed or not.
    ///
    /// # Errors
    /// [`CheckupError`].
    pub fn load(
        store: &Store,
        boat: BoatId,
        number: u32,
        about: &Loaded,
        today: Date,
    ) -> Result<Self, CheckupError> {
        let record = store.record(boat, CHECKUP_KIND, number)?;
        let document =
            CheckupDocument::parse(&record.text).map_err(|why| CheckupError::Unreadable { number, why })?;
        let reading = read_checkup(&document, &about.spec, today);
        Ok(Self { record, document, reading })
    }

    /// What it is called on a list.
    #[must_use]
    pub fn label(&self) -> String {
        match (self.document.get("date"), self.document.get("who")) {
            ("", _) => format!("check-up {}", self.record.number),
            (date, "") => date.to_owned(),
            (date, who) => format!("{date}, {who}"),
        }
    }
}

/// Begins a check-up of a day.
///
/// # Errors
/// The store fails, or the boat was removed.
pub fn begin(store: &mut Store, boat: BoatId, day: &str, time: UnixMs) -> Result<Record, CheckupError> {
    Ok(store.enter_record(boat, CHECKUP_KIND, &CheckupDocument::of_day(day).to_toml(), time)?)
}

/// Others may save between reading and saving; then it is written into what they saved.
const MOST_ATTEMPTS: usize = 8;

/// Writes entries into a check-up; gives the addresses at which somebody else had written something other than the
/// writer knew. That text is in the note now.
///
/// # Errors
/// [`CheckupError`]; of the entries none was kept then.
pub fn save_entries(
    store: &mut Store,
    boat: BoatId,
    number: u32,
    entries: &[Entry],
    time: UnixMs,
) -> Result<Vec<String>, CheckupError> {
    for _ in 0..MOST_ATTEMPTS {
        let record = store.record(boat, CHECKUP_KIND, number)?;
        let mut document =
            CheckupDocument::parse(&record.text).map_err(|why| CheckupError::Unreadable { number, why })?;
        let mut aside = Vec::new();
        for Entry { address, was, text } in entries {
            let text = text.replace("\r\n", "\n");
            let now = document.get(address).to_owned();
            let is_overtaken =
                was.as_ref().is_some_and(|was| was.iter().all(|was| was.trim().replace("\r\n", "\n") != now));
            if is_overtaken && !now.is_empty() && now != text.trim() {
                aside.push(address.clone());
                let line = format!("{address}: {now} was written on another page or device before this one.");
                let note = document.get("note").to_owned();
                let joined =
                    if address == "note" { format!("{text}\n{now}") } else { format!("{note}\n{line}") };
                document.set("note", &joined).map_err(CheckupError::Entry)?;
                if address == "note" {
                    continue;
                }
            }
            document.set(address, &text).map_err(CheckupError::Entry)?;
        }
        match store.save_record(record.id, record.version, &document.to_toml(), time)? {
            RecordSave::Saved(_) => return Ok(aside),
            RecordSave::Overtaken(_) => {}
        }
    }
    Err(CheckupError::Busy)
}
