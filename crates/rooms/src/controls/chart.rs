//! The controls as pictures. Not for: drawing them.

use wakewright_core::controls::{ControlsStudy, Event, Reversal, ReversalMoment};
use wakewright_core::wiring::Verdict;
use wakewright_picture::{Axis, AxisSide, Dash, Label, Line, Plot, Reference, ReferenceAt, Tone, Weight};
use wakewright_units::Quantity;
use wakewright_units::factors::KNOT_M_S;

use crate::text::Paper;

/// Times in milliseconds or seconds, and volts.
type Course = Vec<(f64, f64)>;

/// Volts of the first 20 ms; none where no course can be drawn.
pub(super) fn first(study: &ControlsStudy) -> Option<Plot> {
    volts(study, ("time", "ms", 1e3, 20.0), "Volts of the bus in the first 20 ms", |event| &event.volts.first)
}

/// Volts of the first 10 s.
pub(super) fn later(study: &ControlsStudy) -> Option<Plot> {
    volts(study, ("time", "s", 1.0, 10.0), "Volts of the bus in the first 10 s", |event| &event.volts.later)
}

fn volts(
    study: &ControlsStudy,
    (quantity, unit, times, to): (&str, &str, f64, f64),
    title: &str,
    of: impl Fn(&Event) -> &Course,
) -> Option<Plot> {
    // Courses that are alike are one line.
    let mut drawn: Vec<(Course, Vec<&Event>)> = Vec::new();
    for event in study.events.iter().filter(|event| !of(event).is_empty()) {
        match drawn.iter_mut().find(|(course, _)| is_same(course, of(event))) {
            Some((_, events)) => events.push(event),
            None => drawn.push((of(event).clone(), vec![event])),
        }
    }
    if drawn.is_empty() {
        return None;
    }
    let lines = drawn.iter().map(|(course, events)| {
        let worst = events.iter().map(|event| event.verdict).min().unwrap_or(Verdict::Passes);
        let names: Vec<&str> = events.iter().map(|event| short(event)).collect();
        Line {
            label: Label::new(&names.join(", "), names[0]),
            points: course.iter().map(|(time_s, v)| (times * time_s, *v)).collect(),
            weight: if worst == Verdict::Fails { Weight::Heavy } else { Weight::Medium },
            dash: if worst == Verdict::CannotTell { Dash::Dashed } else { Dash::Solid },
            tone: if worst == Verdict::Fails { Tone::Binds } else { Tone::Ink },
            ..Line::default()
        }
    });
    let level = |volts: f64, words: &str| {
        let text = format!("{words}, {volts:.0} V");
        Reference { label: Label::new(&text, &text), at: ReferenceAt::Y(volts) }
    };
    let references = [
        study.stands_v.map(|volts| level(volts, "the controller stands")),
        study.stops_at_v.map(|volts| level(volts, "braking stops")),
    ];
    Some(Plot {
        title: title.to_owned(),
        description: format!(
            "{title}: {} courses, dashed where the event cannot be told, heavy where it fails.",
            drawn.len()
        ),
        x: Axis::new(quantity, unit, 1).over(0.0, to),
        y: Axis::new("bus", "V", 0),
        lines: lines.collect(),
        references: references.into_iter().flatten().collect(),
        ..Plot::default()
    })
}

fn is_same(a: &Course, b: &Course) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| (a.0 - b.0).abs() < 1e-6 && (a.1 - b.1).abs() < 0.05)
}

/// An event in two or three words.
fn short(event: &Event) -> &'static str {
    use wakewright_core::controls::EventKind as K;
    match event.kind {
        K::PackTrips => "a pack trips",
        K::ContactorDriving => "contactor, driving",
        K::ContactorBraking => "contactor, braking",
        K::PacksBraking => "packs, braking",
        K::EmergencyStop => "stop",
        K::WireBroken => "lever's wire",
        K::SensorLost => "sensor",
        K::TwelveVoltsLost => "supply",
        K::KeyOff => "key off",
        K::WeakenedTrip => "weakened field",
    }
}

/// Torque in the shaft, thrust and way by time.
pub(super) fn reversing(reversal: &Reversal, paper: &Paper) -> Plot {
    let last_s = reversal.told.moments.last().map_or(1.0, |moment| moment.time_s).max(1.0);
    let line = |label: &str, side: AxisSide, dash: Dash, of: &dyn Fn(&ReversalMoment) -> f64| Line {
        label: Label::new(label, label),
        points: reversal.told.moments.iter().map(|moment| (moment.time_s, of(moment))).collect(),
        weight: if side == AxisSide::Left { Weight::Heavy } else { Weight::Medium },
        dash,
        axis: side,
        has_readout: true,
        ..Line::default()
    };
    let torque = paper.quantity(reversal.shaft_n_m.value, Quantity::Torque);
    Plot {
        title: "From full ahead to full astern".to_owned(),
        description: format!("The shaft takes {torque} against its way; her way falls beside it."),
        x: Axis::new("time", "s", 1).over(0.0, last_s),
        y: Axis::new("shaft torque", "N m", 0),
        y2: Some(Axis::new("way", "kn", 1)),
        lines: vec![
            line("torque in the shaft", AxisSide::Left, Dash::Solid, &|m| m.shaft_n_m),
            line("way", AxisSide::Right, Dash::Dashed, &|m| m.speed_m_s / KNOT_M_S),
        ],
        ..Plot::default()
    }
}

/// Demand against lever.
pub(super) fn lever(study: &ControlsStudy) -> Plot {
    let points = (-100..=100).map(f64::from).map(|x| (x, 100.0 * study.controls.demand(x / 100.0)));
    Plot {
        title: "Demand against lever".to_owned(),
        description: "Demand of the drive against the lever's travel, astern left and ahead right."
            .to_owned(),
        is_low: true,
        x: Axis::new("lever", "%", 0).over(-100.0, 100.0),
        y: Axis::new("demand", "%", 0).over(-100.0, 100.0),
        lines: vec![Line {
            label: Label::new("demand", "demand"),
            points: points.collect(),
            weight: Weight::Heavy,
            has_readout: true,
            ..Line::default()
        }],
        ..Plot::default()
    }
}
