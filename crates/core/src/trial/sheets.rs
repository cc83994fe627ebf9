//! What is told of a trial, and its sheets: runs, pairs with the stream out, what the day did.
//! Not for: finding any of it (`analysis`, `stated`), or the sentences.

use wakewright_units::Quantity;
use wakewright_units::factors::KNOT_M_S;

use super::analysis::{AlternatingResult, PairResult, TrialAnalysis};
use super::constant_stream::ConstantStream;
use super::run::Run;
use super::stated::RunFlag;
use crate::notice::{Notice, Severity};
use crate::sheet::{AnySheet, Column, Figure, Form, List, Origin, Sheet, Tone, itself, plain};

/// A remark on a log, in words.
#[derive(Debug, Clone, PartialEq)]
pub struct LogRemark {
    /// How much it matters.
    pub severity: Severity,
    /// Its name for machines.
    pub word: &'static str,
    /// In words.
    pub text: String,
}

impl LogRemark {
    /// As it travels with a result.
    #[must_use]
    pub fn notice(&self) -> Notice {
        Notice::Read { severity: self.severity, text: self.text.clone() }
    }
}

/// A steady run.
#[derive(Debug, Clone, PartialEq)]
pub struct RunFacts {
    /// From when.
    pub from: String,
    /// Means.
    pub run: Run,
    /// Shallow enough to slow her.
    pub is_shallow: bool,
    /// Shorter than a run should be.
    pub is_short: bool,
    /// Something tells that the motor drove her; else she may have sailed or drifted.
    pub is_of_drive: bool,
    /// What was noted of it.
    pub note: String,
}

/// One thing that the day did to a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayPart {
    /// `wind`, `waves`, `displacement` or `water`.
    pub word: &'static str,
    /// Power that it added \[W\]; `None` where it is not known.
    pub watts: Option<f64>,
    /// True where it is taken off.
    pub is_taken_off: bool,
}

/// What the day did to a run.
#[derive(Debug, Clone, PartialEq)]
pub struct DayFacts {
    /// Number of the run.
    pub run: usize,
    /// Power as measured \[W\].
    pub measured_w: Option<f64>,
    /// What the day added.
    pub parts: [DayPart; 4],
    /// Power with what is switched on taken off \[W\].
    pub stated_w: Option<f64>,
    /// What to say of the run.
    pub flags: Vec<RunFlag>,
}

/// What is told of a trial.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialFacts {
    /// What it is called, where it is kept.
    pub label: Option<String>,
    /// Files, in the order given.
    pub files: Vec<String>,
    /// Runs in order of time.
    pub runs: Vec<RunFacts>,
    /// The stream taken out.
    pub analysis: TrialAnalysis,
    /// What the day did to each run, where the boat is known.
    pub days: Vec<DayFacts>,
    /// What to read first.
    pub remarks: Vec<LogRemark>,
}

impl RunFlag {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Shallow => "shallow enough to slow her; not used for causes",
            Self::WavesTooHigh => "waves higher than the formula covers; not corrected for them",
            Self::LargeCorrection => "the day changed her power by more than a tenth; weaker than a calm day",
        }
    }
}

/// Every sheet, in its order in files.
pub static TRIAL_SHEETS: [&dyn AnySheet<TrialFacts>; 9] =
    [&SUMMARY, &RUNS, &PAIRS, &OFFERED, &ALTERNATING, &CONSTANT_STREAM, &ITERATIVE, &DAYS, &LOG_NOTICES];

const fn said(key: &'static str, head: &'static str, label: &'static str) -> Figure {
    Figure::plain(key, head, label, Origin::Asked)
}

const fn read(key: &'static str, head: &'static str, label: &'static str, quantity: Quantity) -> Figure {
    Figure::asked(key, head, label, quantity)
}

const STREAM_OUT: Origin = Origin::Because(
    "it is taken from speed over ground on opposite courses: their mean, or the one stream that courses and headings share",
);

const fn found(key: &'static str, head: &'static str, label: &'static str, quantity: Quantity) -> Figure {
    Figure::computed(key, head, label, quantity, STREAM_OUT)
}

const OF_DAY: Origin = Origin::Because(
    "it is her document's resistance under what was noted of the day, less that in a calm, in terms of power",
);

const fn of_day(key: &'static str, head: &'static str, label: &'static str) -> Figure {
    Figure::computed(key, head, label, Quantity::Power, OF_DAY)
}

