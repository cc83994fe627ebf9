//! The candidates as one numbered row: which propeller, motor, reduction, cells and packs stand behind a
//! number, and the boat that they make. Not for: what is worth trying (`stock`), judging it.

use super::stock::Machine;
use crate::battery::PackGroup;
use crate::boat::Boat;
use crate::drive::{DriveLine, MotorPlate, ReductionKind, motor::Motor};
use crate::fouling::FoulingCondition;
use crate::propeller::{Propeller, PropellerChange};

/// A reduction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reduction {
    /// Motor turns per propeller-shaft turn.
    pub ratio: f64,
    /// How motor and shaft are joined.
    pub kind: ReductionKind,
}

impl Reduction {
    /// A reduction of this ratio in `boat`: 1:1 is a coupling; another ratio loses what hers loses now,
    /// or what a toothed belt loses when she has none.
    #[must_use]
    pub fn for_boat(boat: &Boat, ratio: f64) -> Self {
        let present = &boat.drive_line;
        let is_as_now = (ratio - present.ratio).abs() < 1e-9;
        let kind = match present.kind {
            kind if is_as_now => kind,
            _ if (ratio - 1.0).abs() < 1e-9 => ReductionKind::Direct,
            ReductionKind::Direct => ReductionKind::ToothedBelt,
            kind => kind,
        };
        Self { ratio, kind }
    }

    /// The line of `boat` with this reduction behind the motor `plate`.
    #[must_use]
    pub fn line(&self, boat: &Boat, plate: &MotorPlate) -> DriveLine {
        let torques_n_m = (boat.motor.rated_torque_n_m(), plate.rated_torque_n_m());
        boat.drive_line.refitted(self.kind, self.ratio, torques_n_m)
    }
}

/// Everything that is tried: each with each.
#[derive(Debug, Clone, PartialEq)]
pub struct Space {
    /// Propellers.
    pub propellers: Vec<Propeller>,
    /// Motors with their controllers.
    pub machines: Vec<Machine>,
    /// Reductions.
    pub reductions: Vec<Reduction>,
    /// Cells in series.
    pub cells: Vec<u32>,
    /// Packs in parallel.
    pub packs: Vec<u32>,
}

/// Where a candidate stands: its number on each axis of the [`Space`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Place {
    /// Propeller.
    pub propeller: usize,
    /// Motor.
    pub machine: usize,
    /// Reduction.
    pub reduction: usize,
    /// Cells in series.
    pub cells: usize,
    /// Packs.
    pub packs: usize,
}

impl Space {
    /// Number of candidates.
    #[must_use]
    pub fn len(&self) -> usize {
        self.propellers.len() * self.per_propeller()
    }

    /// True when there is nothing to try.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Candidates that share a propeller; their numbers follow one another.
    #[must_use]
    pub fn per_propeller(&self) -> usize {
        self.machines.len() * self.reductions.len() * self.cells.len() * self.packs.len()
    }

    /// The place of candidate `index`, which must be below [`Self::len`].
    #[must_use]
    pub fn place(&self, index: usize) -> Place {
        let (rest, packs) = (index / self.packs.len(), index % self.packs.len());
        let (rest, cells) = (rest / self.cells.len(), rest % self.cells.len());
        let (rest, reduction) = (rest / self.reductions.len(), rest % self.reductions.len());
        let (propeller, machine) = (rest / self.machines.len(), rest % self.machines.len());
        Place { propeller, machine, reduction, cells, packs }
    }

    /// The number of the candidate at `place`.
    #[must_use]
    pub fn index(&self, place: Place) -> usize {
        let mut index = place.propeller * self.machines.len() + place.machine;
        index = index * self.reductions.len() + place.reduction;
        index = index * self.cells.len() + place.cells;
        index * self.packs.len() + place.packs
    }

