//! Dated records of a boat's life with the drive that somebody writes: check-ups, commissionings, calls. Written entry by
//! entry, so that two devices can write at once; nothing typed is lost: what another wrote into the same entry meanwhile
//! goes into the note. Not for: trials (`trials`), how a record is shown.

use jiff::civil::Date;
use wakewright_core::call::{CallBoat, CallStudy, LEAST_TOLD, place_of};
use wakewright_core::upkeep::item_named;
use wakewright_records::checkup::{CHECKUP_KIND, has_place, read_checkup};
use wakewright_records::dated::{
    CALL_KIND, DatedDocument, EntryFault, NAME, OUTCOME, PLACE_KIND, PLAIN_ENTRIES, TOLD,
};
use wakewright_store::{BoatId, Record, RecordSave, Store, StoreError, UnixMs};

use crate::boats::Loaded;
use crate::room::{AnyRoom, Asked, Replies};
use crate::text::Paper;

/// A kind of dated record.
#[derive(Clone, Copy)]
pub struct Kind {
    /// Key of its room, under which the store keeps it.
    pub key: &'static str,
    /// One of them in words, and several.
    pub name: &'static str,
    /// Several of them.
    pub names: &'static str,
    /// The room whose questions are what is written; none where the kind has entries of its own.
    pub room: Option<&'static dyn AnyRoom>,
    /// Entries beside those of every kind and the room's questions.
    pub own: &'static [&'static str],
    /// What can be noted, with an example, in words.
    pub help: &'static str,
}

impl std::fmt::Debug for Kind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.key)
    }
}

/// In front of the key of a question.
pub const SAID: &str = "said.";

/// Every kind.
pub static KINDS: [Kind; 4] = [
    Kind {
        key: CHECKUP_KIND,
        name: "check-up",
        names: "check-ups",
        room: None,
        own: &[],
        help: "Examples:\n  wakewright checkup set \"Sea Campion\" 1 gland=watch gland.value=14 \
               gland.note=\"new packing next time\"\n  wakewright checkup set \"Sea Campion\" 1 who=\"J. Orr\" test.amps=\"20 A ± 1 %\" \
               test.hours=\"4 h 50 min\" test.temperature=\"18 °C\"\n\nWhat can be noted: date, who, note; of an item of the list \
               (`wakewright checkup BOAT` has their names in brackets) what was found (good, watch, act now, not looked at), its .value with \
               unit and band, its .note; of a test of the bank test.of, .amps, .hours, .begun, .ended, .counted, .pause, .from, .to, \
               .temperature, .rated. An empty value takes it away.",
    },
    Kind {
        key: "commission",
        name: "commissioning",
        names: "commissionings",
        room: Some(&crate::commission::Commission),
        own: &[],
        help: "Example:\n  wakewright commission set \"Sea Campion\" 1 rest-volts=\"52.4 V\" who=\"J. Orr\"\n\nWhat can be noted: date, who, \
               note, and what `wakewright commission --help` asks, without the dashes. An empty value takes it away.",
    },
    Kind {
        key: CALL_KIND,
        name: "call",
        names: "calls",
        room: Some(&crate::call::Call),
        own: &[OUTCOME],
        help: "Example:\n  wakewright call set \"Sea Campion\" 1 danger=none symptom=weak\n  wakewright call set \"Sea Campion\" 1 \
               outcome=joint\n\nWhat can be noted: date, who, note, what `wakewright call --help` asks, without the dashes, and outcome: what \
               it was in the end, by the name of the part, or strange for none of these. An empty value takes it away.",
    },
    Kind {
        key: PLACE_KIND,
        name: "place",
        names: "places",
        room: Some(&crate::dryout::DryOut),
        own: &[NAME],
        help: "Example:\n  wakewright dryout set \"Sea Campion\" 1 name=\"Creek quay\" place=Boston ground=\"1.70 m ± 0.10 m\" bottom=hard \
               held=wall allowed=\"harbour office\"\n  wakewright dryout set \"Sea Campion\" 1 touched=\"2026-09-28 10:42 with 1.48 m; \
               2026-10-12 09:30 with 1.50 m\"\n  wakewright dryout \"Sea Campion\" \"Creek quay\"\n\nWhat can be noted: date, who, note, name, \
               by which every boat finds it, and what `wakewright dryout --help` asks, without the dashes; a table as its text. An empty \
               value takes it away.",
    },
];

/// The kind of this name.
#[must_use]
pub fn kind_named(key: &str) -> Option<&'static Kind> {
    KINDS.iter().find(|kind| kind.key == key)
}