static LABEL: Figure = said("label", "", "what the trial is called");
static FILES: Figure = said("files", "", "its logs, in the order given");
static NUMBER: Figure = said("number", "run", "number of the run");
static FROM: Figure = said("from", "from", "when it begins");
static FROM_CLOCK: Figure = said("from_clock", "from", "the same without the day, where all runs share it");
static DURATION: Figure = read("duration", "for", "length", Quantity::ShortDuration);
static COURSE: Figure = read("course", "course", "course over ground, else heading", Quantity::Angle);
static OVER_GROUND: Figure = read("speed_over_ground", "ground", "speed over ground", Quantity::Speed);
static BY_LOG: Figure =
    read("speed_through_water", "log", "speed through the water, as the log shows it", Quantity::Speed);
static SHAFT: Figure = read("shaft_speed", "", "speed of the shaft", Quantity::RotationalSpeed);
static MOTOR: Figure = read("motor_speed", "", "speed of the motor", Quantity::RotationalSpeed);
static TURNING: Figure =
    read("turning", "", "speed of the shaft, else of the motor", Quantity::RotationalSpeed);
static VOLTAGE: Figure = read("voltage", "", "voltage of the bank", Quantity::Voltage);
static CURRENT: Figure = read("current", "", "current out of the bank", Quantity::Current);
static POWER: Figure = read("power", "", "power for the drive, out of the bank", Quantity::Power);
static PULL: Figure = read("pull", "pull", "pull on the line, tied up", Quantity::Force);
static DEPTH: Figure = read("depth", "", "depth of water", Quantity::Length);
static WIND_SPEED: Figure = read("wind_speed", "", "apparent wind speed", Quantity::Speed);
static WIND_ANGLE: Figure =
    read("wind_angle", "", "apparent wind angle, starboard positive", Quantity::Angle);
static SCATTER: Figure =
    found("speed_scatter", "", "standard deviation of the speed within the run", Quantity::Speed);
static IS_SHALLOW: Figure = said("is_shallow", "", "water shallow enough to slow her");
static IS_SHORT: Figure = said("is_short", "", "shorter than three minutes");
static IS_OF_DRIVE: Figure = said(
    "is_of_drive",
    "",
    "a reading of motor, shaft or power, or the one who was aboard, tells that the motor drove her",
);
static PAIR: Figure = said("pair", "pair", "number of its pair");
static MARKS: Figure = said("marks", "", "what to know of it");
static NOTE: Figure = said("note", "", "what was noted of it");
static RUNS_OF: Figure = said("runs", "runs", "numbers of the runs");
static WATER: Figure =
    found("speed_through_water", "through\nwater", "speed through the water", Quantity::Speed);
static WATER_BAND: Figure = found(
    "speed_through_water_band",
    "+/-",
    "half the band about it, in four cases of five",
    Quantity::Speed,
);
static STREAM_ALONG: Figure =
    found("stream_along", "", "stream along the first course, below zero against it", Quantity::Speed);
static STREAM: Figure = found("stream", "stream", "the stream", Quantity::Speed);
static STREAM_TOWARDS: Figure =
    found("stream_towards", "towards", "direction towards which it runs", Quantity::Angle);
static STREAM_BAND: Figure = found(
    "stream_band",
    "+/-",
    "half the band of the stream of any one run about it, along and across, in four cases of five",
    Quantity::Speed,
);
static TOWARDS_BAND: Figure = found(
    "stream_towards_band",
    "+/-",
    "half the band about its direction; none where the band is as wide as the stream is fast",
    Quantity::Angle,
);
static PAIR_COUNT: Figure = said("pairs", "pairs", "how many pairs tell it");
static LOG_FACTOR: Figure =
    Figure::plain("log_factor", "log\nshows", "what the boat's log showed over the speed found", STREAM_OUT);
static FAILURE: Figure = said("failure", "", "why the iterative method gave nothing");
static ALL_WATER: Figure = found(
    "speeds_through_water",
    "",
    "speed through the water of each run of the pairs, in their order",
    Quantity::Speed,
);
static BASE: Figure = found("base", "", "power = base + scale speed^exponent, speed in kn", Quantity::Power);
static SCALE: Figure = Figure::plain("scale", "", "see base", STREAM_OUT);
static EXPONENT: Figure = Figure::plain("exponent", "", "see base", STREAM_OUT);
static IS_CONSTANT: Figure =
    Figure::plain("is_constant_stream", "", "the stream was taken as constant", STREAM_OUT);
