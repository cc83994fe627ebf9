//! Which runs belong together: the same setting on opposite courses, near in time.
//! Not for: what is computed from a pair (`stream`).

use super::Run;

/// How alike two runs of a pair must be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PairBounds {
    /// Course difference may leave 180 degrees by so much \[rad\].
    pub course_rad: f64,
    /// Shaft speeds may differ by this share.
    pub setting_share: f64,
    /// Middles of the runs may be so far apart \[s\].
    pub apart_s: f64,
}

impl Default for PairBounds {
    /// 20 degrees, 3 %, one hour. Common practice, no source: the stream should be the same in both.
    fn default() -> Self {
        Self { course_rad: 20.0_f64.to_radians(), setting_share: 0.03, apart_s: 3600.0 }
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

/// Pairs of runs at one setting on opposite courses. Each run stands in one pair at most; the pair
/// with the shortest time between its runs is taken first.
///
/// Runs without course or without a known setting are left alone: whether two of them belong
/// together is for the user to say.
#[must_use]
pub fn match_opposite_runs(runs: &[Run], bounds: &PairBounds) -> Vec<OppositePair> {
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
            if is_opposite(a, b, bounds.course_rad) && a.is_at_setting_of(b, bounds.setting_share) {
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
    let mut is_taken = vec![false; runs.len()];
    let mut pairs = Vec::new();
    for (_, pair) in candidates {
        if !is_taken[pair.first] && !is_taken[pair.second] {
            is_taken[pair.first] = true;
            is_taken[pair.second] = true;
            pairs.push(pair);
        }
    }
    pairs.sort_by(|a, b| runs[a.first].time_s.total_cmp(&runs[b.first].time_s));
    pairs
}

fn is_opposite(a: &Run, b: &Run, within_rad: f64) -> bool {
    let (Some(a), Some(b)) = (a.course_rad, b.course_rad) else { return false };
    let turn = (a - b).rem_euclid(std::f64::consts::TAU);
    (turn - std::f64::consts::PI).abs() <= within_rad
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
    fn a_season_of_runs_is_paired_in_no_time() {
        let runs: Vec<Run> = (0..40_000)
            .map(|n| run(f64::from(n) * 300.0, if n % 2 == 0 { 350.0 } else { 170.0 }, 700.0))
            .collect();
        let started = std::time::Instant::now();
        let pairs = match_opposite_runs(&runs, &PairBounds::default());
        assert_eq!(pairs.len(), 20_000);
        assert!(started.elapsed().as_secs() < 5, "grew with the square: {:?}", started.elapsed());
    }

    #[test]
    fn runs_without_setting_are_not_paired() {
        let bare = |course: f64| Run { course_rad: Some(course), ..Run::default() };
        assert!(
            match_opposite_runs(&[bare(0.0), bare(std::f64::consts::PI)], &PairBounds::default()).is_empty()
        );
    }
}
