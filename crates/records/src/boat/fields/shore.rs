//! Fields of loads by the hour, the week and shore power.

use crate::boat::descriptor::{Field, FieldKind};
use crate::boat::spread_rule::SpreadRule::Relative;
use wakewright_core::field;
use wakewright_units::Quantity as Q;
use wakewright_units::factors::{HOUR_S, KNOT_M_S};

pub(super) static HOUSE: &[Field] = &[
    Field::new(field::house::NAME, "name of the load", FieldKind::Text).help("As you call it.", "fridge"),
    Field::quantity_of(field::house::POWER, "mean power", Q::Power)
        .required()
        .possible(0.0, 20_000.0)
        .usual(0.0, 2500.0)
        .spread(Relative(0.1), Relative(0.3))
        .help("Over the hours in which it is on, its pauses counted in.", "48 W"),
    Field::new(field::house::FROM, "hour from which it is on", FieldKind::Integer)
        .chosen()
        .default("0")
        .possible(0.0, 24.0)
        .usual(0.0, 24.0)
        .help("Full hour, 0 to 24.", "17"),
    Field::new(field::house::TO, "hour to which it is on", FieldKind::Integer)
        .chosen()
        .default("24")
        .possible(0.0, 24.0)
        .usual(0.0, 24.0)
        .help("Full hour; earlier than the first means over midnight.", "23"),
];

pub(super) static WEEK: &[Field] = &[
    Field::new(field::week::DAYS, "days under way in a week", FieldKind::Integer)
        .chosen()
        .default("2")
        .possible(0.0, 7.0)
        .usual(0.0, 7.0)
        .help("On how many days of the week she goes out.", "3"),
    Field::new(field::week::LEAVES_AT, "hour of leaving", FieldKind::Integer)
        .chosen()
        .default("10")
        .possible(0.0, 23.0)
        .usual(4.0, 20.0)
        .help("Full hour; she motors first and sails then.", "8"),
    Field::quantity_of(field::week::MOTORING, "motoring in a week", Q::Duration)
        .chosen()
        .default("0 h")
        .possible(0.0, 168.0 * HOUR_S)
        .usual(0.0, 60.0 * HOUR_S)
        .help("Hours in all.", "5 h"),
    Field::quantity_of(field::week::MOTORING_SPEED, "speed when motoring", Q::Speed)
        .chosen()
        .possible(0.5 * KNOT_M_S, 20.0 * KNOT_M_S)
        .usual(2.0 * KNOT_M_S, 8.0 * KNOT_M_S)
        .help("Through the water; the cruising speed when left out.", "5 kn"),
    Field::quantity_of(field::week::SAILING, "sailing in a week", Q::Duration)
        .chosen()
        .default("0 h")
        .possible(0.0, 168.0 * HOUR_S)
        .usual(0.0, 80.0 * HOUR_S)
        .help("Hours in all.", "7 h"),
    Field::quantity_of(field::week::SAILING_SPEED, "speed when sailing", Q::Speed)
        .chosen()
        .default("5 kn")
        .possible(0.5 * KNOT_M_S, 15.0 * KNOT_M_S)
        .usual(2.0 * KNOT_M_S, 9.0 * KNOT_M_S)
        .help("Through the water.", "6 kn"),
    Field::new(field::week::REGENERATES, "charges under sail", FieldKind::Flag)
        .default("true")
        .help("Whether the propeller turns the motor while she sails.", "true"),
    Field::quantity_of(field::week::REGENERATION_LOSS, "speed that charging may cost", Q::Speed)
        .chosen()
        .default("0.2 kn")
        .possible(0.0, 2.0 * KNOT_M_S)
        .usual(0.0, 1.0 * KNOT_M_S)
        .help("Beyond the freely turning propeller.", "0.2 kn"),
];

pub(super) static SHORE: &[Field] = &[
    Field::quantity_of(field::shore::CURRENT, "rating of the socket", Q::Current)
        .default("16 A")
        .possible(1.0, 125.0)
        .usual(5.0, 63.0)
        .help("Printed on it; four fifths of it are taken for hours.", "32 A"),
    Field::quantity_of(field::shore::VOLTAGE, "voltage of the socket", Q::Voltage)
        .default("230 V")
        .possible(90.0, 480.0)
        .usual(110.0, 250.0)
        .help("Of the shore's network.", "230 V"),
    Field::quantity_of(field::shore::CHARGER_POWER, "power of the charger", Q::Power)
        .possible(10.0, 50_000.0)
        .usual(100.0, 12_000.0)
        .help("Into the bank, at most.", "4 kW"),
    Field::quantity_of(field::shore::CHARGER_EFFICIENCY, "efficiency of the charger", Q::Share)
        .default("90 %")
        .possible(0.3, 1.0)
        .usual(0.8, 0.97)
        .help("What comes out over what goes in.", "90 %"),
    Field::quantity_of(field::shore::GENERATOR, "power of the generator", Q::Power)
        .possible(100.0, 50_000.0)
        .usual(500.0, 12_000.0)
        .help("What it can give to the charger for hours.", "2 kW"),
    Field::quantity_of(field::shore::PLUG_IN_AT, "charge at which she plugs in", Q::Share)
        .chosen()
        .possible(0.0, 1.0)
        .usual(0.05, 0.9)
        .help("State of charge; the reserve when left out.", "35 %"),
    Field::quantity_of(field::shore::UNTIL, "charge at which she unplugs", Q::Share)
        .chosen()
        .default("80 %")
        .possible(0.05, 1.0)
        .usual(0.3, 1.0)
        .help("State of charge.", "90 %"),
];
