//! How sure an input is, and how it is sampled.
//!
//! A sample is a pure function of (seed, what is sampled, which sample), so results are the same
//! for any order and any number of threads, and two alternatives that share an input share its
//! samples. Not for: which input has which spread (that is the document's business).

/// Median with an 80 % band that need not be symmetric: one time in ten the truth lies below
/// `p10`, one time in ten above `p90`. Between and beyond it is a two-piece normal, or a
/// two-piece log-normal when `is_logarithmic`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Tenth percentile.
    pub p10: f64,
    /// Median.
    pub median: f64,
    /// Ninetieth percentile.
    pub p90: f64,
    /// Sampled on a logarithmic scale (for factors and strictly positive quantities).
    pub is_logarithmic: bool,
}

/// Standard normal deviate of the ninetieth percentile.
pub const DEVIATE_P90: f64 = 1.281_551_565_544_600_4;

impl Spread {
    /// No spread: every sample gives `value`.
    #[must_use]
    pub fn exact(value: f64) -> Self {
        Self { p10: value, median: value, p90: value, is_logarithmic: false }
    }

    /// Symmetric 80 % band of `half_width` either side, in the unit of `value`.
    #[must_use]
    pub fn absolute(value: f64, half_width: f64) -> Self {
        Self { p10: value - half_width, median: value, p90: value + half_width, is_logarithmic: false }
    }

    /// 80 % band from `value / (1 + fraction)` to `value * (1 + fraction)`, sampled logarithmically.
    #[must_use]
    pub fn relative(value: f64, fraction: f64) -> Self {
        Self {
            p10: value / (1.0 + fraction),
            median: value,
            p90: value * (1.0 + fraction),
            is_logarithmic: true,
        }
    }

    /// 80 % band of a positive factor given by its three quantiles.
    #[must_use]
    pub fn factor(p10: f64, median: f64, p90: f64) -> Self {
        Self { p10, median, p90, is_logarithmic: true }
    }

    /// True when every sample gives the same value.
    #[must_use]
    pub fn is_exact(&self) -> bool {
        self.p10 == self.median && self.p90 == self.median
    }

    /// The deviate of the mean on the scale on which it is sampled. The value there is that with which an input enters the
    /// one boat whose balance is shown: medians of inputs that reach further up than down add up to less than the middle of
    /// what comes out, means add up to its mean. Of two half normals the mean lies off the median by the difference of their
    /// deviations over the root of two pi.
    #[must_use]
    pub fn expected_deviate(&self) -> f64 {
        let is_logarithmic = self.is_logarithmic && self.median > 0.0 && self.p10 > 0.0;
        let scale = |x: f64| if is_logarithmic { x.ln() } else { x };
        let (down, up) = (scale(self.median) - scale(self.p10), scale(self.p90) - scale(self.median));
        // As wide up as down, but for rounding: no input is moved that need not be.
        if (up - down).abs() <= 1e-9 * (up + down).abs() {
            return 0.0;
        }
        (up - down) / (up.max(down) * std::f64::consts::TAU.sqrt())
    }

    /// The value at [`Self::expected_deviate`].
    #[must_use]
    pub fn expected(&self) -> f64 {
        self.at_deviate(self.expected_deviate())
    }

    /// The value at a standard normal deviate (0 gives the median, ±1.2816 the 80 % band).
    #[must_use]
    pub fn at_deviate(&self, deviate: f64) -> f64 {
        let outer = if deviate < 0.0 { self.p10 } else { self.p90 };
        let share = deviate.abs() / DEVIATE_P90;
        if self.is_logarithmic && self.median > 0.0 && outer > 0.0 {
            self.median * (outer / self.median).powf(share)
        } else {
            self.median + (outer - self.median) * share
        }
    }
}

/// A stream of standard normal deviates addressed by (what, sample) under one seed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sampler {
    seed: u64,
}

impl Sampler {
    /// A sampler under `seed`. The same seed gives the same samples for ever.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self { seed }
    }

    /// Uniform in the open interval (0, 1) for the thing named `what` in sample `sample`.
    #[must_use]
    pub fn uniform(&self, what: u64, sample: u64) -> f64 {
        let mixed = mix(mix(mix(self.seed) ^ what).wrapping_add(sample));
        // 53 bits, moved to the middle of its cell so that neither 0 nor 1 can come out.
        ((mixed >> 11) as f64 + 0.5) * (1.0 / 9_007_199_254_740_992.0)
    }

    /// Standard normal deviate for the thing named `what` in sample `sample`.
    #[must_use]
    pub fn deviate(&self, what: u64, sample: u64) -> f64 {
        normal_quantile(self.uniform(what, sample))
    }
}

