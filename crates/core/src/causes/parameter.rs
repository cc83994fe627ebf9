//! Everything unknown as standard normal deviates: the boat's own uncertain inputs, shared by all her
//! trials, and what belongs to one afternoon. Not for: what they do to a run (`predict`).

use super::cause::Cause;
use super::course::CourseDifference;
use super::evidence::Epoch;
use super::growth::surface_spread;
use super::observation::{DatumKind, Held, Observation};
use crate::boat::{BoatSpec, Input, Uncertain};
use crate::fouling::FoulingCondition;
use crate::hull::Sea;
use crate::spread::Spread;
use crate::trial::{added_wave_resistance_stawave1_n, wave_height_limit_stawave1_m};

/// What belongs to one afternoon.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum OfTrial {
    /// Sand height on the bottom.
    BottomGrowth,
    /// Sand height on the blades.
    BladeGrowth,
    /// Displacement on the day over the boat's own.
    Load,
    /// True wind.
    Wind,
    /// Share by which waves raised the resistance.
    Waves,
    /// Depth and width of her canal over the document's.
    Section,
    /// State of charge.
    Charge,
    /// What the speed log shows over the truth.
    LogFactor,
    /// What the meter shows over the truth.
    MeterFactor,
    /// What the voltmeter shows over the truth.
    VoltsFactor,
    /// What the revolution counter shows over the truth.
    TurningFactor,
    /// Resistance that no other cause explains, as a factor.
    Unexplained,
}

/// What is unknown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unknown {
    /// An input of the boat.
    Boat(Input),
    /// An input as it was on the day of trial number n, from 0, where it was stated otherwise than now.
    Then(usize, Input),
    /// Something of trial number n, from 0.
    Trial(usize, OfTrial),
    /// How strong the odd cause is, where one is at work.
    Odd,
}

/// One unknown with its prior.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parameter {
    /// What.
    pub unknown: Unknown,
    /// The cause under which it counts.
    pub cause: Cause,
    /// Its prior.
    pub spread: Spread,
    /// Smallest and largest value that make sense.
    pub possible: (f64, f64),
    /// How heavy the tails are: 0 as drawn, else the deviate d counts as sinh(tail d)/tail.
    pub tail: f64,
    /// The value by which she should be judged: as stated, clean, in a calm.
    pub should_be: f64,
}

impl Parameter {
    /// The value at a standard normal deviate.
    #[must_use]
    pub fn value(&self, deviate: f64) -> f64 {
        let stretched = if self.tail > 0.0 { (self.tail * deviate).sinh() / self.tail } else { deviate };
        self.spread.at_deviate(stretched).clamp(self.possible.0, self.possible.1)
    }
}

/// Inputs that belong to a day, or play no part in a steady run.
const NOT_SHARED: [Input; 6] = [
    Input::BottomGrowth,
    Input::BladeGrowth,
    Input::HeadWind,
    Input::SeaMargin,
    Input::StateOfCharge,
    Input::PackCapacity,
];

/// Tails of a part, or of a place, that may be another than its stamp says: rare, but then by much.
const WRONG_PART_TAIL: f64 = 0.5;
/// Tails of what no cause explains: next to nothing mostly, seldom a tenth and more. Three standard
/// deviations stand for about half as much resistance again. Judgement, no source.
const UNEXPLAINED_TAIL: f64 = 1.2;
/// 80 % band of it on ordinary days, as a share of resistance. Judgement, no source.
const UNEXPLAINED_SHARE: f64 = 0.03;

/// Tails of meters: mostly as their bands have it, seldom far off. Judgement, no source.
const METER_TAIL: f64 = 1.0;

/// Water where nobody measured \[K\].
const USUAL_WATER_K: f64 = 288.15;

/// All unknowns: of the boat, of each trial, and last the strength of an odd cause.
#[must_use]
pub(super) fn parameters(
    (spec, then): (&BoatSpec, &[BoatSpec]),
    otherwise: &[Vec<(Input, Option<usize>)>],
    epochs: &[Epoch],
    observations: &[Observation],
    differences: &[Option<CourseDifference>],
) -> Vec<Parameter> {
    let shared = |uncertain: &&Uncertain| !NOT_SHARED.contains(&uncertain.input);
    let mut found: Vec<Parameter> = spec
        .uncertain
        .iter()
        .filter(shared)
        .map(|uncertain| of_boat(Unknown::Boat(uncertain.input), uncertain))
        .collect();
    for (index, spec) in then.iter().enumerate() {
        let is_own = |uncertain: &&Uncertain| otherwise[index].contains(&(uncertain.input, Some(index)));
        let own = spec.uncertain.iter().filter(shared).filter(is_own);
        found.extend(own.map(|uncertain| of_boat(Unknown::Then(index, uncertain.input), uncertain)));
    }
    for (index, epoch) in epochs.iter().enumerate() {
        found.extend(of_trial(&then[index], index, epoch, observations, differences[index]));
    }
    found.push(Parameter {
        unknown: Unknown::Odd,
        cause: Cause::Unexplained,
        spread: Spread {
            p10: -crate::spread::DEVIATE_P90,
            median: 0.0,
            p90: crate::spread::DEVIATE_P90,
            is_logarithmic: false,
        },
        possible: (-6.0, 6.0),
        tail: 0.0,
        should_be: 0.0,
    });
    found
}

