//! A propeller made ready for many evaluations: thrust and torque from speed and revolutions, and
//! revolutions from thrust. First quadrant only. Not for: windmilling and astern (`four_quadrant`).

use super::geometry::{chord_075_m, thickness_ratio_075};
use super::reynolds::{REYNOLDS_BASE, ReynoldsCorrection, Rise};
use super::{OpenWater, Pattern, PropellerError, not_negative, positive};
use crate::friction::{frictional_coefficient_ittc1957, frictional_coefficient_with_slope};
use crate::notice::Noted;
use crate::water::Water;

/// A propeller as the fitter describes it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Propeller {
    /// Diameter \[m\].
    pub diameter_m: f64,
    /// Pitch at 0.7R \[m\].
    pub pitch_m: f64,
    /// Number of blades.
    pub blades: u8,
    /// Expanded area of the blades over the disc area.
    pub area_ratio: f64,
    /// Family of blade shapes.
    pub pattern: Pattern,
    /// Rise of the drag coefficient of the blade section near 0.7R through roughness and growth; 0 = clean.
    pub blade_drag_rise: f64,
    /// Factor on the torque of the series; median from [`Pattern::torque_factor`].
    pub torque_factor: f64,
    /// Factor on the thrust of the series.
    pub thrust_factor: f64,
    /// How much of the rise of blade drag below the series' Reynolds number is taken: 1 as the plate has it, 0 the
    /// series as published.
    pub low_reynolds: f64,
}

impl Propeller {
    /// A clean propeller with the median factors of its pattern.
    #[must_use]
    pub fn clean(diameter_m: f64, pitch_m: f64, blades: u8, area_ratio: f64, pattern: Pattern) -> Self {
        let torque_factor = pattern.torque_factor().median;
        Self {
            diameter_m,
            pitch_m,
            blades,
            area_ratio,
            pattern,
            blade_drag_rise: 0.0,
            torque_factor,
            thrust_factor: 1.0,
            low_reynolds: 0.0,
        }
    }

    /// Pitch over diameter.
    #[must_use]
    pub fn pitch_ratio(&self) -> f64 {
        self.pitch_m / self.diameter_m
    }

    /// The series for this propeller with factors and growth applied.
    ///
    /// `KT = f_T KT_series - dCD 0.3 (P/D) (c Z / D)`, `KQ = f_Q KQ_series + dCD 0.25 (c Z / D)`.
    /// # Source
    /// Scaling form of \[holtrop1984\]; there for full-size ships, here for growth.
    /// # Errors
    /// As [`OpenWater::new`], and when growth leaves no thrust at rest.
    /// # Example
    /// By hand: drag 0.01 higher takes 0.01 x 0.3 x 0.75 x 2.073 x 0.5 = 0.002332 off KT.
    /// ```
    /// # use wakewright_core::propeller::{Pattern, Propeller};
    /// let clean = Propeller::clean(0.4, 0.3, 3, 0.5, Pattern::BSeries);
    /// let grown = Propeller { blade_drag_rise: 0.01, ..clean };
    /// let kt = |propeller: &Propeller| propeller.open_water().unwrap().value.kt(0.3);
    /// assert!((kt(&clean) - kt(&grown) - 0.002_332).abs() < 1e-6);
    /// ```
    pub fn open_water(&self) -> Result<Noted<OpenWater>, PropellerError> {
        positive("propeller diameter", self.diameter_m)?;
        positive("propeller pitch", self.pitch_m)?;
        positive("torque factor", self.torque_factor)?;
        positive("thrust factor", self.thrust_factor)?;
        not_negative("rise of blade drag", self.blade_drag_rise)?;
        let mut curve = OpenWater::new(self.pattern, self.blades, self.area_ratio, self.pitch_ratio())?;
        let (kt_change, kq_change) = self.growth_changes();
        let OpenWater { kt_coefficients: kt, kq_coefficients: kq } = &mut curve.value;
        kt.iter_mut().for_each(|c| *c *= self.thrust_factor);
        kq.iter_mut().for_each(|c| *c *= self.torque_factor);
        kt[0] += kt_change;
        kq[0] += kq_change;
        Ok(curve)
    }

