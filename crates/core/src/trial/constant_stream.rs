//! One stream for a whole trial: the mean of what its pairs tell, with the band of a run's stream about it.
//! Not for: the stream of one pair (`stream`), or one that turns with the tide (`iterative`).

use super::stream::StreamVector;

/// The stream that all pairs of a trial share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConstantStream {
    /// Pairs that tell it.
    pub pairs: usize,
    /// Mean of their streams.
    pub mean: StreamVector,
    /// Half of the band within which a part of the stream of any one run lies about the mean's, in four
    /// cases of five \[m/s\].
    pub band_m_s: f64,
}

impl ConstantStream {
    /// True when one run's stream may be none, or run the other way: the pairs share no stream that has a
    /// direction.
    #[must_use]
    pub fn is_lost_in_band(&self) -> bool {
        self.band_m_s >= self.mean.speed_m_s
    }

    /// Half of the band about the direction \[rad\]; `None` where the band hides it.
    #[must_use]
    pub fn towards_band_rad(&self) -> Option<f64> {
        (!self.is_lost_in_band()).then(|| (self.band_m_s / self.mean.speed_m_s).asin())
    }
}

/// The stream that `pairs` share, taken as constant but for chance: their vectors' mean, and about it the
/// band of a further run's stream, east and north alike,
///
/// `t sqrt(s² - r/2 + s²/n)`, where `s` is the standard deviation of both parts together, with `2 (n - 1)` degrees
/// of freedom, `t` Student's for four cases of five, and `r` the variance that the readings of speed alone give a
/// pair's stream along its course: it parts the pairs' streams, but no water runs by it, and it must not stand in the
/// band twice, as scatter and in the mean. What courses are off by is not known and stays in.
/// # Source
/// \[nist_handbook\]: the prediction interval of one new observation, table of Student's t. Mean over double
/// runs as in \[iso15016\].
/// # Valid for
/// Two pairs and more within an hour or two: a stream that turns meanwhile widens the band, and is not found.
/// # Accuracy
/// Held against 200 simulated trials in `tests/streams.rs`.
/// # Errors
/// `None` with fewer than two pairs.
/// # Example
/// By hand: two pairs with 0.4 and 0.6 m/s to the north: mean 0.5, s = sqrt((0.1² + 0.1²) / 2) = 0.1 with two
/// degrees of freedom, half a band of 1.886 x 0.1 x sqrt(1.5) = 0.231 m/s.
/// ```
/// # use wakewright_core::trial::{StreamVector, constant_stream};
/// let north = |speed_m_s| StreamVector { speed_m_s, towards_rad: 0.0 };
/// let found = constant_stream(&[north(0.4), north(0.6)], 0.0).unwrap();
/// assert!((found.mean.speed_m_s - 0.5).abs() < 1e-12 && (found.band_m_s - 0.231).abs() < 0.0005);
/// ```
#[must_use]
pub fn constant_stream(pairs: &[StreamVector], reading_variance: f64) -> Option<ConstantStream> {
    if pairs.len() < 2 {
        return None;
    }
    let count = pairs.len() as f64;
    let parts =
        || pairs.iter().map(|s| (s.speed_m_s * s.towards_rad.sin(), s.speed_m_s * s.towards_rad.cos()));
    let (east, north) = parts().fold((0.0, 0.0), |sum, s| (sum.0 + s.0 / count, sum.1 + s.1 / count));
    let squares: f64 = parts().map(|s| (s.0 - east).powi(2) + (s.1 - north).powi(2)).sum();
    let freedom = 2 * (pairs.len() - 1);
    let variance = squares / freedom as f64;
    let of_water = (variance - 0.5 * reading_variance).max(0.0);
    Some(ConstantStream {
        pairs: pairs.len(),
        mean: StreamVector {
            speed_m_s: east.hypot(north),
            towards_rad: east.atan2(north).rem_euclid(std::f64::consts::TAU),
        },
        band_m_s: students_t_four_of_five(freedom) * (of_water + variance / count).sqrt(),
    })
}

/// Student's t that leaves a tenth on either side, for 1 to 30 degrees of freedom. Source: \[nist_handbook\],
/// table of critical values, column 0.90.
const TENTH_ON_EITHER_SIDE: [f64; 30] = [
    3.078, 1.886, 1.638, 1.533, 1.476, 1.440, 1.415, 1.397, 1.383, 1.372, 1.363, 1.356, 1.350, 1.345, 1.341,
    1.337, 1.333, 1.330, 1.328, 1.325, 1.323, 1.321, 1.319, 1.318, 1.316, 1.315, 1.314, 1.313, 1.311, 1.310,
];
/// The same without end of freedom: the normal distribution's.
pub(super) const NORMAL_FOUR_OF_FIVE: f64 = 1.2816;

/// Student's t for a band that holds four cases of five; beyond the table it nears the normal one's with
/// one over the degrees of freedom. With none there is no band.
pub(super) fn students_t_four_of_five(freedom: usize) -> f64 {
    match freedom {
        0 => f64::INFINITY,
        1..=30 => TENTH_ON_EITHER_SIDE[freedom - 1],
        more => NORMAL_FOUR_OF_FIVE + (TENTH_ON_EITHER_SIDE[29] - NORMAL_FOUR_OF_FIVE) * 30.0 / more as f64,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Beyond its rows of 30 the table has 1.303, 1.296 and 1.290 at 40, 60 and 100.
    #[test]
    fn students_t_goes_on_as_printed() {
        for (freedom, printed) in [(40, 1.303), (60, 1.296), (100, 1.290)] {
            assert!((students_t_four_of_five(freedom) - printed).abs() < 0.000_51, "{freedom}");
        }
    }

    #[test]
    fn pairs_that_contradict_have_no_direction() {
        let one = StreamVector { speed_m_s: 0.5, towards_rad: 0.0 };
        let other = StreamVector { speed_m_s: 0.3, towards_rad: std::f64::consts::PI };
        let found = constant_stream(&[one, other], 0.0).unwrap();
        assert!(found.is_lost_in_band() && found.towards_band_rad().is_none());
        assert!(constant_stream(&[one], 0.0).is_none());
    }
}