static DAY_RUN: Figure = said("run", "run", "number of the run");
static MEASURED: Figure = read("measured", "measured", "power as measured", Quantity::Power);
static WIND: Figure = of_day("wind", "wind", "what the wind added");
static WAVES: Figure = of_day("waves", "waves", "what head waves added");
static DISPLACEMENT: Figure = of_day("displacement", "weight", "what displacement other than stated added");
static DAY_WATER: Figure = of_day("water", "water", "what water other than stated added");
static STATED: Figure = of_day("stated", "leaves", "power with those taken off that are switched on");
static TAKEN_OFF: Figure = said("taken_off", "", "which are taken off");
static FLAGS: Figure = said("flags", "", "what to say of the run");
static KIND: Figure = said("kind", "", "which remark");
static SEVERITY: Figure = said("severity", "", "how much it matters");
static TEXT: Figure = said("text", "", "in words");

type OfTrial = Column<TrialFacts>;
type OfRun = Column<Row>;
type OfPair = Column<PairResult>;
type OfAlternating = Column<AlternatingResult>;
type OfStream = Column<ConstantStream>;
type OfDay = Column<DayFacts>;
type OfRemark = Column<LogRemark>;

static SUMMARY: Sheet<TrialFacts, TrialFacts> = Sheet {
    key: "summary",
    title: "The trial",
    form: Form::Files,
    columns: &[&List(&[
        OfTrial::text(&LABEL, |t| t.label.clone()),
        OfTrial::texts(&FILES, |t| t.files.clone()),
    ])],
    rows: itself,
    tone: plain,
};

/// A run with its number.
struct Row {
    number: u64,
    pair: Option<u64>,
    clock: String,
    facts: RunFacts,
}

impl Row {
    fn marks(&self) -> Vec<String> {
        let run = &self.facts.run;
        let marks = [
            (self.facts.is_short, "short"),
            (self.facts.is_shallow, "shallow"),
            (run.shaft_speed_rev_s.is_none() && run.motor_speed_rev_s.is_some(), "rpm of the motor"),
            (run.pull_n.is_some(), "tied up"),
            (!self.facts.is_of_drive, "sailing or unknown"),
        ];
        marks.iter().filter(|(holds, _)| *holds).map(|(_, mark)| (*mark).to_owned()).collect()
    }
}

/// A time without its day.
fn clock_of(time: &str) -> (&str, &str) {
    let parts = time.split_once(' ').filter(|(day, _)| day.len() == 10 && day.contains('-'));
    parts.unwrap_or(("", time))
}

