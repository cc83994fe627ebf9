//! Shapes of the profile in metres: x from the aftermost point forward, y upwards from the waterline.

use super::geometry::{Point, bezier};
use super::profile::{Arrangement, Keel, Profile, Rudder};
use super::profile_gear::{propeller_x, rudder_and_drive};

/// Everything that is drawn of a boat.
#[derive(Debug, Default)]
pub(super) struct Shapes {
    /// Closed outline of hull, with a long keel if she has one.
    pub hull: Vec<Point>,
    /// Closed outlines behind the hull: the far keel.
    pub behind: Vec<Vec<Point>>,
    /// Closed outlines of fin keel, skeg, leg or bracket.
    pub appendages: Vec<Vec<Point>>,
    /// Closed outline of the rudder.
    pub rudder: Vec<Point>,
    /// Openings: the aperture.
    pub openings: Vec<Vec<Point>>,
    /// Fine lines inside: rabbet, rail, ballast.
    pub fine: Vec<Vec<Point>>,
    /// Superstructure, closed.
    pub deckhouse: Vec<Vec<Point>>,
    /// Centre line of the shaft, inboard end first; the propeller sits at its after end.
    pub shaft: Vec<Point>,
    /// Centre of the propeller.
    pub propeller: Point,
    /// Height of the hull or opening above the propeller's centre, where the upper tip would touch.
    pub roof_y: f64,
    /// Waterline ends.
    pub waterline: (f64, f64),
    /// Where the keel is deepest.
    pub deepest_x: f64,
    /// Mast: foot and heel of the broken-off stub.
    pub mast: Option<(Point, f64)>,
}

/// Measures that several shapes stand on.
pub(super) struct Lines<'a> {
    pub boat: &'a Profile<f64>,
    pub is_launch: bool,
    is_long: bool,
    pub after_end: f64,
    fore_end: f64,
    /// Where the propeller is and how high the hull must stay there, when its tip clearance was measured.
    roof: Option<Point>,
}

impl Lines<'_> {
    /// Height of the sheer.
    pub fn sheer(&self, x: f64) -> f64 {
        let f = self.boat.freeboard_m;
        let t = x / self.boat.length_overall_m;
        let (stern, low, bow, at) = match (self.is_launch, self.is_long) {
            (true, _) => (1.04, 0.94, 1.5, 0.34),
            (_, true) => (1.08, 0.94, 1.5, 0.36),
            _ => (1.02, 0.97, 1.24, 0.25),
        };
        let (end, reach) = if t < at { (stern, at) } else { (bow, 1.0 - at) };
        f * (low + (end - low) * ((t - at) / reach).powi(2))
    }

    /// Depth of the canoe body under the waterline, negative, 0 at its ends; lifted aft as far as a measured
    /// tip clearance asks for.
    pub fn canoe(&self, x: f64) -> f64 {
        let guess = self.canoe_guess(x);
        let Some((at, roof)) = self.roof else { return guess };
        let under = self.canoe_guess(at);
        let middle = self.along(0.5);
        if under >= 0.0 || at >= middle {
            return guess;
        }
        let factor = (roof.min(0.0) / under).clamp(0.05, 2.0);
        let t = ((middle - x) / (middle - at)).clamp(0.0, 1.0);
        guess * (1.0 + (factor - 1.0) * t * t * (3.0 - 2.0 * t))
    }

    fn canoe_guess(&self, x: f64) -> f64 {
        let u = ((x - self.after_end) / (self.fore_end - self.after_end)).clamp(0.0, 1.0);
        // Deepest a little abaft midships; fuller forward than aft.
        let v = u.powf(0.92);
        let power = if self.is_launch { 0.62 } else { 0.86 };
        -self.boat.canoe_body_draught_m * (4.0 * v * (1.0 - v)).max(0.0).powf(power)
    }

    pub fn along(&self, fraction: f64) -> f64 {
        self.after_end + fraction * (self.fore_end - self.after_end)
    }
}

/// Builds the shapes of a boat whose lengths are drawable.
pub(super) fn shapes(boat: &Profile<f64>) -> Shapes {
    let is_launch = boat.keel == Keel::None;
    let is_long = boat.keel == Keel::Long;
    let overhangs = boat.length_overall_m - boat.length_waterline_m;
    // A hull with a transom rudder has her rudder within the length over all left free of it.
    let aft_part = match (is_launch, is_long, boat.rudder) {
        (true, _, _) => 0.45,
        (_, true, Rudder::Transom) => 0.3,
        (_, true, _) => 0.56,
        _ => 0.55,
    };
    let after_end = overhangs * aft_part;
    let fore_end = after_end + boat.length_waterline_m;
    let mut lines = Lines { boat, is_launch, is_long, after_end, fore_end, roof: None };
    let tip = boat.propeller_diameter_m / 2.0 - boat.shaft_depth_m;
    lines.roof =
        boat.tip_clearance_m.filter(|_| !is_long).map(|clearance| (propeller_x(&lines), tip + clearance));
    let mut shapes = Shapes { waterline: (after_end, fore_end), ..Shapes::default() };
    if is_long {
        long_keel(&lines, &mut shapes)
    } else {
        canoe_hull(&lines, &mut shapes)
    }
    deckhouse(&lines, &mut shapes);
    shapes
}

