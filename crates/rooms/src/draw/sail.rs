//! What the propeller does under sail: its drag, and the watts it takes or gives, against boat speed.
//! Not for: the figures (`wakewright_core::sail`).

use wakewright_core::sail::{Mode, ModeIntervals, SailRow, SailStudy};
use wakewright_core::study::Interval;
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{Quantity, format_number, unit_for};

use super::round_up;
use crate::text::Paper;
use wakewright_picture::{
    Axis, Band, Dash, Label, Line, MarkedPoint, Plot, Reference, ReferenceAt, Tone, Weight,
};

/// Figure of a mode.
type Of<'a> = &'a dyn Fn(&ModeIntervals) -> Interval;

fn knots(row: &SailRow) -> f64 {
    row.speed_m_s / KNOT_M_S
}

fn line(study: &SailStudy, mode: Mode, of: Of<'_>) -> Vec<(f64, f64)> {
    line_where(study, mode, of, |_| true)
}

fn line_where(
    study: &SailStudy,
    mode: Mode,
    of: Of<'_>,
    keep: impl Fn(&ModeIntervals) -> bool,
) -> Vec<(f64, f64)> {
    study
        .rows
        .iter()
        .filter_map(|row| Some((knots(row), of(row.mode(mode).filter(|m| keep(m))?).value)))
        .collect()
}

/// True where the shaft turns.
fn turns(mode: &ModeIntervals) -> bool {
    mode.state.shaft_rev_s > 0.0
}

fn band(study: &SailStudy, mode: Mode, of: Of<'_>) -> Band {
    let points = study.rows.iter().filter_map(|row| {
        let interval = of(row.mode(mode)?);
        Some((knots(row), interval.p10, interval.p90))
    });
    Band { label: "80 % band".into(), points: points.collect(), ..Band::default() }
}

/// A level axis over all speeds, and the line of the speed of the finding.
fn speeds(study: &SailStudy) -> (Axis, Vec<Reference>) {
    let first = study.rows.first().map_or(2.0, knots);
    let last = study.rows.last().map_or(9.0, knots);
    let axis =
        Axis { is_from_zero: false, ..Axis::new("speed through the water", "kn", 1) }.over(first, last);
    let finding = study.finding_row().map(|row| Reference {
        label: Label::new(&format!("{} kn", format_number(knots(row), 1)), ""),
        at: ReferenceAt::X(knots(row)),
    });
    (axis, finding.into_iter().collect())
}

/// `0.20 kn`: the loss of speed that charging may cost.
fn loss(study: &SailStudy, paper: &Paper) -> String {
    paper.decimals(study.loss_m_s, Quantity::Speed, 2)
}

fn curve(label: Label, points: Vec<(f64, f64)>, weight: Weight, dash: Dash) -> Line {
    Line { label, points, weight, dash, has_readout: true, ..Line::default() }
}

/// Drag against speed: held (or stowed), free, and charging.
#[must_use]
pub fn sail_drag_picture(study: &SailStudy, paper: &Paper) -> Plot {
    let force = unit_for(Quantity::Force, paper.units);
    let newtons = |m: &ModeIntervals| Interval {
        value: force.from_si(m.drag_n.value),
        p10: force.from_si(m.drag_n.p10),
        p90: force.from_si(m.drag_n.p90),
    };
    let (x, references) = speeds(study);
    let held = if study.is_stowed {
        Label::new("blades stowed", "stowed")
    } else {
        Label::new("shaft held", "held")
    };
    let mut lines = vec![
        curve(held, line(study, Mode::Held, &newtons), Weight::Heavy, Dash::Solid),
        curve(
            Label::new("turning free", "free"),
            // Where it stands it drags as held.
            line_where(study, Mode::Free, &newtons, turns),
            Weight::Medium,
            Dash::Solid,
        ),
        curve(
            Label::new(&format!("charging, for {}", loss(study, paper)), "charging"),
            line(study, Mode::WithinLoss, &newtons),
            Weight::Medium,
            Dash::Dashed,
        ),
    ];
    lines.retain(|line| !line.points.is_empty());
    let bands = vec![band(study, Mode::Held, &newtons)];
    let top = bands.iter().flat_map(|b| b.points.iter().map(|p| p.2)).fold(1.0, f64::max);
    let mut plot = Plot {
        title: "Drag of the propeller under sail".into(),
        description: drag_description(study, paper),
        is_low: true,
        x,
        y: Axis::new("drag", force.symbol(), 0).over(0.0, round_up(top)),
        bands,
        lines,
        references,
        ..Plot::default()
    };
    if let Some((row, held)) = study.finding_row().and_then(|row| Some((row, row.mode(Mode::Held)?))) {
        let words = paper.quantity(held.drag_n.value, Quantity::Force);
        plot.points.push(MarkedPoint {
            label: Label::new(&words, &words),
            x: knots(row),
            y: newtons(held).value,
            tone: Tone::Ink,
            ..MarkedPoint::default()
        });
    }
    plot
}

