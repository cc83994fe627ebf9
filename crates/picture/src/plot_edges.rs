//! The margins of a plot and the values on its axes.

use super::Ink;
use super::canvas::Type;
use super::geometry::{Point, Rect};
use super::plot::{AxisSide, Plot};
use super::plot_parts::{LabelPlace, ReferenceAt};
use super::scale::{Scale, is_drawable};

/// The plot's area and scales.
pub(super) struct Sheet {
    pub area: Rect,
    pub x: Scale,
    pub y: Scale,
    pub y2: Option<Scale>,
    pub label_px: f64,
}

impl Sheet {
    fn y_of(&self, side: AxisSide) -> Scale {
        match (side, self.y2) {
            (AxisSide::Right, Some(y2)) => y2,
            _ => self.y,
        }
    }

    pub fn at(&self, x: f64, y: f64, side: AxisSide) -> Option<Point> {
        (is_drawable(x) && is_drawable(y)).then(|| (self.x.px(x), self.y_of(side).px(y)))
    }

    /// The visible pieces of a line; a value that is no number breaks it.
    pub fn pieces(&self, points: &[(f64, f64)], side: AxisSide) -> Vec<Vec<Point>> {
        let mut pieces = Vec::new();
        for run in points.split(|(x, y)| !is_drawable(*x) || !is_drawable(*y)) {
            let run: Vec<Point> = run.iter().filter_map(|(x, y)| self.at(*x, *y, side)).collect();
            pieces.extend(self.area.clip_polyline(&run));
        }
        pieces
    }
}

pub(super) fn x_values(plot: &Plot) -> impl Iterator<Item = f64> {
    let lines = plot.lines.iter().flat_map(|l| l.points.iter().map(|p| p.0));
    let bands = plot.bands.iter().flat_map(|b| b.points.iter().map(|p| p.0));
    let references = plot.references.iter().filter_map(|r| match r.at {
        ReferenceAt::X(x) => Some(x),
        ReferenceAt::Y(_) => None,
    });
    lines.chain(bands).chain(references).chain(plot.points.iter().map(|p| p.x))
}

pub(super) fn y_values(plot: &Plot, side: AxisSide) -> impl Iterator<Item = f64> {
    let lines = plot.lines.iter().filter(move |l| l.axis == side).flat_map(|l| l.points.iter().map(|p| p.1));
    let bands = plot
        .bands
        .iter()
        .filter(move |b| b.axis == side)
        .flat_map(|b| b.points.iter().flat_map(|p| [p.1, p.2]));
    let references = plot.references.iter().filter_map(move |r| match r.at {
        ReferenceAt::Y(y) if side == AxisSide::Left => Some(y),
        _ => None,
    });
    let points = plot.points.iter().filter(move |p| p.axis == side).map(|p| p.y);
    lines.chain(bands).chain(references).chain(points)
}

/// Room right of the sheet for the labels of curves that run out of it there; none on narrow pages.
pub(super) fn end_label_margin(plot: &Plot, width: f64, label_px: f64, x_to: f64) -> f64 {
    let kind = Type::bold(label_px, Ink::Ink);
    let widest = plot
        .lines
        .iter()
        .filter(|l| l.place == LabelPlace::AtEnd)
        .filter(|l| l.points.last().is_some_and(|p| p.0 >= x_to * 0.98))
        .map(|l| kind.width(&l.label.text))
        .fold(0.0, f64::max);
    if width < 640.0 || widest == 0.0 { 14.0 } else { (widest + 14.0).min(width * 0.22) }
}
