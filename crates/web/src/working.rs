//! The working copy of a boat document: what a device is typing, from the last revision or from a
//! draft, with the changes of a form put in. Not for: what the page looks like.

use wakewright_core::boat::BoatSpec;
use wakewright_records::boat::{
    BoatDocument, Fault, Field, FieldKind, LONGEST_DOCUMENT_BYTES, Origin, Severity, build_spec, field_named,
    split_marks,
};
use wakewright_store::{Boat, Draft, Revision, Store, StoreError, UnixMs};

use super::error::WebError;
use super::query::Query;
use super::state::{Site, now};
use super::visitor::{Visitor, is_device_name, random_name};

/// Start of the names of form fields that hold a value; the address follows.
pub const VALUE: &str = "f:";
/// Start of the names of form fields that say where a value is from.
pub const MARK: &str = "m:";

/// What a device works on.
#[derive(Debug)]
pub struct WorkingCopy {
    /// The boat.
    pub entry: Boat,
    /// The revision that the typing started from.
    pub base: Revision,
    /// Number of the latest revision.
    pub latest: u32,
    /// The text as it stands.
    pub text: String,
    /// Name of the draft to write to.
    pub draft: String,
    /// The draft that this one was begun from, and when that was kept.
    pub from: Option<(String, UnixMs)>,
    /// When the text was typed, if it is not a revision.
    pub typed: Option<UnixMs>,
    /// Typing of other pages of this device that is not shown: name and time.
    pub on_other_pages: Vec<(String, UnixMs)>,
    /// Typing of other devices.
    pub elsewhere: Vec<Draft>,
}

impl WorkingCopy {
    /// What this visitor sees: the draft that the page had, else what the device typed last and did not
    /// keep, else the latest revision. Right after something was kept it is the revision, whatever is
    /// being typed on another page.
    ///
    /// Every page writes to a draft of its own, so that two pages on one device do not write over each
    /// other; a page that was begun from another's draft takes its place with the first letter.
    ///
    /// # Errors
    /// There is no such boat.
    pub fn open(site: &Site, slug: &str, visitor: &Visitor, query: &Query) -> Result<Self, WebError> {
        let store = site.store();
        let entry = store.find_by_slug(slug)?;
        let latest = store.latest(entry.id)?;
        let (own, elsewhere): (Vec<Draft>, Vec<Draft>) = store
            .drafts(entry.id)?
            .into_iter()
            .partition(|draft| draft.device.split('.').next() == Some(visitor.device.as_str()));
        let name_of = |draft: &Draft| draft.device.split('.').nth(1).unwrap_or_default().to_owned();
        let named = |name: &str| query.get(name).and_then(|n| own.iter().find(|draft| name_of(draft) == n));
        let same_page = named("draft");
        let is_just_done = query.get("done").is_some();
        let newest = own.first().filter(|_| !is_just_done);
        let Some(found) = same_page.or(named("take")).or(newest) else {
            let on_other_pages = own.iter().map(|draft| (name_of(draft), draft.time)).collect();
            return Ok(Self {
                text: latest.text.clone(),
                latest: latest.head.number,
                base: latest,
                draft: random_name(),
                from: None,
                typed: None,
                entry,
                on_other_pages,
                elsewhere,
            });
        };
        let (draft, from) = match same_page {
            Some(same) => (name_of(same), None),
            None => (random_name(), Some((name_of(found), found.time))),
        };
        Ok(Self {
            base: store.get(entry.id, found.base)?,
            latest: latest.head.number,
            text: found.text.clone(),
            typed: Some(found.time),
            draft,
            from,
            entry,
            on_other_pages: Vec::new(),
            elsewhere,
        })
    }
}

/// A text with what it says.
#[derive(Debug)]
pub struct Reading {
    /// The document, if the text is one.
    pub document: Option<BoatDocument>,
    /// Everything wrong or doubtful, what a computation lacks among it.
    pub faults: Vec<Fault>,
    /// The boat, if all is there.
    pub spec: Option<BoatSpec>,
}

