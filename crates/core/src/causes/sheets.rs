//! The sheets of a diagnosis: what each cause takes, what is odd, what to do next, readings, fit.
//! Not for: finding it (`diagnosis`), forecasts (`forecast_sheets`).

use wakewright_units::{Quantity, UnitSystem, format_number, format_quantity};

use super::adopt::{Calibrated, CalibratedField};
use super::diagnosis::{CausePair, CurveRow, Diagnosis, Misfit, PointKind, Share, ShortfallPoint};
use super::evidence::LeftOut;
use super::hypothesis::Hypothesis;
use super::next_run::NextRun;
use super::observation::{Datum, DatumKind};
use crate::field;
use crate::sheet::{
    AnySheet, Column, Figure, Form, Interval, List, Origin, Sheet, Tone, Word, itself, plain,
};
use crate::study::{STATE, StateFigure};

/// Every sheet, in its order in files.
pub static CAUSES_SHEETS: [&dyn AnySheet<Diagnosis>; 13] = [
    &SUMMARY,
    &POINTS,
    &SHARES,
    &NOT_TOLD_APART,
    &ODD,
    &NEXT,
    &READINGS,
    &NOT_FITTED,
    &FIT,
    &MISFITS,
    &SHOULD_CURVE,
    &FOUND_CURVE,
    &CALIBRATED,
];

const OF_SAMPLES: Origin = Origin::Because("it is a count of the samples");
const OF_FIT: Origin = Origin::Because("it tells how far the figures can be trusted");

const fn asked(key: &'static str, head: &'static str, label: &'static str) -> Figure {
    Figure::plain(key, head, label, Origin::Asked)
}

const fn short(key: &'static str, head: &'static str, label: &'static str) -> Figure {
    Figure::part(key, head, label, Quantity::Speed, "full_short")
}

const fn counted(key: &'static str, head: &'static str, label: &'static str) -> Figure {
    Figure::plain(key, head, label, OF_SAMPLES)
}

const fn fit(key: &'static str, label: &'static str) -> Figure {
    Figure::plain(key, "", label, OF_FIT)
}

static TRIAL: Figure = asked("trial", "trial", "the trial, by its title or day");
static EVIDENCE: Figure = asked("evidence", "", "earlier trials that were evidence");
static AT: Figure = asked("at", "at", "where the shortfall is taken");
static POINT_POWER: Figure =
    Figure::part("bank_power", "power", "power out of the bank, there", Quantity::Power, "cruise_short");
static SHOULD: Figure = short("should", "should", "what she should do, clean and in a calm");
static NOW: Figure = short("now", "does", "what she does");
static SHORTFALL: Figure = short("shortfall", "short", "what she falls short of");
static SHORT_PROBABILITY: Figure =
    counted("short_probability", "", "how probable it is that she falls short by a twentieth of a knot");
static CAUSE: Figure = asked("cause", "cause", "the cause");
static WORDS: Figure = asked("words", "", "the same in words");
static TAKES: Figure = short("takes", "takes", "speed that it takes, below zero where it gives");
static MEAN: Figure = short("mean", "", "the same, mean: these add up to the mean shortfall");
static MAIN_PROBABILITY: Figure =
    counted("main_probability", "main\ncause", "how probable it is that it takes most of all");
static LOOK: Figure = asked("look", "", "what to look at");
static FIRST: Figure = asked("first", "one", "one cause");
static SECOND: Figure = asked("second", "the other", "the other");
static CORRELATION: Figure = counted("correlation", "correlation", "correlation of what they take");
static TOGETHER: Figure = short("together", "together", "what both take together");
static WHAT: Figure = asked("what", "what", "what it is");
static TO_DO: Figure = asked("what", "what to do next", "what it is");
static WHEN: Figure = asked("when", "when", "on which trials; empty where there is only one");
static PROBABILITY: Figure = counted("probability", "probable", "how probable it is");
static DOUBT_REMOVED: Figure = counted(
    "doubt_removed",
    "doubt\ntaken",
    "share of the doubt about the main cause that it is expected to take away",
);
static MAIN_AFTER: Figure =
    counted("main_probability_after", "cause\nknown", "how probable the main cause is expected to be then");
static WIDTH_LEFT: Figure =
    counted("width_left", "width\nleft", "width of the leading shares then, over what it is now");
