//! Packs and bank of the document.

use super::electric::read_drives;
use super::{Gathered, fault};
use crate::boat::choice::CellKind;
use crate::boat::document::{BoatDocument, Row};
use crate::boat::fault::Fault;
use wakewright_core::battery::{Bank, Chemistry, PackGroup, likely_cells};
use wakewright_core::boat::Input;
use wakewright_core::field;
use wakewright_core::notice::Notice;
use wakewright_core::spread::Spread;

/// Resistance of a pack that is not stated, as a factor on its estimate.
const PACK_RESISTANCE_SPREAD: Spread = Spread { p10: 0.67, median: 1.0, p90: 1.5, is_logarithmic: true };

/// Cables and joints that are not stated \[ohm\]: two metres of 35 mm² each way with lugs, fuse and
/// switch; from memory.
const CABLE_SPREAD: Spread = Spread { p10: 0.0015, median: 0.0025, p90: 0.0045, is_logarithmic: true };

/// Band of cables whose runs are told: joints, and copper that is warmer or cooler than taken. Judgement.
const CABLES_TOLD: f64 = 0.25;

pub(super) fn read_bank(document: &BoatDocument, gathered: &mut Gathered) -> Result<Bank, Vec<Fault>> {
    let rows = document.rows(field::pack::SECTION);
    let mut groups: Vec<PackGroup> =
        rows.iter().filter(|row| row.is_of_drive()).map(read_pack).collect::<Result<_, _>>()?;
    if groups.is_empty() {
        let advice = "Give one [[pack]] table the group \"drive\", or leave the group out.";
        return Err(fault(
            document,
            field::pack::SECTION,
            "no pack belongs to the group \"drive\"".to_owned(),
            advice,
        ));
    }
    gathered.field(document, Input::StateOfCharge);
    let is_stated = rows.iter().all(|row| row.stated_number(field::pack::RESISTANCE).is_some());
    let resistance =
        if is_stated { relative_spread(&rows, field::pack::RESISTANCE) } else { PACK_RESISTANCE_SPREAD };
    gathered.add(Input::PackResistance, resistance, (0.2, 5.0));
    let (capacity, health) =
        (relative_spread(&rows, field::pack::CAPACITY), relative_spread(&rows, field::pack::HEALTH));
    let both = Spread::factor(
        1.0 - (1.0 - capacity.p10).hypot(1.0 - health.p10),
        1.0,
        1.0 + (capacity.p90 - 1.0).hypot(health.p90 - 1.0),
    );
    gathered.add(Input::PackCapacity, both, (0.3, 1.5));
    // Where each drive has a bank of its own, the runs that are told are those of one of them.
    let drives = read_drives(document);
    let for_each = document.flag(field::bank::FOR_EACH_DRIVE).unwrap_or(false) && drives.fitted() == 2;
    if for_each {
        groups = in_kinds(&groups);
        if groups.iter().any(|group| group.packs_in_parallel % 2 != 0) {
            return Err(fault(
                document,
                field::bank::FOR_EACH_DRIVE,
                "the packs cannot be shared out evenly between two drives".to_owned(),
                "Describe all packs of both drives, an even number of each kind.",
            ));
        }
    }
    let one_bank = |group: &PackGroup| group.packs_in_parallel / if for_each { 2 } else { 1 };
    let packs_ohm: Vec<f64> = groups
        .iter()
        .flat_map(|group| vec![group.reference_resistance_ohm(); one_bank(group) as usize])
        .collect();
    // As measured, else what the runs come to that are told, else as usual.
    let cable = match document.number(field::bank::CABLE_RESISTANCE) {
        Some(stated) => stated.spread,
        None => super::wiring::told_loop_ohm(document, &packs_ohm)
            .map_or(CABLE_SPREAD, |ohm| Spread::relative(ohm, CABLES_TOLD)),
    };
    let mut banks = 1;
    if for_each {
        if drives.idle > 0 {
            for group in &mut groups {
                group.packs_in_parallel /= 2;
            }
        } else {
            banks = 2;
        }
    }
    gathered.add(Input::CableResistance, cable, (0.0, 0.5));
    let number = |name: &str| document.number(name).map(|stated| stated.value_si);
    Ok(Bank {
        cable_resistance_ohm: cable.median,
        banks,
        temperature_k: number(field::bank::TEMPERATURE).unwrap_or(288.15),
        groups,
        ..Bank::of(
            PackGroup::new(Chemistry::Lfp, 16, 1.0, 1),
            number(field::bank::STATE_OF_CHARGE).unwrap_or(1.0),
        )
    })
}

