//! The drive's wiring: one network of packs, runs and loads solved as a circuit, from which what conductors carry, what
//! short circuits draw, what fuses must break and what capacitors do all come; and rules that hold it against published
//! yardsticks. No certificate: the current standards, the makers' sheets and licensed practice go first.
//!
//! Not for: reading the document (`records`), drawing the diagram.

mod bus;
mod circuit;
mod conductor;
mod demand;
mod event;
mod fault;
mod figure;
mod harness;
mod judge;
mod judge_parts;
mod lost;
mod network;
mod panels;
mod propose;
mod protection;
mod rule;
mod sheets;
mod size;
mod study;

pub use bus::{Bus, BusCourse, BusMoment, Push, lifted_to_v, swung_to_v, windings_j};
pub use circuit::{Branch, Circuit, CircuitError, Solution};
pub use conductor::{
    allowed_a, ambient_factor, bundling_factor, drop_area_circular_mil, run_inductance_h, run_resistance_ohm,
    short_circuit_k, withstands_a2s,
};
pub use demand::{Carried, Demand, carried};
pub use event::{
    LoadDump, PrechargeEnd, bleed_s, closing_a, joining_v, precharge_end_share, precharge_rest_s, reversed_a,
};
pub use fault::{FaultAt, FaultPacks, FuseFaces, Packs, faults, fuse_faces, motor_share_a};
pub use harness::{
    BUSBAR, CHARGER, CONTROLLER, Cable, Contactor, ControllerSide, Decisions, Fuse, Harness, MOTOR, PACK,
    PANELS, PanelString, Poles, PrechargeParts, STUDS, Service, ShoreEarth, Stands, read_studs,
};
pub use judge::FuseRow;
pub use lost::{CONTACTOR_OF_A_NAME, DUTIES, Duty, Lost};
pub use network::{COOL, Copper, Network, Run, Source, WARM};
pub use panels::{air_m3_h, cold_open_v};
pub use propose::{Prices, Proposed, proposed};
pub use protection::{FIFTY_V, FUSE_RATINGS_A, FuseClass, largest_rating_a, longest_unprotected_m};
pub use rule::{Ground, Judged, RuleKind, RuleWords, Verdict};
pub use sheets::WIRING_SHEETS;
pub(crate) use sheets::{FAILED, HURTS, PASSED, RULE_COLUMNS, UNTOLD, VERDICT};
pub use size::{Insulation, Size, Strand};
pub use study::{CableRow, Wired, WiringStudy};
