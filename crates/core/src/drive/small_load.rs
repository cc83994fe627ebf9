//! What a drive takes at small load whatever it gives: shaft line, belt or gears that turn, electronics that are on.
//!
//! Boats differ here more than in anything else at creep, so each term is a median with a band, lopsided upwards. Medians and
//! bands: `reference/drive/small_load_terms.csv`, which says where each comes from (mostly from memory). Not for: losses
//! that rise with torque (`reduction`, `controller`, `motor`), the water (`propeller`, `hull`).

use super::reduction::ReductionKind;
use crate::spread::Spread;

/// Shaft of which the rows of the table speak \[m\].
const TABLE_SHAFT_M: f64 = 0.025;

/// Exponent on the upper half of the bands of shaft line, reduction, standing power and loads: how much
/// further up boats scatter than the table says. Set by `scripts/field`; 1 is the table alone.
pub const WIDER_UPWARDS: f64 = 2.5;

/// `spread` with its upper half as wide as boats are found to be ([`WIDER_UPWARDS`]).
#[must_use]
pub fn widened_by_boats(spread: Spread) -> Spread {
    Spread { p90: spread.median * (spread.p90 / spread.median).powf(WIDER_UPWARDS), ..spread }
}

/// Least and most that is drawn of a loss with this band: nothing, and twice its upper end, beyond which a shaft that turns
/// by hand would not turn.
#[must_use]
pub fn drawn_within(spread: Spread) -> (f64, f64) {
    (0.0, 2.0 * spread.p90)
}

/// What keeps the water out where the shaft leaves the hull.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ShaftSeal {
    /// Packing squeezed round the shaft.
    PackedGland,
    /// Two faces pressed together by a bellows or a spring.
    FaceSeal,
    /// Rubber lips in oil or grease.
    LipSeals,
}

/// Torque of a seal on a 25 mm shaft \[N·m\] and the power of the diameter with which it grows.
const fn seal_row(seal: Option<ShaftSeal>) -> ((f64, f64, f64), i32) {
    match seal {
        // Pressure on rings whose length goes with the shaft; one gland in ten is over-tightened.
        Some(ShaftSeal::PackedGland) => ((0.10, 0.30, 1.0), 3),
        Some(ShaftSeal::FaceSeal) => ((0.10, 0.25, 0.60), 2),
        Some(ShaftSeal::LipSeals) => ((0.09, 0.20, 0.30), 1),
        None => ((0.10, 0.27, 0.80), 2),
    }
}

/// Torque that shaft bearings and seal take at any speed \[N·m\], at the propeller shaft.
///
/// Seal, water-lubricated bearing (where the shaft leaves the hull through one) and inboard bearings with their seals,
/// each a row of the table for 25 mm: bearings' seals with the diameter, packing and water bearing with its cube, faces
/// with its square. Medians add; the halves of the bands add as squares.
/// # Source
/// `reference/drive/small_load_terms.csv`, from memory; forms of the formulas there.
/// # Valid for
/// Shafts of 15 to 60 mm, aligned.
/// # Accuracy
/// A band of a half to twice; not found published.
/// # Example
/// By hand, at the table's 25 mm: medians 0.25 + 0.15 + 0.25 N m; upper halves 0.35, 0.35 and 0.25 N m, as squares 0.5545.
/// ```
/// # use wakewright_core::drive::{ShaftSeal, small_load::shaft_line_torque_n_m};
/// let torque = shaft_line_torque_n_m(0.025, Some(ShaftSeal::FaceSeal), true);
/// assert!((torque.median - 0.65).abs() < 1e-9 && (torque.p90 - 1.2045).abs() < 1e-4);
/// ```
#[must_use]
pub fn shaft_line_torque_n_m(diameter_m: f64, seal: Option<ShaftSeal>, has_water_bearing: bool) -> Spread {
    let size = diameter_m / TABLE_SHAFT_M;
    let (seal_n_m, power) = seal_row(seal);
    let mut terms = vec![(seal_n_m, size.powi(power))];
    if has_water_bearing {
        terms.push(((0.03, 0.15, 0.50), size.powi(3)));
        terms.push(((0.10, 0.25, 0.50), size));
    } else {
        // A leg's own bearings roll in oil.
        terms.push(((0.02, 0.06, 0.15), size));
    }
    let (mut median, mut below, mut above) = (0.0, 0.0_f64, 0.0_f64);
    for ((p10, middle, p90), by) in terms {
        median += by * middle;
        below = below.hypot(by * (middle - p10));
        above = above.hypot(by * (p90 - middle));
    }
    Spread::factor(median - below, median, median + above)
}

/// Diameter of a shaft that nobody measured \[m\]: a fourteenth of the propeller's. Common practice, no source.
#[must_use]
pub fn usual_shaft_diameter_m(propeller_diameter_m: f64) -> f64 {
    propeller_diameter_m / 14.0
}

/// Torque at the motor's shaft that turning the reduction takes whatever goes through it \[N·m\].
///
/// Toothed belts: a share of the rated torque, since their loss goes with the tension at which they were laid on and hardly
/// with the torque \[jsme2006\]. Gear wheels in oil: a torque of their own at the propeller shaft.
#[must_use]
pub fn reduction_drag_n_m(kind: ReductionKind, rated_motor_torque_n_m: f64, ratio: f64) -> Spread {
    let ((p10, median, p90), by) = match kind {
        ReductionKind::Direct => return Spread::exact(0.0),
        ReductionKind::ToothedBelt => ((0.0065, 0.015, 0.033), rated_motor_torque_n_m),
        ReductionKind::VBelt => ((0.010, 0.025, 0.05), rated_motor_torque_n_m),
        ReductionKind::Gear => ((0.27, 0.73, 1.8), 1.0 / ratio),
        ReductionKind::BevelLeg => ((0.14, 0.36, 0.9), 1.0 / ratio),
    };
    Spread::factor(p10 * by, median * by, p90 * by)
}

/// What the drive takes with the key on and the lever at rest \[W\]: controller 12, lever and display 6, contactor coil 8,
/// protection of the packs 2, converter to 12 V 5, each with its band.
pub const STANDING_POWER_W: Spread = Spread { p10: 17.0, median: 33.0, p90: 80.0, is_logarithmic: true };

/// Loads at 12 V on the same bank under way \[W\] where none are stated: plotter, log, radio, lights, at times a pilot.
pub const LOADS_UNDER_WAY_W: Spread = Spread { p10: 8.0, median: 30.0, p90: 80.0, is_logarithmic: true };

/// Drop over a pair of copper-graphite brushes \[V\].
pub const BRUSH_DROP_V: Spread = Spread { p10: 0.5, median: 1.0, p90: 1.5, is_logarithmic: false };

/// Share of the rated loss that is iron, friction and air where no no-load current is known; median as in
/// [`super::plate::DEFAULT_IRON_SHARE`].
pub const IRON_SHARE: Spread =
    Spread { p10: 0.22, median: super::plate::DEFAULT_IRON_SHARE, p90: 0.60, is_logarithmic: true };

/// Factor on the rise of blade drag below the series' Reynolds number.
pub const LOW_REYNOLDS: Spread = Spread { p10: 0.6, median: 1.0, p90: 1.6, is_logarithmic: true };
