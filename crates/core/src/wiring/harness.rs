//! The parts of a drive's wiring as they are told: runs of cable, fuses, contactors, pre-charge, and what was decided
//! about poles and earth. Not for: reading a document (`records`), joining them into a circuit (`network`).

use super::network::warm_ohm;
use super::protection::FuseClass;
use super::size::{Insulation, Size, Strand};
use crate::sheet::Word;

/// What a run is for, by which it is judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Service {
    /// From the bank to the controller.
    Propulsion,
    /// From the controller to the motor.
    Phase,
    /// From a charger or panels.
    Charging,
    /// Lights, radio, pumps: what must go on.
    Vital,
    /// Anything else.
    Other,
}

impl Service {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Propulsion, Self::Phase, Self::Charging, Self::Vital, Self::Other];

    /// Share of the volts that may be lost: 3 % where it must work, 10 % elsewhere \[iso10133-2012\]; for propulsion no
    /// published limit was found and 3 % is a default.
    #[must_use]
    pub fn drop_limit(self) -> f64 {
        if self == Self::Other { 0.10 } else { 0.03 }
    }
}

/// A run of two conductors, or of the motor's leads.
#[derive(Debug, Clone, PartialEq)]
pub struct Cable {
    /// Name.
    pub name: String,
    /// Where it begins, on the side of the source.
    pub from: String,
    /// Where it ends.
    pub to: String,
    /// Length one way \[m\].
    pub length_m: f64,
    /// Size; `None` when it is not told.
    pub size: Option<Size>,
    /// How its wires are drawn.
    pub strand: Strand,
    /// Its insulation.
    pub insulation: Insulation,
    /// Air around it \[°C\].
    pub air_c: f64,
    /// Conductors that carry current in its bundle.
    pub together: u32,
    /// In a sheath or enclosure all the way.
    pub is_sheathed: bool,
    /// Between the middles of its two conductors \[m\].
    pub between_m: f64,
    /// What it is for.
    pub service: Service,
    /// What it carries for hours, where it is told and not reckoned from the drive \[A\].
    pub load_a: Option<f64>,
    /// Greatest volts that what hangs at its end stands \[V\].
    pub end_stands_v: Option<f64>,
    /// Loop of the run with its joints, where that is known and its size is not \[ohm\].
    pub loop_ohm: Option<f64>,
    /// Studs of its lugs, at its beginning and at its end.
    pub studs: Option<[&'static str; 2]>,
}

/// Studs for which lugs are stocked; common practice, no source.
pub const STUDS: [&str; 12] =
    ["M4", "M5", "M6", "M8", "M10", "M12", "M16", "#10", "1/4 in", "5/16 in", "3/8 in", "1/2 in"];

/// `M8` of both ends, or `M8, M10` of beginning and end; `None` where one is no stud of [`STUDS`].
#[must_use]
pub fn read_studs(text: &str) -> Option<[&'static str; 2]> {
    let one = |text: &str| STUDS.into_iter().find(|stud| stud.eq_ignore_ascii_case(text.trim()));
    match text.split_once(',') {
        Some((from, to)) => Some([one(from)?, one(to)?]),
        None => one(text).map(|stud| [stud; 2]),
    }
}

/// Where something of the wiring stands in the boat.
#[derive(Debug, Clone, PartialEq)]
pub struct Stands {
    /// The place in the network.
    pub place: String,
    /// Its middle aft of the fore end of the waterline \[m\].
    pub aft_m: f64,
    /// Above the waterline \[m\].
    pub height_m: f64,
    /// To starboard of the middle line \[m\].
    pub aside_m: f64,
}

/// A fuse or breaker in a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Fuse {
    /// Name.
    pub name: String,
    /// Place of its cable in the list.
    pub cable: usize,
    /// Stands at the end of its cable instead of its beginning.
    pub is_at_end: bool,
    /// Class.
    pub class: FuseClass,
    /// Rated current \[A\].
    pub rating_a: f64,
    /// Direct volts on its sheet \[V\].
    pub direct_v: Option<f64>,
    /// Its sheet tells alternating volts alone.
    pub has_alternating_volts_only: bool,
    /// Greatest current that it breaks at those volts \[A\].
    pub breaks_a: Option<f64>,
    /// Current at which it melts in 5 s, from its curve \[A\].
    pub melting_current_a: Option<f64>,
    /// Total let-through \[A² s\].
    pub let_through_a2s: Option<f64>,
    /// L over R of the circuit for which its sheet holds \[s\].
    pub l_over_r_s: Option<f64>,
    /// Way along the conductor from the source to it \[m\].
    pub from_source_m: Option<f64>,
}

