//! Everything of a boat as one file, out and in: documents, revisions, trials with their logs, forecasts, records with their
//! photographs. `docs/archive.md` describes it. Not for: the whole store (backup and restore are the store's own).

use std::collections::HashSet;
use std::io::{Read, Seek, Write};

use serde::{Deserialize, Serialize};
use wakewright_records::boat::{BoatDocument, LONGEST_DOCUMENT_BYTES};
use wakewright_records::dated::HELD_KIND;
use wakewright_store::{
    Boat, BoatId, NewEnclosure, Record, RecordSave, SaveOutcome, Store, StoreError, TRIAL_KIND, UnixMs,
};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

use crate::transfer::renamed;
use crate::trials::unpacked_digest;

/// Name and version of the form.
const FORMAT: &str = "wakewright/archive";
const VERSION: u32 = 1;
const MANIFEST: &str = "manifest.json";
/// Longest manifest, and longest log or photograph as it is kept.
const LONGEST_MANIFEST_BYTES: u64 = 8 << 20;
const LONGEST_LOG_BYTES: u64 = crate::logs::LONGEST_LOG_BYTES;
const LONGEST_PHOTOGRAPH_BYTES: u64 = 16 << 20;
/// All that an archive may hold, unpacked.
const LONGEST_BYTES: u64 = 4 << 30;

/// Why an archive cannot be written or taken in.
#[derive(Debug, thiserror::Error)]
pub enum ArchiveError {
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The file.
    #[error("the archive cannot be read or written: {0}")]
    File(#[from] std::io::Error),
    /// The packing.
    #[error("this is no archive of a boat: {0}")]
    Zip(#[from] zip::result::ZipError),
    /// What stands in it.
    #[error("this archive cannot be taken in: {0}. Nothing of it was kept")]
    Content(String),
}

/// What an archive holds: texts and files by their names in it.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Manifest {
    format: String,
    version: u32,
    boat: String,
    revisions: Vec<Text>,
    trials: Vec<Kept>,
    forecasts: Vec<Text>,
    records: Vec<Kept>,
}

/// 1970 to 2200: no entry is of another time.
const TIMES_MS: std::ops::Range<i64> = 0..7_258_118_400_000;

impl Manifest {
    /// Every time in it.
    fn times_ms(&self) -> impl Iterator<Item = i64> {
        let texts = self.revisions.iter().chain(&self.forecasts);
        let texts = texts.flat_map(|text| [Some(text.time_ms), text.removed_ms]);
        let kept = self.trials.iter().chain(&self.records).flat_map(|one| {
            let own = [Some(one.text.time_ms), one.text.changed_ms, one.text.removed_ms];
            let before = one.before.iter().map(|text| Some(text.time_ms));
            own.into_iter().chain(before).chain(one.files.iter().map(|piece| Some(piece.time_ms)))
        });
        texts.chain(kept).flatten()
    }
}

/// A text with its time.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Text {
    file: String,
    time_ms: i64,
    #[serde(default)]
    note: String,
    #[serde(default)]
    removed_ms: Option<i64>,
}

/// A trial or a record with its files.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Kept {
    kind: String,
    #[serde(flatten)]
    text: TextOf,
    /// What stood in it before, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    before: Vec<Text>,
    files: Vec<Piece>,
}

#[derive(Debug, Serialize, Deserialize)]
struct TextOf {
    file: String,
    time_ms: i64,
    /// Since when its text stands, where it stood otherwise before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    changed_ms: Option<i64>,
    removed_ms: Option<i64>,
}

/// A log or a photograph.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Piece {
    file: String,
    name: String,
    /// Which entry of the record it belongs to.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    place: String,
    time_ms: i64,
    digest: String,
    /// Of a log before packing.
    #[serde(default)]
    plain_bytes: u64,
}

/// How much went out or came in.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Held {
    /// Revisions of her document.
    pub revisions: usize,
    /// Trials.
    pub trials: usize,
    /// Logs of trials and photographs of records.
    pub files: usize,
    /// Records.
    pub records: usize,
    /// Forecasts.
    pub forecasts: usize,
}

impl Held {
    fn of(manifest: &Manifest) -> Self {
        let files = |kept: &[Kept]| kept.iter().map(|one| one.files.len()).sum::<usize>();
        Self {
            revisions: manifest.revisions.len(),
            trials: manifest.trials.len(),
            files: files(&manifest.trials) + files(&manifest.records),
            records: manifest.records.len(),
            forecasts: manifest.forecasts.len(),
        }
    }

