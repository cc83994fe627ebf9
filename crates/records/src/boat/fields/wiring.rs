//! Fields of runs, fuses, contactors, pre-charge and what was decided about the wiring.
//!
//! Limits are plausibility for boats of 6 to 15 m; usual values are common practice, no source.

use crate::boat::choice::{CableEnd, Chosen, SwitchKind, VoltsKind};
use crate::boat::descriptor::{Field, FieldKind};
use crate::boat::spread_rule::SpreadRule::Relative;
use wakewright_core::field;
use wakewright_core::wiring::{FuseClass, Insulation, Poles, Service, ShoreEarth, Strand};
use wakewright_units::Quantity as Q;
use wakewright_units::factors::ZERO_CELSIUS_K;

/// Yes or no; left out, the rule that asks cannot be told.
const fn decided(key: &'static str, label: &'static str, help: &'static str) -> Field {
    Field::new(key, label, FieldKind::Flag).help(help, "true")
}

pub(super) static WIRING: &[Field] = &[
    Field::new(field::wiring::POLES, "poles against the hull", FieldKind::Choice(Poles::CHOICES))
        .help("How the two poles of the bank stand to hull and earth.", "floating"),
    decided(
        field::wiring::BOTH_POLES_FUSED,
        "fuse and switch in both poles",
        "Whether both poles have fuse and switch at the source; a floating bank needs it.",
    ),
    decided(
        field::wiring::INSULATION_WATCHED,
        "insulation watched",
        "Whether the insulation of a floating bank is watched: the first fault shows nothing, the second is a short circuit.",
    ),
    decided(field::wiring::COVERED, "live parts covered", "Whether every live part is covered or enclosed."),
    decided(field::wiring::ISOLATOR, "main switch at the bank", "Whether a main switch stands at the bank."),
    decided(
        field::wiring::HELM_STOP,
        "stop at the helm",
        "Whether the motor can be cut from where she is steered.",
    ),
    decided(
        field::wiring::WARNING,
        "warning before the packs cut",
        "Whether a warning is heard at the helm before the packs' protection opens.",
    ),
    decided(field::wiring::SHUNT, "shunt", "Whether a shunt in the negative counts every current."),
    Field::new(field::wiring::SHORE_EARTH, "shore earth", FieldKind::Choice(ShoreEarth::CHOICES))
        .help("What becomes of the earth of the shore lead aboard.", "isolator"),
    decided(
        field::wiring::CONVERTERS_ISOLATED,
        "charger and converter separate",
        "Whether charger and converters separate their two sides.",
    ),
    decided(
        field::wiring::DRY_SPACE,
        "pack space dry",
        "Whether water cannot stand where packs and joints are.",
    ),
    Field::new(field::wiring::LUGS_ON_STUD, "most lugs on one stud", FieldKind::Integer)
        .possible(1.0, 20.0)
        .usual(1.0, 6.0)
        .help("On the fullest stud of battery, busbar or switch.", "3"),
    decided(
        field::wiring::LEADS_ALIKE,
        "motor's leads alike",
        "Whether the three leads of the motor are of one size and length.",
    ),
    Field::quantity_of(field::wiring::ENGINE_SPACE, "air of the engine space", Q::Temperature)
        .default("50 °C")
        .possible(ZERO_CELSIUS_K - 10.0, ZERO_CELSIUS_K + 90.0)
        .usual(ZERO_CELSIUS_K + 20.0, ZERO_CELSIUS_K + 65.0)
        .help("For cables that lie in it; 30 °C elsewhere.", "60 °C"),
    Field::quantity_of(field::wiring::COLDEST, "coldest bank", Q::Temperature)
        .default("0 °C")
        .possible(ZERO_CELSIUS_K - 30.0, ZERO_CELSIUS_K + 40.0)
        .usual(ZERO_CELSIUS_K - 10.0, ZERO_CELSIUS_K + 20.0)
        .help("In service; the least short circuit is reckoned with it.", "5 °C"),
];

