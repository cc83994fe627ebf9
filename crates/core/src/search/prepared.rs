//! A search made ready: the space, what is demanded, and everything that does not depend on the
//! propeller. Not for: running it (`run`).

use super::choice::{Costs, Prices, present_bank};
use super::curve::{Supply, Train};
use super::demand::NODES;
use super::limits::{Cause, Demands};
use super::space::{Space, fit_bank, packs_mass_kg, speed_share};
use crate::battery::{PackGroup, PreparedBank, TOUCH_LIMIT_V};
use crate::boat::Boat;
use crate::boat::{BoatSpec, Fittings};
use crate::drive::{Controller, Motor};
use crate::hull::nodes::FROUDE_STEP;
use crate::notice::{Notice, Severity};
use crate::possible::{Impossible, positive};
use crate::propeller::installation::{Service, largest_diameter_m};
use crate::propeller::series::TWO_BLADED;
use crate::steady::{BoatError, PreparedBoat};

/// Number of cruising speeds.
pub const CRUISE_SPEEDS: usize = 3;

/// Why a search cannot begin.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SearchError {
    /// A figure that cannot be.
    #[error(transparent)]
    Impossible(#[from] Impossible),
    /// The boat as she is cannot be computed.
    #[error("{0}")]
    Boat(#[from] BoatError),
    /// An axis of the space is empty.
    #[error("there is nothing to try: no {axis}; give at least one")]
    Nothing {
        /// Which axis.
        axis: &'static str,
    },
    /// A cruising speed that the hull method does not cover.
    #[error(
        "a cruising speed of {asked_m_s:.2} m/s lies beyond {limit_m_s:.2} m/s, where the hull method's published range \
         ends; ask for less"
    )]
    BeyondHull {
        /// Asked \[m/s\].
        asked_m_s: f64,
        /// Fastest covered \[m/s\].
        limit_m_s: f64,
    },
}

/// A search, ready to run.
///
/// The boat's displacement and trim stay as they are: a heavier or lighter bank is weighed but does not
/// sink her. Field weakening is left out, because it ties the motor to the bank; where the motor has it
/// the search finds less top speed than she has.
#[derive(Debug, Clone)]
pub struct Search {
    pub(super) base: Boat,
    /// She as she is, whose hull all candidates share.
    pub(super) present: PreparedBoat,
    pub(super) space: Space,
    pub(super) demands: Demands,
    pub(super) cruise_m_s: [f64; CRUISE_SPEEDS],
    /// Which of the cruising speeds is the fastest. Every share rises with speed, so it decides.
    pub(super) fastest_cruise: usize,
    /// Speeds from the fastest cruising speed to the end of the hull method, at most [`NODES`].
    pub(super) grid_m_s: Vec<f64>,
    pub(super) machines: Vec<Motor>,
    /// By machine, then reduction.
    pub(super) trains: Vec<Train>,
    /// By machine, then cells, then packs.
    pub(super) supplies: Vec<Supply>,
    /// Mass of the packs by cells, then packs \[kg\].
    pub(super) bank_mass_kg: Vec<f64>,
    pub(super) costs: Costs,
    /// Share of the touch limit by cells.
    pub(super) touch: Vec<f64>,
    /// Share of the motor's speed limit by machine, then cells.
    pub(super) motor_speed: Vec<f64>,
    /// Highest rest voltage of any bank \[V\].
    pub(super) highest_v: f64,
    has_prices: bool,
    fittings: Fittings,
    notices: Vec<Notice>,
}