impl Kind {
    /// The address of what is typed at a command: `gland` stands for what was found there, `volts` for what was said.
    #[must_use]
    pub fn address(&self, typed: &str) -> String {
        let (item, rest) = typed.split_once('.').unwrap_or((typed, "found"));
        match self.room {
            _ if PLAIN_ENTRIES.contains(&typed) || self.own.contains(&typed) => typed.to_owned(),
            Some(_) => format!("{SAID}{typed}"),
            None if item_named(item).is_some() => format!("item.{item}.{rest}"),
            None => typed.to_owned(),
        }
    }

    fn has_place(&self, address: &str) -> bool {
        let Some(room) = self.room else { return has_place(address) };
        let is_asked = |key: &str| room.questions().iter().any(|question| question.key == key);
        PLAIN_ENTRIES.contains(&address)
            || self.own.contains(&address)
            || address.strip_prefix(SAID).is_some_and(is_asked)
    }

    /// Whether photographs can belong to that entry: an item of the list, a question; empty for the whole record.
    #[must_use]
    pub fn takes_photographs_of(&self, place: &str) -> bool {
        place.is_empty() || self.has_place(&self.address(place))
    }

    /// What cannot be used of a record of a boat.
    #[must_use]
    pub fn faults(&self, document: &DatedDocument, boat: &Loaded, today: Date) -> Vec<EntryFault> {
        let Some(room) = self.room else { return read_checkup(document, &boat.spec, today).faults };
        let mut faults: Vec<EntryFault> = Vec::new();
        let mut wrong =
            |address: &str, problem: String| faults.push(EntryFault { address: address.to_owned(), problem });
        if let Err(problem) = document.day(today) {
            wrong("date", problem);
        }
        let outcome = document.get(OUTCOME);
        if !outcome.is_empty() && place_of(outcome).is_none() {
            wrong(
                OUTCOME,
                format!("{outcome} is no part that is known here; strange stands for none of these"),
            );
        }
        let said = self.said(document);
        let each = |(key, text): &(&'static str, &str)| {
            Replies::read(room.questions(), std::iter::once((*key, *text))).err()
        };
        let unread: Vec<_> = said.iter().filter_map(each).collect();
        if unread.is_empty()
            && let Err(no) = room.answer(
                &self.asked(document, boat, room.card().samples.quick),
                None,
                &Paper::plain(Default::default()),
            )
        {
            // A room says all of its faults at once, a line each, its question first.
            for line in no.message().lines() {
                let (key, why) = line.split_once(':').unwrap_or(("", line));
                let key = key.split_whitespace().next().unwrap_or_default();
                let place = said.iter().find(|(known, _)| *known == key);
                wrong(&place.map_or("note".to_owned(), |_| format!("{SAID}{key}")), why.trim().to_owned());
            }
        }
        unread.into_iter().for_each(|(key, problem)| wrong(&format!("{SAID}{key}"), problem));
        faults
    }

    /// What is written as answers to the questions of its room.
    #[must_use]
    pub fn said<'d>(&self, document: &'d DatedDocument) -> Vec<(&'static str, &'d str)> {
        let questions = self.room.map_or(&[][..], |room| room.questions());
        let said = questions.iter().map(|question| {
            let text = document.get(&format!("{SAID}{}", question.key));
            (question.key, if question.value_name.is_none() && text != "yes" { "" } else { text })
        });
        said.filter(|(_, text)| !text.is_empty()).collect()
    }

    /// What is asked of the room by it; what cannot be read counts as not said.
    #[must_use]
    pub fn asked<'b>(&self, document: &DatedDocument, boat: &'b Loaded, samples: usize) -> Asked<'b> {
        let questions = self.room.map_or(&[][..], |room| room.questions());
        let readable = self
            .said(document)
            .into_iter()
            .filter(|pair| Replies::read(questions, std::iter::once((pair.0, pair.1))).is_ok());
        let replies = Replies::read(questions, readable).unwrap_or_default();
        Asked { replies, ..Asked::of(boat, samples) }
    }

    /// Writes what the program told of a call, as long as nobody has said what it was: it is scored by that.
    fn write_told(&self, document: &mut DatedDocument, boat: &Loaded) -> Result<(), String> {
        if !self.own.contains(&OUTCOME) || !document.get(OUTCOME).is_empty() {
            return Ok(());
        }
        let asked = self.asked(document, boat, 1);
        let call = CallBoat::of(&boat.spec);
        let told = match crate::call::said(&asked, call.highest_v) {
            Ok(said) => CallStudy::of(&call, said).standing,
            Err(_) => Vec::new(),
        };
        let lines = told.iter().filter(|one| one.share >= LEAST_TOLD);
        let lines: Vec<String> = lines.map(|one| format!("{} {:.4}", one.key(), one.share)).collect();
        document.set(TOLD, &lines.join("\n"))
    }
}

