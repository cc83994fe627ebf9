//! What a remedy will give: each sample of the posterior with and without it, so that the gain is sharp even
//! where her speed is not. Not for: keeping a forecast (it is plain data), holding it against what
//! happened (`score`).

use super::diagnosis::{Diagnosis, interval_of};
use super::hypothesis::Hypothesis;
use super::oddity::Oddity;
use super::predict::full_throttle;
use super::workers::Workers;
use crate::boat::Boat;
use crate::fouling::FoulingCondition;
use crate::practice::{duty_brought, forbidden};
use crate::spread::Interval;
use crate::spread::{Sampler, Spread, name_number, quantile_of_sorted};
use crate::steady::{Ask, Limit, PreparedBoat};
use wakewright_units::factors::INCH_M;

/// One change to her.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// Bottom scrubbed down to clean antifouling.
    CleanBottom,
    /// Blades scraped and polished.
    CleanBlades,
    /// Blades bent to so much more pitch \[m\], less where negative.
    Repitch(f64),
    /// Another propeller, of the same pattern and number of blades \[m\].
    NewPropeller {
        /// Diameter \[m\].
        diameter_m: f64,
        /// Pitch \[m\].
        pitch_m: f64,
    },
    /// Another reduction, motor turns for one of the shaft; a new belt with it.
    Ratio(f64),
    /// So many cells in series in every pack.
    Cells(u32),
    /// Every pack as good as the document has it, none lost.
    SoundPacks,
    /// Cable and joints of this resistance \[ohm\].
    Cable(f64),
    /// Controller, throttle and management system set as the document has them.
    LimitsAsStated,
}

/// A remedy: one or more changes under a name.
#[derive(Debug, Clone, PartialEq)]
pub struct Remedy {
    /// Its name, in words.
    pub name: String,
    /// What is changed.
    pub changes: Vec<Change>,
}

/// What is forecast.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Measure {
    /// Speed at full throttle in a calm \[m/s\].
    FullSpeed,
    /// Speed with the cruising power out of the bank, in a calm \[m/s\].
    CruiseSpeed,
    /// Shaft speed at full throttle \[rev/s\].
    FullShaft,
    /// Power out of the bank at full throttle \[W\].
    FullPower,
}

impl Measure {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::FullSpeed, Self::CruiseSpeed, Self::FullShaft, Self::FullPower];

    /// Stable name for files.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::FullSpeed => "full_speed_m_s",
            Self::CruiseSpeed => "cruise_speed_m_s",
            Self::FullShaft => "full_shaft_rev_s",
            Self::FullPower => "full_power_w",
        }
    }
}

/// Quantiles at which a forecast is kept: every twentieth, from one to nineteen twentieths.
pub const KEPT_QUANTILES: usize = 19;

/// One measure before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasureForecast {
    /// Which.
    pub measure: Measure,
    /// As she is.
    pub now: Interval,
    /// With the remedy.
    pub after: Interval,
    /// The difference.
    pub gain: Interval,
    /// [`KEPT_QUANTILES`] of `after`, ascending.
    pub after_quantiles: Vec<f64>,
}

/// What a remedy will give.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// The remedy.
    pub remedy: Remedy,
    /// The measures that some sample of her has, now and afterwards.
    pub measures: Vec<MeasureForecast>,
    /// The cruising power \[W\].
    pub cruise_power_w: f64,
    /// How probable it is that full throttle rises by a twentieth of a knot or more.
    pub helps_probability: f64,
    /// What stops her afterwards, with its probability; `None` where no sample of her can do the work.
    pub limit_after: Option<(Limit, f64)>,
    /// What must not be so afterwards, and is not so now: such a remedy is not recommended.
    pub forbidden: Vec<&'static str>,
    /// The duty that its volts bring and hers do not.
    pub duty: Option<&'static str>,
}

impl Forecast {
    /// The forecast of one measure.
    #[must_use]
    pub fn of(&self, measure: Measure) -> Option<&MeasureForecast> {
        self.measures.iter().find(|m| m.measure == measure)
    }
}

