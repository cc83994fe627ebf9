//! Fields of packs and bank.

use super::electric::{MEMORY, PRACTICE};
use crate::boat::choice::{CellKind, Chosen};
use crate::boat::descriptor::{Field, FieldKind};
use crate::boat::spread_rule::SpreadRule::{Absolute, Relative};
use wakewright_core::field;
use wakewright_units::Quantity as Q;
use wakewright_units::factors::{AMPERE_HOUR_C, ZERO_CELSIUS_K};

pub(super) static PACK: &[Field] = &[
    Field::new(field::pack::NAME, "name of the pack", FieldKind::Text)
        .help("As you call it.", "abreast the shaft"),
    Field::new(field::pack::GROUP, "group", FieldKind::Text)
        .default("drive")
        .help("Packs of one group are in parallel; the motor runs from the group called drive.", "drive"),
    Field::new(field::pack::CHEMISTRY, "chemistry", FieldKind::Choice(CellKind::CHOICES))
        .estimated("what is usual", PRACTICE)
        .help("On the label.", "LFP"),
    Field::new(field::pack::COUNT, "number of such packs", FieldKind::Integer)
        .default("1")
        .possible(1.0, 100.0)
        .usual(1.0, 16.0)
        .help("How many like this are in parallel.", "3"),
    Field::new(field::pack::CELLS_IN_SERIES, "cells in series", FieldKind::Integer)
        .estimated("the nominal voltage, else 48 V", PRACTICE)
        .possible(1.0, 250.0)
        .usual(4.0, 120.0)
        .help("Of lithium 16 for a 48 V pack of LFP; of lead 6 for each 12 V battery in the string.", "24"),
    Field::quantity_of(field::pack::VOLTAGE, "nominal voltage", Q::Voltage)
        .possible(1.5, 900.0)
        .usual(11.0, 450.0)
        .help("As printed; held against chemistry and cells.", "76.8 V"),
    Field::quantity_of(field::pack::CAPACITY, "capacity when new", Q::Charge)
        .estimated("an hour at the motor's rated power", PRACTICE)
        .possible(0.5 * AMPERE_HOUR_C, 5000.0 * AMPERE_HOUR_C)
        .usual(20.0 * AMPERE_HOUR_C, 1000.0 * AMPERE_HOUR_C)
        .spread(Relative(0.02), Relative(0.06))
        .help("Rated capacity of one pack; of lead at the 20-hour rate.", "105 Ah"),
    Field::quantity_of(field::pack::RESISTANCE, "resistance of the pack", Q::Resistance)
        .estimated("chemistry, cells and capacity", PRACTICE)
        .possible(5e-5, 2.0)
        .usual(5e-4, 0.15)
        .spread(Relative(0.15), Relative(0.4))
        .help(
            "Of one pack with its protection: drop in volts over a known current after ten seconds.",
            "24 mohm",
        ),
    Field::quantity_of(field::pack::HEALTH, "capacity left", Q::Share)
        .default("100 %")
        .possible(0.05, 1.2)
        .usual(0.6, 1.05)
        .spread(Absolute(0.02), Absolute(0.06))
        .help("Measured capacity over rated capacity.", "96 %"),
    Field::quantity_of(field::pack::BMS_DISCHARGE, "discharge limit of the pack", Q::Current)
        .estimated("the capacity: lithium one hour's rate", PRACTICE)
        .possible(1.0, 5000.0)
        .usual(20.0, 1000.0)
        .spread(Relative(0.02), Relative(0.15))
        .help("Continuous current at which the protection of one pack still holds.", "150 A"),
    Field::quantity_of(field::pack::BMS_CHARGE, "charge limit of the pack", Q::Current)
        .estimated("the capacity: lithium half an hour's rate", PRACTICE)
        .possible(0.5, 5000.0)
        .usual(5.0, 600.0)
        .spread(Relative(0.02), Relative(0.15))
        .help("Continuous current at which one pack may be charged.", "60 A"),
];

pub(super) static BANK: &[Field] = &[
    Field::quantity_of(field::bank::STATE_OF_CHARGE, "state of charge", Q::Share)
        .default("100 %")
        .possible(0.0, 1.0)
        .usual(0.1, 1.0)
        .spread(Absolute(0.03), Absolute(0.08))
        .help("At the start of what is computed.", "85 %"),
    Field::quantity_of(field::bank::TEMPERATURE, "temperature of the bank", Q::Temperature)
        .default("15 °C")
        .possible(ZERO_CELSIUS_K - 30.0, ZERO_CELSIUS_K + 65.0)
        .usual(ZERO_CELSIUS_K, ZERO_CELSIUS_K + 40.0)
        .spread(Absolute(2.0), Absolute(5.0))
        .help("Of the cells, not of the air.", "13 °C"),
    Field::quantity_of(field::bank::CABLE_RESISTANCE, "resistance of cables and joints", Q::Resistance)
        .estimated("two metres of cable each way with its lugs, fuse and switch", MEMORY)
        .possible(0.0, 0.5)
        .usual(2e-4, 0.02)
        .spread(Relative(0.1), Relative(0.4))
        .help(
            "From the packs' terminals to the controller and back: drop in volts over a known current.",
            "1.5 mohm",
        ),
    Field::quantity_of(field::bank::RESERVE, "reserve", Q::Share)
        .chosen()
        .estimated("the cells: 20 % for lithium, 50 % for lead, which does not like to go deeper", PRACTICE)
        .possible(0.0, 0.95)
        .usual(0.05, 0.6)
        .help("State of charge below which you do not plan to go.", "25 %"),
    Field::new(field::bank::FOR_EACH_DRIVE, "a bank for each drive", FieldKind::Flag).default("false").help(
        "Whether each of two drives has its own half of the packs; else both run from all of them.",
        "true",
    ),
    Field::quantity_of(field::bank::HOUSE_LOAD, "standing load", Q::Power)
        .estimated("the mean of the loads under house; 30 W under way where there are none", PRACTICE)
        .possible(0.0, 20_000.0)
        .usual(0.0, 1000.0)
        .spread(Relative(0.1), Relative(0.4))
        .help("Mean power of everything else that the same bank feeds under way.", "110 W"),
];
