//! A boat that lies over on the ground: her heel, and whether the rising water lifts her before it comes in at her lowest opening.
//! Not for: boats that stand upright (`foot`), swell, soft ground.

/// Her middle section, about the keel's foot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Beam at the waterline \[m\].
    pub beam_m: f64,
    /// Draught \[m\].
    pub draught_m: f64,
    /// Draught of the hull without keel \[m\].
    pub canoe_draught_m: f64,
    /// Midship area over beam times the hull's draught.
    pub coefficient: f64,
    /// Height of the deck's edge above the water, afloat \[m\].
    pub freeboard_m: f64,
}

/// What is found of her on her side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lying {
    /// Her heel, the ground's slope in it \[rad\].
    pub heel_rad: f64,
    /// Height of the opening above the keel's foot then \[m\].
    pub opening_m: f64,
    /// Water above the keel's foot at which she begins to lift: least and most \[m\].
    pub lifts_m: (f64, f64),
}

/// What comes first as the water rises.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum First {
    /// She lifts.
    Floats,
    /// Water comes in.
    Fills,
    /// They are too near each other.
    CannotTell,
}

/// Ends of a hull lift otherwise than its middle, and her trim on the ground is not known \[m\]. Judgement.
const MARGIN_M: f64 = 0.15;
/// Her centre of gravity lies so far above or below her waterline at most \[m\]; sailing boats, from memory.
const GRAVITY_FROM_WATERLINE_M: f64 = 0.3;

impl Lying {
    /// What comes first.
    #[must_use]
    pub fn first(&self) -> First {
        match self.opening_m {
            opening if opening > self.lifts_m.1 + MARGIN_M => First::Floats,
            opening if opening < self.lifts_m.0 - MARGIN_M => First::Fills,
            _ => First::CannotTell,
        }
    }
}

/// Points of half the outline from the hull's bottom to the deck's edge: out from the middle, up from the keel's foot.
fn outline(section: &Section, power: f64) -> Vec<(f64, f64)> {
    const POINTS: usize = 48;
    let (half_m, hull_m) = (0.5 * section.beam_m, section.canoe_draught_m);
    let below = (0..=POINTS).map(|i| {
        let (sine, cosine) = (std::f64::consts::FRAC_PI_2 * i as f64 / POINTS as f64).sin_cos();
        (half_m * sine.powf(2.0 / power), section.draught_m - hull_m * cosine.powf(2.0 / power))
    });
    below.chain([(half_m, section.draught_m + section.freeboard_m)]).collect()
}

/// Area and first moments of an outline that closes on itself.
fn moments(points: &[(f64, f64)]) -> (f64, f64) {
    let next = points.iter().cycle().skip(1);
    let (twice, six_x) = points.iter().zip(next).fold((0.0, 0.0), |(area, moment), (a, b)| {
        let cross = a.0 * b.1 - b.0 * a.1;
        (area + cross, moment + (a.0 + b.0) * cross)
    });
    (0.5 * twice, six_x / 6.0)
}

/// What of an outline lies below a height.
fn below(points: &[(f64, f64)], height_m: f64) -> Vec<(f64, f64)> {
    let mut kept = Vec::new();
    for (a, b) in points.iter().zip(points.iter().cycle().skip(1)) {
        if a.1 <= height_m {
            kept.push(*a);
        }
        if (a.1 <= height_m) != (b.1 <= height_m) {
            kept.push((a.0 + (b.0 - a.0) * (height_m - a.1) / (b.1 - a.1), height_m));
        }
    }
    kept
}

