//! What is asked of a bank: what it holds in the cold and at a load, how it sags, what happens when a
//! pack drops out, how long it charges, what is left of it after years.
//! Not for: the cells themselves (`battery`), intervals of speed and range (`summary`).

mod figure;
mod rows;
mod sheets;
mod used;

pub use rows::{
    AgeRow, ChargeAtTemperature, ChargeRow, ChargeSource, FurtherRow, HoldRow, LoadOnBank, LostRow, PackRow,
    SagRow,
};
pub use sheets::BANK_SHEETS;
pub use used::UsedRow;

use crate::battery::{Bank, FurtherBank, Load, StoppedBy, charge, discharge};
use crate::boat::{Boat, BoatSpec};
use crate::constants::ZERO_CELSIUS_K;
use crate::field;
use crate::notice::{Notice, push_once};
use crate::numeric::solve_bracketed;
use crate::sheet::Word;
use crate::spread::Interval;
use crate::spread::{Sampler, name_number};
use crate::steady::{Ask, BoatError, PreparedBoat, Taken};

/// Cell temperatures of the table, besides that of the bank \[K\].
const TEMPERATURES_K: [f64; 4] =
    [ZERO_CELSIUS_K - 10.0, ZERO_CELSIUS_K, ZERO_CELSIUS_K + 10.0, ZERO_CELSIUS_K + 25.0];
/// Years of the ageing table.
const YEARS: [f64; 4] = [0.0, 3.0, 6.0, 10.0];
/// State of charge up to which a quick charge goes.
const QUICK: f64 = 0.8;

/// What is asked.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BankQuestions {
    /// Throttle positions for the lost pack.
    pub throttles: Vec<f64>,
    /// Charging sources.
    pub sources: Vec<ChargeSource>,
    /// Charge counted since full \[C\].
    pub used_coulomb: Option<f64>,
}

/// One sample: power of each load, energy to the reserve for it, and health and energy of the cruising load after each of the
/// years.
#[derive(Debug, Clone, PartialEq)]
pub struct BankSample {
    loads_w: [f64; LOADS.len()],
    full_m_s: f64,
    energies_j: Vec<Option<f64>>,
    aged: Vec<(f64, Option<f64>)>,
    charges_coulomb: Vec<f64>,
}

impl BankSample {
    /// Share of what the bank gives from full to its reserve that so long at cruising speed takes \[s\].
    #[must_use]
    pub fn share_of_cruise(&self, duration_s: f64) -> Option<f64> {
        Some(self.loads_w[CRUISING] * duration_s / self.energies_j[CRUISING]?)
    }
}

/// Everything found about a bank.
#[derive(Debug, Clone)]
pub struct BankStudy {
    /// State of charge at which the drive stops.
    pub reserve: f64,
    /// Of the cells, as stated \[K\].
    pub temperature_k: f64,
    /// The loads, in their order.
    pub loads: Vec<LoadOnBank>,
    /// What they get out of it at other temperatures.
    pub holds: Vec<HoldRow>,
    /// Kinds of pack.
    pub packs: Vec<PackRow>,
    /// Full throttle as the bank empties.
    pub sag: Vec<SagRow>,
    /// One pack lost; empty when there is only one.
    pub lost: Vec<LostRow>,
    /// The throttle up to which the others carry on when one pack drops out; 0 when they do at none, `None` when
    /// there is only one, or they carry on at every throttle asked.
    pub holds_up_to: Option<f64>,
    /// Charging from the reserve.
    pub charging: Vec<ChargeRow>,
    /// After years.
    pub ageing: Vec<AgeRow>,
    /// Banks used after the first.
    pub further: Vec<FurtherRow>,
    /// What a count since full says of each bank; empty where none is told.
    pub used: Vec<UsedRow>,
    /// What to read first.
    pub notices: Vec<Notice>,
    /// Samples taken, and those without an answer.
    pub samples: Taken,
}

/// The loads at which a bank is run down.
const LOADS: [Word; 3] = [
    Word { key: "standing", words: "standing load" },
    Word { key: "cruising", words: "cruising" },
    Word { key: "full_throttle", words: "full throttle" },
];
/// Index of the load that ranges and ageing are given for.
pub const CRUISING: usize = 1;

