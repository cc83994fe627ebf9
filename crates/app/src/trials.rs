//! Trials of the store: logs brought in and packed, a trial put together from its document and its
//! logs, tables out of it. For the commands and the page alike.
//! Not for: the meaning of runs (`wakewright_core::trial`) or the causes of a shortfall.

use std::collections::HashMap;
use std::fmt::Write as _;
use std::fs::File;
use std::io::{Cursor, Read, Write};
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};

use flate2::Compression;
use flate2::read::MultiGzDecoder;
use flate2::write::GzEncoder;
use wakewright_core::boat::BoatSpec;
use wakewright_core::trial::{
    DayWatts, PairBounds, Run, RunFlag, StatedBoat, TrialAnalysis, TrialDay, analyse_trial,
};
use wakewright_core::water::Water;
use wakewright_records::boat::BoatDocument;
use wakewright_records::logs::csv::Mapping;
use wakewright_records::logs::{Log, LogNotice, Measured, TimeBase, channel_key};
use wakewright_records::trial::{
    CORRECTIONS, Conditions, Correction, LogUse, RunState, TrialDocument, TrialReading, read_trial,
};
use wakewright_store::{BoatId, KeptLog, NewLog, Store, StoreError, Trial, TrialSave, UnixMs};
use wakewright_units::{UnitSystem, unit_for};

use wakewright_report::text::Paper;
use wakewright_report::trial::{DayFacts, DayPart, RunFacts, TrialFacts};

use crate::logs::{Opened, SHORT_RUN_S, read, remark, time_text};

/// Under which answers about the columns of tables are remembered.
const MAPPINGS: &str = "columns of a table";
/// Under which it is remembered that a source writes current out of the bank as negative.
const TURNED: &str = "current out is negative";
/// Under which channels of a source that are not believed are remembered.
const LEFT_OUT: &str = "channels left out";
/// A log is no longer than this, unpacked: a season of one-second records.
pub const LONGEST_LOG_BYTES: u64 = 1 << 30;
/// Logs that are kept read, in memory.
const SHELF_LENGTH: usize = 6;
/// Packing speed against size: fast, since a log waits for it.
const PACKING: u32 = 3;

/// A log to be brought in.
#[derive(Debug, Clone)]
pub struct IncomingLog {
    /// Its name.
    pub name: String,
    /// Where its bytes are.
    pub path: PathBuf,
}

impl IncomingLog {
    fn open(&self) -> std::io::Result<File> {
        File::open(&self.path)
    }
}

/// A log that was read and packed, not yet kept.
#[derive(Debug)]
pub struct PackedLog {
    /// Its name.
    pub name: String,
    /// As it was read.
    pub opened: Opened,
    plain_bytes: u64,
    digest: String,
    packed: Vec<u8>,
}

/// What goes wrong with a trial.
#[derive(Debug, thiserror::Error)]
pub enum TrialError {
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The log.
    #[error("{name}: {why}")]
    Log {
        /// Its name.
        name: String,
        /// Why, and what to do.
        why: String,
    },
    /// The text in the store is no trial.
    #[error("trial {number} cannot be read: {why}")]
    Document {
        /// Its number.
        number: u32,
        /// Why.
        why: String,
    },
    /// Somebody else saved first.
    #[error("trial {0} was changed by another device meanwhile; look at it and try again.")]
    Overtaken(u32),
}

/// Reads and packs a log, both at once.
/// # Errors
/// [`TrialError::Log`] when it cannot be had, is no log or is too long; nothing was kept.
pub fn pack(incoming: &IncomingLog, mappings: &[Mapping]) -> Result<PackedLog, TrialError> {
    let fail = |why: String| TrialError::Log { name: incoming.name.clone(), why };
    let (packing, opened) = std::thread::scope(|scope| {
        let packing = scope.spawn(|| pack_bytes(incoming.open()?));
        let opened = incoming.open().map(|bytes| read(&incoming.name, bytes, mappings));
        (packing.join(), opened)
    });
    let opened = opened.map_err(|error| fail(error.to_string()))?;
    if let Err(why) = &opened.log {
        return Err(fail(why.clone()));
    }
    let packing = packing.unwrap_or_else(|_| Err(std::io::Error::other("packing it broke off")));
    let (packed, plain_bytes, digest) = packing.map_err(|error| fail(error.to_string()))?;
    Ok(PackedLog { name: incoming.name.clone(), opened, plain_bytes, digest, packed })
}

