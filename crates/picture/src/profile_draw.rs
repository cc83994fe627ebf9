//! Draws a profile: the boat over her dimensions, and an enlarged view of the propeller where it turns.

use super::canvas::{Anchor, Canvas, Fill, Pen, Type};
use super::geometry::{Point, Rect};
use super::plot_layout::label_size;
use super::profile::Profile;
use super::profile_hull::{Shapes, shapes};
use super::{Drawing, Frame, Ink};

const OUTLINE: Pen = Pen::new(Ink::Ink, 1.8);
const FINE: Pen = Pen::new(Ink::Muted, 0.8);
const CENTRE: Pen = Pen::dashed(Ink::Ink, 0.9, "10 3 2 3");
const DIMENSION: Pen = Pen::new(Ink::Ink, 0.8);

/// Metres to px.
#[derive(Debug, Clone, Copy)]
struct View {
    /// px of x = 0, y = 0.
    origin: Point,
    px_per_m: f64,
}

impl View {
    fn at(&self, p: Point) -> Point {
        (self.origin.0 + p.0 * self.px_per_m, self.origin.1 - p.1 * self.px_per_m)
    }

    fn all(&self, points: &[Point]) -> Vec<Point> {
        points.iter().map(|p| self.at(*p)).collect()
    }
}

pub(super) fn draw(boat: &Profile<f64>, frame: &Frame) -> Drawing {
    let mut canvas = Canvas::new(frame);
    let width = canvas.width;
    let px = label_size(width);
    let shapes = shapes(boat);
    let is_wide = width >= 860.0;
    let hull_width = if is_wide { width * 0.66 } else { width };

    // The boat, with room right of the bow for draught and freeboard.
    let kind = Type::new(px, Ink::Ink);
    let side_room = kind.width(&boat.texts.draught).max(kind.width(&boat.texts.freeboard)).max(20.0) + 62.0;
    // A rudder or a leg hung on the transom stands abaft the length over all.
    let abaft =
        -(shapes.rudder.iter().chain(shapes.appendages.iter().flatten())).map(|p| p.0).fold(0.0, f64::min);
    let scale = (hull_width - side_room - 10.0) / (boat.length_overall_m + abaft);
    let left = 10.0 + abaft * scale;
    let top = shapes.mast.map_or_else(|| highest(&shapes), |(_, head)| head).max(highest(&shapes));
    let view = View { origin: (left, 10.0 + top * scale), px_per_m: scale };
    let depth_px = boat.draught_m.max(lowest(&shapes)) * scale;
    let keel_y = view.origin.1 + depth_px;

    draw_boat(&mut canvas, boat, &shapes, &view, 1.0);
    draw_waterline(&mut canvas, &view, &shapes, hull_width - 2.0);
    let bottom = draw_lengths(&mut canvas, boat, &shapes, &view, keel_y, px);
    draw_heights(&mut canvas, boat, &shapes, &view, px);
    let bottom = draw_fitted(&mut canvas, boat, &shapes, &view, bottom, hull_width, px);

    let detail = if is_wide {
        Rect { left: hull_width + 28.0, top: 8.0, right: width - 2.0, bottom: (bottom + 4.0).max(250.0) }
    } else {
        let side = (width - 4.0).min(520.0);
        Rect {
            left: 2.0,
            top: bottom + 22.0,
            right: 2.0 + side,
            bottom: bottom + 22.0 + (side * 0.72).max(250.0),
        }
    };
    draw_detail(&mut canvas, boat, &shapes, &detail, px);
    canvas.finish(detail.bottom.max(bottom) + 6.0, &boat.title, &boat.description)
}

fn highest(shapes: &Shapes) -> f64 {
    shapes.hull.iter().chain(shapes.deckhouse.iter().flatten()).map(|p| p.1).fold(0.0, f64::max)
}