    /// `base` with the choices of candidate `index`; what the search leaves alone stays.
    #[must_use]
    pub fn boat(&self, base: &Boat, index: usize) -> Boat {
        let place = self.place(index);
        let machine = &self.machines[place.machine];
        let reduction = self.reductions[place.reduction];
        let mut boat = base.clone();
        mount(&mut boat, &self.propellers[place.propeller]);
        boat.drive_line = reduction.line(base, &machine.plate);
        // Its leads are those that she has.
        boat.motor = MotorPlate { leads_ohm: base.motor.leads_ohm, ..machine.plate };
        // See `Search`: the search does without field weakening.
        boat.motor.field_weakening = None;
        fit_bank(&mut boat, self.cells[place.cells], self.packs[place.packs]);
        let nominal_v = boat.bank.groups.first().map_or(machine.nominal_v, PackGroup::nominal_voltage_v);
        boat.controller = machine.controller_at(nominal_v);
        boat
    }
}

/// Puts `propeller` on the shaft of `boat`. A new one comes with clean blades; work on the one she has
/// leaves them as they are.
pub(super) fn mount(boat: &mut Boat, propeller: &Propeller) {
    if PropellerChange::between(&boat.propeller, propeller) == PropellerChange::New {
        let clean_m = NEW_BLADES.sand_height_spread().expected();
        boat.blades_sand_height_m = boat.blades_sand_height_m.min(clean_m);
    }
    boat.propeller = *propeller;
}

/// State of the blades of a new propeller.
pub const NEW_BLADES: FoulingCondition = FoulingCondition::CleanPolished;

/// Gives `boat` a bank of `packs` packs of `cells` cells in series, each cell like those of her first
/// group. As many packs of as many cells as she has are those that she has, each as old as it is.
pub(super) fn fit_bank(boat: &mut Boat, cells: u32, packs: u32) {
    let Some(&kind) = boat.bank.groups.first() else { return };
    let packs_now: u32 = boat.bank.groups.iter().map(|group| group.packs_in_parallel).sum();
    if packs_now == packs && boat.bank.groups.iter().all(|group| group.cells_in_series == cells) {
        return;
    }
    let by = f64::from(cells) / f64::from(kind.cells_in_series);
    boat.bank.groups = vec![PackGroup {
        cells_in_series: cells,
        packs_in_parallel: packs,
        resistance_ohm: kind.resistance_ohm.map(|ohm| by * ohm),
        low_voltage_v: kind.low_voltage_v.map(|v| by * v),
        ..kind
    }];
    boat.bank.open_circuit_offset_v *= by;
}

/// Energy for each mass of a ready pack with case and management \[J/kg\]. From memory: iron phosphate
/// about 100, layered oxides 140, lead 33 Wh/kg.
fn pack_energy_per_mass_j_kg(group: &PackGroup) -> f64 {
    use crate::battery::Chemistry::{LeadAgm, LeadFlooded, LeadGel, Lfp, Nmc111, Nmc811};
    use wakewright_units::factors::WATT_HOUR_J as WH_J;
    match group.chemistry {
        Lfp => 100.0 * WH_J,
        Nmc111 | Nmc811 => 140.0 * WH_J,
        LeadFlooded | LeadAgm | LeadGel => 33.0 * WH_J,
    }
}

/// Mass of the packs of `group` \[kg\], estimated from their rated energy.
pub(super) fn packs_mass_kg(group: &PackGroup) -> f64 {
    let energy_j = group.capacity_coulomb * group.nominal_voltage_v() * f64::from(group.packs_in_parallel);
    energy_j / pack_energy_per_mass_j_kg(group)
}

/// Highest no-load speed over rated speed that is tried: makers allow 1.2 to 1.5 times the rating (from
/// memory).
pub(super) const HIGHEST_SPEED_OVER_RATED: f64 = 1.5;

/// No-load speed of `motor` at `bus_v` over the highest that is tried.
pub(super) fn speed_share(motor: &Motor, bus_v: f64) -> f64 {
    bus_v / motor.torque_constant_n_m_a / (HIGHEST_SPEED_OVER_RATED * motor.rated_speed_rad_s)
}