/// The bytes packed with gzip (those that are so already stay as they are), their plain length and
/// digest.
fn pack_bytes(mut bytes: impl Read) -> std::io::Result<(Vec<u8>, u64, String)> {
    let mut head = Vec::new();
    bytes.by_ref().take(2).read_to_end(&mut head)?;
    let is_packed = head == [0x1f, 0x8b];
    let mut whole = Cursor::new(head).chain(bytes);
    let mut count = Counted::default();
    let packed = if is_packed {
        let mut packed = Vec::new();
        whole.take(LONGEST_LOG_BYTES + 1).read_to_end(&mut packed)?;
        count.drain(MultiGzDecoder::new(packed.as_slice()))?;
        packed
    } else {
        let mut packer = GzEncoder::new(Vec::new(), Compression::new(PACKING));
        let mut block = vec![0; 256 * 1024];
        loop {
            let length = whole.read(&mut block)?;
            if length == 0 {
                break packer.finish()?;
            }
            count.add(&block[..length])?;
            packer.write_all(&block[..length])?;
        }
    };
    Ok((packed, count.bytes, format!("{}-{:016x}", count.bytes, count.digest)))
}

/// Counts bytes and digests them: FNV-1a over words of eight, enough to know a file again.
struct Counted {
    bytes: u64,
    digest: u64,
}

impl Default for Counted {
    fn default() -> Self {
        Self { bytes: 0, digest: 0xcbf2_9ce4_8422_2325 }
    }
}

