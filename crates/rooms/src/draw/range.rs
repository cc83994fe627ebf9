//! What each speed costs and how far it carries. Not for: the figures (`wakewright_core::study`).

use wakewright_core::study::{Interval, SpeedRow, StateFigure, Study};
use wakewright_units::factors::{KNOT_M_S, NAUTICAL_MILE_M};
use wakewright_units::{Quantity, format_number};

use super::round_up;
use crate::text::Paper;
use wakewright_picture::{
    Axis, AxisSide, Band, Dash, Label, Line, MarkedPoint, Plot, Reference, ReferenceAt, Region, RegionFill,
    Tone, Weight,
};

/// The miles that the sheet shows, as a multiple of the miles at the speed of the finding.
const MOST_TIMES_CHOSEN: f64 = 3.3;

/// The picture: miles to the reserve on the left, power out of the bank on the right.
#[must_use]
pub fn range_picture(study: &Study, paper: &Paper) -> Plot {
    let knots = |row: &SpeedRow| row.speed_m_s / KNOT_M_S;
    let miles = |interval: Interval| interval.scaled(1.0 / NAUTICAL_MILE_M);
    let full = study.at_full(StateFigure::Speed).value / KNOT_M_S;
    let fastest = study.speeds.last().map_or(full, &knots).min(1.25 * full);
    let rows: Vec<&SpeedRow> =
        study.speeds.iter().filter(|row| !row.is_full && knots(row) <= fastest + 1e-9).collect();
    let power = |row: &SpeedRow| row.figure(StateFigure::BankPower).map(|p| p.scaled(1e-3));
    let chosen = study.finding_row();

    let most_miles = rows.iter().filter_map(|row| row.distance_m).map(|d| miles(d).p90).fold(0.0, f64::max);
    let finding_miles = chosen.and_then(|row| row.distance_m).map_or(most_miles, |d| miles(d).value);
    let top_miles = round_up(most_miles.min(MOST_TIMES_CHOSEN * finding_miles).max(1.0));
    let top_power = rows
        .iter()
        .filter(|row| knots(row) <= full * 1.12)
        .filter_map(|row| power(row))
        .map(|p| p.p90)
        .fold(0.1, f64::max);

    let mut plot = Plot {
        title: "Miles and power against speed through the water".into(),
        description: description(study, chosen, paper),
        x: Axis { is_from_zero: false, ..Axis::new("speed through the water", "kn", 1) }
            .over(rows.first().map_or(1.0, |row| knots(row)).floor(), fastest),
        y: Axis::new("miles to the reserve", "nm", 0).over(0.0, top_miles),
        y2: Some(Axis::new("out of the bank", "kW", 2).over(0.0, round_up(top_power))),
        ..Plot::default()
    };
    if fastest > full {
        plot.regions.push(Region {
            label: Label::new("out of reach", ""),
            outline: vec![(full, 0.0), (fastest, 0.0), (fastest, top_miles), (full, top_miles)],
            fill: RegionFill::Hatched,
        });
    }
    let line = |of: &dyn Fn(&SpeedRow) -> Option<Interval>| -> Vec<(f64, f64)> {
        rows.iter().filter_map(|row| of(row).map(|i| (knots(row), i.value))).collect()
    };
    let distance = |row: &SpeedRow| row.distance_m.map(miles);
    plot.bands = vec![Band {
        label: "80 % band".into(),
        points: rows.iter().filter_map(|row| distance(row).map(|i| (knots(row), i.p10, i.p90))).collect(),
        axis: AxisSide::Left,
    }];
    // A second tint across the first would hide both: the band of the power is its two edges.
    let edge = |pick: fn(Interval) -> f64| Line {
        points: rows.iter().filter_map(|row| power(row).map(|i| (knots(row), pick(i)))).collect(),
        weight: Weight::Hair,
        dash: Dash::Dotted,
        axis: AxisSide::Right,
        ..Line::default()
    };
    plot.lines = vec![
        edge(|i| i.p10),
        edge(|i| i.p90),
        Line {
            label: Label::new("power out of the bank", "power"),
            points: line(&power),
            weight: Weight::Medium,
            dash: Dash::Dashed,
            axis: AxisSide::Right,
            has_readout: true,
            ..Line::default()
        },
        Line {
            label: Label::new("miles to the reserve", "miles"),
            points: line(&distance),
            weight: Weight::Heavy,
            has_readout: true,
            ..Line::default()
        },
    ];
    if let Some((row, distance)) = chosen.and_then(|row| Some((row, row.distance_m?))) {
        let (far, speed) = (
            paper.quantity(distance.value, Quantity::Distance),
            paper.decimals(row.speed_m_s, Quantity::Speed, 1),
        );
        plot.points.push(MarkedPoint {
            label: Label::new(&format!("{far} at {speed}"), &far),
            x: knots(row),
            y: miles(distance).value,
            tone: Tone::Ink,
            has_guides: true,
            axis: AxisSide::Left,
        });
    }
    let speed = format_number(full, 1);
    plot.references.push(Reference {
        label: Label::new(&format!("full throttle {speed}"), &format!("full {speed}")),
        at: ReferenceAt::X(full),
    });
    plot
}

fn description(study: &Study, chosen: Option<&SpeedRow>, paper: &Paper) -> String {
    let full = |figure: StateFigure| study.at_full(figure).value;
    let ends = format!(
        "Power rises with speed to {} at full throttle, {}.",
        paper.quantity(full(StateFigure::BankPower), Quantity::Power),
        paper.decimals(full(StateFigure::Speed), Quantity::Speed, 1)
    );
    match chosen.and_then(|row| Some((row, row.distance_m?))) {
        Some((row, distance)) => format!(
            "{ends} Miles fall with speed; at {} they are {}.",
            paper.decimals(row.speed_m_s, Quantity::Speed, 1),
            paper.quantity(distance.value, Quantity::Distance)
        ),
        None => format!("{ends} There is nothing above the reserve."),
    }
}
