//! The stream taken out of runs at one setting: double runs and the mean of means.
//! Not for: runs at several settings with a stream that changes (`iterative`).

/// Speed through the water and stream of a double run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StreamEstimate {
    /// Speed through the water \[m/s\].
    pub speed_through_water_m_s: f64,
    /// Stream along the first course, positive with the boat on that course \[m/s\].
    pub stream_along_m_s: f64,
    /// The whole stream, where courses over ground are known.
    pub stream: Option<StreamVector>,
}

/// A stream with its direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StreamVector {
    /// Speed \[m/s\].
    pub speed_m_s: f64,
    /// Direction towards which it runs \[rad\], from the north of the courses.
    pub towards_rad: f64,
}

/// Speed and course over ground of one run, with its heading where that is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroundRun {
    /// Speed over ground \[m/s\].
    pub speed_m_s: f64,
    /// Course over ground \[rad\].
    pub track_rad: f64,
    /// Heading \[rad\].
    pub heading_rad: Option<f64>,
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
        stream: None,
    }
}

/// Speed through the water and stream of a double run from vectors: `G1 - G2 = U (h1 - h2)` and
/// `S = (G1 + G2 - U (h1 + h2)) / 2`, where `G` are the velocities over ground, `h` unit vectors of
/// the headings and `U` the speed through the water.
///
/// Without headings they are taken as opposite: `U = |G1 - G2| / 2`, `S = (G1 + G2) / 2`. Headings
/// turned by one angle (magnetic ones) leave `U` as it is: only the length of `h1 - h2` counts, and its
/// direction is that of `G1 - G2`.
/// # Source
/// Own algebra of two vectors; with courses exactly opposite it is \[`double_run`\].
/// # Valid for
/// A stream that is the same in both runs, headings at least 60 degrees apart, leeway alike.
/// # Accuracy
/// The speeds' and courses' own: a course that is off by `e` moves the stream across by `U e / 2`.
/// # Errors
/// `None` where the headings lie too near each other.
/// # Example
/// By hand: 2.4 m/s north and south in a stream of 0.7 m/s to the east are 2.5 m/s over ground both ways.
/// ```
/// # use std::f64::consts::{FRAC_PI_2, PI};
/// # use wakewright_core::trial::{GroundRun, double_run_by_vectors};
/// let aside_rad = (0.7_f64 / 2.4).atan();
/// let run = |track_rad, heading_rad| GroundRun { speed_m_s: 2.5, track_rad, heading_rad: Some(heading_rad) };
/// let found = double_run_by_vectors(run(aside_rad, 0.0), run(PI - aside_rad, PI)).unwrap();
/// assert!((found.speed_through_water_m_s - 2.4).abs() < 1e-9);
/// let stream = found.stream.unwrap();
/// assert!((stream.speed_m_s - 0.7).abs() < 1e-9 && (stream.towards_rad - FRAC_PI_2).abs() < 1e-9);
/// ```
#[must_use]
pub fn double_run_by_vectors(first: GroundRun, second: GroundRun) -> Option<StreamEstimate> {
    let over_ground =
        |run: GroundRun| (run.speed_m_s * run.track_rad.sin(), run.speed_m_s * run.track_rad.cos());
    let (g1, g2) = (over_ground(first), over_ground(second));
    let difference = (g1.0 - g2.0, g1.1 - g2.1);
    let length = difference.0.hypot(difference.1);
    let half_turn = match (first.heading_rad, second.heading_rad) {
        (Some(a), Some(b)) => 0.5 * (a - b),
        _ => std::f64::consts::FRAC_PI_2,
    };
    // |h1 - h2| = 2 |sin(half the turn)|, |h1 + h2| = 2 |cos(half the turn)|
    let (apart, together) = (2.0 * half_turn.sin().abs(), 2.0 * half_turn.cos());
    if apart < 1.0 || length <= 0.0 {
        return None;
    }
    let speed_through_water_m_s = length / apart;
    // h1 + h2 stands square to h1 - h2: a quarter turn to the side to which the second heading lies.
    let along = (difference.0 / length, difference.1 / length);
    let side = -half_turn.sin().signum() * together;
    let mean_heading = (along.1 * side, -along.0 * side);
    let stream = (
        0.5 * (g1.0 + g2.0 - speed_through_water_m_s * mean_heading.0),
        0.5 * (g1.1 + g2.1 - speed_through_water_m_s * mean_heading.1),
    );
    let ahead = (first.track_rad.sin(), first.track_rad.cos());
    Some(StreamEstimate {
        speed_through_water_m_s,
        stream_along_m_s: stream.0 * ahead.0 + stream.1 * ahead.1,
        stream: Some(StreamVector {
            speed_m_s: stream.0.hypot(stream.1),
            towards_rad: stream.0.atan2(stream.1).rem_euclid(std::f64::consts::TAU),
        }),
    })
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Velocities over ground made from a boat and a stream come back, whatever the headings; a
    /// compass that is off by an angle changes the speed through the water by nothing.
    #[test]
    fn vectors_give_back_what_they_were_made_of() {
        let (speed, stream, towards) = (2.4_f64, 0.51_f64, 1.9_f64);
        for (a, b) in [(0.3_f64, 0.3 + std::f64::consts::PI), (0.3, 3.2), (5.9, 2.6), (2.0, 4.4)] {
            let run = |heading: f64, compass: f64| {
                let east = speed * heading.sin() + stream * towards.sin();
                let north = speed * heading.cos() + stream * towards.cos();
                GroundRun {
                    speed_m_s: east.hypot(north),
                    track_rad: east.atan2(north),
                    heading_rad: Some(heading + compass),
                }
            };
            for compass in [0.0, 0.07, -0.3] {
                let found = double_run_by_vectors(run(a, compass), run(b, compass)).unwrap();
                assert!((found.speed_through_water_m_s - speed).abs() < 1e-12, "{a} {b} {compass}");
                let vector = found.stream.unwrap();
                assert!((vector.speed_m_s - stream).abs() < 1e-9, "{a} {b} {compass}: {vector:?}");
                assert!((vector.towards_rad - towards).abs() < 1e-9, "{a} {b} {compass}: {vector:?}");
            }
        }
    }
}
