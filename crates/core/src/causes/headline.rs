//! What the first sentence may say of a diagnosis: whether the readings fit at all, whether anything may be named
//! before more is read. Not for: wording.

use super::cause::Cause;
use super::diagnosis::{Diagnosis, Share, interval_of};
use super::hypothesis::Hypothesis;
use super::observation::{DatumKind, Observation};
use super::parameter::OfTrial;
use super::shares::value_now;
use crate::spread::Interval;
use crate::steady::{Limit, PreparedBoat};
use crate::trial::Run;

/// What the first sentence says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Headline {
    /// The readings fit no cause that is known here: nothing is named, nothing offered for adoption.
    FitsNothing(Refusal),
    /// The runs look as if they were made or read otherwise than written: that comes before any cause.
    Misread(Hypothesis),
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

/// Why the readings are taken to fit nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Refusal {
    /// Hardly a repeated trial would fit as badly.
    Unlikely,
    /// The best fit has her slower with the throttle open than she was measured \[m/s\].
    Slower {
        /// The fastest speed that was measured, without the stream.
        measured_m_s: f64,
    },
    /// An instrument would have to show as wrong as none does.
    Instrument(OfTrial),
}

/// What was not read or noted, without which a likely cause has no ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Missing {
    /// Turns of motor or shaft: without them another propeller, reduction or limit are one.
    Turns,
    /// A speed beside the log's: a log that shows too little looks like a hull that drags.
    OtherSpeed,
    /// Volts under load, which tell bank, controller, motor and belt from each other.
    Volts,
    /// Volts of her own bank: those that were written down are of another.
    OwnVolts,
    /// A look at the bottom.
    Bottom,
    /// A look at the blades, or a hand on them.
    Blades,
    /// The wind of the day.
    Wind,
    /// How full the bank was: one that is nearly empty sags as one that is tired.
    Charge,
    /// The depth: a boat between banks or over a near bottom drags as one that is foul.
    Depth,
}

