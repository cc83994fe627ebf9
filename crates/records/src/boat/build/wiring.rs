//! The drive's wiring as the document has it. Not for: judging it (`wakewright_core::wiring`).

use wakewright_core::boat::BoatSpec;
use wakewright_core::constants::ZERO_CELSIUS_K;
use wakewright_core::field;
use wakewright_core::wiring::{
    CHARGER, CONTROLLER, Cable, Contactor, ControllerSide, Decisions, Fuse, FuseClass, Harness, Insulation,
    MOTOR, Network, PACK, PANELS, PanelString, PrechargeParts, Service, Size, Stands, Strand, WARM,
    read_studs,
};

use crate::boat::choice::{CableEnd, SwitchKind, VoltsKind};
use crate::boat::document::{BoatDocument, Row};

/// Air where no engine space is \[°C\].
const ROOM_C: f64 = 30.0;

/// The parts of `document`; where no cable is told, runs that resist as the bank's cables do.
#[must_use]
pub fn harness(document: &BoatDocument, spec: &BoatSpec) -> Harness {
    let boat = &spec.boat;
    let mut parts = told(document);
    parts.is_assumed = parts.cables.is_empty();
    if parts.is_assumed {
        let groups = &boat.bank.groups;
        let packs: u32 = groups.iter().map(|group| group.packs_in_parallel).sum();
        let packs = (packs / u32::from(boat.bank.banks.max(1))).max(1);
        parts.cables = Harness::assumed_runs(boat.bank.cable_resistance_ohm, packs);
        // What is told of fuses and switches of runs that are not told has nowhere to stand.
        (parts.fuses, parts.contactors) = (Vec::new(), Vec::new());
    }
    let charger_w = document.number(field::shore::CHARGER_POWER).map(|stated| stated.value_si);
    let bank_v = boat.bank.groups.first().map_or(48.0, |group| group.nominal_voltage_v());
    parts.charger_a = charger_w.map(|watts| watts / bank_v);
    parts.panels_a = (!parts.panels.is_empty()).then(|| panels_w(document) / bank_v);
    parts
}

/// Loop of the runs that `document` tells, from the packs to the controller, warm with joints \[ohm\]; `None` where
/// they do not reach it.
pub(super) fn told_loop_ohm(document: &BoatDocument, packs_ohm: &[f64]) -> Option<f64> {
    let parts = told(document);
    if parts.cables.is_empty()
        || parts.cables.iter().any(|cable| cable.service == Service::Propulsion && cable.size.is_none())
    {
        return None;
    }
    let network = Network::of(&parts, packs_ohm.len());
    network.loop_ohm(&parts, packs_ohm, network.node(CONTROLLER)?, WARM).ok()
}

/// The motor's leads of one drive that `document` tells, warm, there and back \[ohm\]; 0 where none are told with their size.
pub(super) fn told_leads_ohm(document: &BoatDocument) -> f64 {
    let drives = super::read_drives(document);
    told(document).leads_ohm(u32::from(drives.fitted()))
}

