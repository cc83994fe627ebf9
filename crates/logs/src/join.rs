//! Logs of one afternoon brought to one clock: channels resampled to even steps and joined by time,
//! house load and zero offset taken out of the current.
//! Not for: finding runs.

use super::clock::DAY_S;
use super::log::{Channel, Log, Source, TimeBase};
use super::measured::Measured as M;
use super::notice::LogNotice;
use super::pieces::{Chosen, choose};
use super::resolution::half_leg_s;
use super::track::leg;

/// A break longer than this ends an outing \[s\].
const BREAK_S: f64 = 1800.0;
/// Steps of one outing: 11 days of seconds.
const MOST_STEPS: usize = 1_000_000;
/// Shortest outing that is kept \[s\].
const SHORTEST_S: f64 = 30.0;

/// How logs are joined.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JoinOptions {
    /// Step of the joined series \[s\].
    pub step_s: f64,
    /// A gap up to this is bridged \[s\]; a channel that comes less often bridges 2.5 of its intervals.
    pub bridge_s: f64,
    /// What the meter shows with no current flowing \[A\].
    pub current_zero_a: f64,
    /// True where current out of the bank is written as negative.
    pub is_current_negated: bool,
    /// Loads that are not the drive \[W\].
    pub house_power_w: f64,
    /// True where current out of the bank is written as positive, though a log that told its sign itself was turned.
    pub is_current_as_written: bool,
    /// What several logs of a pack each give together.
    pub packs: Packs,
}

/// What several logs with a battery each are of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Packs {
    /// One battery, or several of which one is the drive's.
    #[default]
    Apart,
    /// Packs side by side: their amps (and watts) are added.
    Beside,
    /// Packs in series: one current, their volts (and watts) are added.
    Series,
}

impl Packs {
    /// Whether this is added.
    pub(super) fn adds(self, measured: M) -> bool {
        match self {
            Self::Apart => false,
            Self::Beside => matches!(measured, M::Current | M::Power),
            Self::Series => matches!(measured, M::Voltage | M::Power),
        }
    }
}

impl Default for JoinOptions {
    fn default() -> Self {
        Self {
            step_s: 1.0,
            bridge_s: 5.0,
            current_zero_a: 0.0,
            is_current_negated: false,
            house_power_w: 0.0,
            is_current_as_written: false,
            packs: Packs::Apart,
        }
    }
}

/// One quantity at even steps; `NaN` where it is not known.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// What.
    pub measured: M,
    /// From where.
    pub source: Source,
    /// SI values.
    pub values: Vec<f64>,
    /// The step in which they were written, SI; `None` where they stand finer than matters.
    pub step: Option<f64>,
}

/// A stretch of time without a long break.
#[derive(Debug, Clone, PartialEq)]
pub struct Outing {
    /// What times count from.
    pub time_base: TimeBase,
    /// Time of the first step \[s\].
    pub start_s: f64,
    /// Step \[s\].
    pub step_s: f64,
    /// Steps.
    pub steps: usize,
    /// One for each quantity that is known.
    pub series: Vec<Series>,
    /// What was left out, and why.
    pub notices: Vec<LogNotice>,
}

impl Outing {
    /// The series of a quantity.
    #[must_use]
    pub fn of(&self, measured: M) -> Option<&Series> {
        self.series.iter().find(|series| series.measured == measured)
    }

    /// Time of a step \[s\].
    #[must_use]
    pub fn time_s(&self, step: usize) -> f64 {
        self.start_s + step as f64 * self.step_s
    }
}

/// Why logs cannot be joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum JoinError {
    /// No samples.
    #[error("there are no samples to join")]
    Nothing,
    /// A log without clock.
    #[error("a log has no clock; it cannot be joined by time")]
    NoClock,
    /// Times that count from different things.
    #[error(
        "the logs' times count from different things (a date, a start): of a log that counts from its start say when \
         that was, in seconds from 1970, as what is to be added to its times (--shift 0 --shift 1795615385)"
    )]
    MixedClocks,
}

/// Joins logs, each with seconds to be added to its times.
///
/// Where several sources measure one quantity the one with most samples is taken, and another log goes on with it
/// where it is silent; one that never moved while the boat did is left out. Times of day are put on the day of the
/// logs that tell one.
/// # Errors
/// [`JoinError`].
pub fn join(logs: &[(&Log, f64)], options: &JoinOptions) -> Result<Vec<Outing>, JoinError> {
    let with_samples = || logs.iter().filter(|(log, _)| !log.channels.is_empty());
    if with_samples().any(|(log, _)| log.time_base == TimeBase::Lines) {
        return Err(JoinError::NoClock);
    }
    let logs = on_one_day(logs);
    let base_of = |(log, offset_s): &(&Log, f64)| based(log, *offset_s);
    let mut bases = logs.iter().filter(|(log, _)| !log.channels.is_empty()).map(base_of);
    let base = bases.next().ok_or(JoinError::Nothing)?;
    if bases.any(|other| other != base) {
        return Err(JoinError::MixedClocks);
    }
    let chosen = choose(&logs, options.packs);
    let outings = outings_of(&chosen, options.step_s);
    Ok(outings.into_iter().map(|(start_s, end_s)| resample(&chosen, base, start_s, end_s, options)).collect())
}

