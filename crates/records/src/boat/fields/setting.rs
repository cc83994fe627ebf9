//! Fields of the boat's identity, the engine that was in her, the sea and the use.

use crate::boat::choice::{Chosen, WaterKind};
use crate::boat::descriptor::{Field, FieldKind};
use crate::boat::spread_rule::SpreadRule::{Absolute, Factor, Relative};
use wakewright_core::field;
use wakewright_units::Quantity as Q;
use wakewright_units::factors::{KNOT_M_S, RPM_REV_S, ZERO_CELSIUS_K};

pub(super) static BOAT: &[Field] = &[
    Field::new(field::boat::NAME, "name", FieldKind::Text).required().help("Her name.", "Sea Campion"),
    Field::new(field::boat::INVENTED, "invented", FieldKind::Text)
        .help("Only in examples: says that the boat does not exist, and her story.", "An invented boat."),
    Field::new(field::boat::TYPE, "type", FieldKind::Text)
        .help("Rig and kind, in words.", "42 ft pilot-house ketch"),
    Field::new(field::boat::YEAR, "year of building", FieldKind::Integer)
        .chosen()
        .possible(1800.0, 2100.0)
        .usual(1900.0, 2040.0)
        .help("When she was built.", "1979"),
    Field::new(field::boat::SURVEYED, "day of the survey", FieldKind::Date)
        .help("When the measurements below were taken.", "2025-08-28"),
    Field::new(field::boat::NOTE, "note", FieldKind::Text)
        .help("Anything worth remembering.", "Measured on the slip, tanks two thirds full."),
];

pub(super) static OLD_ENGINE: &[Field] = &[
    Field::quantity_of(field::old_engine::POWER, "rated power", Q::Power)
        .possible(500.0, 500_000.0)
        .usual(3000.0, 80_000.0)
        .spread(Relative(0.05), Relative(0.15))
        .help("On the plate.", "72 hp"),
    Field::quantity_of(field::old_engine::RATED_SPEED, "rated speed", Q::RotationalSpeed)
        .possible(200.0 * RPM_REV_S, 6000.0 * RPM_REV_S)
        .usual(1200.0 * RPM_REV_S, 4000.0 * RPM_REV_S)
        .spread(Relative(0.01), Relative(0.05))
        .help("Of the engine, at its rated power.", "2,300 rpm"),
    Field::quantity_of(field::old_engine::GEARBOX_RATIO, "ratio of its gearbox", Q::Ratio)
        .possible(0.5, 8.0)
        .usual(1.0, 3.5)
        .spread(Relative(0.002), Relative(0.05))
        .help("Turns of the engine for one turn of the shaft, ahead.", "2.9:1"),
    Field::quantity_of(field::old_engine::MASS, "mass taken out", Q::Mass)
        .possible(10.0, 3000.0)
        .usual(60.0, 700.0)
        .spread(Relative(0.05), Relative(0.15))
        .help("Engine, gearbox, tank and what went with them.", "520 kg"),
];

pub(super) static SEA: &[Field] = &[
    Field::new(field::sea::WATER, "water", FieldKind::Choice(WaterKind::CHOICES))
        .default("salt")
        .help("Where she floats.", "salt"),
    Field::quantity_of(field::sea::WATER_TEMPERATURE, "temperature of the water", Q::Temperature)
        .default("15 °C")
        .possible(ZERO_CELSIUS_K - 2.0, ZERO_CELSIUS_K + 36.0)
        .usual(ZERO_CELSIUS_K + 2.0, ZERO_CELSIUS_K + 30.0)
        .spread(Absolute(1.0), Absolute(3.0))
        .help("Thicker when cold.", "13 °C"),
    Field::quantity_of(field::sea::AIR_TEMPERATURE, "temperature of the air", Q::Temperature)
        .default("15 °C")
        .possible(ZERO_CELSIUS_K - 30.0, ZERO_CELSIUS_K + 60.0)
        .usual(ZERO_CELSIUS_K - 5.0, ZERO_CELSIUS_K + 40.0)
        .spread(Absolute(2.0), Absolute(5.0))
        .help("Around the motor; write more for a closed, warm engine space.", "16 °C"),
    Field::quantity_of(field::sea::DEPTH, "depth of the water", Q::Length)
        .chosen()
        .possible(0.3, 12_000.0)
        .usual(1.0, 12_000.0)
        .spread(Relative(0.05), Relative(0.3))
        .help("From surface to bottom, where it is shallow; left out, the water is deep.", "3 m"),
    Field::quantity_of(field::sea::CANAL_WIDTH, "width of the canal", Q::Length)
        .possible(1.5, 500.0)
        .usual(5.0, 100.0)
        .spread(Relative(0.05), Relative(0.3))
        .help(
            "Between its banks, at half depth; with the depth it tells how the water gets past her. Left out, there \
             are no banks.",
            "11 m",
        ),
    Field::quantity_of(field::sea::HEAD_WIND, "wind from ahead", Q::Speed)
        .chosen()
        .default("0 kn")
        .possible(0.0, 60.0 * KNOT_M_S)
        .usual(0.0, 35.0 * KNOT_M_S)
        .spread(Relative(0.15), Relative(0.3))
        .help("True wind, straight on the bow.", "6 kn"),
    Field::quantity_of(field::sea::SEA_MARGIN, "margin for waves", Q::Share)
        .chosen()
        .default("0 %")
        .possible(0.0, 3.0)
        .usual(0.0, 0.6)
        .spread(Absolute(0.05), Relative(0.5))
        .help("Share by which waves raise the resistance.", "15 %"),
];

pub(super) static USE: &[Field] = &[
    Field::quantity_of(field::usage::CRUISING_SPEED, "cruising speed", Q::Speed)
        .chosen()
        .possible(0.5 * KNOT_M_S, 20.0 * KNOT_M_S)
        .usual(2.0 * KNOT_M_S, 8.0 * KNOT_M_S)
        .help("Speed through the water at which most of the way is made.", "5 kn"),
    Field::quantity_of(field::usage::WISHED_SPEED, "wished top speed", Q::Speed)
        .chosen()
        .possible(0.5 * KNOT_M_S, 20.0 * KNOT_M_S)
        .usual(3.0 * KNOT_M_S, 9.0 * KNOT_M_S)
        .help("Speed that she should reach in calm water.", "7 kn"),
    // Median 1.09 with an 80 % band of 0.90 to 1.40: this project's prior for what tanks leave out and no term holds.
    Field::quantity_of(field::usage::IN_SERVICE_FACTOR, "in-service factor", Q::Ratio)
        .chosen()
        .default("1.09")
        .possible(0.5, 4.0)
        .usual(0.85, 1.8)
        .spread(Relative(0.06), Factor(0.826, 1.284))
        .help(
            "How much more she resists than a smooth model in a tank: skin fittings, chop, helm, and the mean of a light wind \
             from all sides. Left out until a sea trial gave it.",
            "1.09",
        ),
];