impl Counted {
    fn add(&mut self, bytes: &[u8]) -> std::io::Result<()> {
        self.bytes += bytes.len() as u64;
        if self.bytes > LONGEST_LOG_BYTES {
            let most = LONGEST_LOG_BYTES >> 20;
            return Err(std::io::Error::other(format!("a log has {most} MB at most; cut it into days")));
        }
        for byte in bytes {
            self.digest = (self.digest ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
        Ok(())
    }

    fn drain(&mut self, mut reader: impl Read) -> std::io::Result<()> {
        let mut block = vec![0; 256 * 1024];
        loop {
            let length = reader.read(&mut block)?;
            if length == 0 {
                return Ok(());
            }
            self.add(&block[..length])?;
        }
    }
}

/// Mappings that were confirmed before.
/// # Errors
/// The store fails.
pub fn known_mappings(store: &Store) -> Result<Vec<Mapping>, StoreError> {
    let texts = store.all_remembered(MAPPINGS)?;
    Ok(texts.iter().filter_map(|text| Mapping::from_json(text).ok()).collect())
}

/// Remembers what the columns of tables like this one mean.
/// # Errors
/// The store fails.
pub fn remember_mapping(store: &mut Store, mapping: &Mapping, time: UnixMs) -> Result<(), StoreError> {
    store.remember(MAPPINGS, &mapping.source_key(), &mapping.to_json(), time)
}

/// What a log is known by: its columns, else its messages. Logs from one source share it.
fn source_of(opened: &Opened) -> String {
    match (&opened.mapping, &opened.log) {
        (Some(mapping), _) => mapping.source_key(),
        (None, Ok(log)) => log.channels.iter().map(|channel| channel.key()).collect::<Vec<_>>().join(" "),
        (None, Err(_)) => String::new(),
    }
}

/// Puts logs into a new trial, or into that of `number`, all or nothing. What was answered before
/// about logs of the same source is taken over.
/// # Errors
/// [`TrialError`]; then nothing was changed.
pub fn keep_logs(
    store: &mut Store,
    boat: BoatId,
    number: Option<u32>,
    logs: &[PackedLog],
    title: &str,
    time: UnixMs,
) -> Result<Trial, TrialError> {
    let kept = match number {
        Some(number) => Some(store.trial(boat, number)?),
        None => None,
    };
    let mut document = match &kept {
        Some(trial) => document_of(trial)?,
        None => TrialDocument::titled(title),
    };
    for log in logs {
        take_up(store, &mut document, log)?;
    }
    let new: Vec<NewLog<'_>> = logs.iter().map(PackedLog::new_log).collect();
    let Some(trial) = kept else {
        return Ok(store.enter_trial(boat, &document.to_json(), &new, time)?);
    };
    for log in &new {
        store.add_log(trial.id, log, time)?;
    }
    match store.save_trial(trial.id, trial.version, &document.to_json(), time)? {
        TrialSave::Saved(_) => Ok(store.trial(boat, trial.number)?),
        TrialSave::Overtaken(theirs) => Err(TrialError::Overtaken(theirs.number)),
    }
}

impl PackedLog {
    fn new_log(&self) -> NewLog<'_> {
        NewLog { name: &self.name, plain_bytes: self.plain_bytes, digest: &self.digest, packed: &self.packed }
    }

    /// Bytes of the log, and of it packed.
    #[must_use]
    pub fn sizes(&self) -> (u64, u64) {
        (self.plain_bytes, self.packed.len() as u64)
    }
}

/// Enters `log` in the document, with what is known of its source.
fn take_up(store: &Store, document: &mut TrialDocument, log: &PackedLog) -> Result<(), TrialError> {
    if document.log_mut(&log.digest).is_some() {
        return Ok(());
    }
    let source = source_of(&log.opened);
    let left_out = store.remembered(LEFT_OUT, &source)?.unwrap_or_default();
    document.logs.push(LogUse {
        digest: log.digest.clone(),
        name: log.name.clone(),
        shift: String::new(),
        mapping: log.opened.mapping.clone().filter(|_| log.opened.is_mapping_told()),
        left_out: left_out.lines().map(str::to_owned).collect(),
    });
    document.meter.is_current_turned |= store.remembered(TURNED, &source)?.as_deref() == Some("yes");
    if document.date.trim().is_empty()
        && let Ok(read) = &log.opened.log
        && read.time_base == TimeBase::Utc
        && let Some((from_s, _)) = read.span_s()
    {
        document.date = time_text(TimeBase::Utc, from_s).chars().take(10).collect();
    }
    Ok(())
}

/// The document in a trial's text.
/// # Errors
/// [`TrialError::Document`].
pub fn document_of(trial: &Trial) -> Result<TrialDocument, TrialError> {
    TrialDocument::from_json(&trial.text)
        .map_err(|error| TrialError::Document { number: trial.number, why: error.to_string() })
}

/// A log by its digest and the mapping that it was read by.
type ShelfKey = (String, String);

/// Logs that were read lately, so that a page need not read them again.
#[derive(Debug, Default)]
pub struct LogShelf {
    read: Mutex<HashMap<ShelfKey, (u64, Arc<Opened>)>>,
}

impl LogShelf {
    fn get(&self, store: &Store, kept: &KeptLog, used: &LogUse) -> Result<Arc<Opened>, StoreError> {
        let key = (used.digest.clone(), used.mapping.as_ref().map_or_else(String::new, Mapping::to_json));
        let now = {
            let mut read = self.read.lock().unwrap_or_else(PoisonError::into_inner);
            let now = read.values().map(|(when, _)| *when).max().unwrap_or(0) + 1;
            if let Some((when, opened)) = read.get_mut(&key) {
                *when = now;
                return Ok(Arc::clone(opened));
            }
            now
        };
        let packed = store.packed_log(kept.id)?;
        let mappings: Vec<Mapping> = used.mapping.iter().cloned().collect();
        let came_packed = used.name.to_lowercase().ends_with(".gz");
        let opened = Arc::new(read(&used.name, packed.as_slice(), &mappings).came_packed(came_packed));
        let mut read = self.read.lock().unwrap_or_else(PoisonError::into_inner);
        if read.len() >= SHELF_LENGTH
            && let Some(oldest) = read.iter().min_by_key(|(_, (when, _))| *when).map(|(key, _)| key.clone())
        {
            read.remove(&oldest);
        }
        read.insert(key, (now, Arc::clone(&opened)));
        Ok(opened)
    }
}

/// A run with what the day did to it.
#[derive(Debug, Clone, PartialEq)]
pub struct StatedRun {
    /// Place in [`TrialReading::runs`].
    pub index: usize,
    /// Speed through the water, stream out \[m/s\]; `None` when it is not known.
    pub speed_m_s: Option<f64>,
    /// What each condition added to its power.
    pub watts: DayWatts,
    /// Power with the corrections that are switched on taken off \[W\].
    pub power_w: Option<f64>,
    /// What to say of it.
    pub flags: Vec<RunFlag>,
}

/// A trial put together.
#[derive(Debug)]
pub struct KeptTrial {
    /// As it is kept.
    pub trial: Trial,
    /// What it says.
    pub document: TrialDocument,
    /// Its logs, in the order of the document, where the store has them.
    pub logs: Vec<Option<KeptLog>>,
    /// The same, read.
    pub opened: Vec<Option<Arc<Opened>>>,
    /// Conditions, joined logs, runs, faults.
    pub reading: TrialReading,
    /// Pairs and stream of the runs that are used; places count those.
    pub analysis: TrialAnalysis,
    /// Runs that are used, with the day taken out.
    pub stated: Vec<StatedRun>,
    /// Questions about the logs, each with the answers it can have.
    pub questions: Vec<Question>,
}

/// A question about a log.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Which log.
    pub log: usize,
    /// What is asked.
    pub notice: LogNotice,
    /// What can be done about it.
    pub answers: Vec<Answer>,
}