pub(super) static CABLE: &[Field] = &[
    Field::new(field::cable::NAME, "name of the run", FieldKind::Text)
        .required()
        .help("As you call it, and as fuses and contactors name it.", "main cable"),
    Field::new(field::cable::FROM, "where it begins", FieldKind::Text)
        .required()
        .help("The place on the side of the source.", "pack"),
    Field::new(field::cable::TO, "where it ends", FieldKind::Text)
        .required()
        .help("The place on the side of the load.", "controller"),
    Field::quantity_of(field::cable::LENGTH, "length one way", Q::Length)
        .required()
        .possible(0.02, 40.0)
        .usual(0.1, 15.0)
        .spread(Relative(0.05), Relative(0.2))
        .help("Of one conductor, along its way.", "2 m"),
    Field::new(field::cable::SIZE, "size", FieldKind::Text)
        .help("A stock size, metric or of the American gauge. Left out, what would do is told.", "50 mm2"),
    Field::new(field::cable::CONDUCTOR, "conductor", FieldKind::Choice(Strand::CHOICES))
        .default("flexible tinned")
        .help("How its wires are drawn and coated.", "flexible tinned"),
    Field::new(field::cable::INSULATION, "insulation", FieldKind::Choice(Insulation::CHOICES))
        .default("90 °C")
        .help("Rated temperature printed on it.", "105 °C"),
    Field::new(field::cable::ENGINE_SPACE, "in the engine space", FieldKind::Flag)
        .default("false")
        .help("Whether any part of it lies there.", "true"),
    Field::new(field::cable::TOGETHER, "conductors in its bundle", FieldKind::Integer)
        .default("2")
        .possible(1.0, 60.0)
        .usual(1.0, 24.0)
        .help("Those that carry current, its own two with them.", "2"),
    Field::new(field::cable::SHEATHED, "sheathed", FieldKind::Flag)
        .default("false")
        .help("In a sheath or enclosure all the way.", "true"),
    Field::quantity_of(field::cable::SPACING, "between its conductors", Q::SmallLength)
        .default("30 mm")
        .possible(0.002, 5.0)
        .usual(0.005, 1.0)
        .help("From middle to middle of the two.", "20 mm"),
    Field::new(field::cable::SERVICE, "what it is for", FieldKind::Choice(Service::CHOICES))
        .help("Left out, it follows from its ends.", "propulsion"),
    Field::quantity_of(field::cable::LOAD, "load for hours", Q::Current)
        .possible(0.0, 3000.0)
        .usual(0.0, 600.0)
        .help("Where it is not the drive's own; left out, it is reckoned.", "20 A"),
    Field::quantity_of(field::cable::STANDS, "greatest volts of what hangs on it", Q::Voltage)
        .possible(6.0, 2000.0)
        .usual(14.0, 200.0)
        .help("Of the converter, charger or regulator at its end, from its sheet.", "100 V"),
    Field::new(field::cable::STUD, "studs of its lugs", FieldKind::Text)
        .help("Of both ends, or of beginning and end; for the boatyard's list.", "M8, M10"),
];

pub(super) static FUSE: &[Field] = &[
    Field::new(field::fuse::NAME, "name of the fuse", FieldKind::Text)
        .required()
        .help("As you call it.", "main fuse"),
    Field::new(field::fuse::CABLE, "its cable", FieldKind::Text)
        .required()
        .help("Name of the run in which it stands.", "main cable"),
    Field::new(field::fuse::END, "at which end", FieldKind::Choice(CableEnd::CHOICES)).default("from").help(
        "At the beginning of its run, or at the end where the source stands there, as with a charger.",
        "from",
    ),
    Field::new(field::fuse::CLASS, "class", FieldKind::Choice(FuseClass::CHOICES))
        .required()
        .help("Kind of fuse.", "class T"),
    Field::quantity_of(field::fuse::RATING, "rating", Q::Current)
        .required()
        .possible(0.5, 3000.0)
        .usual(1.0, 1000.0)
        .help("Rated current.", "300 A"),
    Field::quantity_of(field::fuse::VOLTAGE, "volts", Q::Voltage)
        .estimated("the least that sheets of its class show", "fuses2024")
        .possible(6.0, 2000.0)
        .usual(12.0, 1000.0)
        .help("Direct volts on its sheet.", "125 V"),
    Field::new(field::fuse::VOLTAGE_KIND, "kind of volts", FieldKind::Choice(VoltsKind::CHOICES))
        .default("DC")
        .help("Alternating volts on a sheet say nothing of direct current.", "DC"),
    Field::quantity_of(field::fuse::INTERRUPTING, "interrupting rating", Q::Current)
        .estimated("the least that sheets of its class show", "fuses2024")
        .possible(100.0, 300_000.0)
        .usual(500.0, 100_000.0)
        .help("Greatest current that it breaks, at the bank's volts.", "20 kA"),
    Field::quantity_of(field::fuse::MELTING_CURRENT, "current at which it melts in 5 s", Q::Current)
        .possible(1.0, 30_000.0)
        .usual(2.0, 8000.0)
        .help("Read off its curve.", "900 A"),
    Field::quantity_of(field::fuse::LET_THROUGH, "total let-through in A2s", Q::Ratio)
        .possible(1.0, 1e9)
        .usual(10.0, 1e8)
        .help("At direct volts, a plain number from its sheet.", "60000"),
    Field::quantity_of(field::fuse::L_OVER_R, "L over R of its sheet", Q::Instant)
        .possible(1e-4, 1.0)
        .usual(1e-3, 0.05)
        .help("Time constant of the circuit with which its direct volts were tested.", "10 ms"),
    Field::quantity_of(field::fuse::DISTANCE, "way from the source", Q::SmallLength)
        .possible(0.0, 40.0)
        .usual(0.0, 3.0)
        .help("Along the conductor, from the source's terminal.", "150 mm"),
];

