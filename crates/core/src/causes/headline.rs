//! What the first sentence may say of a diagnosis: whether the readings fit at all, whether anything may be named
//! before more is read. Not for: wording.

use super::cause::Cause;
use super::diagnosis::{Diagnosis, Share, interval_of};
use super::observation::{DatumKind, Observation};
use super::parameter::OfTrial;
use super::shares::value_now;
use crate::spread::Interval;
use crate::trial::Run;

/// What the first sentence says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Headline {
    /// The readings fit no cause that is known here: nothing is named, nothing offered for adoption.
    FitsNothing,
    /// The stream is still in every run: whether she is fast or slow cannot be told.
    StreamIn,
    /// She does what she should.
    NotShort,
    /// This is asked for before a cause is named: the likeliest one has no ground without it.
    Ask(Missing),
    /// One cause takes most, more probably than not.
    Named(Share),
    /// No cause is probable enough to be named.
    Open,
}

/// What was not read or noted, without which a likely cause has no ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Missing {
    /// A speed beside the log's: a log that shows too little looks like a hull that drags.
    OtherSpeed,
    /// Volts under load, which tell bank, controller, motor and belt from each other.
    Volts,
    /// A look at the bottom.
    Bottom,
    /// The wind of the day.
    Wind,
    /// The depth: a boat between banks or over a near bottom drags as one that is foul.
    Depth,
}

/// Probability from which a cause is named.
pub const NAMED_FROM: f64 = 0.5;
/// Probability from which the hull is named: what methods and instruments err by ends there when nothing else takes
/// it. In simulated trials with one strong cause a hull that drags had 0.83 and more, a hull that was named wrongly
/// beside a voltmeter or bank out of order mostly less than this.
const HULL_NAMED_FROM: f64 = 0.75;
/// Share of repeated trials that fit worse below which a fit is refused.
pub const REFUSED_BELOW: f64 = 0.02;

impl Cause {
    /// Probability from which it is named as the one that takes most.
    #[must_use]
    pub fn named_from(self) -> f64 {
        if self == Self::Hull { HULL_NAMED_FROM } else { NAMED_FROM }
    }
}

impl Diagnosis {
    /// What the first sentence may say of it.
    #[must_use]
    pub fn headline(&self) -> Headline {
        if self.is_refused() {
            return Headline::FitsNothing;
        }
        if self.is_stream_in() {
            return Headline::StreamIn;
        }
        let point = &self.points[0];
        if point.short_probability < NAMED_FROM {
            return Headline::NotShort;
        }
        let likeliest = point.shares.iter().max_by(|a, b| a.main_probability.total_cmp(&b.main_probability));
        // What is asked for is asked as soon as a cause is likelier than all others, named or not.
        let likely = likeliest.filter(|share| share.main_probability > NAMED_FROM);
        let asked = likely.and_then(|share| self.missing_for(share.cause).first().copied());
        match (likely, asked) {
            (_, Some(missing)) => Headline::Ask(missing),
            (Some(share), None) if share.main_probability > share.cause.named_from() => {
                Headline::Named(*share)
            }
            _ => Headline::Open,
        }
    }

    /// What is not known without which `cause` has no ground, what to ask for first before all else.
    #[must_use]
    pub fn missing_for(&self, cause: Cause) -> Vec<Missing> {
        let now = self.problem.now();
        let epoch = &self.problem.epochs[now];
        let is_read = |kind: DatumKind| {
            let mine = self.problem.observations.iter().filter(|observation| observation.epoch == now);
            mine.flat_map(|observation| &observation.data).any(|datum| datum.kind == kind)
        };
        let is_of_runs = |has: fn(&Run) -> bool| epoch.runs.iter().any(|run| has(&run.run));
        let has_wind =
            epoch.observed.true_wind_m_s.is_some() || is_of_runs(|run| run.wind_speed_m_s.is_some());
        let has_depth = is_of_runs(|run| run.depth_m.is_some());
        let has_log_alone = is_read(DatumKind::LogSpeed) && !is_read(DatumKind::Speed);
        let of_drag = matches!(cause, Cause::BottomGrowth | Cause::Hull | Cause::Load);
        let of_drive = matches!(cause, Cause::Motor | Cause::Transmission | Cause::Limits | Cause::Bank);
        [
            (Missing::Volts, of_drive && !is_read(DatumKind::Volts)),
            (Missing::Bottom, cause == Cause::BottomGrowth && epoch.observed.bottom.is_none()),
            (Missing::OtherSpeed, (of_drag || cause == Cause::Unexplained) && has_log_alone),
            (Missing::Wind, of_drag && !has_wind),
            (Missing::Depth, of_drag && !has_depth),
        ]
        .into_iter()
        .filter_map(|(missing, is_so)| is_so.then_some(missing))
        .collect()
    }

    /// Instruments that surely show something else than is: which, and what each shows over the truth.
    #[must_use]
    pub fn wrong_instruments(&self) -> Vec<(OfTrial, Interval)> {
        const WORTH_A_WORD: f64 = 0.01;
        let instruments =
            [OfTrial::LogFactor, OfTrial::MeterFactor, OfTrial::VoltsFactor, OfTrial::TurningFactor];
        let found = instruments.into_iter().map(|what| {
            let values = self.posterior.samples.iter().filter_map(|s| value_now(&self.problem, s, what));
            Some((what, interval_of(values)?))
        });
        found
            .flatten()
            .filter(|(_, factor)| (factor.value - 1.0).abs() > WORTH_A_WORD)
            .filter(|(_, factor)| factor.p10 > 1.0 || factor.p90 < 1.0)
            .collect()
    }

    /// True where her speed was read over ground alone, and no run has an opposite one: a knot of stream, which is usual
    /// where there are tides, is more than most causes take.
    #[must_use]
    pub fn is_stream_in(&self) -> bool {
        let now = self.problem.now();
        let mine = || self.problem.observations.iter().filter(|observation| observation.epoch == now);
        let has = |kind: DatumKind| mine().any(|o| o.data.iter().any(|datum| datum.kind == kind));
        let is_out =
            |o: &Observation| o.runs.len() > 1 && o.data.iter().any(|datum| datum.kind == DatumKind::Speed);
        has(DatumKind::Speed) && !has(DatumKind::LogSpeed) && !mine().any(is_out)
    }

    /// True where nothing may be named, shared out or adopted: the fit is refused, or the stream is in it.
    #[must_use]
    pub fn tells_nothing(&self) -> bool {
        self.is_refused() || self.is_stream_in()
    }

    /// True where hardly a repeated trial would fit as badly as these readings do.
    #[must_use]
    pub fn is_refused(&self) -> bool {
        self.fit.p_value < REFUSED_BELOW
    }
}
