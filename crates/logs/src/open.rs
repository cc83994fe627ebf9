//! A file as it comes: unpacked, its letters made UTF-8, told apart, read, and what must be asked.
//! Not for: opening files by their name, or keeping what was answered.

use std::cell::Cell;
use std::io::{self, BufRead, BufReader, Cursor, Read};
use std::rc::Rc;

use crate::ask::{
    Question, battery_question, power_question, ranked, settle_sign, several_question, sign_question,
    swapped_question, table_questions,
};
use crate::background::GivenRows;
use crate::battery::{part_mixed, part_strangers};
use crate::checks::check_log;
use crate::file_kind::FileKind;
use crate::letters::{Decoded, WithoutNoughts, encoding_of};
use crate::log::Log;
use crate::measured::Measured as M;
use crate::notice::LogNotice;
use crate::reshaped::{Dress, Wrap};
use crate::sniff::{SNIFF_BYTES, sniff};
use crate::table::{self, Given, Mapping, Proposal};
use crate::{LogError, dropouts, read_unchecked, stamps, unpack};

/// A log is no longer than this, unpacked: a season of one-second records.
pub const LONGEST_LOG_BYTES: u64 = 1 << 30;
/// First bytes from which a table's columns are proposed.
const HEAD_BYTES: usize = 256 * 1024;
/// Files within files: a packed sheet in a packed folder.
const MOST_LAYERS: usize = 3;

/// A log that is longer.
#[must_use]
pub fn too_long() -> io::Error {
    let most = LONGEST_LOG_BYTES >> 20;
    io::Error::other(format!("a log has {most} MB at most; cut it into days"))
}

/// A file that was read.
#[derive(Debug)]
pub struct Reading {
    /// What it is.
    pub kind: FileKind,
    /// It came packed.
    pub is_packed: bool,
    /// The log, or why there is none.
    pub log: Result<Log, LogError>,
    /// How its columns (or its sources) were taken.
    pub mapping: Option<Mapping>,
    /// Somebody said what its columns mean; until then that is a proposal.
    pub is_told: bool,
    /// What must be asked, the costliest first.
    pub questions: Vec<Question>,
    /// First rows of a table.
    pub preview: Vec<Vec<String>>,
}

impl Reading {
    fn nothing() -> Self {
        Self {
            kind: FileKind::Unknown,
            is_packed: false,
            log: Err(LogError::Unknown(FileKind::Unknown.advice())),
            mapping: None,
            is_told: false,
            questions: Vec::new(),
            preview: Vec::new(),
        }
    }

    /// True when nothing is open: no question, and volts, amps and speed in use where they are there.
    #[must_use]
    pub fn is_understood(&self) -> bool {
        let is_asked = |log: &Log| log.notices.iter().any(|notice| matches!(notice, LogNotice::Question(_)));
        self.questions.is_empty() && self.log.as_ref().is_ok_and(|log| !is_asked(log))
    }
}

/// Reads what `bytes` give. `told` are mappings that were confirmed or answered; a file of the same
/// source is read by one of them.
pub fn read<'a>(bytes: impl Read + 'a, told: &[Mapping]) -> Reading {
    let mut reading = Reading::nothing();
    reading.log = read_into(
        &mut reading,
        Box::new(Limited { reader: bytes, left: LONGEST_LOG_BYTES }),
        told,
        MOST_LAYERS,
    );
    reading
}

type Bytes<'a> = Box<dyn Read + 'a>;

/// Bytes that end with an error where a log may not go on: a small packed file can be endless unpacked.
struct Limited<R> {
    reader: R,
    left: u64,
}

impl<R: Read> Read for Limited<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let length = self.reader.read(into)?;
        self.left = self.left.checked_sub(length as u64).ok_or_else(too_long)?;
        Ok(length)
    }
}

/// What can be unpacked of a packed file that breaks off, and whether it did.
struct UntilCut<R> {
    reader: R,
    is_cut: Rc<Cell<bool>>,
}

impl<R: Read> Read for UntilCut<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        match self.reader.read(into) {
            Err(error)
                if matches!(error.kind(), io::ErrorKind::UnexpectedEof | io::ErrorKind::InvalidInput) =>
            {
                self.is_cut.set(true);
                Ok(0)
            }
            read => read,
        }
    }
}

