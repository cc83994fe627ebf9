//! Correction of the B-series for Reynolds numbers above that of the model tests.
//! Not for: blade roughness and growth (`prepared`).

use super::series::Powers;
use super::series_terms::Term;

/// Reynolds number at 0.75R for which the series is given; lower end of the correction.
pub const REYNOLDS_BASE: f64 = 2e6;
/// `log10(Rn) - 0.301` at the base, literally as published.
const LOG_BASE: f64 = 6.301_029_995_663_981 - 0.301;
const LOG_TOP: f64 = 9.301_029_995_663_981 - 0.301;

/// One published term with the power of `log10(Rn) - 0.301` in front.
type ReynoldsTerm = (u8, Term);

const fn term(coefficient: f64, log: u8, advance: u8, pitch: u8, area: u8, blades: u8) -> ReynoldsTerm {
    (log, Term { coefficient, advance, pitch, area, blades })
}

/// Thrust part \[oosterveld1975\], 9 terms. In the last one the bracket stands to the first power.
#[rustfmt::skip]
const KT_TERMS: [ReynoldsTerm; 9] = [
    term(0.000353485, 0, 0, 0, 0, 0),
    term(-0.00333758, 0, 2, 0, 1, 0),
    term(-0.00478125, 0, 1, 1, 1, 0),
    term(0.000257792, 2, 2, 0, 1, 0),
    term(0.0000643192, 1, 2, 6, 0, 0),
    term(-0.0000110636, 2, 2, 6, 0, 0),
    term(-0.0000276305, 2, 2, 0, 1, 1),
    term(0.0000954, 1, 1, 1, 1, 1),
    term(0.0000032049, 1, 1, 3, 1, 2),
];

/// Torque part \[oosterveld1975\], 13 terms.
#[rustfmt::skip]
const KQ_TERMS: [ReynoldsTerm; 13] = [
    term(-0.000591412, 0, 0, 0, 0, 0),
    term(0.00696898, 0, 0, 1, 0, 0),
    term(-0.0000666654, 0, 0, 6, 0, 1),
    term(0.0160818, 0, 0, 0, 2, 0),
    term(-0.000938091, 1, 0, 1, 0, 0),
    term(-0.00059593, 1, 0, 2, 0, 0),
    term(0.0000782099, 2, 0, 2, 0, 0),
    term(0.0000052199, 1, 2, 0, 1, 1),
    term(-0.00000088528, 2, 1, 1, 1, 1),
    term(0.0000230171, 1, 0, 6, 0, 1),
    term(-0.00000184341, 2, 0, 6, 0, 1),
    term(-0.00400252, 1, 0, 0, 2, 0),
    term(0.000220915, 2, 0, 0, 2, 0),
];

/// The correction of one propeller: for each power of J (0..2) a quadratic in `log10(Rn) - 0.301`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReynoldsCorrection {
    kt: [[f64; 3]; 3],
    kq: [[f64; 3]; 3],
}

impl ReynoldsCorrection {
    /// The published terms collapsed for one geometry.
    ///
    /// `K(Rn) = K(2e6) + dK(Rn) - dK(2e6)`.
    /// # Source
    /// \[oosterveld1975\]. Deviation: the published dK is about 1e-5 (dKT up to 1.7e-4) and not nil at
    /// Rn = 2e6; its value there is subtracted, so that the curve has no step where the correction starts.
    /// # Valid for
    /// Rn(0.75R) 2e6 to 2e9. Below: no correction here (see `prepared`; small propellers lie at 4e5 to 2e6). Above: the value
    /// at 2e9.
    /// # Example
    /// By its meaning: nothing at the Reynolds number of the series, 2e6.
    /// ```
    /// # use wakewright_core::propeller::reynolds::ReynoldsCorrection;
    /// let (kt, kq) = ReynoldsCorrection::new(4, 0.5, 0.8).at_squared(4e12);
    /// assert!(kt.iter().chain(&kq).all(|change| change.abs() < 1e-12));
    /// ```
    #[must_use]
    pub fn new(blades: u8, area_ratio: f64, pitch_ratio: f64) -> Self {
        let powers = Powers::new(blades, area_ratio, pitch_ratio);
        Self { kt: collapse(&powers, &KT_TERMS), kq: collapse(&powers, &KQ_TERMS) }
    }

    /// What to add to the coefficients of J^0, J^1, J^2 of KT and KQ at the square of the Reynolds
    /// number at 0.75R (the square spares a root).
    #[must_use]
    pub fn at_squared(&self, reynolds_squared: f64) -> ([f64; 3], [f64; 3]) {
        let rise = Rise::at_squared(reynolds_squared);
        (self.kt_at(rise), self.kq_at(rise))
    }

    /// What to add to the coefficients of J^0, J^1, J^2 of KT.
    #[inline]
    pub(super) fn kt_at(&self, rise: Rise) -> [f64; 3] {
        self.kt.each_ref().map(|c| rise.of(c))
    }

    /// Derivative of [`Self::kt_at`] by the natural logarithm of the Reynolds number, below the top.
    #[inline]
    pub(super) fn kt_slope_at(&self, rise: Rise) -> [f64; 3] {
        self.kt.each_ref().map(|c| rise.slope_of(c))
    }

    /// What to add to the coefficients of J^0, J^1, J^2 of KQ.
    #[inline]
    pub(super) fn kq_at(&self, rise: Rise) -> [f64; 3] {
        self.kq.each_ref().map(|c| rise.of(c))
    }

    /// The correction as published, without the subtraction at the base: (dKT, dKQ) at `reynolds`.
    #[must_use]
    pub fn as_published(&self, reynolds: f64, j: f64) -> (f64, f64) {
        let log = reynolds.log10() - 0.301;
        let value = |c: &[[f64; 3]; 3]| {
            let [a, b, d] = c.each_ref().map(|k| k[0] + log * (k[1] + log * k[2]));
            a + j * (b + j * d)
        };
        (value(&self.kt), value(&self.kq))
    }
}

/// `log10(Rn) - 0.301` and its square, less their values at the base.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rise {
    first: f64,
    second: f64,
}

impl Rise {
    #[inline]
    pub(super) fn at_squared(reynolds_squared: f64) -> Self {
        if reynolds_squared <= REYNOLDS_BASE * REYNOLDS_BASE {
            return Self { first: 0.0, second: 0.0 };
        }
        // The natural logarithm is the quicker one.
        let log = (0.5 * std::f64::consts::LOG10_E * reynolds_squared.ln() - 0.301).min(LOG_TOP);
        Self { first: log - LOG_BASE, second: log * log - LOG_BASE * LOG_BASE }
    }

    #[inline]
    fn of(self, coefficients: &[f64; 3]) -> f64 {
        coefficients[1] * self.first + coefficients[2] * self.second
    }

    /// Derivative of [`Self::of`] by the natural logarithm of the Reynolds number.
    #[inline]
    fn slope_of(self, coefficients: &[f64; 3]) -> f64 {
        std::f64::consts::LOG10_E * (coefficients[1] + 2.0 * coefficients[2] * (self.first + LOG_BASE))
    }
}

fn collapse(powers: &Powers, terms: &[ReynoldsTerm]) -> [[f64; 3]; 3] {
    let mut by_advance = [[0.0; 3]; 3];
    for (log, term) in terms {
        by_advance[usize::from(term.advance)][usize::from(*log)] += powers.apply(term);
    }
    by_advance
}