    /// In words.
    #[must_use]
    pub fn words(&self) -> String {
        let of =
            |count: usize, one: &str, many: &str| format!("{count} {}", if count == 1 { one } else { many });
        [
            of(self.revisions, "revision", "revisions"),
            of(self.trials, "trial", "trials"),
            of(self.records, "record", "records"),
            of(self.forecasts, "forecast", "forecasts"),
            of(self.files, "log or photograph", "logs and photographs"),
        ]
        .join(", ")
    }
}

/// Files into an archive.
struct Packer<W: Write + Seek> {
    zip: ZipWriter<W>,
}

impl<W: Write + Seek> Packer<W> {
    /// Texts are packed; logs and photographs are already. The same content gives the same bytes: no clock is in it.
    fn put(&mut self, file: &str, bytes: &[u8], is_packed: bool) -> Result<(), ArchiveError> {
        let method = if is_packed { CompressionMethod::Stored } else { CompressionMethod::Deflated };
        let options = SimpleFileOptions::default()
            .compression_method(method)
            .last_modified_time(zip::DateTime::default())
            .large_file(bytes.len() as u64 >= u64::from(u32::MAX));
        self.zip.start_file(file, options)?;
        self.zip.write_all(bytes)?;
        Ok(())
    }
}

/// Writes everything of `boat` to `out`.
/// # Errors
/// [`ArchiveError`]; the file may then be half written.
pub fn write<W: Write + Seek>(store: &Store, boat: &Boat, out: W) -> Result<Held, ArchiveError> {
    let mut pack = Packer { zip: ZipWriter::new(out) };
    let mut manifest = Manifest {
        format: FORMAT.to_owned(),
        version: VERSION,
        boat: boat.name.clone(),
        revisions: Vec::new(),
        trials: Vec::new(),
        forecasts: Vec::new(),
        records: Vec::new(),
    };
    let mut heads = store.revisions(boat.id)?;
    heads.sort_by_key(|head| head.number);
    for head in heads {
        let file = format!("revisions/{:04}.toml", head.number);
        pack.put(&file, store.get(boat.id, head.number)?.text.as_bytes(), false)?;
        let (time_ms, note) = (head.time.0, head.note);
        manifest.revisions.push(Text { file, time_ms, note, removed_ms: None });
    }
    for (place, forecast) in store.forecasts(boat.id)?.into_iter().enumerate() {
        let file = format!("forecasts/{:03}.json", place + 1);
        pack.put(&file, forecast.text.as_bytes(), false)?;
        let removed_ms = forecast.removed.map(|at| at.0);
        manifest.forecasts.push(Text { file, time_ms: forecast.time.0, note: String::new(), removed_ms });
    }
    // Those that were removed keep their numbers for the others.
    for record in store.records_and_removed(boat.id)? {
        let Record { kind, number, .. } = &record;
        let is_trial = kind == TRIAL_KIND;
        let (folder, name, files_in, ending) = if is_trial {
            (format!("trials/{number:03}"), "trial.toml", "logs", ".gz")
        } else {
            (format!("records/{kind}-{number:03}"), "record.toml", "photographs", "")
        };
        let file = format!("{folder}/{name}");
        pack.put(&file, record.text.as_bytes(), false)?;
        let mut before = Vec::new();
        for revision in store.record_revisions(record.id)?.into_iter().rev() {
            let file = format!("{folder}/before/{:04}.toml", before.len() + 1);
            pack.put(&file, revision.text.as_bytes(), false)?;
            before.push(Text { file, time_ms: revision.time.0, note: String::new(), removed_ms: None });
        }
        let mut files = Vec::new();
        for (at, kept) in store.enclosures(record.id)?.into_iter().enumerate() {
            let file = format!("{folder}/{files_in}/{:02}{ending}", at + 1);
            pack.put(&file, &store.enclosed(boat.id, kept.id)?, true)?;
            let plain_bytes = if is_trial { kept.plain_bytes } else { 0 };
            let (time_ms, digest) = (kept.added.0, kept.digest);
            files.push(Piece { file, name: kept.name, place: kept.place, time_ms, digest, plain_bytes });
        }
        let removed_ms = record.removed.map(|at| at.0);
        let changed_ms = (!before.is_empty()).then_some(record.changed.0);
        let text = TextOf { file, time_ms: record.created.0, changed_ms, removed_ms };
        let list = if is_trial { &mut manifest.trials } else { &mut manifest.records };
        list.push(Kept { kind: record.kind, text, before, files });
    }
    let text = serde_json::to_vec_pretty(&manifest).map_err(std::io::Error::other)?;
    pack.put(MANIFEST, &text, false)?;
    pack.zip.finish()?;
    Ok(Held::of(&manifest))
}

/// Files out of an archive, each no longer than it may be and all together neither.
struct Opened<R: Read + Seek> {
    zip: ZipArchive<R>,
    left: u64,
    taken: HashSet<String>,
}

