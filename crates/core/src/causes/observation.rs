//! From runs to what can be held against the steady state: what was held, what was measured beside it,
//! how sure. Opposite runs become one observation, in which the stream is out and the wind nearly so.
//! Not for: computing what she should have done (`predict`).

use super::evidence::{Epoch, LeftOut, TrialRun};
use crate::boat::Boat;
use crate::hull::complete;
use crate::hull::shallow::deep_enough_m;
use crate::trial::{PairBounds, Run, match_opposite_runs};

/// How sure the readings of a run are: standard deviations. Common practice, no source, where the
/// run's own scatter is not wider.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Noise {
    /// Mean speed of a run: satellite, log, helm \[m/s\].
    pub speed_m_s: f64,
    /// What the shape of the methods may be off in speed, as a share.
    pub speed_share: f64,
    /// Shaft speed, as a share: it moves speed alike and power threefold.
    pub turning_share: f64,
    /// Power, amps: as a share.
    pub power_share: f64,
    /// Volts, as a share.
    pub volts_share: f64,
    /// Stream left in a run that has no opposite one \[m/s\].
    pub stream_m_s: f64,
}

impl Default for Noise {
    fn default() -> Self {
        Self {
            speed_m_s: 0.04,
            speed_share: 0.01,
            turning_share: 0.005,
            power_share: 0.025,
            volts_share: 0.004,
            stream_m_s: 0.5,
        }
    }
}

/// What the helmsman held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Held {
    /// Shaft speed as shown \[rev/s\].
    Shaft(f64),
    /// Motor speed as shown \[rev/s\].
    Motor(f64),
    /// The throttle fully open.
    FullThrottle,
    /// Drive power as shown \[W\].
    Power(f64),
    /// Tied to a quay: shaft speed as shown \[rev/s\].
    TiedUp(f64),
    /// Tied to a quay, the throttle fully open.
    TiedUpFullThrottle,
    /// Nothing: the bank at rest.
    Rest,
}

impl Held {
    /// True with the throttle fully open.
    #[must_use]
    pub fn is_full_throttle(self) -> bool {
        matches!(self, Self::FullThrottle | Self::TiedUpFullThrottle)
    }
}

/// What was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DatumKind {
    /// Speed through the water with the stream taken out, or over ground where it was not \[m/s\].
    Speed,
    /// Speed that the boat's log shows \[m/s\].
    LogSpeed,
    /// Shaft speed \[rev/s\].
    Shaft,
    /// Motor speed \[rev/s\].
    Motor,
    /// Drive power \[W\].
    Power,
    /// Bank volts under load \[V\].
    Volts,
    /// Current out of the bank \[A\].
    Current,
    /// Bank volts at rest \[V\].
    RestVolts,
    /// Pull on the line to a quay \[N\].
    Pull,
}

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Datum {
    /// What.
    pub kind: DatumKind,
    /// Its value (SI).
    pub value: f64,
    /// Its standard deviation, the methods' own shape error included (SI).
    pub sd: f64,
}

/// Wind on one course.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Leg {
    /// Head wind as measured aboard \[m/s\].
    pub head_wind_m_s: f64,
    /// How much of the day's true wind, which is not known for sure, stands ahead: -1 to 1.
    pub share_of_wind: f64,
}

/// A run, or two on opposite courses.
#[derive(Debug, Clone, PartialEq)]
pub struct Observation {
    /// Which trial, from 0.
    pub epoch: usize,
    /// Which runs of it, from 0.
    pub runs: Vec<usize>,
    /// What was held.
    pub held: Held,
    /// Winds of the courses.
    pub legs: Vec<Leg>,
    /// What was measured.
    pub data: Vec<Datum>,
}

/// Runs that are not fitted, with the reason.
pub type Unfitted = Vec<(usize, LeftOut)>;