/// A record with what is written in it.
#[derive(Debug)]
pub struct KeptRecord {
    /// As it is kept.
    pub record: Record,
    /// Its kind.
    pub kind: &'static Kind,
    /// What is written.
    pub document: DatedDocument,
}

/// Why a record cannot be had or changed.
#[derive(Debug, thiserror::Error)]
pub enum DatedError {
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// An entry that there is not, or that is too long.
    #[error("{0}")]
    Entry(String),
    /// It is not what it was written as.
    #[error("{kind} {number} cannot be read: {why}")]
    Unreadable {
        /// What it is.
        kind: &'static str,
        /// Its number.
        number: u32,
        /// Why.
        why: String,
    },
    /// Others save again and again.
    #[error("others changed this {0} at the same moment; send it again")]
    Busy(&'static str),
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

impl KeptRecord {
    /// The record of that kind and number of a boat, removed or not.
    ///
    /// # Errors
    /// [`DatedError`].
    pub fn load(store: &Store, boat: BoatId, kind: &'static Kind, number: u32) -> Result<Self, DatedError> {
        Self::of(store.record(boat, kind.key, number)?, kind)
    }

    /// Of a record as it is kept.
    ///
    /// # Errors
    /// It cannot be read.
    pub fn of(record: Record, kind: &'static Kind) -> Result<Self, DatedError> {
        let document = DatedDocument::parse(&record.text).map_err(|why| DatedError::Unreadable {
            kind: kind.name,
            number: record.number,
            why,
        })?;
        Ok(Self { record, kind, document })
    }

    /// What it is called on a list.
    #[must_use]
    pub fn label(&self) -> String {
        let of = match (self.document.get("date"), self.document.get("who")) {
            _ if !self.document.get(NAME).is_empty() => self.document.get(NAME).to_owned(),
            ("", _) => format!("{} {}", self.kind.name, self.record.number),
            (date, "") => date.to_owned(),
            (date, who) => format!("{date}, {who}"),
        };
        match self.document.get(OUTCOME) {
            "" => of,
            outcome => format!("{of}: it was {}", outcome_words(outcome)),
        }
    }
}

/// What it was in the end, in words.
fn outcome_words(outcome: &str) -> &str {
    let part = wakewright_core::call::PARTS.iter().find(|part| part.key == outcome);
    part.map_or(if outcome == wakewright_core::call::STRANGE { "none of these" } else { outcome }, |part| {
        part.words
    })
}

/// Begins a record of a day.
///
/// # Errors
/// The store fails, or the boat was removed.
pub fn begin(
    store: &mut Store,
    boat: BoatId,
    kind: &Kind,
    day: &str,
    time: UnixMs,
) -> Result<Record, DatedError> {
    Ok(store.enter_record(boat, kind.key, &DatedDocument::of_day(day).to_toml(), &[], time)?)
}

/// Others may save between reading and saving; then it is written into what they saved.
const MOST_ATTEMPTS: usize = 8;

/// Writes entries into a record; gives the addresses at which somebody else had written something other than the
/// writer knew. That text is in the note now.
///
/// # Errors
/// [`DatedError`]; of the entries none was kept then.
pub fn save_entries(
    store: &mut Store,
    (boat, about): (BoatId, &Loaded),
    (kind, number): (&'static Kind, u32),
    entries: &[Entry],
    time: UnixMs,
) -> Result<Vec<String>, DatedError> {
    if let Some(entry) = entries.iter().find(|entry| !kind.has_place(&entry.address)) {
        let address = entry.address.trim_start_matches(SAID);
        return Err(DatedError::Entry(format!(
            "{address}: nothing of this name is noted. {}",
            kind.help.split("\n\n").last().unwrap_or_default()
        )));
    }
    for _ in 0..MOST_ATTEMPTS {
        let KeptRecord { record, mut document, .. } = KeptRecord::load(store, boat, kind, number)?;
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
                document.set("note", &joined).map_err(DatedError::Entry)?;
                if address == "note" {
                    continue;
                }
            }
            document.set(address, &text).map_err(DatedError::Entry)?;
        }
        kind.write_told(&mut document, about).map_err(DatedError::Entry)?;
        match store.save_record(record.id, record.version, &document.to_toml(), &[], time)? {
            RecordSave::Saved(_) => return Ok(aside),
            RecordSave::Overtaken(_) => {}
        }
    }
    Err(DatedError::Busy(kind.name))
}