/// The first bytes, and a reader that gives them again and then the rest.
fn begin(mut reader: Bytes<'_>) -> io::Result<(Vec<u8>, Box<dyn BufRead + '_>)> {
    let mut head = Vec::with_capacity(HEAD_BYTES);
    reader.by_ref().take(HEAD_BYTES as u64).read_to_end(&mut head)?;
    const BUFFER: usize = 128 * 1024;
    let whole = BufReader::with_capacity(BUFFER, Cursor::new(head.clone()).chain(reader));
    Ok((head, Box::new(whole)))
}

fn read_into(
    reading: &mut Reading,
    bytes: Bytes<'_>,
    told: &[Mapping],
    layers: usize,
) -> Result<Log, LogError> {
    let (head, reader) = begin(bytes)?;
    let seen = &head[..head.len().min(SNIFF_BYTES)];
    let mut kind = sniff(seen);
    let encoding = encoding_of(seen, kind);
    if let Some(encoding) = encoding {
        let (head, reader) = begin(Box::new(Decoded::new(reader, encoding)))?;
        kind = sniff(&head[..head.len().min(SNIFF_BYTES)]);
        reading.kind = kind;
        return read_kind(reading, head, reader, kind, told);
    }
    reading.kind = kind;
    if kind == FileKind::Binary {
        let plain: Vec<u8> = seen.iter().copied().filter(|byte| *byte != 0).collect();
        let inner = sniff(&plain);
        // Text with holes of noughts in it.
        if layers > 0 && plain.len() < seen.len() && !plain.is_empty() && inner.is_lines() {
            let plain = Box::new(WithoutNoughts(reader));
            let mut log = read_into(reading, plain, told, layers - 1)?;
            log.notices.push(LogNotice::LeftOut(
                "Noughts stand in the text, as a recorder leaves them that lost power while it wrote: they are left out, and lines beside them \
                 may be spoilt."
                    .to_owned(),
            ));
            return Ok(log);
        }
    }
    if kind.is_packed() {
        reading.is_packed = true;
        if layers == 0 {
            return Err(LogError::Unknown(kind.advice()));
        }
        return match kind {
            FileKind::Gzip => {
                let is_cut = Rc::new(Cell::new(false));
                let plain = UntilCut {
                    reader: flate2::read::MultiGzDecoder::new(reader),
                    is_cut: Rc::clone(&is_cut),
                };
                let plain = Limited { reader: plain, left: LONGEST_LOG_BYTES };
                let mut read = read_into(reading, Box::new(plain), told, layers - 1);
                if let (Ok(log), true) = (&mut read, is_cut.get()) {
                    log.notices.push(LogNotice::LeftOut(
                        "The packed file breaks off: what stood before the break was read.".to_owned(),
                    ));
                }
                read
            }
            FileKind::Zstd => {
                let plain = Limited { reader: unpack::zstd(reader)?, left: LONGEST_LOG_BYTES };
                read_into(reading, Box::new(plain), told, layers - 1)
            }
            _ => unpack::zip(reader, |plain| {
                read_into(
                    reading,
                    Box::new(Limited { reader: plain, left: LONGEST_LOG_BYTES }),
                    told,
                    layers - 1,
                )
            })?,
        };
    }
    read_kind(reading, head, reader, kind, told)
}

