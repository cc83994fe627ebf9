//! The shortfall shared out among the causes, so that the shares add up to it exactly.
//! Not for: drawing what is unknown (`posterior`).

use super::cause::{CAUSE_COUNT, Cause};
use super::hypothesis::Hypothesis;
use super::oddity::Oddity;
use super::parameter::{OfTrial, Unknown};
use super::posterior::Sample;
use super::predict::{Day, Problem, full_throttle, index_of};
use crate::spread::{Sampler, name_number};
use crate::steady::{Ask, PreparedBoat};

/// Points at which the shortfall is taken: full throttle and a power.
pub(super) const POINTS: usize = 2;

/// Speeds at the points; NaN where there is none.
pub(super) type Speeds = [f64; POINTS];

/// Speeds of one boat: at full throttle and with the given power out of the bank. A wind counts once from
/// ahead and once from astern, as on runs both ways. An instrument that shows wrong loses no speed: it plays no part.
pub(super) fn speeds_of(prepared: &PreparedBoat, day: &Day, bank_power_w: f64) -> Speeds {
    let at = |boat: &PreparedBoat| -> Speeds {
        let full = full_throttle(boat).map_or(f64::NAN, |bound| bound.state.speed_m_s);
        let cruise = boat.solve(Ask::BankPower(bank_power_w)).map_or(f64::NAN, |bound| bound.state.speed_m_s);
        [full, cruise]
    };
    if day.wind_m_s > 0.3 {
        let (ahead, astern) =
            (at(&prepared.with_head_wind(day.wind_m_s)), at(&prepared.with_head_wind(-day.wind_m_s)));
        [0.5 * (ahead[0] + astern[0]), 0.5 * (ahead[1] + astern[1])]
    } else {
        at(prepared)
    }
}

/// The shares of one sample.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SampleShares {
    /// With no cause at work.
    pub should: Speeds,
    /// With all.
    pub now: Speeds,
    /// What each cause takes \[m/s\], by point and cause.
    pub shares: [[f64; CAUSE_COUNT]; POINTS],
}

/// Shares the shortfall of one sample out: what each cause takes when it joins those before it, averaged
/// over an order of the causes and its reverse; over the samples, over all orders.
///
/// # Source
/// \[shapley1953\], from memory; orders in pairs of reverses \[mitchell2022\], from memory.
pub(super) fn share_out(
    problem: &Problem,
    sample: &Sample,
    bank_power_w: f64,
    sampler: Sampler,
    number: u64,
) -> Option<SampleShares> {
    let odd = sample.odd.on(problem.now());
    let active = active_causes(problem, odd);
    let mut order = active.clone();
    let name = name_number("causes order");
    for i in (1..order.len()).rev() {
        let pick = (sampler.uniform(name.wrapping_add(i as u64), number) * (i + 1) as f64) as usize;
        order.swap(i, pick.min(i));
    }
    let speeds = |mask: u32| -> Option<Speeds> {
        let (boat, day) =
            problem.boat(&sample.deviates, odd, problem.now(), |cause| mask & (1 << cause as usize) != 0);
        let prepared = PreparedBoat::new(&boat).ok()?.value;
        Some(speeds_of(&prepared, &day, bank_power_w))
    };
    let all = active.iter().fold(0, |mask, cause| mask | (1 << *cause as usize));
    let (should, now) = (speeds(0)?, speeds(all)?);
    let mut shares = [[0.0; CAUSE_COUNT]; POINTS];
    for is_reversed in [false, true] {
        let (mut mask, mut before) = (0_u32, should);
        for step in 0..order.len() {
            let cause = order[if is_reversed { order.len() - 1 - step } else { step }];
            mask |= 1 << cause as usize;
            let after = if mask == all { now } else { speeds(mask)? };
            for point in 0..POINTS {
                shares[point][cause as usize] += 0.5 * (before[point] - after[point]);
            }
            before = after;
        }
    }
    Some(SampleShares { should, now, shares })
}

/// Causes that can be at work in a sample.
pub(super) fn active_causes(problem: &Problem, hypothesis: Hypothesis) -> Vec<Cause> {
    let now = problem.now();
    let is_here = |cause: Cause| {
        // What an instrument shows loses no speed.
        if cause == Cause::Instruments {
            return false;
        }
        hypothesis.cause() == Some(cause)
            || problem.parameters.iter().any(|p| {
                p.cause == cause
                    && match p.unknown {
                        Unknown::Boat(_) => true,
                        Unknown::Trial(epoch, _) => epoch == now,
                        Unknown::Then(..) | Unknown::Odd => false,
                    }
            })
    };
    Cause::ALL.iter().copied().filter(|cause| is_here(*cause)).collect()
}

/// The value of something of the latest trial in a sample.
pub(super) fn value_now(problem: &Problem, sample: &Sample, what: OfTrial) -> Option<f64> {
    let index = index_of(problem, Unknown::Trial(problem.now(), what))?;
    Some(problem.parameters[index].value(sample.deviates[index]))
}

/// The shortfall at full throttle and who takes how much of it, at given deviates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SharesAt {
    /// What she should do less what she does \[m/s\].
    pub shortfall_m_s: f64,
    /// What each cause takes \[m/s\], in the order of [`Cause::ALL`]; they add up to the shortfall.
    pub shares_m_s: [f64; CAUSE_COUNT],
}

/// The shares at given deviates with `bank_power_w` at the second point; `None` where she has no such state.
/// Of `order` the seed and the number decide in which order the causes come.
#[must_use]
pub fn shares_at(
    problem: &Problem,
    deviates: &[f64],
    hypothesis: Hypothesis,
    bank_power_w: f64,
    order: (u64, u64),
) -> Option<SharesAt> {
    let sample = Sample { deviates: deviates.to_vec(), odd: Oddity::always(hypothesis) };
    let found = share_out(problem, &sample, bank_power_w, Sampler::new(order.0), order.1)?;
    Some(SharesAt::of(&found))
}

impl SharesAt {
    pub(super) fn of(found: &SampleShares) -> Self {
        Self { shortfall_m_s: found.should[0] - found.now[0], shares_m_s: found.shares[0] }
    }
}