    /// Changes of (KT, KQ) by growth, ahead.
    pub(super) fn growth_changes(&self) -> (f64, f64) {
        section_drag_effect(self.blade_drag_rise, self.pitch_ratio(), self.solidity())
    }

    /// Chord at 0.75R of all blades over the diameter.
    fn solidity(&self) -> f64 {
        chord_075_m(self.diameter_m, self.area_ratio, self.blades) * f64::from(self.blades) / self.diameter_m
    }
}

/// Change of (KT, KQ) when the drag coefficient of the blade section rises by `drag_rise`.
///
/// `dKT = -dCD 0.3 (P/D) (c Z / D)`, `dKQ = 0.25 dCD (c Z / D)`; `solidity` = c Z / D at 0.75R.
/// # Source
/// \[holtrop1982\], \[holtrop1984\]: made for the step from model to smooth full-size ship propellers.
/// # Valid for
/// Source states no range; small rises.
/// # Example
/// By hand: 0.01 x 0.3 and 0.01 x 0.25.
/// ```
/// # use wakewright_core::propeller::prepared::section_drag_effect;
/// let (kt_change, kq_change) = section_drag_effect(0.01, 1.0, 1.0);
/// assert!((kt_change + 0.003).abs() < 1e-12 && (kq_change - 0.0025).abs() < 1e-12);
/// ```
#[must_use]
pub fn section_drag_effect(drag_rise: f64, pitch_ratio: f64, solidity: f64) -> (f64, f64) {
    (-drag_rise * 0.3 * pitch_ratio * solidity, drag_rise * 0.25 * solidity)
}

/// Blade Reynolds number below which friction is taken as there: a propeller that hardly turns.
const LOWEST_BLADE_REYNOLDS: f64 = 1e5;

/// What a rise of the plate's friction coefficient below the series' Reynolds number does to KT and KQ.
///
/// `dCD = 2 (1 + 2 t/c) (CF(Rn) - CF(2e6))` by the ITTC-1957 line, then as [`section_drag_effect`].
/// # Source
/// The step from model to ship of \[holtrop1984\] taken the other way, down to the Reynolds number of small blades. No
/// test of small blades was found: 2 to 8 % of power at 2 to 5 kn, from memory.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct LowReynolds {
    kt: f64,
    kq: f64,
    /// CF at the series' Reynolds number.
    base: f64,
}

impl LowReynolds {
    fn new(propeller: &Propeller) -> Self {
        let chord = chord_075_m(propeller.diameter_m, propeller.area_ratio, propeller.blades);
        let thickness = thickness_ratio_075(propeller.diameter_m, chord, propeller.blades);
        let drag = propeller.low_reynolds * (2.0 + 4.0 * thickness);
        let (kt, kq) = section_drag_effect(drag, propeller.pitch_ratio(), propeller.solidity());
        Self { kt, kq, base: frictional_coefficient_ittc1957(REYNOLDS_BASE) }
    }
}

/// A propeller in given water, ready for use in a sampling loop: no allocation, no powers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PreparedPropeller {
    propeller: Propeller,
    water: Water,
    open_water: OpenWater,
    advance_at_zero_thrust: f64,
    correction: Option<ReynoldsCorrection>,
    low: LowReynolds,
    /// rho D⁴.
    thrust_scale: f64,
    /// rho D⁵.
    torque_scale: f64,
    /// (chord / viscosity)², so that Rn² = this · (VA² + (0.75 pi n D)²).
    reynolds_scale: f64,
    /// (0.75 pi D)².
    tip_scale: f64,
}