fn of_boat(unknown: Unknown, uncertain: &Uncertain) -> Parameter {
    Parameter {
        unknown,
        cause: Cause::of_input(uncertain.input),
        spread: uncertain.spread,
        possible: uncertain.possible,
        tail: match uncertain.input {
            Input::PropellerPitch | Input::PropellerDiameter => WRONG_PART_TAIL,
            _ => 0.0,
        },
        should_be: uncertain.spread.expected(),
    }
}

fn of_trial(
    spec: &BoatSpec,
    index: usize,
    epoch: &Epoch,
    observations: &[Observation],
    difference: Option<CourseDifference>,
) -> Vec<Parameter> {
    let observed = &epoch.observed;
    let stated = |input: Input, otherwise: f64| {
        let uncertain: Option<&Uncertain> = spec.uncertain.iter().find(|u| u.input == input);
        uncertain.map_or(Spread::exact(otherwise), |u| u.spread)
    };
    let mine: Vec<&Observation> = observations.iter().filter(|o| o.epoch == index).collect();
    let has = |kind: DatumKind| mine.iter().any(|o| o.data.iter().any(|d| d.kind == kind));
    let water_k = observed.water_temperature_k.unwrap_or(USUAL_WATER_K);
    let months = observed.months_since_cleaning.map(|months| (months, water_k));
    let bottom =
        surface_spread(observed.bottom, months, stated(Input::BottomGrowth, spec.boat.bottom_sand_height_m));
    let blades =
        surface_spread(observed.blades, None, stated(Input::BladeGrowth, spec.boat.blades_sand_height_m));
    let clean_bottom = FoulingCondition::AsApplied.sand_height_spread().median;
    let clean_blades = FoulingCondition::CleanPolished.sand_height_spread().median;
    let mut found = Vec::new();
    let mut add = |of: OfTrial, cause: Cause, spread: Spread, possible: (f64, f64), should_be: f64| {
        let unknown = Unknown::Trial(index, of);
        let tail = match of {
            OfTrial::MeterFactor | OfTrial::VoltsFactor => METER_TAIL,
            OfTrial::Section => WRONG_PART_TAIL,
            _ => 0.0,
        };
        found.push(Parameter { unknown, cause, spread, possible, tail, should_be });
    };
    if spec.boat.towed.is_none() {
        let should_be = clean_bottom.min(spec.boat.bottom_sand_height_m);
        add(OfTrial::BottomGrowth, Cause::BottomGrowth, bottom, (0.0, 0.03), should_be);
    }
    let should_be = clean_blades.min(spec.boat.blades_sand_height_m);
    add(OfTrial::BladeGrowth, Cause::BladeGrowth, blades, (0.0, 0.003), should_be);
    let load = observed.displacement_kg.map_or(Spread::relative(1.0, 0.03), |kg| {
        Spread::relative(kg / spec.boat.form.displacement_kg, 0.02)
    });
    add(OfTrial::Load, Cause::Load, load, (0.5, 2.0), 1.0);
    let wind = match observed.true_wind_m_s {
        Some(wind) => Spread::relative(wind.max(0.3), 0.3),
        None => Spread::factor(0.5, 2.0, 6.0),
    };
    if mine.iter().any(|o| o.legs.iter().any(|leg| leg.share_of_wind != 0.0)) {
        add(OfTrial::Wind, Cause::WindAndSea, wind, (0.0, 25.0), 0.0);
    }
    add(OfTrial::Waves, Cause::WindAndSea, waves(spec, epoch), (0.0, 3.0), 0.0);
    if spec.boat.sea.canal_depth_m().is_some() {
        // A level that fell, silt, a narrower reach; less where the depth was sounded (judgement, no source).
        let sounded = epoch.runs.iter().any(|run| run.run.depth_m.is_some());
        let section = Spread::relative(1.0, if sounded { 0.05 } else { 0.12 });
        add(OfTrial::Section, Cause::Banks, section, (0.4, 2.5), 1.0);
    }
    let feels_bank = mine.iter().any(|o| o.held.is_full_throttle() || o.held == Held::Rest)
        || has(DatumKind::Volts)
        || has(DatumKind::Current);
    if feels_bank {
        let charge = observed
            .state_of_charge
            .map_or(Spread { p10: 0.5, median: 0.8, p90: 0.97, is_logarithmic: false }, |charge| {
                Spread::absolute(charge, 0.05)
            });
        let should_be = observed.state_of_charge.unwrap_or(spec.boat.bank.state_of_charge);
        add(OfTrial::Charge, Cause::Bank, charge, (0.02, 1.0), should_be);
    }
    if has(DatumKind::LogSpeed) {
        // A paddle wheel that nobody calibrated is off by some per cent (common practice, no source).
        add(OfTrial::LogFactor, Cause::Instruments, Spread::relative(1.0, 0.05), (0.5, 1.5), 1.0);
    }
    let reads_power = has(DatumKind::Power) || has(DatumKind::Current);
    if reads_power || mine.iter().any(|o| matches!(o.held, Held::Power(_))) {
        // Mostly within some hundredths, but a shunt of another size, or one that part of the current goes round, shows a
        // tenth and more off.
        add(OfTrial::MeterFactor, Cause::Instruments, Spread::relative(1.0, 0.02), (0.5, 1.5), 1.0);
    }
    if mine.iter().any(|o| matches!(o.held, Held::Shaft(_) | Held::Motor(_) | Held::TiedUp(_)))
        || has(DatumKind::Shaft)
    {
        add(OfTrial::TurningFactor, Cause::Instruments, Spread::relative(1.0, 0.007), (0.8, 1.25), 1.0);
    }
    if has(DatumKind::Volts) || has(DatumKind::RestVolts) {
        // Mostly within a hundredth, but a cheap display, a long sense wire or a wrong terminal by several.
        add(OfTrial::VoltsFactor, Cause::Instruments, Spread::relative(1.0, 0.006), (0.7, 1.3), 1.0);
    }
    // Power that differs from course to course tells how much is not given.
    let (unexplained, tail) = match difference.filter(CourseDifference::is_sure) {
        Some(difference) => (difference.unexplained_drag(), 0.0),
        None => (Spread::relative(1.0, UNEXPLAINED_SHARE), UNEXPLAINED_TAIL),
    };
    found.push(Parameter {
        unknown: Unknown::Trial(index, OfTrial::Unexplained),
        cause: Cause::Unexplained,
        spread: unexplained,
        possible: (0.3, 3.0),
        tail,
        should_be: 1.0,
    });
    found
}

