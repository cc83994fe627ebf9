//! What the runs carry: for hours and for minutes, with all packs and with one lost, charging too.
//! Not for: what a short circuit draws (`fault`).

use super::harness::{CHARGER, CONTROLLER, Harness, PANELS, Service};
use super::network::{Network, Source, WARM};
use crate::boat::{Boat, BoatSpec};
use crate::drive::Cooling;
use crate::spread::{Sampler, quantiles};
use crate::steady::{Ask, PreparedBoat, State};

/// Currents and powers that the drive asks of the wiring at its limits; where each drive has a bank of its own, of one of
/// them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Demand {
    /// Out of the bank for hours \[A\]: full throttle held, at the charge as stated or at the reserve, whichever is more,
    /// and as much that one boat in ten passes it, since a conductor is not chosen for the middle case.
    pub hours_a: f64,
    /// Out of the bank for minutes \[A\]: what the controller is set to and the standing loads.
    pub minutes_a: f64,
    /// Motor current for hours \[A\]: of full throttle held, and of creep; one boat in ten passes it.
    pub phase_hours_a: f64,
    /// Motor current for minutes \[A\]: what the controller is set to.
    pub phase_minutes_a: f64,
    /// Power at the bank's terminals at full throttle \[W\].
    pub power_w: f64,
    /// Speed that the resistance of the cables, motor's leads with them, costs at full throttle \[m/s\].
    pub speed_lost_m_s: f64,
    /// Volts of the turning motor at full throttle \[V\].
    pub motor_v: f64,
    /// Heat of motor and controllers at full throttle, where it goes into the air \[W\].
    pub heat_w: [f64; 2],
    /// How many drives she has.
    pub drives: u32,
    /// No steady state was found: hours are the controller's limits.
    pub is_limit: bool,
}

/// Samples of the boat of which one in ten passes the currents for hours.
const SAMPLES: u64 = 200;

/// Full throttle held, and creep.
struct Held {
    full: State,
    motor_v: f64,
    creep_a: f64,
}

impl Held {
    fn of(prepared: &PreparedBoat) -> Option<Self> {
        let full = prepared.solve_limited(1.0, |_| true).ok()?.state;
        let shaft_rad_s = std::f64::consts::TAU * full.shaft_rev_s * prepared.drive_line().ratio;
        // Creep: the least that a throttle gives, where a lever that sets torque still sends its amperes.
        let creep = prepared.solve(Ask::Speed(CREEP_M_S)).ok();
        Some(Self {
            motor_v: prepared.motor().open_circuit_voltage_v(shaft_rad_s),
            creep_a: creep.map_or(0.0, |bound| bound.state.motor.current_a),
            full,
        })
    }

    /// Of `boat` in the hull of `prepared`.
    fn in_hull_of(prepared: &PreparedBoat, boat: &Boat) -> Option<Self> {
        Self::of(&prepared.with_drive_of(boat).ok()?.value)
    }

    /// Bank's and motor's current for hours \[A\].
    fn hours_a(boat: &Boat, prepared: &PreparedBoat) -> Option<[f64; 2]> {
        let now = Self::of(prepared)?;
        let mut low = boat.clone();
        low.bank.state_of_charge = boat.reserve.min(boat.bank.state_of_charge);
        let at_reserve = Self::in_hull_of(prepared, &low).map_or(0.0, |held| held.full.bank_a);
        Some([now.full.bank_a.max(at_reserve), now.full.motor.current_a.max(now.creep_a)])
    }
}

