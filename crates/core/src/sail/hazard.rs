//! What can go wrong while the propeller turns under sail: volts with the bank cut off, a shaft that
//! starts by itself. Not for: cautions of the drive at large (`caution`).

use super::prepared::UnderSail;
use crate::notice::{Notice, Severity};
use crate::numeric::solve_bracketed;
use std::f64::consts::TAU;

/// Work on a shaft that the water can turn.
pub const SHAFT_UNDER_SAIL: Notice = Notice::Remark {
    severity: Severity::Caution,
    text: "Sailing, being towed or a stream at anchor turns the propeller, and a turning magnet motor makes volts with \
           everything switched off. Lock the shaft before anybody touches terminals, seal, coupling or propeller.",
    source: "common practice, no source",
};

/// Charging by the propeller.
pub const REGENERATION: Notice = Notice::Remark {
    severity: Severity::Caution,
    text: "A bank that is full, cold or over its charge current is cut off by its protection: the braking vanishes, the \
           propeller runs up and the volts on the controller jump. Set the controller to ease off below the packs' limits, and \
           never open the main switch while it charges. \"Volts if cut off\" are those of a propeller that turns freely: when \
           the protection opens while the controller brakes, the controller goes on pushing its current into its own \
           capacitors and passes them, and any limit, within milliseconds (40 A into 2 mF: 20 V a millisecond).",
    source: "regeneration2023",
};

/// Speeds at which things happen that nobody may want.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hazards {
    /// Slowest boat speed, or stream at anchor, that sets a standing shaft turning \[m/s\].
    pub starts_turning_m_s: f64,
    /// Highest volts that controller and capacitors stand \[V\], as stated.
    pub controller_limit_v: Option<f64>,
    /// Boat speed at which the free propeller makes those volts \[m/s\]; `None` when no limit is stated or
    /// it is beyond 10 m/s.
    pub controller_limit_at_m_s: Option<f64>,
    /// Highest volts of the packs while charging \[V\].
    pub bank_highest_v: f64,
}

impl UnderSail {
    /// Volts on the controller's terminals when the bank is cut off and the propeller turns freely, set going if
    /// it would not start by itself \[V\]:
    /// the back-EMF, `rpm / Kv`, rectified by the controller's diodes.
    /// # Source
    /// Textbook, from memory. Magnets at 20 °C; the instant of cutting off may overshoot it by what the
    /// windings' inductance still drives.
    /// # Example
    /// By hand: turns of the motor over turns for each volt.
    /// ```
    /// # use wakewright_core::sail::UnderSail;
    /// # use wakewright_records::boat::{BoatDocument, build_spec};
    /// # let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/sea_campion.toml");
    /// # let document = BoatDocument::parse(&std::fs::read_to_string(path).unwrap()).unwrap();
    /// # let mut boat = build_spec(&document).unwrap().boat;
    /// let sail = UnderSail::new(&boat).unwrap().value;
    /// let motor_rev_s = sail.free_revs(3.0) * boat.drive_line.ratio;
    /// let volts = motor_rev_s / boat.motor.no_load_speed_rev_s_v;
    /// assert!((sail.volts_without_bank_v(3.0) - volts).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn volts_without_bank_v(&self, speed_m_s: f64) -> f64 {
        if self.is_stowed() {
            return 0.0;
        }
        self.motor.open_circuit_voltage_v(TAU * self.free_revs(speed_m_s) * self.drive_line.ratio)
    }

    /// What to look out for.
    #[must_use]
    pub fn hazards(&self) -> Hazards {
        let controller_limit_v = self.controller.overvoltage_v;
        let limit_at = controller_limit_v.and_then(|limit| {
            solve_bracketed(|speed| self.volts_without_bank_v(speed) - limit, 0.05, 10.0, 1e-3).ok()
        });
        Hazards {
            starts_turning_m_s: self.starts_turning_m_s(),
            controller_limit_v,
            controller_limit_at_m_s: limit_at,
            bank_highest_v: self.bank.high_voltage_v,
        }
    }
}