/// True where a lithium pack of the drive does not state what its protection lets out.
pub(super) fn has_usual_discharge_limit(document: &BoatDocument) -> bool {
    let is_unstated = |row: &Row<'_>| {
        let is_lead =
            row.chosen::<CellKind>(field::pack::CHEMISTRY).is_some_and(|kind| kind.chemistry().is_lead());
        row.is_of_drive() && !is_lead && row.number(field::pack::BMS_DISCHARGE).is_none()
    };
    document.rows(field::pack::SECTION).iter().any(is_unstated)
}

/// True where a pack of the drive states no resistance, under load or in the first instant.
pub(super) fn has_usual_resistance(document: &BoatDocument) -> bool {
    let is_unstated = |row: &Row<'_>| {
        let stated = [field::pack::RESISTANCE, field::pack::INSTANT_RESISTANCE];
        row.is_of_drive() && stated.iter().all(|key| row.stated_number(key).is_none())
    };
    document.rows(field::pack::SECTION).iter().any(is_unstated)
}

/// Says what was taken in its place.
pub(super) fn usual_limit_notice(document: &BoatDocument, bank: &Bank) -> Option<Notice> {
    let taken_a = bank.groups.iter().filter_map(|group| group.bms_discharge_a).reduce(f64::min)?;
    has_usual_discharge_limit(document).then(|| Notice::NotKnown {
        quantity: "discharge limit of the pack",
        words: format!("{taken_a:.0} A"),
        basis: "an hour's rate, as packs of cells often let out; it stands on the pack's sheet",
        source: "common practice, no source",
    })
}

/// The packs with those that are alike taken together.
fn in_kinds(groups: &[PackGroup]) -> Vec<PackGroup> {
    let mut kinds: Vec<PackGroup> = Vec::new();
    for group in groups {
        let is_alike = |kind: &&mut PackGroup| {
            PackGroup { packs_in_parallel: group.packs_in_parallel, ..**kind } == *group
        };
        match kinds.iter_mut().find(is_alike) {
            Some(kind) => kind.packs_in_parallel += group.packs_in_parallel,
            None => kinds.push(*group),
        }
    }
    kinds
}

/// The widest spread of a column of packs, as a factor on its value.
fn relative_spread(rows: &[Row<'_>], name: &str) -> Spread {
    let spreads = rows.iter().filter_map(|row| row.number(name)).map(|stated| stated.spread);
    let factors = spreads.map(|spread| (spread.p10 / spread.median, spread.p90 / spread.median));
    let (low, high) = factors.fold((1.0_f64, 1.0_f64), |(l, h), (low, high)| (l.min(low), h.max(high)));
    Spread::factor(low, 1.0, high)
}

pub(super) fn read_pack(row: &Row<'_>) -> Result<PackGroup, Vec<Fault>> {
    let number = |name: &str| row.number(name).map(|stated| stated.value_si);
    let chemistry = row.chosen(field::pack::CHEMISTRY).unwrap_or(CellKind::Lfp).chemistry();
    let capacity = row.needed(field::pack::CAPACITY)?;
    let cells_in_series = match row.integer(field::pack::CELLS_IN_SERIES) {
        Some(cells) => cells,
        None => likely_cells(chemistry, row.needed(field::pack::VOLTAGE)?),
    };
    Ok(PackGroup {
        resistance_ohm: number(field::pack::RESISTANCE),
        instant_ohm: row.stated_number(field::pack::INSTANT_RESISTANCE).map(|stated| stated.value_si),
        health: number(field::pack::HEALTH).unwrap_or(1.0),
        // One hour's rate for lithium; lead has no protection of its own.
        bms_discharge_a: number(field::pack::BMS_DISCHARGE)
            .or((!chemistry.is_lead()).then_some(capacity / 3600.0)),
        bms_charge_a: number(field::pack::BMS_CHARGE),
        ..PackGroup::new(chemistry, cells_in_series, capacity, row.integer(field::pack::COUNT).unwrap_or(1))
    })
}
