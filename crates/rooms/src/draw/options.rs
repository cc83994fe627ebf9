//! Why two boats differ at the shaft: what both drives reach and what both propellers ask, on one
//! sheet, with the line of equal power between them. Not for: finding the curves (`wakewright_core::options`).

use wakewright_core::options::{Comparison, Laid, ShaftCurves, shaft_curves};
use wakewright_core::steady::{Reach, ShaftPoint};
use wakewright_core::study::StateFigure;
use wakewright_units::Quantity;
use wakewright_units::factors::RPM_REV_S;

use super::round_up;
use crate::text::Paper;
use wakewright_picture::{Axis, Dash, Label, LabelPlace, Line, MarkedPoint, Plot, Tone, Weight};

/// The sheet ends so far beyond the faster shaft.
const BEYOND: f64 = 1.3;

/// The picture of the boat as she is and alternative number `chosen` (from 1); `None` when there is no
/// such alternative. Dashed is the drive's edge, drawn through what the propeller asks.
#[must_use]
pub fn shaft_power_picture(comparison: &Comparison, chosen: usize, paper: &Paper) -> Option<Plot> {
    let (base, other) = (comparison.columns.first()?, comparison.columns.get(chosen.max(1))?);
    let highest = base.full.held.state.shaft_rev_s.max(other.full.held.state.shaft_rev_s);
    let right = round_up(BEYOND * highest / RPM_REV_S) * RPM_REV_S;
    let curves = |column: &Laid| shaft_curves(&column.prepared, &column.full.held.state, right);
    let (own, changed) = (curves(base), curves(other));
    let asked = [&own, &changed].into_iter().flat_map(|c| c.demand.iter().map(|d| d.shaft.torque_n_m));
    let top = round_up(asked.fold(0.0, f64::max));
    let mut plot = Plot {
        title: format!("Torque at the shaft: as she is and \"{}\"", other.name),
        description: description(base, other, paper),
        x: Axis::new("shaft speed", "rpm", 0).over(0.0, right / RPM_REV_S),
        y: Axis::new("torque at the propeller", "N m", 0).over(0.0, top),
        ..Plot::default()
    };
    let is_same_drive = own.reach == changed.reach;
    let sheet = (right, top);
    let own_edge = if is_same_drive { None } else { Some("the drive as she is".to_owned()) };
    let edge =
        if is_same_drive { "the drive, in both".to_owned() } else { format!("the drive, {}", other.name) };
    plot.lines.push(same_power(other, sheet, paper));
    add(&mut plot, base, &own, sheet, Tone::Muted, own_edge, paper);
    add(&mut plot, other, &changed, sheet, Tone::Ink, Some(edge), paper);
    Some(plot)
}

fn add(
    plot: &mut Plot,
    column: &Laid,
    curves: &ShaftCurves,
    sheet: (f64, f64),
    tone: Tone,
    edge: Option<String>,
    paper: &Paper,
) {
    if let (Some(words), Some(reach)) = (&edge, &curves.reach) {
        plot.lines.push(Line {
            label: Label::new(words, "the drive"),
            points: edge_points(reach, sheet),
            weight: Weight::Medium,
            tone,
            dash: Dash::Dashed,
            place: LabelPlace::Along,
            has_readout: true,
            ..Line::default()
        });
    }
    plot.lines.push(Line {
        label: Label::new(&column.name, &column.name),
        points: curves.demand.iter().map(|demand| shown(&demand.shaft)).collect(),
        weight: if tone == Tone::Ink { Weight::Heavy } else { Weight::Medium },
        tone,
        has_readout: true,
        ..Line::default()
    });
    let speed = column
        .at_full(StateFigure::Speed)
        .map_or_else(String::new, |speed| paper.decimals(speed, Quantity::Speed, 1));
    let (x, y) = shown(&curves.working);
    plot.points.push(MarkedPoint { label: Label::new(&speed, &speed), x, y, tone, ..MarkedPoint::default() });
}

/// Every torque and shaft speed that make the power of the alternative: its crossing with the other demand
/// is where volts alone would give as much.
fn same_power(column: &Laid, (right_rev_s, top_n_m): (f64, f64), paper: &Paper) -> Line {
    const STEPS: usize = 40;
    let power_w = column.full.held.state.delivered_power_w();
    let slowest = power_w / (std::f64::consts::TAU * top_n_m);
    let points = (0..=STEPS).map(|i| {
        let shaft_rev_s = slowest + (right_rev_s - slowest) * i as f64 / STEPS as f64;
        shown(&ShaftPoint { shaft_rev_s, torque_n_m: power_w / (std::f64::consts::TAU * shaft_rev_s) })
    });
    let words = format!("{} at the shaft", paper.quantity(power_w, Quantity::Power));
    Line {
        label: Label::new(&words, &paper.quantity(power_w, Quantity::Power)),
        points: points.collect(),
        weight: Weight::Thin,
        tone: Tone::Muted,
        place: LabelPlace::Along,
        has_readout: true,
        ..Line::default()
    }
}

fn shown(point: &ShaftPoint) -> (f64, f64) {
    (point.shaft_rev_s / RPM_REV_S, point.torque_n_m)
}

/// The edge as far as it lies on the sheet, its ends cut at the top.
fn edge_points(reach: &Reach, (right_rev_s, top_n_m): (f64, f64)) -> Vec<(f64, f64)> {
    let all: Vec<ShaftPoint> = reach.edge.iter().flat_map(|piece| piece.points.iter().copied()).collect();
    let mut points = Vec::new();
    for pair in all.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        if a.torque_n_m > top_n_m && b.torque_n_m <= top_n_m {
            let share = (top_n_m - a.torque_n_m) / (b.torque_n_m - a.torque_n_m);
            let shaft_rev_s = a.shaft_rev_s + share * (b.shaft_rev_s - a.shaft_rev_s);
            points.push(shown(&ShaftPoint { shaft_rev_s, torque_n_m: top_n_m }));
        }
        if b.torque_n_m <= top_n_m && b.shaft_rev_s <= right_rev_s {
            points.push(shown(&b));
        }
    }
    points
}

fn description(base: &Laid, other: &Laid, paper: &Paper) -> String {
    let at = |column: &Laid| {
        let state = &column.full.held.state;
        format!(
            "{} at {} and {}, where {} stops her",
            paper.quantity(state.delivered_power_w(), Quantity::Power),
            paper.quantity(state.shaft_rev_s, Quantity::RotationalSpeed),
            paper.quantity(state.shaft_torque_n_m, Quantity::Torque),
            column.full.held.limit.words()
        )
    };
    format!("As she is the shaft takes {}. \"{}\": {}.", at(base), other.name, at(other))
}