/// What can be done about a question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Answer {
    /// Leave this channel out.
    LeaveOut(String),
    /// Turn the sign of the current, or turn it back.
    TurnCurrent,
    /// The clock of the log is ahead of UTC by so many seconds.
    ClockAhead(i32),
}

impl KeptTrial {
    /// The trial `number` of `boat`, whose document is `spec` and `boat_document`.
    /// # Errors
    /// [`TrialError`].
    pub fn load(
        store: &Store,
        shelf: &LogShelf,
        boat: BoatId,
        number: u32,
        about: Option<(&BoatDocument, &BoatSpec)>,
    ) -> Result<Self, TrialError> {
        let trial = store.trial(boat, number)?;
        let document = document_of(&trial)?;
        let kept = store.logs(trial.id)?;
        let mut logs = Vec::new();
        let mut opened = Vec::new();
        for used in &document.logs {
            let log = kept.iter().find(|log| log.digest == used.digest);
            opened.push(match log {
                Some(log) => Some(shelf.get(store, log, used)?),
                None => None,
            });
            logs.push(log.cloned());
        }
        let read: Vec<Option<&Log>> =
            opened.iter().map(|opened| opened.as_ref()?.log.as_ref().ok()).collect();
        let reading = read_trial(&document, &read);
        let analysis = analyse_trial(&reading.used(), &PairBounds::default());
        let stated = about.map_or_else(Vec::new, |(boat_document, spec)| {
            stated_runs(&document, &reading, &analysis, boat_document, spec)
        });
        let questions = questions(&document, &opened, &reading);
        Ok(Self { trial, document, logs, opened, reading, analysis, stated, questions })
    }

    /// Remembers what was answered, for logs of the same source.
    /// # Errors
    /// The store fails.
    pub fn remember_answers(&self, store: &mut Store, time: UnixMs) -> Result<(), StoreError> {
        for (used, opened) in self.document.logs.iter().zip(&self.opened) {
            let Some(opened) = opened else { continue };
            let source = source_of(opened);
            if let Some(mapping) = &used.mapping {
                remember_mapping(store, mapping, time)?;
            }
            let left_out: Vec<&str> = used.left_out.iter().map(String::as_str).collect();
            store.remember(LEFT_OUT, &source, &left_out.join("\n"), time)?;
            if opened
                .log
                .as_ref()
                .is_ok_and(|log| log.channels.iter().any(|c| c.measured.word() == "current"))
            {
                let turned = if self.document.meter.is_current_turned { "yes" } else { "no" };
                store.remember(TURNED, &source, turned, time)?;
            }
        }
        Ok(())
    }
}