/// What a fitter usually thinks of, as far as it makes sense for her.
#[must_use]
pub fn usual_remedies(diagnosis: &Diagnosis) -> Vec<Remedy> {
    let boat = &diagnosis.problem.spec.boat;
    let one = |name: &str, change: Change| Remedy { name: name.to_owned(), changes: vec![change] };
    let mut remedies = Vec::new();
    if boat.towed.is_none() {
        remedies.push(one("scrub the bottom", Change::CleanBottom));
    }
    remedies.push(one("scrape the blades", Change::CleanBlades));
    if boat.towed.is_none() {
        remedies.push(Remedy {
            name: "scrub bottom and blades".to_owned(),
            changes: vec![Change::CleanBottom, Change::CleanBlades],
        });
    }
    for inches in [1.0, 2.0, -1.0] {
        let way = if inches > 0.0 { "more" } else { "less" };
        let size = format!("{:.0} in", f64::abs(inches));
        remedies.push(one(&format!("re-pitch to {size} {way}"), Change::Repitch(inches * INCH_M)));
    }
    if (boat.drive_line.ratio - 1.0).abs() > 1e-6 {
        remedies.push(one("a tenth less reduction", Change::Ratio(0.9 * boat.drive_line.ratio)));
        remedies.push(one("a tenth more reduction", Change::Ratio(1.1 * boat.drive_line.ratio)));
    }
    if let Some(group) = boat.bank.groups.first() {
        let more = (f64::from(group.cells_in_series) * 1.25).round() as u32;
        remedies.push(one(&format!("{more} cells in series"), Change::Cells(more)));
    }
    let odds = |hypothesis: Hypothesis| {
        let at_work = |odd: &&(Oddity, f64)| odd.0.on(diagnosis.problem.now()) == hypothesis;
        diagnosis.oddities.iter().filter(at_work).map(|(_, probability)| probability).sum::<f64>()
    };
    const WORTH_A_TRY: f64 = 0.03;
    // What a lost pack and weak ones want is the same change; which of them it is, the meter says first.
    let (lost, poor) = (odds(Hypothesis::PackLost), odds(Hypothesis::PoorPacks));
    if lost + poor > WORTH_A_TRY {
        let name = if lost > poor { "replace the lost pack" } else { "packs as good as stated" };
        remedies.push(one(name, Change::SoundPacks));
    }
    if odds(Hypothesis::PoorJoint) > WORTH_A_TRY {
        remedies.push(one("joints and cable as stated", Change::Cable(boat.bank.cable_resistance_ohm)));
    }
    // What heat holds back no setting gives back.
    if odds(Hypothesis::HeldBack) > WORTH_A_TRY && diagnosis.held_by_heat_m_s().is_none() {
        remedies.push(one("set the limits as stated, where it is no heat", Change::LimitsAsStated));
    }
    if odds(Hypothesis::BeltSlips) + odds(Hypothesis::BeltGives) + odds(Hypothesis::OtherRatio) > WORTH_A_TRY
    {
        remedies.push(one("a new belt at the stated ratio", Change::Ratio(boat.drive_line.ratio)));
    }
    remedies.push(one("cable of half the resistance", Change::Cable(0.5 * boat.bank.cable_resistance_ohm)));
    remedies
}

/// Forecasts every remedy from the posterior's samples.
#[must_use]
pub fn forecast(diagnosis: &Diagnosis, remedies: &[Remedy], workers: &impl Workers) -> Vec<Forecast> {
    let now = measured(diagnosis, None, workers);
    remedies.iter().map(|remedy| one_forecast(diagnosis, remedy, &now, workers)).collect()
}

/// Measures of one sample, with what stops her; NaN where there is no such state.
type Measured = ([f64; 4], Option<Limit>);

fn one_forecast(
    diagnosis: &Diagnosis,
    remedy: &Remedy,
    now: &[Measured],
    workers: &impl Workers,
) -> Forecast {
    let after = measured(diagnosis, Some(remedy), workers);
    let measures = Measure::ALL
        .iter()
        .enumerate()
        .filter_map(|(k, &measure)| {
            let mut finite: Vec<f64> = after.iter().map(|a| a.0[k]).filter(|v| v.is_finite()).collect();
            finite.sort_unstable_by(f64::total_cmp);
            let quantile = |i: usize| {
                let share = i as f64 / (KEPT_QUANTILES + 1) as f64;
                quantile_of_sorted(&finite, share)
            };
            Some(MeasureForecast {
                measure,
                now: interval_of(now.iter().map(|n| n.0[k]))?,
                after: interval_of(after.iter().map(|a| a.0[k]))?,
                gain: interval_of(now.iter().zip(&after).map(|(n, a)| a.0[k] - n.0[k]))?,
                after_quantiles: (1..=KEPT_QUANTILES).map(quantile).collect(),
            })
        })
        .collect();
    let gains: Vec<f64> =
        now.iter().zip(&after).map(|(n, a)| a.0[0] - n.0[0]).filter(|gain| gain.is_finite()).collect();
    let helped = gains.iter().filter(|gain| **gain > super::diagnosis::NO_SHORTFALL_M_S).count();
    Forecast {
        remedy: remedy.clone(),
        measures,
        cruise_power_w: diagnosis.cruise_power_w,
        helps_probability: helped as f64 / gains.len().max(1) as f64,
        limit_after: likeliest_limit(&after),
        forbidden: forbidden_by(diagnosis, remedy),
        duty: duty_of(&diagnosis.problem.spec.boat, remedy),
    }
}

