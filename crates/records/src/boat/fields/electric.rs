//! Fields of motor, controller, packs and bank.
//!
//! Limits are plausibility for drives of 1 to 60 kW; bands are common practice, no source.

use crate::boat::choice::Chosen;
use crate::boat::descriptor::{Field, FieldKind};
use crate::boat::spread_rule::SpreadRule::{Absolute, Exact, Relative};
use wakewright_core::drive::{Cooling, ThrottleMode};
use wakewright_core::field;
use wakewright_units::Quantity as Q;
use wakewright_units::factors::{HOUR_S, RPM_REV_S, ZERO_CELSIUS_K};

pub(super) const MEMORY: &str = "from memory";
pub(super) const PRACTICE: &str = "common practice, no source";

pub(super) static MOTOR: &[Field] = &[
    Field::new(field::motor::COUNT, "number of like drives", FieldKind::Integer)
        .default("1")
        .possible(1.0, 2.0)
        .usual(1.0, 2.0)
        .help("Two where a second propeller has a reduction, motor and controller like the first; all that is said of them is said of each.", "2"),
    Field::new(field::motor::RUNNING, "drives that run", FieldKind::Integer)
        .chosen()
        .possible(1.0, 2.0)
        .usual(1.0, 2.0)
        .help("Those that push; the other stands and drags. Not stated: all.", "1"),
    Field::new(field::motor::NOTE, "note on the motor", FieldKind::Text)
        .help("Type and rating in words.", "20 kW water-cooled permanent-magnet motor, 80 V class"),
    Field::quantity_of(field::motor::SPEED_CONSTANT, "speed constant", Q::RotationalSpeedPerVolt)
        .estimated("rated speed and the bank's volts", PRACTICE)
        .possible(2.0 * RPM_REV_S, 1000.0 * RPM_REV_S)
        .usual(12.0 * RPM_REV_S, 200.0 * RPM_REV_S)
        .spread(Relative(0.02), Relative(0.06))
        .help(
            "No-load speed for each volt of direct voltage at full duty; on the plate, or no-load \
             speed over voltage.",
            "36 rpm/V",
        ),
    Field::quantity_of(field::motor::RESISTANCE, "resistance of the winding", Q::Resistance)
        .estimated("rated power, rated speed and speed constant", PRACTICE)
        .possible(1e-4, 5.0)
        .usual(1e-3, 0.08)
        .spread(Relative(0.1), Relative(0.35))
        .help("Between two leads, cold, with a four-wire meter.", "6 mohm"),
    Field::quantity_of(field::motor::NO_LOAD_CURRENT, "no-load current", Q::Current)
        .estimated("rated power and speed constant", PRACTICE)
        .possible(0.0, 200.0)
        .usual(0.5, 30.0)
        .spread(Relative(0.1), Relative(0.4))
        .help("Motor current when it turns free near its rated speed.", "9 A"),
    Field::quantity_of(field::motor::RATED_POWER, "rated power", Q::Power)
        .estimated("displacement: 1.5 kW a tonne", PRACTICE)
        .possible(100.0, 300_000.0)
        .usual(1000.0, 60_000.0)
        .spread(Relative(0.05), Relative(0.15))
        .help("Power at the motor's shaft that it can give for as long as you like.", "20 kW"),
    Field::quantity_of(field::motor::RATED_SPEED, "rated speed", Q::RotationalSpeed)
        .estimated("speed constant and volts, else what is usual", PRACTICE)
        .possible(50.0 * RPM_REV_S, 20_000.0 * RPM_REV_S)
        .usual(600.0 * RPM_REV_S, 6000.0 * RPM_REV_S)
        .spread(Relative(0.02), Relative(0.05))
        .help("Speed of the motor at its rated power.", "2,500 rpm"),
    Field::quantity_of(field::motor::PEAK_POWER, "peak power", Q::Power)
        .possible(100.0, 600_000.0)
        .usual(1000.0, 120_000.0)
        .spread(Relative(0.05), Relative(0.15))
        .help("Power at the motor's shaft that it can give for a short time.", "30 kW"),
    Field::quantity_of(field::motor::PEAK_TIME, "time at peak power", Q::Duration)
        .possible(1.0, 4.0 * HOUR_S)
        .usual(5.0, HOUR_S)
        .spread(Relative(0.15), Relative(0.4))
        .help("For how long it can give its peak power, from cold: with it, it is known how slowly the motor warms.", "3 min"),
    Field::quantity_of(field::motor::MASS, "mass of the motor", Q::Mass)
        .possible(0.5, 1500.0)
        .usual(4.0, 150.0)
        .spread(Relative(0.03), Relative(0.15))
        .help("On the plate or a scale; it decides how slowly the motor warms where the time at peak power is not stated.", "52 kg"),
    Field::new(field::motor::BRUSHES, "brushes", FieldKind::Flag).default("false").help(
        "Whether carbon brushes feed it; they take about a volt and lose it times the current.",
        "false",
    ),
    Field::new(field::motor::COOLING, "cooling of the motor", FieldKind::Choice(Cooling::CHOICES))
        .default("still air")
        .help("What carries its heat away.", "water"),
    Field::quantity_of(field::motor::WINDING_LIMIT, "limit of the winding", Q::Temperature)
        .default("120 °C")
        .possible(ZERO_CELSIUS_K + 60.0, ZERO_CELSIUS_K + 250.0)
        .usual(ZERO_CELSIUS_K + 90.0, ZERO_CELSIUS_K + 180.0)
        .spread(Exact, Absolute(10.0))
        .help("Temperature of the winding at which the drive cuts back.", "140 °C"),
];