impl KeptTrial {
    /// Its runs, as a report shows them.
    #[must_use]
    pub fn facts(&self, paper: &Paper) -> TrialFacts {
        let base = self.reading.outings.first().map_or(TimeBase::TimeOfDay, |outing| outing.time_base);
        let used = self.reading.runs.iter().filter(|run| run.state == RunState::Used);
        let runs = used.enumerate().map(|(place, read)| {
            let flags = self.stated.get(place).map(|stated| stated.flags.as_slice()).unwrap_or_default();
            let is_notebook = read.place.is_none();
            RunFacts {
                from: if is_notebook { format!("row {}", place + 1) } else { run_start(base, &read.run) },
                run: read.run,
                is_shallow: flags.contains(&RunFlag::Shallow) || self.reading.conditions.is_confined,
                is_short: !is_notebook && read.run.duration_s < SHORT_RUN_S,
            }
        });
        TrialFacts {
            files: self.document.logs.iter().map(|log| log.name.clone()).collect(),
            runs: runs.collect(),
            analysis: self.analysis.clone(),
            remarks: self.questions.iter().map(|question| remark(&question.notice, paper)).collect(),
        }
    }

    /// What the day did to each run.
    #[must_use]
    pub fn day_facts(&self) -> Vec<DayFacts> {
        self.stated
            .iter()
            .enumerate()
            .map(|(place, stated)| DayFacts {
                run: place + 1,
                measured_w: self.reading.runs[stated.index].run.power_w,
                parts: CORRECTIONS.map(|correction| DayPart {
                    word: correction.word(),
                    watts: match correction {
                        Correction::Wind => stated.watts.wind_w,
                        Correction::Waves => stated.watts.waves_w,
                        Correction::Displacement => stated.watts.displacement_w,
                        Correction::Water => stated.watts.water_w,
                    },
                    is_taken_off: self.document.corrections.contains(&correction),
                }),
                stated_w: stated.power_w,
                flags: stated.flags.clone(),
            })
            .collect()
    }
}

fn run_start(base: TimeBase, run: &Run) -> String {
    time_text(base, run.time_s - 0.5 * run.duration_s)
}

/// The day of the trial, as corrections take it.
fn day_of(conditions: &Conditions, boat: &BoatDocument) -> TrialDay {
    let water = |temperature_k: f64| match boat.choice("sea.water") {
        Some("fresh") => Water::fresh(temperature_k),
        _ => Water::sea(temperature_k),
    };
    TrialDay {
        true_wind_m_s: conditions.true_wind_m_s,
        wind_from_rad: conditions.wind_from_rad,
        wave_height_m: conditions.wave_height_m,
        displacement_kg: conditions.displacement_kg,
        water: conditions.water_temperature_k.map(water),
    }
}

fn stated_runs(
    document: &TrialDocument,
    reading: &TrialReading,
    analysis: &TrialAnalysis,
    boat_document: &BoatDocument,
    spec: &BoatSpec,
) -> Vec<StatedRun> {
    let Ok(boat) = StatedBoat::new(&spec.boat) else { return Vec::new() };
    let day = day_of(&reading.conditions, boat_document);
    let used = reading.runs.iter().enumerate().filter(|(_, run)| run.state == RunState::Used);
    used.enumerate()
        .map(|(place, (index, read))| {
            let speed_m_s = speed_through_water(&read.run, place, analysis);
            let (watts, flags) = speed_m_s
                .map_or_else(Default::default, |speed_m_s| boat.day_watts(&read.run, speed_m_s, &day));
            let each = [
                (Correction::Wind, watts.wind_w),
                (Correction::Waves, watts.waves_w),
                (Correction::Displacement, watts.displacement_w),
                (Correction::Water, watts.water_w),
            ];
            let off: f64 = each
                .iter()
                .filter(|(correction, _)| document.corrections.contains(correction))
                .filter_map(|(_, watts)| *watts)
                .sum();
            StatedRun { index, speed_m_s, watts, power_w: read.run.power_w.map(|power| power - off), flags }
        })
        .collect()
}

/// Speed through the water of the run at `place`: of its pair, else what the log shows.
#[must_use]
pub fn speed_through_water(run: &Run, place: usize, analysis: &TrialAnalysis) -> Option<f64> {
    let of_pair = analysis.pairs.iter().find(|pair| pair.pair.first == place || pair.pair.second == place);
    match (of_pair, run.speed_over_ground_m_s) {
        (Some(pair), Some(over_ground)) => {
            // Each run of a pair by itself: with the stream on one course, against it on the other.
            let sign = if pair.pair.first == place { -1.0 } else { 1.0 };
            Some(over_ground + sign * pair.estimate.stream_along_m_s)
        }
        _ => run.speed_through_water_m_s,
    }
}

