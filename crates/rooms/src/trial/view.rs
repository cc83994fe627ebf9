//! `trial import` and `trial runs` as JSON.

use schemars::JsonSchema;
use serde::Serialize;
use wakewright_core::notice::Severity;
use wakewright_units::factors::{DEGREE_RAD, KNOT_M_S, RPM_REV_S};
use wakewright_units::{UnitSystem, unit_for};

use crate::text::Paper;
use crate::trial::{ChannelFacts, DayFacts, LogFacts, LogRemark, RunFacts, TrialFacts, flag_words};
use crate::view::{Envelope, FORMAT_VERSION, NoticeView};

/// Logs that were read.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ImportView {
    /// One for each file.
    pub logs: Vec<LogView>,
}

/// One log.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LogView {
    /// As it was named.
    pub file: String,
    /// The sentence that says what it is.
    pub finding: String,
    /// `nmea-0183`, `nmea-2000-text`, `gpx`, `table`, or what else it is.
    pub kind: &'static str,
    /// Packed with gzip.
    pub is_packed: bool,
    /// Why nothing was read.
    pub failure: Option<String>,
    /// Lines, rows or points.
    pub lines: u64,
    /// Lines that are remarks.
    pub remark_lines: u64,
    /// `utc`, `time-of-day`, `elapsed` or `none`.
    pub time_base: &'static str,
    /// Time of the first sample.
    pub from: Option<String>,
    /// Time of the last sample.
    pub to: Option<String>,
    /// Seconds between both.
    pub duration_s: Option<f64>,
    /// What was measured.
    pub channels: Vec<ChannelView>,
    /// Messages by name, used or not.
    pub messages: Vec<MessageView>,
    /// What could not be used.
    pub bad: Vec<BadView>,
    /// How the columns of a table were taken.
    pub table: Option<TableView>,
    /// What to read before the figures are used.
    pub notices: Vec<LogNoticeView>,
}

/// One channel.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ChannelView {
    /// What it measures.
    pub measured: &'static str,
    /// Where it comes from.
    pub source: String,
    /// Samples.
    pub count: u64,
    /// Unit of the three values.
    pub unit: String,
    /// Least value; absent for directions.
    pub min: Option<f64>,
    /// Median; for directions the mean round the circle.
    pub median: f64,
    /// Greatest value; absent for directions.
    pub max: Option<f64>,
    /// Longest time between two samples.
    pub longest_gap_s: Option<f64>,
}

/// Messages of one name.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct MessageView {
    /// Sentence or parameter group.
    pub name: String,
    /// How many.
    pub count: u64,
}

/// Lines of one bad kind.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct BadView {
    /// Which kind.
    pub kind: &'static str,
    /// How many.
    pub count: u64,
    /// Numbers of the first few lines.
    pub first_lines: Vec<u64>,
}

/// How the columns of a table were taken.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct TableView {
    /// True when the mapping was given, not proposed.
    pub is_confirmed: bool,
    /// One for each column.
    pub columns: Vec<ColumnView>,
    /// The first rows.
    pub preview: Vec<Vec<String>>,
}

/// One column.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ColumnView {
    /// Its name.
    pub head: String,
    /// What it was taken for; empty when it is not used.
    pub taken_for: String,
}

/// A remark on a log.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LogNoticeView {
    /// Which.
    pub kind: &'static str,
    /// `note`, `weak` or `caution`.
    pub severity: &'static str,
    /// In words.
    pub text: String,
}

/// The steady runs of a trial.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct RunsView {
    /// Files, in the order given.
    pub files: Vec<String>,
    /// In order of time.
    pub runs: Vec<RunView>,
    /// Opposite pairs with the stream out.
    pub pairs: Vec<PairView>,
    /// Alternating runs, mean of means.
    pub alternating: Vec<AlternatingView>,
    /// The iterative method; absent when the runs do not suffice for it.
    pub iterative: Option<IterativeView>,
    /// What to read before the figures are used.
    pub log_notices: Vec<LogNoticeView>,
}

/// One run.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct RunView {
    /// From 1.
    pub number: usize,
    /// From when.
    pub from: String,
    /// Length.
    pub duration_s: f64,
    /// Course over ground, else heading.
    pub course_deg: Option<f64>,
    /// Speed over ground.
    pub speed_over_ground_kn: Option<f64>,
    /// Speed through the water as logged.
    pub speed_through_water_kn: Option<f64>,
    /// Speed of the shaft.
    pub shaft_speed_rpm: Option<f64>,
    /// Speed of the motor.
    pub motor_speed_rpm: Option<f64>,
    /// Voltage.
    pub voltage_v: Option<f64>,
    /// Current.
    pub current_a: Option<f64>,
    /// Power.
    pub power_w: Option<f64>,
    /// Depth.
    pub depth_m: Option<f64>,
    /// Apparent wind speed.
    pub wind_speed_kn: Option<f64>,
    /// Apparent wind angle, starboard positive.
    pub wind_angle_deg: Option<f64>,
    /// Standard deviation of the speed within the run.
    pub speed_scatter_kn: Option<f64>,
    /// Shallow enough to slow her.
    pub is_shallow: bool,
    /// Shorter than three minutes.
    pub is_short: bool,
}