/// Half a value between two ends as often as needed.
fn halved((mut low, mut high): (f64, f64), is_too_low: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if is_too_low(middle) { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// She lying on the foot of her keel and the turn of her bilge, `opening_m` out from her middle line on the low side and up from the
/// keel's foot, on ground that falls away by `slope_rad` under her low side; none without a keel to lie over on.
///
/// Heel: the least `atan(z/y)` over the section, with the slope. She lifts when the water's moment about the keel's foot is her
/// weight's, `A(w) x(w) = A_m z_G sin(heel)`, at the latest when as much of the section is in the water as afloat, `A(w) = A_m`. The
/// section is a superellipse of the area that she has, its sides upright from the waterline to the deck's edge; every other section as
/// the middle one.
/// # Source
/// Archimedes and the moments of a rigid body; a half circle's heel and water by hand.
/// # Valid for
/// Hard ground, openings shut below the one that is told, nobody aboard, no swell. Water on deck lifts nothing here.
/// # Accuracy
/// Of the geometry that it is given; the band holds a centre of gravity 0.3 m above and below her waterline, and a section 0.04 fuller or
/// finer.
/// # Errors
/// None.
/// # Example
/// A half circle of 1.5 m radius, the keel's foot 2 m below its middle: she heels by acos(1.5/2) = 41.4 degrees and
/// floats with the water through the middle of the circle, 2 x 0.75 = 1.50 m:
/// ```
/// use wakewright_core::drying_out::lying::{Section, lying};
/// let section = Section {
///     beam_m: 3.0, draught_m: 2.0, canoe_draught_m: 1.5, coefficient: 0.785_398, freeboard_m: 3.0,
/// };
/// let found = lying(&section, (0.5, 3.0), 0.0).unwrap();
/// assert!((found.heel_rad.to_degrees() - 41.4).abs() < 0.2, "{found:?}");
/// assert!((found.lifts_m.1 - 1.50).abs() < 0.06, "{found:?}");
/// assert!((found.opening_m - (3.0 * 0.75 - 0.5 * 0.661)).abs() < 0.01, "{found:?}");
/// ```
#[must_use]
pub fn lying(section: &Section, opening_m: (f64, f64), slope_rad: f64) -> Option<Lying> {
    /// Less is no keel: she stands on her bottom.
    const KEEL_M: f64 = 0.1;
    const UNSURE: f64 = 0.04;
    if section.draught_m - section.canoe_draught_m < KEEL_M {
        return None;
    }
    let level = |coefficient: f64, gravity_m: f64| {
        let (half_area, power) = of_coefficient(section, coefficient);
        let half = outline(section, power);
        let heel_rad = heel_rad(&half) + slope_rad.abs();
        let (sine, cosine) = heel_rad.sin_cos();
        let mirrored = half.iter().rev().map(|(out, up)| (-out, *up));
        let turned: Vec<(f64, f64)> = half
            .iter()
            .copied()
            .chain(mirrored)
            .map(|(out, up)| (out * cosine + up * sine, up * cosine - out * sine))
            .collect();
        let whole = 2.0 * half_area;
        let weighs = whole * gravity_m * sine;
        let highest = turned.iter().map(|point| point.1).fold(0.0, f64::max);
        let lowest = turned.iter().map(|point| point.1).fold(highest, f64::min);
        let lifts_m = halved((lowest, highest), |water_m| {
            let (area, moment) = moments(&below(&turned, water_m));
            area.abs() < whole && moment * area.signum() < weighs
        });
        (heel_rad, lifts_m)
    };
    let gravity_m = section.draught_m;
    let heel_rad = level(section.coefficient, gravity_m).0;
    let mut lifts_m = (f64::INFINITY, f64::NEG_INFINITY);
    for off in [-UNSURE, 0.0, UNSURE] {
        for above_m in [-GRAVITY_FROM_WATERLINE_M, 0.0, GRAVITY_FROM_WATERLINE_M] {
            let at = level((section.coefficient + off).clamp(0.5, 0.97), gravity_m + above_m).1;
            lifts_m = (lifts_m.0.min(at), lifts_m.1.max(at));
        }
    }
    let opening_m = opening_m.1 * heel_rad.cos() - opening_m.0 * heel_rad.sin();
    Some(Lying { heel_rad, opening_m, lifts_m })
}

/// Heel of a section on its keel's foot and bilge, on level ground \[rad\].
fn heel_rad(half: &[(f64, f64)]) -> f64 {
    half.iter().filter(|point| point.0 > 0.0).map(|(out, up)| up.atan2(*out)).fold(f64::INFINITY, f64::min)
}

/// Half the area below the waterline, and the power of the superellipse that has it.
fn of_coefficient(section: &Section, coefficient: f64) -> (f64, f64) {
    let box_m2 = 0.5 * section.beam_m * section.canoe_draught_m;
    let half_area = |power: f64| {
        let mut points = outline(section, power);
        points.pop();
        points.push((0.0, section.draught_m));
        moments(&points).0.abs()
    };
    let power = halved((0.8, 40.0), |power| half_area(power) < coefficient * box_m2);
    (half_area(power), power)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The half circle again with her weight low: with z_G half of the circle's middle height half of the section lifts her. The
    /// chord that cuts half off a half circle lies 0.4040 of the radius from the middle (t - sin t = pi/2, t = 2.3099, cos(t/2)).
    #[test]
    fn half_a_half_circle() {
        let section = Section {
            beam_m: 3.0,
            draught_m: 2.0,
            canoe_draught_m: 1.5,
            coefficient: std::f64::consts::FRAC_PI_4,
            freeboard_m: 3.0,
        };
        let (half_area, power) = of_coefficient(&section, section.coefficient);
        assert!((power - 2.0).abs() < 0.02 && (half_area - 1.767).abs() < 0.005, "{power} {half_area}");
        let low = lying(&section, (0.0, 2.0), 0.0).unwrap();
        // z_G from 1.7 to 2.3 m of 2: the least lifts at 0.85 of the section, whose chord lies 0.118 of the radius below the middle
        // (t - sin t = 0.85 pi, t = 2.905): 1.50 - 0.18 = 1.32 m. What is not known of the section moves that by a twentieth of its
        // area over its width, and the heel with it: 0.2 m at most.
        assert!((1.12..1.32).contains(&low.lifts_m.0) && (1.50..1.70).contains(&low.lifts_m.1), "{low:?}");
        assert_eq!(Lying { opening_m: 1.0, ..low }.first(), First::Fills);
        assert_eq!(Lying { opening_m: 2.0, ..low }.first(), First::Floats);
        assert_eq!(Lying { opening_m: 1.5, ..low }.first(), First::CannotTell);
        // On ground that falls under her low side she lies further over.
        assert!((lying(&section, (0.0, 2.0), 0.1).unwrap().heel_rad - low.heel_rad - 0.1).abs() < 1e-9);
        // No keel, no lying over.
        assert!(lying(&Section { draught_m: 1.55, ..section }, (0.0, 2.0), 0.0).is_none());
    }
}