/// What the times of a log count from once its offset is added: seconds from a start, told in seconds from 1970, are a date.
fn based(log: &Log, offset_s: f64) -> TimeBase {
    const LONG_AGO_S: f64 = 3e8;
    match log.time_base {
        TimeBase::Elapsed | TimeBase::TimeOfDay if offset_s.abs() > LONG_AGO_S => TimeBase::Utc,
        base => base,
    }
}

/// Times of day put on the day on which they have most in common with logs that tell a date.
pub(super) fn on_one_day<'a>(logs: &[(&'a Log, f64)]) -> Vec<(&'a Log, f64)> {
    let span = |(log, offset_s): &(&Log, f64)| log.span_s().map(|(a, b)| (a + offset_s, b + offset_s));
    let is_dated = |one: &&(&Log, f64)| !one.0.channels.is_empty() && based(one.0, one.1) == TimeBase::Utc;
    let mut dated: Vec<(f64, f64)> = logs.iter().filter(is_dated).filter_map(span).collect();
    dated.sort_by(|a, b| (b.1 - b.0).total_cmp(&(a.1 - a.0)));
    let Some((from, to)) = dated.first().copied() else { return logs.to_vec() };
    let placed = logs.iter().map(|one| {
        let own = span(one).filter(|_| based(one.0, one.1) == TimeBase::TimeOfDay);
        let Some((a, b)) = own else { return *one };
        let first = (from / DAY_S).floor();
        let day = [first - 1.0, first, first + 1.0].into_iter().max_by(|x, y| {
            let common = |day: f64| to.min(b + day * DAY_S) - from.max(a + day * DAY_S);
            common(*x).total_cmp(&common(*y))
        });
        (one.0, one.1 + day.unwrap_or(first) * DAY_S)
    });
    placed.collect()
}