/// The parts that `document` tells and nothing that stands for others.
pub(in crate::boat) fn told(document: &BoatDocument) -> Harness {
    let number = |key: &str| document.number(key).map(|stated| stated.value_si);
    let flag = |key: &str| document.flag(key);
    let engine_c = number(field::wiring::ENGINE_SPACE).map_or(50.0, |kelvin| kelvin - ZERO_CELSIUS_K);
    let cables: Vec<Cable> =
        document.rows(field::cable::SECTION).iter().filter_map(|row| read_cable(row, engine_c)).collect();
    let place = |row: &Row<'_>, key: &str| {
        let name = row.text(key)?;
        cables.iter().position(|cable| is_same(&cable.name, &name))
    };
    let fuses = document
        .rows(field::fuse::SECTION)
        .iter()
        .filter_map(|row| read_fuse(row, place(row, field::fuse::CABLE)?))
        .collect();
    let contactors = document
        .rows(field::contactor::SECTION)
        .iter()
        .filter_map(|row| read_contactor(row, place(row, field::contactor::CABLE)?))
        .collect();
    Harness {
        cables,
        fuses,
        contactors,
        precharge: PrechargeParts {
            resistor_ohm: number(field::precharge::RESISTOR),
            pulse_j: number(field::precharge::PULSE_ENERGY),
            drawn_a: number(field::precharge::DRAWN),
            time_out_s: number(field::precharge::TIME_OUT),
            bleeder_ohm: number(field::precharge::BLEEDER),
            resistor_w: number(field::precharge::POWER),
            has_own_switch: flag(field::precharge::OWN_SWITCH),
        },
        decisions: Decisions {
            poles: document.chosen(field::wiring::POLES),
            are_both_poles_fused: flag(field::wiring::BOTH_POLES_FUSED),
            is_insulation_watched: flag(field::wiring::INSULATION_WATCHED),
            is_covered: flag(field::wiring::COVERED),
            has_isolator: flag(field::wiring::ISOLATOR),
            has_helm_stop: flag(field::wiring::HELM_STOP),
            has_warning: flag(field::wiring::WARNING),
            has_shunt: flag(field::wiring::SHUNT),
            shore_earth: document.chosen(field::wiring::SHORE_EARTH),
            are_converters_isolated: flag(field::wiring::CONVERTERS_ISOLATED),
            is_bank_space_dry: flag(field::wiring::DRY_SPACE),
            lugs_on_stud: document.integer(field::wiring::LUGS_ON_STUD),
            are_leads_alike: flag(field::wiring::LEADS_ALIKE),
        },
        controller: ControllerSide {
            capacitance_f: number(field::controller::CAPACITANCE),
            stops_at_v: number(field::controller::BRAKING_STOPS_AT),
            delay_s: number(field::controller::BRAKING_STOPS_IN),
            phase_inductance_h: number(field::motor::PHASE_INDUCTANCE),
        },
        charger_a: None,
        panels_a: None,
        panels: document.rows(field::panel::SECTION).iter().map(read_panel).collect(),
        stands: document.rows(field::mass::SECTION).iter().filter_map(read_stands).collect(),
        coldest_k: number(field::wiring::COLDEST).unwrap_or(ZERO_CELSIUS_K),
        is_assumed: false,
    }
}

/// Rated power of all panels \[W\].
fn panels_w(document: &BoatDocument) -> f64 {
    let rows = document.rows(field::panel::SECTION);
    let of = |row: &Row<'_>| {
        let watts = row.number(field::panel::POWER)?.value_si;
        Some(watts * f64::from(row.integer(field::panel::COUNT).unwrap_or(1)))
    };
    rows.iter().filter_map(of).sum()
}

/// Where a part of the wiring stands, of a mass that says which it is.
fn read_stands(row: &Row<'_>) -> Option<Stands> {
    let number = |key: &str| row.number(key).map(|stated| stated.value_si);
    Some(Stands {
        place: place_name(&row.text(field::mass::PLACE)?),
        aft_m: number(field::mass::AFT)?,
        height_m: number(field::mass::HEIGHT)?,
        aside_m: number(field::mass::ASIDE).unwrap_or(0.0),
    })
}

fn read_panel(row: &Row<'_>) -> PanelString {
    let number = |key: &str| row.number(key).map(|stated| stated.value_si);
    PanelString {
        count: row.integer(field::panel::COUNT).unwrap_or(1),
        in_series: row.integer(field::panel::IN_SERIES),
        open_v: number(field::panel::OPEN_VOLTAGE),
        regulator_v: number(field::panel::REGULATOR_VOLTAGE),
        is_fused: row.flag(field::panel::STRING_FUSED),
    }
}

/// Names of places and parts are the same whatever their capitals and blanks.
pub(in crate::boat) fn is_same(one: &str, other: &str) -> bool {
    place_name(one) == place_name(other)
}

/// A place's name as the network knows it; `packs` and `each pack` are `pack`.
pub(in crate::boat) fn place_name(text: &str) -> String {
    let words: Vec<String> = text.split_whitespace().map(str::to_lowercase).collect();
    match words.join(" ").as_str() {
        "packs" | "each pack" | "bank" => PACK.to_owned(),
        other => other.to_owned(),
    }
}