static DATE: Figure = asked("date", "day", "day of the trial, where there are several");
static RUNS: Figure = asked("runs", "run", "numbers of its runs");
static READING: Figure = asked("reading", "reading", "what was read, with its unit as in all files");
static MEASURED: Figure = asked("measured", "measured", "as measured, in that unit");
static SD: Figure = asked("sd", "", "its standard deviation, in that unit");
const OF_READING: Origin = Origin::Because("it is of the reading that the row names");
static READING_SHOULD: Figure =
    Figure::plain("should", "she\nshould", "as she should have had it, in that unit", OF_READING);
static GIVEN: Figure =
    Figure::plain("given", "causes\ngive", "as the causes give it, in that unit", OF_READING);
static RUN: Figure = asked("run", "run", "number of the run");
static WHY: Figure = asked("why", "why", "why it is not fitted");
static READINGS_COUNT: Figure = fit("readings", "readings");
static RMS_RESIDUAL: Figure =
    fit("rms_residual", "root mean square of residuals over their standard deviations");
static P_VALUE: Figure =
    fit("p_value", "share of trials that would lie further off by chance, were the causes right");
static SAMPLES: Figure = fit("samples", "weighted samples");
static EFFECTIVE: Figure = fit("effective_samples", "worth so many of equal weight");
static PARETO_K: Figure = fit("pareto_k", "Pareto k of the weights; 0.7 is the most that can be trusted");
static TEMPERED: Figure = fit("tempered", "rounds of tempering");
static IS_TRUSTED: Figure = fit("is_trusted", "the figures can be trusted");
static KIND: Figure = asked("kind", "kind", "its kind");
static TEXT: Figure = asked("text", "text", "as a sentence");
static CURVE_POWER: Figure =
    Figure::part("drive_power", "power", "power of the drive", Quantity::Power, "full_short");
static FIELD: Figure = asked("field", "field", "field of the document");
static VALUE_SI: Figure = Figure::plain("value_si", "trial", "by the trial, SI", OF_READING);
static BEFORE_SI: Figure = Figure::plain("before_si", "before", "before it, SI", OF_READING);

