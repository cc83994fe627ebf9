//! The figures of the controls that can be asked where they come from. Not for: its tables (`sheets`).

use super::reversing::{key_force_n, shaft_shear_pa};
use super::study::ControlsStudy;
use crate::field;
use crate::sheet::{Interval, figure_list};

fn exact(value: f64) -> Option<Interval> {
    value.is_finite().then(|| Interval::exact(value))
}

figure_list! {
    /// The figures of the controls.
    CONTROLS_FIGURES of ControlsStudy {
    /// Torque of the shaft.
    REVERSING_TORQUE { "reversing_torque", "greatest torque in the propeller shaft against the way it turned, from full ahead to full astern", Torque,
        formula: "J dw/dt = T_motor - Q(v, n) - friction and m 1.07 dv/dt = (1 - t) T(v, n) - R(v) stepped in time; torque behind the propeller Q + J_p dw/dt",
        sources: ["smogeli2006"],
        inputs: [field::controls::RAMP_DOWN, field::controls::REVERSING_WAIT, field::controls::RAMP_UP, field::controls::REVERSING_TORQUE,
            field::controller::PHASE_CURRENT, field::propeller::DIAMETER, field::propeller::PITCH],
        validity: "a straight course; band by the blades astern (30 %); moments of inertia estimated, from memory", value: |s| Some(s.reversal.as_ref()?.shaft_n_m) }
    /// Over that of full throttle.
    REVERSING_SHARE { "reversing_times", "the same over the torque of full throttle ahead", Ratio,
        formula: "T / T_ahead", sources: ["smogeli2006"], inputs: [field::controls::RAMP_DOWN, field::controls::REVERSING_TORQUE],
        validity: "as the torque", value: |s| {
            let one = s.reversal.as_ref()?;
            Some(one.shaft_n_m.scaled(1.0 / one.ahead_n_m))
        } }
    /// Without ramps.
    SUDDEN_TORQUE { "sudden_torque", "the same with the lever thrown over without ramps, wait and limit", Torque,
        formula: "as the torque, demand from +1 to -1 at once", sources: ["smogeli2006"],
        inputs: [field::controller::PHASE_CURRENT, field::controller::LEVER], validity: "as the torque",
        value: |s| exact(-s.reversal.as_ref()?.at_once.worst.shaft_n_m) }
    /// Belt or gear.
    BELT_TORQUE { "belt_torque", "greatest torque of the motor on belt or gear against the way it turned", Torque,
        formula: "T_motor - J_rotor dw/dt", sources: ["smogeli2006"], inputs: [field::controller::PHASE_CURRENT, field::controls::REVERSING_TORQUE],
        validity: "as the torque", value: |s| exact(s.reversal.as_ref()?.told.motor_n_m) }
    /// Shear.
    SHAFT_SHEAR { "shaft_shear", "shear at the skin of the shaft at that moment", Stress,
        formula: "16 T / (pi d^3)", sources: [], inputs: [field::propeller::SHAFT_DIAMETER],
        validity: "torsion of a round bar, textbook; a solid shaft away from its keyway, which doubles it or more (from memory)", value: |s| exact(shaft_shear_pa(s.reversal.as_ref()?.shaft_n_m.value, s.shaft_m?)) }
    /// Key.
    KEY_FORCE { "key_force", "force on the key at the skin of the shaft", Force,
        formula: "2 T / d", sources: [], inputs: [field::propeller::SHAFT_DIAMETER], validity: "a key that carries all; none for a taper that does",
        value: |s| exact(key_force_n(s.reversal.as_ref()?.shaft_n_m.value, s.shaft_m?)) }
    /// Thrust astern.
    REVERSING_THRUST { "reversing_thrust", "greatest thrust astern meanwhile, on thrust bearing and mounts", Force,
        formula: "T(v, n) of the same steps", sources: ["smogeli2006"], inputs: [field::controller::PHASE_CURRENT, field::propeller::DIAMETER],
        validity: "band by the blades astern (30 %)", value: |s| Some(s.reversal.as_ref()?.astern_n) }
    /// Time to stop.
    REVERSING_TIME { "reversing_stop_time", "time from the lever to lying still", ShortDuration,
        formula: "until v = 0 in the same steps", sources: ["smogeli2006"],
        inputs: [field::controls::RAMP_DOWN, field::controls::REVERSING_WAIT, field::controls::RAMP_UP], validity: "at the medians of the boat's inputs",
        value: |s| exact(s.reversal.as_ref()?.told.stops_s?) }
    /// Way to stop.
    REVERSING_WAY { "reversing_stop_way", "way through the water until then", Length,
        formula: "sum of v dt", sources: ["smogeli2006"],
        inputs: [field::controls::RAMP_DOWN, field::controls::REVERSING_WAIT, field::controls::RAMP_UP], validity: "at the medians of the boat's inputs",
        value: |s| { let told = &s.reversal.as_ref()?.told; exact(told.stops_s.map(|_| told.way_m)?) } }
    /// Creep.
    CREEP_SPEED { "creep_speed", "speed with the lever at the edge of its dead band", Speed,
        formula: "steady state at the least demand", sources: ["krause2013"], inputs: [field::controls::FIRST_DEMAND, field::controller::LEVER],
        validity: "still air and water as told for the sea; slower than that she cannot be driven steadily", value: |s| exact(s.creep?.speed_m_s) }
    /// Its current.
    CREEP_CURRENT { "creep_current", "current in the motor's leads then", Current,
        formula: "the same; the bank gives a fraction of it", sources: ["krause2013"], inputs: [field::controls::FIRST_DEMAND, field::controller::LEVER],
        validity: "a controller that counts as the direct-current equivalent", value: |s| exact(s.creep?.phase_a) }
    /// Braking.
    BRAKING_NOW { "braking_now", "current that braking may put back now", Current,
        formula: "least of the controller's setting and the packs' charge limit; nothing above the charge or below the temperature at which braking ends",
        sources: ["regeneration2023"],
        inputs: [field::controller::REGENERATION_CURRENT, field::pack::BMS_CHARGE, field::controls::BRAKING_FULL_AT, field::controls::BRAKING_COLD_AT,
            field::bank::STATE_OF_CHARGE, field::bank::TEMPERATURE],
        validity: "as set; where the setting is not told the controller's limit of the battery current stands for it", value: |s| exact(s.braking_now_a) }
    /// Of all events.
    BUS_HIGHEST { "volts_highest", "highest volts of the bus in the first 20 ms of an event", Voltage,
        formula: "braking: C dV/dt = P/V until the controller stops, then E + sqrt((V - E)^2 + 2 W/C); driving: sqrt(V^2 + 2 W/C); W = 3/4 L I^2 at \
                  the peak of the motor current; 10 s: V exp(-t/RC), no less than the shaft's own volts",
        sources: ["regeneration2023", "krause2013"],
        inputs: [field::controller::CAPACITANCE, field::controller::BRAKING_STOPS_AT, field::controller::BRAKING_STOPS_IN,
            field::motor::PHASE_INDUCTANCE, field::controller::OVERVOLTAGE, field::cable::STANDS],
        validity: "without losses, so an upper bound; at the limit of the motor current, counted as its effective value; cannot tell where a figure is not given",
        value: |s| exact(s.events.iter().filter_map(|event| event.volts.highest_v).reduce(f64::max)?) }
    /// Free propeller.
    SAILING_VOLTS { "sailing_volts", "volts that the freely turning shaft makes at the speed she sails", Voltage,
        formula: "n / Kv at the revolutions of the free propeller", sources: ["krause2013", "smogeli2006"],
        inputs: [field::week::SAILING_SPEED, field::motor::SPEED_CONSTANT, field::reduction::RATIO],
        validity: "magnets at 20 C; says nothing of the instant in which the protection opens while it brakes", value: |s| exact(s.sailing_v?) }
    }
}