fn read_cable(row: &Row<'_>, engine_c: f64) -> Option<Cable> {
    let number = |key: &str| row.number(key).map(|stated| stated.value_si);
    let mut ends = (place_name(&row.text(field::cable::FROM)?), place_name(&row.text(field::cable::TO)?));
    if ends.1 == PACK {
        std::mem::swap(&mut ends.0, &mut ends.1);
    }
    let in_engine_space = row.flag(field::cable::ENGINE_SPACE).unwrap_or(false);
    let service = row.chosen(field::cable::SERVICE).unwrap_or_else(|| service_of(&ends));
    Some(Cable {
        name: row.text(field::cable::NAME)?,
        from: ends.0,
        to: ends.1,
        length_m: number(field::cable::LENGTH)?,
        size: row.text(field::cable::SIZE).and_then(|text| Size::parse(&text)),
        strand: row.chosen(field::cable::CONDUCTOR).unwrap_or(Strand::FlexibleTinned),
        insulation: row.chosen(field::cable::INSULATION).unwrap_or(Insulation::C90),
        air_c: if in_engine_space { engine_c } else { ROOM_C },
        together: row.integer(field::cable::TOGETHER).unwrap_or(2),
        is_sheathed: row.flag(field::cable::SHEATHED).unwrap_or(false),
        between_m: number(field::cable::SPACING).unwrap_or(0.03),
        service,
        load_a: number(field::cable::LOAD),
        end_stands_v: number(field::cable::STANDS),
        loop_ohm: None,
        studs: row.text(field::cable::STUD).and_then(|text| read_studs(&text)),
    })
}

/// What a run is for, by its ends.
fn service_of(ends: &(String, String)) -> Service {
    let touches = |name: &str| ends.0 == name || ends.1 == name;
    if touches(MOTOR) {
        Service::Phase
    } else if touches(CHARGER) || touches(PANELS) {
        Service::Charging
    } else if VITAL.iter().any(|name| touches(name)) {
        Service::Vital
    } else {
        Service::Propulsion
    }
}

/// Places that must go on.
const VITAL: [&str; 7] = ["radio", "navigation lights", "lights", "house", "12 v", "bilge pump", "pump"];

fn read_fuse(row: &Row<'_>, cable: usize) -> Option<Fuse> {
    let stated = |key: &str| row.stated_number(key).map(|stated| stated.value_si);
    Some(Fuse {
        name: row.text(field::fuse::NAME)?,
        cable,
        is_at_end: row.chosen(field::fuse::END) == Some(CableEnd::To),
        class: row.chosen::<FuseClass>(field::fuse::CLASS)?,
        rating_a: stated(field::fuse::RATING)?,
        direct_v: stated(field::fuse::VOLTAGE),
        has_alternating_volts_only: row.chosen(field::fuse::VOLTAGE_KIND) == Some(VoltsKind::Alternating),
        breaks_a: stated(field::fuse::INTERRUPTING),
        melting_current_a: stated(field::fuse::MELTING_CURRENT),
        let_through_a2s: stated(field::fuse::LET_THROUGH),
        l_over_r_s: stated(field::fuse::L_OVER_R),
        from_source_m: stated(field::fuse::DISTANCE),
    })
}

fn read_contactor(row: &Row<'_>, cable: usize) -> Option<Contactor> {
    let stated = |key: &str| row.stated_number(key).map(|stated| stated.value_si);
    Some(Contactor {
        name: row.text(field::contactor::NAME)?,
        cable,
        is_by_hand: row.chosen(field::contactor::KIND) == Some(SwitchKind::MainSwitch),
        make_a: stated(field::contactor::MAKE),
        break_a: stated(field::contactor::BREAK),
        break_v: stated(field::contactor::BREAK_VOLTAGE),
        continuous_a: stated(field::contactor::CONTINUOUS),
        breaks_both_ways: row.flag(field::contactor::BOTH_WAYS),
        coil_from: row.text(field::contactor::COIL_FROM).map(|name| place_name(&name)),
    })
}
