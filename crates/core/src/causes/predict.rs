//! What the readings would be if the unknowns had given values. Not for: finding the values.

use super::cause::Cause;
use super::course::{CourseDifference, course_difference};
use super::evidence::{CausesError, Epoch};
use super::hypothesis::{Hypothesis, packs_of};
use super::observation::{Datum, DatumKind, Held, Noise, Observation, Unfitted, is_of_other_bank, observe};
use super::oddity::{Oddity, Reach};
use super::parameter::{OfTrial, Parameter, Unknown, parameters};
use super::sea::in_a_calm;
use crate::boat::{Boat, BoatSpec, Input};
use crate::drive::ReductionKind;
use crate::steady::{Ask, Bound, Limit, PreparedBoat};

/// Degrees of freedom of the readings' scatter: heavy tails, so that one bad run does not decide.
pub(super) const LIKELIHOOD_FREEDOM: f64 = 5.0;

/// The boat, her trials and all that is unknown.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// The boat as her document has her.
    pub spec: BoatSpec,
    /// The trials, oldest first.
    pub epochs: Vec<Epoch>,
    /// What is unknown.
    pub parameters: Vec<Parameter>,
    /// What was measured.
    pub observations: Vec<Observation>,
    /// Runs that are not fitted, by trial.
    pub unfitted: Vec<Unfitted>,
    /// How the power differs from course to course, by trial.
    pub differences: Vec<Option<CourseDifference>>,
    /// The boats of the days: she as she was then, water as it was.
    pub(super) bases: Vec<Boat>,
    /// By trial the inputs that were stated otherwise then, each with the trial whose unknown it is; none
    /// where it was certain.
    otherwise: Vec<Vec<(Input, Option<usize>)>>,
}

/// What of a day is no part of the boat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Day {
    /// True wind \[m/s\].
    pub wind_m_s: f64,
    /// Speeds as they are written over speeds in knots: another unit read.
    pub unit_factor: f64,
    /// Log shows over truth.
    pub log_factor: f64,
    /// Meter shows over truth.
    pub meter_factor: f64,
    /// Voltmeter shows over truth.
    pub volts_factor: f64,
    /// Revolution counter shows over truth.
    pub turning_factor: f64,
    /// Standing loads within the power that was measured \[W\].
    pub house_in_power_w: f64,
    /// At full throttle the motor runs ahead of the belt, as fast as its volts allow.
    pub does_belt_give: bool,
    /// Amps as read over those in the motor's leads, where these were read; `None` where the bank's were.
    pub motor_amps: Option<f64>,
}

impl Default for Day {
    /// A calm, instruments that show the truth, the drive's power alone.
    fn default() -> Self {
        Self {
            wind_m_s: 0.0,
            unit_factor: 1.0,
            log_factor: 1.0,
            meter_factor: 1.0,
            volts_factor: 1.0,
            turning_factor: 1.0,
            house_in_power_w: 0.0,
            does_belt_give: false,
            motor_amps: None,
        }
    }
}

impl Problem {
    /// Puts runs and notes into order.
    /// # Errors
    /// [`CausesError`] when there is nothing to fit.
    pub fn new(spec: &BoatSpec, epochs: &[Epoch], noise: &Noise) -> Result<Self, CausesError> {
        if epochs.is_empty() {
            return Err(CausesError::NoTrial);
        }
        let specs: Vec<BoatSpec> =
            epochs.iter().map(|epoch| in_a_calm(epoch.then.as_deref().unwrap_or(spec), epoch)).collect();
        let spec = in_a_calm(spec, &epochs[epochs.len() - 1]);
        let mut observations = Vec::new();
        let mut unfitted = Vec::new();
        for (index, epoch) in epochs.iter().enumerate() {
            let (found, left_out) = observe(index, epoch, &specs[index].boat, noise);
            if !found.iter().any(|o| !o.runs.is_empty()) {
                let why = left_out.first().map_or("it has no runs", |(_, reason)| reason.words());
                return Err(CausesError::NothingToFit { label: epoch.label.clone(), why: why.to_owned() });
            }
            observations.extend(found);
            unfitted.push(left_out);
        }
        let bases: Vec<Boat> = (epochs.iter().zip(&specs))
            .map(|(epoch, spec)| {
                let mut boat = spec.boat.clone();
                boat.water = epoch.observed.water.unwrap_or(boat.water);
                boat
            })
            .collect();
        let differences: Vec<Option<CourseDifference>> = (epochs.iter().enumerate())
            .map(|(index, epoch)| course_difference(index, epoch, &observations, &bases[index]))
            .collect();
        let otherwise = stated_otherwise(&spec, &specs);
        let parameters = parameters((&spec, &specs), &otherwise, epochs, &observations, &differences);
        let epochs = epochs.to_vec();
        Ok(Self { spec, epochs, parameters, observations, unfitted, differences, bases, otherwise })
    }