pub(super) static CONTROLLER: &[Field] = &[
    Field::quantity_of(field::controller::PHASE_CURRENT, "limit of the motor current", Q::Current)
        .chosen()
        .estimated("rated power and speed, and speed constant", PRACTICE)
        .possible(5.0, 3000.0)
        .usual(50.0, 800.0)
        .spread(Relative(0.02), Relative(0.1))
        .help("Greatest current in the motor leads, as the controller counts it.", "250 A"),
    Field::quantity_of(field::controller::BATTERY_CURRENT, "limit of the battery current", Q::Current)
        .chosen()
        .estimated("rated power and the bank's volts", PRACTICE)
        .possible(5.0, 3000.0)
        .usual(30.0, 600.0)
        .spread(Relative(0.02), Relative(0.1))
        .help("Greatest current that the controller takes from the bank.", "280 A"),
    Field::quantity_of(field::controller::POWER_LIMIT, "limit of the power", Q::Power)
        .chosen()
        .possible(100.0, 600_000.0)
        .usual(1000.0, 100_000.0)
        .spread(Relative(0.02), Relative(0.1))
        .help("Greatest power taken from the bank, when one is set.", "22 kW"),
    Field::quantity_of(field::controller::STANDING_POWER, "standing power of the drive", Q::Power)
        .estimated("what controller, lever, display, contactor coil, battery protection and 12 V converter usually take", MEMORY)
        .possible(0.0, 1000.0)
        .usual(1.0, 250.0)
        .spread(Relative(0.15), Relative(0.5))
        .help("Key on, lever at rest: amps from the bank times its volts.", "40 W"),
    Field::quantity_of(field::controller::UNDERVOLTAGE, "voltage at which it cuts back", Q::Voltage)
        .chosen()
        .possible(6.0, 800.0)
        .usual(10.0, 150.0)
        .spread(Absolute(0.2), Absolute(1.0))
        .help("Bank voltage below which the controller takes less.", "66 V"),
    Field::quantity_of(field::controller::OVERVOLTAGE, "highest voltage that it stands", Q::Voltage)
        .possible(6.0, 1000.0)
        .usual(14.0, 200.0)
        .spread(Absolute(0.5), Absolute(3.0))
        .help(
            "Of the controller and its capacitors; a propeller that turns under sail can exceed it.",
            "92 V",
        ),
    Field::quantity_of(
        field::controller::REGENERATION_CURRENT,
        "limit of the current into the bank",
        Q::Current,
    )
    .possible(0.0, 3000.0)
    .usual(5.0, 400.0)
    .spread(Relative(0.02), Relative(0.1))
    .help("Greatest current that the controller puts back when the propeller turns the motor.", "60 A"),
    Field::quantity_of(field::controller::MAXIMUM_DUTY, "greatest duty", Q::Share)
        .chosen()
        .default("95 %")
        .possible(0.3, 1.0)
        .usual(0.85, 1.0)
        .spread(Absolute(0.005), Absolute(0.02))
        .help("Share of the bank's voltage that reaches the motor at full throttle.", "96 %"),
    Field::new(
        field::controller::LEVER,
        "what the throttle asks for",
        FieldKind::Choice(ThrottleMode::CHOICES),
    )
    .default("speed")
    .help("What the controller holds for a given position of the throttle.", "torque"),
    Field::new(field::controller::FIELD_WEAKENING, "field weakening", FieldKind::Flag)
        .default("false")
        .help("Whether it turns the motor faster than the voltage alone would allow.", "false"),
];