/// Power that each of [`LOADS`] takes \[W\], and the speed at full throttle \[m/s\].
fn loads_w(prepared: &PreparedBoat, spec: &BoatSpec) -> Result<([f64; LOADS.len()], f64), BoatError> {
    let full = prepared.full_throttle()?.held.state;
    let cruise = spec.fittings.cruising_speed_m_s.filter(|speed| *speed < full.speed_m_s);
    let cruise_m_s = cruise.unwrap_or(0.7 * full.speed_m_s);
    let cruising = prepared.solve(Ask::Speed(cruise_m_s))?.state;
    Ok(([spec.boat.house_power_w, cruising.bank_power_w(), full.bank_power_w()], full.speed_m_s))
}

fn energy_j(bank: &Bank, power_w: f64, reserve: f64) -> Option<(f64, StoppedBy)> {
    if power_w <= 0.0 {
        return None;
    }
    let run = discharge(bank, Load::PowerW(power_w), 1.0, reserve).ok()?;
    (run.duration_s > 0.0).then_some((run.energy_j, run.stopped_by))
}

/// Energies of sample number `sample`; `None` when that sample contradicts itself.
#[must_use]
pub fn sample_bank(spec: &BoatSpec, sampler: Sampler, sample: u64) -> Option<BankSample> {
    let boat = spec.sample(sampler, sample);
    let prepared = PreparedBoat::new(&boat).ok()?.value;
    let own = BoatSpec { boat, uncertain: Vec::new(), fittings: spec.fittings, not_known: Vec::new() };
    let (loads_w, full_m_s) = loads_w(&prepared, &own).ok()?;
    let energy = |power_w: &f64| Some(energy_j(&own.boat.bank, *power_w, own.boat.reserve)?.0);
    let energies_j = loads_w.iter().map(energy).collect();
    let deviate = sampler.deviate(name_number(field::model::CALENDAR_LOSS), sample);
    let aged = YEARS.iter().map(|&years| aged_at(&own.boat, years, deviate, loads_w[CRUISING])).collect();
    let charges_coulomb = used::charges_coulomb(&own, &loads_w);
    Some(BankSample { loads_w, full_m_s, energies_j, aged, charges_coulomb })
}

/// Puts the answers of all samples together with the tables of the boat as expected.
/// # Errors
/// [`BoatError`] when the boat as expected has no answer.
pub fn summarise_bank(
    spec: &BoatSpec,
    questions: &BankQuestions,
    sampler: Sampler,
    samples: &[Option<BankSample>],
) -> Result<BankStudy, BoatError> {
    let noted = PreparedBoat::new(&spec.boat)?;
    let mut notices = spec.boat.drive_cautions();
    notices.extend(spec.boat.charging_cautions());
    for notice in spec.boat.bank.notices().into_iter().chain(spec.notices()) {
        push_once(&mut notices, notice);
    }
    let prepared = noted.value;
    let (boat, bank, reserve) = (&spec.boat, &spec.boat.bank, spec.boat.reserve);
    // The loads are the middle of the samples, as the powers of all rooms are.
    let (expected_w, expected_m_s) = loads_w(&prepared, spec)?;
    // Nor are its speeds others than those of other rooms: what volts and packs change is told of the boat as expected, and laid
    // on the middle of the samples.
    let mut sampled: Vec<f64> = samples.iter().flatten().map(|sample| sample.full_m_s).collect();
    let middle = Interval::over_or(expected_m_s, &mut sampled).value / expected_m_s;
    let middle_w = |i: usize| {
        let mut sampled: Vec<f64> = samples.iter().flatten().map(|s| s.loads_w[i]).collect();
        Interval::over_or(expected_w[i], &mut sampled).value
    };
    let loads_w: [f64; LOADS.len()] = std::array::from_fn(middle_w);
    let loads = LOADS.into_iter().zip(loads_w).enumerate().map(|(i, (load, power_w))| {
        let mut sampled = samples.iter().flatten().filter_map(|s| s.energies_j[i]).collect();
        let usable = energy_j(bank, power_w, reserve);
        LoadOnBank {
            load,
            power_w,
            usable_j: usable.map(|(value, _)| Interval::over_or(value, &mut sampled)),
        }
    });
    let full = prepared.full_throttle()?.held.state;
    let mut lost = lost_rows(&prepared, boat, &questions.throttles)?;
    for row in &mut lost {
        row.speed_m_s *= middle;
        row.left = row.left.map(|(speed, limit)| (speed * middle, limit));
    }
    let mut sag = sag_rows(boat);
    sag.iter_mut().for_each(|row| row.speed_m_s *= middle);
    let mut further: Vec<FurtherRow> = boat.further.iter().map(|f| further_row(spec, f)).collect();
    for row in &mut further {
        row.full_throttle = row.full_throttle.map(|(speed, limit)| (speed * middle, limit));
    }
    Ok(BankStudy {
        reserve,
        temperature_k: bank.temperature_k,
        holds: hold_rows(bank, &loads_w, reserve),
        packs: pack_rows(bank, full.bank_a),
        sag,
        holds_up_to: holds_up_to(&prepared, bank, &lost),
        lost,
        charging: charge_rows(bank, reserve, &questions.sources)?,
        ageing: age_rows(boat, loads_w[CRUISING], samples),
        further,
        used: questions.used_coulomb.map_or_else(Vec::new, |used| {
            let charges: Vec<Vec<f64>> =
                samples.iter().flatten().map(|s| s.charges_coulomb.clone()).collect();
            used::used_rows(spec, used, &charges)
        }),
        loads: loads.collect(),
        samples: Taken::of(samples, |i| spec.sample(sampler, i)),
        notices,
    })
}

