//! Which runs belong together: the same setting on opposite courses, near in time.
//! Not for: what is computed from a pair (`stream`).

use super::{GroundRun, Run, double_run_by_vectors};

/// How alike two runs of a pair must be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PairBounds {
    /// Course difference may leave 180 degrees by so much \[rad\].
    pub course_rad: f64,
    /// Shaft speeds may differ by this share.
    pub setting_share: f64,
    /// Middles of the runs may be so far apart \[s\].
    pub apart_s: f64,
    /// Somebody who was aboard says that the throttle was not touched: opposite neighbours of which no setting is
    /// known are pairs too.
    pub is_throttle_held: bool,
}

impl Default for PairBounds {
    /// 20 degrees, 3 %, one hour. Common practice, no source: the stream should be the same in both.
    fn default() -> Self {
        Self {
            course_rad: 20.0_f64.to_radians(),
            setting_share: 0.03,
            apart_s: 3600.0,
            is_throttle_held: false,
        }
    }
}

/// Two runs on opposite courses, by place in the list that was given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OppositePair {
    /// The earlier run.
    pub first: usize,
    /// The later run.
    pub second: usize,
}

/// Courses over ground that leave 180 degrees by more than the bound, and by less than this, may be
/// opposite headings in a cross stream \[rad\].
const WIDEST_RAD: f64 = 1.2;
/// One stream: those of two pairs differ by less \[m/s\].
const ONE_STREAM_M_S: f64 = 0.3 * 1852.0 / 3600.0;

/// Pairs of runs at one setting on opposite courses. Each run stands in one pair at most; the pair
/// with the shortest time between its runs is taken first.
///
/// Headings count before courses: a stream across turns the courses. Where only courses are known,
/// those that are off the opposite are pairs when one common stream explains two of them.
///
/// Runs without course or without a known setting are left alone: whether two of them belong
/// together is for the user to say ([`offered_pairs`], [`PairBounds::is_throttle_held`]).
#[must_use]
pub fn match_opposite_runs(runs: &[Run], bounds: &PairBounds) -> Vec<OppositePair> {
    let alike = |a: &Run, b: &Run| {
        // With the motor standing, or current flowing back, she sailed: neither run is one of the drive.
        (a.setting() != Some(0.0)
            && !a.is_sailed
            && !b.is_sailed
            && a.is_at_setting_of(b, bounds.setting_share))
            || (bounds.is_throttle_held && a.setting().is_none() && b.setting().is_none())
    };
    let mut taken = vec![false; runs.len()];
    let mut pairs = Vec::new();
    take_nearest(runs, bounds, &alike, &is_opposite, &mut taken, &mut pairs);
    let mut wide = Vec::new();
    let mut wide_taken = taken.clone();
    take_nearest(runs, bounds, &alike, &is_wide, &mut wide_taken, &mut wide);
    let streams: Vec<Option<(f64, f64)>> = wide.iter().map(|pair| stream_of(runs, *pair)).collect();
    for (index, pair) in wide.iter().enumerate() {
        let is_explained = streams[index].is_some_and(|one| {
            streams.iter().enumerate().any(|(other, stream)| {
                other != index && stream.is_some_and(|s| (s.0 - one.0).hypot(s.1 - one.1) <= ONE_STREAM_M_S)
            })
        });
        if is_explained {
            pairs.push(*pair);
        }
    }
    pairs.sort_by(|a, b| runs[a.first].time_s.total_cmp(&runs[b.first].time_s));
    pairs
}

/// Opposite neighbours of which no setting is known: pairs, if the throttle was not touched. None where that was said.
#[must_use]
pub fn offered_pairs(runs: &[Run], bounds: &PairBounds) -> Vec<OppositePair> {
    if bounds.is_throttle_held {
        return Vec::new();
    }
    let unknown = |a: &Run, b: &Run| a.setting().is_none() && b.setting().is_none();
    let mut taken = vec![false; runs.len()];
    let mut pairs = Vec::new();
    take_nearest(runs, bounds, &unknown, &is_opposite, &mut taken, &mut pairs);
    pairs.sort_by(|a, b| runs[a.first].time_s.total_cmp(&runs[b.first].time_s));
    pairs
}

fn take_nearest(
    runs: &[Run],
    bounds: &PairBounds,
    belong: &dyn Fn(&Run, &Run) -> bool,
    opposite: &dyn Fn(&Run, &Run, f64) -> bool,
    taken: &mut [bool],
    pairs: &mut Vec<OppositePair>,
) {
    // In order of time only the next few runs are near enough: a season has thousands.
    let mut order: Vec<usize> = (0..runs.len()).collect();
    order.sort_by(|a, b| runs[*a].time_s.total_cmp(&runs[*b].time_s));
    let mut candidates: Vec<(f64, OppositePair)> = Vec::new();
    for (place, &first) in order.iter().enumerate() {
        let near = order[place + 1..]
            .iter()
            .map(|&second| ((runs[second].time_s - runs[first].time_s).abs(), second))
            .take_while(|(apart, _)| *apart <= bounds.apart_s);
        for (apart, second) in near {
            let (a, b) = (&runs[first], &runs[second]);
            if belong(a, b) && opposite(a, b, bounds.course_rad) {
                // Of two at the same time the one that was given first is the earlier.
                let (first, second) = if a.time_s == b.time_s {
                    (first.min(second), first.max(second))
                } else {
                    (first, second)
                };
                candidates.push((apart, OppositePair { first, second }));
            }
        }
    }
    let place = |pair: &OppositePair| (pair.first.min(pair.second), pair.first.max(pair.second));
    candidates.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| place(&a.1).cmp(&place(&b.1))));
    for (_, pair) in candidates {
        if !taken[pair.first] && !taken[pair.second] {
            taken[pair.first] = true;
            taken[pair.second] = true;
            pairs.push(pair);
        }
    }
}