/// Stretches without a long break.
fn outings_of(chosen: &[Chosen<'_>], step_s: f64) -> Vec<(f64, f64)> {
    let mut times: Vec<f64> =
        chosen.iter().flat_map(|one| one.channel.times_s.iter().map(|t| t + one.offset_s)).collect();
    // Times of each channel mostly rise already, which this sort uses.
    times.sort_by(f64::total_cmp);
    let mut outings: Vec<(f64, f64)> = Vec::new();
    for time in times {
        match outings.last_mut() {
            Some((start, end)) if time - *end <= BREAK_S && time - *start <= MOST_STEPS as f64 * step_s => {
                *end = time;
            }
            _ => outings.push((time, time)),
        }
    }
    outings.retain(|(start, end)| end - start >= SHORTEST_S);
    outings
}

fn resample(
    chosen: &[Chosen<'_>],
    time_base: TimeBase,
    start_s: f64,
    end_s: f64,
    options: &JoinOptions,
) -> Outing {
    let step_s = options.step_s;
    let start_s = (start_s / step_s).floor() * step_s;
    let steps = ((end_s - start_s) / step_s) as usize + 1;
    let mut outing = Outing { time_base, start_s, step_s, steps, series: Vec::new(), notices: Vec::new() };
    for Chosen { channel, offset_s } in chosen {
        let mut values = even_steps(channel, *offset_s, &outing, options.bridge_s);
        // Who says that the sign is written the other way round means it as it was written.
        let is_back = match channel.measured {
            M::Current => options.is_current_negated || options.is_current_as_written,
            M::Power => options.is_current_as_written,
            _ => false,
        };
        if channel.is_turned && is_back {
            values.iter_mut().for_each(|value| *value = -*value);
        }
        if values.iter().any(|v| v.is_finite()) {
            let step = super::resolution::step_of(channel);
            outing.series.push(Series { measured: channel.measured, source: channel.source, values, step });
        }
    }
    derive_heading(&mut outing);
    derive_from_positions(&mut outing);
    correct_current(&mut outing, options);
    outing
}

/// Means within steps, gaps bridged straight; round the circle for directions.
fn even_steps(channel: &Channel, offset_s: f64, outing: &Outing, bridge_s: f64) -> Vec<f64> {
    let is_circular = channel.measured.is_circular();
    let mut sums = vec![(0.0_f64, 0.0_f64, 0_u32); outing.steps];
    for (time, value) in channel.times_s.iter().zip(&channel.values) {
        let place = ((time + offset_s - outing.start_s) / outing.step_s).round();
        if place < 0.0 || place >= outing.steps as f64 {
            continue;
        }
        let sum = &mut sums[place as usize];
        let (a, b) = if is_circular { (value.cos(), value.sin()) } else { (*value, 0.0) };
        *sum = (sum.0 + a, sum.1 + b, sum.2 + 1);
    }
    let mut values: Vec<f64> = sums
        .iter()
        .map(|(a, b, count)| match count {
            0 => f64::NAN,
            _ if is_circular => channel.measured.normal(b.atan2(*a)),
            _ => a / f64::from(*count),
        })
        .collect();
    let known: Vec<usize> = (0..values.len()).filter(|i| values[*i].is_finite()).collect();
    let mut intervals: Vec<usize> = known.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let middle = intervals.len() / 2;
    let usual = if intervals.is_empty() { 1 } else { *intervals.select_nth_unstable(middle).1 } as f64;
    const LONGEST_BRIDGE_S: f64 = 60.0;
    const ALIKE_BRIDGE_S: f64 = 20.0;
    const ALIKE: f64 = 0.05;
    const ALIKE_RAD: f64 = 0.2;
    let bridge = bridge_s.max(2.5 * usual * outing.step_s).min(LONGEST_BRIDGE_S) / outing.step_s;
    for pair in known.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        let whole = channel.measured.difference(values[to], values[from]);
        let is_alike = if is_circular {
            whole.abs() <= ALIKE_RAD
        } else {
            whole.abs() <= ALIKE * values[from].abs().max(values[to].abs())
        };
        // Sentences that were lost while nothing changed leave longer gaps, and part no run.
        let bridge = if is_alike { bridge.max(ALIKE_BRIDGE_S / outing.step_s) } else { bridge };
        if to - from < 2 || (to - from) as f64 > bridge {
            continue;
        }
        for i in from + 1..to {
            let share = (i - from) as f64 / (to - from) as f64;
            values[i] = channel.measured.normal(values[from] + share * whole);
        }
    }
    values
}

/// True heading from magnetic heading and variation, where the first is not there.
fn derive_heading(outing: &mut Outing) {
    if outing.of(M::HeadingTrue).is_some() {
        return;
    }
    let (Some(heading), Some(variation)) = (outing.of(M::HeadingMagnetic), outing.of(M::MagneticVariation))
    else {
        return;
    };
    let usual = super::checks::median(
        &variation.values.iter().copied().filter(|v| v.is_finite()).collect::<Vec<f64>>(),
    );
    let Some(usual) = usual else { return };
    let values = heading.values.iter().map(|h| M::HeadingTrue.normal(h + usual)).collect();
    outing.series.push(Series { measured: M::HeadingTrue, source: Source::Derived, values, step: None });
}

/// Speed and course over ground from positions, where they are not there.
fn derive_from_positions(outing: &mut Outing) {
    let has_speed = outing.of(M::SpeedOverGround).is_some();
    let has_course = outing.of(M::CourseOverGround).is_some();
    if has_speed && has_course {
        return;
    }
    let (Some(latitude), Some(longitude)) = (outing.of(M::Latitude), outing.of(M::Longitude)) else {
        return;
    };
    let half = (half_leg_s(latitude.step) / outing.step_s).ceil().max(1.0) as usize;
    let mut speeds = vec![f64::NAN; outing.steps];
    let mut courses = vec![f64::NAN; outing.steps];
    for i in half..outing.steps.saturating_sub(half) {
        let (a, b) = (i - half, i + half);
        let (distance_m, course) =
            leg(latitude.values[a], longitude.values[a], latitude.values[b], longitude.values[b]);
        speeds[i] = distance_m / (2.0 * half as f64 * outing.step_s);
        courses[i] = course;
    }
    if !has_speed {
        outing.series.push(Series {
            measured: M::SpeedOverGround,
            source: Source::Derived,
            values: speeds,
            step: None,
        });
    }
    if !has_course {
        outing.series.push(Series {
            measured: M::CourseOverGround,
            source: Source::Derived,
            values: courses,
            step: None,
        });
    }
}

/// Zero offset and sign of the current; power from volts and amps; house load off the power.
fn correct_current(outing: &mut Outing, options: &JoinOptions) {
    let sign = if options.is_current_negated { -1.0 } else { 1.0 };
    if let Some(current) = outing.series.iter_mut().find(|s| s.measured == M::Current) {
        for value in &mut current.values {
            *value = sign * (*value - options.current_zero_a);
        }
    }
    if outing.of(M::Power).is_none()
        && let (Some(current), Some(voltage)) = (outing.of(M::Current), outing.of(M::Voltage))
    {
        let values = current.values.iter().zip(&voltage.values).map(|(i, u)| i * u).collect();
        outing.series.push(Series { measured: M::Power, source: Source::Derived, values, step: None });
    }
    if let Some(power) = outing.series.iter_mut().find(|s| s.measured == M::Power) {
        for value in &mut power.values {
            *value -= options.house_power_w;
        }
    }
}