/// The search leaves field weakening out.
const WITHOUT_WEAKENING: Notice = Notice::Remark {
    severity: Severity::Weak,
    text: "The search leaves field weakening out; with it she is somewhat faster than shown.",
    source: "common practice, no source",
};
/// Generic ratings.
const GENERIC_MOTORS: Notice = Notice::Remark {
    severity: Severity::Weak,
    text: "Motors other than hers are typical ratings from memory: before one is bought, put its plate into the document and \
           ask again.",
    source: "from memory",
};
/// Displacement.
const DISPLACEMENT_STAYS: Notice = Notice::Remark {
    severity: Severity::Note,
    text: "All candidates float as she does now: what packs and motor weigh more or less is shown, but does not sink or trim \
           her. Packs are weighed by their energy, from memory.",
    source: "from memory",
};
/// Another voltage.
const OTHER_VOLTAGE: Notice = Notice::Remark {
    severity: Severity::Note,
    text: "At another voltage the controller is taken as one of the same currents made for it, and the packs as more or \
           fewer of the same cells.",
    source: "common practice, no source",
};
/// Above the touch limit.
const ABOVE_TOUCH_LIMIT: Notice = Notice::Remark {
    severity: Severity::Caution,
    text: "Some banks here are above 60 V when full: direct current of that voltage can kill. Lock off, prove dead, keep to \
           the rules for high voltage, and leave the work to a qualified person.",
    source: "iec60598-2008",
};
/// Nothing is known of the room.
const ROOM_UNKNOWN: Notice = Notice::Remark {
    severity: Severity::Weak,
    text: "Neither aperture nor tip clearance is given, so nothing larger than the propeller that she has is tried; give \
           propeller.aperture_height or propeller.tip_clearance.",
    source: "common practice, no source",
};

impl Search {
    /// Prepares the search of `space` around the boat of `spec` as expected. The first of
    /// `cruise_m_s` is the one by which candidates are judged; all must be held for hours.
    /// # Errors
    /// [`SearchError`].
    pub fn new(
        spec: &BoatSpec,
        space: Space,
        demands: Demands,
        cruise_m_s: [f64; CRUISE_SPEEDS],
        prices: Option<&Prices>,
    ) -> Result<Self, SearchError> {
        check(&space, &cruise_m_s)?;
        let base = spec.boat.clone();
        let prepared = PreparedBoat::new(&base)?.value;
        let fastest_m_s = prepared.fastest_m_s();
        let fastest_cruise =
            (0..CRUISE_SPEEDS).fold(0, |best, i| if cruise_m_s[i] > cruise_m_s[best] { i } else { best });
        let from_m_s = cruise_m_s[fastest_cruise];
        if from_m_s >= fastest_m_s {
            return Err(SearchError::BeyondHull { asked_m_s: from_m_s, limit_m_s: fastest_m_s });
        }
        let grid_m_s = speed_row(&prepared, from_m_s);
        let mut machines = Vec::new();
        let mut trains = Vec::new();
        for machine in &space.machines {
            let motor = machine.plate.motor().map_err(BoatError::from)?.value;
            let motor = Motor { field_weakening: None, leads_ohm: base.motor.leads_ohm, ..motor };
            for reduction in &space.reductions {
                let line = reduction.line(&base, &machine.plate);
                trains.push(Train::new(&base, &motor, &machine.controller, &line));
            }
            machines.push(motor);
        }
        let mut search = Self {
            costs: Costs::new(&space, &base, prices),
            demands,
            cruise_m_s,
            fastest_cruise,
            grid_m_s,
            machines,
            trains,
            supplies: Vec::new(),
            bank_mass_kg: Vec::new(),
            touch: Vec::new(),
            motor_speed: Vec::new(),
            highest_v: 0.0,
            has_prices: prices.is_some(),
            fittings: spec.fittings,
            notices: Vec::new(),
            present: prepared,
            base,
            space,
        };
        search.prepare_banks()?;
        search.remark(spec);
        Ok(search)
    }

    fn prepare_banks(&mut self) -> Result<(), SearchError> {
        let mut banks = Vec::new();
        for &cells in &self.space.cells {
            let mut full_v = 0.0;
            for &packs in &self.space.packs {
                let mut boat = self.base.clone();
                fit_bank(&mut boat, cells, packs);
                let bank = boat.bank.prepare().map_err(BoatError::from)?;
                self.highest_v = self.highest_v.max(bank.open_circuit_v);
                let group = boat.bank.groups[0];
                full_v = f64::from(cells) * group.chemistry.window().equalising_v;
                self.bank_mass_kg.push(boat.bank.groups.iter().map(packs_mass_kg).sum());
                banks.push((bank, group.nominal_voltage_v()));
            }
            self.touch.push(if self.demands.may_exceed_touch_limit { 0.0 } else { full_v / TOUCH_LIMIT_V });
        }
        for (machine, motor) in self.space.machines.iter().zip(&self.machines) {
            for (bank, nominal_v) in &banks {
                let controller = machine.controller_at(*nominal_v);
                self.supplies.push(supply(&self.base, bank, &controller, nominal_v / machine.nominal_v));
            }
            for of_cells in banks.chunks(self.space.packs.len()) {
                let rest_v = of_cells.first().map_or(0.0, |(bank, _)| bank.open_circuit_v);
                // What is aboard was chosen by somebody who knew its plate.
                let (cells_now, _) = present_bank(&self.base);
                let nominal_now = self.base.bank.groups.first().map_or(0.0, PackGroup::nominal_voltage_v);
                let is_hers = machine.is_present
                    && cells_now > 0
                    && of_cells.first().is_some_and(|(_, nominal_v)| (nominal_v - nominal_now).abs() < 1e-9);
                self.motor_speed.push(if is_hers { 0.0 } else { speed_share(motor, rest_v) });
            }
        }
        Ok(())
    }