    /// Turns of the motor for one of the shaft, on the day of trial `epoch`.
    pub(super) fn ratio(&self, epoch: usize) -> f64 {
        self.bases[epoch].drive_line.ratio
    }

    /// Whether volts were written down on the latest day that are not her bank's; they are not fitted.
    #[must_use]
    pub fn has_other_volts(&self) -> bool {
        let (epoch, boat) = (&self.epochs[self.now()], &self.bases[self.now()]);
        let under_load = epoch.runs.iter().filter_map(|run| run.run.voltage_v);
        under_load.chain(epoch.observed.rest_voltage_v).any(|volts| is_of_other_bank(volts, boat))
    }

    /// Whether turns were written down as the shaft's on the day of trial `epoch`.
    fn is_by_shaft(&self, epoch: usize) -> bool {
        let mut mine = self.observations.iter().filter(|o| o.epoch == epoch);
        mine.any(|o| matches!(o.held, Held::Shaft(_)) || o.data.iter().any(|d| d.kind == DatumKind::Shaft))
    }

    /// Number of unknowns.
    #[must_use]
    pub fn size(&self) -> usize {
        self.parameters.len()
    }

    /// The trial that counts as now.
    #[must_use]
    pub fn now(&self) -> usize {
        self.epochs.len() - 1
    }

    /// What may be odd about her that her runs can tell of, on which trials.
    #[must_use]
    pub fn oddities(&self) -> Vec<Oddity> {
        let is_full = |o: &Observation| o.held.is_full_throttle();
        let has_power = |o: &Observation| {
            o.data.iter().any(|d| matches!(d.kind, DatumKind::Power | DatumKind::Volts | DatumKind::Current))
        };
        let is_turning = |o: &Observation| {
            matches!(o.held, Held::Shaft(_) | Held::Motor(_))
                || o.data.iter().any(|d| matches!(d.kind, DatumKind::Shaft | DatumKind::Motor))
        };
        let has_belt =
            matches!(self.spec.fittings.reduction, Some(ReductionKind::VBelt | ReductionKind::ToothedBelt));
        let is_by_power = self.observations.iter().any(|o| matches!(o.held, Held::Power(_)));
        let is_shown = |odd: &Oddity| {
            let mut within = self.observations.iter().filter(|o| odd.reach.holds_on(o.epoch));
            match odd.what {
                Hypothesis::Nothing => odd.reach == Reach::Every,
                Hypothesis::HeldBack | Hypothesis::BeltGives => within.any(is_full),
                Hypothesis::OtherTurns => within.any(is_turning),
                Hypothesis::KilometresRead | Hypothesis::MilesRead | Hypothesis::MetresRead => within
                    .any(|o| o.data.iter().any(|d| matches!(d.kind, DatumKind::Speed | DatumKind::LogSpeed))),
                // A setting that is only known by its power would have to be found anew.
                Hypothesis::MotorAmps if is_by_power => false,
                Hypothesis::OtherLoads | Hypothesis::MotorAmps => within
                    .any(|o| o.data.iter().any(|d| matches!(d.kind, DatumKind::Power | DatumKind::Current))),
                Hypothesis::OneDrive => within.next().is_some(),
                _ => within.any(|o| is_full(o) || has_power(o)),
            }
        };
        let reaches = Reach::of(self.epochs.len());
        Hypothesis::ALL
            .into_iter()
            .filter(|what| what.is_possible(&self.spec.boat, has_belt))
            .filter(|what| *what != Hypothesis::OneDrive || !self.spec.fittings.has_told_drives)
            .flat_map(|what| reaches.iter().map(move |reach| Oddity { what, reach: *reach }))
            .filter(is_shown)
            .collect()
    }

