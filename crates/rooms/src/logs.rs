//! Log files: opened, unpacked, told apart, read, and put into the facts that a report shows.
//! Not for: keeping them.

use std::fs::File;
use std::io::Read;
use std::sync::OnceLock;

use crate::text::Paper;
use crate::trial::{BadFacts, ChannelFacts, LogFacts, TableFacts};
use wakewright_core::hull::shallow::deep_enough_m;
use wakewright_core::trial::{
    LogRemark, PairBounds, Run, RunFacts, TrialFacts, analyse_trial, mark_sailed, sailed_text,
};
use wakewright_logs::table::Mapping;
use wakewright_logs::{
    Channel, FileKind, JoinOptions, Log, LogNotice, Measured, Question, RunBounds, TimeBase, between,
    channel_key, clock, find_steady_runs, join, never_together, suggest_shifts,
};
pub use wakewright_logs::{LONGEST_LOG_BYTES, key_in_log, too_long};
use wakewright_records::boat::unread;

/// Runs shorter than this are marked \[s\]: three minutes, as trials of yachts are made.
pub const SHORT_RUN_S: f64 = 180.0;

/// Said where no log has a speed.
const NO_SPEED: &str = "No log tells a speed, over ground or through the water, nor positions to make one of: no run can be found \
                        without. Bring the receiver's track of that time beside it.";

/// A file that was looked at.
#[derive(Debug)]
pub struct Opened {
    /// As it was named.
    pub file: String,
    kind: FileKind,
    is_packed: bool,
    /// The log, or why there is none.
    pub log: Result<Log, String>,
    /// How its columns were taken, for a table.
    pub mapping: Option<Mapping>,
    /// What must be asked of it, each answer with the mapping that it makes.
    pub questions: Vec<Question>,
    table: Option<TableFacts>,
    is_told: bool,
    is_understood: bool,
    /// What stands in each channel, once somebody asked: a season has millions of values.
    channels: OnceLock<Vec<ChannelFacts>>,
}

/// An answer as it is typed: the key of the question, and the word of the choice.
pub type Told = (String, String);

/// Reads `QUESTION=ANSWER`.
/// # Errors
/// How it is written.
pub fn read_answer(text: &str) -> Result<Told, String> {
    let (key, word) =
        text.split_once('=').ok_or("write question=answer, as the question is named".to_owned())?;
    Ok((key.trim().to_owned(), word.trim().to_owned()))
}

/// Opens and reads a file as [`open`] does, and answers its questions by `told`; gives with it the keys that
/// were answered.
/// # Errors
/// A question has no such answer: which it has.
pub fn open_answered(
    file: &str,
    mappings: &[Mapping],
    told: &[Told],
) -> Result<(Opened, Vec<String>), String> {
    let mut known = mappings.to_vec();
    let mut answered: Vec<String> = Vec::new();
    loop {
        let opened = open(file, &known);
        // What a remembered answer has closed is opened again by another.
        let is_closed = |(key, _): &Told| {
            !answered.contains(key) && opened.mapping.as_ref().is_some_and(|m| m.answered.contains(key))
        };
        if told.iter().any(is_closed)
            && let Some(closed) = opened.mapping.as_ref().map(Mapping::source_key)
            && known.iter().any(|mapping| mapping.source_key() == closed)
        {
            known.retain(|mapping| mapping.source_key() != closed);
            continue;
        }
        // What was answered before is asked anew where it is told.
        let open_one = told.iter().find_map(|(key, word)| {
            let question = opened.questions.iter().find(|question| question.key == *key)?;
            Some((question, word)).filter(|_| !answered.contains(key))
        });
        let Some((question, word)) = open_one else { return Ok((opened, answered)) };
        let choice = question.choices.iter().find(|choice| choice.word.trim() == word.trim());
        let choice = choice.ok_or_else(|| format!("{file}: {}", question_words(question, "--answer ")))?;
        answered.push(question.key.clone());
        known.insert(0, choice.mapping.clone());
    }
}

/// A question with its answers, each as `how` has it typed.
#[must_use]
pub fn question_words(question: &Question, how: &str) -> String {
    let mut text = question.text.clone();
    if !question.values.is_empty() {
        text += &format!(" It holds {}.", question.values.join(", "));
    }
    for (place, choice) in question.choices.iter().enumerate() {
        let typed = format!("{}={}", question.key, choice.word);
        let quoted = if typed.contains(' ') { format!("\"{typed}\"") } else { typed };
        let until = if place == 0 { ", as is taken until somebody says" } else { "" };
        text += &format!(" {how}{quoted}: {}{until}", choice.label);
        if !choice.gives.is_empty() {
            text += &format!(", {}", choice.gives);
        }
        text.push('.');
    }
    text
}

