//! What the hull's resistance is made of at each speed. Not for: the parts (`wakewright_core::hull`).

use wakewright_core::hull::ResistanceParts;
use wakewright_core::study::{StateFigure, Study};
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::format_number;

use wakewright_picture::{Axis, Label, LabelPlace, Line, Plot, Reference, ReferenceAt, Weight};

/// Stations along the speed.
const STATIONS: usize = 40;

/// The parts in the order in which they are piled up, with their words.
type Part = (&'static str, fn(&ResistanceParts) -> f64);

const PARTS: [Part; 9] = [
    ("as towed", |p| p.towed_n),
    ("clean skin", |p| p.friction_clean_n),
    ("paint and growth on the skin", |p| p.friction_growth_n),
    ("keel and rudder", |p| p.keel_and_rudder_n),
    ("waves she makes", |p| p.residuary_n),
    ("shallow water", |p| p.shallow_water_n),
    ("in service beyond the tank", |p| p.in_service_n),
    ("margin for a sea", |p| p.sea_margin_n),
    ("wind", |p| p.windage_n),
];

/// Share of the whole below which a part gets no line of its own.
const LEAST_SHARE: f64 = 0.01;

/// The picture: the parts piled up, up to a little beyond full throttle.
#[must_use]
pub fn resistance_picture(study: &Study) -> Plot {
    let full = study.at_full(StateFigure::Speed).value;
    let hull = study.prepared.hull();
    let fastest = (1.15 * full).min(hull.max_speed_m_s());
    let stations: Vec<(f64, ResistanceParts)> = (1..=STATIONS)
        .map(|i| fastest * i as f64 / STATIONS as f64)
        .filter_map(|speed| Some((speed, hull.breakdown(speed).ok()?)))
        .collect();
    let total = stations.last().map_or(0.0, |(_, parts)| parts.total_n);
    let mut piled = vec![0.0; stations.len()];
    let mut lines = Vec::new();
    for (words, part) in PARTS {
        let last = stations.last().map_or(0.0, |(_, parts)| part(parts));
        if last.abs() < LEAST_SHARE * total {
            continue;
        }
        for (pile, (_, parts)) in piled.iter_mut().zip(&stations) {
            *pile += part(parts);
        }
        let points =
            stations.iter().zip(&piled).map(|((speed, _), pile)| (speed / KNOT_M_S, *pile)).collect();
        lines.push(Line {
            label: Label::new(&format!("+ {words}"), words),
            points,
            weight: Weight::Thin,
            place: LabelPlace::AtEnd,
            has_readout: true,
            ..Line::default()
        });
    }
    if let Some(first) = lines.first_mut() {
        first.label = first.label.short.as_str().into();
    }
    if let Some(whole) = lines.last_mut() {
        whole.weight = Weight::Heavy;
    }
    Plot {
        title: "Parts of the resistance, piled up, against speed".into(),
        description: format!(
            "At full throttle, {} kn, she is held back by {} N.",
            format_number(full / KNOT_M_S, 1),
            format_number(study.at_full(StateFigure::Resistance).value, 0)
        ),
        x: Axis::new("speed through the water", "kn", 1).over(0.0, fastest / KNOT_M_S),
        y: Axis::new("resistance", "N", 0),
        lines,
        references: vec![Reference {
            label: format!("full throttle {}", format_number(full / KNOT_M_S, 1)).as_str().into(),
            at: ReferenceAt::X(full / KNOT_M_S),
        }],
        ..Plot::default()
    }
}
