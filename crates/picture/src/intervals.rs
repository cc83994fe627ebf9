//! Rows of a median and its 80 % band against a zero or reference line.

use super::canvas::{Anchor, Canvas, Fill, Pen, Type};
use super::geometry::Rect;
use super::plot::{Axis, Tone};
use super::plot_labels::wrap;
use super::plot_layout::{Ticks, draw_x_axis, label_size};
use super::scale::{Scale, is_drawable, range};
use super::{Drawing, Frame, Ink, Picture};

/// One row.
#[derive(Debug, Clone, PartialEq)]
pub struct IntervalRow {
    /// What it is about.
    pub label: String,
    /// Median.
    pub median: f64,
    /// Low end of the interval.
    pub low: f64,
    /// High end.
    pub high: f64,
    /// The row's figures in words.
    pub text: String,
    /// Tone.
    pub tone: Tone,
}

/// Rows on one axis.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Intervals {
    /// Name for screen readers.
    pub title: String,
    /// Sentence for screen readers.
    pub description: String,
    /// The axis.
    pub axis: Axis,
    /// Line against which rows are read: zero for differences.
    pub reference: Option<f64>,
    /// Rows, in order.
    pub rows: Vec<IntervalRow>,
}

impl Picture for Intervals {
    fn draw(&self, frame: &Frame) -> Drawing {
        let mut canvas = Canvas::new(frame);
        let width = canvas.width;
        let px = label_size(width);
        let kind = Type::new(px, Ink::Ink);
        let values = self.rows.iter().flat_map(|r| [r.median, r.low, r.high]).chain(self.reference);
        let (from, to) = range(self.axis.range, values, self.axis.is_from_zero);
        let widest = |text: fn(&IntervalRow) -> &str| {
            self.rows.iter().map(|r| kind.width(text(r))).fold(0.0, f64::max)
        };
        let (labels, texts) = (widest(|r| &r.label), widest(|r| &r.text));
        let is_narrow = labels + texts + 260.0 > width;
        let (left, right) =
            if is_narrow { (10.0, width - 10.0) } else { (labels + 18.0, width - texts - 18.0) };
        let scale = Scale { from, to, px_from: left, px_to: right };
        let pitch = if is_narrow { 46.0 } else { 32.0 };

        let ticks = Ticks::of(&self.axis, from, to, ((right - left) / 95.0).max(3.0));
        // On narrow pages the words of a row stand above it; rows then take what their wording needs.
        let wrapped: Vec<Vec<String>> = self
            .rows
            .iter()
            .map(|row| wrap(&row.label, kind, width - kind.width(&row.text) - 20.0))
            .collect();
        let height = |index: usize| {
            let extra = wrapped.get(index).map_or(0, |lines| lines.len().saturating_sub(1));
            if is_narrow { pitch + extra as f64 * kind.leading() } else { pitch }
        };
        let bottom = 6.0 + (0..self.rows.len()).map(height).sum::<f64>() + 4.0;
        let area = Rect { left, top: 4.0, right, bottom };
        let mut top = 6.0;
        for (index, row) in self.rows.iter().enumerate() {
            let middle = if is_narrow {
                for (line, text) in wrapped[index].iter().enumerate() {
                    let base = top + px + line as f64 * kind.leading();
                    canvas.text((2.0, base), Anchor::Start, kind.on(Ink::Ground), text);
                }
                canvas.text((width - 2.0, top + px), Anchor::End, kind.on(Ink::Ground), &row.text);
                top + height(index) - 15.0
            } else {
                let middle = top + pitch / 2.0;
                canvas.text((left - 14.0, middle + px * 0.35), Anchor::End, kind, &row.label);
                canvas.text((width - 2.0, middle + px * 0.35), Anchor::End, kind, &row.text);
                middle
            };
            // Grid and reference stand behind the row; on narrow pages they stop short of the words above it.
            let (above, below) =
                if is_narrow { (middle - 12.0, middle + 13.0) } else { (top, top + pitch + 1.0) };
            for (value, _) in &ticks.marks {
                let at = scale.px(*value);
                canvas.line((at, above), (at, below), Pen::new(Ink::Grid, 1.0));
            }
            if let Some(reference) = self.reference.filter(|v| *v >= from && *v <= to) {
                let at = scale.px(reference);
                canvas.line((at, above), (at, below), Pen::new(Ink::Ink, 1.2));
            }
            draw_row(&mut canvas, row, &scale, middle);
            top += height(index);
        }
        draw_x_axis(&mut canvas, &area, &scale, &ticks, &self.axis.title());
        canvas.finish(bottom + 42.0, &self.title, &self.description)
    }
}

fn draw_row(canvas: &mut Canvas, row: &IntervalRow, scale: &Scale, middle: f64) {
    if ![row.low, row.median, row.high].into_iter().all(is_drawable) {
        return;
    }
    let held = |value: f64| scale.px(value.clamp(scale.from, scale.to));
    let (low, high, median) = (held(row.low), held(row.high), held(row.median));
    let ink = row.tone.ink();
    let bar = Rect { left: low, top: middle - 5.0, right: high, bottom: middle + 5.0 };
    canvas.rect(&bar, Fill::Solid(Ink::Tint), Some(Pen::new(ink, 1.0)));
    canvas.line((median, middle - 8.0), (median, middle + 8.0), Pen::new(ink, 2.6));
}
