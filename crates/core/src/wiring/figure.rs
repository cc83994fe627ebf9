//! The figures of the wiring that can be asked where they come from. Not for: its tables (`sheets`).

use super::harness::{BUSBAR, CONTROLLER};
use super::study::WiringStudy;
use crate::field;
use crate::sheet::{Interval, figure_list};

/// The greatest short circuit at the place where the packs are joined, else at the controller.
pub(super) fn joined(study: &WiringStudy) -> Option<&super::fault::FaultAt> {
    let at = |name: &str| study.faults.iter().find(|fault| fault.place == name);
    at(BUSBAR).or_else(|| at(CONTROLLER))
}

/// Rise for which the air is told \[K\]; twice the rise takes half of it.
const RISE_K: f64 = 10.0;

fn exact(value: f64) -> Option<Interval> {
    value.is_finite().then(|| Interval::exact(value))
}

figure_list! {
    /// The figures of the wiring.
    WIRING_FIGURES of WiringStudy {
    /// The greatest short circuit.
    GREATEST_FAULT { "greatest_fault", "greatest short circuit where the packs are joined", Current,
        formula: "nodal analysis of packs (rested full volts behind their resistance in the first instant), cool copper without joints, the \
                  charger's current, the place tied to the return; of like packs alone n E / r",
        sources: ["lfpcell2015", "iec60228-2004"],
        inputs: [field::pack::INSTANT_RESISTANCE, field::pack::RESISTANCE, field::pack::COUNT, field::cable::SIZE, field::cable::LENGTH],
        validity: "the first instant, without inductance and without what a turning motor gives; band by the packs' resistance",
        value: |s| Some(joined(s)?.greatest) }
    /// The least.
    LEAST_FAULT { "least_fault", "least short circuit at the controller", Current,
        formula: "as the greatest, with one pack alone, cold and nearly empty, copper at 60 C and 0.5 mohm of joints in each run",
        sources: ["nrel2002", "bpx2023"],
        inputs: [field::pack::RESISTANCE, field::wiring::COLDEST, field::cable::LENGTH, field::cable::SIZE],
        validity: "joints from memory; a pack's protection may open first and is not counted",
        value: |s| exact(s.faults.iter().find(|fault| fault.place == CONTROLLER)?.least_a) }
    /// Loop of the cables.
    CABLE_LOOP { "cable_loop", "resistance of the runs from packs to controller, warm with joints", Resistance,
        formula: "volts that 1 A loses in the runs of the network, copper at 60 C and 0.5 mohm of joints in each",
        sources: ["iec60228-2004"], inputs: [field::cable::SIZE, field::cable::LENGTH, field::bank::CABLE_RESISTANCE],
        validity: "joints from memory; a measured drop goes before it", value: |s| exact(s.wired.warm_loop_ohm) }
    /// What they cost.
    CABLE_SPEED { "cable_speed_lost", "speed that the cables cost at full throttle", Speed,
        formula: "full throttle without the resistance of the cables, less with it", sources: ["krause2013"],
        inputs: [field::bank::CABLE_RESISTANCE, field::cable::SIZE, field::cable::LENGTH], validity: "at the medians of the boat's inputs; nothing where a limit other than the volts binds",
        value: |s| exact(s.wired.demand.speed_lost_m_s) }
    /// Highest volts.
    HIGHEST_VOLTS { "highest_volts", "highest volts while the bank is charged", Voltage,
        formula: "cells in series times the highest charging volts of the chemistry, equalising of vented lead with it", sources: ["iec60598-2008"],
        inputs: [field::pack::CELLS_IN_SERIES, field::pack::CHEMISTRY], validity: "as the charger keeps to it", value: |s| exact(s.wired.highest_v) }
    /// Volts of the motor.
    MOTOR_VOLTS { "motor_turning_volts", "volts that the motor makes turning by itself at full throttle's revolutions (not the peak when the protection opens while it brakes)", Voltage,
        formula: "n / Kv, rectified by the controller's diodes", sources: ["krause2013"],
        inputs: [field::motor::SPEED_CONSTANT, field::reduction::RATIO], validity: "magnets at 20 C; a weakened field is an event of its own, told under controls",
        value: |s| exact(s.wired.demand.motor_v) }
    /// Time to the limit.
    DUMP_TIME { "load_dump_time", "time in which the volts pass the limit when the protection opens while the controller brakes", Instant,
        formula: "C dV/dt = P / V stepped in time, from full rest to the volts at which it stops braking, else those that it stands, else twice the highest",
        sources: ["regeneration2023"],
        inputs: [field::controller::CAPACITANCE, field::controller::REGENERATION_CURRENT, field::controller::OVERVOLTAGE, field::controller::BRAKING_STOPS_AT],
        validity: "a controller that goes on braking; 10 uF for each ampere of its motor current where the capacitance is not given, from memory",
        value: |s| exact(s.dump.braking.reached_s?) }
    /// The peak.
    DUMP_VOLTS { "load_dump_volts", "highest volts when the protection opens while the controller brakes", Voltage,
        formula: "the same until it stops, then sqrt(V^2 + 2 (3/4 L I^2) / C) with the energy of the windings", sources: ["regeneration2023"],
        inputs: [field::controller::BRAKING_STOPS_IN, field::motor::PHASE_INDUCTANCE, field::controller::CAPACITANCE],
        validity: "none where stop, delay, capacitance or inductance are not given: cannot tell, never safe",
        value: |s| {
            let side = &s.wired.harness.controller;
            let _known = (side.stops_at_v?, side.delay_s?, side.capacitance_f?, side.phase_inductance_h?);
            exact(s.dump.braking.highest_v)
        } }
    /// At closing.
    CLOSING { "closing_current", "current when the main contactor closes after pre-charge", Current,
        formula: "volts left over the loop of packs and runs", sources: ["precharge2020"],
        inputs: [field::precharge::RESISTOR, field::precharge::DRAWN, field::controller::CAPACITANCE, field::cable::SIZE],
        validity: "without inductance, an upper bound", value: |s| exact(s.precharge?.closing_a) }
    /// A reversed pack.
    REVERSED { "reversed_pack_current", "current when a pack is joined with its poles reversed", Current,
        formula: "volts of both over the resistance of both, in the first instant", sources: ["lfpcell2015"],
        inputs: [field::pack::INSTANT_RESISTANCE, field::pack::RESISTANCE, field::pack::COUNT], validity: "cables and joints left out, an upper bound",
        value: |s| exact(s.reversed_a?) }
    /// Rest.
    PRECHARGE_REST { "precharge_rest", "rest of the pre-charge resistor between two starts", ShortDuration,
        formula: "energy of a pulse over the resistor's power for hours", sources: ["precharge2020"], inputs: [field::precharge::POWER, field::controller::CAPACITANCE],
        validity: "a resistor that cools as its sheet has it", value: |s| {
            let pulse_j = s.precharge?.circuit.energy_j();
            exact(super::event::precharge_rest_s(pulse_j, s.wired.harness.precharge.resistor_w?))
        } }
    /// Air.
    COOLING_AIR { "cooling_air_m3_h", "air in m3/h that motor and controller need for a rise of 10 K", Ratio,
        formula: "P / (rho c dT)", sources: [], inputs: [field::motor::COOLING, field::motor::RESISTANCE],
        validity: "full throttle held; a motor cooled by water gives none to the air; air of 1.2 kg/m3, textbook",
        value: |s| exact(super::panels::air_m3_h(s.wired.demand.heat_w.iter().sum(), RISE_K)) }
    /// Joining.
    JOINING { "joining_volts", "how near two packs must be before they are joined", Voltage,
        formula: "the lesser of a pack's limits of discharge and charge (half of the current that fills it in an hour where none is told) times the resistance of both packs in the first instant; 0.1 V where no limit is known",
        sources: ["paralleling2021", "bmsguide2023"], inputs: [field::pack::BMS_DISCHARGE, field::pack::BMS_CHARGE, field::pack::INSTANT_RESISTANCE, field::pack::RESISTANCE],
        validity: "the first instant; cables between them only help", value: |s| exact(s.joining_v) }
    }
}
