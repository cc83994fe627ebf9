//! Panels, place, loads, week, shore power and further banks of the document. Not for: the drive's bank.

use std::f64::consts::FRAC_PI_2;
use wakewright_core::field;

use wakewright_core::battery::{Bank, FurtherBank};
use wakewright_core::boat::{BoatSpec, Input};
use wakewright_core::energy::{EnergyPlan, HouseLoad, Shore, Unsure, UnsurePanel, Week};
use wakewright_core::notice::Notice;
use wakewright_core::solar::climate::Climate;
use wakewright_core::solar::panel::{USUAL_GAMMA_1_K, quarter_rad};
use wakewright_core::solar::position::extraterrestrial_day_w_m2;
use wakewright_core::solar::{Fixing, Lies, Mount, Panel, Place};
use wakewright_core::spread::{Spread, name_number};
use wakewright_core::study::ChargeSource;

use super::bank::read_pack;
use super::fault;
use crate::boat::build_months::read_months;
use crate::boat::choice::{Lying, PanelMount, Side};
use crate::boat::document::{BoatDocument, Row};
use crate::boat::fault::Fault;

/// Wind over the panels \[m/s\] when nothing is said: a light breeze. From memory.
const USUAL_WIND_M_S: f64 = 3.0;
/// Air over the panels in a bright noon \[K\]: 20 °C.
const USUAL_AIR_K: f64 = 293.15;
/// Sockets of the charging table \[A\].
const SOCKETS_A: [f64; 4] = [6.0, 10.0, 16.0, 32.0];
/// Days of the year in the middle of each month.
const MIDDLE_DAYS: [u32; 12] = [17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344];

/// What a year of `year` is computed for.
/// # Errors
/// The section `place` when it is missing, or a place without climate.
pub fn energy_plan(document: &BoatDocument, spec: &BoatSpec, year: i64) -> Result<EnergyPlan, Vec<Fault>> {
    document.require(&[field::place::SECTION])?;
    let number = |key: &str| document.number(key).map(|stated| stated.value_si);
    let place = Place {
        latitude_rad: document.needed(field::place::LATITUDE)?,
        longitude_rad: document.needed(field::place::LONGITUDE)?,
    };
    let (clearness, climate_source) = read_climate(document, &place)?;
    let lies = match document.chosen(field::place::LIES).unwrap_or(Lying::AtAnchor) {
        Lying::Berth => Lies::Heading(number(field::place::HEADING).unwrap_or(0.0)),
        Lying::AtAnchor => Lies::Swinging,
    };
    let loss = number(field::week::REGENERATION_LOSS)
        .filter(|_| document.flag(field::week::REGENERATES).unwrap_or(true));
    let motoring_m_s = number(field::week::MOTORING_SPEED).or(spec.fittings.cruising_speed_m_s);
    let mut notices = Vec::new();
    if motoring_m_s.is_none() {
        notices.push(Notice::Estimated {
            quantity: "speed when motoring",
            value: 2.0,
            unit: "m/s",
            basis: "the want of a better",
            source: "common practice, no source",
        });
    }
    Ok(EnergyPlan {
        place,
        lies,
        clearness,
        climate_source,
        air_k: spec.boat.sea.air_temperature_k,
        wind_m_s: USUAL_WIND_M_S,
        panels: document.rows(field::panel::SECTION).iter().map(read_panel).collect(),
        unsure_panels: document.rows(field::panel::SECTION).iter().map(read_unsure).collect(),
        house: house_loads(document, spec),
        reserve: spec.boat.reserve,
        week: Week {
            days: document.integer(field::week::DAYS).unwrap_or(0),
            leaves_at: document.integer(field::week::LEAVES_AT).unwrap_or(10),
            motoring_s: number(field::week::MOTORING).unwrap_or(0.0),
            motoring_m_s: motoring_m_s.unwrap_or(2.0),
            sailing_s: number(field::week::SAILING).unwrap_or(0.0),
            sailing_m_s: number(field::week::SAILING_SPEED).unwrap_or(2.5),
            regeneration_loss_m_s: loss,
        },
        shore: Shore {
            charge_w: shore_w(document, number(field::shore::CURRENT).unwrap_or(16.0)),
            plug_in_at: number(field::shore::PLUG_IN_AT).unwrap_or(spec.boat.reserve),
            until: number(field::shore::UNTIL).unwrap_or(0.8).max(spec.boat.reserve),
        },
        year,
        notices,
    })
}

/// Power of a single panel of the first kind \[W\]: what "one more panel" means.
#[must_use]
pub fn panel_unit_w(document: &BoatDocument) -> Option<f64> {
    document
        .rows(field::panel::SECTION)
        .first()
        .and_then(|row| row.number(field::panel::POWER))
        .map(|stated| stated.value_si)
}

/// So far from its own latitude a climate is still taken [deg]. Judgement: clearness changes little over
/// a few degrees, seasons and hemispheres do.
const CLIMATE_REACHES_DEG: f64 = 8.0;