/// Share by which waves raised the resistance: next to nothing where none were noted, else the
/// reflection of short waves as a lower bound, since a yacht pitches.
fn waves(spec: &BoatSpec, epoch: &Epoch) -> Spread {
    /// Waves add at least this much of what reflection gives, and at most so much more (judgement).
    const BAND: (f64, f64, f64) = (0.7, 1.5, 4.0);
    /// Bow section to 95 % of the beam, over the waterline (judgement).
    const BOW_SHARE: f64 = 0.45;
    let form = &spec.boat.form;
    let Some(height) = epoch.observed.wave_height_m.filter(|height| *height > 0.02) else {
        let calm = Spread::factor(0.002, 0.01, 0.04);
        return calm;
    };
    let height = height.min(wave_height_limit_stawave1_m(form.length_waterline_m));
    let bow_m = BOW_SHARE * form.length_waterline_m;
    let added =
        added_wave_resistance_stawave1_n(height, form.beam_waterline_m, bow_m, spec.boat.water.density_kg_m3);
    // Both ways: against the waves once only.
    let share = 0.5 * added / typical_resistance_n(spec);
    Spread::factor(BAND.0 * share, BAND.1 * share, BAND.2 * share)
}

/// Resistance at seven tenths of hull speed, roughly: for the size of a share only \[N\].
fn typical_resistance_n(spec: &BoatSpec) -> f64 {
    let mut calm = spec.boat.clone();
    calm.sea = Sea { true_head_wind_m_s: 0.0, sea_margin: 0.0, depth_m: None, ..calm.sea };
    let speed = 0.7 * crate::hull::form::hull_speed_m_s(calm.form.length_waterline_m);
    crate::steady::PreparedBoat::new(&calm)
        .map_or(200.0, |boat| boat.value.hull().resistance_n(speed.min(boat.value.fastest_m_s())).max(20.0))
}
