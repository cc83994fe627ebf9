//! Axes: ranges, margins, fine grid, tick labels. Shared by the plot, the scatter and the strips.

use super::Ink;
use super::canvas::{Anchor, Canvas, Fill, Pen, Type};
use super::geometry::Rect;
use super::plot::Axis;
use super::scale::{Scale, decimals_for, fine_parts, format_number, ticks};

/// Size of tick labels and axis titles, px; the smallest text anywhere.
pub(super) const SMALL: f64 = 12.0;

/// Size of labels in a picture of that width, px.
pub(super) fn label_size(width: f64) -> f64 {
    if width < 600.0 { 13.0 } else { 14.0 }
}

/// Ticks of an axis over its final range.
#[derive(Debug, Clone)]
pub(super) struct Ticks {
    /// Value and label.
    pub marks: Vec<(f64, String)>,
    /// Values of the fine grid.
    pub fine: Vec<f64>,
}

impl Ticks {
    pub fn of(axis: &Axis, from: f64, to: f64, count: f64) -> Self {
        if !axis.named_ticks.is_empty() {
            let marks: Vec<_> =
                axis.named_ticks.iter().filter(|(v, _)| *v >= from && *v <= to).cloned().collect();
            return Self { marks, fine: Vec::new() };
        }
        let (values, step) = ticks(from, to, count);
        let decimals = decimals_for(step);
        let fine_step = step / f64::from(fine_parts(step));
        let first = (from / fine_step).ceil();
        let fine = (0..400_u32)
            .map(|i| (first + f64::from(i)) * fine_step)
            .take_while(|v| *v <= to + fine_step * 1e-6)
            .collect();
        Self { marks: values.into_iter().map(|v| (v, format_number(v, decimals))).collect(), fine }
    }

    /// Width of the widest label, px.
    pub fn width(&self) -> f64 {
        let kind = Type::new(SMALL, Ink::Muted);
        self.marks.iter().map(|(_, text)| kind.width(text)).fold(0.0, f64::max)
    }
}

/// Draws the sheet and the grid on which lines will stand.
pub(super) fn draw_grid(canvas: &mut Canvas, area: &Rect, x: (&Scale, &Ticks), y: (&Scale, &Ticks)) {
    let (fine, main) = (Pen::new(Ink::Grid, 0.6), Pen::new(Ink::Grid, 1.2));
    for (values, pen) in [(x.1.fine.clone(), fine), (x.1.marks.iter().map(|m| m.0).collect(), main)] {
        for value in values {
            let at = x.0.px(value);
            canvas.line((at, area.top), (at, area.bottom), pen);
        }
    }
    for (values, pen) in [(y.1.fine.clone(), fine), (y.1.marks.iter().map(|m| m.0).collect(), main)] {
        for value in values {
            let at = y.0.px(value);
            canvas.line((area.left, at), (area.right, at), pen);
        }
    }
}

/// Draws the sheet's ground.
pub(super) fn draw_sheet(canvas: &mut Canvas, area: &Rect) {
    canvas.rect(area, Fill::Solid(Ink::Raised), None);
}

/// Draws the level axis with its ticks and title beneath the area.
pub(super) fn draw_x_axis(canvas: &mut Canvas, area: &Rect, scale: &Scale, ticks: &Ticks, title: &str) {
    let pen = Pen::new(Ink::Ink, 1.0);
    let kind = Type::new(SMALL, Ink::Muted);
    canvas.line((area.left, area.bottom), (area.right, area.bottom), pen);
    let mut free_from = 0.0;
    for (value, text) in &ticks.marks {
        let at = scale.px(*value);
        canvas.line((at, area.bottom), (at, area.bottom + 4.0), pen);
        let half = kind.width(text) / 2.0;
        if at - half < free_from || at + half > canvas.width {
            continue;
        }
        canvas.text((at, area.bottom + 17.0), Anchor::Middle, kind, text);
        free_from = at + half + 8.0;
    }
    canvas.text((area.right, area.bottom + 35.0), Anchor::End, kind, title);
}

/// Draws the left axis with its ticks.
pub(super) fn draw_y_axis(canvas: &mut Canvas, area: &Rect, scale: &Scale, ticks: &Ticks) {
    let pen = Pen::new(Ink::Ink, 1.0);
    let kind = Type::new(SMALL, Ink::Muted);
    canvas.line((area.left, area.top), (area.left, area.bottom), pen);
    for (value, text) in &ticks.marks {
        let at = scale.px(*value);
        canvas.line((area.left - 4.0, at), (area.left, at), pen);
        canvas.text((area.left - 7.0, at + 4.2), Anchor::End, kind, text);
    }
}

/// Draws the right axis with its ticks.
pub(super) fn draw_y2_axis(canvas: &mut Canvas, area: &Rect, scale: &Scale, ticks: &Ticks) {
    let pen = Pen::new(Ink::Ink, 1.0);
    let kind = Type::new(SMALL, Ink::Muted);
    canvas.line((area.right, area.top), (area.right, area.bottom), pen);
    for (value, text) in &ticks.marks {
        let at = scale.px(*value);
        canvas.line((area.right, at), (area.right + 4.0, at), pen);
        canvas.text((area.right + 7.0, at + 4.2), Anchor::Start, kind, text);
    }
}

/// Writes the titles of the upright axes above the area; gives the height they take.
pub(super) fn y_titles_height(width: f64, left: &str, right: &str) -> f64 {
    let kind = Type::new(SMALL, Ink::Muted);
    if !right.is_empty() && kind.width(left) + kind.width(right) + 20.0 > width { 38.0 } else { 22.0 }
}

pub(super) fn draw_y_titles(canvas: &mut Canvas, area: &Rect, left: &str, right: &str) {
    let kind = Type::new(SMALL, Ink::Muted);
    let width = canvas.width;
    let top = area.top - y_titles_height(width, left, right) + 12.0;
    canvas.text((2.0, top), Anchor::Start, kind, left);
    if !right.is_empty() {
        canvas.text((width - 2.0, area.top - 10.0), Anchor::End, kind, right);
    }
}