    /// The boat on the day of trial `epoch` at these deviates; what belongs to a cause for which
    /// `counts` is false stands as it should be.
    #[must_use]
    pub fn boat(
        &self,
        deviates: &[f64],
        hypothesis: Hypothesis,
        epoch: usize,
        counts: impl Fn(Cause) -> bool,
    ) -> (Boat, Day) {
        let mut boat = self.bases[epoch].clone();
        let mut day = Day::default();
        let (mut load, mut unexplained) = (1.0, 1.0);
        for (parameter, &deviate) in self.parameters.iter().zip(deviates) {
            let value = if counts(parameter.cause) { parameter.value(deviate) } else { parameter.should_be };
            match parameter.unknown {
                Unknown::Boat(input) if self.otherwise[epoch].iter().all(|(other, _)| *other != input) => {
                    input.set(&mut boat, value);
                }
                Unknown::Then(of, input) if self.otherwise[epoch].contains(&(input, Some(of))) => {
                    input.set(&mut boat, value);
                }
                Unknown::Trial(of_epoch, what) if of_epoch == epoch => match what {
                    OfTrial::BottomGrowth => boat.bottom_sand_height_m = value,
                    OfTrial::BladeGrowth => boat.blades_sand_height_m = value,
                    OfTrial::Load => load = value,
                    OfTrial::Wind => day.wind_m_s = value,
                    OfTrial::Waves => boat.sea.sea_margin = value,
                    OfTrial::Section => {
                        boat.sea.depth_m = boat.sea.depth_m.map(|depth| depth * value);
                        boat.sea.canal_width_m = boat.sea.canal_width_m.map(|width| width * value);
                    }
                    OfTrial::Charge => boat.bank.state_of_charge = value,
                    OfTrial::LogFactor => day.log_factor = value,
                    OfTrial::MeterFactor => day.meter_factor = value,
                    OfTrial::VoltsFactor => day.volts_factor = value,
                    OfTrial::TurningFactor => day.turning_factor = value,
                    OfTrial::Unexplained => unexplained = value,
                },
                Unknown::Boat(_) | Unknown::Then(..) | Unknown::Trial(..) | Unknown::Odd => {}
            }
        }
        if self.epochs[epoch].observed.is_house_in_power {
            day.house_in_power_w = boat.house_power_w;
        }
        boat.form.displacement_kg *= load;
        boat.sea.in_service_factor *= unexplained;
        if hypothesis.cause().is_some_and(&counts) {
            day.does_belt_give = hypothesis == Hypothesis::BeltGives;
            match hypothesis {
                Hypothesis::OtherTurns if self.is_by_shaft(epoch) => {
                    day.turning_factor *= boat.drive_line.ratio;
                }
                Hypothesis::OtherTurns => day.turning_factor /= boat.drive_line.ratio,
                Hypothesis::KilometresRead => day.unit_factor = 1.852,
                Hypothesis::MilesRead => day.unit_factor = 1.852 / 1.609_344,
                Hypothesis::MetresRead => day.unit_factor = 1.852 / 3.6,
                Hypothesis::OnePackRead => day.meter_factor /= f64::from(packs_of(&boat).max(1)),
                _ => {}
            }
            let strength = hypothesis.strength().at_deviate(deviates.last().copied().unwrap_or(0.0));
            match hypothesis {
                Hypothesis::OtherLoads => day.house_in_power_w += strength,
                Hypothesis::MotorAmps => day.motor_amps = Some(strength),
                _ => {}
            }
            hypothesis.set(&mut boat, strength);
        }
        (boat, day)
    }

    /// What every reading would be; `None` when she has no such steady state.
    #[must_use]
    pub fn predict(&self, deviates: &[f64], odd: Oddity) -> Option<Vec<f64>> {
        let mut predicted = Vec::with_capacity(self.reading_count());
        for epoch in 0..self.epochs.len() {
            let (boat, day) = self.boat(deviates, odd.on(epoch), epoch, |_| true);
            let prepared = PreparedBoat::new(&boat).ok()?.value;
            for observation in self.observations.iter().filter(|o| o.epoch == epoch) {
                let readings = Readings::of(&prepared, &day, observation)?;
                predicted.extend(observation.data.iter().map(|datum| readings.of_kind(datum.kind)));
            }
        }
        predicted.iter().all(|value| value.is_finite()).then_some(predicted)
    }

    /// All readings, in the order of [`Self::predict`].
    pub fn data(&self) -> impl Iterator<Item = &Datum> {
        let epochs = 0..self.epochs.len();
        epochs
            .flat_map(|epoch| self.observations.iter().filter(move |o| o.epoch == epoch))
            .flat_map(|o| &o.data)
    }

    /// Number of readings.
    #[must_use]
    pub fn reading_count(&self) -> usize {
        self.observations.iter().map(|o| o.data.len()).sum()
    }

