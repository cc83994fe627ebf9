//! Torque against shaft speed: what the drive can reach, what the propeller asks, where they meet.
//! Not for: finding either (`wakewright_core::steady`).

use wakewright_core::boat::Fittings;
use wakewright_core::steady::{Bound, Limit, PreparedBoat, Reach, ShaftPoint};
use wakewright_core::study::{DemandRow, StateFigure, Study, ThrottleRow};
use wakewright_units::factors::RPM_REV_S;
use wakewright_units::{Quantity, format_number};

use super::round_up;
use crate::text::Paper;
use wakewright_picture::{
    Axis, AxisSide, Band, Dash, Label, LabelPlace, Line, MarkedPoint, Plot, Reference, ReferenceAt, Region,
    RegionFill, Tone, Weight,
};

/// The extent of the sheet. It depends on the drive and the old engine, so that a change of propeller
/// or hull moves the curves and not the scales.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TorqueSheet {
    /// Highest shaft speed shown \[rev/s\].
    pub shaft_rev_s: f64,
    /// Highest torque shown \[N m\].
    pub torque_n_m: f64,
}

/// Stations of the demand along the shaft speed.
const STATIONS: usize = 24;

/// An old engine beyond this many times the free shaft speed is left off the sheet.
const FAR_ENGINE: f64 = 1.7;

/// The torque sheet shows at most so many times what the propeller asks at the drive's free speed.
const MOST_TIMES_DEMAND: f64 = 4.0;

impl TorqueSheet {
    /// The sheet for a boat and what she had before.
    #[must_use]
    pub fn of(boat: &PreparedBoat, reach: Option<&Reach>, fittings: &Fittings) -> Self {
        let rated = boat.motor().rated_speed_rad_s / std::f64::consts::TAU / boat.drive_line().ratio;
        let free = reach.map_or(1.2 * rated, |reach| reach.fastest_rev_s);
        let engine = fittings.old_shaft_rev_s.filter(|speed| *speed < FAR_ENGINE * free).unwrap_or(0.0);
        let top_rpm = (1.06 * free).max(1.05 * engine) / RPM_REV_S;
        let rated_torque = boat.motor().rated_torque_n_m() * boat.drive_line().ratio;
        let edge = reach.map_or(rated_torque, |reach| {
            reach.edge.iter().flat_map(|piece| &piece.points).map(|p| p.torque_n_m).fold(0.0, f64::max)
        });
        let asked = boat.demand_at(free).map_or(rated_torque, |demand| demand.shaft.torque_n_m);
        Self {
            shaft_rev_s: round_up(top_rpm) * RPM_REV_S,
            torque_n_m: round_up((1.12 * edge).min(MOST_TIMES_DEMAND * asked.max(0.25 * rated_torque))),
        }
    }

    /// Shaft speeds at which the study is to ask for the demand \[rev/s\].
    #[must_use]
    pub fn stations_rev_s(&self) -> Vec<f64> {
        (1..=STATIONS).map(|i| self.shaft_rev_s * i as f64 / STATIONS as f64).collect()
    }
}

/// Another boat's demand for comparison: the hull clean, the boat as stored, an alternative.
#[derive(Debug, Clone, PartialEq)]
pub struct Overlay {
    /// What it is.
    pub label: Label,
    /// What her propeller asks.
    pub demand: Vec<ShaftPoint>,
    /// Where she stops, with the words for it.
    pub working: Option<(ShaftPoint, Label)>,
}

/// What is drawn.
#[derive(Debug)]
pub struct TorqueScene<'a> {
    /// What was found; asked at [`TorqueSheet::stations_rev_s`].
    pub study: &'a Study,
    /// What the drive can reach.
    pub reach: Option<&'a Reach>,
    /// The extent.
    pub sheet: TorqueSheet,
    /// What the demand is of: "22 × 15 in, weed".
    pub subject: Label,
    /// What else is known of the boat.
    pub fittings: Fittings,
    /// A throttle position to show on the demand.
    pub throttle: Option<&'a ThrottleRow>,
    /// For comparison.
    pub overlays: &'a [Overlay],
}

