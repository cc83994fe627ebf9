//! Documents, and forms of a pocket sheet, into the store and out of it, for the commands and the page alike.
//! Not for: the whole store (backup and restore are the store's own).

use wakewright_core::field;
use wakewright_records::boat::{BoatDocument, Fault, LONGEST_DOCUMENT_BYTES, Severity};
use wakewright_records::dated::DatedDocument;
use wakewright_store::{Boat, BoatId, SaveOutcome, Store, StoreError, UnixMs};

use crate::boats::understand;
use crate::dated::{DatedError, Entry, KeptRecord, Kind, kind_named, save_entries};
use crate::moment::today;

/// What to do when a boat of the same name is there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SameName {
    /// Leave her alone and say so.
    Refuse,
    /// Add the document to her as a new revision.
    AddRevision,
}

/// What became of a document that was brought in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BroughtIn {
    /// The boat.
    pub boat: Boat,
    /// Number of the revision that holds it.
    pub revision: u32,
    /// Whether the boat is new in the store.
    pub is_new: bool,
    /// Faults that the document still has; it is kept with them.
    pub faults: usize,
    /// The record that a form of a pocket sheet became, in words: "check-up 3"; none where a document came in.
    pub record: Option<String>,
}

/// Why a document could not be brought in.
#[derive(Debug, thiserror::Error)]
pub enum TransferError {
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// No TOML at all, or of something else.
    #[error("this is no boat document: {problem}. {advice}")]
    NoDocument {
        /// First fault.
        problem: String,
        /// What to do.
        advice: String,
    },
    /// No name in it.
    #[error("the document does not say her name. Write it under [boat], or give one.")]
    NoName,
    /// A form that cannot be kept.
    #[error("the form cannot be kept: {0}")]
    Form(String),
    /// Too long.
    #[error("a boat document is not that long ({bytes} bytes; at most {LONGEST_DOCUMENT_BYTES}).")]
    TooLong {
        /// Length.
        bytes: usize,
    },
}

/// Enters the document `text`. Her name is `name`, or what the document says.
///
/// # Errors
/// [`TransferError`]; then nothing was changed.
pub fn bring_in(
    store: &mut Store,
    text: &str,
    name: Option<&str>,
    same_name: SameName,
    note: &str,
    time: UnixMs,
) -> Result<BroughtIn, TransferError> {
    if let Some((kind, form)) = form_of(text) {
        return bring_in_form(store, (kind, &form), name, time);
    }
    let (document, faults) = read(text)?;
    let name = name.or_else(|| document.text(field::boat::NAME)).filter(|n| !n.trim().is_empty());
    let Some(name) = name.map(str::to_owned) else {
        // A name that cannot be read is another fault than none.
        return Err(faults
            .into_iter()
            .find(|fault| fault.field.is_empty() || fault.field == field::boat::NAME)
            .map_or(TransferError::NoName, |fault| TransferError::NoDocument {
                problem: format!("line {}, {fault}", fault.line),
                advice: fault.advice,
            }));
    };
    let faults = faults.iter().filter(|fault| fault.severity == Severity::Error).count();
    let text = named(document, &name);
    match store.find(&name) {
        Ok(boat) if same_name == SameName::AddRevision => {
            let base = store.latest(boat.id)?.head.number;
            let revision = match store.save(boat.id, base, &text, note, time)? {
                SaveOutcome::Saved(head) => head.number,
                // Against the base read just now there is no conflict but from another program; it keeps both.
                SaveOutcome::Unchanged { latest } => latest,
                SaveOutcome::Conflict { theirs, .. } => theirs.head.number,
            };
            Ok(BroughtIn { boat, revision, is_new: false, faults, record: None })
        }
        Ok(boat) => Err(StoreError::NameTaken { name: boat.name }.into()),
        Err(StoreError::NoSuchBoat { .. }) => {
            let id: BoatId = store.create(&name, &text, note, time)?;
            Ok(BroughtIn { boat: store.boat(id)?, revision: 1, is_new: true, faults, record: None })
        }
        Err(error) => Err(error.into()),
    }
}

/// Entry by which a form is known again: it may leave the phone once more, with more in it.
const SHEET: &str = "sheet";

/// A form of a pocket sheet, with the kind of record that it becomes.
fn form_of(text: &str) -> Option<(&'static Kind, DatedDocument)> {
    if text.len() > LONGEST_DOCUMENT_BYTES {
        return None;
    }
    let form = DatedDocument::parse(text).ok()?;
    Some((kind_named(form.get("form"))?, form))
}