/// The duty that the volts of `remedy` bring to the boat as stated.
fn duty_of(stated: &Boat, remedy: &Remedy) -> Option<&'static str> {
    let mut after = stated.clone();
    for change in &remedy.changes {
        if let Change::Cells(cells) = change {
            more_cells(&mut after, *cells);
        }
    }
    duty_brought(stated.bank.highest_charging_v(), after.bank.highest_charging_v())
}

/// What must not be so with `remedy` carried out on the boat as stated, and is not so without it.
fn forbidden_by(diagnosis: &Diagnosis, remedy: &Remedy) -> Vec<&'static str> {
    let problem = &diagnosis.problem;
    let topics = |changes: &[Change]| -> Vec<&'static str> {
        let zero = vec![0.0; problem.size()];
        let (mut boat, _) = problem.boat(&zero, Hypothesis::Nothing, problem.now(), |_| false);
        for change in changes {
            carry_out(*change, &mut boat, &problem.spec.boat, Sampler::new(diagnosis.options.seed), 0);
        }
        let Ok(prepared) = PreparedBoat::new(&boat) else { return Vec::new() };
        let Some(full) = full_throttle(&prepared.value) else { return Vec::new() };
        let found = forbidden(&boat, &problem.spec.fittings, &prepared.value, &full.state);
        found.iter().map(|finding| finding.topic).collect()
    };
    let before = topics(&[]);
    topics(&remedy.changes).into_iter().filter(|topic| !before.contains(topic)).collect()
}

fn likeliest_limit(after: &[Measured]) -> Option<(Limit, f64)> {
    let limits: Vec<Limit> = after.iter().filter_map(|(_, limit)| *limit).collect();
    let count = |limit: Limit| limits.iter().filter(|l| **l == limit).count();
    let most = Limit::ALL.into_iter().max_by_key(|limit| count(*limit)).filter(|most| count(*most) > 0)?;
    Some((most, count(most) as f64 / limits.len() as f64))
}

/// Measures of every sample with a remedy, in a calm and by the truth, not the instruments.
pub(super) fn measured(
    diagnosis: &Diagnosis,
    remedy: Option<&Remedy>,
    workers: &impl Workers,
) -> Vec<Measured> {
    let problem = &diagnosis.problem;
    let sampler = Sampler::new(diagnosis.options.seed);
    workers.map(diagnosis.posterior.samples.len(), |i| {
        let sample = &diagnosis.posterior.samples[i];
        let changes = remedy.map_or(&[][..], |remedy| remedy.changes.as_slice());
        let hypothesis = without(sample.odd.on(problem.now()), changes);
        let (mut boat, _) =
            problem.boat(&sample.deviates, hypothesis, problem.now(), |cause| !cause.is_of_day());
        if hypothesis == Hypothesis::HeldBack {
            held_by_one_limit(&mut boat, &problem.bases[problem.now()], i);
        }
        for change in changes {
            carry_out(*change, &mut boat, &problem.spec.boat, sampler, i as u64);
        }
        measure(&boat, diagnosis.cruise_power_w)
    })
}

/// Puts what holds `boat` back into one limit alone, by turns that of volts, of the motor's amps (a hot motor's too) and of the bank's: at
/// full throttle as she is they read alike, with another propeller or reduction they do not. The others stand as stated.
fn held_by_one_limit(boat: &mut Boat, stated: &Boat, turn: usize) {
    let full = PreparedBoat::new(boat).ok().and_then(|prepared| full_throttle(&prepared.value));
    let Some(full) = full else { return };
    let (state, running) = (full.state, f64::from(boat.drives.running.max(1)));
    boat.controller = stated.controller;
    for (group, as_stated) in boat.bank.groups.iter_mut().zip(&stated.bank.groups) {
        group.bms_discharge_a = as_stated.bms_discharge_a;
    }
    let controller = &mut boat.controller;
    match turn % 3 {
        0 => {
            let share = state.motor.voltage_v / controller.available_v(state.bank_v).max(1e-9);
            controller.maximum_duty *= share.min(1.0);
        }
        1 => controller.phase_current_limit_a = controller.phase_current_limit_a.min(state.motor.current_a),
        _ => {
            let amps = state.drive_power_w / state.bank_v.max(1e-9) / running;
            controller.battery_current_limit_a = controller.battery_current_limit_a.min(amps);
        }
    }
}

