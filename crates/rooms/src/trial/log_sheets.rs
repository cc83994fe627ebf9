//! A log as it was read: its sheets, and the answer that shows them. Not for: reading it.

use serde_json::{Value as Json, json};
use wakewright_core::notice::Notice;
use wakewright_core::sheet::{
    AnySheet, Column, Figure, Form, List, Origin, Sheet, Tone, Word, itself, plain,
};
use wakewright_core::trial::{LogRemark, REMARK_COLUMNS};
use wakewright_units::{Quantity, file_unit, format_number};

use super::{BadFacts, ChannelFacts, LogFacts};
use crate::causes::filled;
use crate::room::{Answer, Block, empty_sheets};
use crate::sheets::{answer_schema, found_json, sheet_json, sheet_schema, sheets_json, sheets_schema};
use crate::text::Finding;

/// Every sheet of a log; the first of them is the log itself.
pub static LOG_SHEETS: [&dyn AnySheet<LogFacts>; 6] = [&LOG, &COLUMNS, &CHANNELS, &BAD, &MESSAGES, &NOTICES];

const fn read(key: &'static str, head: &'static str, label: &'static str) -> Figure {
    Figure::plain(key, head, label, Origin::Asked)
}

static FILE: Figure = read("file", "", "as it was named");
static FINDING: Figure = read("finding", "", "the sentence that says what it is");
static KIND: Figure = read("kind", "", "what kind of file it is");
static IS_PACKED: Figure = read("is_packed", "", "it came packed");
static FAILURE: Figure = read("failure", "", "why nothing was read");
static LINES: Figure = read("lines", "", "lines, rows or points");
static REMARK_LINES: Figure = read("remark_lines", "", "lines that are remarks");
static TIME_BASE: Figure = read("time_base", "", "`utc`, `time-of-day`, `elapsed` or `none`");
static FROM: Figure = read("from", "", "time of the first sample");
static TO: Figure = read("to", "", "time of the last sample");
static DURATION: Figure = Figure::asked("duration", "", "time between both", Quantity::ShortDuration);
static IS_CONFIRMED: Figure =
    read("columns_are_confirmed", "", "what its columns mean was said, not proposed");
static HEAD: Figure = read("head", "column", "name of the column");
static TAKEN_FOR: Figure = read("taken_for", "taken for", "what it is taken for; none when it is not used");
static FIRST_CELLS: Figure = read("first_cells", "first rows", "its first cells");
static MEASURED: Figure = read("measured", "", "what was measured");
static SOURCE: Figure = read("source", "from", "where it comes from");
static COUNT: Figure = read("count", "count", "how many");
static UNIT: Figure = read("unit", "", "unit of the three values");
static LEAST: Figure = read("min", "least", "least value; none for directions");
static MIDDLE: Figure = read("median", "middle", "median; for directions the mean round the circle");
static MOST: Figure = read("max", "most", "greatest value; none for directions");
static GAP: Figure =
    Figure::asked("longest_gap", "gap", "longest time between two samples", Quantity::ShortDuration);
static NAME: Figure = read("name", "", "sentence or parameter group");
static BAD_KIND: Figure = read("kind", "what", "which kind");
static FIRST_LINES: Figure = read("first_lines", "lines", "numbers of the first few lines");

type OfLog = Column<LogFacts>;
type OfColumn = Column<TableColumn>;
type OfChannel = Column<ChannelFacts>;
type OfBad = Column<BadFacts>;
type OfMessage = Column<(String, u64)>;

static LOG: Sheet<LogFacts, LogFacts> = Sheet {
    key: "log",
    title: "The log",
    form: Form::Files,
    columns: &[&List(&[
        OfLog::text(&FILE, |l| Some(l.file.clone())),
        OfLog::text(&FINDING, |l| Some(l.sentence())),
        OfLog::word(&KIND, |l| Some(Word { key: l.kind_word, words: l.kind })),
        OfLog::flag(&IS_PACKED, |l| Some(l.is_packed)),
        OfLog::text(&FAILURE, |l| l.failure.clone()),
        OfLog::count(&LINES, |l| Some(l.lines)),
        OfLog::count(&REMARK_LINES, |l| Some(l.remark_lines)),
        OfLog::text(&TIME_BASE, |l| Some(l.time_base.to_owned())),
        OfLog::text(&FROM, |l| l.from.clone()),
        OfLog::text(&TO, |l| l.to.clone()),
        OfLog::number(&DURATION, |l| l.duration_s),
        OfLog::flag(&IS_CONFIRMED, |l| Some(l.table.as_ref()?.is_confirmed)),
    ])],
    rows: itself,
    tone: plain,
};

/// A column of a table.
struct TableColumn {
    head: String,
    taken_for: Option<String>,
    first: Vec<String>,
}

static COLUMNS: Sheet<LogFacts, TableColumn> = Sheet {
    key: "columns",
    title: "Columns, as they are taken until said otherwise",
    form: Form::Table,
    columns: &[&List(&[
        OfColumn::text(&HEAD, |c| Some(c.head.clone())),
        OfColumn::text(&TAKEN_FOR, |c| c.taken_for.clone()),
        OfColumn::texts(&FIRST_CELLS, |c| c.first.clone()),
    ])],
    rows: |found, see| {
        let Some(table) = &found.table else { return };
        for (place, (head, taken_for)) in table.columns.iter().enumerate() {
            see(&TableColumn {
                head: head.clone(),
                taken_for: Some(taken_for.clone()).filter(|taken_for| !taken_for.is_empty()),
                first: table.preview.iter().take(3).filter_map(|row| row.get(place)).cloned().collect(),
            });
        }
    },
    tone: |_, column| if column.taken_for.is_some() { Tone::Plain } else { Tone::Faint },
};

