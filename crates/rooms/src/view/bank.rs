//! `bank` as JSON.

use schemars::JsonSchema;
use serde::Serialize;
use wakewright_core::battery::StoppedBy;
use wakewright_core::boat::BoatSpec;
use wakewright_core::study::{BankStudy, ChargeAtTemperature};
use wakewright_units::factors::{AMPERE_HOUR_C, HOUR_S, KNOT_M_S, WATT_HOUR_J, ZERO_CELSIUS_K};

use super::{Band, Envelope, FORMAT_VERSION, NoticeView};
use crate::text::{Paper, bank_finding};

/// What a bank holds and does.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct BankView {
    /// State of charge that stays.
    pub reserve_share: f64,
    /// The loads at which it is run down.
    pub loads: Vec<BankLoadView>,
    /// Energy at other temperatures, from full to the reserve.
    pub temperatures: Vec<TemperatureView>,
    /// Packs that share the current at full throttle.
    pub packs: Vec<PackView>,
    /// Full throttle as it empties.
    pub sag: Vec<SagView>,
    /// One pack lost; empty when there is only one.
    pub one_pack_lost: Vec<LostView>,
    /// Throttle up to which the others carry on when one pack drops out; absent when they do at every throttle asked, or
    /// there is only one.
    pub holds_up_to_throttle_share: Option<f64>,
    /// Charging from the reserve.
    pub charging: Vec<ChargingView>,
    /// After years.
    pub ageing: Vec<AgeView>,
    /// Banks used after the first.
    pub further: Vec<FurtherView>,
}

/// A load.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct BankLoadView {
    /// In words.
    pub load: String,
    /// Power.
    pub power_w: f64,
    /// Energy from full to the reserve at the bank's temperature; absent when it cannot carry the load.
    pub energy_wh: Option<Band>,
}

/// A temperature.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct TemperatureView {
    /// Of the cells.
    pub cells_c: f64,
    /// May be charged.
    pub may_charge: bool,
    /// No more than this into cold cells; absent when the cold does not limit it.
    pub charge_at_most_a: Option<f64>,
    /// One for each load; absent when it cannot carry it.
    pub energy_wh: Vec<Option<f64>>,
    /// Whether the reserve is reached before the packs cut out, one for each load.
    pub reaches_reserve: Vec<Option<bool>>,
}

/// A kind of pack.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PackView {
    /// How many.
    pub count: u32,
    /// Capacity of each as aged.
    pub capacity_ah: f64,
    /// Capacity left over that when new.
    pub health_share: f64,
    /// Current of each at full throttle.
    pub current_a: f64,
    /// Over its limit; 0 without one.
    pub share_of_limit: f64,
}

/// A state of charge.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SagView {
    /// State of charge.
    pub state_of_charge_share: f64,
    /// At rest.
    pub rest_v: f64,
    /// At full throttle.
    pub loaded_v: f64,
    /// Speed there.
    pub speed_kn: f64,
    /// Key of what stops her.
    pub binding_limit: &'static str,
}

/// A throttle position with one pack lost.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LostView {
    /// Throttle.
    pub throttle_share: f64,
    /// Speed with all packs.
    pub speed_before_kn: f64,
    /// Load at which the pack drops out.
    pub load_w: f64,
    /// What the others then give; absent when they cannot.
    pub rest_current_a: Option<f64>,
    /// The others hold.
    pub rest_holds: bool,
    /// Power that they can give.
    pub rest_power_w: f64,
    /// Speed left on them.
    pub speed_left_kn: Option<f64>,
    /// Key of what stops her then.
    pub binding_limit_left: Option<&'static str>,
}

/// A source of charge.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ChargingView {
    /// In words.
    pub source: String,
    /// Into the bank.
    pub power_w: f64,
    /// It gives that power for hours.
    pub is_steady: bool,
    /// To 80 %; absent when it takes no charge, or the source is not steady.
    pub to_80_percent_h: Option<f64>,
    /// To full.
    pub to_full_h: Option<f64>,
    /// Part of that in which the cells limit.
    pub taper_h: Option<f64>,
}

/// After years.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct AgeView {
    /// From now.
    pub years: f64,
    /// Capacity over that when new.
    pub health_share: Band,
    /// At cruising load.
    pub energy_wh: Option<Band>,
}