fn sheer_line(lines: &Lines<'_>, from: f64, to: f64) -> Vec<Point> {
    (0..=40)
        .map(|i| {
            let x = from + (to - from) * f64::from(i) / 40.0;
            (x, lines.sheer(x))
        })
        .collect()
}

/// Stem from the sheer down to a point under water, a fair curve through the waterline's fore end.
fn stem(lines: &Lines<'_>, to: Point, slope: f64) -> Vec<Point> {
    let loa = lines.boat.length_overall_m;
    let top = (loa, lines.sheer(loa));
    let mid = (lines.fore_end, 0.0);
    let rake = loa - lines.fore_end;
    let mut points =
        bezier(top, (loa - rake * 0.25, top.1 * 0.62), (mid.0 + rake * 0.32, top.1 * 0.24), mid, 14);
    let lean = (rake * 0.3).max(0.01 * loa);
    points.extend(bezier(
        mid,
        (mid.0 - lean, to.1 * 0.34),
        (to.0 + (mid.0 - to.0) * 0.42, to.1 + (mid.0 - to.0) * 0.42 * slope),
        to,
        18,
    ));
    points
}

fn long_keel(lines: &Lines<'_>, shapes: &mut Shapes) {
    let boat = lines.boat;
    let (lwl, draught) = (boat.length_waterline_m, boat.draught_m);
    let on_transom = boat.rudder == Rudder::Transom;
    let rudder_chord = 0.085 * lwl;
    let heel = (lines.along(if on_transom { 0.035 } else { 0.135 }), -draught);
    let post_top = if on_transom {
        (lines.after_end * 0.55 + 0.012 * lwl, lines.sheer(0.0) * 0.96)
    } else {
        (lines.along(0.062), -0.02 * lwl)
    };
    let forefoot = (lines.along(0.70), -draught * 0.80);

    let mut hull = Vec::new();
    let stern_x = if on_transom { post_top.0 } else { 0.0 };
    hull.extend(sheer_line(lines, stern_x, boat.length_overall_m));
    // Slope of the keel line at the forefoot, the same on both sides of it.
    let slope = 0.13;
    hull.extend(stem(lines, forefoot, slope));
    hull.extend(bezier(
        forefoot,
        (lines.along(0.54), forefoot.1 - 0.16 * lwl * slope),
        (lines.along(0.34), -draught),
        heel,
        16,
    ));
    hull.push(post_top);
    if !on_transom {
        // Counter: from the sternpost through the waterline's after end up to a small raked transom.
        let tuck = (lines.after_end, 0.0);
        hull.extend(bezier(
            post_top,
            (lines.along(0.045), -0.018 * lwl),
            (lines.along(0.02), -0.022 * 0.25 * lwl),
            tuck,
            6,
        ));
        let transom_foot = (0.022 * boat.length_overall_m, lines.sheer(0.0) * 0.55);
        hull.extend(bezier(
            tuck,
            (tuck.0 * 0.7, 0.3 * tuck.0 * 0.27),
            (tuck.0 * 0.4, transom_foot.1 * 0.62),
            transom_foot,
            8,
        ));
    }
    shapes.hull = hull;
    shapes.deepest_x = heel.0 + 0.04 * lwl;

    // Sternpost from heel up to the waterline: the rudder hangs on it.
    let post = |y: f64| heel.0 + (post_top.0 - heel.0) * (y + draught) / (post_top.1 + draught);
    let chord_low = rudder_chord * 1.12;
    let rudder_top = if on_transom { post_top.1 * 1.04 } else { post_top.1 };
    let mut rudder = vec![(post(rudder_top), rudder_top), (post(-draught * 0.97), -draught * 0.97)];
    let low_after = (post(-draught) - chord_low, -draught * 0.92);
    rudder.push((low_after.0 + chord_low * 0.25, -draught * 0.97));
    rudder.extend(bezier(
        (low_after.0 + chord_low * 0.25, -draught * 0.97),
        (low_after.0, -draught * 0.96),
        (low_after.0 - chord_low * 0.05, -draught * 0.8),
        (post(-draught * 0.45) - rudder_chord * 1.1, -draught * 0.45),
        8,
    ));
    if on_transom {
        rudder.extend(bezier(
            (post(-draught * 0.45) - rudder_chord * 1.1, -draught * 0.45),
            (post(-draught * 0.15) - rudder_chord, -draught * 0.15),
            (post(0.0) - rudder_chord * 0.6, 0.1 * boat.freeboard_m),
            (post(rudder_top) - rudder_chord * 0.42, rudder_top),
            8,
        ));
    } else {
        rudder.push((post(rudder_top) - rudder_chord * 0.22, rudder_top - 0.006 * lwl));
    }
    if boat.rudder != Rudder::None {
        shapes.rudder = rudder;
    }

    // Rabbet: where planking meets keel.
    let rabbet: Vec<Point> = (0..=30)
        .map(|i| lines.along(0.10 + 0.8 * f64::from(i) / 30.0))
        .map(|x| (x, lines.canoe(x)))
        .collect();
    shapes.fine.push(rabbet);

    let depth = boat.shaft_depth_m.min(draught * 0.93);
    match (boat.arrangement, boat.aperture) {
        (Arrangement::Aperture, aperture) => {
            let size = aperture.unwrap_or(super::Aperture {
                height_m: boat.propeller_diameter_m * 1.3,
                length_m: boat.propeller_diameter_m * 0.55,
            });
            let tip = -depth + boat.propeller_diameter_m / 2.0;
            let top = boat.tip_clearance_m.map_or(-depth + size.height_m / 2.0, |c| tip + c);
            let bottom = (top - size.height_m).max(-draught * 0.97);
            let length = |y: f64| post(y) + size.length_m;
            let r = size.length_m * 0.3;
            let mut opening = vec![(post(bottom), bottom), (length(bottom) - r, bottom)];
            let low = (length(bottom) - r, bottom);
            opening.extend(bezier(
                low,
                (low.0 + r * 0.6, bottom),
                (length(bottom + r), bottom + r * 0.4),
                (length(bottom + r), bottom + r),
                6,
            ));
            let high = (length(top - r), top - r);
            opening.push(high);
            opening.extend(bezier(
                high,
                (length(top), top - r * 0.4),
                (length(top) - r * 0.4, top),
                (length(top) - r, top),
                6,
            ));
            opening.push((post(top), top));
            shapes.openings.push(opening);
            shapes.propeller = (post(-depth) + size.length_m * 0.48, -depth);
            shapes.roof_y = top;
        }
        _ => {
            shapes.propeller = (post(-depth) + boat.propeller_diameter_m * 0.25, -depth);
            shapes.roof_y = lines.canoe(shapes.propeller.0);
        }
    }
    let (px, py) = shapes.propeller;
    shapes.shaft = vec![(px + 0.2 * lwl, py + 0.018 * lwl), (px, py)];
}