fn lowest(shapes: &Shapes) -> f64 {
    let all = shapes.hull.iter().chain(shapes.appendages.iter().flatten()).chain(&shapes.rudder);
    -all.map(|p| p.1).fold(0.0, f64::min)
}

/// The boat alone; `weight` scales the outline's pen in enlarged views.
fn draw_boat(canvas: &mut Canvas, boat: &Profile<f64>, shapes: &Shapes, view: &View, weight: f64) {
    let outline = Pen { width: OUTLINE.width * weight, ..OUTLINE };
    let paper = Fill::Solid(Ink::Raised);
    for far in &shapes.behind {
        canvas.polygon(&view.all(far), Fill::Solid(Ink::Ground), Some(Pen::dashed(Ink::Ink, 1.0, "5 3")));
    }
    for house in &shapes.deckhouse {
        canvas.polygon(&view.all(house), paper, Some(Pen::new(Ink::Ink, 1.2)));
    }
    if let Some((foot, head)) = shapes.mast {
        draw_mast(canvas, view, foot, head, boat.length_overall_m * 0.009);
    }
    // The hull comes last and covers the roots of what is hung under it.
    for part in shapes.appendages.iter().chain(std::iter::once(&shapes.hull)) {
        canvas.polygon(&view.all(part), paper, None);
        // Under water she is tinted, as a draughtsman washes the wetted part.
        canvas.open_group(" opacity=\"0.55\"");
        canvas.polygon(&view.all(&under_water(part)), Fill::Solid(Ink::Tint), None);
        canvas.close_group();
        if std::ptr::eq(part, &shapes.hull) {
            draw_stations(canvas, shapes, view);
        }
        canvas.polyline(&view.all(&closed(part)), outline);
    }
    for opening in &shapes.openings {
        canvas.polygon(&view.all(opening), Fill::Solid(Ink::Ground), Some(outline));
    }
    if !shapes.rudder.is_empty() {
        canvas.polygon(&view.all(&shapes.rudder), Fill::Solid(Ink::Ground), Some(outline));
    }
    for line in &shapes.fine {
        canvas.polyline(&view.all(line), FINE);
    }
    canvas.polyline(&view.all(&shapes.shaft), CENTRE);
    draw_propeller(canvas, boat, shapes, view);
}

/// The eleven stations of the waterline and two levels under it, as hairlines on the hull.
fn draw_stations(canvas: &mut Canvas, shapes: &Shapes, view: &View) {
    let pen = Pen::new(Ink::Hatch, 0.6);
    let (aft, fore) = shapes.waterline;
    for station in 0..=10 {
        let x = aft + (fore - aft) * f64::from(station) / 10.0;
        for pair in crossings(&shapes.hull, x, |p| p).chunks_exact(2) {
            canvas.line(view.at((x, pair[0])), view.at((x, pair[1])), pen);
        }
    }
    let depth = lowest_of(&shapes.hull);
    for level in [1.0, 2.0] {
        let y = -depth * level / 3.0;
        for pair in crossings(&shapes.hull, y, |p| (p.1, p.0)).chunks_exact(2) {
            canvas.line(view.at((pair[0], y)), view.at((pair[1], y)), pen);
        }
    }
}

/// Where a closed outline crosses an upright at `at`, in order; `turn` swaps the axes for a level.
fn crossings(outline: &[Point], at: f64, turn: impl Fn(Point) -> Point) -> Vec<f64> {
    let mut found: Vec<f64> = closed(outline)
        .windows(2)
        .filter_map(|pair| {
            let (a, b) = (turn(pair[0]), turn(pair[1]));
            ((a.0 > at) != (b.0 > at)).then(|| a.1 + (b.1 - a.1) * (at - a.0) / (b.0 - a.0))
        })
        .collect();
    found.sort_by(f64::total_cmp);
    found
}

fn lowest_of(points: &[Point]) -> f64 {
    -points.iter().map(|p| p.1).fold(0.0, f64::min)
}

fn closed(points: &[Point]) -> Vec<Point> {
    points.iter().chain(points.first()).copied().collect()
}