/// Opens and reads a file. `mappings` are those that were confirmed; a table with the same columns
/// is read by one of them.
pub fn open(file: &str, mappings: &[Mapping]) -> Opened {
    match File::open(file) {
        Ok(plain) => read(file, plain, mappings),
        Err(error) => Opened { log: Err(unread(&error)), ..Opened::nothing(file) },
    }
}

/// Reads the log that `bytes` give, packed or not; `file` is its name.
pub fn read<'a>(file: &str, bytes: impl Read + 'a, mappings: &[Mapping]) -> Opened {
    let reading = wakewright_logs::read(bytes, mappings);
    let (is_told, is_understood) = (reading.is_told, reading.is_understood());
    let mapping = reading.mapping;
    let table = mapping.as_ref().filter(|_| !reading.preview.is_empty()).map(|mapping| TableFacts {
        columns: mapping
            .heads
            .iter()
            .enumerate()
            .map(|(i, head)| (head.clone(), taken_for(mapping, i)))
            .collect(),
        preview: reading.preview,
        is_confirmed: is_told,
    });
    Opened {
        file: file.to_owned(),
        kind: reading.kind,
        is_packed: reading.is_packed,
        log: reading.log.map_err(|error| error.to_string()),
        mapping,
        questions: reading.questions,
        table,
        is_told,
        is_understood,
        channels: OnceLock::new(),
    }
}

impl Opened {
    /// Whether somebody said what its columns or sources mean; false while that is a proposal.
    pub fn is_mapping_told(&self) -> bool {
        self.is_told
    }

    /// Whether it told the sign of its amps itself, and was turned for it.
    pub fn is_turned(&self) -> bool {
        self.log.as_ref().is_ok_and(|log| log.channels.iter().any(|channel| channel.is_turned))
    }

    /// True for a table, whose columns have names.
    pub fn is_table(&self) -> bool {
        self.table.is_some()
    }

    /// Leaves the channels of these keys out; those that it does not have are given back.
    pub fn leave_out<'k>(&mut self, keys: &[&'k str]) -> Vec<&'k str> {
        let Ok(log) = &mut self.log else { return keys.to_vec() };
        let is_missing = |key: &&&str| log.channels.iter().all(|channel| channel.key() != **key);
        let missing: Vec<&str> = keys.iter().filter(is_missing).copied().collect();
        log.channels.retain(|channel| keys.iter().all(|key| **key != channel.key()));
        self.channels.take();
        missing
    }

    /// The same, said to have come packed or not: the store packs what it keeps.
    pub fn came_packed(mut self, is_packed: bool) -> Self {
        self.is_packed = is_packed;
        self
    }

    fn nothing(file: &str) -> Self {
        Self {
            file: file.to_owned(),
            kind: FileKind::Unknown,
            is_packed: false,
            log: Err(String::new()),
            table: None,
            mapping: None,
            questions: Vec::new(),
            is_told: false,
            is_understood: false,
            channels: OnceLock::new(),
        }
    }
}

/// The mapping proposed for a table, to be confirmed.
/// # Errors
/// In words, when the file is no table.
pub fn propose_mapping(file: &str) -> Result<Mapping, String> {
    let opened = open(file, &[]);
    match (opened.mapping.filter(|_| opened.table.is_some()), opened.log) {
        (Some(mapping), _) => Ok(mapping),
        (None, Err(why)) => Err(why),
        (None, Ok(_)) => {
            Err(format!("a mapping is for tables; this is a file of another kind: {}", opened.kind.label()))
        }
    }
}

fn taken_for(mapping: &Mapping, column: usize) -> String {
    if let Some(time) = mapping.time.as_ref().filter(|time| time.columns.contains(&column)) {
        let is_second = time.columns.get(1) == Some(&column);
        return if is_second { "time of day".to_owned() } else { format!("time, {}", time.format.label()) };
    }
    mapping.columns.iter().find(|c| c.column == column).map_or_else(String::new, |c| {
        let sign = if c.is_negated { ", sign turned" } else { "" };
        format!("{}, {}{sign}", c.measured.label(), c.unit)
    })
}

