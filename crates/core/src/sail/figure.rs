//! The figures under sail that can be asked where they come from. Not for: those of a steady state
//! (`study::figure`).

use super::prepared::Mode;
use super::study::{ModeIntervals, SailStudy};
use crate::field;
use crate::sheet::{Interval, figure_list};

/// A mode at the speed that is told of.
fn at(study: &SailStudy, mode: Mode) -> Option<&ModeIntervals> {
    study.finding_row()?.mode(mode)
}

const DAY_S: f64 = 86_400.0;

figure_list! {
    /// The figures under sail, at the speed that the finding tells of.
    SAIL_FIGURES of SailStudy {
    /// Drag with the shaft held.
    HELD_DRAG { "held_drag", "drag with the shaft held, or the blades stowed", Force,
        formula: "D = -rho/2 VA^2 pi/4 D^2 CT*(beta = 90 deg), VA = V (1 - w); CT* of the four-quadrant set of B4-70 times (AE/A0)/0.70. \
                  Blades that fold or feather: rho/2 VA^2 AE Cd, Cd 0.06 folded, 0.10 feathered, on their expanded area AE",
        sources: ["smogeli2006", "mackenzie2008", "larsson2014"],
        inputs: [field::propeller::PATTERN, field::propeller::DIAMETER, field::propeller::AREA_RATIO, field::propeller::WAKE_FRACTION, field::propeller::PITCH],
        validity: "an estimate carried over from one tested propeller, 30 % either way in four of five; held against published drag of \
                   yacht propellers", value: |s| Some(at(s, Mode::Held)?.drag_n) }
    /// Drag turning freely.
    FREE_DRAG { "free_drag", "drag turning freely", Force,
        formula: "D = -T(VA, n) at the n at which the blades' torque equals that of shaft, seal, reduction and unpowered motor; at n = 0 \
                  where the water does not start the shaft",
        sources: ["smogeli2006", "mackenzie2008", "warren1979"],
        inputs: [field::propeller::DIAMETER, field::propeller::PITCH, field::propeller::AREA_RATIO, field::propeller::SHAFT_FRICTION, field::motor::NO_LOAD_CURRENT,
                 field::reduction::RATIO],
        validity: "as the held drag; friction that is guessed makes it unsure at low speed, where blades that friction lets turn but \
                   slowly drag more than held ones (so in the tested set)", value: |s| Some(at(s, Mode::Free)?.drag_n) }
    /// Speed that held blades cost.
    HELD_LOSS { "held_speed_lost", "speed that the held propeller costs", Speed,
        formula: "V' - V from R(V') = R(V) + D(V): V is what she makes with the drag, V' what the same drive of the sails would \
                  give her without it; one root on her resistance curve",
        sources: ["keuning1998", "smogeli2006"],
        inputs: [field::hull::DISPLACEMENT, field::hull::LENGTH_WATERLINE, field::hull::BOTTOM, field::propeller::DIAMETER],
        validity: "to the end of the hull's method (Froude number 0.60), beyond it along its slope; an apparent wind that draws \
                   ahead makes the true loss smaller",
        value: |s| Some(at(s, Mode::Held)?.speed_lost_m_s) }
    /// Power that cancels the drag.
    CANCELLING_POWER { "cancelling_power", "power out of the bank that cancels the drag", Power,
        formula: "motor and controller at the revolutions n at which T(VA, n) = 0, and the torque there",
        sources: ["smogeli2006", "krause2013"],
        inputs: [field::propeller::PITCH, field::propeller::DIAMETER, field::propeller::AREA_RATIO, field::reduction::RATIO, field::motor::RESISTANCE,
                 field::motor::NO_LOAD_CURRENT],
        validity: "tens to a few hundred watts at sailing speeds are usual (common practice, no source)",
        value: |s| Some(at(s, Mode::WithoutDrag)?.bank_w) }
    /// Power that stays in the cells.
    STORED_POWER { "stored_power", "power into the cells for the stated loss of speed", Power,
        formula: "the braking at which she loses the stated speed more than with the shaft let go, R(V + lost) = R(V) + D(V), never \
                  harder than gives the most; less motor, controller and charging losses, within what bank and controller take",
        sources: ["smogeli2006", "krause2013", "regeneration2023"],
        inputs: [field::propeller::PITCH, field::propeller::DIAMETER, field::propeller::AREA_RATIO, field::reduction::RATIO, field::motor::NO_LOAD_CURRENT,
                 field::bank::STATE_OF_CHARGE, field::bank::TEMPERATURE, field::pack::BMS_CHARGE],
        validity: "grows about with the cube of speed; within a factor of two of published points",
        value: |s| Some(at(s, Mode::WithinLoss)?.stored_w) }
    /// Charge of a day.
    STORED_DAY { "stored_charge_day", "charge that a day of sailing brings", Charge,
        formula: "amperes into the cells x coulombic efficiency x 24 h", sources: ["regeneration2023"],
        inputs: [field::pack::CELLS_IN_SERIES, field::bank::STATE_OF_CHARGE, field::propeller::PITCH],
        validity: "as the power into the cells, the speed held all day",
        value: |s| {
            let mode = at(s, Mode::WithinLoss)?;
            let share = if mode.state.stored_w > 0.0 { mode.state.stored_a * DAY_S / mode.state.stored_w } else { 0.0 };
            Some(mode.stored_w.scaled(share))
        } }
    /// The most that comes back.
    GREATEST_POWER { "greatest_stored_power", "the most that goes into the cells", Power,
        formula: "the braking at which the power into the bank is greatest, within what bank, controller and windings take",
        sources: ["smogeli2006", "krause2013"],
        inputs: [field::propeller::PITCH, field::propeller::DIAMETER, field::reduction::RATIO, field::motor::NO_LOAD_CURRENT, field::controller::PHASE_CURRENT],
        validity: "as the power for the stated loss", value: |s| Some(at(s, Mode::Greatest)?.stored_w) }
    /// Onset.
    ONSET { "charging_onset", "slowest speed at which anything comes back", Speed,
        formula: "the V at which the greatest power into the bank is zero", sources: ["smogeli2006", "krause2013"],
        inputs: [field::propeller::PITCH, field::propeller::DIAMETER, field::reduction::RATIO, field::motor::NO_LOAD_CURRENT, field::propeller::SHAFT_FRICTION],
        validity: "as the power into the cells", value: |s| s.onset_m_s }
    /// Volts with the bank cut off.
    VOLTS_CUT_OFF { "volts_cut_off", "volts at the controller with the bank cut off, the propeller turning freely (not the peak when the protection opens while it brakes)", Voltage,
        formula: "E = n / Kv at the revolutions of the free propeller, rectified by the controller's diodes",
        sources: ["krause2013", "regeneration2023"],
        inputs: [field::motor::SPEED_CONSTANT, field::reduction::RATIO, field::propeller::PITCH, field::propeller::DIAMETER],
        validity: "magnets at 20 °C; the instant of cutting off may overshoot it",
        value: |s| Some(Interval::exact(s.finding_row()?.volts_without_bank_v?)) }
    /// Bollard pull.
    BOLLARD_PULL { "bollard_pull", "pull against a quay", Force,
        formula: "T = rho n^2 D^4 KT(0) at the highest n at which every limit of the drive holds", sources: ["oosterveld1975"],
        inputs: [field::propeller::DIAMETER, field::propeller::PITCH, field::propeller::AREA_RATIO, field::motor::SPEED_CONSTANT, field::reduction::RATIO],
        validity: "as thrust; without thrust deduction", value: |s| s.stopping?.ahead_n }
    /// Bollard pull astern.
    BOLLARD_PULL_ASTERN { "bollard_pull_astern", "pull astern against a quay", Force,
        formula: "-T(0, -n) of the four-quadrant set at the highest n at which every limit of the drive holds", sources: ["smogeli2006"],
        inputs: [field::propeller::DIAMETER, field::propeller::PITCH, field::propeller::AREA_RATIO, field::motor::SPEED_CONSTANT, field::reduction::RATIO],
        validity: "30 % either way in four of five; without thrust deduction", value: |s| s.stopping?.astern_n }
    /// Way of a crash stop.
    STOPPING_WAY { "stopping_way", "way of a crash stop from full speed", Length,
        formula: "s = int m (1 + 0.07) v / F dv, F = R(v) - (1 - t) T(v), the propeller astern at the limits of the drive",
        sources: ["smogeli2006"],
        inputs: [field::hull::DISPLACEMENT, field::propeller::DIAMETER, field::propeller::PITCH, field::motor::SPEED_CONSTANT, field::propeller::THRUST_DEDUCTION],
        validity: "30 % on the thrust astern; straight course, from when the shaft turns astern", value: |s| s.stopping?.distance_m }
    /// Time of a crash stop.
    STOPPING_TIME { "stopping_time", "time of a crash stop from full speed", ShortDuration,
        formula: "t = int m (1 + 0.07) / F dv", sources: ["smogeli2006"],
        inputs: [field::hull::DISPLACEMENT, field::propeller::DIAMETER, field::propeller::PITCH, field::motor::SPEED_CONSTANT],
        validity: "as its way", value: |s| s.stopping?.duration_s }
    }
}
