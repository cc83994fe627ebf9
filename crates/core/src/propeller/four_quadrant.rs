//! Thrust and torque in any direction of flow and rotation: dragged, windmilling, braked, astern.
//! An estimate with a band of 30 %. Not for: driving ahead, where the series are better (`prepared`).
//!
//! One propeller is known all around, B4-70 with P/D 1.0. It is carried over to another in three steps:
//!
//! 1. **Angle.** `tan(beta') = s tan(beta)`, with s such that the zero of thrust, and separately the zero
//!    of torque, fall where this propeller has them. Rest (0°, 180°) and locked (90°, 270°) stay in place.
//!    Zero thrust: from the polynomials of both propellers, growth included. Zero torque: that, times the
//!    gap between the two at this pitch; the polynomial of a wide blade may have no zero of torque at all.
//! 2. **Size.** The reference pressure is `g0 (0.7 pi n D)² + g90 VA²` instead of the plain sum. `g0` is
//!    the ratio of KT (KQ) at rest, from the polynomials. `g90` is the ratio of expanded areas (locked
//!    blades are plates of the same drag coefficient); for torque also times the pitch ratio, because
//!    the force stands square on the blade.
//! 3. B4-70 with P/D 1.0 gives s = g0 = g90 = 1 and so keeps its published figures.

use super::geometry::disc_area_m2;
use super::{OpenWater, Pattern, PreparedPropeller, Propeller, PropellerError};
use crate::notice::{Noted, Notice, Severity};
use crate::numeric::{interpolate_linear, solve_bracketed};
use crate::spread::Spread;
use std::f64::consts::PI;

const TERMS: usize = 21;

/// Fourier series of B4-70, P/D 1.0 \[smogeli2006\]: two copies agree to all digits. P/D was identified
/// from its bollard coefficients and its fit to the polynomials.
struct Fourier {
    cosine: [f64; TERMS],
    sine: [f64; TERMS],
}

#[rustfmt::skip]
const BASE_THRUST: Fourier = Fourier {
    cosine: [
        0.02535, 0.1782, 0.014674, 0.028054, -0.016328, -0.053041, 0.00060605,
        0.036823, -0.0025429, -0.01768, 0.0027331, 0.021436, -0.0024782, 0.0012317,
        0.005098, 0.0078076, -0.0037816, 0.0035353, 0.0053014, 0.002194, -0.0028306,
    ],
    sine: [
        0.0, -0.74777, -0.013822, 0.10077, -0.011318, 0.047186, 0.010666,
        -0.0090239, -0.0078452, 0.023941, 0.0080787, -0.00014942, -0.0031925, 0.009262,
        0.0015527, -0.0065683, -0.00061655, 0.0051033, -0.00060263, -0.0082244, -0.00063789,
    ],
};

#[rustfmt::skip]
const BASE_TORQUE: Fourier = Fourier {
    cosine: [
        0.0024645, 0.026718, 0.0016056, 0.0065822, -0.0022497, -0.0078062, 0.00024126,
        0.0061475, -0.0016065, -0.0033291, 0.0012311, 0.0031123, -0.0012559, 0.0013948,
        0.00088397, 5.0358e-05, -0.0007999, 0.0013345, 0.0011928, -0.00013556, -0.00070825,
    ],
    sine: [
        0.0, -0.11081, 0.00015909, 0.016455, -0.0020601, 0.0085343, 0.00087856,
        -0.0031327, -0.0009665, 0.004319, 0.0012453, 9.5986e-05, -0.00079986, 0.0015073,
        0.00024595, -0.0016918, 0.00051603, 0.0011504, -0.00047976, -0.0014566, 0.0002328,
    ],
};

const BASE_BLADES: u8 = 4;
const BASE_AREA_RATIO: f64 = 0.70;
const BASE_PITCH_RATIO: f64 = 1.0;
/// Advance ratio at which the base set has no thrust (root of its Fourier series).
pub const BASE_ZERO_THRUST_ADVANCE: f64 = 1.025_184_427_228_887_7;
/// Advance ratio at which the base set has no torque (root of its Fourier series).
pub const BASE_ZERO_TORQUE_ADVANCE: f64 = 1.102_624_820_966_197_5;

impl Fourier {
    /// Value at the angle whose cosine and sine are given.
    #[inline]
    fn at(&self, cos: f64, sin: f64) -> f64 {
        let (mut c, mut s) = (cos, sin);
        let mut sum = self.cosine[0];
        for k in 1..TERMS {
            sum += self.cosine[k] * c + self.sine[k] * s;
            (c, s) = (c * cos - s * sin, s * cos + c * sin);
        }
        sum
    }
}

