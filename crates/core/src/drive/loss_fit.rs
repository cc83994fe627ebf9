//! The five-term loss of a drive (motor with controller), its evaluation and its least-squares
//! fit to a measured map. Not for: estimating a motor from its plate (`plate`).

use super::DriveError;
use crate::notice::{Noted, Notice, Severity};
use nalgebra::{SMatrix, SVector};

/// Terms of the loss.
const TERMS: usize = 5;

/// `loss = a + b omega + c omega² + k T² + d |T|`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LossTerms {
    /// a: standing loss \[W\].
    pub constant_w: f64,
    /// b: hysteresis, bearings \[N·m\].
    pub per_omega_n_m: f64,
    /// c: eddy currents, windage \[N·m·s\].
    pub per_omega_squared_n_m_s: f64,
    /// k: copper \[W/(N·m)²\].
    pub per_torque_squared_w_n_m2: f64,
    /// d: switching and junction losses of the controller \[W/(N·m)\].
    pub per_torque_w_n_m: f64,
}

/// A measured point of a map.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LossPoint {
    /// Speed \[rad/s\], above 0.
    pub omega_rad_s: f64,
    /// Torque \[N·m\], above 0.
    pub torque_n_m: f64,
    /// Efficiency of what is fitted, motor or motor with controller, 0 to 1.
    pub efficiency: f64,
}

impl LossPoint {
    /// Shaft power \[W\].
    fn power_w(&self) -> f64 {
        self.omega_rad_s * self.torque_n_m
    }
}

/// A fit and how well it follows its points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LossFit {
    /// The terms.
    pub terms: LossTerms,
    /// Root mean square of the error in efficiency (0.01 is one point).
    pub rms_efficiency: f64,
    /// Largest error in efficiency.
    pub worst_efficiency: f64,
    /// Number of points.
    pub points: usize,
}

impl LossTerms {
    /// Loss at a speed and torque \[W\].
    /// # Example
    /// Terms of an independent fit to \[mauracher1996\], summed by hand.
    /// ```
    /// # use wakewright_core::drive::LossTerms;
    /// let terms = LossTerms {
    ///     constant_w: 206.8,
    ///     per_omega_n_m: 0.6949,
    ///     per_omega_squared_n_m_s: 0.001_361,
    ///     per_torque_squared_w_n_m2: 0.5716,
    ///     per_torque_w_n_m: 11.03,
    /// };
    /// assert!((terms.loss_w(100.0, 10.0) - (206.8 + 69.49 + 13.61 + 57.16 + 110.3)).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn loss_w(&self, omega_rad_s: f64, torque_n_m: f64) -> f64 {
        let (omega, torque) = (omega_rad_s.abs(), torque_n_m.abs());
        self.constant_w
            + omega * (self.per_omega_n_m + omega * self.per_omega_squared_n_m_s)
            + torque * (self.per_torque_w_n_m + torque * self.per_torque_squared_w_n_m2)
    }

    /// Efficiency when driving.
    #[must_use]
    pub fn efficiency(&self, omega_rad_s: f64, torque_n_m: f64) -> f64 {
        let power = omega_rad_s * torque_n_m;
        power / (power + self.loss_w(omega_rad_s, torque_n_m))
    }

    fn as_array(&self) -> [f64; TERMS] {
        [
            self.constant_w,
            self.per_omega_n_m,
            self.per_omega_squared_n_m_s,
            self.per_torque_squared_w_n_m2,
            self.per_torque_w_n_m,
        ]
    }

    fn from_array([a, b, c, k, d]: [f64; TERMS]) -> Self {
        Self {
            constant_w: a,
            per_omega_n_m: b,
            per_omega_squared_n_m_s: c,
            per_torque_squared_w_n_m2: k,
            per_torque_w_n_m: d,
        }
    }
}