/// The part of a closed outline under the waterline.
fn under_water(outline: &[Point]) -> Vec<Point> {
    let mut wet = Vec::new();
    for pair in closed(outline).windows(2) {
        let (a, b) = (pair[0], pair[1]);
        if a.1 <= 0.0 {
            wet.push(a);
        }
        if (a.1 <= 0.0) != (b.1 <= 0.0) {
            wet.push((a.0 + (b.0 - a.0) * a.1 / (a.1 - b.1), 0.0));
        }
    }
    wet
}

/// A stub of the mast, broken off by a draughtsman's break line.
fn draw_mast(canvas: &mut Canvas, view: &View, foot: Point, head: f64, half: f64) {
    let (a, b) = (view.at((foot.0 - half, foot.1)), view.at((foot.0 + half, head)));
    let pen = Pen::new(Ink::Ink, 1.2);
    canvas.polygon(&[a, (a.0, b.1 + 4.0), (b.0, b.1 - 2.0), (b.0, a.1)], Fill::Solid(Ink::Raised), None);
    canvas.line(a, (a.0, b.1 + 3.0), pen);
    canvas.line((b.0, a.1), (b.0, b.1 - 1.0), pen);
    let middle = (a.0 + b.0) / 2.0;
    canvas.polyline(
        &[
            (a.0 - 6.0, b.1 + 3.0),
            (middle - 2.0, b.1 + 1.0),
            (middle - 1.0, b.1 + 6.0),
            (middle + 1.0, b.1 - 4.0),
            (middle + 2.0, b.1 + 1.0),
            (b.0 + 6.0, b.1 - 1.0),
        ],
        Pen::new(Ink::Ink, 0.9),
    );
}

/// The propeller seen edge-on: two blades as slender leaves, hub and cone.
fn draw_propeller(canvas: &mut Canvas, boat: &Profile<f64>, shapes: &Shapes, view: &View) {
    let (x, y) = shapes.propeller;
    let radius = boat.propeller_diameter_m / 2.0;
    let hub = radius * 0.2;
    let fill = Fill::Solid(Ink::Ink);
    for sign in [1.0, -1.0] {
        let mut blade = Vec::new();
        for i in 0..=14 {
            let t = f64::from(i) / 14.0;
            let half = radius * 0.17 * (std::f64::consts::PI * t.powf(0.8)).sin().max(0.0);
            // The blade is seen twisted: broad near the hub, edge-on towards the tip.
            blade
                .push((x + half * (1.1 - 0.5 * t) * sign, y + sign * (hub * 0.6 + (radius - hub * 0.6) * t)));
        }
        for i in (0..=14).rev() {
            let t = f64::from(i) / 14.0;
            let half = radius * 0.17 * (std::f64::consts::PI * t.powf(0.8)).sin().max(0.0);
            blade.push((x - half * 0.55 * sign, y + sign * (hub * 0.6 + (radius - hub * 0.6) * t)));
        }
        canvas.polygon(&view.all(&blade), fill, None);
    }
    let body = [
        (x + hub * 1.1, y + hub),
        (x - hub * 0.9, y + hub * 0.9),
        (x - hub * 2.1, y + hub * 0.25),
        (x - hub * 2.1, y - hub * 0.25),
        (x - hub * 0.9, y - hub * 0.9),
        (x + hub * 1.1, y - hub),
    ];
    canvas.polygon(&view.all(&body), fill, None);
}