impl Demand {
    /// That of `spec`.
    #[must_use]
    pub fn of(spec: &BoatSpec) -> Self {
        let boat = &spec.boat;
        let drives = u32::from(boat.drives.fitted());
        let banks = f64::from(boat.bank.banks.max(1));
        let limit_a = boat.controller.battery_current_limit_a * f64::from(boat.drives.running.max(1)) / banks;
        let phase_minutes_a = boat.controller.phase_current_limit_a;
        let bank_v = boat.bank.prepare().map_or(48.0, |bank| bank.open_circuit_v);
        let minutes_a = limit_a + boat.house_power_w / bank_v / banks;
        let prepared = PreparedBoat::new(boat).ok().map(|noted| noted.value);
        let held = prepared
            .and_then(|prepared| Some((Held::of(&prepared)?, Held::hours_a(boat, &prepared)?, prepared)));
        let Some((now, [hours_a, phase_a], prepared)) = held else {
            return Self {
                hours_a: minutes_a,
                minutes_a,
                phase_hours_a: phase_minutes_a,
                phase_minutes_a,
                power_w: limit_a * bank_v * banks,
                speed_lost_m_s: 0.0,
                motor_v: 0.0,
                heat_w: [0.0; 2],
                drives,
                is_limit: true,
            };
        };
        let mut without = boat.clone();
        (without.bank.cable_resistance_ohm, without.motor.leads_ohm) = (0.0, 0.0);
        let faster =
            Held::in_hull_of(&prepared, &without).map_or(now.full.speed_m_s, |held| held.full.speed_m_s);
        let sampler = Sampler::new(1);
        let of_sample = |sample| {
            let boat = spec.sample(sampler, sample);
            Held::hours_a(&boat, &PreparedBoat::new(&boat).ok()?.value)
        };
        let sampled: Vec<[f64; 2]> = (0..SAMPLES).filter_map(of_sample).collect();
        let passed_by_one_in_ten = |which: usize, expected_a: f64| {
            let mut amperes: Vec<f64> = sampled.iter().map(|currents| currents[which]).collect();
            quantiles(&mut amperes).map_or(expected_a, |spread| spread.p90.max(expected_a))
        };
        let hours_a = passed_by_one_in_ten(0, hours_a) / banks;
        Self {
            hours_a,
            minutes_a: minutes_a.max(hours_a),
            phase_hours_a: passed_by_one_in_ten(1, phase_a),
            phase_minutes_a,
            power_w: now.full.bank_power_w(),
            speed_lost_m_s: (faster - now.full.speed_m_s).max(0.0),
            motor_v: now.motor_v,
            heat_w: heat_w(boat, &now.full),
            drives,
            is_limit: false,
        }
    }
}

/// Heat of motors (none that goes into water) and controllers \[W\].
fn heat_w(boat: &Boat, full: &State) -> [f64; 2] {
    let motors_w = full.drives * (full.motor.copper_loss_w + full.motor.iron_loss_w);
    [if boat.motor.cooling == Cooling::Water { 0.0 } else { motors_w }, full.controller_loss_w]
}

/// Speed of creeping \[m/s\].
const CREEP_M_S: f64 = 0.5;

/// What one cable carries; of cables of each pack the one that carries most.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Carried {
    /// For hours \[A\].
    pub hours_a: f64,
    /// For minutes \[A\].
    pub minutes_a: f64,
    /// For hours with one pack lost, where that is more \[A\].
    pub one_lost_a: f64,
    /// What the protection of the pack lets out whose own run it is, where its sheet tells it \[A\].
    pub pack_limit_a: Option<f64>,
    /// Whether its load is known at all: of a branch whose own load nobody told it is not.
    pub is_known: bool,
}

/// Load over which a fuse is rated.
const IN_HAND: f64 = 1.25;

/// Current below which a run is taken for one that nothing was told of \[A\].
const NOTHING_A: f64 = 1e-6;

impl Carried {
    /// For hours, with all packs or with one lost, whichever is more \[A\]; `None` where its load is not known.
    #[must_use]
    pub fn worst_hours_a(&self) -> Option<f64> {
        self.is_known.then_some(self.hours_a.max(self.one_lost_a))
    }

    /// The least that its fuse may be rated \[A\]: a quarter above the hours, and the minutes. Past what a pack's own protection
    /// lets out nothing flows for long, so that no fuse of its run has to carry more; `None` where its load is not known.
    #[must_use]
    pub fn fuse_load_a(&self) -> Option<f64> {
        let at_most = |amperes: f64| amperes.min(self.pack_limit_a.unwrap_or(f64::INFINITY));
        Some((IN_HAND * at_most(self.worst_hours_a()?)).max(at_most(self.minutes_a)))
    }

