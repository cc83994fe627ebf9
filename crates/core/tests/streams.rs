//! Streams taken out of trials that a separate script made up (`scripts/simulate-streams`): along, across,
//! turning, with magnetic headings, and by a phone alone.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::f64::consts::{PI, TAU};

use wakewright_core::trial::{PairBounds, Run, analyse_trial};
use wakewright_testkit::Table;

const KNOT_M_S: f64 = 1852.0 / 3600.0;
/// Rows of one trial.
const ROWS: usize = 8;

/// Of 80 % bands 75 to 85 % hold what was true; the stream comes within 0.1 kn and 15 degrees where it
/// runs fast enough to have a direction.
#[test]
fn speeds_lie_within_their_bands() {
    let table = Table::read("trial/simulated_streams.csv");
    let (mut pairs, mut held, mut trials, mut streams) = (0, 0, 0, 0);
    for first in (0..table.rows.len()).step_by(ROWS) {
        let number = |row: usize, column: &str| table.number(row, column);
        let runs: Vec<Run> = (first..first + ROWS)
            .map(|row| Run {
                time_s: number(row, "time_s").unwrap(),
                duration_s: number(row, "duration_s").unwrap(),
                course_rad: number(row, "track_rad"),
                track_rad: number(row, "track_rad"),
                heading_rad: number(row, "heading_rad"),
                speed_over_ground_m_s: number(row, "speed_over_ground_m_s"),
                speed_scatter_m_s: number(row, "scatter_m_s"),
                motor_speed_rev_s: number(row, "rpm").map(|rpm| rpm / 60.0),
                ..Run::default()
            })
            .collect();
        let analysis = analyse_trial(&runs, &PairBounds::default());
        let is_phone = table.text(first, "kind") == "phone";
        let found = if is_phone { &analysis.offered } else { &analysis.pairs };
        let (mut east, mut north) = (0.0, 0.0);
        for result in found {
            let truth = number(first + result.pair.first, "true_speed_m_s").unwrap();
            pairs += 1;
            let error = (result.estimate.speed_through_water_m_s - truth).abs();
            held += usize::from(error <= result.band_m_s.unwrap());
            let stream = result.estimate.stream.unwrap();
            east += stream.speed_m_s * stream.towards_rad.sin() / found.len() as f64;
            north += stream.speed_m_s * stream.towards_rad.cos() / found.len() as f64;
        }
        if found.len() < 4 {
            continue;
        }
        trials += 1;
        let truth = number(first, "true_stream_m_s").unwrap();
        let towards = number(first, "true_towards_rad").unwrap();
        let off = (east.atan2(north) - towards + PI).rem_euclid(TAU) - PI;
        let has_direction = truth > 0.4 * KNOT_M_S;
        let is_near = (east.hypot(north) - truth).abs() <= 0.1 * KNOT_M_S;
        streams += usize::from(is_near && (!has_direction || off.abs() <= 15.0_f64.to_radians()));
    }
    let share = held as f64 / pairs as f64;
    println!("{held} of {pairs} pairs ({share:.3}), {streams} of {trials} streams");
    assert!(pairs >= 400, "{pairs} pairs");
    assert!((0.75..=0.85).contains(&share), "{held} of {pairs} pairs: {share}");
    assert!(20 * streams >= 19 * trials, "{streams} of {trials} streams");
}