impl PreparedPropeller {
    /// Evaluates the series for `propeller` in `water`.
    /// # Errors
    /// [`PropellerError`] when a size is not positive or the series gives no usable curve.
    pub fn new(propeller: &Propeller, water: &Water) -> Result<Noted<Self>, PropellerError> {
        positive("water density", water.density_kg_m3)?;
        positive("water viscosity", water.viscosity_m2_s)?;
        let Noted { value: open_water, notices } = propeller.open_water()?;
        let Propeller { diameter_m, blades, area_ratio, pattern, .. } = *propeller;
        let pitch_ratio = propeller.pitch_ratio();
        let no_curve = PropellerError::NoOpenWater { blades, area_ratio, pitch_ratio };
        let advance_at_zero_thrust = open_water.first_zero_of_thrust(pitch_ratio).ok_or(no_curve)?;
        if open_water.kt(0.0) <= 0.0 {
            return Err(no_curve);
        }
        let correction =
            (pattern != Pattern::GawnWide).then(|| ReynoldsCorrection::new(blades, area_ratio, pitch_ratio));
        let low = match correction {
            Some(_) if propeller.low_reynolds > 0.0 => LowReynolds::new(propeller),
            _ => LowReynolds::default(),
        };
        let thrust_scale = water.density_kg_m3 * diameter_m * diameter_m * diameter_m * diameter_m;
        let chord_by_viscosity = chord_075_m(diameter_m, area_ratio, blades) / water.viscosity_m2_s;
        let tip = 0.75 * std::f64::consts::PI * diameter_m;
        let prepared = Self {
            propeller: *propeller,
            water: *water,
            open_water,
            advance_at_zero_thrust,
            correction,
            low,
            thrust_scale,
            torque_scale: thrust_scale * diameter_m,
            reynolds_scale: chord_by_viscosity * chord_by_viscosity,
            tip_scale: tip * tip,
        };
        Ok(Noted { value: prepared, notices })
    }

    /// The propeller it was made from.
    #[must_use]
    pub fn propeller(&self) -> &Propeller {
        &self.propeller
    }

    /// The water it turns in.
    #[must_use]
    pub fn water(&self) -> &Water {
        &self.water
    }

    /// Thrust and torque coefficients at Rn(0.75R) 2e6, factors and growth included.
    #[must_use]
    pub fn open_water(&self) -> &OpenWater {
        &self.open_water
    }

    /// Advance ratio at which the thrust vanishes.
    #[must_use]
    pub fn advance_at_zero_thrust(&self) -> f64 {
        self.advance_at_zero_thrust
    }

    /// Reynolds number of the blade section at 0.75R.
    #[must_use]
    pub fn reynolds_075(&self, speed_advance_m_s: f64, revs_per_s: f64) -> f64 {
        self.reynolds_squared(speed_advance_m_s, revs_per_s).sqrt()
    }

    #[inline]
    fn reynolds_squared(&self, speed_advance_m_s: f64, revs_per_s: f64) -> f64 {
        self.reynolds_scale
            * (speed_advance_m_s * speed_advance_m_s + self.tip_scale * revs_per_s * revs_per_s)
    }

    /// How far this state's Reynolds number is above that of the series; `None` when it is not.
    #[inline]
    fn rise(&self, speed_advance_m_s: f64, revs_per_s: f64) -> Option<(&ReynoldsCorrection, Rise)> {
        let correction = self.correction.as_ref()?;
        let reynolds_squared = self.reynolds_squared(speed_advance_m_s, revs_per_s);
        (reynolds_squared > REYNOLDS_BASE * REYNOLDS_BASE)
            .then(|| (correction, Rise::at_squared(reynolds_squared)))
    }

    /// Rise of the plate's friction coefficient from the series' Reynolds number down to that of this state, and its
    /// slope by the logarithm; nothing where it is not taken.
    #[inline]
    fn low_friction(&self, speed_advance_m_s: f64, revs_per_s: f64) -> (f64, f64) {
        if self.low.kq == 0.0 {
            return (0.0, 0.0);
        }
        let reynolds = self.reynolds_squared(speed_advance_m_s, revs_per_s).sqrt();
        let (friction, slope) = frictional_coefficient_with_slope(reynolds.max(LOWEST_BLADE_REYNOLDS));
        (friction - self.low.base, if reynolds > LOWEST_BLADE_REYNOLDS { slope } else { 0.0 })
    }

