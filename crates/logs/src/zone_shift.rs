//! Clocks in two zones: the shift that lays logs over each other, or their speed over the amps.
//! Not for: joining (`join`).

use super::battery_moves::{Bins, bins, common, correlation};
use super::clock::DAY_S;
use super::log::{Log, TimeBase};
use super::measured::Measured as M;
use super::notice::LogNotice;

const QUARTER_S: f64 = 900.0;
const FARTHEST: i32 = 14 * 4;

/// Seconds to be added to a log that lies apart from the first, so that both lie over each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ZoneShift {
    /// Which log.
    pub log: usize,
    /// Seconds to be added: whole quarters of an hour.
    pub shift_s: f64,
    /// Seconds that both then have in common.
    pub common_s: f64,
    /// They lie over each other already, but only so do amps and speed move together.
    pub is_by_motion: bool,
}

impl ZoneShift {
    /// "These lie two hours apart: a zone?"
    #[must_use]
    pub fn text(&self) -> String {
        let hours = self.shift_s.abs() / 3600.0;
        let hours = if hours.fract() == 0.0 { format!("{hours:.0}") } else { format!("{hours:.2}") };
        let sign = if self.shift_s < 0.0 { "-" } else { "+" };
        let which = match self.log {
            0 => "the first".to_owned(),
            1 => "the second".to_owned(),
            other => format!("log {}", other + 1),
        };
        let common = self.common_s / 60.0;
        if self.shift_s.abs() < QUARTER_S {
            return format!(
                "With {sign}{:.0} s on the clock of {which} what she draws moves with her speed clearly better than as it stands: does \
                 its clock go wrong? Runs found across both are not to be trusted before.",
                self.shift_s.abs()
            );
        }
        if self.shift_s.abs() >= DAY_S && self.shift_s % DAY_S == 0.0 {
            let days = match self.shift_s.abs() / DAY_S {
                1.0 => "1 day".to_owned(),
                days => format!("{days:.0} days"),
            };
            return format!(
                "These logs lie {days} apart at the same time of day: two outings, or a wrong date? With {sign}{days} on the clock of {which} they \
                 have {common:.0} min in common."
            );
        }
        if self.is_by_motion {
            return format!(
                "The times of {which} log carry no zone, and with {sign}{hours} h on its clock what she draws moves with \
                 her speed, which it does not as it stands: a zone? They then have {common:.0} min in common."
            );
        }
        format!(
            "These logs lie {hours} h apart: a zone? With {sign}{hours} h on the clock of {which} they have {common:.0} min in common."
        )
    }
}

/// Shifts by which logs that do not overlap would: clocks in two zones.
#[must_use]
pub fn suggest_shifts(logs: &[&Log]) -> Vec<ZoneShift> {
    const LEAST_SHARE: f64 = 0.5;
    let span = |log: &Log| log.span_s().filter(|_| log.time_base == TimeBase::Utc);
    let Some((first, (from, to))) = logs.iter().enumerate().find_map(|(i, log)| Some((i, span(log)?))) else {
        return Vec::new();
    };
    let common = |a: f64, b: f64| (to.min(b) - from.max(a)).max(0.0);
    let apart = logs.iter().enumerate().skip(first + 1).filter_map(|(i, log)| Some((i, span(log)?)));
    apart
        .filter(|(_, (a, b))| common(*a, *b) == 0.0)
        // The next piece of one log lies beside it, not over it.
        .filter(|(log, _)| measures(logs[*log]) != measures(logs[first]))
        .filter_map(|(log, (a, b))| {
            let shifts = (-FARTHEST..=FARTHEST).map(|quarters| f64::from(quarters) * QUARTER_S);
            // A date that was set wrongly: whole days, at the same time of day.
            let shifts = shifts.chain([((from - a) / DAY_S).round() * DAY_S]);
            let (shift_s, common_s) = shifts
                .map(|shift| (shift, common(a + shift, b + shift)))
                .max_by(|x, y| x.1.total_cmp(&y.1).then(y.0.abs().total_cmp(&x.0.abs())))?;
            let shorter = (to - from).min(b - a);
            (common_s > 0.0 && common_s >= LEAST_SHARE * shorter).then_some(ZoneShift {
                log,
                shift_s,
                common_s,
                is_by_motion: false,
            })
        })
        .chain(by_motion(logs))
        .chain(by_clock(logs))
        .collect()
}

/// Logs that measure something else than the first and have no time in common with it, however their clocks are moved, with the hours
/// between: nothing of both is read together.
#[must_use]
pub fn never_together(logs: &[&Log]) -> Vec<(usize, f64)> {
    let span = |log: &Log| log.span_s().filter(|_| log.time_base == TimeBase::Utc);
    let Some((first, (from, to))) = logs.iter().enumerate().find_map(|(i, log)| Some((i, span(log)?))) else {
        return Vec::new();
    };
    let shifted: Vec<usize> = suggest_shifts(logs).iter().map(|shift| shift.log).collect();
    let apart = logs.iter().enumerate().skip(first + 1).filter_map(|(i, log)| Some((i, span(log)?)));
    apart
        .filter(|(log, _)| !shifted.contains(log) && measures(logs[*log]) != measures(logs[first]))
        .map(|(log, (a, b))| (log, (a - to).max(from - b) / 3600.0))
        .filter(|(_, hours)| *hours > 0.0)
        .collect()
}

/// What a log measures.
fn measures(log: &Log) -> std::collections::BTreeSet<M> {
    log.channels.iter().map(|channel| channel.measured).collect()
}

