//! Plane geometry of the page, in px with y down: boxes that may be turned, segments, clipping.

/// A point of the page.
pub(super) type Point = (f64, f64);

/// An upright rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rect {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Rect {
    /// The smallest one round `points`.
    pub fn round(points: impl IntoIterator<Item = Point>) -> Self {
        let none = Self { left: f64::MAX, top: f64::MAX, right: f64::MIN, bottom: f64::MIN };
        points.into_iter().fold(none, |rect, (x, y)| Self {
            left: rect.left.min(x),
            top: rect.top.min(y),
            right: rect.right.max(x),
            bottom: rect.bottom.max(y),
        })
    }

    /// Whether the two have a point in common.
    pub fn meets(&self, other: &Self) -> bool {
        self.left <= other.right
            && self.right >= other.left
            && self.top <= other.bottom
            && self.bottom >= other.top
    }

    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }

    pub fn grown(&self, by: f64) -> Self {
        self.inset(-by)
    }

    pub fn inset(&self, by: f64) -> Self {
        Self { left: self.left + by, top: self.top + by, right: self.right - by, bottom: self.bottom - by }
    }

    /// The part of segment `a`-`b` that lies inside (parametric clip, [liang1984]).
    pub fn clip(&self, a: Point, b: Point) -> Option<(Point, Point)> {
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        for (direction, distance) in
            [(-dx, a.0 - self.left), (dx, self.right - a.0), (-dy, a.1 - self.top), (dy, self.bottom - a.1)]
        {
            if direction == 0.0 {
                if distance < 0.0 {
                    return None;
                }
            } else if direction < 0.0 {
                enter = enter.max(distance / direction);
            } else {
                leave = leave.min(distance / direction);
            }
        }
        (enter <= leave)
            .then_some(((a.0 + enter * dx, a.1 + enter * dy), (a.0 + leave * dx, a.1 + leave * dy)))
    }

    /// The pieces of a polyline that lie inside.
    pub fn clip_polyline(&self, points: &[Point]) -> Vec<Vec<Point>> {
        let mut pieces: Vec<Vec<Point>> = Vec::new();
        for pair in points.windows(2) {
            let Some((a, b)) = self.clip(pair[0], pair[1]) else { continue };
            match pieces.last_mut() {
                Some(piece) if piece.last().is_some_and(|end| near(*end, a)) => piece.push(b),
                _ => pieces.push(vec![a, b]),
            }
        }
        pieces
    }
}

fn near(a: Point, b: Point) -> bool {
    (a.0 - b.0).abs() < 1e-6 && (a.1 - b.1).abs() < 1e-6
}

/// A rectangle turned about its centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct TurnedBox {
    pub centre: Point,
    pub half_width: f64,
    pub half_height: f64,
    /// Clockwise on the page, radians.
    pub angle_rad: f64,
}

impl TurnedBox {
    pub fn grown(&self, by: f64) -> Self {
        Self { half_width: self.half_width + by, half_height: self.half_height + by, ..*self }
    }

    /// Sine and cosine of the turn; most boxes stand upright and need none computed.
    fn turn(&self) -> (f64, f64) {
        if self.angle_rad == 0.0 { (0.0, 1.0) } else { self.angle_rad.sin_cos() }
    }

    pub fn corners(&self) -> [Point; 4] {
        let (sin, cos) = self.turn();
        [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(i, j)| {
            let (u, v) = (i * self.half_width, j * self.half_height);
            (self.centre.0 + u * cos - v * sin, self.centre.1 + u * sin + v * cos)
        })
    }

    fn local(&self, point: Point) -> Point {
        let (sin, cos) = self.turn();
        let (dx, dy) = (point.0 - self.centre.0, point.1 - self.centre.1);
        (dx * cos + dy * sin, dy * cos - dx * sin)
    }

    /// How far it reaches from its centre at most, across and up.
    fn reach(&self) -> (f64, f64) {
        if self.angle_rad == 0.0 {
            return (self.half_width, self.half_height);
        }
        let reach = self.half_width + self.half_height;
        (reach, reach)
    }

    /// An upright rectangle round it, not always the smallest.
    pub fn round(&self) -> Rect {
        let ((x, y), (wide, high)) = (self.centre, self.reach());
        Rect { left: x - wide, top: y - high, right: x + wide, bottom: y + high }
    }