fn read_kind(
    reading: &mut Reading,
    head: Vec<u8>,
    reader: Box<dyn BufRead + '_>,
    kind: FileKind,
    told: &[Mapping],
) -> Result<Log, LogError> {
    let is_wrapped = |wrap: &Wrap| match wrap {
        Wrap::Values => {
            matches!(kind, FileKind::Unknown | FileKind::Table | FileKind::Json | FileKind::JsonColumns)
        }
        Wrap::Quotes | Wrap::Page => kind == FileKind::Unknown,
    };
    if let Some(wrap) = Wrap::of(&head).filter(is_wrapped) {
        let (text, remark) = wrap.off(reader)?;
        let kind = sniff(&text.as_bytes()[..text.len().min(SNIFF_BYTES)]);
        if kind.is_lines() {
            let (head, reader) = begin(Box::new(Cursor::new(text)))?;
            reading.kind = kind;
            let mut log = read_kind(reading, head, reader, kind, told)?;
            log.notices.push(LogNotice::LeftOut(remark.to_owned()));
            return Ok(log);
        }
        return Err(LogError::Unknown(FileKind::Unknown.advice()));
    }
    let dress = matches!(kind, FileKind::Unknown | FileKind::Table).then(|| Dress::of(&head)).flatten();
    // Names and values as columns are a table already where one was found.
    if let Some(dress) = dress.filter(|dress| kind == FileKind::Unknown || *dress == Dress::Topics) {
        return given(reading, dress.rows(reader)?, told);
    }
    match kind {
        FileKind::Table => {
            let proposal = table::propose(&head)?;
            let mapping = told_or(&proposal, told);
            let rows = table::rows_of(reader, &mapping.0);
            read_table(reading, proposal, mapping, rows)
        }
        FileKind::Sheet => given(reading, crate::sheet::rows(reader, told)?, told),
        FileKind::Database => given(reading, crate::database::rows(reader, told)?, told),
        FileKind::Parquet => given(reading, crate::columns::rows(reader)?, told),
        FileKind::JsonColumns => given(reading, crate::json_columns::rows(reader)?, told),
        _ => {
            let mut log = read_unchecked(reader, kind)?;
            let mapping = Mapping {
                heads: log.channels.iter().map(crate::Channel::key).collect(),
                ..Mapping::default()
            };
            let key = mapping.source_key();
            let known = told.iter().find(|told| told.source_key() == key);
            reading.is_told = known.is_some();
            let mut mapping = known.cloned().unwrap_or(mapping);
            finish(reading, &mut log, &mut mapping, Vec::new());
            reading.mapping = Some(mapping);
            Ok(log)
        }
    }
}

/// Rows of a sheet or a database: the first are looked at, then all are read.
fn given(reading: &mut Reading, given: GivenRows, told: &[Mapping]) -> Result<Log, LogError> {
    const ROWS_SEEN: usize = 400;
    let GivenRows { mut rows, remarks, part, question } = given;
    let first: Vec<Vec<String>> = rows.by_ref().take(ROWS_SEEN).collect::<io::Result<_>>()?;
    let mut proposal = table::propose_rows(&first)?;
    proposal.remarks.extend(remarks);
    proposal.mapping.part = part;
    reading.questions.extend(question);
    let mapping = told_or(&proposal, told);
    let rows = first.into_iter().map(Ok).chain(rows);
    if proposal.mapping.shape == table::Shape::Long {
        let rows = table::rows_of(Box::new(Cursor::new(table::long_text(rows)?)), &mapping.0);
        return read_table(reading, proposal, mapping, rows);
    }
    read_table(reading, proposal, mapping, Box::new(Given::new(rows)))
}

/// The mapping that was told for a table with these columns, else the proposal; and whether it was.
fn told_or(proposal: &Proposal, told: &[Mapping]) -> (Mapping, bool) {
    let key = proposal.mapping.source_key();
    // Of files of several tables the key is theirs: the columns must be the same as well.
    let is_it = |told: &&Mapping| {
        told.source_key() == key && (told.part.is_none() || told.heads == proposal.mapping.heads)
    };
    match told.iter().find(is_it) {
        // Where the rows begin is this file's own.
        Some(told) => (
            Mapping {
                head_line: proposal.mapping.head_line,
                separator: proposal.mapping.separator,
                shape: proposal.mapping.shape,
                ..told.clone()
            },
            true,
        ),
        None => (proposal.mapping.clone(), false),
    }
}