/// Logs with a zone each, of which one's clock goes some minutes late: what she draws or turns follows her speed clearly better
/// when it is moved.
fn by_clock(logs: &[&Log]) -> Vec<ZoneShift> {
    /// Ten minutes either way, in bins.
    const FARTHEST: i64 = 60;
    /// What she takes to gather way lies below, in bins.
    const LEAST: i64 = 6;
    const FITS: f64 = 0.7;
    const BETTER: f64 = 0.6;
    const AS_WELL: f64 = 0.05;
    let is_clocked = |log: &&Log| {
        log.time_base == TimeBase::Utc
            && !log.channels.is_empty()
            && !log.notices.contains(&LogNotice::NoZone)
    };
    let Some(first) = logs.iter().position(is_clocked) else { return Vec::new() };
    let others = moving(logs[first]);
    let of = |number: usize| {
        let own = moving(logs[number]);
        // A pair of one kind of quantity is the same reading twice; a speed goes with what drives her.
        let is_speed = |m: M| matches!(m, M::SpeedOverGround | M::SpeedThroughWater);
        let fit = |shift: i64| {
            let pairs = own.iter().flat_map(|own| others.iter().map(move |other| (own, other)));
            let fits = pairs.filter(|(own, other)| is_speed(own.0) != is_speed(other.0)).filter_map(
                |(own, other)| {
                    let moved: Bins = own.1.iter().map(|(bin, value)| (bin + shift, *value)).collect();
                    Some((correlation(&moved, &other.1)?, common(&moved, &other.1).count()))
                },
            );
            fits.max_by(|a, b| a.0.total_cmp(&b.0))
        };
        let (as_it_stands, _) = fit(0)?;
        let best = (-FARTHEST..=FARTHEST).filter_map(|shift| Some((shift, fit(shift)?)));
        let (shift, (fits, count)) = best.max_by(|a, b| a.1.0.total_cmp(&b.1.0))?;
        // Where whole quarters of an hour fit as well nobody can tell a clock that goes wrong from a zone.
        let quarters = (-self::FARTHEST..=self::FARTHEST).map(|quarters| i64::from(quarters) * QUARTER_BINS);
        let is_zone =
            quarters.filter(|far| far.abs() > FARTHEST).filter_map(fit).any(|(far, _)| far > fits - AS_WELL);
        let is_clear = fits >= FITS && 1.0 - fits <= BETTER * (1.0 - as_it_stands) && !is_zone;
        (shift.abs() >= LEAST && is_clear && count >= QUARTER_BINS as usize / 2).then_some(ZoneShift {
            log: number,
            shift_s: shift as f64 * 10.0,
            common_s: count as f64 * 10.0,
            is_by_motion: true,
        })
    };
    let clocked = logs.iter().enumerate().skip(first + 1).filter(|(_, log)| is_clocked(log));
    clocked.filter_map(|(number, _)| of(number)).collect()
}

/// What moves when she does: speeds, and what the motor draws or turns.
fn moving(log: &Log) -> Vec<(M, Bins)> {
    [M::SpeedOverGround, M::SpeedThroughWater, M::MotorSpeed, M::ShaftSpeed, M::Current, M::Power]
        .into_iter()
        .filter_map(|measured| Some((measured, bins(log.of(measured).max_by_key(|c| c.count)?, true))))
        .collect()
}

/// Bins of ten seconds, a quarter of an hour of them.
const QUARTER_BINS: i64 = 90;

/// Logs that lie over each other, one of them without a zone, in which speed and amps move together only shifted.
fn by_motion(logs: &[&Log]) -> Vec<ZoneShift> {
    const CLEAR: f64 = 0.8;
    const BETTER: f64 = 0.3;
    let lacks_zone =
        |log: &Log| log.notices.contains(&LogNotice::NoZone) || log.time_base == TimeBase::TimeOfDay;
    let placed = super::join::on_one_day(&logs.iter().map(|log| (*log, 0.0)).collect::<Vec<_>>());
    let mut found = Vec::new();
    for (number, log) in logs.iter().enumerate().filter(|(_, log)| lacks_zone(log)) {
        let other = logs.iter().enumerate().find(|(i, other)| {
            *i != number
                && !lacks_zone(other)
                && other.time_base == TimeBase::Utc
                && !other.channels.is_empty()
        });
        let Some((_, other)) = other else { continue };
        let days = (placed[number].1 / 10.0).round() as i64;
        let (own, others) = (moving(log), moving(other));
        let fit = |quarters: i32| {
            let shift = days + i64::from(quarters) * QUARTER_BINS;
            own.iter()
                .flat_map(|(_, own)| others.iter().map(move |(_, other)| (own, other)))
                .filter_map(|(own, other)| {
                    let moved: Bins = own.iter().map(|(bin, value)| (bin + shift, *value)).collect();
                    Some((correlation(&moved, other)?, common(&moved, other).count()))
                })
                .max_by(|a, b| a.0.total_cmp(&b.0))
        };
        let Some((as_it_stands, _)) = fit(0) else { continue };
        let best = (-FARTHEST..=FARTHEST)
            .filter(|quarters| *quarters != 0)
            .filter_map(|quarters| Some((quarters, fit(quarters)?)))
            .max_by(|a, b| a.1.0.total_cmp(&b.1.0));
        if let Some((quarters, (fits, count))) = best
            && count >= QUARTER_BINS as usize / 2
            && fits >= CLEAR
            && fits >= as_it_stands + BETTER
        {
            let common_s = count as f64 * 10.0;
            let shift_s = f64::from(quarters) * QUARTER_S;
            found.push(ZoneShift { log: number, shift_s, common_s, is_by_motion: true });
        }
    }
    found
}