/// Keeps a form as a record of the boat that it names. One that came before is written on: what stands in it already stays,
/// what another wrote there meanwhile goes into the note.
fn bring_in_form(
    store: &mut Store,
    (kind, form): (&'static Kind, &DatedDocument),
    name: Option<&str>,
    time: UnixMs,
) -> Result<BroughtIn, TransferError> {
    let why = |error: DatedError| match error {
        DatedError::Store(error) => TransferError::Store(error),
        other => TransferError::Form(other.to_string()),
    };
    let boat = store.find(name.unwrap_or_else(|| form.get("boat")))?;
    let latest = store.latest(boat.id)?;
    let about = understand(&latest.text, &boat.name, &[]).map_err(|_| {
        TransferError::Form(format!("the document of {} has faults; put them right first", boat.name))
    })?;
    let mark = form.get(SHEET);
    let known = store.records(boat.id, kind.key)?.into_iter().find(|record| {
        let there = DatedDocument::parse(&record.text);
        !mark.is_empty() && there.is_ok_and(|there| there.get(SHEET) == mark)
    });
    let is_new = known.is_none();
    let record = match known {
        Some(record) => record,
        None => {
            let mut begun = DatedDocument::default();
            begun.set(SHEET, mark).map_err(TransferError::Form)?;
            store.enter_record(boat.id, kind.key, &begun.to_toml(), &[], time)?
        }
    };
    // What the form asks beyond the entries of every record stands in the note under its own words.
    const BESIDE: [(&str, &str); 3] = [("happens", "What happens"), ("shown", "Shown"), ("tried", "Tried")];
    let beside = BESIDE.iter().filter(|(key, _)| !form.get(key).is_empty());
    let mut note: Vec<String> = beside.map(|(key, words)| format!("{words}: {}", form.get(key))).collect();
    note.extend((!form.get("note").is_empty()).then(|| form.get("note").to_owned()));
    let there = DatedDocument::parse(&record.text).unwrap_or_default();
    let texts = [
        ("date", form.get("date").to_owned()),
        ("who", form.get("who").to_owned()),
        ("note", note.join("\n")),
    ];
    let entries = texts
        .into_iter()
        .filter(|(address, text)| !text.is_empty() && !there.get(address).contains(text.trim()));
    let entries: Vec<Entry> = entries
        .map(|(address, text)| {
            let now = there.get(address);
            let was = if text.contains(now) { now.to_owned() } else { String::new() };
            Entry { address: address.to_owned(), was: Some(vec![was]), text }
        })
        .collect();
    let of = (kind, record.number);
    let faults = match save_entries(store, (boat.id, &about), of, &entries, time) {
        Ok(_) => kind.faults(
            &KeptRecord::load(store, boat.id, kind, record.number).map_err(why)?.document,
            &about,
            today(),
        ),
        Err(error) => {
            // Nothing is left of a form that cannot be kept.
            if is_new {
                store.shelve_record(record.id, Some(time))?;
            }
            return Err(why(error));
        }
    };
    let words =
        format!("{} {}{}", kind.name, record.number, if is_new { "" } else { ", which was there already" });
    Ok(BroughtIn {
        revision: latest.head.number,
        boat,
        is_new: false,
        faults: faults.len(),
        record: Some(words),
    })
}

/// The document in `text`, if it is one: readable, and with at least one known value in it.
fn read(text: &str) -> Result<(BoatDocument, Vec<Fault>), TransferError> {
    if text.len() > LONGEST_DOCUMENT_BYTES {
        return Err(TransferError::TooLong { bytes: text.len() });
    }
    let (document, faults) = BoatDocument::parse_lenient(text);
    let first = || {
        let fault = faults.first();
        TransferError::NoDocument {
            problem: fault.map_or_else(|| "it is empty".to_owned(), |f| format!("line {}, {f}", f.line)),
            advice: fault.map_or_else(String::new, |f| f.advice.clone()),
        }
    };
    match document {
        Some(document) if document.has_section("boat") || document.has_section("hull") => {
            Ok((document, faults))
        }
        _ => Err(first()),
    }
}

/// The document with her name in it.
fn named(document: BoatDocument, name: &str) -> String {
    if document.text(field::boat::NAME) == Some(name) {
        return document.to_toml().to_owned();
    }
    let (renamed, _) = document.set_lenient(field::boat::NAME, name);
    renamed.unwrap_or(document).to_toml().to_owned()
}

/// `text` under another name for the boat, if it can be read; as it is otherwise.
pub fn renamed(text: &str, name: &str) -> String {
    match BoatDocument::parse_lenient(text) {
        (Some(document), _) => named(document, name),
        _ => text.to_owned(),
    }
}

/// A file's name for the boat of this slug.
pub fn file_name(boat: &Boat) -> String {
    format!("{}.toml", boat.slug)
}

#[cfg(test)]
mod tests {
    use super::*;

    const NOW: UnixMs = UnixMs(1_800_000_000_000);

    fn store() -> (tempfile::TempDir, Store) {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(folder.path().join("boats.sqlite")).unwrap();
        (folder, store)
    }

    #[test]
    fn a_document_comes_in_with_its_faults_and_its_remarks() {
        let (_folder, mut store) = store();
        let text = "# as found\n[boat]\nname = \"Étoile <b>\"\n[hull]\ndraught = \"wet\"\n";
        let got = bring_in(&mut store, text, None, SameName::Refuse, "", NOW).unwrap();
        assert!(got.is_new && got.faults > 0);
        assert_eq!(store.latest(got.boat.id).unwrap().text, text);
        let again = bring_in(&mut store, text, None, SameName::Refuse, "", NOW);
        assert!(matches!(again, Err(TransferError::Store(StoreError::NameTaken { .. }))));
        let changed = text.replace("wet", "1.5 m");
        let added = bring_in(&mut store, &changed, None, SameName::AddRevision, "", NOW).unwrap();
        assert_eq!((added.is_new, added.revision), (false, 2));
    }

    #[test]
    fn what_is_no_document_is_refused() {
        let (_folder, mut store) = store();
        for text in ["", "<html>", "a = 1", "\u{0}\u{1}"] {
            let got = bring_in(&mut store, text, None, SameName::Refuse, "", NOW);
            assert!(matches!(got, Err(TransferError::NoDocument { .. })), "{text:?}: {got:?}");
        }
        let long = "# x\n".repeat(LONGEST_DOCUMENT_BYTES);
        let got = bring_in(&mut store, &long, None, SameName::Refuse, "", NOW);
        assert!(matches!(got, Err(TransferError::TooLong { .. })));
        assert!(store.list().unwrap().is_empty());
    }

    /// A form comes in once however often it is brought, grows with what was typed since, and loses nothing that was written
    /// here meanwhile; one of a boat that is not there is refused.
    #[test]
    fn a_form_of_the_pocket_comes_in_once() {
        let (_folder, mut store) = store();
        let boat = store.create("Sea Campion", crate::demo::DEMO_BOAT, "", NOW).unwrap();
        let form = |more: &str| {
            format!(
                "form = \"call\"\nsheet = \"a-1\"\nboat = \"Sea Campion\"\ndate = \"2026-05-02\"\nwho = \"\\\"J\\\" Orr\"\nhappens = \"hums{more}\"\n"
            )
        };
        let bring = |store: &mut Store, text: &str| bring_in(store, text, None, SameName::Refuse, "", NOW);
        let first = bring(&mut store, &form("")).unwrap();
        assert_eq!((first.record.as_deref(), first.faults), (Some("call 1"), 0));
        bring(&mut store, &form("")).unwrap();
        let kept =
            |store: &Store| DatedDocument::parse(&store.record(boat, "call", 1).unwrap().text).unwrap();
        assert_eq!((kept(&store).get("note"), kept(&store).get("who")), ("What happens: hums", "\"J\" Orr"));
        let record = store.record(boat, "call", 1).unwrap();
        let mut here = kept(&store);
        here.set("who", "the yard").unwrap();
        store.save_record(record.id, record.version, &here.to_toml(), &[], NOW).unwrap();
        bring(&mut store, &form(", then stands")).unwrap();
        let grown = kept(&store);
        assert!(
            grown.get("note").contains("hums, then stands") && grown.get("note").contains("the yard"),
            "{}",
            grown.to_toml()
        );
        assert_eq!(store.records(boat, "call").unwrap().len(), 1);
        bring(&mut store, &form("").replace("a-1", "a-2")).unwrap();
        assert_eq!(store.records(boat, "call").unwrap().len(), 2);
        assert!(bring(&mut store, &form("").replace("Campion", "Holly")).is_err());
    }

    #[test]
    fn another_name_is_written_into_the_document() {
        let text = "[boat]\nname = \"Tern\"  # on her stern\n";
        assert_eq!(renamed(text, "Dipper"), "[boat]\nname = \"Dipper\" # on her stern\n");
    }
}