/// By how much two directions miss being opposite \[rad\].
fn off_opposite(a: f64, b: f64) -> f64 {
    ((a - b).rem_euclid(std::f64::consts::TAU) - std::f64::consts::PI).abs()
}

fn is_opposite(a: &Run, b: &Run, within_rad: f64) -> bool {
    if let (Some(a), Some(b)) = (a.heading_rad, b.heading_rad) {
        return off_opposite(a, b) <= within_rad;
    }
    let (Some(a), Some(b)) = (a.course_rad, b.course_rad) else { return false };
    off_opposite(a, b) <= within_rad
}

fn is_wide(a: &Run, b: &Run, within_rad: f64) -> bool {
    if a.heading_rad.is_some() && b.heading_rad.is_some() {
        return false;
    }
    let (Some(a), Some(b)) = (a.track_rad, b.track_rad) else { return false };
    let off = off_opposite(a, b);
    off > within_rad && off <= WIDEST_RAD
}

/// The stream of a pair, east and north \[m/s\].
fn stream_of(runs: &[Run], pair: OppositePair) -> Option<(f64, f64)> {
    let ground = |run: &Run| {
        Some(GroundRun {
            speed_m_s: run.speed_over_ground_m_s?,
            track_rad: run.track_rad?,
            heading_rad: None,
        })
    };
    let estimate = double_run_by_vectors(ground(&runs[pair.first])?, ground(&runs[pair.second])?)?;
    let stream = estimate.stream?;
    Some((stream.speed_m_s * stream.towards_rad.sin(), stream.speed_m_s * stream.towards_rad.cos()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(time_s: f64, course_deg: f64, rpm: f64) -> Run {
        Run {
            time_s,
            course_rad: Some(course_deg.to_radians()),
            shaft_speed_rev_s: Some(rpm / 60.0),
            ..Run::default()
        }
    }

    #[test]
    fn pairs_are_opposite_alike_and_near() {
        let runs = [
            run(0.0, 350.0, 700.0),
            run(300.0, 172.0, 702.0),
            run(600.0, 351.0, 900.0),
            run(900.0, 171.0, 905.0),
            run(20_000.0, 350.0, 700.0),
        ];
        let pairs = match_opposite_runs(&runs, &PairBounds::default());
        assert_eq!(pairs, [OppositePair { first: 0, second: 1 }, OppositePair { first: 2, second: 3 }]);
    }

    #[test]
    fn a_season_of_runs_is_paired() {
        let runs: Vec<Run> = (0..40_000)
            .map(|n| run(f64::from(n) * 300.0, if n % 2 == 0 { 350.0 } else { 170.0 }, 700.0))
            .collect();
        let pairs = match_opposite_runs(&runs, &PairBounds::default());
        assert_eq!(pairs.len(), 20_000);
    }

    #[test]
    fn runs_without_setting_are_not_paired() {
        let bare = |course: f64| Run { course_rad: Some(course), ..Run::default() };
        assert!(
            match_opposite_runs(&[bare(0.0), bare(std::f64::consts::PI)], &PairBounds::default()).is_empty()
        );
    }

    /// 1 kn across at 4.5 kn, headings exactly opposite: the courses are 25 degrees off, four pairs of four.
    #[test]
    fn a_stream_across_is_taken_out() {
        let (speed, cross) = (2.3_f64, 0.52_f64);
        let runs: Vec<Run> = (0..8)
            .map(|i| {
                let ahead = if i % 2 == 0 { speed } else { -speed };
                let rpm = [600.0, 700.0, 800.0, 900.0][i / 2];
                Run {
                    time_s: 300.0 * i as f64,
                    course_rad: Some(cross.atan2(ahead)),
                    track_rad: Some(cross.atan2(ahead)),
                    speed_over_ground_m_s: Some(ahead.hypot(cross)),
                    motor_speed_rev_s: Some(rpm / 60.0),
                    ..Run::default()
                }
            })
            .collect();
        let pairs = match_opposite_runs(&runs, &PairBounds::default());
        assert_eq!(pairs.len(), 4);
        let with_headings: Vec<Run> = runs
            .iter()
            .enumerate()
            .map(|(i, run)| Run { heading_rad: Some(if i % 2 == 0 { 0.05 } else { 3.19 }), ..*run })
            .collect();
        assert_eq!(match_opposite_runs(&with_headings[..2], &PairBounds::default()).len(), 1);
        let found = super::super::analyse_trial(&runs, &PairBounds::default());
        let estimate = found.pairs[0].estimate;
        assert!((estimate.speed_through_water_m_s - speed).abs() < 1e-9);
        assert!((estimate.stream.unwrap().speed_m_s - cross).abs() < 1e-9);
    }

    /// A track of a phone: nothing says the setting, the neighbours are offered.
    #[test]
    fn a_track_alone_offers_its_neighbours() {
        let leg = |time_s: f64, course: f64| Run {
            time_s,
            course_rad: Some(course),
            speed_over_ground_m_s: Some(2.0),
            ..Run::default()
        };
        let runs = [leg(0.0, 0.1), leg(400.0, 3.2), leg(800.0, 1.6)];
        assert_eq!(offered_pairs(&runs, &PairBounds::default()), [OppositePair { first: 0, second: 1 }]);
        // Once somebody says so they count, and are not offered any more.
        let held = PairBounds { is_throttle_held: true, ..PairBounds::default() };
        assert_eq!(match_opposite_runs(&runs, &held), [OppositePair { first: 0, second: 1 }]);
        assert!(offered_pairs(&runs, &held).is_empty());
    }
}