    /// Mass of the motors and packs \[kg\].
    pub(super) fn mass_kg(&self, machine: usize, bank: usize) -> f64 {
        f64::from(self.base.drives.fitted()) * self.machines[machine].mass_kg + self.bank_mass_kg[bank]
    }

    fn remark(&mut self, spec: &BoatSpec) {
        let mut notices = self.base.drive_cautions();
        let cells_now = present_bank(&self.base).0;
        let touches = |cells: u32| {
            self.base
                .bank
                .groups
                .first()
                .is_some_and(|group| PackGroup { cells_in_series: cells, ..*group }.exceeds_touch_limit())
        };
        if self.demands.may_exceed_touch_limit && self.space.cells.iter().any(|&cells| touches(cells)) {
            notices.push(ABOVE_TOUCH_LIMIT);
        }
        if self.base.motor.field_weakening.is_some() {
            notices.push(WITHOUT_WEAKENING);
        }
        if self.space.machines.iter().any(|machine| !machine.is_present) {
            notices.push(GENERIC_MOTORS);
        }
        if self.space.cells.iter().any(|&cells| cells != cells_now) {
            notices.push(OTHER_VOLTAGE);
        }
        if self.space.propellers.iter().any(|propeller| propeller.blades == 2) {
            notices.push(TWO_BLADED);
        }
        if room_m(spec).is_none() {
            notices.push(ROOM_UNKNOWN);
        }
        notices.push(DISPLACEMENT_STAYS);
        self.notices = notices;
    }

    /// The boat as she is.
    #[must_use]
    pub fn base(&self) -> &Boat {
        &self.base
    }

    /// What else is known of her.
    pub(super) fn fittings(&self) -> &Fittings {
        &self.fittings
    }

    /// The candidates.
    #[must_use]
    pub fn space(&self) -> &Space {
        &self.space
    }

    /// What is demanded of them.
    #[must_use]
    pub fn demands(&self) -> &Demands {
        &self.demands
    }

    /// Cruising speeds, the one that counts first \[m/s\].
    #[must_use]
    pub fn cruise_m_s(&self) -> &[f64; CRUISE_SPEEDS] {
        &self.cruise_m_s
    }

    /// True when cost is money; otherwise it is the number of parts changed.
    #[must_use]
    pub fn has_prices(&self) -> bool {
        self.has_prices
    }

    /// What to read before the results are used.
    #[must_use]
    pub fn notices(&self) -> &[Notice] {
        &self.notices
    }

    /// The boat of candidate `index`.
    #[must_use]
    pub fn boat(&self, index: usize) -> Boat {
        self.space.boat(&self.base, index)
    }

    /// Number of a bank by its cells and packs.
    pub(super) fn bank(&self, cells: usize, packs: usize) -> usize {
        cells * self.space.packs.len() + packs
    }

    /// The bank `bank` behind the controller of `machine`.
    pub(super) fn supply(&self, machine: usize, bank: usize) -> &Supply {
        &self.supplies[machine * self.bank_mass_kg.len() + bank]
    }
}

