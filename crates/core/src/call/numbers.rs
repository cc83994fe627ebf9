//! Volts and amps of a display as each part would have them: the bank's own network and the steady state.
//! Not for: answers in words (`weigh`).

use super::parts::{PARTS, STRANGE};
use crate::battery::Bank;
use crate::boat::BoatSpec;
use crate::drive::ReductionKind;
use crate::steady::PreparedBoat;

/// What a display shows in figures.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Read {
    /// Volts with the lever in neutral \[V\].
    pub rest_v: Option<f64>,
    /// Volts with the lever full ahead \[V\]; told with the amps.
    pub lever_v: Option<f64>,
    /// Amps with the lever full ahead \[A\].
    pub lever_a: Option<f64>,
}

/// What a call asks of the boat.
#[derive(Debug, Clone, PartialEq)]
pub struct CallBoat {
    /// Packs side by side.
    pub packs: u32,
    /// Drives that she has.
    pub drives: u8,
    /// How motor and shaft are joined, where it is told.
    pub reduction: Option<ReductionKind>,
    /// Highest volts of the bank \[V\].
    pub highest_v: f64,
    /// Volts at rest from empty to full, in equal steps of charge \[V\].
    pub rest_v: Vec<f64>,
    /// Packs and cables under load \[ohm\].
    pub packs_ohm: f64,
    /// Cables alone \[ohm\].
    pub cables_ohm: f64,
    /// Amps at full lever under way, held fast, and with nothing to turn \[A\].
    pub amps: Option<[f64; 3]>,
    /// What figures are expected to tell where something turns, and where nothing does: for each part some readings that it may
    /// give, for each of them how likely it is with each part, in the order of the list and at its end with none of them.
    pub figures: [Vec<Vec<Vec<f64>>>; 2],
}

/// Steps of charge.
const STEPS: usize = 25;
/// Charge up to which a bank is empty; own estimate, no source.
const EMPTY: f64 = 0.08;
/// Volts at rest of a bank that its packs have just cut off, as a share of those nearly empty; own estimate, no source.
const CUT_OUT_SHARE: f64 = 0.88;
/// Charge from which on it is taken that she was used; own estimate, no source.
const USED_FROM: f64 = 0.15;
/// What a display's volts are off, and amps against what was reckoned, as a share; own estimate, no source.
const VOLTS_OFF: f64 = 0.008;
const AMPS_OFF: f64 = 0.08;
/// Amps that count as none, as a share of those at full lever.
const NO_AMPS: f64 = 0.03;
/// Share of figures that are misread or of another moment.
const MISREAD: f64 = 0.08;
/// What a bad joint adds \[ohm\]: ten times a sound one of a quarter of a milliohm, and more. Own estimate.
const JOINT_OHM: [f64; 5] = [2.5e-3, 5e-3, 10e-3, 20e-3, 40e-3];
/// Or the volts that it takes at the amps told, up to this share of those at rest, each as likely: where the volts are
/// high or the amps few, no list of resistances reaches what no longer carries. Own estimate.
const JOINT_MOST: f64 = 0.5;
const JOINT_STEPS: usize = 50;
/// Volts lost that her packs and cables do not explain, as a share of those at rest, and heat \[W\], from which on
/// something burns. Own estimate.
const LOST_SHARE: f64 = 0.05;
const LOST_HEAT_W: f64 = 200.0;
/// Packs' resistance against what is reckoned: 80 % band of an estimate and its middle.
const PACKS_FACTOR: [f64; 3] = [0.75, 1.0, 1.35];

impl CallBoat {
    /// Of `spec`; amps are left out where she has no steady state.
    #[must_use]
    pub fn of(spec: &BoatSpec) -> Self {
        let (boat, bank) = (&spec.boat, &spec.boat.bank);
        let at = |step: usize| {
            let charge = step as f64 / (STEPS - 1) as f64;
            let bank = Bank { state_of_charge: charge, ..bank.clone() };
            bank.prepare().map(|ready| ready.open_circuit_v).ok()
        };
        let ready = bank.prepare().ok();
        let amps = PreparedBoat::new(boat).ok().and_then(|prepared| {
            let prepared = prepared.value;
            let full = prepared.full_throttle().ok()?.held.state.bank_a;
            let house_a = boat.house_power_w / prepared.bank().open_circuit_v;
            let motor = prepared.motor();
            let free_w = prepared.running()
                * (motor.drag_torque_n_m(motor.rated_speed_rad_s) * motor.rated_speed_rad_s
                    + boat.controller.fixed_loss_w);
            Some([full, prepared.bollard()?.bank_a, house_a + free_w / prepared.bank().open_circuit_v])
        });
        let mut found = Self {
            packs: bank.groups.iter().map(|group| group.packs_in_parallel).sum::<u32>()
                / u32::from(bank.banks.max(1)),
            drives: boat.drives.fitted(),
            reduction: spec.fittings.reduction,
            highest_v: bank.highest_charging_v(),
            rest_v: (0..STEPS).filter_map(at).collect(),
            packs_ohm: ready.as_ref().map_or(0.0, |ready| ready.packs_resistance_ohm),
            cables_ohm: ready.as_ref().map_or(0.0, |ready| ready.cable_resistance_ohm),
            amps,
            figures: Default::default(),
        };
        found.figures = [false, true].map(|stands| {
            let of = |part: &str| {
                found.readings(part, stands).iter().map(|read| found.all_likelihoods(read, stands)).collect()
            };
            PARTS.iter().map(|part| of(part.key)).collect()
        });
        found
    }