fn hold_rows(bank: &Bank, loads_w: &[f64], reserve: f64) -> Vec<HoldRow> {
    let mut temperatures = TEMPERATURES_K.to_vec();
    if !temperatures.iter().any(|t| (t - bank.temperature_k).abs() < 0.5) {
        temperatures.push(bank.temperature_k);
        temperatures.sort_by(f64::total_cmp);
    }
    temperatures
        .into_iter()
        .map(|temperature_k| {
            let at = Bank { temperature_k, ..bank.clone() };
            HoldRow {
                temperature_k,
                charging: charging_at(&at),
                energy_j: loads_w.iter().map(|power_w| energy_j(&at, *power_w, reserve)).collect(),
            }
        })
        .collect()
}

fn charging_at(bank: &Bank) -> ChargeAtTemperature {
    let temperature_k = bank.temperature_k;
    let is_outside = bank
        .groups
        .iter()
        .map(|group| group.chemistry.temperatures())
        .any(|allowed| temperature_k < allowed.charge_low_k || temperature_k > allowed.charge_high_k);
    match bank.prepare() {
        _ if is_outside => ChargeAtTemperature::Nothing,
        Ok(now) if now.cold_charge_limit_a.is_finite() => {
            ChargeAtTemperature::AtMostA(now.cold_charge_limit_a)
        }
        _ => ChargeAtTemperature::Free,
    }
}

fn pack_rows(bank: &Bank, full_a: f64) -> Vec<PackRow> {
    let currents = bank.pack_currents_a(full_a);
    bank.groups
        .iter()
        .zip(currents)
        .map(|(group, current_a)| PackRow {
            count: group.packs_in_parallel,
            capacity_coulomb: group.capacity_coulomb * group.health,
            health: group.health,
            current_a,
            share_of_limit: group.bms_discharge_a.map_or(0.0, |limit| current_a / limit),
        })
        .collect()
}

fn sag_rows(boat: &Boat) -> Vec<SagRow> {
    (1..=10)
        .rev()
        .map(|tenth| f64::from(tenth) / 10.0)
        .filter_map(|state_of_charge| {
            let mut at = boat.clone();
            at.bank.state_of_charge = state_of_charge;
            let prepared = PreparedBoat::new(&at).ok()?.value;
            let held = prepared.full_throttle().ok()?.held;
            Some(SagRow {
                state_of_charge,
                rest_v: prepared.bank().open_circuit_v,
                loaded_v: held.state.bank_v,
                speed_m_s: held.state.speed_m_s,
                limit: held.limit,
            })
        })
        .collect()
}

fn lost_rows(prepared: &PreparedBoat, boat: &Boat, throttles: &[f64]) -> Result<Vec<LostRow>, BoatError> {
    let mut rows = Vec::new();
    for &throttle in throttles {
        let Ok(before) = prepared.solve(Ask::Throttle(throttle)) else { continue };
        let power_w = before.state.bank_power_w();
        let Some(outcome) = boat.bank.after_one_pack_trips(power_w)? else { return Ok(rows) };
        let rest = boat.bank.without_pack(outcome.group).map(|bank| Boat { bank, ..boat.clone() });
        let left = rest
            .and_then(|rest| PreparedBoat::new(&rest).ok()?.value.solve(Ask::Throttle(throttle)).ok())
            .map(|bound| (bound.state.speed_m_s, bound.limit));
        rows.push(LostRow { throttle, power_w, speed_m_s: before.state.speed_m_s, outcome, left });
    }
    Ok(rows)
}