/// Speeds from `from_m_s` to the end of the hull method. Four to each step of the Froude number at which
/// the residuary resistance has a node, so that no interval has a kink inside; evenly where there are other
/// nodes (a long towing table).
fn speed_row(prepared: &PreparedBoat, from_m_s: f64) -> Vec<f64> {
    const TO_A_NODE: f64 = 4.0;
    let fastest_m_s = prepared.fastest_m_s();
    let per_step = TO_A_NODE * prepared.hull().froude(1.0) / FROUDE_STEP;
    let first = (from_m_s * per_step).floor() + 1.0;
    let row: Vec<f64> = std::iter::once(from_m_s)
        .chain(
            (0..NODES)
                .map(|step| (first + step as f64) / per_step)
                .take_while(|&speed| speed < fastest_m_s - 1e-9),
        )
        .chain([fastest_m_s])
        .collect();
    if row.len() <= NODES {
        return row;
    }
    let step = (fastest_m_s - from_m_s) / (NODES - 1) as f64;
    (0..NODES).map(|node| (from_m_s + step * node as f64).min(fastest_m_s)).collect()
}

/// Largest propeller that leaves a tenth of its diameter clear in the boat of `spec` \[m\]; `None` when
/// neither aperture nor tip clearance is known.
#[must_use]
pub fn room_m(spec: &BoatSpec) -> Option<f64> {
    let by_aperture = spec.fittings.aperture_height_m.map(|height| largest_diameter_m(height, Service::Slow));
    let by_clearance = spec.fittings.tip_clearance_m.map(|clearance| {
        let present = spec.boat.propeller.diameter_m;
        (clearance + 0.5 * present) / (0.5 + Service::Slow.least_clearance_fraction())
    });
    match (by_aperture, by_clearance) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (one, other) => one.or(other),
    }
}

fn check(space: &Space, cruise_m_s: &[f64; CRUISE_SPEEDS]) -> Result<(), SearchError> {
    for (axis, length) in [
        ("propeller", space.propellers.len()),
        ("motor", space.machines.len()),
        ("reduction", space.reductions.len()),
        ("number of cells", space.cells.len()),
        ("number of packs", space.packs.len()),
    ] {
        if length == 0 {
            return Err(SearchError::Nothing { axis });
        }
    }
    let speeds = cruise_m_s.iter().map(|&speed| ("a cruising speed", speed));
    let ratios = space.reductions.iter().map(|reduction| ("a reduction", reduction.ratio));
    let counts =
        space.cells.iter().chain(&space.packs).map(|&count| ("a number of cells or packs", f64::from(count)));
    for (quantity, value) in speeds.chain(ratios).chain(counts) {
        positive(quantity, value)?;
    }
    Ok(())
}

/// The limits of bank and controller as powers of the drive.
///
/// Current limits of the packs and sags down to a cut-out are currents `I` of the whole bank, and
/// `P = I (E - I R)` less the standing loads up to half the rest voltage; the controller's own current
/// `A` is `P = A V` with `V² - (E - A R) V + P_house R = 0`.
fn supply(base: &Boat, bank: &PreparedBank, controller: &Controller, loss_scale: f64) -> Supply {
    let (rest_v, resistance_ohm, house_w) = (bank.open_circuit_v, bank.resistance_ohm(), base.house_power_w);
    let half_a = 0.5 * rest_v / resistance_ohm;
    let at_current = |current_a: f64| {
        let current_a = current_a.min(half_a);
        current_a * (rest_v - current_a * resistance_ohm) - house_w
    };
    let sag_a = |resistance_ohm: f64, cut_out_v: f64| ((rest_v - cut_out_v) / resistance_ohm).max(0.0);
    let low_a = sag_a(bank.packs_resistance_ohm, bank.low_voltage_v)
        .min(sag_a(resistance_ohm, controller.undervoltage_v.unwrap_or(0.0)));
    let running = f64::from(base.drives.running);
    let limit_a = running * controller.battery_current_limit_a;
    let half_b = 0.5 * (rest_v - limit_a * resistance_ohm);
    let under_root = half_b * half_b - house_w * resistance_ohm;
    let by_controller = if half_b > 0.0 && under_root >= 0.0 {
        limit_a * (half_b + under_root.sqrt())
    } else {
        // More than the bank gives at all: its own limits come first.
        f64::INFINITY
    };
    let most = [
        (Cause::Power, running * controller.power_limit_w.unwrap_or(f64::INFINITY)),
        (Cause::BatteryAmps, by_controller),
        (Cause::Bms, at_current(bank.discharge_limit_a)),
        (Cause::LowVoltage, at_current(low_a)),
    ];
    let most_w = most.iter().map(|(_, most_w)| *most_w).fold(f64::INFINITY, f64::min);
    Supply { rest_v, resistance_ohm, house_w, loss_scale, most, most_w }
}