pub(super) static CONTACTOR: &[Field] = &[
    Field::new(field::contactor::NAME, "name of the contactor", FieldKind::Text)
        .required()
        .help("As you call it.", "main contactor"),
    Field::new(field::contactor::CABLE, "its cable", FieldKind::Text)
        .required()
        .help("Name of the run that it opens.", "main cable"),
    Field::new(field::contactor::KIND, "kind", FieldKind::Choice(SwitchKind::CHOICES))
        .default("contactor")
        .help("Worked by a coil or by hand.", "contactor"),
    Field::quantity_of(field::contactor::MAKE, "current that it makes", Q::Current)
        .possible(1.0, 30_000.0)
        .usual(20.0, 6000.0)
        .help("From its sheet.", "650 A"),
    Field::quantity_of(field::contactor::BREAK, "current that it breaks", Q::Current)
        .possible(1.0, 30_000.0)
        .usual(20.0, 6000.0)
        .help("From its sheet, at the volts beside it.", "500 A"),
    Field::quantity_of(field::contactor::BREAK_VOLTAGE, "volts at which it breaks", Q::Voltage)
        .possible(6.0, 2000.0)
        .usual(12.0, 1000.0)
        .help("Direct volts for that current.", "96 V"),
    Field::quantity_of(field::contactor::CONTINUOUS, "current for hours", Q::Current)
        .possible(1.0, 5000.0)
        .usual(20.0, 1000.0)
        .help("From its sheet.", "300 A"),
    Field::new(field::contactor::BOTH_WAYS, "breaks both ways", FieldKind::Flag)
        .help("Whether it breaks in both directions; one with magnets for one direction does not.", "true"),
    Field::new(field::contactor::COIL_FROM, "what feeds its coil", FieldKind::Text)
        .help("The place from which coil and protection are fed.", "house"),
];

pub(super) static PRECHARGE: &[Field] = &[
    Field::quantity_of(field::precharge::RESISTOR, "pre-charge resistor", Q::Resistance)
        .possible(0.1, 10_000.0)
        .usual(5.0, 500.0)
        .help("Its ohms.", "33 ohm"),
    Field::quantity_of(field::precharge::PULSE_ENERGY, "energy of a pulse", Q::Energy)
        .possible(0.01, 1e6)
        .usual(0.1, 2000.0)
        .help("What the resistor takes at once, from its sheet.", "40 J"),
    Field::quantity_of(field::precharge::DRAWN, "drawn meanwhile", Q::Current)
        .possible(0.0, 50.0)
        .usual(0.0, 2.0)
        .help("What display, fan or converter take behind the contactor while it charges.", "0.2 A"),
    Field::quantity_of(field::precharge::TIME_OUT, "time-out", Q::ShortDuration)
        .possible(0.001, 120.0)
        .usual(0.05, 20.0)
        .help("After which an attempt is given up.", "3 s"),
    Field::quantity_of(field::precharge::BLEEDER, "bleeder", Q::Resistance)
        .possible(10.0, 1e7)
        .usual(500.0, 200_000.0)
        .help("Resistor that empties the capacitors.", "10000 ohm"),
    Field::quantity_of(field::precharge::POWER, "power for hours", Q::Power)
        .possible(0.1, 5000.0)
        .usual(1.0, 300.0)
        .help(
            "What the resistor takes for hours, from its sheet: with it the rest between two starts is told.",
            "25 W",
        ),
    decided(
        field::precharge::OWN_SWITCH,
        "switch of its own",
        "Whether the resistor has a switch of its own.",
    ),
];
