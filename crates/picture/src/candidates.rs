//! The spots that a label may take beside what it names.

use super::canvas::Anchor;
use super::geometry::{Point, TurnedBox};
use super::labels::{Found, GAP, Spot};

/// How a label sits at its spot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Hang {
    /// In any of eight directions.
    Around,
    /// To the right only: at the end of a line, in the margin.
    Right,
    /// Over the sheet's upper edge, where an upright line ends.
    Over,
    /// Centred on it.
    Centred,
    /// Turned to lie along the line, on either side; upright where there is no room.
    Along,
}

/// Whether a label stands off on a leader line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Leading {
    None,
    /// A leader that crosses nothing.
    Clear,
    /// A leader that crosses lines, but no label.
    Across,
}

/// A polyline as segments of at least `step` px.
pub(super) fn segments(points: &[Point], step: f64) -> Vec<(Point, Point)> {
    let mut found = Vec::new();
    let Some(mut last) = points.first().copied() else { return found };
    for (index, point) in points.iter().enumerate().skip(1) {
        let is_far = (point.0 - last.0).hypot(point.1 - last.1) >= step;
        if is_far || index + 1 == points.len() {
            found.push((last, *point));
            last = *point;
        }
    }
    found
}

pub(super) fn candidates(spot: &Spot, half_width: f64, half_height: f64) -> Vec<Found> {
    let upright = |dx: f64, dy: f64, anchor, cost: f64| Found {
        turned: TurnedBox {
            centre: (spot.at.0 + dx, spot.at.1 + dy),
            half_width,
            half_height,
            angle_rad: 0.0,
        },
        anchor,
        leader: None,
        cost: spot.cost + cost,
    };
    let (side, above) = (half_width + GAP + 1.0, half_height + GAP);
    match spot.hang {
        Hang::Centred => vec![upright(0.0, 0.0, Anchor::Middle, 0.0)],
        Hang::Over => [0.0, -0.8, 0.8, -0.5, 0.5]
            .map(|shift: f64| upright(shift * half_width, -half_height - 4.0, Anchor::Middle, shift.abs()))
            .into(),
        Hang::Right => vec![upright(half_width + GAP + 3.0, 0.0, Anchor::Start, 0.0)],
        Hang::Around | Hang::Along => {
            let mut found = vec![
                upright(-side, -above, Anchor::End, 2.0),
                upright(side, above, Anchor::Start, 2.5),
                upright(side, -above, Anchor::Start, 2.0),
                upright(-side, above, Anchor::End, 3.0),
                upright(side, 0.0, Anchor::Start, 1.0),
                upright(-side, 0.0, Anchor::End, 1.5),
                upright(0.0, -above, Anchor::Middle, 1.5),
                upright(0.0, above, Anchor::Middle, 2.5),
            ];
            if spot.hang == Hang::Along
                && let Some((dx, dy)) = spot.along
            {
                // Read from left to right, or from top to bottom where the line stands upright.
                let (dx, dy) = if dx < 0.0 || (dx == 0.0 && dy < 0.0) { (-dx, -dy) } else { (dx, dy) };
                let off = half_height + GAP - 1.0;
                found.iter_mut().for_each(|f| f.cost += 14.0);
                for (sign, cost) in [(-1.0, 0.0), (1.0, 1.0)] {
                    found.push(Found {
                        turned: TurnedBox {
                            centre: (spot.at.0 - dy * off * -sign, spot.at.1 + dx * off * sign),
                            half_width,
                            half_height,
                            angle_rad: dy.atan2(dx),
                        },
                        anchor: Anchor::Middle,
                        leader: None,
                        cost: spot.cost + cost,
                    });
                }
            }
            found
        }
    }
}

pub(super) fn leading_candidates(spot: &Spot, half_width: f64, half_height: f64) -> Vec<Found> {
    let mut found = Vec::new();
    for reach in [16.0, 26.0, 40.0, 60.0, 85.0, 115.0] {
        for turn in 0..24_u32 {
            let angle = f64::from(turn) * std::f64::consts::TAU / 24.0 + 0.13;
            let (sin, cos) = angle.sin_cos();
            let tip = (spot.at.0 + cos * reach, spot.at.1 + sin * reach);
            // A steep leader meets the label's middle from above or below, a flat one its end.
            let (centre, anchor) = if cos.abs() < 0.5 {
                ((tip.0, tip.1 + sin.signum() * (half_height + 2.0)), Anchor::Middle)
            } else {
                let anchor = if cos > 0.0 { Anchor::Start } else { Anchor::End };
                ((tip.0 + cos.signum() * (half_width + 3.0), tip.1), anchor)
            };
            found.push(Found {
                turned: TurnedBox { centre, half_width, half_height, angle_rad: 0.0 },
                anchor,
                leader: Some((spot.at, tip)),
                cost: spot.cost + reach,
            });
        }
    }
    found
}

/// Splits at the space nearest the middle, rather after a comma or colon, never beside a sign; `None` for
/// short texts.
pub(super) fn split_in_two(text: &str) -> Option<(&str, &str)> {
    if text.chars().count() < 14 {
        return None;
    }
    let middle = text.len() / 2;
    let is_sign = |c: char| matches!(c, '×' | '=' | '≥' | '≤' | '±');
    let at = text
        .match_indices(' ')
        .map(|(i, _)| i)
        .filter(|i| !text[i + 1..].starts_with(is_sign) && !text[..*i].ends_with(is_sign))
        .min_by_key(|i| i.abs_diff(middle) + if text[..*i].ends_with([',', ':']) { 0 } else { 7 })?;
    Some((&text[..at], &text[at + 1..]))
}
