//! What is left on arrival, for one sample of the boat, her charge and the stream. Not for: bands over samples (the rooms do).

use super::aboard::Aboard;
use super::stream::{Stage, Way};
use super::supply::{Left, Supply};
use crate::battery::{Bank, Load, StoppedBy, discharge};
use crate::boat::{Boat, BoatSpec};
use crate::energy::HouseLoad;
use crate::spread::{Sampler, Spread, name_number};
use crate::steady::{Ask, PreparedBoat};

/// What may be off in the way and the charge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HomeSpreads {
    /// Half the 80 % band of a stream, as a share of it.
    pub stream_share: f64,
    /// And in metres a second beside it \[m/s\].
    pub stream_m_s: f64,
    /// Half the 80 % band of the time at which it changes \[s\].
    pub change_s: f64,
    /// A stream that nobody stated after the last: half its band as a share of the last one.
    pub after_share: f64,
    /// Half the 80 % band of the wind along her way beside the one told \[m/s\].
    pub wind_m_s: f64,
}

/// What stands where nothing is typed: own estimate, no source; the wind's from memory of what forecasts for the day are off by.
pub const HOME_SPREADS: HomeSpreads =
    HomeSpreads { stream_share: 0.25, stream_m_s: 0.1, change_s: 1200.0, after_share: 0.3, wind_m_s: 2.0 };

/// A departure at a speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Try {
    /// She leaves then, the loads aboard running until then \[s from now\].
    pub leaves_s: f64,
    /// Speed through the water \[m/s\].
    pub speed_m_s: f64,
    /// Over the ground \[m\].
    pub distance_m: f64,
}

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct HomeAsked {
    /// Streams as stated.
    pub stages: Vec<Stage>,
    /// Whether the last of them was not stated but taken as slack.
    pub is_last_assumed: bool,
    /// State of charge now.
    pub charge: Spread,
    /// Spreads.
    pub spreads: HomeSpreads,
    /// Loads beside the drive by the hour; where there are none her standing load runs all the time.
    pub loads: Vec<HouseLoad>,
    /// The time of the day now \[s\].
    pub now_s: f64,
    /// What is tried.
    pub tries: Vec<Try>,
}

/// What came of a try.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arrival {
    /// From now until she is there \[s\]; infinite where the stream holds her.
    pub after_s: f64,
    /// State of charge on arrival, of all her banks together; 0 where they or the drive give out before.
    pub charge: f64,
    /// The charge below which she is in her reserve.
    pub reserve: f64,
}

impl Arrival {
    const NOT: Self = Self { after_s: f64::INFINITY, charge: 0.0, reserve: 0.0 };
}

/// A sample: one arrival for each try, and the reserve.
#[derive(Debug, Clone, PartialEq)]
pub struct HomeSample {
    /// In the order of the tries.
    pub arrivals: Vec<Arrival>,
}

/// Charge left after a constant power for a time from `from`; none where the bank gives out before.
fn charge_after(bank: &Bank, power_w: f64, from: f64, time_s: f64) -> Option<f64> {
    const PIECE: f64 = 0.05;
    let (mut charge, mut left_s) = (from, time_s);
    if power_w <= 0.0 {
        return Some(from);
    }
    while left_s > 0.0 {
        // Pieces end on the nodes of the curves.
        let end = (((charge / PIECE) - 1e-9).floor() * PIECE).clamp(0.0, charge);
        if charge <= 1e-9 {
            return None;
        }
        let run = discharge(bank, Load::PowerW(power_w), charge, end).ok()?;
        if run.duration_s >= left_s {
            return Some(charge - (charge - run.final_state_of_charge) * left_s / run.duration_s);
        }
        if run.stopped_by != StoppedBy::Target {
            return None;
        }
        left_s -= run.duration_s;
        charge = end;
    }
    Some(charge)
}

/// Share of all banks left after powers that last so long each; none where they give out before.
fn share_after(supply: &Supply, left: &Left, loads: &[(f64, f64)]) -> Option<f64> {
    const STEP_S: f64 = 300.0;
    let mut left = left.clone();
    for (power_w, time_s) in loads {
        let steps = (time_s / STEP_S).ceil().max(1.0);
        for _ in 0..steps as usize {
            supply.take(&mut left, power_w * time_s / steps, time_s / steps).then_some(())?;
        }
    }
    Some(supply.share(&left))
}