static RUNS: Sheet<TrialFacts, Row> = Sheet {
    key: "runs",
    title: "Steady runs",
    form: Form::Table,
    columns: &[&List(&[
        OfRun::count(&NUMBER, |r| Some(r.number)),
        OfRun::text(&FROM, |r| Some(r.facts.from.clone())).in_files(),
        OfRun::text(&FROM_CLOCK, |r| Some(r.clock.clone())),
        OfRun::number(&DURATION, |r| Some(r.facts.run.duration_s)).unit("min").decimals(0),
        OfRun::number(&COURSE, |r| r.facts.run.course_rad).decimals(0),
        OfRun::number(&TURNING, |r| r.facts.run.shaft_speed_rev_s.or(r.facts.run.motor_speed_rev_s))
            .decimals(0),
        OfRun::number(&SHAFT, |r| r.facts.run.shaft_speed_rev_s).in_files(),
        OfRun::number(&MOTOR, |r| r.facts.run.motor_speed_rev_s).in_files(),
        OfRun::number(&OVER_GROUND, |r| r.facts.run.speed_over_ground_m_s).decimals(2),
        OfRun::number(&BY_LOG, |r| r.facts.run.speed_through_water_m_s).decimals(2),
        OfRun::number(&VOLTAGE, |r| r.facts.run.voltage_v).decimals(1),
        OfRun::number(&CURRENT, |r| r.facts.run.current_a).decimals(0),
        OfRun::number(&POWER, |r| r.facts.run.power_w).unit("kW").decimals(2),
        OfRun::number(&PULL, |r| r.facts.run.pull_n),
        OfRun::number(&DEPTH, |r| r.facts.run.depth_m).in_files(),
        OfRun::number(&WIND_SPEED, |r| r.facts.run.wind_speed_m_s).in_files(),
        OfRun::number(&WIND_ANGLE, |r| r.facts.run.wind_angle_rad).in_files(),
        OfRun::number(&SCATTER, |r| r.facts.run.speed_scatter_m_s).in_files(),
        OfRun::flag(&IS_SHALLOW, |r| Some(r.facts.is_shallow)).in_files(),
        OfRun::flag(&IS_SHORT, |r| Some(r.facts.is_short)).in_files(),
        OfRun::flag(&IS_OF_DRIVE, |r| Some(r.facts.is_of_drive)).in_files(),
        OfRun::count(&PAIR, |r| r.pair),
        OfRun::texts(&MARKS, Row::marks),
        OfRun::text(&NOTE, |r| Some(r.facts.note.clone()).filter(|note| !note.is_empty())),
    ])],
    rows: |found, see| {
        let day = found.runs.first().map_or("", |facts| clock_of(&facts.from).0);
        let is_one_day = found.runs.iter().all(|facts| clock_of(&facts.from).0 == day);
        let mut pairs = vec![None; found.runs.len()];
        for (number, pair) in found.analysis.pairs.iter().enumerate() {
            for run in [pair.pair.first, pair.pair.second] {
                pairs[run].get_or_insert(number as u64 + 1);
            }
        }
        for (place, facts) in found.runs.iter().enumerate() {
            let clock = if is_one_day { clock_of(&facts.from).1 } else { &facts.from };
            see(&Row {
                number: place as u64 + 1,
                pair: pairs[place],
                clock: clock.to_owned(),
                facts: facts.clone(),
            });
        }
    },
    tone: |_, row| if row.facts.is_of_drive { Tone::Plain } else { Tone::Faint },
};

fn numbers(runs: &[usize]) -> Vec<u64> {
    runs.iter().map(|run| *run as u64 + 1).collect()
}

static PAIR_COLUMNS: List<PairResult> = List(&[
    OfPair::counts(&RUNS_OF, |p| numbers(&[p.pair.first, p.pair.second])),
    OfPair::number(&TURNING, |p| p.turning_rev_s).decimals(0),
    OfPair::number(&POWER, |p| p.power_w).unit("kW").decimals(2),
    OfPair::number(&WATER, |p| Some(p.estimate.speed_through_water_m_s)).decimals(2),
    OfPair::number(&WATER_BAND, |p| p.band_m_s).decimals(2),
    OfPair::number(&STREAM_ALONG, |p| Some(p.estimate.stream_along_m_s)).in_files(),
    OfPair::number(&STREAM, |p| {
        let along_m_s = p.estimate.stream_along_m_s.abs();
        Some(p.estimate.stream.map_or(along_m_s, |stream| stream.speed_m_s))
    })
    .decimals(2),
    OfPair::number(&STREAM_TOWARDS, |p| Some(p.estimate.stream?.towards_rad)).decimals(0),
    OfPair::number(&LOG_FACTOR, |p| p.log_factor).unit("%").decimals(0),
]);

static PAIRS: Sheet<TrialFacts, PairResult> = Sheet {
    key: "pairs",
    title: "Opposite pairs, stream out",
    form: Form::Table,
    columns: &[&PAIR_COLUMNS],
    rows: |found, see| found.analysis.pairs.iter().for_each(see),
    tone: plain,
};

static OFFERED: Sheet<TrialFacts, PairResult> = Sheet {
    key: "offered_pairs",
    title: "Opposite neighbours: pairs, if the throttle was not touched",
    form: Form::Table,
    columns: &[&PAIR_COLUMNS],
    rows: |found, see| found.analysis.offered.iter().for_each(see),
    tone: plain,
};

static ALTERNATING: Sheet<TrialFacts, AlternatingResult> = Sheet {
    key: "alternating",
    title: "Runs in turn with and against the stream, mean of means",
    form: Form::FileTable,
    columns: &[&List(&[
        OfAlternating::counts(&RUNS_OF, |a| numbers(&a.runs)),
        OfAlternating::number(&WATER, |a| Some(a.speed_through_water_m_s)),
    ])],
    rows: |found, see| found.analysis.alternating.iter().for_each(see),
    tone: plain,
};