/// A stable number for a name, for use as `what` (FNV-1a, 64 bit).
#[must_use]
pub const fn name_number(name: &str) -> u64 {
    let bytes = name.as_bytes();
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    let mut i = 0;
    while i < bytes.len() {
        hash = (hash ^ bytes[i] as u64).wrapping_mul(0x0000_0100_0000_01b3);
        i += 1;
    }
    hash
}

/// The finalizer of SplitMix64 (Steele, Lea & Flood 2014): a bijection that scrambles all bits.
fn mix(x: u64) -> u64 {
    let mut z = x.wrapping_add(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// Inverse of the standard normal distribution function.
///
/// Rational approximation AS 241 (PPND7), relative error about 1e-7.
/// # Source
/// \[wichura1988\] algorithm AS 241, PPND7.
fn normal_quantile(p: f64) -> f64 {
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        return q * (((59.109_374_720 * r + 159.291_132_02) * r + 50.434_271_938) * r + 3.387_132_717_9)
            / (((67.187_563_600 * r + 78.757_757_664) * r + 17.895_169_469) * r + 1.0);
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    let r = (-tail.ln()).sqrt();
    let magnitude = if r <= 5.0 {
        let r = r - 1.6;
        (((0.170_238_211_03 * r + 1.306_728_481_6) * r + 2.756_815_390_0) * r + 1.423_437_277_7)
            / ((0.120_211_327_05 * r + 0.737_001_642_50) * r + 1.0)
    } else {
        let r = r - 5.0;
        (((0.017_337_203_997 * r + 0.428_682_948_37) * r + 3.081_226_386_0) * r + 6.657_905_115_0)
            / ((0.012_258_202_635 * r + 0.241_978_942_25) * r + 1.0)
    };
    if q < 0.0 { -magnitude } else { magnitude }
}

/// Share `hits / of` with the band in which it would lie in the long run, `deviate` standard deviations to either side
/// (1.28 for 80 %): `(p + z²/2n ± z sqrt(p (1 - p)/n + z²/4n²)) / (1 + z²/n)`. Of none it may be anything.
///
/// # Source
/// Score interval of Wilson (1927); the example is one of the worked ones of Newcombe (1998), both from memory.
/// # Valid for
/// Cases that are independent.
/// # Example
/// Of 263 cases 81: 0.2553 to 0.3662 (95 %).
/// ```
/// # use wakewright_core::spread::share_interval;
/// let band = share_interval(81, 263, 1.959_964);
/// assert!((band.p10 - 0.2553).abs() < 5e-5 && (band.p90 - 0.3662).abs() < 5e-5);
/// assert!((share_interval(0, 20, 1.959_964).p90 - 0.1611).abs() < 5e-5);
/// ```
#[must_use]
pub fn share_interval(hits: usize, of: usize, deviate: f64) -> Interval {
    if of == 0 {
        return Interval { value: 0.5, p10: 0.0, p90: 1.0 };
    }
    let (n, z2) = (of as f64, deviate * deviate);
    let p = hits as f64 / n;
    let middle = (p + 0.5 * z2 / n) / (1.0 + z2 / n);
    let half = deviate * (p * (1.0 - p) / n + 0.25 * z2 / (n * n)).sqrt() / (1.0 + z2 / n);
    Interval { value: p, p10: (middle - half).max(0.0), p90: (middle + half).min(1.0) }
}

/// The 80 % band and median of `values` (linear interpolation between order statistics).
/// `None` for an empty slice. The slice is reordered; NaN is not allowed.
#[must_use]
pub fn quantiles(values: &mut [f64]) -> Option<Spread> {
    if values.is_empty() {
        return None;
    }
    Some(Spread {
        p10: quantile(values, 0.1),
        median: quantile(values, 0.5),
        p90: quantile(values, 0.9),
        is_logarithmic: false,
    })
}

/// Quantile `q` (0..1) of a slice that is not empty, which is reordered: selection, because sorting for two or three
/// quantiles took a tenth of a study.
fn quantile(values: &mut [f64], q: f64) -> f64 {
    let position = q * (values.len() - 1) as f64;
    let below = position.floor() as usize;
    let (_, at, after) = values.select_nth_unstable_by(below, f64::total_cmp);
    let next = after.iter().copied().min_by(f64::total_cmp).unwrap_or(*at);
    *at + (next - *at) * (position - below as f64)
}

/// Quantile `q` (0..1) of an ascending, non-empty slice.
#[must_use]
pub fn quantile_of_sorted(sorted: &[f64], q: f64) -> f64 {
    let position = q * (sorted.len() - 1) as f64;
    let below = position.floor() as usize;
    let above = (below + 1).min(sorted.len() - 1);
    sorted[below] + (sorted[above] - sorted[below]) * (position - below as f64)
}

/// The middle of a figure's samples, with its 80 % band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// As often lower as higher.
    pub value: f64,
    /// One time in ten lower.
    pub p10: f64,
    /// One time in ten higher.
    pub p90: f64,
}

impl Interval {
    /// A value without band.
    #[must_use]
    pub fn exact(value: f64) -> Self {
        Self { value, p10: value, p90: value }
    }

    /// Value and band times `factor`.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        Self { value: self.value * factor, p10: self.p10 * factor, p90: self.p90 * factor }
    }

    /// Median and band of `values`; what is not finite is left out. `None` where nothing is left.
    pub(crate) fn over(values: &mut Vec<f64>) -> Option<Self> {
        values.retain(|v| v.is_finite());
        quantiles(values).map(|Spread { p10, median, p90, .. }| Self { value: median, p10, p90 })
    }

    /// As [`Self::over`], of a figure that is told only where at least half of `asked` samples have it.
    pub(crate) fn of_most(values: &mut Vec<f64>, asked: usize) -> Option<Self> {
        Self::over(values).filter(|_| 2 * values.len() >= asked)
    }

    /// As [`Self::over`], `central` standing alone where there is no sample.
    pub(crate) fn over_or(central: f64, values: &mut Vec<f64>) -> Self {
        Self::over(values).unwrap_or_else(|| Self::exact(central))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Normal quantiles to seven digits: NIST/SEMATECH e-Handbook, table of the normal distribution.
    #[test]
    fn quantile_matches_table() {
        for (p, z) in [(0.5, 0.0), (0.9, 1.281_551_6), (0.975, 1.959_964_0), (0.001, -3.090_232_3)] {
            assert!((normal_quantile(p) - z).abs() < 2e-6, "{p}: {}", normal_quantile(p));
        }
    }

    /// By hand: two half normals of deviations 1 and 3 have their mean (3 - 1) / sqrt(2 pi) = 0.7979 above the median, with
    /// the mean of a half normal sigma sqrt(2 / pi) (from memory).
    #[test]
    fn a_lopsided_spread_is_expected_on_its_longer_side() {
        let spread = Spread {
            p10: 10.0 - DEVIATE_P90,
            median: 10.0,
            p90: 10.0 + 3.0 * DEVIATE_P90,
            is_logarithmic: false,
        };
        assert!((spread.expected() - 10.797_884_56).abs() < 1e-8, "{}", spread.expected());
        let mirrored = Spread { p10: 10.0 - 3.0 * DEVIATE_P90, p90: 10.0 + DEVIATE_P90, ..spread };
        assert!((mirrored.expected() - 9.202_115_44).abs() < 1e-8, "{}", mirrored.expected());
        for even in [Spread::relative(5.0, 0.3), Spread::absolute(5.0, 0.3), Spread::exact(5.0)] {
            assert_eq!(even.expected(), 5.0, "{even:?}");
        }
    }

    #[test]
    fn draws_have_the_stated_band() {
        let spread = Spread::factor(0.95, 1.15, 1.45);
        let sampler = Sampler::new(7);
        let mut values: Vec<f64> = (0..20_000).map(|i| spread.at_deviate(sampler.deviate(3, i))).collect();
        let found = quantiles(&mut values).unwrap();
        assert!((found.p10 - 0.95).abs() < 0.01 && (found.median - 1.15).abs() < 0.01);
        assert!((found.p90 - 1.45).abs() < 0.02, "{found:?}");
    }
}