impl Reading {
    /// Reads `text`, which was typed from `base`: a number with two readings that was not in that has to be
    /// written so that it has one.
    pub fn typed(text: &str, base: &str) -> Self {
        let mut reading = Self::of(text);
        let doubtful = doubtful_since(reading.document.as_ref(), base);
        if !doubtful.is_empty() {
            reading
                .faults
                .retain(|fault| !doubtful.iter().any(|d| (d.line, d.column) == (fault.line, fault.column)));
            reading.faults.extend(doubtful);
            reading.faults.sort_by_key(|fault| (fault.line, fault.column));
            reading.spec = None;
        }
        reading
    }

    /// Reads `text`.
    pub fn of(text: &str) -> Self {
        let (document, mut faults) = BoatDocument::parse_lenient(text);
        let mut spec = None;
        if let Some(document) = document.as_ref().filter(|_| !has_errors(&faults)) {
            match build_spec(document) {
                Ok(built) => spec = Some(built),
                Err(more) => faults.extend(more),
            }
        }
        Self { document, faults, spec }
    }

    /// How many errors there are.
    pub fn errors(&self) -> usize {
        self.faults.iter().filter(|fault| fault.severity == Severity::Error).count()
    }
}

/// Numbers with two readings in `document` that its `base` does not have.
fn doubtful_since(document: Option<&BoatDocument>, base: &str) -> Vec<Fault> {
    let Some(document) = document else { return Vec::new() };
    if document.doubtful_since(None).is_empty() {
        return Vec::new();
    }
    document.doubtful_since(BoatDocument::parse_lenient(base).0.as_ref())
}

fn has_errors(faults: &[Fault]) -> bool {
    faults.iter().any(|fault| fault.severity == Severity::Error)
}

/// What a form of the working copy sends.
#[derive(Debug)]
pub struct Typed {
    /// Name of the draft to write to.
    pub draft: String,
    /// The draft that it was begun from.
    pub from: Option<(String, UnixMs)>,
    /// The revision that the typing started from.
    pub base: u32,
    /// The text of that revision.
    pub base_text: String,
    /// The text with the form's changes put in.
    pub text: String,
}

impl Typed {
    /// From the fields of a form; `base_of` gives the text of a revision.
    ///
    /// # Errors
    /// [`WebError::BadRequest`] when the form is not one of ours.
    pub fn from_form(
        form: &Query,
        base_of: impl FnOnce(u32) -> Result<Revision, StoreError>,
    ) -> Result<Self, WebError> {
        let stray = || WebError::BadRequest("This form is not complete. Open the page anew.".to_owned());
        let draft = form.get("draft").filter(|name| is_device_name(name)).ok_or_else(stray)?;
        let base: u32 = form.get("base").and_then(|text| text.parse().ok()).ok_or_else(stray)?;
        let base_text = base_of(base)?.text;
        let from = form.get("from").filter(|name| is_device_name(name));
        let from_time = form.get("from_time").and_then(|text| text.parse().ok()).map(UnixMs);
        let text = with_ends_of_line_as_in(&base_text, form.get("text").unwrap_or(&base_text));
        Ok(Self {
            draft: draft.to_owned(),
            from: from.map(str::to_owned).zip(from_time),
            base,
            text: with_changes(text, &base_text, form),
            base_text,
        })
    }

    /// Numbers with two readings that were typed since the revision.
    pub fn doubts(&self) -> Vec<Fault> {
        doubtful_since(BoatDocument::parse_lenient(&self.text).0.as_ref(), &self.base_text)
    }

    /// Keeps it as a draft, or drops the draft when the text is a revision's: the one that it was begun
    /// from, or the latest, when a last letter arrives after the whole was kept.
    ///
    /// # Errors
    /// The store fails.
    pub fn keep_as_draft(
        &self,
        store: &mut Store,
        entry: &Boat,
        visitor: &Visitor,
    ) -> Result<(), StoreError> {
        let is_kept =
            self.text == store.get(entry.id, self.base)?.text || self.text == store.latest(entry.id)?.text;
        if is_kept {
            return self.drop_drafts(store, entry, visitor);
        }
        store.keep_draft(entry.id, &device(visitor, &self.draft), self.base, &self.text, now())?;
        self.drop_from(store, entry, visitor)
    }