/// Advance ratio of zero torque over that of zero thrust by pitch ratio, for B4-55 from the polynomials
/// \[oosterveld1975\], which extrapolate there; three and four blades of area ratio 0.35 to 0.65 differ
/// from it by 1 to 2 %, up to 9 % at pitch ratio 0.5.
const ZERO_GAP_PITCH: [f64; 8] = [0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.2, 1.4];
const ZERO_GAP: [f64; 8] = [1.219_4, 1.151_9, 1.111_4, 1.085, 1.067, ZERO_GAP_AT_BASE, 1.042_3, 1.038];
const ZERO_GAP_AT_BASE: f64 = 1.054_9;

/// Advance ratio at which a propeller turns freely without friction.
///
/// Blade friction makes torque vanish later than thrust, the more so the lower the pitch. The gap of the
/// polynomials is scaled to that of the base set's test (1.076 against 1.055).
/// # Source
/// \[oosterveld1975\], \[smogeli2006\]. Held against \[warren1979\]: J = 1.21 P/D at P/D 0.667.
/// # Valid for
/// P/D 0.5 to 1.4; the same gap beyond.
fn zero_torque_advance(zero_thrust_advance: f64, pitch_ratio: f64) -> f64 {
    let gap = interpolate_linear(&ZERO_GAP_PITCH, &ZERO_GAP, pitch_ratio) / ZERO_GAP_AT_BASE;
    zero_thrust_advance * gap * (BASE_ZERO_TORQUE_ADVANCE / BASE_ZERO_THRUST_ADVANCE)
}

/// How one base coefficient is carried over.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Carried {
    /// s in `tan(beta') = s tan(beta)`.
    angle: f64,
    /// g0, size with no flow.
    at_rest: f64,
    /// g90, size when locked.
    locked: f64,
}

impl Carried {
    /// Coefficient times speeds squared \[m²/s²\] for blade speed `x` and speed of advance `y`.
    #[inline]
    fn times_speed_squared(&self, base: &Fourier, x: f64, y: f64) -> f64 {
        let turned = self.angle * y;
        let radius = (x * x + turned * turned).sqrt();
        if radius == 0.0 {
            return 0.0;
        }
        base.at(x / radius, turned / radius) * (self.at_rest * x * x + self.locked * y * y)
    }
}

/// What growth adds: section drag along the water's way past the blade, whichever way that is, so that it
/// always brakes the turning and always adds to the drag.
///
/// `dCQ = k_Q x W`, `dCT = -k_T y W`, with blade speed x, speed of advance y, `W² = x² + y²`; k_Q and k_T such that
/// at the flow angle of the pitch they are the changes of KQ and KT of the open-water curves.
/// # Source
/// Derived here from the form of \[holtrop1984\], which is that of driving ahead.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Growth {
    thrust: f64,
    torque: f64,
}

impl Growth {
    fn new(kt_change: f64, kq_change: f64, pitch_ratio: f64) -> Self {
        // T and Q / D over rho/2 A: 8 K n² D² / pi with n D = x / (0.7 pi).
        let per_speed_squared = 8.0 / (PI * (0.7 * PI) * (0.7 * PI));
        Self {
            thrust: -kt_change * per_speed_squared * 0.7 * PI / pitch_ratio,
            torque: kq_change * per_speed_squared,
        }
    }

    /// Both coefficients times speeds squared.
    #[inline]
    fn times_speed_squared(&self, x: f64, y: f64) -> (f64, f64) {
        let past = (x * x + y * y).sqrt();
        (-self.thrust * y * past, self.torque * x * past)
    }
}

/// A propeller in all four quadrants. Build once, evaluate often; no allocation in use.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FourQuadrant {
    pub(super) diameter_m: f64,
    /// rho/2 times the disc area.
    pub(super) pressure_area: f64,
    thrust: Carried,
    torque: Carried,
    growth: Growth,
    pub(super) zero_thrust_advance: f64,
    pub(super) zero_torque_advance: f64,
    /// n D / VA of the greatest windmilling torque, and that torque over rho/2 VA² A D.
    pub(super) stall: (f64, f64),
}

/// Half-width of the 80 % band of every figure of this module that is not the base propeller's own.
pub const BAND_FRACTION: f64 = 0.30;