/// What a try comes to with the boat as prepared; `all` are her banks where some are used after the first.
fn arrive(
    prepared: &PreparedBoat,
    boat: &Boat,
    all: Option<&(Supply, Left)>,
    (stages, aboard): (&[Stage], Option<&Aboard>),
    charge: f64,
    tried: &Try,
) -> Arrival {
    // Lights burn by night: the mean of what runs from one instant to another.
    let house_w = |from_s: f64, to_s: f64| match aboard {
        Some(aboard) if to_s > from_s => aboard.energy_j(from_s, to_s) / (to_s - from_s),
        _ => boat.house_power_w,
    };
    let found = || {
        let way = Way { distance_m: tried.distance_m, stages: stages.to_vec() };
        let takes_s = way.takes_s(tried.leaves_s, tried.speed_m_s)?;
        let bound = prepared.solve(Ask::Speed(tried.speed_m_s)).ok()?;
        let is_in_reach = bound.usage.iter().all(|share| *share <= 1.0 + 1e-9);
        let waiting = (house_w(0.0, tried.leaves_s), tried.leaves_s);
        let load_w = house_w(tried.leaves_s, tried.leaves_s + takes_s);
        let under_way = (bound.state.drive_power_w + load_w, takes_s);
        let left = is_in_reach.then(|| match all {
            Some((supply, left)) => share_after(supply, left, &[waiting, under_way]),
            None => {
                let at_leaving = charge_after(&boat.bank, waiting.0, charge, waiting.1)?;
                charge_after(&boat.bank, under_way.0, at_leaving, under_way.1)
            }
        });
        let reserve = all.map_or(boat.reserve, |(supply, _)| supply.reserve_share());
        Some(Arrival { after_s: tried.leaves_s + takes_s, charge: left.flatten().unwrap_or(0.0), reserve })
    };
    found().unwrap_or(Arrival::NOT)
}

/// Sample number `sample`; `None` where her figures contradict each other in it.
#[must_use]
pub fn sample_home(spec: &BoatSpec, asked: &HomeAsked, sampler: Sampler, sample: u64) -> Option<HomeSample> {
    const BAND: f64 = 1.2816;
    let deviate = |name: &str| sampler.deviate(name_number(name), sample) / BAND;
    let spreads = &asked.spreads;
    let (share, beside) = (deviate("stream_share"), deviate("stream_beside"));
    let (later_s, after) = (deviate("stream_time") * spreads.change_s, deviate("stream_after"));
    let last = asked.stages.len().saturating_sub(1);
    let stated = |stage: &Stage| stage.along_m_s * (1.0 + spreads.stream_share * share);
    let of = |(place, stage): (usize, &Stage)| {
        let mut along_m_s = stated(stage) + spreads.stream_m_s * beside;
        if place == last && asked.is_last_assumed {
            let before = place.checked_sub(1).and_then(|before| asked.stages.get(before));
            along_m_s += before.map_or(0.0, |before| spreads.after_share * after * before.along_m_s);
        }
        let across_m_s = stage.across_m_s * (1.0 + spreads.stream_share * share);
        Stage { until_s: stage.until_s + later_s, along_m_s, across_m_s }
    };
    let stages: Vec<Stage> = asked.stages.iter().enumerate().map(of).collect();
    let mut boat = spec.sample(sampler, sample);
    let charge = asked.charge.at_deviate(sampler.deviate(name_number("charge_now"), sample)).clamp(0.0, 1.0);
    boat.bank.state_of_charge = charge;
    boat.sea.true_head_wind_m_s += spreads.wind_m_s * deviate("wind_off");
    let prepared = PreparedBoat::new(&boat).ok()?.value;
    let all = if boat.further.iter().any(|further| further.follows(&boat.bank)) {
        Some(Supply::of(&boat).ok()?)
    } else {
        None
    };
    let aboard = (!asked.loads.is_empty()).then(|| {
        let by_hour = HouseLoad::by_hour_w(&asked.loads, |power| power.sampled(sampler, sample));
        Aboard::new(&by_hour, &[0.0; 24], asked.now_s)
    });
    let arrive = |tried| arrive(&prepared, &boat, all.as_ref(), (&stages, aboard.as_ref()), charge, tried);
    let arrivals = asked.tries.iter().map(arrive).collect();
    Some(HomeSample { arrivals })
}