    /// Coefficients of KT at the Reynolds number of this state.
    #[inline]
    fn kt_coefficients(&self, speed_advance_m_s: f64, revs_per_s: f64) -> [f64; 4] {
        let mut kt = self.open_water.kt_coefficients;
        if let Some((correction, rise)) = self.rise(speed_advance_m_s, revs_per_s) {
            return added(kt, self.propeller.thrust_factor, correction.kt_at(rise));
        }
        kt[0] += self.low.kt * self.low_friction(speed_advance_m_s, revs_per_s).0;
        kt
    }

    /// As [`Self::kt_coefficients`], with what the change of the Reynolds number with the revolutions adds to
    /// n dKT/dn; `None` below the correction.
    #[inline]
    fn kt_with_drift(&self, speed_advance_m_s: f64, revs: f64) -> ([f64; 4], Option<f64>) {
        let mut kt = self.open_water.kt_coefficients;
        let Some((correction, rise)) = self.rise(speed_advance_m_s, revs) else {
            if self.low.kq == 0.0 {
                return (kt, None);
            }
            let (friction, slope) = self.low_friction(speed_advance_m_s, revs);
            kt[0] += self.low.kt * friction;
            let turning = self.tip_scale * revs * revs;
            return (
                kt,
                Some(self.low.kt * slope * turning / (turning + speed_advance_m_s * speed_advance_m_s)),
            );
        };
        let factor = self.propeller.thrust_factor;
        let turning = self.tip_scale * revs * revs;
        let share = turning / (turning + speed_advance_m_s * speed_advance_m_s);
        let [d0, d1, d2] = correction.kt_slope_at(rise);
        let j = speed_advance_m_s / (revs * self.propeller.diameter_m);
        (added(kt, factor, correction.kt_at(rise)), Some(factor * share * (d0 + j * (d1 + j * d2))))
    }

    /// Coefficients of KQ at the Reynolds number of this state.
    #[inline]
    fn kq_coefficients(&self, speed_advance_m_s: f64, revs_per_s: f64) -> [f64; 4] {
        let mut kq = self.open_water.kq_coefficients;
        if let Some((correction, rise)) = self.rise(speed_advance_m_s, revs_per_s) {
            return added(kq, self.propeller.torque_factor, correction.kq_at(rise));
        }
        kq[0] += self.low.kq * self.low_friction(speed_advance_m_s, revs_per_s).0;
        kq
    }