    /// Drops the draft, after its text was kept otherwise.
    ///
    /// # Errors
    /// The store fails.
    pub fn drop_drafts(&self, store: &mut Store, entry: &Boat, visitor: &Visitor) -> Result<(), StoreError> {
        store.drop_draft(entry.id, &device(visitor, &self.draft))?;
        self.drop_from(store, entry, visitor)
    }

    /// Drops the draft that this one was begun from, unless its own page has typed on since.
    fn drop_from(&self, store: &mut Store, entry: &Boat, visitor: &Visitor) -> Result<(), StoreError> {
        let Some((name, time)) = &self.from else { return Ok(()) };
        let device = device(visitor, name);
        match store.draft(entry.id, &device)? {
            Some(draft) if draft.time == *time => store.drop_draft(entry.id, &device),
            _ => Ok(()),
        }
    }
}

/// The name of a draft in the store.
pub fn device(visitor: &Visitor, draft: &str) -> String {
    format!("{}.{draft}", visitor.device)
}

/// Forms send every end of line as two characters; the document keeps its own.
fn with_ends_of_line_as_in(model: &str, text: &str) -> String {
    let plain = text.replace("\r\n", "\n");
    if model.contains("\r\n") { plain.replace('\n', "\r\n") } else { plain }
}

/// The text with every value of the form that differs from it, each as it is understood in the boat of `kept`: a bare
/// number has the unit that her field shows.
pub fn with_changes(text: String, kept: &str, form: &Query) -> String {
    let values: Vec<(&str, &str)> =
        form.pairs().filter_map(|(name, value)| Some((name.strip_prefix(VALUE)?, value))).collect();
    if values.is_empty() || text.len() > LONGEST_DOCUMENT_BYTES {
        return text;
    }
    let (Some(document), _) = BoatDocument::parse_lenient(&text) else { return text };
    let kept = BoatDocument::parse_lenient(kept).0;
    let kept = kept.as_ref().unwrap_or(&document);
    let mut changes: Vec<(String, String)> = Vec::new();
    let mut with_it: Vec<(String, String)> = Vec::new();
    for &(address, value) in &values {
        let Some(field) = field_named(address) else { continue };
        let said = form.get(&format!("{MARK}{address}")).and_then(Origin::of_word);
        let origin = said.unwrap_or_else(|| field.usual_origin());
        let value = value.replace("\r\n", "\n");
        if shown(&document, field, address) == (value.trim().to_owned(), origin) {
            continue;
        }
        let mut read = kept.as_typed(address, &composed(field, &value, origin));
        // Of a propeller's two numbers the one that is typed in its own field as well must say the same there.
        let says_otherwise = |(other, text): &(String, String)| {
            let typed = values.iter().find(|(name, _)| name == other).map(|(_, value)| value.trim());
            typed.is_some_and(|typed| {
                let stands = field_named(other).map(|field| shown(&document, field, other).0);
                stands.as_deref() != Some(typed)
                    && kept.as_typed(other, typed) != [(other.clone(), text.clone())]
            })
        };
        if read.len() > 1 && read.iter().any(|line| line.0 != address && says_otherwise(line)) {
            read = vec![(address.to_owned(), value.trim().to_owned())];
        }
        let (own, others): (Vec<_>, Vec<_>) = read.into_iter().partition(|line| line.0 == address);
        changes.extend(own);
        with_it.extend(others);
    }
    changes.retain(|(address, _)| !with_it.iter().any(|(other, _)| other == address));
    changes.extend(with_it);
    if changes.is_empty() {
        return text;
    }
    let changes: Vec<(&str, &str)> =
        changes.iter().map(|(address, text)| (address.as_str(), text.as_str())).collect();
    document.text_with_all(&changes)
}

/// A field's value as the form shows it, and where it is from.
pub fn shown(document: &BoatDocument, field: &Field, address: &str) -> (String, Origin) {
    let usual = field.usual_origin();
    let typed = document.typed(address).unwrap_or_default();
    match field.kind {
        FieldKind::Choice(_) => {
            let word = document.choice(address).filter(|_| document.origin(address).is_some());
            (word.unwrap_or(typed).to_owned(), document.origin(address).unwrap_or(usual))
        }
        FieldKind::Flag => match document.flag(address).filter(|_| !typed.is_empty()) {
            Some(flag) => (flag.to_string(), usual),
            None => (typed.to_owned(), usual),
        },
        _ if takes_marks(field) => match split_marks(typed) {
            Ok((value, origin)) => (value.trim().to_owned(), origin.unwrap_or(usual)),
            Err(_) => (typed.trim().to_owned(), usual),
        },
        _ => (typed.trim().to_owned(), usual),
    }
}