/// What the runs of trial number `epoch` say of `boat`.
#[must_use]
pub(super) fn observe(
    epoch: usize,
    trial: &Epoch,
    boat: &Boat,
    noise: &Noise,
) -> (Vec<Observation>, Unfitted) {
    let trial = &without_other_volts(trial, boat);
    let is_in_canal = boat.sea.canal_depth_m().is_some();
    let is_reckoned = |reason: &LeftOut| match reason {
        LeftOut::Shallow => boat.sea.depth_m.is_some(),
        LeftOut::Confined => is_in_canal,
        _ => false,
    };
    let mut unfitted = Vec::new();
    let mut usable = Vec::new();
    for (index, run) in trial.runs.iter().enumerate() {
        let reason = run.left_out.or_else(|| reason_to_leave_out(run, boat));
        // A canal that her document has is reckoned with, and a depth that is the same all along.
        match reason.filter(|reason| !is_reckoned(reason)) {
            Some(reason) => unfitted.push((index, reason)),
            None => usable.push(index),
        }
    }
    let with_speed: Vec<usize> =
        usable.iter().copied().filter(|&i| trial.runs[i].run.speed_over_ground_m_s.is_some()).collect();
    let plain: Vec<Run> = with_speed.iter().map(|&i| trial.runs[i].run).collect();
    // What is left without any reading of a setting was made at full throttle: one setting, and known.
    let bounds = PairBounds { is_throttle_held: true, ..PairBounds::default() };
    let mut pairs = match_opposite_runs(&plain, &bounds);
    // Full throttle with the throttle part open is no pair.
    pairs.retain(|pair| {
        trial.runs[with_speed[pair.first]].is_full_throttle
            == trial.runs[with_speed[pair.second]].is_full_throttle
    });
    let mut observations = Vec::new();
    let mut paired = Vec::new();
    for pair in &pairs {
        let members = [with_speed[pair.first], with_speed[pair.second]];
        paired.extend(members);
        observations.push(observation(epoch, trial, &members, noise));
    }
    for &index in usable.iter().filter(|index| !paired.contains(index)) {
        observations.push(observation(epoch, trial, &[index], noise));
    }
    observations.retain(|observed| {
        if observed.data.is_empty() {
            unfitted.extend(observed.runs.iter().map(|&run| (run, LeftOut::NothingMeasured)));
        }
        !observed.data.is_empty()
    });
    observations.sort_by_key(|observed| observed.runs[0]);
    if let Some(volts) = trial.observed.rest_voltage_v {
        let sd = noise.volts_share * volts;
        let data = vec![Datum { kind: DatumKind::RestVolts, value: volts, sd }];
        observations.push(Observation {
            epoch,
            runs: Vec::new(),
            held: Held::Rest,
            legs: vec![Leg::default()],
            data,
        });
    }
    (observations, unfitted)
}

/// Whether these are volts of something else than her bank: a house battery's, or of one of several in a row. Half
/// of what a bank has is not sag: three quarters of the least it may have in service, a fifth above the most
/// (judgement, no source).
#[must_use]
pub fn is_of_other_bank(volts: f64, boat: &Boat) -> bool {
    let (low, high) = bank_window_v(boat);
    volts < 0.75 * low || volts > 1.2 * high
}

/// The least and the most that her bank has in service \[V\].
#[must_use]
pub fn bank_window_v(boat: &Boat) -> (f64, f64) {
    let windows = boat.bank.groups.iter().map(|group| group.voltage_window_v());
    windows.fold((f64::INFINITY, 0.0_f64), |(a, b), (low, high)| (a.min(low), b.max(high)))
}

/// The trial without volts that are not her bank's, and without the power that was made of them.
fn without_other_volts(trial: &Epoch, boat: &Boat) -> Epoch {
    let mut trial = trial.clone();
    for run in &mut trial.runs {
        if run.run.voltage_v.is_some_and(|volts| is_of_other_bank(volts, boat)) {
            run.run.voltage_v = None;
            run.run.power_w = None;
        }
    }
    trial.observed.rest_voltage_v =
        trial.observed.rest_voltage_v.filter(|volts| !is_of_other_bank(*volts, boat));
    trial
}

fn reason_to_leave_out(run: &TrialRun, boat: &Boat) -> Option<LeftOut> {
    let made = &run.run;
    if made.is_sailed {
        return Some(LeftOut::Sailed);
    }
    if made.pull_n.is_some() && made.shaft_speed_rev_s.is_none() && !run.is_full_throttle {
        return Some(LeftOut::NothingHeld);
    }
    if made.setting().is_none_or(|setting| setting == 0.0) && made.pull_n.is_none() && !run.is_full_throttle {
        return Some(LeftOut::NothingHeld);
    }
    is_shallow_for(made, boat).then_some(LeftOut::Shallow)
}

/// Whether a run was made in water that slows `boat`; deep where its depth was not noted.
pub(super) fn is_shallow_for(made: &Run, boat: &Boat) -> bool {
    let speed = made.speed_through_water_m_s.or(made.speed_over_ground_m_s);
    let Some((speed, depth)) = speed.zip(made.depth_m) else { return false };
    let body_draught = complete(&boat.form, &boat.keel, &boat.rudder, &boat.water)
        .map_or(0.3 * boat.form.draught_m, |hull| hull.value.body.draught_m);
    depth < deep_enough_m(boat.form.beam_waterline_m, body_draught, speed)
}