fn canoe_hull(lines: &Lines<'_>, shapes: &mut Shapes) {
    let boat = lines.boat;
    let loa = boat.length_overall_m;
    let start = lines.along(0.93);
    let mut hull = sheer_line(lines, 0.0, loa);
    let step = 0.004 * boat.length_waterline_m;
    let slope = (lines.canoe(start) - lines.canoe(start - step)) / step;
    hull.extend(stem(lines, (start, lines.canoe(start)), slope));
    for i in 1..=44 {
        let x = lines.along(0.93 * (1.0 - f64::from(i) / 44.0));
        hull.push((x, lines.canoe(x)));
    }
    // Run aft of the waterline up to the transom.
    let foot = if lines.is_launch { (0.0, lines.sheer(0.0) * 0.12) } else { (0.0, lines.sheer(0.0) * 0.36) };
    let tuck = (lines.after_end, 0.0);
    hull.extend(bezier(tuck, (tuck.0 * 0.7, foot.1 * 0.36), (tuck.0 * 0.35, foot.1 * 0.75), foot, 6));
    if !lines.is_launch {
        // A transom that leans forward: the sheer is a little shorter than the hull's foot.
        hull[0] = (0.022 * loa, lines.sheer(0.022 * loa));
        hull.retain(|p| p.0 >= 0.022 * loa || p.1 < lines.sheer(0.0) * 0.9);
    }
    shapes.hull = hull;
    match boat.keel {
        Keel::Fin => {
            let fin = fin(lines, 0.0);
            shapes.fine.push(ballast_line(lines, &fin));
            shapes.appendages.push(fin);
            shapes.deepest_x = lines.along(0.46);
        }
        Keel::Twin => {
            shapes.behind.push(fin(lines, 0.022));
            shapes.appendages.push(fin(lines, 0.0));
            shapes.deepest_x = lines.along(0.46);
        }
        Keel::Long | Keel::None => deadwood(lines, shapes),
    }
    rudder_and_drive(lines, shapes);
}

