//! Documents into the store and out of it, for the commands and the page alike.
//! Not for: the whole store (backup and restore are the store's own).

use wakewright_core::field;
use wakewright_records::boat::{BoatDocument, Fault, LONGEST_DOCUMENT_BYTES, Severity};
use wakewright_store::{Boat, BoatId, SaveOutcome, Store, StoreError, UnixMs};

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
            Ok(BroughtIn { boat, revision, is_new: false, faults })
        }
        Ok(boat) => Err(StoreError::NameTaken { name: boat.name }.into()),
        Err(StoreError::NoSuchBoat { .. }) => {
            let id: BoatId = store.create(&name, &text, note, time)?;
            Ok(BroughtIn { boat: store.boat(id)?, revision: 1, is_new: true, faults })
        }
        Err(error) => Err(error.into()),
    }
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

    #[test]
    fn another_name_is_written_into_the_document() {
        let text = "[boat]\nname = \"Tern\"  # on her stern\n";
        assert_eq!(renamed(text, "Dipper"), "[boat]\nname = \"Dipper\" # on her stern\n");
    }
}
