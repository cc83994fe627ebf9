//! The sentence that says which runs a trial has. Not for: how she stands beside her document (`standing`).

use wakewright_core::trial::TrialFacts;
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{Quantity, format_number};

use crate::text::{Finding, Paper};

/// What was found.
#[must_use]
pub fn trial_finding(trial: &TrialFacts, paper: &Paper) -> Finding {
    let further = format!("{}{}", further(trial), as_of_a_leg(trial).unwrap_or_default());
    Finding { sentence: sentence(trial, paper), further, ..Finding::default() }
}

/// The stream that the pairs share, as `passage` and `gethome` read it.
fn as_of_a_leg(trial: &TrialFacts) -> Option<String> {
    let found = trial.analysis.constant_stream.filter(|found| !found.is_lost_in_band())?;
    let knots = |m_s: f64| format_number(m_s / KNOT_M_S, 1);
    let (first, last) = (trial.runs.first()?, trial.runs.last()?);
    Some(format!(
        " As the stream of a leg in that water, at that hour of the tide and its like (runs from {} to {}): \"{} kn ± {} kn setting {:03.0}\".",
        first.from,
        last.from,
        knots(found.mean.speed_m_s),
        knots(found.band_m_s),
        found.mean.towards_rad.to_degrees()
    ))
}

fn sentence(trial: &TrialFacts, paper: &Paper) -> String {
    let count = |n: usize, one: &str, many: &str| match n {
        0 => format!("No {many}"),
        1 => format!("One {one}"),
        n => format!("{n} {many}"),
    };
    let tied_up = pulls(trial);
    let of_drive = trial.runs.iter().filter(|run| run.is_of_drive && run.run.pull_n.is_none()).count();
    let others = trial.runs.len() - of_drive - tied_up;
    let mut runs = count(of_drive, "steady run", "steady runs");
    if tied_up > 0 {
        runs +=
            &format!(" and {}", count(tied_up, "pull against a quay", "pulls against a quay").to_lowercase());
    }
    if others > 0 {
        let many = count(others, "stretch", "stretches").to_lowercase();
        let sailed = trial.runs.iter().filter(|run| run.run.is_sailed).count();
        let why = match sailed {
            0 => "without any reading of the motor, under sail or unknown",
            all if all == others => "under sail, alone or beside the motor",
            _ => "under sail or unknown",
        };
        runs += &format!(" and {many} {why},");
    }
    let pairs = &trial.analysis.pairs;
    if trial.runs.is_empty() {
        return format!("{runs} found: nowhere do setting, speed and course hold long enough.");
    }
    let Some(fastest) = pairs
        .iter()
        .max_by(|a, b| a.estimate.speed_through_water_m_s.total_cmp(&b.estimate.speed_through_water_m_s))
    else {
        if let Some(offered) = trial.analysis.offered.first() {
            return format!(
                "{runs} found; if the throttle was not touched between them, opposite neighbours make {} through the \
                 water.",
                paper.decimals(offered.estimate.speed_through_water_m_s, Quantity::Speed, 2)
            );
        }
        if tied_up == trial.runs.len() {
            return format!("{runs}: what the propeller does is told, not what the hull does.");
        }
        if through_water_only(trial) {
            return format!("{runs} found, with her speed through the water: no stream stands in it.");
        }
        return format!("{runs} found, none of them an opposite pair: the stream cannot be taken out.");
    };
    let at = fastest
        .turning_rev_s
        .map(|n| format!(" at {}", paper.quantity(n, Quantity::RotationalSpeed)))
        .unwrap_or_default();
    let band = fastest.band_m_s.map_or_else(String::new, |half| {
        let made = fastest.estimate.speed_through_water_m_s;
        let ends = [made - half, made + half].map(|end| paper.decimals(end, Quantity::Speed, 2));
        if ends[0] == ends[1] {
            String::new()
        } else {
            format!(" (four times in five {} to {})", ends[0], ends[1])
        }
    });
    let along_m_s = fastest.estimate.stream_along_m_s.abs();
    let stream_m_s = fastest.estimate.stream.map_or(along_m_s, |stream| stream.speed_m_s);
    format!(
        "{runs} and {} found; the fastest pair made {} through the water{band}{at}, in a stream of {}.",
        count(pairs.len(), "opposite pair", "opposite pairs").to_lowercase(),
        paper.decimals(fastest.estimate.speed_through_water_m_s, Quantity::Speed, 2),
        paper.decimals(stream_m_s, Quantity::Speed, 2),
    )
}

/// Runs that were made tied up.
fn pulls(trial: &TrialFacts) -> usize {
    trial.runs.iter().filter(|run| run.run.pull_n.is_some()).count()
}

/// All of her speeds are the log's, through the water.
fn through_water_only(trial: &TrialFacts) -> bool {
    trial
        .runs
        .iter()
        .all(|run| run.run.speed_through_water_m_s.is_some() && run.run.speed_over_ground_m_s.is_none())
}

/// How sure, and what comes next.
fn further(trial: &TrialFacts) -> String {
    if trial.runs.is_empty() {
        return "Hold throttle and course for three minutes at least; a shorter least time can be asked for."
            .to_owned();
    }
    if trial.analysis.pairs.is_empty() && through_water_only(trial) {
        return "A receiver beside it, and each run on the opposite course too, would show whether the log reads right.".to_owned();
    }
    if trial.analysis.pairs.is_empty() {
        return if trial.analysis.offered.is_empty() {
            let unknown = trial
                .runs
                .iter()
                .filter(|run| run.run.shaft_speed_rev_s.is_none() && run.run.motor_speed_rev_s.is_none());
            // A stream across turns the courses: what the boat steered is opposite all the same.
            if unknown.count() >= 4 {
                "A stream across turns the courses. Say that the throttle was not touched between two neighbours (--throttle-held), and one \
                 common stream is looked for; if it was, make each run again on the opposite heading at the same shaft speed."
                    .to_owned()
            } else {
                "Make each run under way again on the opposite course at the same shaft speed.".to_owned()
            }
        } else {
            "Say that it was not touched, and they count; if it was, make each run again on the opposite course at the same \
             shaft speed."
                .to_owned()
        };
    }
    match trial.solution() {
        Some(solution) if !solution.is_constant_stream => {
            "Enough double runs for a stream that changes with the tide.".to_owned()
        }
        _ => "With four double runs at different settings a stream that changes can be taken out too."
            .to_owned(),
    }
}