    fn all_likelihoods(&self, read: &Read, stands: bool) -> Vec<f64> {
        let parts = PARTS.iter().map(|part| part.key).chain([STRANGE]);
        parts.map(|part| self.likelihood(part, read, stands)).collect()
    }

    /// Some readings that a part may give.
    fn readings(&self, part: &str, stands: bool) -> Vec<Read> {
        let charges = self.charges(part);
        let Some([rest, ..]) = charges.get(charges.len() / 2..) else { return Vec::new() };
        let Some(by_steady) = self.amps else { return vec![Read { rest_v: Some(*rest), ..Read::default() }] };
        let ([low, high], none) = amps_of(part, by_steady, stands);
        let lost =
            if part == "pack_off" { f64::from(self.packs) / f64::from(self.packs.max(2) - 1) } else { 1.0 };
        let joint = if part == "joint" { JOINT_OHM[2] } else { 0.0 };
        let at = |amps: f64| Read {
            rest_v: Some(*rest),
            lever_v: Some(rest - amps * (self.packs_ohm * lost + self.cables_ohm + joint)),
            lever_a: Some(amps),
        };
        if none > 0.5 {
            vec![at(0.0)]
        } else {
            vec![at(low + 0.2 * (high - low)), at(low + 0.5 * (high - low)), at(low + 0.8 * (high - low))]
        }
    }

    /// Whether she can have this fault at all.
    #[must_use]
    pub fn can_have(&self, part: &str) -> bool {
        match part {
            "pack_off" => self.packs > 1,
            "belt" => !matches!(
                self.reduction,
                Some(ReductionKind::Direct | ReductionKind::Gear | ReductionKind::BevelLeg)
            ),
            _ => true,
        }
    }

    /// How likely the figures are with this part, against each other part, where something turns, or where all of it `stands`; 1 where
    /// none is told.
    #[must_use]
    pub fn likelihood(&self, part: &str, read: &Read, stands: bool) -> f64 {
        let [Some(&empty_v), Some(&full_v)] = [self.rest_v.first(), self.rest_v.last()] else { return 1.0 };
        let mut found = 1.0;
        if let Some(volts) = read.rest_v {
            let density = if volts < 0.5 * empty_v {
                none_shown(part) / (0.5 * empty_v)
            } else {
                let charges = self.charges(part);
                let near = |rest: &f64| normal(volts, *rest, VOLTS_OFF * rest);
                (1.0 - none_shown(part)) * charges.iter().map(near).sum::<f64>() / charges.len().max(1) as f64
            };
            found *= mixed(part, density, 1.3 * full_v);
        }
        if let (Some(volts), Some(amps)) = (read.lever_v, read.lever_a) {
            let mut density = 0.0;
            let mut count = 0.0;
            let lost = if part == "pack_off" {
                f64::from(self.packs) / f64::from(self.packs.max(2) - 1)
            } else {
                1.0
            };
            let joints = if part == "joint" { bad_joints_ohm(empty_v, amps) } else { vec![0.0] };
            for rest in self.charges(part) {
                for factor in PACKS_FACTOR {
                    for joint in &joints {
                        let loaded = rest - amps * (self.packs_ohm * factor * lost + self.cables_ohm + joint);
                        // Taken with the volts at rest where these are told, so that the charge is the same.
                        let weight =
                            read.rest_v.map_or(1.0, |told| normal(told, rest, VOLTS_OFF * rest) * rest);
                        density += weight * normal(volts, loaded, VOLTS_OFF * rest);
                        count += weight;
                    }
                }
            }
            found *= mixed(part, density / f64::max(count, 1e-12), 1.3 * full_v);
        }
        if let (Some(amps), Some(by_steady)) = (read.lever_a, self.amps) {
            let full = by_steady[0].max(1.0);
            let none_a = NO_AMPS * full;
            let ([low, high], none) = amps_of(part, by_steady, stands);
            let within = |low: f64, high: f64| {
                if (low..=high).contains(&amps) { 1.0 / (high - low).max(1e-9) } else { 0.0 }
            };
            let density = none * within(-none_a, none_a)
                + (1.0 - none) * within((1.0 - AMPS_OFF) * low, (1.0 + AMPS_OFF) * high + none_a);
            found *= mixed(part, density, 1.5 * by_steady[1].max(full));
        }
        found
    }