/// What a report shows of a file.
pub fn log_facts(opened: &Opened, paper: &Paper) -> LogFacts {
    let mut facts = LogFacts {
        file: file_name(&opened.file),
        kind: opened.kind.label(),
        kind_word: opened.kind.word(),
        is_packed: opened.is_packed,
        failure: opened.log.as_ref().err().cloned(),
        lines: 0,
        remark_lines: 0,
        from: None,
        to: None,
        time_base: "none",
        duration_s: None,
        channels: Vec::new(),
        messages: Vec::new(),
        bad: Vec::new(),
        table: opened.table.clone(),
        remarks: Vec::new(),
        is_understood: opened.is_understood,
    };
    let Ok(log) = &opened.log else { return facts };
    facts.lines = log.lines;
    facts.remark_lines = log.remarks;
    facts.time_base = match log.time_base {
        TimeBase::Utc => "utc",
        TimeBase::TimeOfDay => "time-of-day",
        TimeBase::Elapsed => "elapsed",
        TimeBase::Lines => "none",
    };
    if let Some((from, to)) = log.span_s().filter(|_| log.time_base != TimeBase::Lines) {
        facts.from = Some(time_text(log.time_base, from));
        facts.to = Some(time_text(log.time_base, to));
        facts.duration_s = Some(to - from);
    }
    let has_clock = log.time_base != TimeBase::Lines;
    let of_all = || log.channels.iter().map(|channel| channel_facts(channel, has_clock)).collect();
    facts.channels = opened.channels.get_or_init(of_all).clone();
    facts.messages = log.messages.iter().map(|(name, count)| (name.clone(), *count)).collect();
    facts.bad = log
        .bad
        .iter()
        .map(|(kind, lines)| BadFacts {
            word: kind.word(),
            label: kind.label(),
            count: lines.count,
            first_lines: lines.first.clone(),
        })
        .collect();
    facts.remarks = remarks(opened, paper);
    facts
}

/// Remarks on a log; a question with the answers that it can have.
fn remarks(opened: &Opened, paper: &Paper) -> Vec<LogRemark> {
    let notices = opened.log.as_ref().map_or(&[][..], |log| &log.notices);
    let remarks = notices.iter().map(|notice| {
        let mut said = remark(notice, paper);
        if let LogNotice::Question(text) = notice
            && let Some(question) = opened.questions.iter().find(|question| question.text == *text)
        {
            said.text = question_words(question, "--answer ");
        }
        if let LogNotice::Disagree { measured, first, second, .. } = notice {
            let [first, second] = [first, second].map(|source| channel_key(*measured, *source));
            said.text += &format!(" --leave-out \"{first}\" or --leave-out \"{second}\" leaves one out.");
        }
        said
    });
    remarks.collect()
}

pub fn file_name(path: &str) -> String {
    std::path::Path::new(path)
        .file_name()
        .map_or_else(|| path.to_owned(), |n| n.to_string_lossy().into_owned())
}

pub fn remark(notice: &LogNotice, paper: &Paper) -> LogRemark {
    let write = |si: f64, measured: Measured| paper.quantity(si, measured.quantity());
    LogRemark { severity: notice.severity(), word: notice.word(), text: notice.text(&write) }
}

pub fn time_text(base: TimeBase, time_s: f64) -> String {
    match base {
        TimeBase::Utc => clock::date_time_text(time_s),
        _ => clock::time_of_day_text(time_s),
    }
}

fn channel_facts(channel: &Channel, has_clock: bool) -> ChannelFacts {
    let values = &channel.values;
    let is_circular = channel.measured.is_circular();
    let middle = if values.is_empty() {
        None
    } else if is_circular {
        let (sin, cos) = values.iter().fold((0.0, 0.0), |(s, c), v| (s + v.sin(), c + v.cos()));
        Some(channel.measured.normal(f64::atan2(sin, cos)))
    } else {
        let mut order = values.clone();
        let place = order.len() / 2;
        Some(*order.select_nth_unstable_by(place, f64::total_cmp).1)
    };
    let bound = |end: Option<&f64>| end.copied().filter(|_| !is_circular);
    let gap = channel.times_s.windows(2).map(|two| two[1] - two[0]).fold(0.0, f64::max);
    ChannelFacts {
        word: channel.measured.word(),
        label: channel.measured.label(),
        source: channel.source.to_string(),
        key: channel.key(),
        quantity: channel.measured.quantity(),
        count: channel.count,
        least: bound(values.iter().min_by(|a, b| a.total_cmp(b))),
        middle,
        greatest: bound(values.iter().max_by(|a, b| a.total_cmp(b))),
        longest_gap_s: has_clock.then_some(gap),
    }
}