/// One pair.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PairView {
    /// Numbers of both runs.
    pub runs: [usize; 2],
    /// Speed through the water.
    pub speed_through_water_kn: f64,
    /// Stream along the first course.
    pub stream_along_kn: f64,
    /// Shaft speed, else motor speed.
    pub turning_rpm: Option<f64>,
    /// Power.
    pub power_w: Option<f64>,
    /// What the boat's log showed over the speed found.
    pub log_factor: Option<f64>,
}

/// Alternating runs at one setting.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct AlternatingView {
    /// Numbers of the runs.
    pub runs: Vec<usize>,
    /// Mean of means.
    pub speed_through_water_kn: f64,
}

/// What the iterative method gave.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct IterativeView {
    /// Why it gave nothing.
    pub failure: Option<String>,
    /// Speed through the water of each run of the pairs, in the pairs' order.
    pub speeds_through_water_kn: Vec<f64>,
    /// `power_w = base_w + scale speed_kn^exponent`.
    pub base_w: Option<f64>,
    /// See `base_w`.
    pub scale: Option<f64>,
    /// See `base_w`.
    pub exponent: Option<f64>,
    /// True when the stream was taken as constant.
    pub is_constant_stream: bool,
}

/// The view of logs.
#[must_use]
pub fn import_view(logs: &[LogFacts]) -> Envelope<ImportView> {
    let finding: Vec<String> = logs.iter().map(LogFacts::sentence).collect();
    Envelope {
        format: "wakewright/trial-import".to_owned(),
        version: FORMAT_VERSION,
        boat: String::new(),
        finding: finding.join(" "),
        further: String::new(),
        result: ImportView { logs: logs.iter().map(log_view).collect() },
        notices: logs.iter().flat_map(|log| &log.remarks).map(notice_view).collect(),
    }
}

/// A trial of the store.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct KeptTrialView {
    /// What it is called.
    pub label: String,
    /// Its runs, pairs and stream.
    pub runs: RunsView,
    /// What the day did to each run.
    pub days: Vec<DayView>,
}

/// What the day did to a run.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct DayView {
    /// Number of the run, from 1.
    pub run: usize,
    /// Power as measured.
    pub measured_w: Option<f64>,
    /// What the wind added.
    pub wind_w: Option<f64>,
    /// What head waves added.
    pub waves_w: Option<f64>,
    /// What displacement other than stated added.
    pub displacement_w: Option<f64>,
    /// What water other than stated added.
    pub water_w: Option<f64>,
    /// Which of them are taken off.
    pub taken_off: Vec<&'static str>,
    /// Power with those taken off.
    pub stated_w: Option<f64>,
    /// What to say of the run.
    pub flags: Vec<&'static str>,
}

/// A trial of the store as JSON.
#[must_use]
pub fn kept_trial_view(
    boat: &str,
    label: &str,
    trial: &TrialFacts,
    days: &[DayFacts],
    paper: &Paper,
) -> Envelope<KeptTrialView> {
    let runs = runs_view(trial, paper);
    let days = days.iter().map(|day| DayView {
        run: day.run,
        measured_w: day.measured_w,
        wind_w: day.parts[0].watts,
        waves_w: day.parts[1].watts,
        displacement_w: day.parts[2].watts,
        water_w: day.parts[3].watts,
        taken_off: day.parts.iter().filter(|part| part.is_taken_off).map(|part| part.word).collect(),
        stated_w: day.stated_w,
        flags: day.flags.iter().map(|flag| flag_words(*flag)).collect(),
    });
    Envelope {
        format: "wakewright/trial-kept".to_owned(),
        version: runs.version,
        boat: boat.to_owned(),
        finding: runs.finding,
        further: runs.further,
        result: KeptTrialView { label: label.to_owned(), runs: runs.result, days: days.collect() },
        notices: runs.notices,
    }
}