static CONSTANT_STREAM: Sheet<TrialFacts, ConstantStream> = Sheet {
    key: "constant_stream",
    title: "One stream through all pairs, taken as constant",
    form: Form::FileTable,
    columns: &[&List(&[
        OfStream::count(&PAIR_COUNT, |s| Some(s.pairs as u64)),
        OfStream::number(&STREAM, |s| Some(s.mean.speed_m_s)),
        OfStream::number(&STREAM_BAND, |s| Some(s.band_m_s)),
        OfStream::number(&STREAM_TOWARDS, |s| Some(s.mean.towards_rad)),
        OfStream::number(&TOWARDS_BAND, ConstantStream::towards_band_rad),
    ])],
    rows: |found, see| found.analysis.constant_stream.iter().for_each(see),
    tone: plain,
};

static ITERATIVE: Sheet<TrialFacts, TrialFacts> = Sheet {
    key: "iterative",
    title: "One curve of power and a stream through all pairs",
    form: Form::Files,
    columns: &[&List(&[
        OfTrial::text(&FAILURE, |t| Some(t.analysis.iterative.as_ref()?.as_ref().err()?.to_string())),
        OfTrial::numbers(&ALL_WATER, |t| {
            let speeds = t.solution().map(|solution| solution.speeds_through_water_m_s.as_slice());
            speeds.unwrap_or_default().iter().map(|speed| Some(*speed)).collect()
        }),
        OfTrial::number(&BASE, |t| Some(t.solution()?.power.base_w)),
        OfTrial::number(&SCALE, |t| {
            let power = &t.solution()?.power;
            Some(power.scale * KNOT_M_S.powf(power.exponent))
        }),
        OfTrial::number(&EXPONENT, |t| Some(t.solution()?.power.exponent)),
        OfTrial::flag(&IS_CONSTANT, |t| Some(t.solution().is_some_and(|s| s.is_constant_stream))),
        OfTrial::number(&STREAM_BAND, |t| t.solution()?.band_m_s),
    ])],
    rows: |found, see| {
        if found.analysis.iterative.is_some() {
            see(found);
        }
    },
    tone: plain,
};

impl TrialFacts {
    /// What the iterative method gave.
    #[must_use]
    pub fn solution(&self) -> Option<&super::StreamSolution> {
        self.analysis.iterative.as_ref()?.as_ref().ok()
    }
}

static DAYS: Sheet<TrialFacts, DayFacts> = Sheet {
    key: "days",
    title: "What the day added",
    form: Form::Table,
    columns: &[&List(&[
        OfDay::count(&DAY_RUN, |d| Some(d.run as u64)),
        OfDay::number(&MEASURED, |d| d.measured_w).unit("W").decimals(0),
        OfDay::number(&WIND, |d| d.parts[0].watts).unit("W").decimals(0),
        OfDay::number(&WAVES, |d| d.parts[1].watts).unit("W").decimals(0),
        OfDay::number(&DISPLACEMENT, |d| d.parts[2].watts).unit("W").decimals(0),
        OfDay::number(&DAY_WATER, |d| d.parts[3].watts).unit("W").decimals(0),
        OfDay::texts(&TAKEN_OFF, |d| {
            d.parts.iter().filter(|part| part.is_taken_off).map(|part| part.word.to_owned()).collect()
        })
        .in_files(),
        OfDay::number(&STATED, |d| d.stated_w).unit("W").decimals(0),
        OfDay::texts(&FLAGS, |d| d.flags.iter().map(|flag| flag.words().to_owned()).collect()).in_files(),
    ])],
    rows: |found, see| found.days.iter().for_each(see),
    tone: plain,
};

static LOG_NOTICES: Sheet<TrialFacts, LogRemark> = Sheet {
    key: "log_notices",
    title: "What to read before the figures are used",
    form: Form::FileTable,
    columns: &[&REMARK_COLUMNS],
    rows: |found, see| found.remarks.iter().for_each(see),
    tone: plain,
};

/// A remark on a log.
pub static REMARK_COLUMNS: List<LogRemark> = List(&[
    OfRemark::text(&KIND, |r| Some(r.word.to_owned())),
    OfRemark::text(&SEVERITY, |r| Some(r.severity.key().to_owned())),
    OfRemark::text(&TEXT, |r| Some(r.text.clone())),
]);