    /// For minutes \[A\]; `None` where its load is not known.
    #[must_use]
    pub fn known_minutes_a(&self) -> Option<f64> {
        self.is_known.then_some(self.minutes_a)
    }
}

/// What each cable of `harness` carries; `packs_a` is what the protection of each pack lets out, where its sheet tells it.
#[must_use]
pub fn carried(
    harness: &Harness,
    network: &Network,
    packs_ohm: &[f64],
    packs_a: &[Option<f64>],
    demand: &Demand,
) -> Vec<Carried> {
    let mut found = vec![Carried::default(); harness.cables.len()];
    let mut note = |amperes: f64, lost: Option<usize>, put: fn(&mut Carried) -> &mut f64| {
        let source = |(pack, ohm): (usize, &f64)| {
            (lost != Some(pack)).then_some(Source { emf_v: 0.0, resistance_ohm: *ohm })
        };
        let sources: Vec<Option<Source>> = packs_ohm.iter().enumerate().map(source).collect();
        let is_lost = |run: usize| lost.is_some() && network.runs[run].pack == lost;
        let mut circuit = network.circuit(harness, &sources, WARM, is_lost);
        let Some(controller) = network.node(CONTROLLER) else { return };
        let told: f64 = told_loads(harness, network).map(|(_, load_a)| load_a).sum();
        circuit.pushed.push((controller, -(amperes - told).max(0.0)));
        circuit.pushed.extend(told_loads(harness, network).map(|(node, load_a)| (node, -load_a)));
        let packs_on = sources.iter().flatten().count();
        let Ok(solution) = circuit.solve() else { return };
        for (place, run) in network.runs.iter().enumerate().filter(|(place, _)| !is_lost(*place)) {
            let amperes = network.run_a(&solution, packs_on, place).abs();
            let slot = put(&mut found[run.cable]);
            *slot = slot.max(amperes);
        }
    };
    note(demand.hours_a, None, |c| &mut c.hours_a);
    note(demand.minutes_a, None, |c| &mut c.minutes_a);
    if packs_ohm.len() > 1 {
        (0..packs_ohm.len()).for_each(|pack| note(demand.hours_a, Some(pack), |c| &mut c.one_lost_a));
    }
    for run in network.runs.iter().filter(|run| (1..=network.packs).contains(&run.from)) {
        // Of packs that are not alike the one that lets out most.
        let (carried, limit_a) = (&mut found[run.cable], packs_a[run.from - 1]);
        carried.pack_limit_a = match (carried.pack_limit_a, limit_a) {
            (Some(one), Some(other)) => Some(f64::max(one, other)),
            (one, other) => one.or(other),
        };
    }
    for (cable, carried) in harness.cables.iter().zip(&mut found) {
        if cable.service == Service::Phase {
            let beside = harness.abreast(cable, demand.drives);
            (carried.hours_a, carried.minutes_a) =
                (demand.phase_hours_a / beside, demand.phase_minutes_a / beside);
        }
        let own = cable
            .load_a
            .or((cable.from == CHARGER || cable.to == CHARGER).then_some(harness.charger_a).flatten())
            .or((cable.from == PANELS || cable.to == PANELS).then_some(harness.panels_a).flatten());
        if let Some(load_a) = own {
            carried.hours_a = carried.hours_a.max(load_a);
            carried.minutes_a = carried.minutes_a.max(load_a);
        }
        carried.is_known = own.is_some() || carried.minutes_a > NOTHING_A;
    }
    found
}

/// Loads that the document tells of runs, at the far end of those that feed no other run.
fn told_loads<'a>(harness: &'a Harness, network: &'a Network) -> impl Iterator<Item = (usize, f64)> + 'a {
    network.runs.iter().filter_map(|run| {
        let cable = &harness.cables[run.cable];
        let is_end = !network.runs.iter().any(|other| other.from == run.to);
        let is_drawn = cable.service != Service::Charging && run.pack.is_none() && is_end;
        Some((run.to, cable.load_a.filter(|_| is_drawn)?))
    })
}