    /// Readings less what they would be, over their standard deviations.
    #[must_use]
    pub fn residuals(&self, deviates: &[f64], odd: Oddity) -> Option<Vec<f64>> {
        let predicted = self.predict(deviates, odd)?;
        Some(self.data().zip(&predicted).map(|(datum, value)| (datum.value - value) / datum.sd).collect())
    }

    /// Logarithm of the likelihood, but for a constant; minus infinity where she has no steady state.
    ///
    /// Student's t with five degrees of freedom around each reading.
    /// # Source
    /// \[lange1989\], from memory.
    #[must_use]
    pub fn log_likelihood(&self, deviates: &[f64], odd: Oddity) -> f64 {
        self.residuals(deviates, odd)
            .map_or(f64::NEG_INFINITY, |residuals| residuals.iter().map(|r| log_student(*r)).sum())
    }
}

/// By trial the inputs whose medians were others then: another part, or the same one stated otherwise, which
/// nobody can tell from the numbers. Each is an unknown of its own, shared by trials that state it alike.
fn stated_otherwise(now: &BoatSpec, then: &[BoatSpec]) -> Vec<Vec<(Input, Option<usize>)>> {
    let median = |spec: &BoatSpec, input: Input| {
        spec.uncertain
            .iter()
            .find(|uncertain| uncertain.input == input)
            .map(|uncertain| uncertain.spread.median)
    };
    let of_trial = |spec: &BoatSpec| {
        let inputs = now.uncertain.iter().chain(&spec.uncertain).map(|uncertain| uncertain.input);
        let mut found: Vec<(Input, Option<usize>)> = Vec::new();
        for input in inputs.filter(|input| median(now, *input) != median(spec, *input)) {
            let stated = median(spec, input);
            let owner = || then.iter().position(|other| median(other, input) == stated);
            if found.iter().all(|(known, _)| *known != input) {
                found.push((input, stated.and_then(|_| owner())));
            }
        }
        found
    };
    then.iter().map(of_trial).collect()
}

/// Logarithm of Student's density at `residual`, but for a constant.
pub(super) fn log_student(residual: f64) -> f64 {
    -0.5 * (LIKELIHOOD_FREEDOM + 1.0) * (residual * residual / LIKELIHOOD_FREEDOM).ln_1p()
}

/// What instruments would show.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Readings {
    pub speed_m_s: f64,
    pub log_speed_m_s: f64,
    pub shaft_rev_s: f64,
    pub motor_rev_s: f64,
    pub power_w: f64,
    pub volts_v: f64,
    pub current_a: f64,
    pub rest_v: f64,
    pub pull_n: f64,
}

/// Part of the thrust that reaches the line: the hull holds back some of it at rest too. From memory, ships'
/// thrust deduction at the bollard 0.03 to 0.07.
const PULL_OF_THRUST: f64 = 0.95;

/// Winds below this are none \[m/s\]: they move a boat by less than a hundredth of a knot.
const NO_WIND_M_S: f64 = 0.3;

impl Readings {
    /// In one observation: the mean over its courses.
    pub fn of(prepared: &PreparedBoat, day: &Day, observation: &Observation) -> Option<Self> {
        let winds = observation.legs.iter().map(|leg| leg.head_wind_m_s + leg.share_of_wind * day.wind_m_s);
        if observation.legs.iter().all(|leg| leg.head_wind_m_s == 0.0) && day.wind_m_s < NO_WIND_M_S {
            return Self::at(prepared, day, observation.held);
        }
        let mut sum: Option<Self> = None;
        for wind in winds {
            let leg = Self::at(&prepared.with_head_wind(wind), day, observation.held)?;
            sum = Some(sum.map_or(leg, |sum| sum.joined(&leg, |a, b| a + b)));
        }
        let count = observation.legs.len() as f64;
        sum.map(|sum| sum.joined(&sum, |a, _| a / count))
    }

