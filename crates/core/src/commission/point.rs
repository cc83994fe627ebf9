//! What is read on the day, step by step, with what the instrument itself is off. Not for: what it should read (`predict`).

use wakewright_units::Quantity;

use crate::caution::{COMMISSION_FIRST_TURN, COMMISSION_INSULATION, COMMISSION_LEADS, QUAY_PULL};
use crate::notice::Notice;

/// What an instrument is off: 80 % of readings lie within share and amount together. From memory: hand meters, a clamp, a
/// light-mark counter, a crane scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instrument {
    /// Of the reading.
    pub share: f64,
    /// Besides, SI.
    pub amount: f64,
}

impl Instrument {
    /// Half the 80 % band at this reading.
    #[must_use]
    pub fn half_band(self, reading: f64) -> f64 {
        (self.share * reading).hypot(self.amount)
    }
}

/// A reading.
#[derive(Debug, Clone)]
pub struct Point {
    /// Stable name, and that of its question.
    pub key: &'static str,
    /// In a field and in the table.
    pub label: &'static str,
    /// Kind of quantity.
    pub quantity: Quantity,
    /// What its instrument is off.
    pub instrument: Instrument,
    /// What is done.
    pub to_do: &'static str,
    /// What can hurt while it is done.
    pub caution: Notice,
    /// It needs a coupling to open or a shaft to see.
    pub is_of_open_line: bool,
}

/// Places of the readings in their list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(usize)]
pub enum PointKey {
    /// Volts at rest.
    Rest,
    /// Pre-charge.
    Precharge,
    /// Motor without load, half lever.
    FreeSpeed,
    /// Amps there.
    FreeAmps,
    /// Half the revolutions against a quay: amps.
    HalfAmps,
    /// Winding after ten minutes of it.
    HalfWinding,
    /// Full lever against a quay: volts.
    QuayVolts,
    /// Amps.
    QuayAmps,
    /// Motor.
    QuayMotor,
    /// Shaft.
    QuayShaft,
    /// Pull.
    QuayPull,
}

macro_rules! points {
    ($($key:literal, $label:literal, $quantity:ident, ($share:literal, $amount:literal), $caution:ident, $to_do:literal;)+) => {
        /// All of them, in the order in which they are taken.
        pub static POINTS: &[Point] = &[$(Point {
            key: $key, label: $label, quantity: Quantity::$quantity, instrument: Instrument { share: $share, amount: $amount },
            caution: $caution, to_do: $to_do,
            is_of_open_line: matches!($key.as_bytes(), b"free-motor" | b"free-amps" | b"quay-shaft"),
        }),+];
    };
}

points! {
    "rest-volts", "volts at rest", Voltage, (0.003, 0.05), COMMISSION_LEADS,
        "Loads and charger off for two hours: volts of the bank.";
    "precharge", "pre-charge", ShortDuration, (0.05, 0.05), COMMISSION_LEADS,
        "Switch on: time until the volts behind the resistor stand at 95 % of the bank's.";
    "free-motor", "motor, free, half lever", RotationalSpeed, (0.005, 0.05), COMMISSION_FIRST_TURN,
        "Coupling open or belt off, lever to half: revolutions of the motor.";
    "free-amps", "amps, free, half lever", Current, (0.03, 0.3), COMMISSION_FIRST_TURN,
        "The same: amps of the bank, standing loads as they are.";
    "half-amps", "amps, quay, half turns", Current, (0.02, 0.5), QUAY_PULL,
        "Coupled, made fast, ahead at half the shaft's revolutions of the next step: amps of the bank.";
    "half-winding", "winding, ten minutes", Temperature, (0.0, 4.0), QUAY_PULL,
        "Hold that ten minutes from cold: temperature of the motor's winding as the display has it.";
    "quay-volts", "volts, quay, full lever", Voltage, (0.003, 0.05), COMMISSION_LEADS,
        "Lever slowly to full, a few seconds: volts at the controller's test points.";
    "quay-amps", "amps, quay, full lever", Current, (0.02, 1.0), QUAY_PULL,
        "The same: amps of the bank.";
    "quay-motor", "motor, quay, full lever", RotationalSpeed, (0.005, 0.05), QUAY_PULL,
        "The same: revolutions of the motor.";
    "quay-shaft", "shaft, quay, full lever", RotationalSpeed, (0.005, 0.05), QUAY_PULL,
        "The same: revolutions of the shaft, by a mark and a light from where no hand, hair or sleeve can reach it.";
    "quay-pull", "pull, quay, full lever", Force, (0.03, 30.0), QUAY_PULL,
        "The same, on a scale in the line, open water astern: pull.";
}

/// Something that is so or not.
#[derive(Debug, Clone)]
pub struct Flag {
    /// Stable name, and that of its question.
    pub key: &'static str,
    /// What is done.
    pub to_do: &'static str,
    /// What can hurt while it is done.
    pub caution: Notice,
}

/// All of them.
pub static FLAGS: [Flag; 4] = [
    Flag {
        key: "direction",
        to_do: "Coupling open, least lever ahead: the motor turns the way that drives her ahead.",
        caution: COMMISSION_FIRST_TURN,
    },
    Flag {
        key: "neutral",
        to_do: "Lever to neutral: the motor comes to rest and stays so.",
        caution: COMMISSION_FIRST_TURN,
    },
    Flag {
        key: "interlocks",
        to_do: "Switched on with the lever ahead, and with the shore lead in: it does not start.",
        caution: COMMISSION_FIRST_TURN,
    },
    Flag {
        key: "stop",
        to_do: "Least lever, then the emergency stop and the kill cord, one by one: it stops.",
        caution: COMMISSION_FIRST_TURN,
    },
];

/// The insulation of each pole against hull and water: its caution stands with it.
pub const INSULATION: Notice = COMMISSION_INSULATION;
/// Ohms for each volt of the bank from which on it passes, and below which it fails. From memory: the limits of road vehicles.
pub const INSULATION_OHM_V: [f64; 2] = [500.0, 100.0];
