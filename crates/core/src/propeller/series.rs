//! Open-water thrust and torque of the systematic series, first quadrant only.
//! Not for: propellers that are dragged, braked or turned astern (`four_quadrant`).

use super::PropellerError;
use super::positive;
use super::series_terms::{BSERIES_KQ, BSERIES_KT, GAWN_KQ, GAWN_KT, Term};
use crate::notice::{Noted, Notice, Severity, check_range, push_once};
use crate::numeric::solve_bracketed;
use crate::spread::Spread;

/// Which family of blades the propeller belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Pattern {
    /// Aerofoil sections of the Wageningen B-series: most fixed propellers with moderate blades.
    BSeries,
    /// Wide, flat-faced blades of equal width: heavy three-bladed motor-boat patterns.
    GawnWide,
    /// Blades that fold back; ahead like the B-series with more torque.
    Folding,
    /// Blades that feather; ahead like the B-series with more torque.
    Feathering,
}

impl Pattern {
    /// Torque against a fixed propeller of the same diameter, pitch and area, at equal thrust.
    ///
    /// Fixed patterns: 1, band ±5 % for workmanship. Good folding or feathering propellers lose 0 to 5
    /// points of efficiency ahead, old two-bladed folders 10 to 15: of about 60 points that is a factor
    /// 1.00 to 1.09, median 1.05, and up to 1.25 for the old ones.
    /// # Source
    /// From memory; no measured set could be read. The band of the fixed patterns is common practice,
    /// no source.
    /// # Example
    /// By hand: a fixed propeller's own workmanship, 1 ± 5 %.
    /// ```
    /// # use wakewright_core::propeller::Pattern;
    /// let factor = Pattern::BSeries.torque_factor();
    /// assert!((factor.median - 1.0).abs() < 1e-12 && (factor.p90 - 1.05).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn torque_factor(self) -> Spread {
        match self {
            Self::BSeries | Self::GawnWide => Spread::relative(1.0, 0.05),
            Self::Folding => Spread::factor(1.0, 1.06, 1.20),
            Self::Feathering => Spread::factor(1.0, 1.05, 1.12),
        }
    }

    /// True when the blades fold or feather under sail.
    #[must_use]
    pub fn is_stowed_under_sail(self) -> bool {
        matches!(self, Self::Folding | Self::Feathering)
    }
}

/// Thrust and torque coefficients of one propeller as cubics in the advance ratio J = VA / (n D).
///
/// For a fixed geometry every term of the series is a power of J no higher than the third, so 86 terms
/// collapse to eight numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpenWater {
    /// KT = sum `kt_coefficients[i]` J^i.
    pub kt_coefficients: [f64; 4],
    /// KQ = sum `kq_coefficients[i]` J^i.
    pub kq_coefficients: [f64; 4],
}

/// What to read before a two-bladed result is used.
pub const TWO_BLADED: Notice = Notice::Remark {
    severity: Severity::Weak,
    text: "Two-bladed models were tested at area ratio 0.30 only, and their polynomials flatter the efficiency the more the \
           higher the pitch; expect less.",
    source: "helma2020",
};

impl OpenWater {
    /// The series evaluated for one geometry.
    ///
    /// `K = sum C J^s (P/D)^t (AE/A0)^u Z^v` at Rn(0.75R) = 2e6.
    /// # Source
    /// \[oosterveld1975\] 39 + 47 terms; \[blount1981\] for [`Pattern::GawnWide`], same exponents. Checked
    /// against \[kuiper1992\] pp. 111 and 128 (six to nine digits).
    /// # Valid for
    /// B-series: Z 2 to 7, AE/A0 0.30 to 1.05, P/D 0.5 to 1.4; two-bladed models were tested at AE/A0
    /// 0.30 only. Gawn: Z 3, AE/A0 up to 1.1, P/D 0.8 to 1.4. J from 0 to zero thrust. Outside: computed,
    /// with a notice.
    /// # Accuracy
    /// Open-water tests of models scatter by 1 to 2 % (from memory); two-bladed ones are optimistic.
    /// # Errors
    /// [`PropellerError`] for non-positive input, a blade count outside 2 to 7, or when the polynomial
    /// gives no thrust or torque at rest or no zero of thrust.
    /// # Example
    /// Six blades, area ratio 0.65, P/D 1.4 at rest \[kuiper1992\]: KT 0.603363.
    /// ```
    /// # use wakewright_core::propeller::{OpenWater, Pattern};
    /// let curve = OpenWater::new(Pattern::BSeries, 6, 0.65, 1.4).unwrap().value;
    /// assert!((curve.kt(0.0) - 0.603_363).abs() < 1e-6);
    /// ```
    pub fn new(
        pattern: Pattern,
        blades: u8,
        area_ratio: f64,
        pitch_ratio: f64,
    ) -> Result<Noted<Self>, PropellerError> {
        positive("expanded area ratio", area_ratio)?;
        positive("pitch ratio", pitch_ratio)?;
        if !(2..=7).contains(&blades) {
            return Err(PropellerError::BladeCount { blades });
        }
        let curve = Self::collapse(pattern, blades, area_ratio, pitch_ratio);
        if !(curve.kt(0.0) > 0.0 && curve.kq(0.0) > 0.0) || curve.first_zero_of_thrust(pitch_ratio).is_none()
        {
            return Err(PropellerError::NoOpenWater { blades, area_ratio, pitch_ratio });
        }
        Ok(Noted { value: curve, notices: limits(pattern, blades, area_ratio, pitch_ratio) })
    }

