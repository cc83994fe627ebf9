//! Candidates as points, the front that they leave as a line; each point bears its row for brushing.

use super::candidates::Hang;
use super::canvas::{Anchor, Canvas, Fill, Pen, Type, escape};
use super::geometry::Point;
use super::geometry::Rect;
use super::labels::{Placer, Request, Spot};
use super::plot::{Axis, Tone};
use super::plot_layout::{
    Ticks, draw_grid, draw_sheet, draw_x_axis, draw_y_axis, draw_y_titles, label_size, y_titles_height,
};
use super::scale::{Scale, format_number, is_drawable, range};
use super::{Drawing, Frame, Ink, Picture};

/// A candidate.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Candidate {
    /// Key of its row, written as `data-key` so that table and picture can point at each other.
    pub key: String,
    /// Label; empty for most.
    pub label: String,
    /// x.
    pub x: f64,
    /// y.
    pub y: f64,
    /// Tone; muted for those that another beats.
    pub tone: Tone,
}

/// The scatter.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scatter {
    /// Name for screen readers.
    pub title: String,
    /// Sentence for screen readers.
    pub description: String,
    /// Level axis.
    pub x: Axis,
    /// Upright axis.
    pub y: Axis,
    /// Points.
    pub candidates: Vec<Candidate>,
    /// Points of the front in order along it.
    pub front: Vec<(f64, f64)>,
    /// Words for the front.
    pub front_label: String,
}

impl Picture for Scatter {
    fn draw(&self, frame: &Frame) -> Drawing {
        let mut canvas = Canvas::new(frame);
        let width = canvas.width;
        let px = label_size(width);
        let xs = self.candidates.iter().map(|c| c.x).chain(self.front.iter().map(|p| p.0));
        let ys = self.candidates.iter().map(|c| c.y).chain(self.front.iter().map(|p| p.1));
        let (x_from, x_to) = range(self.x.range, xs, self.x.is_from_zero);
        let (y_from, y_to) = range(self.y.range, ys, self.y.is_from_zero);
        let height = (width * 0.56).clamp(290.0, 480.0);
        let y_ticks = Ticks::of(&self.y, y_from, y_to, height / 62.0);
        let top = y_titles_height(width, &self.y.title(), "") + 4.0;
        let area = Rect {
            left: (y_ticks.width() + 12.0).max(24.0).round(),
            top,
            right: width - 14.0,
            bottom: top + height.round(),
        };
        let x_ticks = Ticks::of(&self.x, x_from, x_to, (area.width() / 95.0).max(3.0));
        let x = Scale { from: x_from, to: x_to, px_from: area.left, px_to: area.right };
        let y = Scale { from: y_from, to: y_to, px_from: area.bottom, px_to: area.top };
        draw_sheet(&mut canvas, &area);
        draw_grid(&mut canvas, &area, (&x, &x_ticks), (&y, &y_ticks));

        let at = |px: f64, py: f64| (is_drawable(px) && is_drawable(py)).then(|| (x.px(px), y.px(py)));
        let mut placer = Placer::default();
        let front: Vec<Point> = self.front.iter().filter_map(|p| at(p.0, p.1)).collect();
        for piece in area.clip_polyline(&front) {
            canvas.polyline(&piece, Pen::new(Ink::Ink, 1.4));
            placer.keep_clear_of(&piece);
        }
        let reach = area.grown(0.5);
        let visible: Vec<(&Candidate, Point)> = self
            .candidates
            .iter()
            .filter_map(|c| Some((c, at(c.x, c.y)?)))
            .filter(|(_, p)| reach.clip(*p, *p).is_some())
            .collect();
        // The scales, so that a frame drawn on the picture can be read in figures.
        canvas.open_group(&format!(
            " class=\"candidates\" data-area=\"{} {} {} {}\" data-x-range=\"{x_from} {x_to}\" data-y-range=\"{y_from} {y_to}\"",
            area.left, area.top, area.right, area.bottom
        ));
        for (candidate, centre) in &visible {
            let ink = candidate.tone.ink();
            let (radius, fill) = match candidate.tone {
                Tone::Muted => (3.0, Fill::Solid(Ink::Raised)),
                Tone::Ink => (4.0, Fill::Solid(Ink::Raised)),
                Tone::Binds | Tone::Passes => (5.0, Fill::Solid(ink)),
            };
            let value = |axis: &Axis, v: f64| format!("{} {}", format_number(v, axis.decimals), axis.unit);
            let data = format!(
                " data-key=\"{}\" data-x=\"{}\" data-y=\"{}\"",
                escape(&candidate.key),
                escape(value(&self.x, candidate.x).trim()),
                escape(value(&self.y, candidate.y).trim())
            );
            canvas.circle(*centre, radius, fill, Some(Pen::new(ink, 1.4)), &data);
            placer.keep_clear_of_mark(*centre, radius + 1.0);
        }
        canvas.close_group();
        draw_x_axis(&mut canvas, &area, &x, &x_ticks, &self.x.title());
        draw_y_axis(&mut canvas, &area, &y, &y_ticks);
        draw_y_titles(&mut canvas, &area, &self.y.title(), "");

        let within = area.inset(3.0);
        let mut unplaced: Vec<(String, Type)> = Vec::new();
        for (candidate, centre) in visible.iter().filter(|(c, _)| !c.label.is_empty()) {
            let kind = match candidate.tone {
                Tone::Binds | Tone::Passes => Type::bold(px, candidate.tone.ink()),
                tone => Type::new(px, tone.ink()),
            };
            let spots = vec![Spot { at: *centre, along: None, cost: 0.0, hang: Hang::Around }];
            let kind = kind.on(Ink::Raised);
            let request = Request { text: &candidate.label, short: "", kind, spots, within, may_lead: true };
            if !placer.place(&mut canvas, &request) {
                unplaced.push((candidate.label.clone(), Type { halo: None, ..kind }));
            }
        }
        let spots: Vec<Spot> = super::geometry::walk(&front, 8.0)
            .into_iter()
            .map(|(at, along)| Spot { at, along: Some(along), cost: 0.0, hang: Hang::Around })
            .collect();
        if !self.front_label.is_empty() && !spots.is_empty() {
            let kind = Type::new(px, Ink::Ink).on(Ink::Raised);
            let request = Request { text: &self.front_label, short: "", kind, spots, within, may_lead: true };
            if !placer.place(&mut canvas, &request) {
                unplaced.push((self.front_label.clone(), Type { halo: None, ..kind }));
            }
        }
        let mut bottom = area.bottom + 42.0;
        for (text, kind) in unplaced {
            bottom += px * 1.4;
            canvas.text((area.left, bottom), Anchor::Start, kind, &text);
        }
        canvas.finish(bottom + 4.0, &self.title, &self.description)
    }
}