fn fin(lines: &Lines<'_>, shift: f64) -> Vec<Point> {
    let (d, x) = (lines.boat.draught_m, |u: f64| lines.along(u + shift));
    let root = |u: f64| (x(u), lines.canoe(x(u)) + 0.01 * lines.boat.length_waterline_m);
    let mut fin = vec![root(0.40), root(0.63)];
    fin.extend(bezier(fin[1], (x(0.592), -d * 0.62), (x(0.565), -d * 0.97), (x(0.535), -d), 8));
    fin.push((x(0.398), -d));
    fin.push((x(0.392), -d * 0.985));
    fin
}

fn ballast_line(lines: &Lines<'_>, fin: &[Point]) -> Vec<Point> {
    let y = -lines.boat.draught_m + 0.35 * (lines.boat.draught_m - lines.boat.canoe_body_draught_m);
    let xs: Vec<f64> = (0..fin.len())
        .filter_map(|i| {
            let (a, b) = (fin[i], fin[(i + 1) % fin.len()]);
            ((a.1 > y) != (b.1 > y)).then(|| a.0 + (b.0 - a.0) * (y - a.1) / (b.1 - a.1))
        })
        .collect();
    xs.iter().map(|x| (*x, y)).collect()
}

/// A launch's shallow keel: deepens aft to the heel before the propeller.
fn deadwood(lines: &Lines<'_>, shapes: &mut Shapes) {
    let d = lines.boat.draught_m;
    let heel = lines.along(0.105);
    let mut keel = vec![(lines.along(0.84), lines.canoe(lines.along(0.84)) + 0.01)];
    keel.extend(bezier(keel[0], (lines.along(0.7), -d * 0.9), (lines.along(0.5), -d * 0.98), (heel, -d), 14));
    keel.push((heel + 0.01 * lines.boat.length_waterline_m, lines.canoe(heel) + 0.02));
    for i in 1..8 {
        let x = lines.along(0.12 + 0.72 * f64::from(i) / 8.0);
        keel.push((x, lines.canoe(x) + 0.02));
    }
    shapes.appendages.push(keel);
    shapes.deepest_x = heel + 0.06 * lines.boat.length_waterline_m;
}

fn deckhouse(lines: &Lines<'_>, shapes: &mut Shapes) {
    let boat = lines.boat;
    let loa = boat.length_overall_m;
    let x = |u: f64| u * loa;
    let house = if lines.is_launch {
        let (a, b) = (x(0.50), x(0.80));
        let h = 0.055 * loa;
        let mut house = vec![(a, lines.sheer(a)), (a + 0.006 * loa, lines.sheer(a) + h * 1.05)];
        house.extend(bezier(
            house[1],
            (a + 0.1 * loa, lines.sheer(a) + h * 1.16),
            (b - 0.08 * loa, lines.sheer(b) + h * 0.5),
            (b, lines.sheer(b)),
            10,
        ));
        house
    } else {
        let (a, b) = (x(0.30), x(0.68));
        let h = 0.036 * loa;
        let mut house = vec![(a, lines.sheer(a)), (a + 0.004 * loa, lines.sheer(a) + h * 1.15)];
        house.extend(bezier(
            house[1],
            (x(0.45), lines.sheer(x(0.45)) + h * 1.12),
            (x(0.6), lines.sheer(x(0.6)) + h * 0.92),
            (b - 0.022 * loa, lines.sheer(b) + h * 0.6),
            10,
        ));
        house.push((b, lines.sheer(b)));
        house
    };
    // Its foot goes behind the topsides, which are drawn over it.
    let mut house = house;
    let (first, last) = (house[0], house[house.len() - 1]);
    house.push((last.0, last.1 - 0.5 * boat.freeboard_m));
    house.push((first.0, first.1 - 0.5 * boat.freeboard_m));
    shapes.deckhouse.push(house);
    // Rail: a line a little under the sheer.
    let drop = 0.07 * boat.freeboard_m;
    let rail = sheer_line(lines, x(0.03), x(0.985)).into_iter().map(|(px, py)| (px, py - drop)).collect();
    shapes.fine.push(rail);
    shapes.mast = boat.mast_base_m.map(|from_stem| {
        let at = loa - from_stem;
        let on_house = at > x(0.31) && at < x(0.655);
        let foot = lines.sheer(at) + if on_house { 0.036 * loa } else { 0.0 };
        ((at, foot), foot + 0.13 * loa)
    });
}