/// Least-squares fit of the five terms to a measured map, in efficiency.
///
/// An error of the loss weighs `eta² / P`, which is its effect on the efficiency to first order;
/// without that weight the heavily loaded points decide everything.
/// # Source
/// Form: textbook separation of losses, from memory. Checked against two institute-tested maps
/// \[mauracher1996\], \[vdi1999\]: 0.80 and 1.8 points RMS.
/// # Valid for
/// Points of one machine at one bus voltage, inside its continuous torque.
/// # Errors
/// [`DriveError::NotDetermined`] for fewer than five independent points; `Impossible` for a point that is no measurement.
/// # Example
/// By hand: efficiencies of a machine that loses 50 W and 0.5 W for each rad/s give these two terms back.
/// ```
/// # use wakewright_core::drive::{LossPoint, fit_loss_terms};
/// let point = |omega_rad_s: f64, torque_n_m: f64| {
///     let power_w = omega_rad_s * torque_n_m;
///     let efficiency = power_w / (power_w + 50.0 + 0.5 * omega_rad_s);
///     LossPoint { omega_rad_s, torque_n_m, efficiency }
/// };
/// let points: Vec<_> = (1..=9).map(|i| point(f64::from(50 * (i % 3 + 1)), f64::from(4 * i))).collect();
/// let terms = fit_loss_terms(&points).unwrap().value.terms;
/// assert!((terms.constant_w - 50.0).abs() < 1e-4 && (terms.per_omega_n_m - 0.5).abs() < 1e-6);
/// ```
pub fn fit_loss_terms(points: &[LossPoint]) -> Result<Noted<LossFit>, DriveError> {
    let undetermined = DriveError::NotDetermined { points: points.len(), unknowns: TERMS };
    if points.len() < TERMS {
        return Err(undetermined);
    }
    for point in points {
        super::positive("motor speed", point.omega_rad_s)?;
        super::positive("motor torque", point.torque_n_m)?;
        super::positive("efficiency", point.efficiency)?;
        super::positive("loss beside an efficiency", 1.0 - point.efficiency)?;
    }
    let omega_scale = points.iter().map(|p| p.omega_rad_s).fold(0.0, f64::max);
    let torque_scale = points.iter().map(|p| p.torque_n_m).fold(0.0, f64::max);
    let mut normal = SMatrix::<f64, TERMS, TERMS>::zeros();
    let mut right = SVector::<f64, TERMS>::zeros();
    for point in points {
        let weight = point.efficiency * point.efficiency / point.power_w();
        let (u, v) = (point.omega_rad_s / omega_scale, point.torque_n_m / torque_scale);
        let row = [1.0, u, u * u, v * v, v].map(|term| weight * term);
        let loss = point.power_w() * (1.0 / point.efficiency - 1.0);
        for i in 0..TERMS {
            right[i] += row[i] * weight * loss;
            for j in 0..TERMS {
                normal[(i, j)] += row[i] * row[j];
            }
        }
    }
    let scaled = solve_positive_definite(normal, &right).ok_or(undetermined)?;
    let scales = [1.0, omega_scale, omega_scale * omega_scale, torque_scale * torque_scale, torque_scale];
    let terms = LossTerms::from_array(std::array::from_fn(|i| scaled[i] / scales[i]));
    Ok(judge(terms, points))
}

/// How well terms follow points, with a remark when they can't be physical.
fn judge(terms: LossTerms, points: &[LossPoint]) -> Noted<LossFit> {
    let errors = points.iter().map(|p| terms.efficiency(p.omega_rad_s, p.torque_n_m) - p.efficiency);
    let (sum, worst) =
        errors.fold((0.0, 0.0_f64), |(sum, worst), error| (sum + error * error, worst.max(error.abs())));
    let fit = LossFit {
        terms,
        rms_efficiency: (sum / points.len() as f64).sqrt(),
        worst_efficiency: worst,
        points: points.len(),
    };
    let mut noted = Noted::plain(fit);
    if terms.as_array().iter().any(|&term| term < 0.0) {
        noted.notices.push(Notice::Remark {
            severity: Severity::Weak,
            text: "A loss term came out negative: the map is not physical somewhere, or covers too few speeds. \
                   Do not use the fit outside the measured points.",
            source: "common practice, no source",
        });
    }
    noted
}

/// Solves `A x = b` for a symmetric positive definite `A`; `None` when it is not (numerically) positive
/// definite.
fn solve_positive_definite(
    a: SMatrix<f64, TERMS, TERMS>,
    b: &SVector<f64, TERMS>,
) -> Option<SVector<f64, TERMS>> {
    let largest = a.diagonal().max();
    let triangle = a.cholesky()?;
    let least = triangle.l_dirty().diagonal().min();
    (least * least > 1e-13 * largest).then(|| triangle.solve(b))
}