    fn collapse(pattern: Pattern, blades: u8, area_ratio: f64, pitch_ratio: f64) -> Self {
        let (kt_terms, kq_terms) = match pattern {
            Pattern::GawnWide => (&GAWN_KT, &GAWN_KQ),
            Pattern::BSeries | Pattern::Folding | Pattern::Feathering => (&BSERIES_KT, &BSERIES_KQ),
        };
        let powers = Powers::new(blades, area_ratio, pitch_ratio);
        Self { kt_coefficients: powers.collapse(kt_terms), kq_coefficients: powers.collapse(kq_terms) }
    }

    /// Thrust coefficient at advance ratio `j`.
    /// # Example
    /// Six blades, area ratio 0.65, P/D 1.4 at J 0.1 \[kuiper1992\]: KT 0.588950654.
    /// ```
    /// # use wakewright_core::propeller::{OpenWater, Pattern};
    /// let curve = OpenWater::new(Pattern::BSeries, 6, 0.65, 1.4)?.value;
    /// assert!((curve.kt(0.1) - 0.588_951).abs() < 1e-6);
    /// # Ok::<(), wakewright_core::propeller::PropellerError>(())
    /// ```
    #[inline]
    #[must_use]
    pub fn kt(&self, j: f64) -> f64 {
        cubic(&self.kt_coefficients, j)
    }

    /// Torque coefficient at advance ratio `j`.
    #[inline]
    #[must_use]
    pub fn kq(&self, j: f64) -> f64 {
        cubic(&self.kq_coefficients, j)
    }

    /// dKT/dJ at `j`.
    #[must_use]
    pub fn kt_slope(&self, j: f64) -> f64 {
        cubic_slope(&self.kt_coefficients, j)
    }

    /// Open-water efficiency `J KT / (2 pi KQ)`.
    #[must_use]
    pub fn efficiency(&self, j: f64) -> f64 {
        j * self.kt(j) / (std::f64::consts::TAU * self.kq(j))
    }

    /// Smallest advance ratio with zero thrust, looked for up to 2.5 times the pitch ratio.
    #[must_use]
    pub fn first_zero_of_thrust(&self, pitch_ratio: f64) -> Option<f64> {
        const STEPS: u32 = 25;
        let step = 0.1 * pitch_ratio;
        let upper = (1..=STEPS).map(|i| step * f64::from(i)).find(|&j| self.kt(j) <= 0.0)?;
        let lower = upper - step;
        // Newton from the middle of a bracket a tenth of the pitch wide; the safe method if it strays.
        let mut j = 0.5 * (lower + upper);
        for _ in 0..8 {
            let move_by = self.kt(j) / self.kt_slope(j);
            j -= move_by;
            if !(lower..=upper).contains(&j) {
                break;
            }
            if move_by.abs() <= 1e-15 * j.abs() + 1e-16 {
                return Some(j);
            }
        }
        if (lower..=upper).contains(&j) && self.kt(j).abs() < 1e-14 {
            return Some(j);
        }
        solve_bracketed(|x| self.kt(x), lower, upper, 1e-14).ok()
    }
}

/// Powers of the geometry that occur in the series, formed once instead of once per term.
#[derive(Debug)]
pub(super) struct Powers {
    pitch: [f64; 7],
    area: [f64; 3],
    blades: [f64; 3],
}

impl Powers {
    pub(super) fn new(blades: u8, area_ratio: f64, pitch_ratio: f64) -> Self {
        let z = f64::from(blades);
        let mut pitch = [1.0; 7];
        for i in 1..7 {
            pitch[i] = pitch[i - 1] * pitch_ratio;
        }
        Self { pitch, area: [1.0, area_ratio, area_ratio * area_ratio], blades: [1.0, z, z * z] }
    }

    /// Value of a term at J = 1.
    #[inline]
    pub(super) fn apply(&self, term: &Term) -> f64 {
        term.coefficient
            * self.pitch[usize::from(term.pitch)]
            * self.area[usize::from(term.area)]
            * self.blades[usize::from(term.blades)]
    }

    fn collapse(&self, terms: &[Term]) -> [f64; 4] {
        let mut coefficients = [0.0; 4];
        for term in terms {
            coefficients[usize::from(term.advance)] += self.apply(term);
        }
        coefficients
    }
}

#[inline]
fn cubic(c: &[f64; 4], x: f64) -> f64 {
    c[0] + x * (c[1] + x * (c[2] + x * c[3]))
}

#[inline]
fn cubic_slope(c: &[f64; 4], x: f64) -> f64 {
    c[1] + x * (2.0 * c[2] + x * 3.0 * c[3])
}

fn limits(pattern: Pattern, blades: u8, area_ratio: f64, pitch_ratio: f64) -> Vec<Notice> {
    let mut notices = Vec::new();
    let (formula, source, area, pitch) = match pattern {
        Pattern::GawnWide => ("open water, wide blades", "blount1981", (0.5, 1.1), (0.8, 1.4)),
        Pattern::BSeries | Pattern::Folding | Pattern::Feathering => {
            ("open water, B-series", "oosterveld1975", (0.30, 1.05), (0.5, 1.4))
        }
    };
    check_range(&mut notices, formula, "expanded area ratio", area_ratio, area, "", source);
    check_range(&mut notices, formula, "pitch ratio", pitch_ratio, pitch, "", source);
    if pattern == Pattern::GawnWide {
        check_range(&mut notices, formula, "number of blades", f64::from(blades), (3.0, 3.0), "", source);
    } else if blades == 2 {
        push_once(&mut notices, TWO_BLADED);
    }
    if pattern.is_stowed_under_sail() {
        push_once(
            &mut notices,
            Notice::Remark {
                severity: Severity::Note,
                text: "Folding and feathering blades are taken ahead as a fixed B-series propeller with a \
                       few per cent more torque; no measured set was at hand. Astern, folders give less.",
                source: "from memory",
            },
        );
    }
    notices
}
