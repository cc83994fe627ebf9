//! Rudder, skeg, leg, bracket and shaft of a hull without a long keel, in the metres of `profile_hull`.

use super::geometry::bezier;
use super::profile::{Arrangement, Rudder};
use super::profile_hull::{Lines, Shapes};

/// Where along her the propeller is, for a hull without a long keel.
pub(super) fn propeller_x(lines: &Lines<'_>) -> f64 {
    let dia = lines.boat.propeller_diameter_m;
    match lines.boat.arrangement {
        Arrangement::Saildrive | Arrangement::Pod | Arrangement::OutboardLeg => {
            leg_x(lines) - 1.6 * leg_half_width(lines)
        }
        Arrangement::PBracket => lines.along(0.2),
        Arrangement::Skeg | Arrangement::Aperture if lines.is_launch => lines.along(0.105) - dia * 0.22,
        Arrangement::Skeg | Arrangement::Aperture => lines.along(0.2),
    }
}

fn leg_x(lines: &Lines<'_>) -> f64 {
    match lines.boat.arrangement {
        Arrangement::Saildrive => lines.along(0.27),
        Arrangement::OutboardLeg => -0.03 * lines.boat.length_overall_m,
        _ => lines.along(0.22),
    }
}

fn leg_half_width(lines: &Lines<'_>) -> f64 {
    0.22 * lines.boat.propeller_diameter_m
}

