//! One lane of a strip: what it shows and how it is drawn.

use super::Ink;
use super::canvas::{Anchor, Canvas, Fill, Pen, Type};
use super::geometry::{Point, Rect};
use super::plot::{Axis, Tone};
use super::plot_labels::wrap;
use super::plot_layout::SMALL;
use super::scale::{Scale, is_drawable};

/// What a lane holds.
#[derive(Debug, Clone, PartialEq)]
pub enum LaneMarks {
    /// Bars from zero: start, end, value; hatched where the flag is set (lost, or not to be had).
    Bars(Vec<(f64, f64, f64, bool)>),
    /// A line.
    Line(Vec<(f64, f64)>),
    /// x, low, median, high.
    Band(Vec<(f64, f64, f64, f64)>),
    /// Spans that are on, without height: start, end, words.
    Spans(Vec<(f64, f64, String)>),
}

/// One lane.
#[derive(Debug, Clone, PartialEq)]
pub struct Lane {
    /// Upright axis: its quantity and unit are the lane's heading.
    pub axis: Axis,
    /// Marks, drawn in order.
    pub marks: Vec<LaneMarks>,
    /// Tone of bars and lines.
    pub tone: Tone,
    /// A level that matters, with its words: a reserve, a keel's depth.
    pub level: Option<(f64, String)>,
}

impl Lane {
    pub(super) fn values(&self) -> Vec<f64> {
        let mut values: Vec<f64> = self.level.iter().map(|l| l.0).collect();
        for marks in &self.marks {
            match marks {
                LaneMarks::Bars(bars) => values.extend(bars.iter().flat_map(|b| [0.0, b.2])),
                LaneMarks::Line(points) => values.extend(points.iter().map(|p| p.1)),
                LaneMarks::Band(points) => values.extend(points.iter().flat_map(|p| [p.1, p.3])),
                LaneMarks::Spans(_) => {}
            }
        }
        values
    }

    pub(super) fn x_values(&self) -> Vec<f64> {
        let mut values = Vec::new();
        for marks in &self.marks {
            match marks {
                LaneMarks::Bars(bars) => values.extend(bars.iter().flat_map(|b| [b.0, b.1])),
                LaneMarks::Line(points) => values.extend(points.iter().map(|p| p.0)),
                LaneMarks::Band(points) => values.extend(points.iter().map(|p| p.0)),
                LaneMarks::Spans(spans) => values.extend(spans.iter().flat_map(|s| [s.0, s.1])),
            }
        }
        values
    }

    pub(super) fn is_flat(&self) -> bool {
        self.marks.iter().all(|m| matches!(m, LaneMarks::Spans(_)))
    }
}

pub(super) fn draw_lane(canvas: &mut Canvas, lane: &Lane, area: &Rect, x: &Scale, y: &Scale) {
    let ink = lane.tone.ink();
    let at = |px: f64, py: f64| (is_drawable(px) && is_drawable(py)).then(|| (x.px(px), y.px(py)));
    let clip = canvas.clip_rect(area);
    canvas.open_group(&format!(" clip-path=\"url(#{clip})\""));
    for marks in &lane.marks {
        match marks {
            LaneMarks::Bars(bars) => {
                for (start, end, value, is_hatched) in bars {
                    let (Some(a), Some(b)) = (at(*start, 0.0), at(*end, *value)) else { continue };
                    let bar = Rect {
                        left: a.0 + 1.0,
                        top: a.1.min(b.1),
                        right: (b.0 - 1.0).max(a.0 + 2.0),
                        bottom: a.1.max(b.1),
                    };
                    let fill = if *is_hatched { Fill::Hatched } else { Fill::Solid(Ink::Tint) };
                    canvas.rect(&bar, fill, Some(Pen::new(ink, 1.0)));
                }
            }
            LaneMarks::Line(points) => {
                let line: Vec<Point> = points.iter().filter_map(|p| at(p.0, p.1)).collect();
                canvas.polyline(&line, Pen::new(ink, 1.8));
            }
            LaneMarks::Band(points) => {
                let mut outline: Vec<Point> = points.iter().filter_map(|p| at(p.0, p.1)).collect();
                outline.extend(points.iter().rev().filter_map(|p| at(p.0, p.3)));
                canvas.polygon(&outline, Fill::Solid(Ink::Tint), None);
                let median: Vec<Point> = points.iter().filter_map(|p| at(p.0, p.2)).collect();
                canvas.polyline(&median, Pen::new(ink, 1.8));
            }
            LaneMarks::Spans(_) => {}
        }
    }
    canvas.close_group();
    for marks in &lane.marks {
        if let LaneMarks::Spans(spans) = marks {
            for span in spans {
                draw_span(canvas, span, lane.tone, area, x);
            }
        }
    }
    if let Some((level, words)) = &lane.level
        && let Some(a) = at(x.from, *level)
        && a.1 >= area.top
        && a.1 <= area.bottom
    {
        canvas.line((area.left, a.1), (area.right, a.1), Pen::dashed(Ink::Ink, 1.0, "7 4"));
        // Words stand below a level in the lane's upper half, else above it, at the right end.
        let base = if a.1 < area.top + 22.0 { a.1 + 15.0 } else { a.1 - 5.0 };
        let kind = Type::new(SMALL, Ink::Ink).on(Ink::Raised);
        canvas.text((area.right - 4.0, base), Anchor::End, kind, words);
    }
}

fn draw_span(
    canvas: &mut Canvas,
    (start, end, words): &(f64, f64, String),
    tone: Tone,
    area: &Rect,
    x: &Scale,
) {
    if !is_drawable(*start) || !is_drawable(*end) {
        return;
    }
    let left = x.px(*start).clamp(area.left, area.right);
    let right = x.px(*end).clamp(area.left, area.right);
    let span = Rect { left, top: area.top + 4.0, right, bottom: area.bottom - 4.0 };
    canvas.rect(&span, Fill::Solid(Ink::Tint), Some(Pen::new(tone.ink(), 1.2)));
    let kind = Type::new(SMALL, Ink::Ink);
    if wrap(words, kind, span.width() - 6.0).len() == 1 && kind.width(words) <= span.width() - 6.0 {
        canvas.text(
            ((left + right) / 2.0, (span.top + span.bottom) / 2.0 + 4.2),
            Anchor::Middle,
            kind,
            words,
        );
    }
}
