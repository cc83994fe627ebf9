//! Everything that is told of the wiring of one boat. Not for: figures and sheets.

use super::circuit::CircuitError;
use super::demand::{Carried, Demand, carried};
use super::event::{LoadDump, PrechargeEnd, joining_v, reversed_a};
use super::fault::{FaultAt, FaultPacks, Packs, faults, fuse_faces, motor_share_a};
use super::harness::{CONTROLLER, Harness};
use super::judge::{FuseRow, judge_runs};
use super::judge_parts::judge_parts;
use super::lost::{Lost, lost};
use super::network::{COOL, Network, Source, WARM};
use super::propose::{Prices, Proposed, proposed};
use super::rule::{Judged, RuleKind, Verdict};
use super::size::Size;
use crate::battery::{Bank, PackGroup};
use crate::boat::BoatSpec;
use crate::drive::MotorPlate;
use crate::notice::{Notice, Severity, push_once};
use crate::spread::Interval;

/// What the study works with.
#[derive(Debug, Clone)]
pub struct Wired {
    /// The parts.
    pub harness: Harness,
    /// As a circuit.
    pub network: Network,
    /// What the drive asks.
    pub demand: Demand,
    /// What each cable carries.
    pub carried: Vec<Carried>,
    /// Resistance of each pack under load \[ohm\].
    pub packs_ohm: Vec<f64>,
    /// Packs for faults.
    pub fault_packs: FaultPacks,
    /// Nominal volts on the plate \[V\].
    pub nominal_v: f64,
    /// Volts of the full bank at rest \[V\].
    pub full_v: f64,
    /// Highest volts while it is charged, equalising with it \[V\].
    pub highest_v: f64,
    /// Loop of the runs from packs to controller, cool \[ohm\].
    pub cool_loop_ohm: f64,
    /// The same warm with joints \[ohm\].
    pub warm_loop_ohm: f64,
    /// Share of their limit that the others would carry when a pack drops out at full throttle.
    pub one_lost_share: Option<f64>,
    /// Highest volts that controller and capacitors stand \[V\].
    pub stands_v: Option<f64>,
    /// Current pushed into the bus when it brakes hardest \[A\].
    pub push_a: f64,
    /// Limit of the controller's motor current \[A\].
    pub phase_a: f64,
    /// Smallest discharge limit of a pack \[A\].
    pub pack_limit_a: Option<f64>,
}

/// A run as it is told.
#[derive(Debug, Clone, PartialEq)]
pub struct CableRow {
    /// Place of its cable.
    pub cable: usize,
    /// What it carries.
    pub carried: Carried,
    /// What it may carry for hours \[A\].
    pub allowed_a: Option<f64>,
    /// Smallest stock size that would do, metric and gauge.
    pub needed: [Option<Size>; 2],
    /// Volts lost for hours \[V\].
    pub drop_v: Option<f64>,
    /// As a share of the nominal volts.
    pub drop_share: Option<f64>,
    /// Heat of it \[W\].
    pub heat_w: Option<f64>,
}

/// What was found.
#[derive(Debug, Clone)]
pub struct WiringStudy {
    /// What it stands on.
    pub wired: Wired,
    /// Runs.
    pub cables: Vec<CableRow>,
    /// Short circuits.
    pub faults: Vec<FaultAt>,
    /// Fuses.
    pub fuses: Vec<FuseRow>,
    /// Rules, those that fail first.
    pub rules: Vec<Judged>,
    /// Pre-charge, where its parts are told.
    pub precharge: Option<PrechargeEnd>,
    /// How near packs must be before they are joined \[V\].
    pub joining_v: f64,
    /// What flows when a pack is joined with its poles reversed \[A\]; `None` where there is one.
    pub reversed_a: Option<f64>,
    /// When the protection opens while the controller brakes.
    pub dump: LoadDump,
    /// What is lost with what.
    pub lost: Vec<Lost>,
    /// Sizes and fuses that would pass, where they are asked for.
    pub proposed: Vec<Proposed>,
    /// What to read first.
    pub notices: Vec<Notice>,
}