/// Adds rudder and drive to the shapes.
pub(super) fn rudder_and_drive(lines: &Lines<'_>, shapes: &mut Shapes) {
    let boat = lines.boat;
    let (lwl, d, dia) = (boat.length_waterline_m, boat.draught_m, boat.propeller_diameter_m);
    let stock = match (boat.rudder, lines.is_launch) {
        (Rudder::Transom, _) => -0.004 * boat.length_overall_m,
        (_, true) => lines.along(0.03),
        (Rudder::Skeg, _) => lines.along(0.085),
        _ => lines.along(0.07),
    };
    let deep = if lines.is_launch { -d * 0.97 } else { -d * 0.86 };
    let chord = if lines.is_launch { 0.07 * lwl } else { 0.068 * lwl };
    let roof = |x: f64| lines.canoe(x) - 0.004 * lwl;
    shapes.rudder = match boat.rudder {
        Rudder::Transom => {
            let head = lines.sheer(0.0) * 1.06;
            let mut blade = vec![(stock - chord * 0.42, head), (stock, head), (stock, deep)];
            blade.push((stock - chord * 0.8, deep));
            blade.extend(bezier(
                (stock - chord * 0.8, deep),
                (stock - chord * 1.2, deep * 0.9),
                (stock - chord * 1.05, 0.02 * lwl),
                (stock - chord * 0.42, head * 0.55),
                10,
            ));
            blade
        }
        Rudder::Skeg | Rudder::Keel => {
            vec![
                (stock, roof(stock)),
                (stock - chord * 0.02, deep),
                (stock - chord * 0.78, deep * 0.985),
                (stock - chord * 0.95, roof(stock - chord)),
            ]
        }
        Rudder::None => Vec::new(),
        Rudder::Spade => {
            let (fore, aft) = (stock + chord * 0.26, stock - chord * 0.74);
            vec![
                (fore, roof(fore)),
                (fore - chord * 0.14, deep),
                (aft + chord * 0.12, deep * 0.99),
                (aft, roof(aft)),
            ]
        }
    };
    if boat.rudder == Rudder::Skeg {
        let fore = stock + chord * 1.15;
        shapes.appendages.push(vec![
            (fore, lines.canoe(fore) + 0.02),
            (stock + chord * 0.28, deep * 0.93),
            (stock + chord * 0.04, deep * 0.93),
            (stock + chord * 0.04, lines.canoe(stock)),
        ]);
    }
    let depth = boat.shaft_depth_m;
    match boat.arrangement {
        Arrangement::Saildrive | Arrangement::Pod | Arrangement::OutboardLeg => {
            let (x, wide) = (leg_x(lines), leg_half_width(lines));
            // A leg abaft the transom hangs on it above the water.
            let is_outboard = boat.arrangement == Arrangement::OutboardLeg;
            let top = if is_outboard { 0.8 * lines.sheer(0.0) } else { lines.canoe(x) + 0.02 * lwl };
            let body = 0.13 * dia;
            let (nose, tail) = ((x + wide * 2.0, -depth), x - wide * 1.25);
            let mut leg = vec![(x - wide * 0.75, top), (x + wide * 1.15, top)];
            leg.extend(bezier(
                (x + wide * 1.15, top),
                (x + wide * 0.95, (top - depth) / 2.0),
                (x + wide * 0.8, -depth + body * 1.8),
                (x + wide * 1.1, -depth + body * 0.95),
                8,
            ));
            let shoulder = (x + wide * 1.1, -depth + body * 0.95);
            leg.extend(bezier(
                shoulder,
                (x + wide * 1.6, -depth + body * 0.9),
                (nose.0, -depth + body * 0.4),
                nose,
                6,
            ));
            let chin = (x + wide * 1.1, -depth - body * 0.95);
            leg.extend(bezier(
                nose,
                (nose.0, -depth - body * 0.4),
                (x + wide * 1.6, -depth - body * 0.9),
                chin,
                6,
            ));
            if boat.arrangement == Arrangement::Saildrive {
                leg.extend(bezier(
                    chin,
                    (x + wide * 0.7, -depth - body * 1.3),
                    (x + wide * 0.45, -depth - body * 2.4),
                    (x - wide * 0.1, -depth - body * 2.5),
                    6,
                ));
                leg.push((x - wide * 0.7, -depth - body * 2.4));
                leg.push((x - wide * 0.75, -depth - body * 1.0));
            }
            leg.push((tail, -depth - body * 0.8));
            leg.push((tail, -depth + body * 0.8));
            leg.push((x - wide * 0.7, -depth + body));
            leg.extend(bezier(
                (x - wide * 0.7, -depth + body),
                (x - wide * 0.55, -depth + body * 2.0),
                (x - wide * 0.6, (top - depth) / 2.0),
                (x - wide * 0.75, top),
                8,
            ));
            shapes.appendages.push(leg);
            shapes.propeller = (propeller_x(lines), -depth);
            shapes.shaft = vec![(x + wide * 2.4, -depth), shapes.propeller];
        }
        Arrangement::PBracket => {
            let x = propeller_x(lines);
            shapes.propeller = (x, -depth);
            let fore = lines.along(0.43);
            shapes.shaft = vec![(fore, lines.canoe(fore) + 0.03 * lwl), (x, -depth)];
            let (a, w) = (x + dia * 0.42, 0.008 * lwl);
            let slope = (lines.canoe(fore) + 0.03 * lwl + depth) / (fore - x);
            let y = -depth + slope * (a - x);
            shapes.appendages.push(vec![
                (a + w * 1.4, lines.canoe(a) + 0.01),
                (a - w, lines.canoe(a) + 0.01),
                (a - w * 1.4, y - w * 0.7),
                (a + w * 1.2, y - w * 0.4),
            ]);
        }
        Arrangement::Skeg | Arrangement::Aperture => {
            let x = propeller_x(lines);
            shapes.propeller = (x, -depth);
            shapes.shaft = vec![(x + 0.22 * lwl, -depth + 0.02 * lwl), (x, -depth)];
            if !lines.is_launch {
                shapes.appendages.push(vec![
                    (x + 0.16 * lwl, lines.canoe(x + 0.16 * lwl) + 0.02),
                    (x + dia * 0.4, -depth - 0.012 * lwl),
                    (x + dia * 0.3, -depth + 0.012 * lwl),
                    (x + dia * 0.5, lines.canoe(x + dia * 0.5) + 0.02),
                ]);
            } else if boat.arrangement == Arrangement::Aperture {
                // Shoe that carries the rudder's heel and guards the propeller.
                let (y, w) = (-d, 0.007 * lwl);
                let heel = lines.along(0.105);
                shapes.appendages.push(vec![
                    (heel + w, y),
                    (stock - w, y),
                    (stock - w, y + w * 1.6),
                    (heel + w, y + w * 2.2),
                ]);
            }
        }
    }
    shapes.roof_y = lines.canoe(shapes.propeller.0);
}