/// The designed waterline with its mark, broken where it leaves the hull.
fn draw_waterline(canvas: &mut Canvas, view: &View, shapes: &Shapes, right: f64) {
    let y = view.origin.1;
    let (aft, fore) = (view.at((shapes.waterline.0, 0.0)).0, view.at((shapes.waterline.1, 0.0)).0);
    canvas.line((0.0, y), (aft, y), Pen::dashed(Ink::Ink, 0.9, "12 4"));
    canvas.line((aft, y), (fore, y), Pen::dashed(Ink::Ink, 0.9, "12 4"));
    canvas.line((fore, y), (right, y), Pen::dashed(Ink::Ink, 0.9, "12 4"));
    let mark = right - 9.0;
    canvas.polygon(
        &[(mark - 5.0, y - 9.0), (mark + 5.0, y - 9.0), (mark, y - 0.5)],
        Fill::Solid(Ink::Ground),
        Some(Pen::new(Ink::Ink, 1.0)),
    );
    for (half, below) in [(6.0, 3.5), (3.5, 6.5), (1.2, 9.5)] {
        canvas.line((mark - half, y + below), (mark + half, y + below), Pen::new(Ink::Ink, 0.8));
    }
}

/// Lengths under the boat, with the stations of the waterline; gives the height reached.
fn draw_lengths(
    canvas: &mut Canvas,
    boat: &Profile<f64>,
    shapes: &Shapes,
    view: &View,
    keel_y: f64,
    px: f64,
) -> f64 {
    let mut y = keel_y + 20.0;
    let ends = [
        (&boat.texts.length_waterline, shapes.waterline.0, shapes.waterline.1, [0.0, 0.0]),
        (
            &boat.texts.length_overall,
            0.0,
            boat.length_overall_m,
            [stern_foot(shapes), shapes.hull.iter().map(|p| p.1).fold(0.0, f64::max)],
        ),
    ];
    for (text, from, to, heights) in ends {
        if text.is_empty() {
            continue;
        }
        let (a, b) = (view.at((from, heights[0])), view.at((to, heights[1])));
        for end in [a, b] {
            canvas.line((end.0, end.1 + 5.0), (end.0, y + 4.0), Pen::new(Ink::Muted, 0.6));
        }
        level_dimension(canvas, a.0, b.0, y, px, text);
        y += px + 14.0;
    }
    y - px
}

/// Places of the wiring by number, runs between them as dashes, and under the boat what the numbers are; gives the height reached.
fn draw_fitted(
    canvas: &mut Canvas,
    boat: &Profile<f64>,
    shapes: &Shapes,
    view: &View,
    bottom: f64,
    width: f64,
    px: f64,
) -> f64 {
    let places = &boat.fitted.places;
    if places.is_empty() {
        return bottom;
    }
    // No further off than the drawing goes.
    let at = |(_, aft_m, height_m): &(String, f64, f64)| {
        let x = (shapes.waterline.1 - aft_m).clamp(0.0, boat.length_overall_m);
        view.at((x, height_m.clamp(-boat.draught_m, boat.freeboard_m)))
    };
    for (from, to) in &boat.fitted.runs {
        if let (Some(from), Some(to)) = (places.get(*from), places.get(*to)) {
            canvas.line(at(from), at(to), Pen::dashed(Ink::Ink, 1.2, "4 2"));
        }
    }
    let around = |(x, y): Point| Rect { left: x - 2.5, top: y - 2.5, right: x + 2.5, bottom: y + 2.5 };
    let mut taken: Vec<Rect> = places.iter().map(|place| around(at(place))).collect();
    for square in &taken {
        canvas.rect(square, Fill::Solid(Ink::Ink), None);
    }
    let kind = Type::new(px, Ink::Ink);
    for (number, place) in places.iter().enumerate() {
        let (number, (x, y)) = ((number + 1).to_string(), at(place));
        let box_at =
            |(x, y): Point| Rect { left: x, top: y - 0.8 * px, right: x + kind.width(&number), bottom: y };
        // The nearest free spot on either side, up or down: numbers of places that stand close together keep clear of
        // each other and of the squares.
        let sides = [x + 5.0, x - 5.0 - kind.width(&number)];
        let rows = (0..4).flat_map(|row| [y - 4.0 - f64::from(row) * px, y + px + f64::from(row) * px]);
        let mut spots = rows.flat_map(|y| sides.map(|x| (x, y)));
        let is_free = |spot: &Point| !taken.iter().any(|other| other.meets(&box_at(*spot)));
        let spot = spots.find(is_free).unwrap_or((sides[0], y - 4.0));
        taken.push(box_at(spot));
        canvas.text(spot, Anchor::Start, kind.on(Ink::Raised), &number);
    }
    let (mut left, mut y) = (4.0, bottom + px + 12.0);
    for (number, (name, ..)) in places.iter().enumerate() {
        let words = format!("{} {name}", number + 1);
        if left > 4.0 && left + kind.width(&words) > width - 4.0 {
            (left, y) = (4.0, y + px + 5.0);
        }
        canvas.text((left, y), Anchor::Start, kind, &words);
        left += kind.width(&words) + 18.0;
    }
    y
}