impl FourQuadrant {
    /// Carries the base set over to `propeller`.
    /// # Source
    /// See the head of this file; the base set is \[smogeli2006\].
    /// # Accuracy
    /// Estimate: ±30 % ([`BAND_FRACTION`]); free-wheeling drag is a small difference and weaker still.
    /// Against the open-water series ahead, three and four blades and two at area ratio 0.30, P/D 0.6 to
    /// 1.2: thrust within 3 % of its value at rest in the median and 10 % at worst, torque 2 % and 11 %.
    /// At zero thrust it stands about 4 % of the thrust at rest below the series, as the base set does.
    /// Growth acts as section drag ([`Propeller::blade_drag_rise`]); what it does to a locked blade, which is
    /// all form drag, is small and as uncertain as the rest.
    /// # Errors
    /// [`PropellerError`] as the series behind it.
    pub fn new(propeller: &PreparedPropeller) -> Result<Noted<Self>, PropellerError> {
        let base = OpenWater::new(Pattern::BSeries, BASE_BLADES, BASE_AREA_RATIO, BASE_PITCH_RATIO)?.value;
        let base_zero = base.first_zero_of_thrust(BASE_PITCH_RATIO).ok_or(PropellerError::NoOpenWater {
            blades: BASE_BLADES,
            area_ratio: BASE_AREA_RATIO,
            pitch_ratio: BASE_PITCH_RATIO,
        })?;
        let shape = propeller.propeller();
        let pitch_ratio = shape.pitch_ratio();
        // The clean propeller is carried over; growth comes on top as what always brakes.
        let own = Propeller { blade_drag_rise: 0.0, ..*shape }.open_water()?.value;
        let own_zero = own.first_zero_of_thrust(pitch_ratio).ok_or(PropellerError::NoOpenWater {
            blades: shape.blades,
            area_ratio: shape.area_ratio,
            pitch_ratio,
        })?;
        let (kt_change, kq_change) = shape.growth_changes();
        let angle = base_zero / own_zero;
        let area = shape.area_ratio / BASE_AREA_RATIO;
        let zero_thrust_advance = BASE_ZERO_THRUST_ADVANCE / angle;
        let zero_torque_advance = zero_torque_advance(zero_thrust_advance, pitch_ratio);
        let mut carried = Self {
            diameter_m: shape.diameter_m,
            pressure_area: 0.5 * propeller.water().density_kg_m3 * disc_area_m2(shape.diameter_m),
            thrust: Carried { angle, at_rest: own.kt(0.0) / base.kt(0.0), locked: area },
            torque: Carried {
                angle: BASE_ZERO_TORQUE_ADVANCE / zero_torque_advance,
                at_rest: own.kq(0.0) / base.kq(0.0),
                locked: area * pitch_ratio / BASE_PITCH_RATIO,
            },
            growth: Growth::new(kt_change, kq_change, pitch_ratio),
            zero_thrust_advance,
            zero_torque_advance,
            stall: (0.0, 0.0),
        };
        carried.stall = carried.find_stall();
        carried.move_zeros_by_growth();
        Ok(Noted { value: carried, notices: remarks(shape.pattern) })
    }

    /// Factor with the 80 % band that belongs to every drag, torque and power of this propeller.
    #[must_use]
    pub fn band(&self) -> Spread {
        Spread::relative(1.0, BAND_FRACTION)
    }

    /// The same propeller with every thrust and every torque multiplied: one sample of its band.
    #[must_use]
    pub fn scaled(mut self, thrust: f64, torque: f64) -> Self {
        for (carried, factor) in [(&mut self.thrust, thrust), (&mut self.torque, torque)] {
            carried.at_rest *= factor;
            carried.locked *= factor;
        }
        self.growth = Growth { thrust: self.growth.thrust * thrust, torque: self.growth.torque * torque };
        self.stall.1 *= torque;
        self
    }

    /// Advance ratio of zero thrust.
    #[must_use]
    pub fn zero_thrust_advance(&self) -> f64 {
        self.zero_thrust_advance
    }

    /// Advance ratio of zero torque (free-wheeling without friction).
    #[must_use]
    pub fn zero_torque_advance(&self) -> f64 {
        self.zero_torque_advance
    }

    /// Thrust \[N\] and torque \[N m\] for any signs of speed of advance and revolutions.
    ///
    /// Thrust is positive when it pushes ahead; torque has the sign in which the motor must turn the shaft
    /// to hold `revs_per_s` > 0 (negative: the water turns the shaft).
    /// # Example
    /// Thruster of \[smogeli2006\] at rest: KT 0.445.
    /// ```
    /// # use wakewright_core::propeller::{FourQuadrant, Pattern, PreparedPropeller, Propeller, PropellerError};
    /// # use wakewright_core::water::Water;
    /// let water = Water::sea(288.15);
    /// let shape = Propeller::clean(4.0, 4.0, 4, 0.70, Pattern::BSeries);
    /// let propeller = FourQuadrant::new(&PreparedPropeller::new(&shape, &water)?.value)?.value;
    /// let (thrust_n, _) = propeller.thrust_torque(0.0, 2.05);
    /// let kt = thrust_n / (water.density_kg_m3 * 2.05_f64.powi(2) * 4.0_f64.powi(4));
    /// assert!((kt - 0.445).abs() < 0.000_5);
    /// # Ok::<(), PropellerError>(())
    /// ```
    #[must_use]
    pub fn thrust_torque(&self, speed_advance_m_s: f64, revs_per_s: f64) -> (f64, f64) {
        let blade_speed = 0.7 * PI * revs_per_s * self.diameter_m;
        let (thrust, torque) = self.times_speed_squared(blade_speed, speed_advance_m_s);
        (self.pressure_area * thrust, self.pressure_area * self.diameter_m * torque)
    }

