//! Fields of panels, place, loads by the hour, the week and shore power.
//!
//! Limits are plausibility for boats of 6 to 15 m; usual values are common practice, no source.

use crate::boat::choice::{Chosen, Lying, PanelMount, Side};
use crate::boat::descriptor::{Field, FieldKind};
use crate::boat::spread_rule::SpreadRule::{Absolute, Relative};
use wakewright_core::field;
use wakewright_core::solar::Fixing;
use wakewright_core::solar::climate::Climate;
use wakewright_units::Quantity as Q;

const RIGHT_ANGLE: f64 = std::f64::consts::FRAC_PI_2;
const DEGREE: f64 = std::f64::consts::PI / 180.0;

pub(super) static PANEL: &[Field] = &[
    Field::new(field::panel::NAME, "name of the panel", FieldKind::Text)
        .help("As you call it.", "on the pilot house"),
    Field::quantity_of(field::panel::POWER, "rated power of one panel", Q::Power)
        .required()
        .possible(1.0, 10_000.0)
        .usual(10.0, 700.0)
        .spread(Relative(0.02), Relative(0.05))
        .help("On its label.", "175 W"),
    Field::new(field::panel::COUNT, "number of such panels", FieldKind::Integer)
        .default("1")
        .possible(1.0, 100.0)
        .usual(1.0, 12.0)
        .help("How many alike.", "3"),
    Field::new(field::panel::MOUNT, "how it is held", FieldKind::Choice(PanelMount::CHOICES))
        .default("flat")
        .help("Whether it can be turned to the sun.", "flat"),
    Field::quantity_of(field::panel::TILT, "tilt", Q::Angle)
        .default("45 deg")
        .possible(0.0, RIGHT_ANGLE)
        .usual(0.0, RIGHT_ANGLE)
        .help("From flat; of a pivoting panel how far it goes either way.", "35 deg"),
    Field::new(field::panel::FACES, "side that it faces", FieldKind::Choice(Side::CHOICES))
        .default("stern")
        .help("Where a tilted panel looks to, or across which side a pivoting one turns.", "stern"),
    Field::new(field::panel::FIXING, "what is behind it", FieldKind::Choice(Fixing::CHOICES))
        .default("free")
        .help("Air behind keeps it cool.", "spaced"),
    Field::quantity_of(field::panel::SHADE, "share shaded", Q::Share)
        .default("10 %")
        .possible(0.0, 1.0)
        .usual(0.0, 0.6)
        .spread(Absolute(0.03), Absolute(0.08))
        .help("Share of the direct sun taken by rig, boom and cover over the day, as you see it.", "12 %"),
    Field::quantity_of(field::panel::SHADE_MORNING, "share shaded in the morning", Q::Share)
        .possible(0.0, 1.0)
        .usual(0.0, 0.8)
        .spread(Absolute(0.03), Absolute(0.08))
        .help("Before noon, where it differs.", "5 %"),
    Field::quantity_of(field::panel::SHADE_AFTERNOON, "share shaded in the afternoon", Q::Share)
        .possible(0.0, 1.0)
        .usual(0.0, 0.8)
        .spread(Absolute(0.03), Absolute(0.08))
        .help("After noon, where it differs.", "25 %"),
    Field::quantity_of(field::panel::BIFACIAL, "share that its back gives", Q::Share)
        .default("0 %")
        .possible(0.0, 1.0)
        .usual(0.0, 0.9)
        .help("Of a panel with cells open behind, on an arch; 0 for a closed back.", "70 %"),
    Field::quantity_of(field::panel::OPEN_VOLTAGE, "open-circuit volts", Q::Voltage)
        .possible(3.0, 200.0)
        .usual(10.0, 70.0)
        .help("Of one panel, at 25 °C, from its sheet; cold it gives more.", "22.5 V"),
    Field::new(field::panel::IN_SERIES, "panels in series", FieldKind::Integer)
        .possible(1.0, 30.0)
        .usual(1.0, 8.0)
        .help("In one string; strings stand side by side.", "1"),
    Field::quantity_of(field::panel::REGULATOR_VOLTAGE, "greatest volts of the regulator", Q::Voltage)
        .possible(6.0, 1000.0)
        .usual(20.0, 300.0)
        .help("On its side of the panels, from its sheet.", "100 V"),
    Field::new(field::panel::STRING_FUSED, "each string fused", FieldKind::Flag)
        .help("Whether each string has a fuse or diode of its own; three strings or more need it.", "true"),
];

pub(super) static PLACE: &[Field] = &[
    Field::new(field::place::NAME, "name of the place", FieldKind::Text)
        .help("Where she lies.", "Renn Sound"),
    Field::quantity_of(field::place::LATITUDE, "latitude", Q::Angle)
        .required()
        .possible(-RIGHT_ANGLE, RIGHT_ANGLE)
        .usual(-66.0 * DEGREE, 66.0 * DEGREE)
        .help("North positive, south negative, with decimals.", "55.9 deg"),
    Field::quantity_of(field::place::LONGITUDE, "longitude", Q::Angle)
        .required()
        .possible(-180.0 * DEGREE, 180.0 * DEGREE)
        .usual(-180.0 * DEGREE, 180.0 * DEGREE)
        .help("East positive, west negative, with decimals.", "-7.4 deg"),
    Field::new(field::place::CLIMATE, "climate", FieldKind::Choice(Climate::CHOICES))
        .help("The nearest of those built in; elsewhere give place.clearness or place.sun.", "West Scotland"),
    Field::new(field::place::CLEARNESS, "clearness by month", FieldKind::Text).help(
        "Twelve numbers from January: light on the ground over light above the air.",
        "0.31 0.36 0.41 0.45 0.46 0.47 0.46 0.45 0.43 0.38 0.33 0.29",
    ),
    Field::new(field::place::SUN, "sun by month", FieldKind::Text).help(
        "Twelve numbers from January: kWh a day on each square metre lying flat; instead of clearness.",
        "0.7 1.4 2.4 3.8 4.9 5.3 5.1 4.4 3.2 1.9 0.9 0.5",
    ),
    Field::new(field::place::LIES, "how she lies", FieldKind::Choice(Lying::CHOICES))
        .default("at anchor")
        .help("Whether her bow swings with wind and tide.", "berth"),
    Field::quantity_of(field::place::HEADING, "direction of her bow", Q::Angle)
        .default("0 deg")
        .possible(0.0, 360.0 * DEGREE)
        .usual(0.0, 360.0 * DEGREE)
        .help("At a berth: from true north over east.", "310 deg"),
];