fn stern_foot(shapes: &Shapes) -> f64 {
    shapes.hull.iter().filter(|p| p.0 < 0.2).map(|p| p.1).fold(f64::INFINITY, f64::min).clamp(-1.0, 3.0)
}

/// Draught and freeboard right of the bow.
fn draw_heights(canvas: &mut Canvas, boat: &Profile<f64>, shapes: &Shapes, view: &View, px: f64) {
    let x = view.at((boat.length_overall_m, 0.0)).0 + 16.0;
    let kind = Type::new(px, Ink::Ink).on(Ink::Ground);
    if !boat.texts.draught.is_empty() {
        let keel = view.at((shapes.deepest_x, -boat.draught_m));
        canvas.line((keel.0, keel.1), (x + 4.0, keel.1), Pen::new(Ink::Muted, 0.6));
        upright_dimension(canvas, x, view.origin.1, keel.1);
        canvas.text(
            (x + 8.0, (view.origin.1 + keel.1) / 2.0 + px * 0.5),
            Anchor::Start,
            kind,
            &boat.texts.draught,
        );
    }
    if !boat.texts.freeboard.is_empty() {
        // Measured at midships, shown at the side with a fine line led forward.
        let sheer = view.at((boat.length_overall_m / 2.0, boat.freeboard_m));
        upright_dimension(canvas, x, sheer.1, view.origin.1);
        canvas.text(
            (x + 8.0, (view.origin.1 + sheer.1) / 2.0 + px * 0.1),
            Anchor::Start,
            kind,
            &boat.texts.freeboard,
        );
    }
}