fn read_climate(document: &BoatDocument, place: &Place) -> Result<([f64; 12], &'static str), Vec<Fault>> {
    let months = |address: &str, highest: f64| {
        document.text(address).map(|text| {
            read_months(text, highest)
                .map_err(|problem| fault(document, address, problem, "Write twelve numbers from January."))
        })
    };
    if let Some(clearness) = months(field::place::CLEARNESS, 0.85) {
        return Ok((clearness?, "as stated"));
    }
    if let Some(sun) = months(field::place::SUN, 12.0) {
        let sun = sun?;
        let mut clearness = [0.0; 12];
        for (month, clear) in clearness.iter_mut().enumerate() {
            let above = extraterrestrial_day_w_m2(place.latitude_rad, MIDDLE_DAYS[month]) * 0.024;
            // No light above the air, no clearness: polar night.
            *clear = if above > 1e-6 { sun[month] / above } else { 0.0 };
        }
        if let Some(month) = clearness.iter().position(|clear| *clear > 0.85) {
            let problem = format!("in month {} more light would arrive than the air lets through", month + 1);
            return Err(fault(
                document,
                field::place::SUN,
                problem,
                "Give kWh a day on a flat square metre.",
            ));
        }
        return Ok((clearness, "as stated"));
    }
    match document.chosen(field::place::CLIMATE).map(Climate::row) {
        Some(climate) => {
            let latitude_deg = place.latitude_rad.to_degrees();
            if (latitude_deg - climate.latitude_deg).abs() > CLIMATE_REACHES_DEG {
                let problem = format!(
                    "the climate of {} (latitude {:.0}°) does not hold at latitude {latitude_deg:.0}°",
                    climate.name, climate.latitude_deg
                );
                let advice =
                    "Give place.clearness or place.sun of the place itself, or correct the latitude.";
                return Err(fault(document, field::place::CLIMATE, problem, advice));
            }
            Ok((climate.clearness, climate.source))
        }
        None => {
            let advice = "Give place.climate, place.clearness or place.sun.";
            Err(fault(document, field::place::SECTION, "the place has no climate".to_owned(), advice))
        }
    }
}

fn read_panel(row: &Row<'_>) -> Panel {
    let number = |name: &str| row.number(name).map(|stated| stated.value_si);
    let count = f64::from(row.integer(field::panel::COUNT).unwrap_or(1));
    let tilt_rad = number(field::panel::TILT).unwrap_or(0.0);
    let towards_rad = quarter_rad(match row.chosen(field::panel::FACES).unwrap_or(Side::Stern) {
        Side::Bow => 0,
        Side::Starboard => 1,
        Side::Stern => 2,
        Side::Port => 3,
    });
    let pivoting = |is_tracking| Mount::Pivoting {
        // Turning across a side means about the axis square to it.
        axis_rad: towards_rad + FRAC_PI_2,
        limit_rad: tilt_rad,
        is_tracking,
    };
    let mount = match row.chosen(field::panel::MOUNT).unwrap_or(PanelMount::Flat) {
        PanelMount::Flat => Mount::Flat,
        PanelMount::Tilted => Mount::Tilted { tilt_rad, towards_rad },
        PanelMount::SetByHand => pivoting(false),
        PanelMount::Tracking => pivoting(true),
    };
    let [morning, afternoon] = shades(row).map(|shade| shade.median);
    let mut by_hour = [morning; 24];
    by_hour[12..].fill(afternoon);
    Panel {
        rated_w: number(field::panel::POWER).unwrap_or(0.0) * count,
        mount,
        fixing: row.chosen(field::panel::FIXING).unwrap_or(Fixing::Free),
        shade: by_hour,
        bifaciality: number(field::panel::BIFACIAL).unwrap_or(0.0),
        gamma_1_k: USUAL_GAMMA_1_K,
    }
}

/// Share shaded before and after noon.
fn shades(row: &Row<'_>) -> [Spread; 2] {
    let spread = |name: &str| row.number(name).map(|stated| stated.spread);
    let all_day = spread(field::panel::SHADE).unwrap_or(Spread::exact(0.1));
    [field::panel::SHADE_MORNING, field::panel::SHADE_AFTERNOON].map(|half| spread(half).unwrap_or(all_day))
}

/// How sure the panels of a row are.
fn read_unsure(row: &Row<'_>) -> UnsurePanel {
    let name = |key: &str| name_number(&row.address_of(key));
    let power = row.number(field::panel::POWER).map_or(Spread::exact(1.0), |stated| {
        let spread = stated.spread;
        let over = |power_w: f64| if spread.median > 0.0 { power_w / spread.median } else { 1.0 };
        Spread { p10: over(spread.p10), median: 1.0, p90: over(spread.p90), ..spread }
    });
    UnsurePanel {
        power: Unsure { what: name(field::panel::POWER), spread: power, possible: (0.0, 2.0) },
        shade: shades(row).map(|spread| Unsure {
            what: name(field::panel::SHADE),
            spread,
            possible: (0.0, 1.0),
        }),
    }
}