/// A contactor or switch in a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Contactor {
    /// Name.
    pub name: String,
    /// Place of its cable in the list.
    pub cable: usize,
    /// Worked by hand.
    pub is_by_hand: bool,
    /// Current that it makes \[A\].
    pub make_a: Option<f64>,
    /// Current that it breaks \[A\].
    pub break_a: Option<f64>,
    /// At how many direct volts \[V\].
    pub break_v: Option<f64>,
    /// Current that it carries for hours \[A\].
    pub continuous_a: Option<f64>,
    /// Breaks in both directions.
    pub breaks_both_ways: Option<bool>,
    /// From where its coil is fed; a place in the network.
    pub coil_from: Option<String>,
}

/// Charging the controller's capacitors.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PrechargeParts {
    /// Resistor \[ohm\].
    pub resistor_ohm: Option<f64>,
    /// Energy of one pulse that it takes \[J\].
    pub pulse_j: Option<f64>,
    /// What is drawn on that side meanwhile \[A\].
    pub drawn_a: Option<f64>,
    /// After this time an attempt is given up \[s\].
    pub time_out_s: Option<f64>,
    /// Resistor that empties the capacitors \[ohm\].
    pub bleeder_ohm: Option<f64>,
    /// Power that the resistor takes for hours \[W\].
    pub resistor_w: Option<f64>,
    /// It has a switch of its own.
    pub has_own_switch: Option<bool>,
}

/// Like panels as they are joined.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanelString {
    /// How many there are.
    pub count: u32,
    /// How many stand in series.
    pub in_series: Option<u32>,
    /// Volts of one without load, at 25 °C \[V\].
    pub open_v: Option<f64>,
    /// Greatest volts of their regulator \[V\].
    pub regulator_v: Option<f64>,
    /// Each string has a fuse of its own.
    pub is_fused: Option<bool>,
}

/// How the poles stand to the hull.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Poles {
    /// Neither is joined to it.
    Floating,
    /// The negative is.
    NegativeToHull,
}

/// What becomes of the shore's earth aboard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShoreEarth {
    /// Joined as it is.
    Straight,
    /// Through a galvanic isolator that fails safe and stands the fault current.
    Isolator,
    /// Ends at an isolating transformer.
    Transformer,
    /// Cut or left off.
    Cut,
}

/// What was decided about the whole.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Decisions {
    /// Poles against the hull.
    pub poles: Option<Poles>,
    /// Fuse and switch in both poles at the source.
    pub are_both_poles_fused: Option<bool>,
    /// The insulation is watched.
    pub is_insulation_watched: Option<bool>,
    /// Every live part is covered or enclosed.
    pub is_covered: Option<bool>,
    /// A main switch at the bank.
    pub has_isolator: Option<bool>,
    /// A stop within reach of the helm.
    pub has_helm_stop: Option<bool>,
    /// A warning heard at the helm before the packs' protection cuts.
    pub has_warning: Option<bool>,
    /// A shunt in the negative.
    pub has_shunt: Option<bool>,
    /// Shore earth.
    pub shore_earth: Option<ShoreEarth>,
    /// Charger and converter separate their two sides.
    pub are_converters_isolated: Option<bool>,
    /// Water cannot stand in the space of the packs.
    pub is_bank_space_dry: Option<bool>,
    /// Most lugs on one stud.
    pub lugs_on_stud: Option<u32>,
    /// The motor's leads are of one size and length.
    pub are_leads_alike: Option<bool>,
}

/// The controller's side and the motor, as far as the wiring asks.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ControllerSide {
    /// Capacitors \[F\].
    pub capacitance_f: Option<f64>,
    /// Volts at which it stops braking \[V\].
    pub stops_at_v: Option<f64>,
    /// How long it takes to stop \[s\].
    pub delay_s: Option<f64>,
    /// Inductance of one phase \[H\].
    pub phase_inductance_h: Option<f64>,
}

/// All of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Harness {
    /// Runs.
    pub cables: Vec<Cable>,
    /// Fuses.
    pub fuses: Vec<Fuse>,
    /// Contactors and switches.
    pub contactors: Vec<Contactor>,
    /// Pre-charge.
    pub precharge: PrechargeParts,
    /// Decisions.
    pub decisions: Decisions,
    /// Controller and motor.
    pub controller: ControllerSide,
    /// Greatest current of the charger into the bank \[A\].
    pub charger_a: Option<f64>,
    /// The same of all panels.
    pub panels_a: Option<f64>,
    /// Kinds of panels, as far as their strings are asked.
    pub panels: Vec<PanelString>,
    /// Coldest bank in service \[K\].
    pub coldest_k: f64,
    /// Where places stand in the boat, as far as the list of masses tells.
    pub stands: Vec<Stands>,
    /// No run is told: those of the network are what the stated or estimated resistance of the cables makes of them.
    pub is_assumed: bool,
}