/// The propeller where it turns, enlarged, with its dimensions.
fn draw_detail(canvas: &mut Canvas, boat: &Profile<f64>, shapes: &Shapes, frame: &Rect, px: f64) {
    let texts = &boat.texts;
    let kind = Type::new(px, Ink::Ink).on(Ink::Raised);
    let gutter = [&texts.propeller_diameter, &texts.tip_clearance, &texts.shaft_depth]
        .into_iter()
        .map(|t| kind.width(t))
        .fold(0.0, f64::max)
        + 54.0;
    // The view leaves a gutter right of it for the words.
    let sight = Rect { right: frame.right - gutter, ..*frame };
    let dia = boat.propeller_diameter_m;
    let scale = (frame.height() / (dia * 2.1)).min(sight.width() / (dia * 1.5));
    let centre = (sight.left + sight.width() * 0.5, frame.top + frame.height() * 0.52);
    let view = View {
        origin: (centre.0 - shapes.propeller.0 * scale, centre.1 + shapes.propeller.1 * scale),
        px_per_m: scale,
    };
    canvas.rect(frame, Fill::Solid(Ink::Raised), None);
    let clip = canvas.clip_rect(&sight);
    canvas.open_group(&format!(" clip-path=\"url(#{clip})\""));
    canvas.rect(&sight, Fill::Solid(Ink::Ground), None);
    draw_boat(canvas, boat, shapes, &view, 1.15);
    canvas.line(
        (sight.left, view.origin.1),
        (sight.right, view.origin.1),
        Pen::dashed(Ink::Ink, 0.9, "12 4"),
    );
    canvas.close_group();
    canvas.rect(frame, Fill::None, Some(Pen::new(Ink::Hatch, 1.0)));
    canvas.line((sight.right, frame.top), (sight.right, frame.bottom), Pen::new(Ink::Hatch, 1.0));

    let (top, bottom) = (centre.1 - dia / 2.0 * scale, centre.1 + dia / 2.0 * scale);
    let x = sight.right + 22.0;
    let witness = |canvas: &mut Canvas, y: f64| {
        canvas.line((centre.0 + 3.0, y), (x + 5.0, y), Pen::new(Ink::Ink, 0.6));
    };
    let mut words: Vec<(f64, &str, Ink)> = Vec::new();
    if !texts.propeller_diameter.is_empty() {
        witness(canvas, top);
        witness(canvas, bottom);
        upright_dimension(canvas, x, top, bottom);
        words.push((centre.1 + px * 0.35, &texts.propeller_diameter, Ink::Ink));
    }
    if !texts.tip_clearance.is_empty() {
        let gap = boat.tip_clearance_m.unwrap_or(shapes.roof_y - (shapes.propeller.1 + dia / 2.0)).max(0.0);
        let roof = (top - gap * scale).max(frame.top + 4.0);
        witness(canvas, roof);
        if texts.propeller_diameter.is_empty() {
            witness(canvas, top);
        }
        pinched_dimension(canvas, x, roof, top);
        words.push((((roof + top) / 2.0 + px * 0.35).min(centre.1 - px), &texts.tip_clearance, Ink::Ink));
    }
    if !texts.shaft_depth.is_empty() {
        words.push((bottom + px * 1.6, &texts.shaft_depth, Ink::Muted));
    }
    for (y, text, ink) in words {
        let y = y.clamp(frame.top + px + 2.0, frame.bottom - 6.0);
        canvas.text((x + 14.0, y), Anchor::Start, Type { ink, ..kind }, text);
    }
}

fn arrow(canvas: &mut Canvas, tip: Point, towards: Point) {
    let (dx, dy) = towards;
    let (along, across) = (8.0, 2.2);
    let base = (tip.0 - dx * along, tip.1 - dy * along);
    canvas.polygon(
        &[tip, (base.0 - dy * across, base.1 + dx * across), (base.0 + dy * across, base.1 - dx * across)],
        Fill::Solid(Ink::Ink),
        None,
    );
}

/// A level dimension line, broken for its words in the middle.
fn level_dimension(canvas: &mut Canvas, from: f64, to: f64, y: f64, px: f64, text: &str) {
    let kind = Type::new(px, Ink::Ink);
    let (middle, half) = ((from + to) / 2.0, kind.width(text) / 2.0 + 7.0);
    canvas.line((from, y), ((middle - half).max(from), y), DIMENSION);
    canvas.line(((middle + half).min(to), y), (to, y), DIMENSION);
    arrow(canvas, (from, y), (-1.0, 0.0));
    arrow(canvas, (to, y), (1.0, 0.0));
    canvas.text((middle, y + px * 0.35), Anchor::Middle, kind, text);
}

fn upright_dimension(canvas: &mut Canvas, x: f64, top: f64, bottom: f64) {
    if bottom - top < 24.0 {
        pinched_dimension(canvas, x, top, bottom);
        return;
    }
    canvas.line((x, top), (x, bottom), DIMENSION);
    arrow(canvas, (x, top), (0.0, -1.0));
    arrow(canvas, (x, bottom), (0.0, 1.0));
}

/// A dimension too short for arrows inside: they point at it from without.
fn pinched_dimension(canvas: &mut Canvas, x: f64, top: f64, bottom: f64) {
    canvas.line((x, top - 14.0), (x, bottom + 14.0), DIMENSION);
    arrow(canvas, (x, top), (0.0, 1.0));
    arrow(canvas, (x, bottom), (0.0, -1.0));
}