impl WiringStudy {
    /// The study of `spec` with the parts `harness`; with sizes and fuses that would pass and their cost at these prices, where
    /// prices are given, be they none.
    /// # Errors
    /// A network that is no circuit.
    pub fn of(spec: &BoatSpec, harness: Harness, proposes: Option<&Prices>) -> Result<Self, CircuitError> {
        let wired = Wired::of(spec, harness)?;
        let (harness, network) = (&wired.harness, &wired.network);
        let cables = super::judge::cable_rows(&wired);
        let found = faults(harness, network, &wired.fault_packs);
        let fuses: Vec<FuseRow> = (0..harness.fuses.len())
            .filter_map(|fuse| {
                let cable = harness.fuses[fuse].cable;
                let [begin, end] = fuse_faces(harness, network, &wired.fault_packs, cable)?;
                Some(FuseRow { fuse, faces: if harness.fuses[fuse].is_at_end { end } else { begin } })
            })
            .collect();
        let precharge = PrechargeEnd::of(harness, wired.full_v, wired.pack_loop_ohm());
        let dump = LoadDump::of(
            harness,
            wired.full_v,
            wired.push_a,
            wired.phase_a,
            (wired.demand.motor_v, wired.stands_v.unwrap_or(2.0 * wired.highest_v)),
        );
        let lost = lost(harness, network);
        let mut rules = judge_runs(&wired, &cables, &fuses);
        rules.extend(judge_parts(&wired, precharge.as_ref(), &dump, &lost));
        rules.sort_by_key(|rule| (rule.verdict, !rule.kind.words().can_hurt));
        let pack_loop_ohm = 2.0 * wired.fault_packs.full[0].first().map_or(0.0, |pack| pack.resistance_ohm);
        let joining_v = joining_v(wired.pack_limit_a, pack_loop_ohm);
        let reversed_a = reversed_a(&wired.fault_packs.full[0]);
        let proposed = proposes.map_or_else(Vec::new, |prices| proposed(&wired, prices));
        let notices = wired.notices(spec);
        Ok(Self {
            cables,
            faults: found,
            fuses,
            rules,
            precharge,
            joining_v,
            reversed_a,
            dump,
            lost,
            proposed,
            notices,
            wired,
        })
    }

    /// How many rules came out so.
    #[must_use]
    pub fn count(&self, verdict: Verdict) -> usize {
        self.rules.iter().filter(|rule| rule.verdict == verdict).count()
    }

    /// Somebody or something can be hurt.
    #[must_use]
    pub fn hurts(&self) -> bool {
        self.rules.iter().any(Judged::hurts)
    }

    /// The rule that the sentence names: the gravest that fails, of the short circuits first.
    #[must_use]
    pub fn gravest(&self) -> Option<&Judged> {
        const FIRST: [RuleKind; 5] =
            [RuleKind::FuseBreaks, RuleKind::FuseVolts, RuleKind::Ampacity, RuleKind::Fused, RuleKind::Dump];
        let fails = |kind: RuleKind| {
            self.rules.iter().find(|rule| rule.kind == kind && rule.verdict == Verdict::Fails)
        };
        FIRST
            .into_iter()
            .find_map(fails)
            .or_else(|| self.rules.iter().find(|rule| rule.verdict == Verdict::Fails))
    }
}

impl Wired {
    fn of(spec: &BoatSpec, harness: Harness) -> Result<Self, CircuitError> {
        let boat = &spec.boat;
        let groups = each_pack(&boat.bank);
        let packs_ohm: Vec<f64> = groups.iter().map(|(_, pack)| pack.reference_resistance_ohm()).collect();
        let network = Network::of(&harness, groups.len());
        let full_v = boat.bank.groups.first().map_or(0.0, |group| group.rest_v(1.0));
        let fault_packs = FaultPacks {
            full: [|ohm: Interval| ohm.value, |ohm: Interval| ohm.p90, |ohm: Interval| ohm.p10].map(
                |which| {
                    let one = |(_, pack): &(usize, PackGroup)| Source {
                        emf_v: pack.rest_v(1.0),
                        resistance_ohm: which(pack.fault_ohm(spec.fittings.pack_resistance)),
                    };
                    groups.iter().map(one).collect()
                },
            ),
            weak: groups.iter().map(|(_, pack)| weak_pack(pack, harness.coldest_k)).collect::<Packs>(),
            motor_a: f64::from(boat.drives.running.max(1)) / f64::from(boat.bank.banks.max(1))
                * motor_share_a(rated_motor_a(&boat.motor)),
        };
        let controller = network.node(CONTROLLER).ok_or(CircuitError::Adrift(0))?;
        let cool_loop_ohm = network.loop_ohm(&harness, &packs_ohm, controller, COOL)?;
        let warm_loop_ohm = network.loop_ohm(&harness, &packs_ohm, controller, WARM)?;
        let demand = Demand::of(spec);
        // By a limit that was guessed nothing passes or fails.
        let is_guessed = spec.fittings.has_usual_discharge_limit;
        let packs_a: Vec<Option<f64>> =
            groups.iter().map(|(_, pack)| pack.bms_discharge_a.filter(|_| !is_guessed)).collect();
        let carried = carried(&harness, &network, &packs_ohm, &packs_a, &demand);
        let one_lost_share =
            boat.bank.after_one_pack_trips(demand.power_w).ok().flatten().map(|lost| lost.share_of_limit);
        let one_lost_share = one_lost_share.filter(|_| !is_guessed);
        // Of two packs that are joined one is discharged and the other charged.
        let limited = boat
            .bank
            .groups
            .iter()
            .filter_map(|group| Some(group.bms_discharge_a?.min(group.charge_limit_a())));
        let pack_limit_a = limited.reduce(f64::min);
        Ok(Self {
            nominal_v: boat.bank.groups.first().map_or(0.0, PackGroup::nominal_voltage_v),
            full_v,
            highest_v: boat.bank.highest_charging_v(),
            stands_v: boat.controller.overvoltage_v,
            push_a: boat.controller.regeneration_current_limit_a,
            phase_a: boat.controller.phase_current_limit_a,
            harness,
            network,
            demand,
            carried,
            packs_ohm,
            fault_packs,
            cool_loop_ohm,
            warm_loop_ohm,
            one_lost_share: one_lost_share.filter(|share| share.is_finite() && *share > 0.0),
            pack_limit_a,
        })
    }