type OfFound = Column<Diagnosis>;
type OfPoint = Column<ShortfallPoint>;
type OfTaken = Column<Taken>;
type OfPair = Column<CausePair>;
type OfOdd = Column<OddRow>;
type OfNext = Column<NextRun>;
type OfReading = Column<Reading>;
type OfLeftOut = Column<(String, usize, LeftOut)>;
type OfMisfit = Column<(&'static str, String)>;
type OfCalibrated = Column<Calibrated>;
type OfCurve = Column<CurveRow>;

/// The label of a trial.
fn label(diagnosis: &Diagnosis, epoch: usize) -> String {
    diagnosis.problem.epochs.get(epoch).map_or_else(String::new, |epoch| epoch.label.clone())
}

static SUMMARY: Sheet<Diagnosis, Diagnosis> = Sheet {
    key: "summary",
    title: "Which trials it stands on",
    form: Form::Files,
    columns: &[&List(&[
        OfFound::text(&TRIAL, |d| Some(label(d, d.problem.now()))),
        OfFound::texts(&EVIDENCE, |d| (0..d.problem.now()).map(|epoch| label(d, epoch)).collect()),
    ])],
    rows: itself,
    tone: plain,
};

impl PointKind {
    /// Both its names.
    #[must_use]
    pub fn word(self) -> Word {
        match self {
            Self::FullThrottle => Word { key: "full_throttle", words: "full throttle" },
            Self::Power(_) => Word { key: "power", words: "cruising power" },
        }
    }

    fn power_w(self) -> Option<f64> {
        if let Self::Power(watts) = self { Some(watts) } else { None }
    }
}

static POINTS: Sheet<Diagnosis, ShortfallPoint> = Sheet {
    key: "points",
    title: "How far she falls short",
    form: Form::FileTable,
    columns: &[&List(&[
        OfPoint::word(&AT, |p| Some(p.kind.word())),
        OfPoint::number(&POINT_POWER, |p| p.kind.power_w()),
        OfPoint::number(&SHOULD, |p| Some(p.should_m_s)),
        OfPoint::band(&NOW, |p| Some(p.now)),
        OfPoint::band(&SHORTFALL, |p| Some(p.shortfall)),
        OfPoint::number(&SHORT_PROBABILITY, |p| Some(p.short_probability)),
    ])],
    rows: |found, see| found.points.iter().for_each(see),
    tone: plain,
};

/// What a cause takes at a point.
struct Taken {
    at: PointKind,
    share: Share,
    mean_m_s: f64,
}

static SHARES: Sheet<Diagnosis, Taken> = Sheet {
    key: "shares",
    title: "What each cause takes",
    form: Form::Table,
    columns: &[&List(&[
        OfTaken::word(&AT, |t| Some(t.at.word())).in_files(),
        OfTaken::word(&CAUSE, |t| Some(t.share.cause.word())),
        OfTaken::text(&WORDS, |t| Some(t.share.cause.words().to_owned())).in_files(),
        OfTaken::band(&TAKES, |t| Some(t.share.taken)).decimals(2),
        OfTaken::number(&MEAN, |t| Some(t.mean_m_s)).in_files(),
        OfTaken::number(&MAIN_PROBABILITY, |t| Some(t.share.main_probability)).unit("%").decimals(0),
        OfTaken::text(&LOOK, |t| Some(t.share.cause.what_to_look_at().to_owned())).in_files(),
    ])],
    rows: |found, see| {
        for point in &found.points {
            for share in &point.shares {
                let mean_m_s = point.mean_shares_m_s[share.cause as usize];
                see(&Taken { at: point.kind, share: *share, mean_m_s });
            }
        }
    },
    tone: |_, taken| if taken.share.main_probability > 0.5 { Tone::Strong } else { Tone::Plain },
};

static NOT_TOLD_APART: Sheet<Diagnosis, CausePair> = Sheet {
    key: "not_told_apart",
    title: "What these runs cannot tell apart",
    form: Form::FileTable,
    columns: &[&List(&[
        OfPair::word(&FIRST, |p| Some(p.first.word())),
        OfPair::word(&SECOND, |p| Some(p.second.word())),
        OfPair::number(&CORRELATION, |p| Some(p.correlation)).decimals(2),
        OfPair::band(&TOGETHER, |p| Some(p.together)).decimals(2),
    ])],
    rows: |found, see| found.correlated.iter().for_each(see),
    tone: plain,
};

impl Hypothesis {
    /// Both its names.
    #[must_use]
    pub fn word(self) -> Word {
        Word { key: self.key(), words: self.words() }
    }
}

/// Something odd, with the trials on which it was.
struct OddRow {
    what: Hypothesis,
    when: Option<String>,
    words: String,
    probability: f64,
}

static ODD: Sheet<Diagnosis, OddRow> = Sheet {
    key: "odd",
    title: "What may be odd about her",
    form: Form::Table,
    columns: &[&List(&[
        OfOdd::word(&WHAT, |odd| Some(odd.what.word())),
        OfOdd::text(&WHEN, |odd| odd.when.clone()),
        OfOdd::text(&WORDS, |odd| Some(odd.words.clone())).in_files(),
        OfOdd::number(&PROBABILITY, |odd| Some(odd.probability)).unit("%").decimals(0),
    ])],
    rows: |found, see| {
        let epochs = &found.problem.epochs;
        for (odd, probability) in &found.oddities {
            see(&OddRow {
                what: odd.what,
                when: odd.when(epochs),
                words: odd.words(epochs),
                probability: *probability,
            });
        }
    },
    tone: plain,
};

static NEXT: Sheet<Diagnosis, NextRun> = Sheet {
    key: "next",
    title: "What would tell more",
    form: Form::Table,
    columns: &[&List(&[
        OfNext::word(&TO_DO, |n| Some(n.proposal.word())),
        OfNext::text(&WORDS, |n| {
            Some(n.proposal.sentence(|si, of, digits| format_quantity(si, of, UnitSystem::Trade, digits)))
        })
        .in_files(),
        OfNext::number(&STATE[StateFigure::ShaftSpeed as usize], |n| n.proposal.shaft_rev_s()).head("at"),
        OfNext::number(&STATE[StateFigure::Speed as usize], |n| n.proposal.speed_m_s()).head("from"),
        OfNext::number(&DOUBT_REMOVED, |n| Some(n.doubt_removed)).unit("%").decimals(0),
        OfNext::number(&MAIN_AFTER, |n| Some(n.main_probability_after)).unit("%").decimals(0),
        OfNext::number(&WIDTH_LEFT, |n| Some(n.width_left)).unit("%").decimals(0),
    ])],
    rows: |found, see| found.next.iter().for_each(see),
    tone: plain,
};

/// A reading of one observation.
struct Reading {
    trial: String,
    date: Option<String>,
    runs: Vec<u64>,
    shaft_rev_s: Option<f64>,
    datum: Datum,
    should: Option<f64>,
    given: Interval,
}

impl DatumKind {
    /// Both its names: that of its figure in files, and in words.
    #[must_use]
    pub fn word(self) -> Word {
        let (key, words) = match self {
            Self::Speed => ("speed_kn", "speed"),
            Self::LogSpeed => ("log_speed_kn", "speed by the log"),
            Self::Shaft => ("shaft_speed_rpm", "shaft speed"),
            Self::Motor => ("motor_speed_rpm", "motor speed"),
            Self::Power => ("drive_power_w", "power"),
            Self::Volts => ("bank_volts_v", "voltage"),
            Self::Current => ("bank_current_a", "current"),
            Self::RestVolts => ("rest_volts_v", "voltage at rest"),
            Self::Pull => ("pull_n", "pull, tied up"),
        };
        Word { key, words }
    }

    /// Kind of quantity.
    #[must_use]
    pub fn quantity(self) -> Quantity {
        match self {
            Self::Speed | Self::LogSpeed => Quantity::Speed,
            Self::Shaft | Self::Motor => Quantity::RotationalSpeed,
            Self::Power => Quantity::Power,
            Self::Volts | Self::RestVolts => Quantity::Voltage,
            Self::Current => Quantity::Current,
            Self::Pull => Quantity::Force,
        }
    }
}

static READINGS: Sheet<Diagnosis, Reading> = Sheet {
    key: "readings",
    title: "Run by run",
    form: Form::Table,
    columns: &[&List(&[
        OfReading::text(&TRIAL, |r| Some(r.trial.clone())).in_files(),
        OfReading::text(&DATE, |r| r.date.clone()),
        OfReading::counts(&RUNS, |r| r.runs.clone()),
        OfReading::number(&STATE[StateFigure::ShaftSpeed as usize], |r| r.shaft_rev_s).head("shaft"),
        OfReading::word(&READING, |r| Some(r.datum.kind.word())),
        OfReading::number_of(&MEASURED, |r| Some((r.datum.kind.quantity(), r.datum.value))),
        OfReading::number_of(&SD, |r| Some((r.datum.kind.quantity(), r.datum.sd))).in_files(),
        OfReading::number_of(&READING_SHOULD, |r| Some((r.datum.kind.quantity(), r.should?))),
        OfReading::band_of(&GIVEN, |r| Some((r.datum.kind.quantity(), r.given))).value_only(),
    ])],
    rows: |found, see| {
        for fit in &found.runs {
            let is_one_of_several = found.problem.epochs.len() > 1;
            for (datum, should, given) in &fit.readings {
                see(&Reading {
                    trial: label(found, fit.epoch),
                    date: is_one_of_several.then(|| found.problem.epochs[fit.epoch].date.clone()),
                    runs: fit.runs.iter().map(|run| *run as u64 + 1).collect(),
                    shaft_rev_s: fit.shaft_rev_s,
                    datum: *datum,
                    should: *should,
                    given: *given,
                });
            }
        }
    },
    tone: plain,
};

static NOT_FITTED: Sheet<Diagnosis, (String, usize, LeftOut)> = Sheet {
    key: "not_fitted",
    title: "Runs that are not fitted",
    form: Form::FileTable,
    columns: &[&List(&[
        OfLeftOut::text(&TRIAL, |row| Some(row.0.clone())),
        OfLeftOut::count(&RUN, |row| Some(row.1 as u64 + 1)),
        OfLeftOut::text(&WHY, |row| Some(row.2.words().to_owned())),
    ])],
    rows: |found, see| {
        for (epoch, runs) in found.problem.unfitted.iter().enumerate() {
            runs.iter().for_each(|(run, why)| see(&(label(found, epoch), *run, *why)));
        }
    },
    tone: plain,
};

static FIT: Sheet<Diagnosis, Diagnosis> = Sheet {
    key: "fit",
    title: "How well it fits",
    form: Form::Files,
    columns: &[&List(&[
        OfFound::count(&READINGS_COUNT, |d| Some(d.fit.readings as u64)),
        OfFound::number(&RMS_RESIDUAL, |d| Some(d.fit.rms_residual)),
        OfFound::number(&P_VALUE, |d| Some(d.fit.p_value)),
        OfFound::count(&SAMPLES, |d| Some(d.sampling.samples as u64)),
        OfFound::number(&EFFECTIVE, |d| Some(d.sampling.effective)),
        OfFound::number(&PARETO_K, |d| Some(d.sampling.pareto_k)),
        OfFound::count(&TEMPERED, |d| Some(d.sampling.tempered as u64)),
        OfFound::flag(&IS_TRUSTED, |d| Some(d.sampling.is_trusted)),
    ])],
    rows: itself,
    tone: plain,
};

/// A share as a percentage in whole points.
fn percent(share: f64) -> String {
    format!("{} %", format_number(100.0 * share, 0))
}

impl Misfit {
    fn key(&self) -> &'static str {
        match self {
            Self::CourseToCourse { .. } => "course_to_course",
            Self::Run { .. } => "run",
            Self::Scatter => "scatter",
        }
    }

    /// What does not fit, as a sentence.
    #[must_use]
    pub fn text(&self, diagnosis: &Diagnosis) -> String {
        match self {
            Self::CourseToCourse { epoch, difference } => format!(
                "In \"{}\" the power at one shaft speed differs from course to course by {}, more than meter and noted wind \
                 give: something pushed against one course that is not in the notes, as a head sea does. It would have to \
                 add about {} to her resistance there.",
                label(diagnosis, *epoch),
                percent(difference.share.abs()),
                percent(difference.added_drag),
            ),
            Self::Run { epoch, run, kind, residual } => format!(
                "In \"{}\" run {} is far off: its {} is {} what all causes together give ({} times its usual scatter). It \
                 counts for little.",
                label(diagnosis, *epoch),
                run + 1,
                kind.word().words,
                if *residual > 0.0 { "above" } else { "below" },
                format_number(residual.abs(), 0),
            ),
            Self::Scatter => format!(
                "All readings together scatter more than they should: {} of repeated trials would fit worse. Shares are to \
                 be taken with care.",
                percent(diagnosis.fit.p_value)
            ),
        }
    }
}