static CHANNELS: Sheet<LogFacts, ChannelFacts> = Sheet {
    key: "channels",
    title: "What was measured",
    form: Form::Table,
    columns: &[&List(&[
        OfChannel::word(&MEASURED, |c| Some(Word { key: c.word, words: c.label })),
        OfChannel::text(&SOURCE, |c| Some(c.source.clone())),
        OfChannel::count(&COUNT, |c| Some(c.count)),
        OfChannel::text(&UNIT, |c| Some(file_unit(c.quantity).1.symbol().to_owned())).in_files(),
        OfChannel::number_of(&LEAST, |c| Some((c.quantity, c.least?))),
        OfChannel::number_of(&MIDDLE, |c| Some((c.quantity, c.middle?))),
        OfChannel::number_of(&MOST, |c| Some((c.quantity, c.greatest?))),
        OfChannel::number(&GAP, |c| c.longest_gap_s),
    ])],
    rows: |found, see| found.channels.iter().for_each(see),
    tone: plain,
};

static BAD: Sheet<LogFacts, BadFacts> = Sheet {
    key: "bad",
    title: "What could not be used",
    form: Form::Table,
    columns: &[&List(&[
        OfBad::count(&COUNT, |b| Some(b.count)),
        OfBad::word(&BAD_KIND, |b| Some(Word { key: b.word, words: b.label })),
        OfBad::counts(&FIRST_LINES, |b| b.first_lines.clone()),
    ])],
    rows: |found, see| found.bad.iter().for_each(see),
    tone: plain,
};

static MESSAGES: Sheet<LogFacts, (String, u64)> = Sheet {
    key: "messages",
    title: "Messages by name, used or not",
    form: Form::FileTable,
    columns: &[&List(&[
        OfMessage::text(&NAME, |m| Some(m.0.clone())),
        OfMessage::count(&COUNT, |m| Some(m.1)),
    ])],
    rows: |found, see| found.messages.iter().for_each(see),
    tone: plain,
};

static NOTICES: Sheet<LogFacts, LogRemark> = Sheet {
    key: "notices",
    title: "What to read before the figures are used",
    form: Form::FileTable,
    columns: &[&REMARK_COLUMNS],
    rows: |found, see| found.remarks.iter().for_each(see),
    tone: plain,
};

/// A log with what is in it.
#[must_use]
pub fn log_answer(log: &LogFacts) -> Answer {
    let sheets = filled(&LOG_SHEETS, log);
    let is_confirmed = log.table.as_ref().is_some_and(|table| table.is_confirmed);
    let title = if is_confirmed { "Columns, as they were given" } else { COLUMNS.title };
    let columns = Block::sheet(&sheets, "columns").title(title);
    let blocks =
        vec![columns, Block::sheet(&sheets, "channels"), Block::sheet(&sheets, "bad"), messages(log)];
    let blocks = if log.failure.is_some() { Vec::new() } else { blocks };
    let notices = log.remarks.iter().map(LogRemark::notice).collect::<Vec<Notice>>();
    let finding = Finding { sentence: log.sentence(), ..Finding::default() };
    Answer::of_sheets(finding, sheets, blocks, notices)
}

/// The messages that came most, in words; a table has none.
fn messages(log: &LogFacts) -> Block {
    const SHOWN: usize = 12;
    if log.messages.is_empty() || log.table.is_some() {
        return Block::words("", Vec::new());
    }
    let mut messages = log.messages.clone();
    messages.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    let count = |count: u64| format_number(count as f64, 0);
    let named = messages.iter().take(SHOWN).map(|(name, times)| format!("{} {name}", count(*times)));
    let more = messages.len().saturating_sub(SHOWN);
    let rest = if more > 0 { format!(", and {more} more kinds") } else { String::new() };
    let named = named.collect::<Vec<_>>().join(", ");
    Block::words("Messages", format!("In {} lines: {named}{rest}.", count(log.lines)))
}

/// Logs as JSON: of each the log itself, with its other sheets by their keys.
#[must_use]
pub fn logs_json(of: &str, answers: &[Answer]) -> Json {
    let logs = answers.iter().map(|answer| {
        let mut log = sheet_json(&answer.sheets[0]);
        if let Some(fields) = log.as_object_mut() {
            fields.extend(sheets_json(&answer.sheets[1..]));
        }
        log
    });
    let sentences: Vec<&str> = answers.iter().map(|answer| answer.finding.sentence.as_str()).collect();
    let finding = Finding { sentence: sentences.join(" "), ..Finding::default() };
    let notices: Vec<Notice> = answers.iter().flat_map(|answer| answer.notices.clone()).collect();
    found_json(of, "", (&finding, &[]), json!({ "logs": logs.collect::<Vec<_>>() }), &notices)
}

/// The schema of [`logs_json`].
#[must_use]
pub fn logs_schema(of: &str, about: &str) -> Json {
    let sheets = empty_sheets(&LOG_SHEETS);
    let log = json!({ "allOf": [sheet_schema(&sheets[0]), sheets_schema(&sheets[1..])] });
    let logs = json!({ "type": "array", "items": log });
    answer_schema(
        of,
        about,
        &json!({ "type": "object", "required": ["logs"], "properties": { "logs": logs } }),
    )
}
