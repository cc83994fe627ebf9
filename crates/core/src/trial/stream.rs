//! The stream taken out of runs at one setting: double runs and the mean of means.
//! Not for: runs at several settings with a stream that changes (`iterative`).

/// Speed through the water and stream of a double run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StreamEstimate {
    /// Speed through the water \[m/s\].
    pub speed_through_water_m_s: f64,
    /// Stream along the first course, positive with the boat on that course \[m/s\].
    pub stream_along_m_s: f64,
}

/// Speed through the water from two runs on opposite courses: the mean of both speeds over ground;
/// half the difference is the stream along the first course.
///
/// # Source
/// \[iso15016\], from memory; the first case of the mean of means.
/// # Valid for
/// A stream that is the same in both runs, along the track. One that changes evenly by `d` between
/// the runs leaves an error of `d/2` in the speed; a stream across the track makes the speed over
/// ground too great by `cross^2/(2 V)`.
/// # Accuracy
/// The speeds' own, and the change of the stream above.
/// # Example
/// ```
/// # use wakewright_core::trial::double_run;
/// // By hand: 3.4 and 2.6 m/s over ground are 3.0 through the water, with 0.4 of stream.
/// let found = double_run(3.4, 2.6);
/// assert!((found.speed_through_water_m_s - 3.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn double_run(first_over_ground_m_s: f64, second_over_ground_m_s: f64) -> StreamEstimate {
    StreamEstimate {
        speed_through_water_m_s: 0.5 * (first_over_ground_m_s + second_over_ground_m_s),
        stream_along_m_s: 0.5 * (first_over_ground_m_s - second_over_ground_m_s),
    }
}

/// Mean of means of speeds over ground on alternating courses at one setting \[m/s\].
///
/// Weights are the binomial coefficients of `n - 1` over `2^(n-1)`: (1,1)/2, (1,2,1)/4,
/// (1,3,3,1)/8. `None` with fewer than two runs.
/// # Source
/// \[iso15016\] and \[ittc7504\], from memory.
/// # Valid for
/// Runs at equal steps of time, courses in turn with and against. `n` runs cancel a stream that is
/// a polynomial of degree `n - 2` in time.
/// # Accuracy
/// Exact for such a stream. Scatter of one run enters with sqrt(sum of squared weights): 0.71, 0.61
/// and 0.56 of it for 2, 3 and 4 runs.
/// # Example
/// 6.000 through the water, a stream of 0.6 + 0.25 t - 0.08 t²: the quadratic is taken out whole.
/// ```
/// # use wakewright_core::trial::mean_of_means;
/// let speed = mean_of_means(&[6.600, 5.295, 6.770, 5.205]).unwrap();
/// assert!((speed - 6.0).abs() < 0.000_051);
/// ```
#[must_use]
pub fn mean_of_means(speeds_over_ground_m_s: &[f64]) -> Option<f64> {
    if speeds_over_ground_m_s.len() < 2 {
        return None;
    }
    let mut means = speeds_over_ground_m_s.to_vec();
    while means.len() > 1 {
        means = means.windows(2).map(|pair| 0.5 * (pair[0] + pair[1])).collect();
    }
    means.first().copied()
}