/// Watts against speed: what cancels the drag, and what comes back; `None` when blades are stowed and
/// neither is to be had.
#[must_use]
pub fn sail_power_picture(study: &SailStudy, paper: &Paper) -> Option<Plot> {
    if study.is_stowed {
        return None;
    }
    let (x, references) = speeds(study);
    let cancels: Of<'_> = &|m| m.bank_w;
    let stored: Of<'_> = &|m| m.stored_w;
    let back = Label::new(&format!("into the cells, for {}", loss(study, paper)), "back");
    let mut lines = vec![
        curve(
            Label::new("out of the bank, to cancel the drag", "cancels it"),
            line(study, Mode::WithoutDrag, cancels),
            Weight::Heavy,
            Dash::Solid,
        ),
        curve(back, line(study, Mode::WithinLoss, stored), Weight::Medium, Dash::Dashed),
        curve(
            Label::new("into the cells, at most", "at most"),
            line(study, Mode::Greatest, stored),
            Weight::Thin,
            Dash::Dotted,
        ),
    ];
    lines.retain(|line| !line.points.is_empty());
    // Where what comes back for the loss is all that can be had, one line says it.
    if lines.len() == 3 && is_same(&lines[1].points, &lines[2].points) {
        lines.remove(2);
    }
    let bands: Vec<Band> = [band(study, Mode::WithoutDrag, cancels), band(study, Mode::WithinLoss, stored)]
        .into_iter()
        .filter(|band| band.points.len() > 1)
        .collect();
    let top = bands.iter().flat_map(|b| b.points.iter().map(|p| p.2)).fold(1.0, f64::max);
    let mut plot = Plot {
        title: "Watts of the propeller under sail".into(),
        description: power_description(study, paper),
        is_low: true,
        x,
        y: Axis::new("power", "W", 0).over(0.0, round_up(top)),
        bands,
        lines,
        references,
        ..Plot::default()
    };
    if let Some(row) = study.finding_row() {
        for (mode, of) in [(Mode::WithoutDrag, cancels), (Mode::WithinLoss, stored)] {
            let Some(value) = row.mode(mode).map(|m| of(m).value) else { continue };
            let words = format!("{} W", format_number(value, 0));
            let label = Label::new(&words, &words);
            plot.points.push(MarkedPoint { label, x: knots(row), y: value, ..MarkedPoint::default() });
        }
    }
    Some(plot)
}

fn is_same(a: &[(f64, f64)], b: &[(f64, f64)]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| (a.1 - b.1).abs() <= 0.01 * b.1.abs())
}

fn drag_description(study: &SailStudy, paper: &Paper) -> String {
    let Some(row) = study.finding_row() else {
        return "No speed lies within what is known of the hull.".into();
    };
    let drag = |mode: Mode| row.mode(mode).map(|m| paper.quantity(m.drag_n.value, Quantity::Force));
    let speed = paper.decimals(row.speed_m_s, Quantity::Speed, 1);
    let is_turning = row.mode(Mode::Free).is_none_or(turns);
    match (drag(Mode::Held), drag(Mode::Free)) {
        (Some(held), Some(_)) if !is_turning => {
            format!(
                "Drag rises with speed; at {speed} it is {held} held; left free the shaft does not turn there."
            )
        }
        (Some(held), Some(free)) => {
            format!("Drag rises with speed; at {speed} it is {held} held and {free} free.")
        }
        (Some(held), None) => format!("Drag of the stowed blades rises with speed; at {speed} it is {held}."),
        _ => String::new(),
    }
}

fn power_description(study: &SailStudy, paper: &Paper) -> String {
    let Some(row) = study.finding_row() else {
        return "No speed lies within what is known of the hull.".into();
    };
    let watts = |value: f64| format!("{} W", format_number(value, 0));
    let speed = paper.decimals(row.speed_m_s, Quantity::Speed, 1);
    let cancels = row.mode(Mode::WithoutDrag).map_or_else(String::new, |m| watts(m.bank_w.value));
    let back = row.mode(Mode::WithinLoss).map_or_else(
        || "nothing comes back".to_owned(),
        |m| format!("{} go into the cells", watts(m.stored_w.value)),
    );
    format!("At {speed} {cancels} cancel the drag; {back}.")
}