impl<R: Read + Seek> Opened<R> {
    /// The bytes of a file. Names are looked up and never written to; one that climbs out of its folder is refused all the same, for
    /// another program that unpacks it would follow it.
    fn bytes(&mut self, file: &str, most: u64) -> Result<Vec<u8>, ArchiveError> {
        let content = |why: &str| ArchiveError::Content(format!("{file:?}: {why}"));
        if file.starts_with('/') || file.contains([':', '\\']) || file.split('/').any(|part| part == "..") {
            return Err(content(
                "the path climbs out of its folder: no archive of this program has such a one. Ask whoever sent it for another",
            ));
        }
        if !self.taken.insert(file.to_owned()) {
            return Err(content("the list names it twice"));
        }
        let entry =
            self.zip.by_name(file).map_err(|_| content("it is named in the list and is not there"))?;
        let mut bytes = Vec::new();
        entry.take(most.min(self.left) + 1).read_to_end(&mut bytes)?;
        let length = bytes.len() as u64;
        if length > most {
            return Err(content(&format!("it is longer than {} MB", most >> 20)));
        }
        self.left = self
            .left
            .checked_sub(length)
            .ok_or_else(|| content("the archive holds more than 4 GB unpacked"))?;
        Ok(bytes)
    }

    fn text(&mut self, file: &str, most: u64) -> Result<String, ArchiveError> {
        let bytes = self.bytes(file, most)?;
        String::from_utf8(bytes).map_err(|_| ArchiveError::Content(format!("{file:?}: it is no text")))
    }
}

/// The last part of a path, as a name.
fn base_name(name: &str) -> &str {
    let last = name.rsplit(['/', '\\']).next().unwrap_or_default().trim();
    if last.is_empty() || last == "." || last == ".." { "file" } else { last }
}

/// Takes a boat in, under `name` where one is given. All of it or, but for a store that fails between, nothing: everything is read
/// and looked at before the first write.
/// # Errors
/// [`ArchiveError`]: no archive, too long, broken, a boat of that name is there.
pub fn bring_in<R: Read + Seek>(
    store: &mut Store,
    bytes: R,
    name: Option<&str>,
) -> Result<(Boat, Held), ArchiveError> {
    const DOCUMENT: u64 = LONGEST_DOCUMENT_BYTES as u64;
    let content = |why: String| ArchiveError::Content(why);
    let mut opened = Opened { zip: ZipArchive::new(bytes)?, left: LONGEST_BYTES, taken: HashSet::new() };
    let text = opened.text(MANIFEST, LONGEST_MANIFEST_BYTES)?;
    let manifest: Manifest =
        serde_json::from_str(&text).map_err(|error| content(format!("its list cannot be read ({error})")))?;
    if manifest.format != FORMAT || manifest.version != VERSION {
        return Err(content(format!(
            "it is of form {:?} version {}, and {FORMAT} version {VERSION} is known here",
            manifest.format, manifest.version
        )));
    }
    let boat_name = name.unwrap_or(&manifest.boat).to_owned();
    if let Ok(there) = store.find(&boat_name) {
        return Err(StoreError::NameTaken { name: there.name }.into());
    }
    let mut revisions = Vec::new();
    for revision in &manifest.revisions {
        revisions.push(renamed(&opened.text(&revision.file, DOCUMENT)?, &boat_name));
    }
    let Some((first, rest)) = revisions.split_first() else {
        return Err(content("it holds no document".to_owned()));
    };
    if let Some(no_boat) = revisions.iter().position(|text| BoatDocument::parse_lenient(text).0.is_none()) {
        return Err(content(format!("{:?} is no boat document", manifest.revisions[no_boat].file)));
    }
    if let Some(time_ms) = manifest.times_ms().find(|time_ms| !TIMES_MS.contains(time_ms)) {
        return Err(content(format!("a time in it ({time_ms} ms since 1970) lies outside 1970 to 2200")));
    }
    let mut texts = Vec::new();
    for forecast in &manifest.forecasts {
        texts.push(opened.text(&forecast.file, DOCUMENT)?);
    }
    let mut read = |all: &[Kept], most: u64| -> Result<Vec<WithFiles>, ArchiveError> {
        all.iter()
            .map(|one| {
                let texts = one.before.iter().map(|text| &text.file).chain([&one.text.file]);
                let texts = texts.map(|file| opened.text(file, DOCUMENT)).collect::<Result<_, _>>()?;
                let files = one.files.iter().map(|piece| opened.bytes(&piece.file, most));
                Ok((texts, files.collect::<Result<_, _>>()?))
            })
            .collect()
    };
    let trials = read(&manifest.trials, LONGEST_LOG_BYTES)?;
    let records = read(&manifest.records, LONGEST_PHOTOGRAPH_BYTES)?;
    let at = |ms: i64| UnixMs(ms);
    let pictures = records.iter().flat_map(|(_, files)| files);
    if !pictures
        .into_iter()
        .all(|bytes| bytes.starts_with(&[0xff, 0xd8, 0xff]) || bytes.starts_with(b"\x89PNG"))
    {
        return Err(content("a photograph in it is neither JPEG nor PNG".to_owned()));
    }
    for (one, (_, files)) in manifest.trials.iter().zip(&trials) {
        for (piece, bytes) in one.files.iter().zip(files) {
            let (length, digest) = unpacked_digest(bytes).map_err(|error| {
                content(format!("{:?}: the log cannot be unpacked ({error})", piece.file))
            })?;
            if (length, &digest) != (piece.plain_bytes, &piece.digest) {
                return Err(content(format!(
                    "{:?} is not the log that its list says: length or digest differ",
                    piece.file
                )));
            }
        }
    }
    let strange = |one: &&Kept, is_trial: bool| match is_trial {
        true => one.kind != TRIAL_KIND,
        false => crate::dated::kind_named(&one.kind).is_none() && one.kind != HELD_KIND,
    };
    let of_trials = manifest.trials.iter().find(|one| strange(one, true));
    if let Some(one) = of_trials.or_else(|| manifest.records.iter().find(|one| strange(one, false))) {
        return Err(content(format!("{:?} is no kind of record that is known here", one.kind)));
    }
    let id: BoatId =
        store.create(&boat_name, first, &note(&manifest.revisions[0]), at(manifest.revisions[0].time_ms))?;
    let read = Texts { rest, trials: &trials, texts: &texts, records: &records };
    match fill(store, id, &manifest, &read) {
        Ok(()) => Ok((store.boat(id)?, Held::of(&manifest))),
        Err(error) => {
            // Half a boat is none: she is put away, and can be had back.
            store.remove(id, at(manifest.revisions[0].time_ms))?;
            Err(error)
        }
    }
}