/// A further bank.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct FurtherView {
    /// Group in the document.
    pub group: String,
    /// Name-plate volts.
    pub nominal_v: f64,
    /// Full throttle on it.
    pub full_throttle_kn: Option<f64>,
    /// Hours at cruising speed.
    pub cruising_h: Option<f64>,
    /// Energy given at cruising speed.
    pub cruising_wh: Option<f64>,
}

/// The view of a study.
#[must_use]
pub fn bank_view(name: &str, spec: &BoatSpec, study: &BankStudy, paper: &Paper) -> Envelope<BankView> {
    let finding = bank_finding(name, spec, study, paper);
    let hours = |seconds: f64| seconds / HOUR_S;
    let loads = study.loads.iter().zip(&study.usable_j).map(|(load, energy)| BankLoadView {
        load: load.words.clone(),
        power_w: load.power_w,
        energy_wh: energy.map(|e| Band::of(e, WATT_HOUR_J)),
    });
    let temperatures = study.holds.iter().map(|row| TemperatureView {
        cells_c: row.temperature_k - ZERO_CELSIUS_K,
        may_charge: row.charging != ChargeAtTemperature::Nothing,
        charge_at_most_a: match row.charging {
            ChargeAtTemperature::AtMostA(amperes) => Some(amperes),
            ChargeAtTemperature::Nothing | ChargeAtTemperature::Free => None,
        },
        energy_wh: row.energy_j.iter().map(|e| e.map(|(energy, _)| energy / WATT_HOUR_J)).collect(),
        reaches_reserve: row.energy_j.iter().map(|e| e.map(|(_, stop)| stop == StoppedBy::Target)).collect(),
    });
    let result = BankView {
        reserve_share: spec.boat.reserve,
        loads: loads.collect(),
        temperatures: temperatures.collect(),
        packs: study
            .packs
            .iter()
            .map(|pack| PackView {
                count: pack.count,
                capacity_ah: pack.capacity_coulomb / AMPERE_HOUR_C,
                health_share: pack.health,
                current_a: pack.current_a,
                share_of_limit: pack.share_of_limit,
            })
            .collect(),
        sag: study
            .sag
            .iter()
            .map(|row| SagView {
                state_of_charge_share: row.state_of_charge,
                rest_v: row.rest_v,
                loaded_v: row.loaded_v,
                speed_kn: row.speed_m_s / KNOT_M_S,
                binding_limit: row.limit.key(),
            })
            .collect(),
        one_pack_lost: study
            .lost
            .iter()
            .map(|row| LostView {
                throttle_share: row.throttle,
                speed_before_kn: row.speed_m_s / KNOT_M_S,
                load_w: row.power_w,
                rest_current_a: row.outcome.current_a,
                rest_holds: row.outcome.holds,
                rest_power_w: row.outcome.power_available_w,
                speed_left_kn: row.left.map(|(speed, _)| speed / KNOT_M_S),
                binding_limit_left: row.left.map(|(_, limit)| limit.key()),
            })
            .collect(),
        holds_up_to_throttle_share: study.holds_up_to,
        charging: study
            .charging
            .iter()
            .map(|row| ChargingView {
                source: row.words.clone(),
                power_w: row.power_w,
                is_steady: row.is_steady,
                to_80_percent_h: row.to_eighty.map(|c| hours(c.duration_s)),
                to_full_h: row.to_full.map(|c| hours(c.duration_s)),
                taper_h: row.to_full.map(|c| hours(c.taper_s)),
            })
            .collect(),
        ageing: study
            .ageing
            .iter()
            .map(|row| AgeView {
                years: row.years,
                health_share: Band::of(row.health, 1.0),
                energy_wh: row.energy_j.map(|e| Band::of(e, WATT_HOUR_J)),
            })
            .collect(),
        further: study
            .further
            .iter()
            .map(|row| FurtherView {
                group: row.name.clone(),
                nominal_v: row.nominal_v,
                full_throttle_kn: row.full_throttle.map(|(speed, _)| speed / KNOT_M_S),
                cruising_h: row.cruising.map(|(seconds, _)| hours(seconds)),
                cruising_wh: row.cruising.map(|(_, joules)| joules / WATT_HOUR_J),
            })
            .collect(),
    };
    Envelope {
        format: "wakewright/bank".to_owned(),
        version: FORMAT_VERSION,
        boat: name.to_owned(),
        finding: finding.sentence,
        further: finding.further,
        result,
        notices: study.notices.iter().map(NoticeView::of).collect(),
    }
}
