//! Whether a paper is still what the program would write of the boat. Not for: who wrote it; a fingerprint is no signature.

use crate::Record;
use crate::report::{Reader, Report};
use wakewright_rooms::Rooms;
use wakewright_rooms::text::Paper;
use wakewright_units::UnitSystem;

use crate::VERSION;

/// What a file says of itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Claim {
    /// Name of the boat.
    pub boat: String,
    /// For whom.
    pub reader: Reader,
    /// Units.
    pub units: UnitSystem,
    /// The program's version.
    pub version: String,
    /// The fingerprint.
    pub fingerprint: String,
}

/// What became of a paper.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Verdict {
    /// Every byte is what is written today.
    Same,
    /// Something changed: what.
    Changed(String),
    /// It cannot be told: why.
    Unknown(String),
}

/// The words of a unit system in a paper.
const UNITS: [(UnitSystem, &str); 3] =
    [(UnitSystem::Trade, "trade"), (UnitSystem::Metric, "metric"), (UnitSystem::Us, "us")];

/// The word of `units`.
pub(crate) fn units_word(units: UnitSystem) -> &'static str {
    UNITS.iter().find(|(known, _)| *known == units).map_or("trade", |(_, word)| word)
}

impl Claim {
    /// What the file claims, in its head or, of a PDF, among its keywords; none where it is no paper of this program.
    #[must_use]
    pub fn of(file: impl AsRef<[u8]>) -> Option<Self> {
        let file = file.as_ref();
        let text = String::from_utf8_lossy(file);
        let between = |start: &str, end: &str| {
            let (value, _) = text.split_once(start)?.1.split_once(end)?;
            let plain = [("&quot;", "\""), ("&apos;", "'"), ("&lt;", "<"), ("&gt;", ">"), ("&amp;", "&")];
            Some(plain.iter().fold(value.to_owned(), |value, (code, plain)| value.replace(code, plain)))
        };
        let keywords = if is_pdf(file) { Some(between("<pdf:Keywords>", "</pdf:Keywords>")?) } else { None };
        let said = |name: &str| match &keywords {
            None => between(&format!("<meta name=\"wakewright-{name}\" content=\""), "\""),
            Some(words) => {
                let value = words.split_once(&format!("wakewright-{name}="))?.1;
                // The boat stands last, since her name may hold anything.
                Some(if name == "boat" { value } else { value.split(", ").next()? }.to_owned())
            }
        };
        let units = said("units")?;
        Some(Self {
            boat: said("boat")?,
            reader: Reader::of_word(&said("for")?)?,
            units: UNITS.iter().find(|(_, word)| *word == units)?.0,
            version: said("version")?,
            fingerprint: said("fingerprint")?,
        })
    }
}

/// Whether it begins as a PDF does.
fn is_pdf(file: &[u8]) -> bool {
    file.starts_with(b"%PDF")
}

/// Holds the paper `file` against `record`; `former` are the texts of earlier revisions with their numbers.
#[must_use]
pub fn verify(rooms: Rooms, file: impl AsRef<[u8]>, record: &Record, former: &[(u32, String)]) -> Verdict {
    let file = file.as_ref();
    let Some(claim) = Claim::of(file) else {
        return Verdict::Unknown("it is no report of this program, or its head was taken off".to_owned());
    };
    if claim.version != VERSION {
        return Verdict::Unknown(format!(
            "it was written by version {} of the program, and this is {VERSION}",
            claim.version
        ));
    }
    if claim.fingerprint != record.fingerprint() {
        let came_from = former.iter().find(|(_, text)| record.fingerprint_with(text) == claim.fingerprint);
        let now = record.revision.as_ref().map_or_else(
            || "her document is another now".to_owned(),
            |(number, _)| format!("she is at revision {number} now"),
        );
        return Verdict::Changed(match came_from {
            Some((number, _)) => format!("it was written from revision {number}, and {now}"),
            None => format!("document or records are not those that it was written from; {now}"),
        });
    }
    let again = Report::of(rooms, record, claim.reader, &Paper::plain(claim.units));
    let again = if is_pdf(file) { again.to_pdf() } else { Ok(again.to_html().into_bytes()) };
    let again = match again {
        Ok(again) => again,
        Err(why) => return Verdict::Unknown(why),
    };
    if again == file {
        Verdict::Same
    } else {
        Verdict::Changed(
            "document and records are the same, but the paper itself is not what was written".to_owned(),
        )
    }
}
