//! Finds a place for each label: beside what it names, on no line and on no other label.
//!
//! A label is tried in its full wording on one line, then on two, then in its short wording, then with a leader
//! line; the caller hears when nothing fits. Candidates carry a cost and the cheapest free one is taken, so the
//! order of requests matters: what has least choice (a marked point) comes first.

use super::Ink;
use super::candidates::{Hang, Leading, candidates, leading_candidates, segments, split_in_two};
use super::canvas::{ASCENT, Anchor, Canvas, DESCENT, Pen, Type};
use super::geometry::{Point, Rect, TurnedBox};

/// Gap between a label and what it names, px.
pub(super) const GAP: f64 = 5.0;
/// Room kept free round a label, px.
const ROOM: f64 = 2.5;
/// And before and behind it where the next word is another label's, px: less reads as one.
const APART: f64 = 7.0;

/// Cost of lying across the edge of a tint.
const EDGE_COST: f64 = 16.0;

/// A spot from which a label may hang.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spot {
    pub at: Point,
    /// Direction of the line there, unit vector; a label may then lie along it.
    pub along: Option<Point>,
    /// How unwelcome the spot is; 0 for the best.
    pub cost: f64,
    pub hang: Hang,
}

/// A label that seeks a place.
#[derive(Debug)]
pub(super) struct Request<'a> {
    pub text: &'a str,
    /// Shorter wording; may be empty.
    pub short: &'a str,
    pub kind: Type,
    pub spots: Vec<Spot>,
    pub within: Rect,
    pub may_lead: bool,
}

/// What labels have to keep clear of.
#[derive(Debug, Default)]
pub(super) struct Placer {
    segments: Strokes,
    edges: Strokes,
}

/// Segments in bundles, each with the rectangle round it, since most lie far from any one label.
#[derive(Debug, Default)]
struct Strokes(Vec<(Rect, Vec<(Point, Point)>)>);

impl Strokes {
    fn add(&mut self, segments: &[(Point, Point)]) {
        const BUNDLE: usize = 16;
        for bundle in segments.chunks(BUNDLE) {
            self.0.push((Rect::round(bundle.iter().flat_map(|(a, b)| [*a, *b])), bundle.to_vec()));
        }
    }

    /// The segments of bundles that come near `rect`.
    fn near(&self, rect: Rect) -> impl Iterator<Item = &(Point, Point)> {
        self.0.iter().filter(move |(round, _)| round.meets(&rect)).flat_map(|(_, bundle)| bundle)
    }

    fn hit(&self, turned: &TurnedBox) -> bool {
        self.near(turned.round()).any(|(a, b)| turned.hits_segment(*a, *b))
    }
}

#[derive(Debug)]
pub(super) struct Found {
    pub(super) turned: TurnedBox,
    pub(super) anchor: Anchor,
    pub(super) leader: Option<(Point, Point)>,
    pub(super) cost: f64,
}

impl Placer {
    /// Adds a line that no label may cross.
    pub fn keep_clear_of(&mut self, points: &[Point]) {
        self.segments.add(&segments(points, 2.0));
    }

    /// Adds the edge of a tint, which a label crosses only when it finds no better place.
    pub fn rather_not_cross(&mut self, points: &[Point]) {
        self.edges.add(&segments(points, 4.0));
    }

    /// Adds the outline of a mark that no label may cover.
    pub fn keep_clear_of_mark(&mut self, centre: Point, radius: f64) {
        let across = |(dx, dy): Point| ((centre.0 - dx, centre.1 - dy), (centre.0 + dx, centre.1 + dy));
        self.segments.add(&[(radius, 0.0), (0.0, radius)].map(across));
    }

    fn is_free(&self, turned: &TurnedBox, canvas: &Canvas, within: &Rect) -> bool {
        let roomy = turned.grown(ROOM);
        let apart = TurnedBox { half_width: turned.half_width + APART, ..roomy };
        turned.is_inside(within)
            && !canvas.boxes.iter().any(|other| other.turned.hits(&apart))
            && !self.segments.hit(&roomy)
    }