static MISFITS: Sheet<Diagnosis, (&'static str, String)> = Sheet {
    key: "misfits",
    title: "What does not fit",
    form: Form::FileTable,
    columns: &[&List(&[
        OfMisfit::text(&KIND, |row| Some(row.0.to_owned())),
        OfMisfit::text(&TEXT, |row| Some(row.1.clone())),
    ])],
    rows: |found, see| {
        found.fit.misfits.iter().for_each(|misfit| see(&(misfit.key(), misfit.text(found))));
    },
    tone: plain,
};

static CURVE: List<CurveRow> = List(&[
    OfCurve::number(&STATE[StateFigure::ShaftSpeed as usize], |row| Some(row.shaft_rev_s)),
    OfCurve::band(&STATE[StateFigure::Speed as usize], |row| Some(row.speed)),
    OfCurve::band(&CURVE_POWER, |row| Some(row.power)),
]);

static SHOULD_CURVE: Sheet<Diagnosis, CurveRow> = Sheet {
    key: "should_curve",
    title: "What she should do against shaft speed, clean, in a calm",
    form: Form::FileTable,
    columns: &[&CURVE],
    rows: |found, see| found.promised.iter().for_each(see),
    tone: plain,
};

static FOUND_CURVE: Sheet<Diagnosis, CurveRow> = Sheet {
    key: "found_curve",
    title: "What she does against shaft speed",
    form: Form::FileTable,
    columns: &[&CURVE],
    rows: |found, see| found.found.iter().for_each(see),
    tone: plain,
};

static CALIBRATED: Sheet<Diagnosis, Calibrated> = Sheet {
    key: "calibrated",
    title: "What this trial knows better than her document",
    form: Form::FileTable,
    columns: &[&List(&[
        OfCalibrated::text(&FIELD, |c| {
            Some(
                match c.field {
                    CalibratedField::Field(input) => input.key(),
                    CalibratedField::Bottom(_) => field::hull::BOTTOM,
                    CalibratedField::Blades(_) => field::propeller::BLADES_STATE,
                }
                .to_owned(),
            )
        }),
        OfCalibrated::band(&VALUE_SI, |c| Some(c.value)),
        OfCalibrated::band(&BEFORE_SI, |c| Some(c.before)),
    ])],
    rows: |found, see| found.calibrated.iter().for_each(see),
    tone: plain,
};