fn measure(boat: &Boat, cruise_power_w: f64) -> Measured {
    let nothing = ([f64::NAN; 4], None);
    let Ok(prepared) = PreparedBoat::new(boat) else { return nothing };
    let Some(full) = full_throttle(&prepared.value) else { return nothing };
    let cruise = prepared.value.solve(Ask::BankPower(cruise_power_w));
    let values = [
        full.state.speed_m_s,
        cruise.map_or(f64::NAN, |bound| bound.state.speed_m_s),
        full.state.shaft_rev_s,
        full.state.bank_power_w(),
    ];
    (values, Some(full.limit))
}

/// What is still odd about her after the changes.
fn without(hypothesis: Hypothesis, changes: &[Change]) -> Hypothesis {
    let cures = |change: &Change| match hypothesis {
        Hypothesis::PackLost | Hypothesis::PoorPacks => *change == Change::SoundPacks,
        Hypothesis::PoorJoint => matches!(change, Change::Cable(_)),
        Hypothesis::HeldBack => *change == Change::LimitsAsStated,
        Hypothesis::OtherRatio | Hypothesis::BeltSlips | Hypothesis::BeltGives => {
            matches!(change, Change::Ratio(_))
        }
        Hypothesis::OtherPitch => matches!(change, Change::NewPropeller { .. }),
        Hypothesis::WeakMotor
        | Hypothesis::Nothing
        | Hypothesis::OneDrive
        | Hypothesis::OtherTurns
        | Hypothesis::OnePackRead
        | Hypothesis::KilometresRead
        | Hypothesis::MilesRead
        | Hypothesis::MetresRead
        | Hypothesis::OtherLoads
        | Hypothesis::MotorAmps => false,
    };
    if changes.iter().any(cures) { Hypothesis::Nothing } else { hypothesis }
}

/// Puts a change into `boat`; `stated` is the boat as her document has her. New work has an error of its own.
fn carry_out(change: Change, boat: &mut Boat, stated: &Boat, sampler: Sampler, number: u64) {
    /// 80 % band of a pitch from a propeller shop, and of a new propeller.
    const SHOP: f64 = 0.015;
    const FOUNDRY: f64 = 0.025;
    let sampled = |what: &str, spread: Spread| spread.at_deviate(sampler.deviate(name_number(what), number));
    let surface = |what: &str, condition: FoulingCondition| sampled(what, condition.sand_height_spread());
    match change {
        Change::CleanBottom => {
            let clean = surface("remedy bottom", FoulingCondition::AsApplied);
            boat.bottom_sand_height_m = clean.min(boat.bottom_sand_height_m);
        }
        Change::CleanBlades => {
            let clean = surface("remedy blades", FoulingCondition::CleanPolished);
            boat.blades_sand_height_m = clean.min(boat.blades_sand_height_m);
        }
        Change::Repitch(by_m) => {
            boat.propeller.pitch_m =
                (boat.propeller.pitch_m + by_m) * sampled("remedy pitch", Spread::relative(1.0, SHOP));
        }
        Change::NewPropeller { diameter_m, pitch_m } => {
            boat.propeller.diameter_m = diameter_m;
            boat.propeller.pitch_m = pitch_m * sampled("remedy new pitch", Spread::relative(1.0, FOUNDRY));
            boat.blades_sand_height_m = surface("remedy blades", FoulingCondition::CleanPolished);
        }
        Change::Ratio(ratio) => boat.drive_line.ratio = ratio,
        Change::Cells(cells) => more_cells(boat, cells),
        Change::SoundPacks => boat.bank.groups.clone_from(&stated.bank.groups),
        Change::Cable(ohm) => boat.bank.cable_resistance_ohm = ohm,
        Change::LimitsAsStated => boat.controller = stated.controller,
    }
}

fn more_cells(boat: &mut Boat, cells: u32) {
    let Some(before) = boat.bank.groups.first().map(|group| group.cells_in_series) else { return };
    let factor = f64::from(cells) / f64::from(before.max(1));
    for group in &mut boat.bank.groups {
        group.resistance_ohm = group.resistance_ohm.map(|ohm| ohm * factor);
        group.low_voltage_v = group.low_voltage_v.map(|volts| volts * factor);
        group.cells_in_series = cells;
    }
    boat.controller.undervoltage_v = boat.controller.undervoltage_v.map(|volts| volts * factor);
}