    /// Packs and runs together, cool \[ohm\].
    #[must_use]
    pub fn pack_loop_ohm(&self) -> f64 {
        let conductance: f64 = self.fault_packs.full[0].iter().map(|pack| 1.0 / pack.resistance_ohm).sum();
        self.cool_loop_ohm + 1.0 / conductance
    }

    fn notices(&self, spec: &BoatSpec) -> Vec<Notice> {
        let mut notices = Vec::new();
        for notice in crate::caution::of_wiring() {
            push_once(&mut notices, notice);
        }
        if self.harness.is_assumed {
            push_once(&mut notices, NOTHING_TOLD);
        }
        if spec.boat.bank.groups.iter().any(|group| group.instant_ohm.is_none())
            && spec.boat.bank.has_lithium()
        {
            push_once(&mut notices, INSTANT_GUESSED);
        }
        let stated_ohm = spec.boat.bank.cable_resistance_ohm;
        let apart = (self.warm_loop_ohm / stated_ohm).max(stated_ohm / self.warm_loop_ohm);
        if !self.harness.is_assumed && apart > FAR_APART {
            push_once(&mut notices, DISAGREES);
        }
        push_once(&mut notices, GAPS);
        notices
    }
}

/// Ratio of told runs to the stated resistance of cables past which one of the two is wrong; judgement.
const FAR_APART: f64 = 1.5;
const DISAGREES: Notice = Notice::Remark {
    severity: Severity::Weak,
    text: "The runs that are told and bank.cable_resistance differ by more than half: the speeds stand on the second, short \
           circuits and losses of each run on the first. Measure the drop over the whole loop at a known current, or leave \
           bank.cable_resistance out.",
    source: "common practice, no source",
};
const NOTHING_TOLD: Notice = Notice::Remark {
    severity: Severity::Weak,
    text: "No cable is told: the runs of the network are what the resistance of cables and joints makes of them, and rules on \
           sizes and fuses cannot be told. Give one [[cable]] table for each run, and [[fuse]] for each fuse.",
    source: "common practice, no source",
};
const INSTANT_GUESSED: Notice = Notice::Remark {
    severity: Severity::Weak,
    text: "Short circuits are reckoned with half of the packs' resistance under load, since that in the first instant (1 kHz, on \
           the cells' sheet) is not given; the lower end of their band takes the whole. Give pack.instant_resistance.",
    source: "lfpcell2015",
};
const GAPS: Notice = Notice::Remark {
    severity: Severity::Note,
    text: "33 CFR 183 is written for boats with petrol engines and is a yardstick here, not the law that binds an electric drive. \
           There is no open table of the European standards' amperes, of fuses' let-through or of controllers' capacitors: a rule \
           that needs one says \"cannot tell\" and names the sheet. What a turning motor adds to a short circuit is four times its rated current at the most (from memory), in the upper end alone.",
    source: "cfr183-455",
};

/// The packs one by one, each with the place of its group; of one bank where each of two drives has its own.
fn each_pack(bank: &Bank) -> Vec<(usize, PackGroup)> {
    let of_group = |(place, group): (usize, &PackGroup)| {
        let count = (group.packs_in_parallel / u32::from(bank.banks.max(1))).max(1) as usize;
        vec![(place, PackGroup { packs_in_parallel: 1, ..*group }); count]
    };
    bank.groups.iter().enumerate().flat_map(of_group).collect()
}

/// Motor current at its rating \[A\].
fn rated_motor_a(plate: &MotorPlate) -> f64 {
    plate.rated_power_w * plate.no_load_speed_rev_s_v / plate.rated_speed_rev_s
}

/// Cold and nearly empty.
fn weak_pack(pack: &PackGroup, coldest_k: f64) -> Source {
    const NEARLY_EMPTY: f64 = 0.1;
    let factor =
        pack.chemistry.resistance_factor_cold(coldest_k) * pack.chemistry.resistance_factor_low(NEARLY_EMPTY);
    Source { emf_v: pack.rest_v(NEARLY_EMPTY), resistance_ohm: pack.reference_resistance_ohm() * factor }
}
