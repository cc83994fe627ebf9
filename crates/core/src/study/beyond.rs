//! What each speed's range becomes with the sun by day, and after years. Not for: the range on the bank as
//! she is (`answer`), the sun itself (`energy`).

use super::answer::SpeedAnswer;
use crate::boat::Boat;
use crate::energy::{DaySun, Store, SunDayAsked, sun_alone_day_m, time_with_sun_s};
use crate::field;
use crate::spread::Interval;
use crate::spread::{Sampler, name_number};

pub use crate::energy::LONGEST_S;

/// What is asked beyond the bank as she is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Beyond {
    /// The sun of a month.
    pub sun: Option<DaySun>,
    /// Years from now.
    pub years: Option<f64>,
    /// The speeds at which it is asked, beside full throttle; all of them where none are named \[m/s\].
    pub only_at_m_s: Option<Vec<f64>>,
}

impl Beyond {
    /// Whether it is asked at one of the speeds.
    fn is_at(&self, speed_m_s: f64) -> bool {
        let is_it = |asked: &f64| (asked / speed_m_s - 1.0).abs() < 1e-6;
        self.only_at_m_s.as_ref().is_none_or(|asked| asked.iter().any(is_it))
    }

    /// True when nothing is asked.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.sun.is_none() && self.years.is_none()
    }
}

/// What came out for one sample, at one speed \[m\].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BeyondAt {
    with_sun_m: Option<f64>,
    sun_alone_day_m: Option<f64>,
    aged_m: Option<f64>,
}

/// A figure of one sample.
pub(super) type Of = fn(&BeyondAt) -> Option<f64>;

/// The same with bands.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BeyondRow {
    /// Miles to the reserve with the sun by day \[m\]; [`LONGEST_S`] times the speed when there is no end.
    pub with_sun_m: Option<Interval>,
    /// Miles a day that leave the bank as it was \[m\].
    pub sun_alone_day_m: Option<Interval>,
    /// Miles to the reserve after years \[m\].
    pub aged_m: Option<Interval>,
}

/// One sample's day of sun.
struct SunOfSample {
    by_hour_w: [f64; 24],
    house_w: [f64; 24],
    leaves_at: u32,
    store: Store,
}

/// One sample's boat with what is asked beyond, made ready once for all speeds.
pub(super) struct ReadyBeyond<'a> {
    boat: &'a Boat,
    asked: &'a Beyond,
    sun: Option<SunOfSample>,
    aged: Option<Boat>,
}

impl<'a> ReadyBeyond<'a> {
    /// `chance` draws the day and the ageing; without it both are as usual.
    pub fn new(boat: &'a Boat, asked: &'a Beyond, chance: Option<(Sampler, u64)>) -> Self {
        let sun = asked.sun.as_ref().and_then(|sun| {
            let (by_hour_w, house_w) = match chance {
                Some((sampler, sample)) => {
                    (sun.sampled_w(sampler, sample), sun.sampled_house_w(sampler, sample))
                }
                None => (sun.usual_w(), sun.house_w()),
            };
            let store = Store::new(&boat.bank).ok()?;
            Some(SunOfSample { by_hour_w, house_w, leaves_at: sun.leaves_at, store })
        });
        let aged = asked.years.map(|years| {
            let deviate = chance.map_or(0.0, |(sampler, sample)| {
                sampler.deviate(name_number(field::model::CALENDAR_LOSS), sample)
            });
            Boat { bank: boat.bank.after_years(years, deviate), ..boat.clone() }
        });
        Self { boat, asked, sun, aged }
    }

    /// `speed_m_s` as it was asked; none for full throttle.
    pub fn at(&self, answer: &SpeedAnswer, speed_m_s: Option<f64>) -> BeyondAt {
        let is_asked = speed_m_s.is_none_or(|speed_m_s| self.asked.is_at(speed_m_s));
        let Some(plain) = answer.discharge.as_ref().filter(|_| is_asked) else { return BeyondAt::default() };
        let state = &answer.bound.state;
        let further_m = answer.further_s * state.speed_m_s;
        let power_w = state.bank_power_w();
        let start = self.boat.bank.state_of_charge;
        // Where low volts end the discharge before the reserve, they end it here too.
        let floor = plain.final_state_of_charge;
        BeyondAt {
            with_sun_m: self.sun.as_ref().map(|sun| {
                let time_s =
                    time_with_sun_s(&sun.store, start, floor, power_w, &sun.by_hour_w, sun.leaves_at);
                time_s * state.speed_m_s + further_m
            }),
            sun_alone_day_m: self.sun.as_ref().map(|sun| {
                let day = SunDayAsked {
                    store: &sun.store,
                    reserve: self.boat.reserve,
                    sun_w: &sun.by_hour_w,
                    house_w: &sun.house_w,
                    leaves_at: sun.leaves_at,
                };
                sun_alone_day_m(&day, state.speed_m_s, state.drive_power_w)
            }),
            aged_m: self
                .aged
                .as_ref()
                .and_then(|aged| Some(aged.discharge_at(power_w)?.duration_s * state.speed_m_s + further_m)),
        }
    }
}

impl BeyondRow {
    /// `band` of each figure.
    pub(super) fn over(band: &dyn Fn(Of) -> Option<Interval>) -> Self {
        Self {
            with_sun_m: band(|at| at.with_sun_m),
            sun_alone_day_m: band(|at| at.sun_alone_day_m),
            aged_m: band(|at| at.aged_m),
        }
    }
}