    pub fn hits_segment(&self, a: Point, b: Point) -> bool {
        let (wide, high) = self.reach();
        if a.0.min(b.0) > self.centre.0 + wide
            || a.0.max(b.0) < self.centre.0 - wide
            || a.1.min(b.1) > self.centre.1 + high
            || a.1.max(b.1) < self.centre.1 - high
        {
            return false;
        }
        let upright = Rect {
            left: -self.half_width,
            top: -self.half_height,
            right: self.half_width,
            bottom: self.half_height,
        };
        upright.clip(self.local(a), self.local(b)).is_some()
    }

    /// Whether two boxes overlap (separating axes).
    pub fn hits(&self, other: &Self) -> bool {
        if !self.round().meets(&other.round()) {
            return false;
        }
        let separated = |one: &Self, two: &Self| {
            let corners = two.corners().map(|corner| one.local(corner));
            corners.iter().all(|c| c.0 >= one.half_width)
                || corners.iter().all(|c| c.0 <= -one.half_width)
                || corners.iter().all(|c| c.1 >= one.half_height)
                || corners.iter().all(|c| c.1 <= -one.half_height)
        };
        !separated(self, other) && !separated(other, self)
    }

    pub fn is_inside(&self, rect: &Rect) -> bool {
        self.corners()
            .iter()
            .all(|c| c.0 >= rect.left && c.0 <= rect.right && c.1 >= rect.top && c.1 <= rect.bottom)
    }
}

/// Whether a point lies inside a polygon (even-odd).
pub(super) fn is_in_polygon(point: Point, polygon: &[Point]) -> bool {
    let mut inside = false;
    let mut previous = polygon.len().wrapping_sub(1);
    for (index, a) in polygon.iter().enumerate() {
        let b = polygon[previous];
        if (a.1 > point.1) != (b.1 > point.1) && point.0 < (b.0 - a.0) * (point.1 - a.1) / (b.1 - a.1) + a.0 {
            inside = !inside;
        }
        previous = index;
    }
    inside
}

/// Points along a polyline at about `step_px`, each with the direction there (unit vector).
pub(super) fn walk(points: &[Point], step_px: f64) -> Vec<(Point, Point)> {
    let mut stations = Vec::new();
    let mut left_over = 0.0;
    for pair in points.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let length = (b.0 - a.0).hypot(b.1 - a.1);
        if length < 1e-9 {
            continue;
        }
        let direction = ((b.0 - a.0) / length, (b.1 - a.1) / length);
        let mut along = left_over;
        while along <= length {
            stations.push(((a.0 + direction.0 * along, a.1 + direction.1 * along), direction));
            along += step_px;
        }
        left_over = along - length;
    }
    stations
}

/// Points of a cubic Bezier curve without its start.
pub(super) fn bezier(from: Point, c1: Point, c2: Point, to: Point, count: u32) -> Vec<Point> {
    (1..=count)
        .map(|i| {
            let t = f64::from(i) / f64::from(count);
            let s = 1.0 - t;
            let (w0, w1, w2, w3) = (s * s * s, 3.0 * s * s * t, 3.0 * s * t * t, t * t * t);
            (w0 * from.0 + w1 * c1.0 + w2 * c2.0 + w3 * to.0, w0 * from.1 + w1 * c1.1 + w2 * c2.1 + w3 * to.1)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_turned_box_meets_only_what_crosses_it() {
        let label = TurnedBox {
            centre: (0.0, 0.0),
            half_width: 10.0,
            half_height: 2.0,
            angle_rad: std::f64::consts::FRAC_PI_2,
        };
        assert!(label.hits_segment((-5.0, 8.0), (5.0, 8.0)));
        assert!(!label.hits_segment((3.0, -20.0), (3.0, 20.0)));
        let beside = TurnedBox { centre: (5.0, 0.0), angle_rad: 0.0, half_width: 2.5, half_height: 2.0 };
        assert!(!label.hits(&beside));
        assert!(label.hits(&TurnedBox { centre: (4.0, 0.0), ..beside }));
    }

    #[test]
    fn clipping_splits_a_line_that_leaves_and_returns() {
        let rect = Rect { left: 0.0, top: 0.0, right: 10.0, bottom: 10.0 };
        let pieces = rect.clip_polyline(&[(1.0, 5.0), (3.0, -5.0), (5.0, 5.0)]);
        assert_eq!(pieces.len(), 2);
        assert_eq!(pieces[0][1], (2.0, 0.0));
    }
}