/// UTC, and the time of this computer's place on the day of the log.
fn clock_answers(log: &Log) -> Vec<Answer> {
    let mut ahead = vec![0];
    if let Some((from_s, _)) = log.span_s().filter(|_| log.time_base == TimeBase::Utc)
        && let Ok(instant) = jiff::Timestamp::from_second(from_s as i64)
    {
        ahead.push(jiff::tz::TimeZone::system().to_offset(instant).seconds());
    }
    ahead.dedup();
    ahead.into_iter().map(Answer::ClockAhead).collect()
}

fn questions(
    document: &TrialDocument,
    opened: &[Option<Arc<Opened>>],
    reading: &TrialReading,
) -> Vec<Question> {
    let mut asked = Vec::new();
    for (log, (used, opened)) in document.logs.iter().zip(opened).enumerate() {
        let Some(read) = opened.as_ref().and_then(|opened| opened.log.as_ref().ok()) else { continue };
        for notice in &read.notices {
            let answers: Vec<Answer> = match notice {
                LogNotice::Frozen { measured, source, .. }
                | LogNotice::Implausible { measured, source, .. } => {
                    vec![Answer::LeaveOut(channel_key(*measured, *source))]
                }
                LogNotice::Disagree { measured, first, second, .. } => {
                    [first, second].map(|source| Answer::LeaveOut(channel_key(*measured, *source))).to_vec()
                }
                LogNotice::NoZone => clock_answers(read),
                _ => Vec::new(),
            };
            let has_date = reading.outings.iter().all(|outing| outing.time_base == TimeBase::Utc);
            let is_dated =
                matches!(notice, LogNotice::NoDate) && !document.date.trim().is_empty() && has_date;
            let is_answered = is_dated
                || answers
                    .iter()
                    .any(|answer| matches!(answer, Answer::LeaveOut(key) if used.left_out.contains(key)));
            if !is_answered {
                asked.push(Question { log, notice: notice.clone(), answers });
            }
        }
    }
    let is_negative = |run: &Run| run.current_a.is_some_and(|amps| amps < 0.0);
    let from_log = reading.runs.iter().filter(|run| run.place.is_some());
    if !document.logs.is_empty() && from_log.into_iter().any(|read| is_negative(&read.run)) {
        asked.push(Question { log: 0, notice: LogNotice::CurrentSign, answers: vec![Answer::TurnCurrent] });
    }
    asked
}

/// The joined samples as CSV: time, then one column for each quantity with its unit in the head;
/// empty where nothing is known. The program reads it back.
#[must_use]
pub fn samples_csv(reading: &TrialReading, units: UnitSystem) -> String {
    let mut measured: Vec<Measured> = reading
        .outings
        .iter()
        .flat_map(|outing| outing.series.iter().map(|series| series.measured))
        .collect();
    measured.sort_unstable();
    measured.dedup();
    let mut out = "time".to_owned();
    for quantity in &measured {
        let unit = unit_for(quantity.quantity(), units).symbol();
        let _ = write!(out, ",{} ({unit})", quantity.word().replace('-', " "));
    }
    out.push('\n');
    for outing in &reading.outings {
        let columns: Vec<Option<&[f64]>> =
            measured.iter().map(|m| outing.of(*m).map(|series| series.values.as_slice())).collect();
        for step in 0..outing.steps {
            out += &time_text(outing.time_base, outing.time_s(step));
            for (column, quantity) in columns.iter().zip(&measured) {
                out.push(',');
                if let Some(value) = column.map(|values| values[step]).filter(|value| value.is_finite()) {
                    let _ = write!(out, "{}", rounded(unit_for(quantity.quantity(), units).from_si(value)));
                }
            }
            out.push('\n');
        }
    }
    out
}

/// Nine significant digits: a position to a hand's breadth, and more than any other sensor gives.
fn rounded(value: f64) -> f64 {
    if value == 0.0 {
        return 0.0;
    }
    let scale = 10.0_f64.powi(8 - value.abs().log10().floor() as i32);
    (value * scale).round() / scale
}