    /// Thrust \[N\] and torque at the propeller \[N m\].
    ///
    /// `T = rho n² D⁴ KT(J)`, `Q = rho n² D⁵ KQ(J)`, `J = VA / (n D)`.
    /// # Valid for
    /// First quadrant, from standstill to [`Self::advance_at_zero_thrust`]. A little beyond it the figures
    /// lean on the far end of the polynomials; a propeller that is dragged belongs to
    /// [`super::FourQuadrant`]. At rest with no flow both are zero; outside the quadrant both are NaN.
    /// # Arguments
    /// `speed_advance_m_s` into the propeller disc, >= 0; `revs_per_s` >= 0.
    /// # Example
    /// Six blades, area ratio 0.65, P/D 1.4 at J 0.1 \[kuiper1992\], KT 0.588951: 1 m at 1 rev/s in 1000 kg/m³, 588.95 N.
    /// ```
    /// # use wakewright_core::propeller::{Pattern, PreparedPropeller, Propeller};
    /// # use wakewright_core::water::Water;
    /// let water = Water { density_kg_m3: 1000.0, ..Water::fresh(288.15) };
    /// let propeller = Propeller::clean(1.0, 1.4, 6, 0.65, Pattern::BSeries);
    /// let prepared = PreparedPropeller::new(&propeller, &water).unwrap().value;
    /// assert!((prepared.thrust_torque(0.1, 1.0).0 - 588.951).abs() < 1e-3);
    /// ```
    #[inline]
    #[must_use]
    pub fn thrust_torque(&self, speed_advance_m_s: f64, revs_per_s: f64) -> (f64, f64) {
        if revs_per_s <= 0.0 || speed_advance_m_s < 0.0 {
            let still = revs_per_s == 0.0 && speed_advance_m_s == 0.0;
            return if still { (0.0, 0.0) } else { (f64::NAN, f64::NAN) };
        }
        let curve = OpenWater {
            kt_coefficients: self.kt_coefficients(speed_advance_m_s, revs_per_s),
            kq_coefficients: self.kq_coefficients(speed_advance_m_s, revs_per_s),
        };
        let j = speed_advance_m_s / (revs_per_s * self.propeller.diameter_m);
        let revs_squared = revs_per_s * revs_per_s;
        (self.thrust_scale * revs_squared * curve.kt(j), self.torque_scale * revs_squared * curve.kq(j))
    }

    /// Revolutions \[rev/s\] and torque \[N m\] at which the propeller gives `thrust_n` at this speed of
    /// advance, to 1e-13 relative; `None` for a negative thrust or speed.
    ///
    /// With a = VA/D and tau = T/(rho D⁴), `KT(J) = tau/n²` is the cubic
    /// `k0 n³ + k1 a n² + (k2 a² - tau) n + k3 a³ = 0`. Halley's iteration starts from the root of the
    /// straight line between rest and zero thrust, which is close because KT is nearly straight.
    #[must_use]
    pub fn at_thrust(&self, speed_advance_m_s: f64, thrust_n: f64) -> Option<(f64, f64)> {
        if !(speed_advance_m_s >= 0.0 && thrust_n >= 0.0) {
            return None;
        }
        let a = speed_advance_m_s / self.propeller.diameter_m;
        let tau = thrust_n / self.thrust_scale;
        let half = 0.5 * a / self.advance_at_zero_thrust;
        let mut revs = half + (half * half + tau / self.open_water.kt_coefficients[0]).sqrt();
        if revs == 0.0 {
            return Some((0.0, 0.0));
        }
        for _ in 0..40 {
            let (kt, drift) = self.kt_with_drift(speed_advance_m_s, revs);
            let [k0, k1, k2, k3] = kt;
            let (square, linear, constant) = (k1 * a, k2 * a * a - tau, k3 * a * a * a);
            let value = ((k0 * revs + square) * revs + linear) * revs + constant;
            let slope = (3.0 * k0 * revs + 2.0 * square) * revs + linear + revs * revs * drift.unwrap_or(0.0);
            let half_bend = 3.0 * k0 * revs + square;
            let step = value * slope / (slope * slope - value * half_bend);
            // Halve at most: keeps the iterate on the branch with positive revolutions.
            revs = (revs - step).max(0.5 * revs);
            // Cubic convergence on a fixed curve; nearly so where Rn moves it.
            let fine_enough = if drift.is_none() { 1e-5 } else { 1e-6 };
            if step.abs() <= fine_enough * revs {
                let [q0, q1, q2, q3] = self.kq_coefficients(speed_advance_m_s, revs);
                let j = a / revs;
                let kq = q0 + j * (q1 + j * (q2 + j * q3));
                return Some((revs, self.torque_scale * revs * revs * kq));
            }
        }
        None
    }
}

/// The lower three coefficients raised by `factor` times `rise`.
#[inline]
fn added(mut coefficients: [f64; 4], factor: f64, rise: [f64; 3]) -> [f64; 4] {
    for (coefficient, rise) in coefficients.iter_mut().zip(rise) {
        *coefficient += factor * rise;
    }
    coefficients
}
