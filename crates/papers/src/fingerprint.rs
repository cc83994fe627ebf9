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
    /// What the paper `text` claims; none where it is no paper of this program.
    #[must_use]
    pub fn of(text: &str) -> Option<Self> {
        let said = |name: &str| {
            let (_, behind) = text.split_once(&format!("<meta name=\"wakewright-{name}\" content=\""))?;
            let (value, _) = behind.split_once('"')?;
            let plain = value.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">");
            Some(plain.replace("&amp;", "&"))
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

/// Holds the paper `text` against `record`; `former` are the texts of earlier revisions with their numbers.
#[must_use]
pub fn verify(rooms: Rooms, text: &str, record: &Record, former: &[(u32, String)]) -> Verdict {
    let Some(claim) = Claim::of(text) else {
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
    let again = Report::of(rooms, record, claim.reader, &Paper::plain(claim.units)).to_html();
    if again == text {
        Verdict::Same
    } else {
        Verdict::Changed(
            "document and records are the same, but the paper itself is not what was written".to_owned(),
        )
    }
}