fn read_table(
    reading: &mut Reading,
    proposal: Proposal,
    (mut mapping, is_told): (Mapping, bool),
    mut rows: Box<dyn table::Rows + '_>,
) -> Result<Log, LogError> {
    let mut kept = Vec::new();
    let mut log = table::read_rows(rows.as_mut(), &mapping, &mut kept)?;
    dropouts::take_out(&mut log, &mapping);
    let mut remarks = proposal.remarks;
    // A mapping that somebody wrote by hand is whole; one that came of an answer leaves the other questions open.
    let is_whole = is_told && mapping.answered.is_empty();
    let of_file = std::mem::take(&mut reading.questions);
    let mut questions = Vec::new();
    let mut counts = Vec::new();
    if !is_whole {
        let mut doubts = proposal.doubts;
        counts = dropouts::take_out_counts(&mut log, &mut mapping);
        table::settle_which(&mut doubts, &mut mapping, &mut log);
        table::ask_whole_amps(&mut doubts, &mut mapping, &mut log);
        table::hold_power(&mut doubts, &mut mapping, &mut log);
        table::settle_speed_unit(&mut doubts, &mut mapping, &mut log);
        table::hold_against_places(&mut doubts, &mut mapping, &mut log, &mut remarks);
        questions = table_questions(&doubts, &mut mapping, &kept, &mut remarks);
        let used = &mapping.columns;
        log.channels.retain(|channel| match channel.source {
            crate::Source::Column(column) => used.iter().any(|c| c.column == usize::from(column)),
            _ => true,
        });
    }
    let unread =
        if is_whole { None } else { table::unread(&mapping, &kept, &[remarks.as_slice(), &counts].concat()) };
    log.notices.extend(counts.into_iter().chain(unread).map(LogNotice::Question));
    questions.extend(of_file);
    finish(reading, &mut log, &mut mapping, questions);
    if is_whole {
        reading.questions.clear();
    }
    log.notices.extend(remarks.into_iter().map(LogNotice::LeftOut));
    reading.preview = proposal.preview;
    reading.is_told = is_told;
    reading.mapping = Some(mapping);
    Ok(log)
}

/// One battery for one power, what looks wrong, and the questions that are left.
fn finish(reading: &mut Reading, log: &mut Log, mapping: &mut Mapping, mut questions: Vec<Question>) {
    if let Some((low, high, is_kept)) = part_mixed(log, mapping) {
        let taken = if is_kept { "what stands beside the higher is taken" } else { "neither is taken" };
        log.notices.push(LogNotice::Question(format!(
            "The volts go to and fro between {low:.1} and {high:.1} V: two batteries speak in one column; {taken}. Which one drives her?"
        )));
    }
    stamps::spread(log);
    questions.extend(swapped_question(log, mapping));
    questions.extend(battery_question(log, mapping));
    if let Some((volts, amps)) = part_strangers(log, mapping) {
        log.notices.push(LogNotice::LeftOut(format!(
            "Volts ({volts}) and amps ({amps}) come from two batteries: they make no power."
        )));
    }
    dropouts::take_out_lone(log, mapping);
    turn_revolutions(log);
    if !mapping.columns.is_empty() {
        if let Some(question) = several_question(log, mapping)
            && !questions.iter().any(|q| q.key == question.key || q.key == "battery")
        {
            questions.push(question);
        }
        settle_sign(log, mapping);
        let asks_power = |q: &Question| q.key.starts_with("unit/") || q.key.starts_with("decimals/");
        if !questions.iter().any(asks_power) {
            let question = power_question(log, mapping);
            // As the question says, the product is taken until somebody answers.
            if question.is_some() {
                let (aside, kept): (Vec<_>, Vec<_>) =
                    log.channels.drain(..).partition(|channel| channel.measured == M::Power);
                log.channels = kept;
                log.set_aside.extend(aside);
            }
            questions.extend(question);
        }
        questions.extend(sign_question(log, mapping));
    }
    if mapping.columns.is_empty() {
        settle_sign(log, mapping);
    }
    crate::resolution::look(log);
    check_log(log);
    reading.questions = ranked(questions);
    for question in &reading.questions {
        log.notices.push(LogNotice::Question(question.text.clone()));
    }
}

/// Revolutions that are negative all along while she is driven: a sensor that counts the other way round.
fn turn_revolutions(log: &mut Log) {
    let turns = |channel: &&mut crate::Channel| {
        matches!(channel.measured, M::MotorSpeed | M::ShaftSpeed)
            && channel.values.iter().any(|value| *value < 0.0)
            && channel.values.iter().all(|value| *value <= 0.0)
    };
    let mut is_turned = false;
    for channel in log.channels.iter_mut().filter(turns) {
        channel.values.iter_mut().for_each(|value| *value = -*value);
        is_turned = true;
    }
    if is_turned {
        log.notices.push(LogNotice::LeftOut(
            "The revolutions are negative all along: they are taken as ahead, by a sensor that counts the other way round.".to_owned(),
        ));
    }
}