    /// Heat that something makes which is neither pack nor cable, by volts at rest and under load \[W\]; `None` where they
    /// are not told, or where packs at their weakest and one of them off explain them.
    #[must_use]
    pub fn unexplained_heat_w(&self, read: &Read) -> Option<f64> {
        let (rest, loaded, amps) = (read.rest_v?, read.lever_v?, read.lever_a?);
        let lost = f64::from(self.packs) / f64::from(self.packs.max(2) - 1);
        let explained_v = amps * (self.packs_ohm * PACKS_FACTOR[2] * lost + self.cables_ohm);
        let lost_v = rest - loaded - explained_v;
        let heat_w = lost_v * amps;
        (lost_v > LOST_SHARE * rest && heat_w > LOST_HEAT_W).then_some(heat_w)
    }

    /// Volts at rest that go with a part: of a bank that was used, from little to full; of an empty one, from what its packs cut out at and
    /// come back from up to nearly nothing left.
    fn charges(&self, part: &str) -> Vec<f64> {
        let at = |place: usize| self.rest_v.get(place).copied();
        let step = |charge: f64| (charge * (STEPS - 1) as f64).round() as usize;
        match (part, at(step(EMPTY))) {
            ("empty" | "cut_off", Some(low)) => {
                (0..8).map(|i| low * (CUT_OUT_SHARE + (1.0 - CUT_OUT_SHARE) * f64::from(i) / 7.0)).collect()
            }
            _ => self.rest_v.iter().skip(step(USED_FROM)).copied().collect(),
        }
    }
}

/// Bad joints: by the list, and by the volts that they take at these amps.
fn bad_joints_ohm(rest_v: f64, amps: f64) -> Vec<f64> {
    let by_volts = (1..=JOINT_STEPS)
        .map(|step| JOINT_MOST * step as f64 / JOINT_STEPS as f64 * rest_v / amps)
        .filter(|ohm| ohm.is_finite() && *ohm > 0.0);
    // As many of the one kind as of the other.
    let listed = JOINT_OHM.iter().copied().cycle().take(JOINT_STEPS);
    listed.chain(by_volts).collect()
}

/// Amps at full lever between which a part lets her take, and how likely none at all are; shares are own estimates, no source.
/// Where nothing turns none flow, whatever the part: that they do not tells nothing more of it.
fn amps_of(part: &str, [full, held, free]: [f64; 3], stands: bool) -> ([f64; 2], f64) {
    /// A shaft that is held may draw amps all the same.
    const HELD_FAST: [&str; 2] = ["rope", "bearing"];
    let of_full = |low: f64, high: f64| [low * full, high * full];
    let (amps, none) = match part {
        "growth" => (of_full(0.85, 1.1), 0.01),
        "display" => (of_full(0.85, 1.1), 0.6),
        "pack_off" => (of_full(0.5, 1.0), 0.03),
        "joint" => (of_full(0.3, 0.95), 0.1),
        "hot" => (of_full(0.2, 0.8), 0.1),
        "empty" => (of_full(0.2, 0.8), 0.05),
        "rope" => ([0.95 * full, held.max(1.35 * full)], 0.15),
        "bearing" => ([0.95 * full, held.max(1.3 * full)], 0.03),
        "belt" => ([free.min(0.1 * full), 0.65 * full], 0.02),
        "key" | "propeller" => ([free.min(0.05 * full), (2.0 * free).max(0.25 * full)], 0.02),
        "phase" | "sensor" | "crossed" => (of_full(0.05, 0.6), 0.25),
        "lever" => (of_full(0.1, 0.95), 0.7),
        _ => (of_full(0.0, 0.3), 0.95),
    };
    let still = if HELD_FAST.contains(&part) { 0.8 } else { 0.95 };
    (amps, if stands { f64::max(none, still) } else { none })
}

/// How likely it is that no volts are shown at all.
fn none_shown(part: &str) -> f64 {
    match part {
        "isolator" | "packs_tripped" | "main_fuse" | "control_supply" | "contactor" => 0.6,
        "cut_off" => 0.6,
        "controller" | "display" => 0.2,
        _ => 0.01,
    }
}

/// A density with a share that is spread evenly over `range`; of what is in no list all is.
fn mixed(part: &str, density: f64, range: f64) -> f64 {
    let even = 1.0 / range.max(1e-9);
    if part == STRANGE { even } else { (1.0 - MISREAD) * density + MISREAD * even }
}

fn normal(at: f64, middle: f64, off: f64) -> f64 {
    let off = off.max(1e-6);
    let deviate = (at - middle) / off;
    (-0.5 * deviate * deviate).exp() / (off * (2.0 * std::f64::consts::PI).sqrt())
}
