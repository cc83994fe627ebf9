//! Lanes over one shared axis of time: hours of a day, months of a year, a passage.

use super::canvas::{Anchor, Canvas, Fill, Pen, Type};
use super::geometry::Rect;
use super::lane::{Lane, LaneMarks, draw_lane};
use super::plot::Axis;
use super::plot_layout::{SMALL, Ticks, draw_grid, draw_sheet, draw_x_axis, draw_y_axis};
use super::readout;
use super::scale::{Scale, format_number, is_drawable, range};
use super::{Drawing, Frame, Ink, Picture};

/// The strip.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Strip {
    /// Name for screen readers.
    pub title: String,
    /// Sentence for screen readers.
    pub description: String,
    /// Shared axis.
    pub x: Axis,
    /// Words for a place that is read out, each from its start on; numbers where there are none.
    pub reading: Vec<(f64, String)>,
    /// Lanes from top to bottom.
    pub lanes: Vec<Lane>,
    /// Stretches of time that stand out behind all lanes: start, end.
    pub shaded: Vec<(f64, f64)>,
    /// Whether a page marks stretches on it: then it says where its axis lies, in `data-strip`.
    pub is_marked: bool,
}

impl Picture for Strip {
    fn draw(&self, frame: &Frame) -> Drawing {
        let mut canvas = Canvas::new(frame);
        let width = canvas.width;
        let (from, to) = range(self.x.range, self.lanes.iter().flat_map(Lane::x_values), self.x.is_from_zero);
        let ranges: Vec<(f64, f64)> = self
            .lanes
            .iter()
            .map(|lane| range(lane.axis.range, lane.values().into_iter(), lane.axis.is_from_zero))
            .collect();
        let lane_height = if width < 600.0 { 92.0 } else { 112.0 };
        let ticks: Vec<Ticks> = self
            .lanes
            .iter()
            .zip(&ranges)
            .map(|(lane, (low, high))| Ticks::of(&lane.axis, *low, *high, 3.0))
            .collect();
        let left = self
            .lanes
            .iter()
            .zip(&ticks)
            .filter(|(lane, _)| !lane.is_flat())
            .map(|(_, t)| t.width() + 12.0)
            .fold(12.0, f64::max)
            .round();
        let x = Scale { from, to, px_from: left, px_to: width - 20.0 };
        let x_ticks = Ticks::of(&self.x, from, to, ((width - left) / 80.0).max(3.0));
        let mut top = 0.0;
        let mut area = Rect { left, top, right: width - 20.0, bottom: top };
        let mut first = None;
        let mut series = Vec::new();
        for ((lane, (low, high)), y_ticks) in self.lanes.iter().zip(&ranges).zip(&ticks) {
            let heading = Type::new(SMALL, Ink::Muted);
            // Where the whole title does not fit, what stands behind its colon goes.
            let whole = lane.axis.title();
            let short = lane.axis.quantity.split_once(": ").filter(|_| heading.width(&whole) > width - 4.0);
            let title = short
                .map_or(whole, |(short, _)| Axis { quantity: short.to_owned(), ..lane.axis.clone() }.title());
            canvas.text((2.0, top + 14.0), Anchor::Start, heading, &title);
            let height = if lane.is_flat() { 30.0 } else { lane_height };
            area = Rect { top: top + 24.0, bottom: top + 24.0 + height, ..area };
            let y = Scale { from: *low, to: *high, px_from: area.bottom, px_to: area.top };
            draw_sheet(&mut canvas, &area);
            if !lane.is_flat() {
                draw_shaded(&mut canvas, &self.shaded, &area, &x);
            }
            if lane.is_flat() {
                let none = Ticks { marks: Vec::new(), fine: Vec::new() };
                draw_grid(&mut canvas, &area, (&x, &x_ticks), (&y, &none));
            } else {
                draw_grid(&mut canvas, &area, (&x, &x_ticks), (&y, y_ticks));
            }
            draw_lane(&mut canvas, lane, &area, &x, &y);
            first.get_or_insert(area);
            series.extend(self.readable(lane, &x, &y));
            if !lane.is_flat() {
                draw_y_axis(&mut canvas, &area, &y, y_ticks);
            }
            canvas.line((area.left, area.bottom), (area.right, area.bottom), Pen::new(Ink::Ink, 1.0));
            top = area.bottom + 8.0;
        }
        draw_x_axis(&mut canvas, &area, &x, &x_ticks, &self.x.title());
        // Where stretches are marked the pointer has another task.
        if !series.is_empty() && !self.is_marked {
            let whole = Rect { top: first.map_or(area.top, |first| first.top), ..area };
            canvas.root_attribute("tabindex", "0");
            canvas.root_attribute("data-readout", &readout::json(&whole, &self.x.title(), &series));
        }
        if self.is_marked {
            let place = format!(
                "{{\"left\":{left},\"right\":{},\"top\":24,\"bottom\":{},\"from\":{from},\"to\":{to}}}",
                area.right, area.bottom
            );
            canvas.root_attribute("data-strip", &place);
        }
        canvas.finish(area.bottom + 42.0, &self.title, &self.description)
    }
}

impl Strip {
    fn words_at(&self, value: f64) -> String {
        let named = self.reading.iter().rfind(|(from, _)| *from <= value + 1e-9);
        named.map_or_else(|| format_number(value, self.x.decimals), |(_, words)| words.clone())
    }

    /// What can be read out of a lane: the tops of its bars, its line, or the middle of its band.
    fn readable(&self, lane: &Lane, x: &Scale, y: &Scale) -> Vec<readout::Series> {
        let points_of = |marks: &LaneMarks| -> Vec<(f64, f64)> {
            match marks {
                LaneMarks::Bars(bars) => bars
                    .iter()
                    .filter(|bar| !bar.3)
                    .map(|(start, end, value, _)| (0.5 * (start + end), *value))
                    .collect(),
                LaneMarks::Line(points) => points.clone(),
                LaneMarks::Band(points) => points.iter().map(|p| (p.0, p.2)).collect(),
                LaneMarks::Spans(_) => Vec::new(),
            }
        };
        let series = lane.marks.iter().map(points_of).filter(|points| !points.is_empty()).map(|points| {
            let unit = if lane.axis.unit.is_empty() { String::new() } else { format!(" {}", lane.axis.unit) };
            readout::Series {
                label: lane.axis.quantity.clone(),
                tone: lane.tone.ink().name(),
                points: points
                    .into_iter()
                    .filter(|(px, py)| is_drawable(*px) && is_drawable(*py))
                    .map(|(px, py)| {
                        let said = format!("{}{unit}", format_number(py, lane.axis.decimals));
                        ((x.px(px), y.px(py)), self.words_at(px), said)
                    })
                    .collect(),
            }
        });
        series.collect()
    }
}

/// A tint from edge to edge of a stretch, and its edges.
fn draw_shaded(canvas: &mut Canvas, shaded: &[(f64, f64)], area: &Rect, x: &Scale) {
    for (start, end) in shaded.iter().filter(|(start, end)| is_drawable(*start) && is_drawable(*end)) {
        let left = x.px(*start).clamp(area.left, area.right);
        let right = x.px(*end).clamp(area.left, area.right);
        canvas.rect(&Rect { left, right, ..*area }, Fill::Solid(Ink::Tint), None);
        for edge in [left, right] {
            canvas.line((edge, area.top), (edge, area.bottom), Pen::new(Ink::Muted, 0.7));
        }
    }
}