    /// Draws the label in the best free place; `false` when there is none.
    pub fn place(&mut self, canvas: &mut Canvas, request: &Request<'_>) -> bool {
        let split = split_in_two(request.text);
        let mut wordings: Vec<(Vec<&str>, f64)> = vec![(vec![request.text], 0.0)];
        if let Some((first, second)) = split {
            wordings.push((vec![first, second], 30.0));
        }
        if !request.short.is_empty() && request.short != request.text {
            wordings.push((vec![request.short], 60.0));
        }
        for leading in [Leading::None, Leading::Clear, Leading::Across] {
            if leading != Leading::None && !request.may_lead {
                continue;
            }
            let mut best: Option<(Found, &[&str])> = None;
            for (lines, wording_cost) in &wordings {
                let found = self.search(canvas, request, lines, leading);
                if let Some(mut found) = found {
                    found.cost += wording_cost;
                    if best.as_ref().is_none_or(|(b, _)| found.cost < b.cost) {
                        best = Some((found, lines));
                    }
                }
            }
            if let Some((found, lines)) = best {
                if let Some((a, b)) = found.leader {
                    canvas.line(a, b, Pen::new(Ink::Muted, 0.8));
                    self.segments.add(&[(a, b)]);
                }
                canvas.block(&found.turned, request.kind, lines, found.anchor);
                return true;
            }
        }
        false
    }

    fn search(
        &self,
        canvas: &Canvas,
        request: &Request<'_>,
        lines: &[&str],
        leading: Leading,
    ) -> Option<Found> {
        let half_width = lines.iter().map(|l| request.kind.width(l)).fold(0.0, f64::max) / 2.0;
        let extra_lines = if lines.len() > 1 { request.kind.leading() } else { 0.0 };
        let half_height = ((ASCENT + DESCENT) * request.kind.size + extra_lines) / 2.0;
        let mut best: Option<Found> = None;
        for spot in &request.spots {
            // No way to hang from a spot is cheaper than the spot itself.
            if best.as_ref().is_some_and(|b| b.cost <= spot.cost) {
                continue;
            }
            let candidates = if leading != Leading::None {
                leading_candidates(spot, half_width, half_height)
            } else {
                candidates(spot, half_width, half_height)
            };
            for mut candidate in candidates {
                if best.as_ref().is_some_and(|b| b.cost <= candidate.cost) {
                    continue;
                }
                if self.is_free(&candidate.turned, canvas, &request.within)
                    && candidate.leader.is_none_or(|(a, b)| self.may_lead_through(canvas, a, b, leading))
                {
                    if self.edges.hit(&candidate.turned) {
                        candidate.cost += EDGE_COST;
                    }
                    if best.as_ref().is_some_and(|b| b.cost <= candidate.cost) {
                        continue;
                    }
                    best = Some(candidate);
                }
            }
        }
        best
    }

    /// A leader may start on its own line, but crosses no label, and other lines only as a last resort.
    fn may_lead_through(&self, canvas: &Canvas, a: Point, b: Point, leading: Leading) -> bool {
        let start = (a.0 + (b.0 - a.0) * 0.15, a.1 + (b.1 - a.1) * 0.15);
        let crosses = |p: &Point, q: &Point| {
            let side = |o: Point, e: Point, r: Point| (e.0 - o.0) * (r.1 - o.1) - (e.1 - o.1) * (r.0 - o.0);
            side(start, b, *p) * side(start, b, *q) < 0.0 && side(*p, *q, start) * side(*p, *q, b) < 0.0
        };
        !canvas.boxes.iter().any(|other| other.turned.grown(1.0).hits_segment(a, b))
            && (leading == Leading::Across
                || !self.segments.near(Rect::round([a, b])).any(|(p, q)| crosses(p, q)))
    }
}