/// The view of runs.
#[must_use]
pub fn runs_view(trial: &TrialFacts, paper: &Paper) -> Envelope<RunsView> {
    let kn = |speed: f64| speed / KNOT_M_S;
    let analysis = &trial.analysis;
    let pairs = analysis.pairs.iter().map(|result| PairView {
        runs: [result.pair.first + 1, result.pair.second + 1],
        speed_through_water_kn: kn(result.estimate.speed_through_water_m_s),
        stream_along_kn: kn(result.estimate.stream_along_m_s),
        turning_rpm: result.turning_rev_s.map(|n| n / RPM_REV_S),
        power_w: result.power_w,
        log_factor: result.log_factor,
    });
    let iterative = analysis.iterative.as_ref().map(|result| match result {
        Ok(solution) => IterativeView {
            failure: None,
            speeds_through_water_kn: solution.speeds_through_water_m_s.iter().map(|v| kn(*v)).collect(),
            base_w: Some(solution.power.base_w),
            scale: Some(solution.power.scale * KNOT_M_S.powf(solution.power.exponent)),
            exponent: Some(solution.power.exponent),
            is_constant_stream: solution.is_constant_stream,
        },
        Err(error) => IterativeView {
            failure: Some(error.to_string()),
            speeds_through_water_kn: Vec::new(),
            base_w: None,
            scale: None,
            exponent: None,
            is_constant_stream: false,
        },
    });
    let alternating = analysis.alternating.iter().map(|result| AlternatingView {
        runs: result.runs.iter().map(|i| i + 1).collect(),
        speed_through_water_kn: kn(result.speed_through_water_m_s),
    });
    Envelope {
        format: "wakewright/trial-runs".to_owned(),
        version: FORMAT_VERSION,
        boat: String::new(),
        finding: trial.sentence(paper),
        further: trial.further(),
        result: RunsView {
            files: trial.files.clone(),
            runs: trial.runs.iter().enumerate().map(|(i, run)| run_view(i + 1, run)).collect(),
            pairs: pairs.collect(),
            alternating: alternating.collect(),
            iterative,
            log_notices: trial.remarks.iter().map(log_notice_view).collect(),
        },
        notices: trial.remarks.iter().map(notice_view).collect(),
    }
}

fn run_view(number: usize, facts: &RunFacts) -> RunView {
    let run = &facts.run;
    let kn = |speed: Option<f64>| speed.map(|v| v / KNOT_M_S);
    let rpm = |turning: Option<f64>| turning.map(|n| n / RPM_REV_S);
    let deg = |angle: Option<f64>| angle.map(|a| a / DEGREE_RAD);
    RunView {
        number,
        from: facts.from.clone(),
        duration_s: run.duration_s,
        course_deg: deg(run.course_rad),
        speed_over_ground_kn: kn(run.speed_over_ground_m_s),
        speed_through_water_kn: kn(run.speed_through_water_m_s),
        shaft_speed_rpm: rpm(run.shaft_speed_rev_s),
        motor_speed_rpm: rpm(run.motor_speed_rev_s),
        voltage_v: run.voltage_v,
        current_a: run.current_a,
        power_w: run.power_w,
        depth_m: run.depth_m,
        wind_speed_kn: kn(run.wind_speed_m_s),
        wind_angle_deg: deg(run.wind_angle_rad),
        speed_scatter_kn: kn(run.speed_scatter_m_s),
        is_shallow: facts.is_shallow,
        is_short: facts.is_short,
    }
}

fn log_view(log: &LogFacts) -> LogView {
    LogView {
        file: log.file.clone(),
        finding: log.sentence(),
        kind: log.kind_word,
        is_packed: log.is_packed,
        failure: log.failure.clone(),
        lines: log.lines,
        remark_lines: log.remark_lines,
        time_base: log.time_base,
        from: log.from.clone(),
        to: log.to.clone(),
        duration_s: log.duration_s,
        channels: log.channels.iter().map(channel_view).collect(),
        messages: log
            .messages
            .iter()
            .map(|(name, count)| MessageView { name: name.clone(), count: *count })
            .collect(),
        bad: log
            .bad
            .iter()
            .map(|bad| BadView { kind: bad.word, count: bad.count, first_lines: bad.first_lines.clone() })
            .collect(),
        table: log.table.as_ref().map(|table| TableView {
            is_confirmed: table.is_confirmed,
            columns: table
                .columns
                .iter()
                .map(|(head, taken_for)| ColumnView { head: head.clone(), taken_for: taken_for.clone() })
                .collect(),
            preview: table.preview.clone(),
        }),
        notices: log.remarks.iter().map(log_notice_view).collect(),
    }
}

/// JSON is in the trade's units whatever the text is in.
fn channel_view(channel: &ChannelFacts) -> ChannelView {
    let unit = unit_for(channel.quantity, UnitSystem::Trade);
    let bound = |si: f64| (!channel.is_circular).then(|| unit.from_si(si));
    ChannelView {
        measured: channel.word,
        source: channel.source.clone(),
        count: channel.count,
        unit: unit.symbol().to_owned(),
        min: bound(channel.least),
        median: unit.from_si(channel.middle),
        max: bound(channel.greatest),
        longest_gap_s: channel.longest_gap_s,
    }
}

fn severity_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Note => "note",
        Severity::Weak => "weak",
        Severity::Caution => "caution",
    }
}

fn log_notice_view(remark: &LogRemark) -> LogNoticeView {
    LogNoticeView { kind: remark.word, severity: severity_word(remark.severity), text: remark.text.clone() }
}

fn notice_view(remark: &LogRemark) -> NoticeView {
    NoticeView {
        severity: severity_word(remark.severity),
        text: remark.text.clone(),
        source: "common practice, no source".to_owned(),
    }
}