/// Name of a pack's own terminals; every pack has them, numbered from 1.
pub const PACK: &str = "pack";
/// Where packs are joined where nothing is told.
pub const BUSBAR: &str = "busbar";
/// The controller's terminals.
pub const CONTROLLER: &str = "controller";
/// The motor's.
pub const MOTOR: &str = "motor";
/// The charger's.
pub const CHARGER: &str = "charger";
/// The panels' regulator's.
pub const PANELS: &str = "panels";

impl Harness {
    /// What stands where no run is told: a run from each pack to the busbar and one on to the controller, which
    /// together resist as the bank's cables do; a third of it in the packs' own.
    #[must_use]
    pub fn assumed_runs(cable_resistance_ohm: f64, packs: u32) -> Vec<Cable> {
        let run = |name: &str, from: &str, to: &str, loop_ohm: f64, length_m: f64| Cable {
            name: name.to_owned(),
            from: from.to_owned(),
            to: to.to_owned(),
            length_m,
            size: None,
            strand: Strand::FlexibleTinned,
            insulation: Insulation::C105,
            air_c: 50.0,
            together: 2,
            is_sheathed: false,
            between_m: 0.03,
            service: Service::Propulsion,
            load_a: None,
            end_stands_v: None,
            loop_ohm: Some(loop_ohm.max(1e-6)),
            studs: None,
        };
        vec![
            run("pack cable", PACK, BUSBAR, cable_resistance_ohm / 3.0 * f64::from(packs), 0.7),
            run("main cable", BUSBAR, CONTROLLER, cable_resistance_ohm * 2.0 / 3.0, 1.3),
        ]
    }

    /// How many runs of motor's leads lie beside this one between the same ends, itself counted: they share the current. Of
    /// two drives each has its own.
    #[must_use]
    pub fn abreast(&self, cable: &Cable, drives: u32) -> f64 {
        let is_beside = |other: &&Cable| {
            let crossed = (&other.to, &other.from) == (&cable.from, &cable.to);
            other.service == Service::Phase
                && (crossed || (&other.from, &other.to) == (&cable.from, &cable.to))
        };
        let count = self.cables.iter().filter(is_beside).count();
        if drives > 1 { 1.0 } else { count as f64 }
    }

    /// The motor's leads of one drive, warm with joints, there and back \[ohm\]: two of three carry at any moment; runs between
    /// the same ends share the current, others follow each other. Those whose size is not told are left out.
    #[must_use]
    pub fn leads_ohm(&self, drives: u32) -> f64 {
        let leads = || self.cables.iter().filter(|cable| cable.service == Service::Phase);
        let of = |cable: &Cable| {
            let beside = self.abreast(cable, drives);
            Some(warm_ohm(cable, cable.size?) / (beside * beside))
        };
        let each = if leads().count() < drives as usize { 1.0 } else { f64::from(drives.max(1)) };
        leads().filter_map(of).sum::<f64>() / each
    }

    /// Straight between the two ends of a run \[m\], where it is told where both stand.
    #[must_use]
    pub fn apart_m(&self, cable: &Cable) -> Option<f64> {
        let of = |name: &str| self.stands.iter().find(|stands| stands.place == name);
        let (from, to) = (of(&cable.from)?, of(&cable.to)?);
        Some((from.aft_m - to.aft_m).hypot(from.height_m - to.height_m).hypot(from.aside_m - to.aside_m))
    }

    /// The fuses of a cable.
    pub fn fuses_of(&self, cable: usize) -> impl Iterator<Item = &Fuse> {
        self.fuses.iter().filter(move |fuse| fuse.cable == cable)
    }
}

impl Service {
    /// For files and reading.
    #[must_use]
    pub fn word(self) -> Word {
        let (key, words) = match self {
            Self::Propulsion => ("propulsion", "propulsion"),
            Self::Phase => ("phase", "motor leads"),
            Self::Charging => ("charging", "charging"),
            Self::Vital => ("vital", "vital"),
            Self::Other => ("other", "other"),
        };
        Word { key, words }
    }
}