fn observation(epoch: usize, trial: &Epoch, members: &[usize], noise: &Noise) -> Observation {
    let runs: Vec<&TrialRun> = members.iter().map(|&i| &trial.runs[i]).collect();
    let count = runs.len() as f64;
    let mean = |of: fn(&Run) -> Option<f64>| {
        runs.iter().map(|run| of(&run.run)).sum::<Option<f64>>().map(|sum| sum / count)
    };
    let (shaft, motor) = (mean(|r| r.shaft_speed_rev_s), mean(|r| r.motor_speed_rev_s));
    let power = mean(|r| r.power_w);
    let is_full = runs.iter().all(|run| run.is_full_throttle);
    let pull = mean(|r| r.pull_n);
    let held = match (is_full, shaft, motor, power) {
        (true, ..) if pull.is_some() => Held::TiedUpFullThrottle,
        (_, Some(shaft), ..) if pull.is_some() => Held::TiedUp(shaft),
        (true, ..) => Held::FullThrottle,
        (_, Some(shaft), ..) => Held::Shaft(shaft),
        (_, _, Some(motor), _) => Held::Motor(motor),
        (.., Some(power)) => Held::Power(power),
        _ => Held::Rest,
    };
    let mut data = Vec::new();
    let mut add = |kind: DatumKind, value: Option<f64>, sd: &dyn Fn(f64) -> f64| {
        if let Some(value) = value.filter(|value| value.is_finite()) {
            data.push(Datum { kind, value, sd: sd(value) });
        }
    };
    // What was held is itself read off a gauge: its error moves what is measured beside it.
    let turning = match held {
        Held::FullThrottle | Held::TiedUpFullThrottle => 0.0,
        Held::Power(_) => noise.power_share / 3.0,
        _ => noise.turning_share,
    };
    let scatter = |run: &TrialRun| {
        // Samples of a log hang together over some twenty seconds (judgement, no source).
        let independent = (run.run.duration_s / 20.0).max(1.0);
        let own = run.run.speed_scatter_m_s.unwrap_or(0.0) / independent.sqrt();
        noise.speed_m_s.max(own)
    };
    let is_pair = runs.len() == 2;
    let reading = runs.iter().map(|run| scatter(run).powi(2)).sum::<f64>().sqrt() / count;
    let speed_sd = |extra: f64| {
        move |v: f64| {
            (reading.powi(2) + ((noise.speed_share.hypot(turning)) * v).powi(2) + extra * extra).sqrt()
        }
    };
    let has_log = mean(|r| r.speed_through_water_m_s);
    let wind_known = legs_of(trial, &runs);
    let blown = if wind_known.is_some() { 0.0 } else { UNKNOWN_WIND_M_S };
    let over_ground = mean(|r| r.speed_over_ground_m_s);
    let alone = if is_pair { 0.0 } else { noise.stream_m_s };
    if is_pair || has_log.is_none() {
        add(DatumKind::Speed, over_ground, &speed_sd(alone.hypot(blown)));
    }
    add(DatumKind::LogSpeed, has_log, &speed_sd(blown));
    add(DatumKind::Pull, pull, &|v| PULL_SHARE.hypot(2.0 * turning) * v.abs());
    if is_full {
        let of_turning = |v: f64| noise.turning_share.hypot(noise.speed_share) * v;
        add(DatumKind::Shaft, shaft, &of_turning);
        // Beside the shaft's, the motor's turns tell whether a belt slips under full load.
        add(DatumKind::Motor, motor, &of_turning);
    } else if let (Some(_), Some(motor)) = (shaft, motor) {
        add(DatumKind::Motor, Some(motor), &|v| noise.turning_share * v);
    }
    let of_power = |v: f64| noise.power_share.hypot(3.0 * turning) * v.abs();
    if !matches!(held, Held::Power(_)) {
        add(DatumKind::Power, power, &of_power);
        if power.is_none() {
            add(DatumKind::Current, mean(|r| r.current_a), &of_power);
        }
    }
    add(DatumKind::Volts, mean(|r| r.voltage_v), &|v| noise.volts_share * v);
    let legs = wind_known.unwrap_or_else(|| vec![Leg::default()]);
    Observation { epoch, runs: members.to_vec(), held, legs, data }
}

/// How sure a pull is, as a share: the scale, the line's angle, the quay's wall and the wash that comes round.
/// Judgement, no source.
const PULL_SHARE: f64 = 0.07;

/// What an unknown wind does to the speed of a single run \[m/s\]. Judgement, no source.
const UNKNOWN_WIND_M_S: f64 = 0.08;

/// Winds of the courses, as far as they are known; two opposite courses have any wind once ahead and
/// once astern.
fn legs_of(trial: &Epoch, runs: &[&TrialRun]) -> Option<Vec<Leg>> {
    let measured: Option<Vec<Leg>> = runs.iter().map(|run| measured_leg(&run.run)).collect();
    let stated: Option<Vec<Leg>> = runs
        .iter()
        .map(|run| {
            let angle = trial.observed.wind_from_rad? - run.run.course_rad?;
            Some(Leg { head_wind_m_s: 0.0, share_of_wind: angle.cos() })
        })
        .collect();
    measured.or(stated).or_else(|| {
        (runs.len() == 2)
            .then(|| [1.0, -1.0].map(|share_of_wind| Leg { head_wind_m_s: 0.0, share_of_wind }).to_vec())
    })
}

fn measured_leg(run: &Run) -> Option<Leg> {
    let speed = run.speed_over_ground_m_s.or(run.speed_through_water_m_s)?;
    let head_wind_m_s = run.wind_speed_m_s? * run.wind_angle_rad?.cos() - speed;
    Some(Leg { head_wind_m_s, share_of_wind: 0.0 })
}