fn note(text: &Text) -> String {
    text.note.chars().take(500).collect()
}

/// Texts one after the other, the last as it stands, with the bytes of its files.
type WithFiles = (Vec<String>, Vec<Vec<u8>>);

/// What was read, beside the list.
struct Texts<'a> {
    rest: &'a [String],
    trials: &'a [WithFiles],
    texts: &'a [String],
    records: &'a [WithFiles],
}

/// Everything after the first revision.
fn fill(store: &mut Store, id: BoatId, manifest: &Manifest, read: &Texts<'_>) -> Result<(), ArchiveError> {
    let at = UnixMs;
    let mut base = 1;
    for (text, head) in read.rest.iter().zip(&manifest.revisions[1..]) {
        base = match store.save(id, base, text, &note(head), at(head.time_ms))? {
            SaveOutcome::Saved(head) => head.number,
            SaveOutcome::Unchanged { latest } => latest,
            SaveOutcome::Conflict { theirs, .. } => theirs.head.number,
        };
    }
    for (forecast, text) in manifest.forecasts.iter().zip(read.texts) {
        let kept = store.keep_forecast(id, text, at(forecast.time_ms))?;
        if let Some(removed_ms) = forecast.removed_ms {
            store.put_forecast_aside(kept, at(removed_ms))?;
        }
    }
    let trials = manifest.trials.iter().zip(read.trials).map(|both| (TRIAL_KIND, both));
    let records = manifest.records.iter().zip(read.records).map(|both| (both.0.kind.as_str(), both));
    for (kind, (one, (texts, files))) in trials.chain(records) {
        let Some((first, later)) = texts.split_first() else { continue };
        let record = store.enter_record(id, kind, first, &[], at(one.text.time_ms))?;
        let since = one.before.iter().skip(1).map(|text| Some(text.time_ms)).chain([one.text.changed_ms]);
        let mut base = record.version;
        for (text, since) in later.iter().zip(since) {
            let since = at(since.unwrap_or(one.text.time_ms));
            base = match store.save_record(record.id, base, text, &[], since)? {
                RecordSave::Saved(version) => version,
                RecordSave::Overtaken(theirs) => theirs.version,
            };
        }
        for (piece, bytes) in one.files.iter().zip(files) {
            let Piece { place, digest, .. } = piece;
            let plain_bytes = if kind == TRIAL_KIND { piece.plain_bytes } else { bytes.len() as u64 };
            let new = NewEnclosure { name: base_name(&piece.name), place, plain_bytes, digest, bytes };
            store.add_enclosure(record.id, &new, at(piece.time_ms))?;
        }
        store.shelve_record(record.id, one.text.removed_ms.map(at))?;
    }
    Ok(())
}
