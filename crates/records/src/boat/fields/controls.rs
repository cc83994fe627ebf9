//! Fields of the lever and of what the drive does when something is lost.
//!
//! Limits are plausibility; usual values are common practice, no source.

use crate::boat::choice::Chosen;
use crate::boat::descriptor::{Field, FieldKind};
use wakewright_core::controls::{OnLoss, StopOrder, TakesOver};
use wakewright_core::field;
use wakewright_units::Quantity as Q;
use wakewright_units::factors::ZERO_CELSIUS_K;

/// A stretch of time as the controller is set.
const fn time(key: &'static str, label: &'static str, help: &'static str, example: &'static str) -> Field {
    Field::quantity_of(key, label, Q::ShortDuration).possible(0.0, 60.0).usual(0.0, 15.0).help(help, example)
}

pub(super) static CONTROLS: &[Field] = &[
    Field::quantity_of(field::controls::DEAD_BAND, "dead band of the lever", Q::Share)
        .possible(0.0, 0.6)
        .usual(0.02, 0.3)
        .help("Travel on either side of neutral that asks for nothing, of the travel to full.", "8 %"),
    Field::quantity_of(field::controls::FIRST_DEMAND, "least demand", Q::Share)
        .possible(0.001, 0.9)
        .usual(0.01, 0.4)
        .help("What the lever asks for as it leaves the dead band, of full.", "10 %"),
    time(field::controls::RAMP_UP, "ramp up", "From nought to full, the lever thrown over.", "3 s"),
    time(field::controls::RAMP_DOWN, "ramp down", "From full to nought, the lever thrown back.", "1 s"),
    time(field::controls::REVERSING_WAIT, "wait on reversing", "At nought, before it turns the other way.", "1 s"),
    Field::quantity_of(field::controls::REVERSING_TORQUE, "torque on reversing", Q::Share)
        .possible(0.05, 1.0)
        .usual(0.2, 1.0)
        .help("Most that it may give astern while she still makes way ahead, of the controller's motor current.", "60 %"),
    Field::new(field::controls::NEUTRAL_START, "starts in neutral only", FieldKind::Flag)
        .help("Whether it waits for the lever in neutral after the key.", "true"),
    Field::quantity_of(field::controls::BRAKING_FULL_AT, "charge at which braking ends", Q::Share)
        .possible(0.3, 1.0)
        .usual(0.7, 1.0)
        .help("State of charge above which the propeller puts nothing back.", "90 %"),
    Field::quantity_of(field::controls::BRAKING_COLD_AT, "temperature at which braking ends", Q::Temperature)
        .possible(ZERO_CELSIUS_K - 30.0, ZERO_CELSIUS_K + 30.0)
        .usual(ZERO_CELSIUS_K - 20.0, ZERO_CELSIUS_K + 15.0)
        .help("Of the cells, by a sensor of theirs: colder than that nothing is put back.", "3 °C"),
    Field::new(field::controls::WIRE_BROKEN, "when a wire of the lever breaks", FieldKind::Choice(OnLoss::CHOICES))
        .help("What the drive does; tried by pulling the lever's plug, made fast.", "stops"),
    time(field::controls::WIRE_NOTICED, "until that is noticed", "From the break until the torque is gone.", "0.5 s"),
    Field::new(field::controls::SENSOR_LOST, "when the motor's sensor is lost", FieldKind::Choice(OnLoss::CHOICES))
        .help("What the drive does without the signal of its rotor's place; goes on: it reckons it.", "stops"),
    Field::new(field::controls::STATIONS, "stations", FieldKind::Integer)
        .default("1")
        .possible(1.0, 4.0)
        .usual(1.0, 2.0)
        .help("Places from which she is driven.", "2"),
    Field::new(field::controls::TAKES_OVER, "how a station takes over", FieldKind::Choice(TakesOver::CHOICES))
        .help("Where there are two.", "in neutral"),
    Field::new(field::controls::STOP_ORDER, "what the stop does first", FieldKind::Choice(StopOrder::CHOICES))
        .help("Torque to nought and then the contactor, or the contactor at once.", "torque first"),
];