    /// The torque of [`Self::thrust_torque`] alone, at half the work.
    #[must_use]
    pub fn torque_n_m(&self, speed_advance_m_s: f64, revs_per_s: f64) -> f64 {
        let blade_speed = 0.7 * PI * revs_per_s * self.diameter_m;
        self.pressure_area * self.diameter_m * self.torque_times_speed_squared(blade_speed, speed_advance_m_s)
    }

    #[inline]
    fn torque_times_speed_squared(&self, x: f64, y: f64) -> f64 {
        self.torque.times_speed_squared(&BASE_TORQUE, x, y) + self.growth.times_speed_squared(x, y).1
    }

    /// CT* and CQ* times speeds squared for blade speed `x` and speed of advance `y`.
    #[inline]
    fn times_speed_squared(&self, x: f64, y: f64) -> (f64, f64) {
        let (more_thrust, more_torque) = self.growth.times_speed_squared(x, y);
        (
            self.thrust.times_speed_squared(&BASE_THRUST, x, y) + more_thrust,
            self.torque.times_speed_squared(&BASE_TORQUE, x, y) + more_torque,
        )
    }

    /// Torque with which the flow turns the shaft, over rho/2 VA² A D, at `turn` = n D / VA.
    pub(super) fn windmill_torque(&self, turn: f64) -> f64 {
        -self.torque_times_speed_squared(0.7 * PI * turn, 1.0)
    }

    /// Drag over rho/2 VA² A at `turn` = n D / VA.
    pub(super) fn drag_coefficient(&self, turn: f64) -> f64 {
        -self.times_speed_squared(0.7 * PI * turn, 1.0).0
    }

    /// With growth, drag vanishes at more turns of the shaft and torque at fewer than with clean blades.
    fn move_zeros_by_growth(&mut self) {
        const CLOSE: f64 = 1e-12;
        let (no_drag, no_torque) = (1.0 / self.zero_thrust_advance, 1.0 / self.zero_torque_advance);
        if self.growth.thrust > 0.0
            && let Ok(turn) =
                solve_bracketed(|turn| self.drag_coefficient(turn), no_drag, 3.0 * no_drag, CLOSE)
        {
            self.zero_thrust_advance = 1.0 / turn;
        }
        if self.growth.torque > 0.0
            && let Ok(turn) =
                solve_bracketed(|turn| self.windmill_torque(turn), self.stall.0, no_torque, CLOSE)
        {
            self.zero_torque_advance = 1.0 / turn;
        }
    }

    fn find_stall(&self) -> (f64, f64) {
        // The torque has its one hump in the slower half between locked and free.
        let turn = maximise(|turn| self.windmill_torque(turn), 0.0, 0.6 / self.zero_torque_advance, 1e-6);
        (turn, self.windmill_torque(turn))
    }
}

fn remarks(pattern: Pattern) -> Vec<Notice> {
    let mut notices = vec![Notice::Remark {
        severity: Severity::Weak,
        text: "Dragged, windmilling and astern figures are carried over from one tested propeller (four \
               blades, area ratio 0.70, pitch ratio 1.0): an estimate, ±30 % at best.",
        source: "smogeli2006",
    }];
    if pattern.is_stowed_under_sail() {
        notices.push(Notice::Remark {
            severity: Severity::Note,
            text: "These figures hold with the blades open. Under sail they fold or feather, and the drag is \
                   then that of the stowed blades.",
            source: "common practice, no source",
        });
    }
    notices
}

/// Place of the maximum of a function with one hump in `[low, high]`, by golden section, to `share` of the
/// interval's width. The maximum itself is then off by about the square of that.
pub(crate) fn maximise(f: impl Fn(f64) -> f64, mut low: f64, mut high: f64, share: f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_8;
    let (mut x1, mut x2) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
    let (mut f1, mut f2) = (f(x1), f(x2));
    for _ in 0..(share.ln() / GOLDEN.ln()).ceil().max(0.0) as usize {
        if f1 < f2 {
            (low, x1, f1) = (x1, x2, f2);
            x2 = low + GOLDEN * (high - low);
            f2 = f(x2);
        } else {
            (high, x2, f2) = (x2, x1, f1);
            x1 = high - GOLDEN * (high - low);
            f1 = f(x1);
        }
    }
    0.5 * (low + high)
}