/// The picture.
#[must_use]
pub fn torque_picture(scene: &TorqueScene<'_>, paper: &Paper) -> Plot {
    let sheet = &scene.sheet;
    let full = &scene.study.answers.full;
    let mut plot = Plot {
        title: "Torque at the propeller shaft against shaft speed".into(),
        description: description(scene, paper),
        x: Axis::new("shaft speed", "rpm", 0).over(0.0, rpm(sheet.shaft_rev_s)),
        y: Axis::new("torque at the propeller", "N m", 0).over(0.0, sheet.torque_n_m),
        bands: vec![demand_band(&scene.study.demand)],
        ..Plot::default()
    };
    if let Some(reach) = scene.reach {
        plot.regions.push(out_of_reach(reach, sheet));
        let stops = full.burst.as_ref().unwrap_or(&full.held);
        for piece in &reach.edge {
            let binds = piece.limit == full.held.limit || full.burst.is_some_and(|b| b.limit == piece.limit);
            plot.lines.push(Line {
                label: edge_label(piece.limit, &scene.study.prepared, stops, paper),
                points: piece.points.iter().map(shown).collect(),
                weight: if binds { Weight::Heavy } else { Weight::Medium },
                tone: if binds { Tone::Binds } else { Tone::Ink },
                place: LabelPlace::Along,
                has_readout: true,
                ..Line::default()
            });
        }
        plot.lines.push(held_line(reach, full.held.limit));
    }
    // The subject comes before what it is compared with: it has the first choice of places for its name.
    plot.lines.push(Line {
        label: scene.subject.clone(),
        points: demand_line(&scene.study.demand),
        weight: Weight::Heavy,
        has_readout: true,
        ..Line::default()
    });
    for overlay in scene.overlays {
        plot.lines.push(Line {
            label: overlay.label.clone(),
            points: overlay.demand.iter().map(shown).collect(),
            weight: Weight::Thin,
            tone: Tone::Muted,
            has_readout: true,
            ..Line::default()
        });
        plot.points.extend(overlay.working.as_ref().map(|(at, label)| MarkedPoint {
            label: label.clone(),
            x: rpm(at.shaft_rev_s),
            y: at.torque_n_m,
            tone: Tone::Muted,
            ..MarkedPoint::default()
        }));
    }
    plot.points.extend(working_points(scene, paper));
    plot.references.extend(scene.fittings.old_shaft_rev_s.map(|speed| Reference {
        label: Label::new(
            &format!("the old engine turned {}", format_number(rpm(speed), 0)),
            &format!("old engine {}", format_number(rpm(speed), 0)),
        ),
        at: ReferenceAt::X(rpm(speed)),
    }));
    plot
}

fn rpm(rev_s: f64) -> f64 {
    rev_s / RPM_REV_S
}

fn shown(point: &ShaftPoint) -> (f64, f64) {
    (rpm(point.shaft_rev_s), point.torque_n_m)
}

fn demand_line(rows: &[DemandRow]) -> Vec<(f64, f64)> {
    let points = rows.iter().map(|row| (rpm(row.shaft_rev_s), row.torque_n_m.value));
    points.collect()
}

fn demand_band(rows: &[DemandRow]) -> Band {
    Band {
        label: Label::new("80 % band of what she asks", "80 % band"),
        points: rows
            .iter()
            .map(|row| (rpm(row.shaft_rev_s), row.torque_n_m.p10, row.torque_n_m.p90))
            .collect(),
        axis: AxisSide::Left,
    }
}

fn out_of_reach(reach: &Reach, sheet: &TorqueSheet) -> Region {
    let (right, top) = (rpm(sheet.shaft_rev_s), sheet.torque_n_m);
    let edge: Vec<(f64, f64)> = reach.edge.iter().flat_map(|piece| &piece.points).map(shown).collect();
    let start = edge.first().map_or(top, |first| first.1);
    let mut outline = vec![(0.0, top.max(start)), (0.0, start)];
    outline.extend(edge);
    outline.extend([(right, 0.0), (right, top.max(start))]);
    Region {
        label: Label::new("out of the drive’s reach", "out of reach"),
        outline,
        fill: RegionFill::Hatched,
    }
}

fn held_line(reach: &Reach, binding: Limit) -> Line {
    let binds = binding == Limit::MotorHeat;
    Line {
        label: Label::new("for hours, before the winding is too hot", "for hours"),
        points: reach.held.iter().map(shown).collect(),
        weight: if binds { Weight::Medium } else { Weight::Thin },
        tone: if binds { Tone::Binds } else { Tone::Ink },
        dash: Dash::Dashed,
        place: LabelPlace::Along,
        has_readout: true,
        ..Line::default()
    }
}