/// The loads by the hour; where none are stated, the standing load round the clock.
#[must_use]
pub fn house_loads(document: &BoatDocument, spec: &BoatSpec) -> Vec<HouseLoad> {
    let rows = document.rows(field::house::SECTION);
    if rows.is_empty() {
        // What is taken under way where nothing is stated says nothing of a boat that lies.
        if spec.fittings.has_usual_load {
            return Vec::new();
        }
        let standing = Input::HousePower;
        let sampled = spec.uncertain.iter().find(|uncertain| uncertain.input == standing);
        let power_w = Unsure {
            what: name_number(standing.key()),
            spread: sampled.map_or(Spread::exact(spec.boat.house_power_w), |uncertain| uncertain.spread),
            possible: sampled.map_or((0.0, f64::MAX), |uncertain| uncertain.possible),
        };
        return vec![HouseLoad { power_w, is_on: [true; 24] }];
    }
    let load = |row: &Row<'_>| HouseLoad {
        power_w: Unsure {
            what: name_number(&row.address_of(field::house::POWER)),
            spread: row.number(field::house::POWER).map_or(Spread::exact(0.0), |stated| stated.spread),
            possible: (0.0, f64::MAX),
        },
        is_on: hours_on(row),
    };
    rows.iter().map(load).collect()
}

/// The local hours in which a load is on.
fn hours_on(row: &Row<'_>) -> [bool; 24] {
    let (from, to) =
        (row.integer(field::house::FROM).unwrap_or(0), row.integer(field::house::TO).unwrap_or(24));
    std::array::from_fn(|hour| {
        let hour = hour as u32;
        if from < to { hour >= from && hour < to } else { hour >= from || hour < to }
    })
}

/// Mean power of the loads by the hour, and how sure it is; `None` when none are stated.
#[must_use]
pub fn mean_house_load(document: &BoatDocument) -> Option<Spread> {
    let rows = document.rows(field::house::SECTION);
    let mut mean = Spread::exact(0.0);
    let (mut below, mut above) = (0.0_f64, 0.0_f64);
    for row in &rows {
        let Some(stated) = row.number(field::house::POWER) else { continue };
        let share = hours_on(row).iter().filter(|is_on| **is_on).count() as f64 / 24.0;
        mean.median += share * stated.spread.median;
        // Loads are unsure each for itself.
        below = below.hypot(share * (stated.spread.median - stated.spread.p10));
        above = above.hypot(share * (stated.spread.p90 - stated.spread.median));
    }
    let band = Spread { p10: mean.median - below, p90: mean.median + above, ..mean };
    (!rows.is_empty()).then_some(band)
}

fn shore_w(document: &BoatDocument, current_a: f64) -> f64 {
    let number = |key: &str| document.number(key).map(|stated| stated.value_si);
    Shore::power_w(
        current_a,
        number(field::shore::VOLTAGE).unwrap_or(230.0),
        number(field::shore::CHARGER_EFFICIENCY).unwrap_or(0.9),
        number(field::shore::CHARGER_POWER),
    )
}

/// Sources of charge: sockets from 6 to 32 A through the charger, the generator, and what the panels give in a
/// bright noon, their shade counted.
#[must_use]
pub fn charging_sources(document: &BoatDocument) -> Vec<ChargeSource> {
    let number = |key: &str| document.number(key).map(|stated| stated.value_si);
    let steady = |words: String, power_w: f64| ChargeSource { words, power_w, is_steady: true };
    let mut sources: Vec<ChargeSource> = SOCKETS_A
        .iter()
        .map(|&amps| steady(format!("shore, {amps:.0} A"), shore_w(document, amps)))
        .collect();
    if let Some(generator_w) = number(field::shore::GENERATOR) {
        let through = generator_w * number(field::shore::CHARGER_EFFICIENCY).unwrap_or(0.9);
        let power_w = number(field::shore::CHARGER_POWER).map_or(through, |limit| through.min(limit));
        sources.push(steady("generator".to_owned(), power_w));
    }
    let panels: Vec<Panel> = document.rows(field::panel::SECTION).iter().map(read_panel).collect();
    if !panels.is_empty() {
        let power_w = panels.iter().map(|panel| panel.bright_noon_w(USUAL_AIR_K, USUAL_WIND_M_S)).sum();
        sources.push(ChargeSource { words: "panels, bright noon".to_owned(), power_w, is_steady: false });
    }
    sources
}

/// The groups of packs other than the drive's, each a bank of its own, in the order of the document.
pub(super) fn further_banks(document: &BoatDocument, drive: &Bank) -> Vec<FurtherBank> {
    let mut banks: Vec<FurtherBank> = Vec::new();
    for row in document.rows(field::pack::SECTION) {
        let Some(name) = row.text(field::pack::GROUP).filter(|_| !row.is_of_drive()) else { continue };
        let Ok(pack) = read_pack(&row) else { continue };
        match banks.iter_mut().find(|bank| bank.name == name) {
            Some(bank) => bank.bank.groups.push(pack),
            None => banks.push(FurtherBank {
                name,
                bank: Bank { groups: vec![pack], open_circuit_offset_v: 0.0, ..drive.clone() },
            }),
        }
    }
    banks
}