/// Steady runs in all logs together. `shifts_s` are added to the times of the logs, in order.
/// # Errors
/// In words, when the logs cannot be joined.
pub fn trial_facts(
    opened: &[Opened],
    shifts_s: &[f64],
    options: &JoinOptions,
    bounds: &RunBounds,
    is_throttle_held: bool,
    paper: &Paper,
) -> Result<TrialFacts, String> {
    let shift = |i: usize| shifts_s.get(i).copied().unwrap_or(0.0);
    let logs: Vec<(&Log, f64)> = opened
        .iter()
        .enumerate()
        .filter_map(|(i, opened)| Some((opened.log.as_ref().ok()?, shift(i))))
        .collect();
    let outings = join(&logs, options).map_err(|error| error.to_string())?;
    let mut runs = Vec::new();
    for outing in &outings {
        for steady in find_steady_runs(outing, bounds) {
            let from = time_text(outing.time_base, outing.time_s(steady.first));
            runs.push(run_facts(from, steady.run));
        }
    }
    let mut plain: Vec<Run> = runs.iter().map(|facts| facts.run).collect();
    mark_sailed(&mut plain, &pair_bounds(is_throttle_held));
    runs.iter_mut().zip(&plain).for_each(|(facts, run)| {
        (facts.run, facts.is_of_drive) = (*run, run.is_of_drive());
    });
    let mut remarks: Vec<LogRemark> = opened.iter().flat_map(|opened| remarks(opened, paper)).collect();
    let mut notices: Vec<LogNotice> = Vec::new();
    let has = |measured: Measured| outings.iter().any(|outing| outing.of(measured).is_some());
    if has(Measured::Power) {
        remarks.retain(|said| said.word != LogNotice::AmpsWithoutVolts.word());
    }
    if !has(Measured::SpeedOverGround) && !has(Measured::SpeedThroughWater) {
        notices.push(LogNotice::Question(NO_SPEED.to_owned()));
    }
    if shifts_s.is_empty() {
        let read: Vec<&Log> = logs.iter().map(|(log, _)| *log).collect();
        notices.extend(suggest_shifts(&read).iter().map(|apart| {
            let shifts = (0..=apart.log).map(|log| if log == apart.log { apart.shift_s } else { 0.0 });
            let typed: Vec<String> = shifts.map(|shift_s| format!("--shift {shift_s:.0}")).collect();
            LogNotice::Question(format!("{} {} says so.", apart.text(), typed.join(" ")))
        }));
        notices.extend(never_together(&read).into_iter().map(|(log, hours)| {
            LogNotice::Question(format!(
                "Log {} has no time in common with the first, {hours:.1} h lie between them: nothing of both is read together.",
                log + 1
            ))
        }));
    }
    for apart in between(&logs, options.packs) {
        let text = remark(&apart.notice, paper).text;
        let typed: Vec<String> =
            apart.leave_out.iter().map(|(log, key)| format!("--leave-out \"{}:{key}\"", log + 1)).collect();
        let added = if apart.may_be_packs {
            " --packs-beside adds their amps, --packs-in-series their volts."
        } else {
            ""
        };
        notices.push(match typed.is_empty() {
            true => apart.notice,
            false => LogNotice::Question(format!("{text}{added} {} leaves one out.", typed.join(" or "))),
        });
    }
    notices.extend(sailed_text(&plain).map(LogNotice::LeftOut));
    if plain.iter().any(|run| !run.is_sailed && run.current_a.is_some_and(|amps| amps < 0.0)) {
        let text = remark(&LogNotice::CurrentSign, paper).text;
        notices.push(LogNotice::Question(format!("{text} --turn-current says so.")));
    }
    let failures = opened.iter().filter_map(|opened| {
        let why = opened.log.as_ref().err()?;
        Some(LogNotice::Question(format!("{} is not read: {why}.", file_name(&opened.file))))
    });
    notices.extend(failures);
    let analysis = analyse_trial(&plain, &pair_bounds(is_throttle_held));
    for pair in analysis.pairs.iter().filter(|_| is_throttle_held) {
        runs[pair.pair.first].is_of_drive = true;
        runs[pair.pair.second].is_of_drive = true;
    }
    Ok(TrialFacts {
        label: None,
        days: Vec::new(),
        files: opened.iter().map(|opened| file_name(&opened.file)).collect(),
        analysis,
        runs,
        remarks: {
            remarks.extend(notices.iter().map(|notice| remark(notice, paper)));
            remarks
        },
    })
}

/// What makes a pair, where somebody says that the throttle was not touched or nobody does.
#[must_use]
pub fn pair_bounds(is_throttle_held: bool) -> PairBounds {
    PairBounds { is_throttle_held, ..PairBounds::default() }
}

fn run_facts(from: String, run: Run) -> RunFacts {
    let speed = run.speed_through_water_m_s.or(run.speed_over_ground_m_s).unwrap_or(0.0);
    // Without the boat's measures only the part of the rule that goes with speed is known.
    let is_shallow = run.depth_m.is_some_and(|depth| depth < deep_enough_m(0.0, 0.0, speed));
    let (is_short, is_of_drive) = (run.duration_s < SHORT_RUN_S, run.is_of_drive());
    RunFacts { from, run, is_shallow, is_short, is_of_drive, note: String::new() }
}

#[cfg(test)]
mod tests;