/// What makes a piece of the edge, in words, with the figure that it stands at.
fn edge_label(limit: Limit, boat: &PreparedBoat, stops: &Bound, paper: &Paper) -> Label {
    let amps = |value: f64| paper.quantity(value, Quantity::Current);
    match limit {
        Limit::PhaseAmps => {
            let limit = amps(boat.controller().phase_current_limit_a);
            Label::new(&format!("phase current, {limit}"), &format!("{limit} phase"))
        }
        Limit::BatteryAmps => {
            let limit = amps(boat.controller().battery_current_limit_a);
            Label::new(&format!("battery current, {limit}"), &format!("{limit} battery"))
        }
        Limit::Bms => {
            let limit = amps(boat.bank().discharge_limit_a);
            Label::new(&format!("packs’ protection (BMS), {limit}"), &format!("BMS, {limit}"))
        }
        Limit::BankVolts => {
            let rest = format_number(boat.bank().open_circuit_v, 1);
            let here = format_number(stops.state.bank_v, 1);
            if stops.limit == Limit::BankVolts {
                Label::new(
                    &format!("bank’s voltage: {rest} V at rest, {here} V here"),
                    &format!("bank, {here} V here"),
                )
            } else {
                Label::new(&format!("bank’s voltage, {rest} V at rest"), "bank’s voltage")
            }
        }
        Limit::Power => Label::new("controller’s limit on power", "power"),
        Limit::MotorPower => Label::new("motor’s peak power", "peak power"),
        Limit::LowVoltage => Label::new("low-voltage cut-off", "low voltage"),
        other => other.words().into(),
    }
}

fn working_points(scene: &TorqueScene<'_>, paper: &Paper) -> Vec<MarkedPoint> {
    let full = &scene.study.answers.full;
    let at = |bound: &Bound, label: Label, tone: Tone| MarkedPoint {
        label,
        x: rpm(bound.state.shaft_rev_s),
        y: bound.state.shaft_torque_n_m,
        tone,
        has_guides: tone == Tone::Binds,
        axis: AxisSide::Left,
    };
    // The curves are those of the boat as expected, and so is where they meet; the figures are those of the verdict.
    let knots = |m_s: f64| paper.decimals(m_s, Quantity::Speed, 1);
    let found = |figure: StateFigure| scene.study.at_full(figure).value;
    let speed = knots(found(StateFigure::Speed));
    let turns = paper.quantity(found(StateFigure::ShaftSpeed), Quantity::RotationalSpeed);
    let held = Label::new(&format!("{speed} at {turns}"), &speed);
    let mut points = vec![at(&full.held, held, Tone::Binds)];
    if let Some(burst) = &full.burst {
        let speed = knots(scene.study.burst_m_s.map_or(burst.state.speed_m_s, |burst| burst.value));
        points.push(at(burst, Label::new(&format!("{speed} for some minutes"), &speed), Tone::Ink));
    }
    let eased = scene.throttle.filter(|row| row.throttle < 0.995 && row.limit == Limit::Throttle);
    if let (Some(row), Some(throttle)) = (eased, scene.throttle) {
        let value = |figure: StateFigure| row.figures[figure as usize].value;
        let speed = paper.decimals(value(StateFigure::Speed), Quantity::Speed, 1);
        let share = format_number(100.0 * throttle.throttle, 0);
        points.push(MarkedPoint {
            label: Label::new(&format!("throttle {share} %: {speed}"), &speed),
            x: rpm(value(StateFigure::ShaftSpeed)),
            y: value(StateFigure::ShaftTorque),
            tone: Tone::Ink,
            has_guides: true,
            axis: AxisSide::Left,
        });
    }
    points
}

fn description(scene: &TorqueScene<'_>, paper: &Paper) -> String {
    let found = |figure: StateFigure| scene.study.at_full(figure).value;
    let bounds: Vec<&str> = scene
        .reach
        .map(|reach| reach.edge.iter().map(|piece| piece.limit.words()).collect())
        .unwrap_or_default();
    format!(
        "What the drive can reach is bounded by {}. What the propeller asks meets {} at {}, {} and {}.",
        bounds.join(", then by "),
        scene.study.answers.full.held.limit.words(),
        paper.quantity(found(StateFigure::ShaftSpeed), Quantity::RotationalSpeed),
        paper.quantity(found(StateFigure::ShaftTorque), Quantity::Torque),
        paper.decimals(found(StateFigure::Speed), Quantity::Speed, 1),
    )
}