/// Whether a value of this field bears a mark.
pub fn takes_marks(field: &Field) -> bool {
    matches!(field.kind, FieldKind::Quantity(_) | FieldKind::Integer | FieldKind::Choice(_))
}

fn composed(field: &Field, value: &str, origin: Origin) -> String {
    let value = value.trim();
    let is_marked = matches!(split_marks(value), Ok((_, Some(_))) | Err(_));
    if value.is_empty() || origin == field.usual_origin() || is_marked || !takes_marks(field) {
        return value.to_owned();
    }
    format!("{value}, {}", origin.word())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn changed(text: &str, form: &str) -> String {
        with_changes(text.to_owned(), text, &Query::parse(form.as_bytes()))
    }

    #[test]
    fn only_what_differs_is_written() {
        let text = "[hull]\ndraught = \"~1.5 m\"  # tape\nkeel = \"fin\"\nlength_overall = \"9 m ± 1 %\"\n";
        let same = "f:hull.draught=1.5+m&m:hull.draught=assumed&f:hull.keel=fin&f:hull.length_overall=9+m+%C2%B1+1+%25";
        assert_eq!(changed(text, same), text);
        let measured = changed(text, "f:hull.draught=1.5+m");
        assert!(measured.contains("draught = \"1.5 m\" # tape"), "{measured}");
        let assumed = changed(text, "f:hull.keel=fin&m:hull.keel=assumed&f:nonsense.x=1");
        assert!(assumed.contains("keel = \"fin, assumed\""), "{assumed}");
    }

    #[test]
    fn what_is_typed_is_understood_where_it_has_one_reading() {
        let text = "[hull]\ndraught = \"5 ft\"\n\n[propeller]\ndiameter = \"13 in\"\npitch = \"9 in\"\n";
        let both = changed(text, "f:propeller.diameter=14x10&f:propeller.pitch=9+in&f:hull.draught=5.5");
        assert!(both.contains("diameter = \"14 in\"") && both.contains("pitch = \"10 in\""), "{both}");
        assert!(both.contains("draught = \"5.5 ft\""), "{both}");
        // Typed twice and not alike: it stays, and is asked about.
        let odd = changed(text, "f:propeller.diameter=14x10&f:propeller.pitch=11");
        assert!(odd.contains("diameter = \"14x10\"") && odd.contains("pitch = \"11 in\""), "{odd}");
        let alike = changed(text, "f:propeller.diameter=14x10&f:propeller.pitch=10");
        assert!(alike.contains("diameter = \"14 in\"") && alike.contains("pitch = \"10 in\""), "{alike}");
        let plate = changed(text, "f:propeller.pitch=9.5&m:propeller.pitch=plate");
        assert!(plate.contains("pitch = \"9.5 in, plate\""), "{plate}");
        assert!(changed(text, "f:boat.surveyed=30.4.2025").contains("surveyed = 2025-04-30"));
        let asked = changed(text, "f:boat.surveyed=5/4/2025");
        let faults = BoatDocument::parse_lenient(&asked).1;
        assert!(faults.iter().any(|f| f.problem.contains("2025-04-05 or 2025-05-04")), "{faults:?}");
    }

    #[test]
    fn wrong_input_is_kept_as_typed() {
        let odd = changed("[hull]\n", "f:hull.draught=%22wet%22+%3C%5C&f:boat.year=long+ago");
        let document = BoatDocument::parse_lenient(&odd).0.unwrap();
        assert_eq!(document.typed("hull.draught"), Some("\"wet\" <\\"), "{odd}");
        assert_eq!(document.typed("boat.year"), Some("long ago"));
    }

    #[test]
    fn ends_of_line_stay_as_they_were() {
        assert_eq!(with_ends_of_line_as_in("a\nb", "x\r\ny"), "x\ny");
        assert_eq!(with_ends_of_line_as_in("a\r\nb", "x\r\ny\n"), "x\r\ny\r\n");
    }
}