    fn at(prepared: &PreparedBoat, day: &Day, held: Held) -> Option<Self> {
        let drive = prepared.drive_line();
        let bound = match held {
            Held::Shaft(shown) => prepared.solve(Ask::ShaftSpeed(shown / day.turning_factor)).ok()?,
            Held::Motor(shown) => {
                prepared.solve(Ask::ShaftSpeed(shown / day.turning_factor / drive.ratio)).ok()?
            }
            Held::Power(shown) => prepared
                .solve(Ask::BankPower(
                    shown / (day.meter_factor * day.volts_factor) - day.house_in_power_w
                        + prepared.house_power_w(),
                ))
                .ok()?,
            Held::FullThrottle => full_throttle(prepared)?,
            Held::TiedUpFullThrottle => prepared.tied_up_at_full_throttle()?,
            Held::TiedUp(shown) => prepared.tied_up_at(shown / day.turning_factor),
            Held::Rest => return Some(Self::at_rest(prepared, day)),
        };
        let state = &bound.state;
        // With the torque held by the belt, volts and motor speed rise together until the bank's are used up.
        let ahead = match held {
            Held::FullThrottle | Held::TiedUpFullThrottle if day.does_belt_give => {
                bound.usage[Limit::BankVolts as usize].clamp(0.2, 1.0).recip()
            }
            _ => 1.0,
        };
        let (bank_a, drive_power_w) = match day.motor_amps {
            Some(shown) => {
                let amps = shown * prepared.running() * state.motor.current_a;
                (amps, amps * state.bank_v)
            }
            None => (state.bank_a * ahead, state.drive_power_w * ahead),
        };
        let sag_v = prepared.bank().open_circuit_v - state.bank_v;
        Some(Self {
            speed_m_s: state.speed_m_s * day.unit_factor,
            log_speed_m_s: state.speed_m_s * day.unit_factor * day.log_factor,
            shaft_rev_s: state.shaft_rev_s * day.turning_factor,
            motor_rev_s: state.shaft_rev_s * drive.ratio * ahead * day.turning_factor,
            // Meters multiply amps by the volts that they read.
            power_w: (drive_power_w + day.house_in_power_w) * day.meter_factor * day.volts_factor,
            volts_v: (state.bank_v - (ahead - 1.0) * sag_v) * day.volts_factor,
            current_a: (bank_a + day.house_in_power_w / state.bank_v.max(1.0)) * day.meter_factor,
            rest_v: prepared.bank().open_circuit_v * day.volts_factor,
            pull_n: PULL_OF_THRUST * state.thrust_n,
        })
    }

    fn at_rest(prepared: &PreparedBoat, day: &Day) -> Self {
        let rest_v = prepared.bank().open_circuit_v * day.volts_factor;
        Self {
            speed_m_s: 0.0,
            log_speed_m_s: 0.0,
            shaft_rev_s: 0.0,
            motor_rev_s: 0.0,
            power_w: 0.0,
            volts_v: rest_v,
            current_a: 0.0,
            rest_v,
            pull_n: 0.0,
        }
    }

    fn joined(&self, other: &Self, join: impl Fn(f64, f64) -> f64) -> Self {
        Self {
            speed_m_s: join(self.speed_m_s, other.speed_m_s),
            log_speed_m_s: join(self.log_speed_m_s, other.log_speed_m_s),
            shaft_rev_s: join(self.shaft_rev_s, other.shaft_rev_s),
            motor_rev_s: join(self.motor_rev_s, other.motor_rev_s),
            power_w: join(self.power_w, other.power_w),
            volts_v: join(self.volts_v, other.volts_v),
            current_a: join(self.current_a, other.current_a),
            rest_v: join(self.rest_v, other.rest_v),
            pull_n: join(self.pull_n, other.pull_n),
        }
    }

    pub fn of_kind(&self, kind: DatumKind) -> f64 {
        match kind {
            DatumKind::Speed => self.speed_m_s,
            DatumKind::LogSpeed => self.log_speed_m_s,
            DatumKind::Shaft => self.shaft_rev_s,
            DatumKind::Motor => self.motor_rev_s,
            DatumKind::Power => self.power_w,
            DatumKind::Volts => self.volts_v,
            DatumKind::Current => self.current_a,
            DatumKind::RestVolts => self.rest_v,
            DatumKind::Pull => self.pull_n,
        }
    }
}

/// Full throttle as a run of minutes meets it: every limit but the motor's heat.
pub(super) fn full_throttle(prepared: &PreparedBoat) -> Option<Bound> {
    prepared.solve_limited(1.0, Limit::acts_at_once).ok()
}

/// Whether the boat's own inputs hold this one.
#[must_use]
pub(super) fn index_of(problem: &Problem, unknown: Unknown) -> Option<usize> {
    problem.parameters.iter().position(|p| p.unknown == unknown)
}

/// The posterior's value of an input of the boat at these deviates; its median where it is certain.
#[must_use]
pub(super) fn input_value(problem: &Problem, deviates: &[f64], input: Input) -> Option<f64> {
    let index = index_of(problem, Unknown::Boat(input))?;
    Some(problem.parameters[index].value(deviates[index]))
}