/// The throttle at which the others begin to trip when one pack drops out.
fn holds_up_to(prepared: &PreparedBoat, bank: &Bank, lost: &[LostRow]) -> Option<f64> {
    /// A hundredth of a per cent of the throttle.
    const WITHIN: f64 = 1e-4;
    let trips = lost.iter().find(|row| !row.outcome.holds)?.throttle;
    let carried = lost.iter().rev().find(|row| row.outcome.holds && row.throttle < trips);
    let spare_w = |throttle: f64| {
        let load_w = prepared.solve(Ask::Throttle(throttle)).ok()?.state.bank_power_w();
        Some(bank.after_one_pack_trips(load_w).ok()??.power_available_w - load_w)
    };
    // A throttle at which she makes no way asks for nothing.
    let spare_or_all = |throttle: f64| spare_w(throttle).unwrap_or(f64::MAX);
    Some(solve_bracketed(spare_or_all, carried.map_or(0.0, |row| row.throttle), trips, WITHIN).unwrap_or(0.0))
}

fn charge_rows(bank: &Bank, reserve: f64, sources: &[ChargeSource]) -> Result<Vec<ChargeRow>, BoatError> {
    let to = |source: &ChargeSource, to: f64| {
        if source.is_steady && reserve < to { charge(bank, source.power_w, reserve, to) } else { Ok(None) }
    };
    let mut rows = Vec::new();
    for source in sources.iter().filter(|source| source.power_w > 0.0) {
        let to_eighty = to(source, QUICK)?;
        // No more goes in than the packs take.
        let taken_w =
            to_eighty.as_ref().map_or(f64::INFINITY, |charging| charging.energy_j / charging.duration_s);
        rows.push(ChargeRow {
            words: source.words.clone(),
            power_w: source.power_w.min(taken_w),
            is_steady: source.is_steady,
            to_eighty,
            to_full: to(source, 1.0)?,
        });
    }
    Ok(rows)
}

/// Health of the first packs and energy of the cruising load after `years`.
fn aged_at(boat: &Boat, years: f64, deviate: f64, cruising_w: f64) -> (f64, Option<f64>) {
    let aged = boat.bank.after_years(years, deviate);
    let health = aged.groups.first().map_or(0.0, |group| group.health);
    (health, energy_j(&aged, cruising_w, boat.reserve).map(|(energy, _)| energy))
}

fn age_rows(boat: &Boat, cruising_w: f64, samples: &[Option<BankSample>]) -> Vec<AgeRow> {
    let row = |(i, &years): (usize, &f64)| {
        let (health, energy) = aged_at(boat, years, 0.0, cruising_w);
        let sampled = || samples.iter().flatten().map(|sample| sample.aged[i]);
        AgeRow {
            years,
            health: Interval::over_or(health, &mut sampled().map(|(health, _)| health).collect()),
            energy_j: energy.map(|e| Interval::over_or(e, &mut sampled().filter_map(|(_, e)| e).collect())),
        }
    };
    YEARS.iter().enumerate().map(row).collect()
}

/// The boat on a further bank: she switches over when the one before is at its reserve.
fn further_row(spec: &BoatSpec, further: &FurtherBank) -> FurtherRow {
    let reserve = further.reserve(spec.boat.reserve);
    let boat = Boat { bank: further.bank.clone(), further: Vec::new(), reserve, ..spec.boat.clone() };
    // One of other volts than a drive's is told of and moves nothing.
    let prepared = PreparedBoat::new(&boat).ok().map(|noted| noted.value);
    let prepared = prepared.filter(|_| further.follows(&spec.boat.bank));
    let full = prepared.as_ref().and_then(|p| p.full_throttle().ok()).map(|full| full.held);
    let cruise = spec.fittings.cruising_speed_m_s;
    let cruising = prepared.as_ref().zip(cruise).and_then(|(prepared, speed)| {
        let bound = prepared.solve(Ask::Speed(speed)).ok()?;
        let is_in_reach = bound.usage.iter().all(|&share| share <= 1.0 + 1e-9);
        let run = boat.discharge_at(bound.state.bank_power_w()).filter(|_| is_in_reach)?;
        Some((run.duration_s, run.energy_j))
    });
    FurtherRow {
        name: further.name.clone(),
        nominal_v: further.nominal_v(),
        full_throttle: full.map(|held| (held.state.speed_m_s, held.limit)),
        cruising,
    }
}