/// Probability from which a cause is named.
pub const NAMED_FROM: f64 = 0.5;
/// Probability from which the hull is named: what methods and instruments err by ends there when nothing else takes
/// it. In simulated trials with one strong cause a hull that drags had 0.83 and more, a hull that was named wrongly
/// beside a voltmeter or bank out of order mostly less than this.
const HULL_NAMED_FROM: f64 = 0.75;
/// Factor by which a meter or counter shows wrong at most: beyond it something else is read (judgement, no source).
const MOST_WRONG: f64 = 1.35;
/// Standard deviations by which a measured speed must pass what she is said to make.
const CLEARLY: f64 = 2.5;
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
        if let Some(refusal) = self.refusal() {
            return Headline::FitsNothing(refusal);
        }
        if let Some(hypothesis) = self.misread() {
            return Headline::Misread(hypothesis);
        }
        if self.is_stream_in() {
            return Headline::StreamIn;
        }
        if self.problem.has_other_volts() {
            return Headline::Ask(Missing::OwnVolts);
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
            (Some(share), None)
                if share.main_probability > share.cause.named_from() && !self.has_rival(share.cause) =>
            {
                Headline::Named(*share)
            }
            _ => Headline::Open,
        }
    }

    /// Whether these runs cannot tell `cause` from another that may well be the one: then neither is named.
    fn has_rival(&self, cause: Cause) -> bool {
        // In simulated trials with one strong cause 96 of 102 are named with it; with half of it 91.
        const MAY_WELL_BE: f64 = 0.1;
        let others = self.correlated.iter().filter_map(|pair| match cause {
            _ if pair.first == cause => Some(pair.second),
            _ if pair.second == cause => Some(pair.first),
            _ => None,
        });
        let main = |other: Cause| {
            self.points[0]
                .shares
                .iter()
                .find(|share| share.cause == other)
                .map_or(0.0, |share| share.main_probability)
        };
        others.map(main).any(|probability| probability > MAY_WELL_BE)
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
        let of_blades = matches!(cause, Cause::BladeGrowth | Cause::Hull | Cause::Transmission);
        let has_log_alone = is_read(DatumKind::LogSpeed) && !is_read(DatumKind::Speed);
        let of_drag = matches!(cause, Cause::BottomGrowth | Cause::Hull | Cause::Load | Cause::Banks);
        let of_drive = matches!(cause, Cause::Motor | Cause::Transmission | Cause::Limits | Cause::Bank);
        let of_turns = of_drive || matches!(cause, Cause::Propeller | Cause::BladeGrowth | Cause::Flow);
        let are_turns_read = is_of_runs(|run| run.shaft_speed_rev_s.or(run.motor_speed_rev_s).is_some());
        [
            (Missing::Turns, of_turns && !are_turns_read),
            (Missing::OwnVolts, self.problem.has_other_volts()),
            (Missing::Volts, of_drive && !is_read(DatumKind::Volts) && !self.problem.has_other_volts()),
            (
                Missing::Charge,
                cause == Cause::Bank
                    && epoch.observed.state_of_charge.is_none()
                    && epoch.observed.rest_voltage_v.is_none(),
            ),
            (
                Missing::Bottom,
                matches!(cause, Cause::BottomGrowth | Cause::Banks | Cause::Hull)
                    && epoch.observed.bottom.is_none(),
            ),
            (Missing::Blades, of_blades && epoch.observed.blades.is_none()),
            (Missing::OtherSpeed, (of_drag || cause == Cause::Unexplained) && has_log_alone),
            (Missing::Wind, (of_drag || cause == Cause::Unexplained) && !has_wind),
            (Missing::Depth, (of_drag || cause == Cause::Unexplained) && !has_depth),
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

    /// Speed at which the motor's heat holds her by her document once the throttle has been open for long \[m/s\]; `None`
    /// where something else stops her.
    #[must_use]
    pub fn held_by_heat_m_s(&self) -> Option<f64> {
        let held = PreparedBoat::new(&self.problem.spec.boat).ok()?.value.full_throttle().ok()?.held;
        (held.limit == Limit::MotorHeat).then_some(held.state.speed_m_s)
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
        self.misread().is_some() || self.refusal().is_some() || self.is_stream_in()
    }

    /// Why the readings are taken to fit nothing; `None` where they fit.
    #[must_use]
    pub fn refusal(&self) -> Option<Refusal> {
        if self.fit.p_value < REFUSED_BELOW {
            return Some(Refusal::Unlikely);
        }
        // With the throttle part open she is no faster than with it open; where that was run it stands for itself.
        let (fastest, sd) = self.fastest_through_water();
        if fastest - CLEARLY * sd > self.points[0].now.p90 {
            return Some(Refusal::Slower { measured_m_s: fastest });
        }
        let no_instrument = |(what, factor): &(OfTrial, Interval)| {
            (factor.value.ln().abs() > MOST_WRONG.ln() && *what != OfTrial::LogFactor).then_some(*what)
        };
        self.wrong_instruments().iter().find_map(no_instrument).map(Refusal::Instrument)
    }

    /// The fastest double run with its standard deviation \[m/s\]; nought where there is none, or one at full throttle.
    fn fastest_through_water(&self) -> (f64, f64) {
        let now = self.problem.now();
        let mine = || self.problem.observations.iter().filter(|o| o.epoch == now);
        if mine().any(|o| o.held.is_full_throttle()) {
            return (0.0, 0.0);
        }
        let pairs = mine().filter(|o| o.runs.len() > 1);
        let speeds = pairs.flat_map(|o| &o.data).filter(|datum| datum.kind == DatumKind::Speed);
        speeds
            .fold((0.0, 0.0), |best, datum| if datum.value > best.0 { (datum.value, datum.sd) } else { best })
    }

    /// How the runs were made or read otherwise than written, where that is likelier than not.
    #[must_use]
    pub fn misread(&self) -> Option<Hypothesis> {
        let now = self.problem.now();
        let of = |what: Hypothesis| {
            let mine = self.oddities.iter().filter(|(odd, _)| odd.on(now) == what);
            (what, mine.map(|(_, probability)| probability).sum::<f64>())
        };
        let likeliest = Hypothesis::ALL.into_iter().filter(|what| what.is_of_reading()).map(of);
        let (what, probability) = likeliest.max_by(|a, b| a.1.total_cmp(&b.1))?;
        (probability > NAMED_FROM).then_some(what)
    }
}
