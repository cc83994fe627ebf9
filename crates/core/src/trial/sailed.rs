//! Runs on which sails drove her: with current flowing back into the bank, or far faster than the motor's turns make.
//! Not for: runs of which nothing of the motor is known (`Run::is_of_drive`).

use super::{PairBounds, PairResult, Run, analyse_trial};

/// Current back into the bank under sail is less than this share of what the drive takes. Common practice, no source.
const MOST_BACK: f64 = 0.6;
/// A pair goes farther with each turn than all others do, by so much, before that is called sails. From memory: slip
/// changes by less over the speeds of a displacement hull.
const FARTHER: f64 = 1.15;
/// Fewer turns and watts than those of a slower pair, and faster: each by this share.
const CLEARLY: f64 = 0.05;

/// Marks the runs that were made under sail, wholly or beside the motor.
pub fn mark_sailed(runs: &mut [Run], bounds: &PairBounds) {
    let flow = |run: &Run| run.power_w.or(run.current_a).filter(|_| run.pull_n.is_none());
    let most = runs.iter().filter_map(flow).fold(0.0, f64::max);
    let least = runs.iter().filter_map(flow).fold(0.0, f64::min);
    if least < 0.0 && -least < MOST_BACK * most {
        for run in runs.iter_mut().filter(|run| flow(run).is_some_and(|flow| flow < 0.0)) {
            run.is_sailed = true;
        }
    }
    // The farthest with each turn first: what is marked tells nothing of the others.
    while let Some(pair) = sailed_pair(&analyse_trial(runs, bounds).pairs) {
        runs[pair.0].is_sailed = true;
        runs[pair.1].is_sailed = true;
    }
}

/// A pair that clearly goes farther with each turn than two others and more, and is faster than one that takes more.
fn sailed_pair(pairs: &[PairResult]) -> Option<(usize, usize)> {
    let speed = |pair: &PairResult| pair.estimate.speed_through_water_m_s;
    let advance = |pair: &PairResult| Some(speed(pair) / pair.turning_rev_s.filter(|turns| *turns > 0.0)?);
    let known: Vec<(&PairResult, f64)> =
        pairs.iter().filter_map(|pair| Some((pair, advance(pair)?))).collect();
    let (farthest, by) = known.iter().max_by(|a, b| a.1.total_cmp(&b.1)).copied()?;
    let others = || known.iter().filter(|(pair, _)| pair.pair != farthest.pair);
    let is_farther = others().count() >= 2 && others().all(|(_, other)| by > FARTHER * other);
    let is_less = |one: Option<f64>, other: Option<f64>| {
        one.zip(other).map(|(one, other)| one < (1.0 - CLEARLY) * other)
    };
    let is_faster_for_less = others().any(|(other, _)| {
        let bands = farthest.band_m_s.unwrap_or(0.0) + other.band_m_s.unwrap_or(0.0);
        speed(farthest) > (1.0 + CLEARLY) * speed(other) + bands
            && is_less(farthest.turning_rev_s, other.turning_rev_s) == Some(true)
            && is_less(farthest.power_w, other.power_w) != Some(false)
    });
    (is_farther && is_faster_for_less).then_some((farthest.pair.first, farthest.pair.second))
}

/// What is to be said of runs that were marked; `None` where there are none.
#[must_use]
pub fn sailed_text(runs: &[Run]) -> Option<String> {
    let names = |is_it: fn(&Run) -> bool| {
        let numbers = runs.iter().enumerate().filter(|(_, run)| run.is_sailed && is_it(run));
        numbers.map(|(place, _)| (place + 1).to_string()).collect::<Vec<String>>()
    };
    let flows_back = |run: &Run| run.power_w.or(run.current_a).is_some_and(|flow| flow < 0.0);
    let (back, fast) =
        (names(flows_back), names(|run| !run.power_w.or(run.current_a).is_some_and(|f| f < 0.0)));
    let mut said = Vec::new();
    if !back.is_empty() {
        said.push(format!(
            "On run {} current flows into the bank while she goes ahead, as under sail with the propeller turning the motor: no \
             run of the drive. If no sail was set, something charged the bank or the meter is off nought.",
            back.join(", ")
        ));
    }
    if !fast.is_empty() {
        said.push(format!(
            "On run {} she is far faster than her turns make on the others, as with sails beside the motor: no run of the drive. \
             If no sail was set, something held her back on the others.",
            fast.join(", ")
        ));
    }
    (!said.is_empty()).then(|| said.join(" "))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Double runs in a stream of 0.25 m/s along the course: knots, revolutions a minute, watts. Invented.
    fn runs(all: &[(f64, f64, f64)]) -> Vec<Run> {
        let run = |(place, (knots, rpm, watts)): (usize, &(f64, f64, f64)), back: f64| Run {
            time_s: 400.0 * place as f64 + 200.0 * back,
            duration_s: 180.0,
            course_rad: Some(0.5 + back * std::f64::consts::PI),
            track_rad: Some(0.5 + back * std::f64::consts::PI),
            speed_over_ground_m_s: Some(knots * 1852.0 / 3600.0 + 0.25 - 0.5 * back),
            speed_scatter_m_s: Some(0.02),
            motor_speed_rev_s: Some(rpm / 60.0),
            power_w: Some(*watts),
            ..Run::default()
        };
        all.iter().enumerate().flat_map(|one| [run(one, 0.0), run(one, 1.0)]).collect()
    }

    fn marked(all: &[(f64, f64, f64)]) -> Vec<bool> {
        let mut runs = runs(all);
        mark_sailed(&mut runs, &PairBounds::default());
        runs.chunks(2).map(|two| two[0].is_sailed && two[1].is_sailed).collect()
    }

    const PLAIN: [(f64, f64, f64); 3] = [(3.5, 850.0, 1164.0), (4.5, 1200.0, 3039.0), (5.4, 1600.0, 6077.0)];

    #[test]
    fn what_the_motor_made_is_its_own() {
        assert_eq!(marked(&PLAIN), [false; 3]);
        // All of it written as negative is a meter that counts the other way round.
        let turned = PLAIN.map(|(knots, rpm, watts)| (knots, rpm, -watts));
        assert_eq!(marked(&turned), [false; 3]);
        // A foul bottom, or a faster slow run, is no sail.
        assert_eq!(marked(&[(3.9, 850.0, 1164.0), PLAIN[1], PLAIN[2]]), [false; 3]);
    }

    #[test]
    fn sails_are_seen() {
        let [a, b, c] = PLAIN;
        assert_eq!(marked(&[a, b, c, (6.0, 900.0, -420.0)]), [false, false, false, true]);
        assert_eq!(marked(&[a, (6.05, 1150.0, 320.0), b, c]), [false, true, false, false]);
    }
}
