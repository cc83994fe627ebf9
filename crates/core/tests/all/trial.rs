//! Speed trials against worked examples calculated by separate code.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use wakewright_core::constants::GRAVITY_M_S2;
use wakewright_core::hull::shallow::ShallowWater;
use wakewright_core::trial::{
    IterativeError, IterativeRun, StreamSolution, added_wave_resistance_stawave1_n, double_run,
    mean_of_means, power_at_displacement_w, solve_current_iterative, wave_height_limit_stawave1_m,
};
use wakewright_testkit::{Table, assert_near};

const KNOT_M_S: f64 = 1852.0 / 3600.0;

fn example() -> (Vec<IterativeRun>, Vec<f64>) {
    let table = Table::read("trial/ittc7504_iterative_example.csv");
    let runs = (0..table.rows.len())
        .map(|row| {
            let number = |column: &str| table.number(row, column).unwrap();
            IterativeRun {
                time_s: number("time_h") * 3600.0,
                is_outward: number("direction") > 0.0,
                speed_over_ground_m_s: number("sog_kn") * KNOT_M_S,
                power_w: number("power_kw") * 1000.0,
            }
        })
        .collect();
    (runs, table.numbers("truth_kn"))
}

fn largest_error_kn(solution: &StreamSolution, truth_kn: &[f64]) -> f64 {
    let speeds = solution.speeds_through_water_m_s.iter();
    speeds.zip(truth_kn).map(|(v, truth)| (v / KNOT_M_S - truth).abs()).fold(0.0, f64::max)
}

#[test]
fn double_run_means_are_the_printed_ones() {
    let (runs, _) = example();
    for (pair, printed) in runs.chunks(2).zip([3.960, 4.995, 6.031, 7.062]) {
        let found = double_run(pair[0].speed_over_ground_m_s, pair[1].speed_over_ground_m_s);
        // Half a unit of the last digit, and as much for the rounding of the inputs.
        assert_near("double run", found.speed_through_water_m_s / KNOT_M_S, printed, 0.00051);
    }
}

#[test]
fn iterative_method_finds_the_printed_curve() {
    let (runs, truth) = example();
    let solution = solve_current_iterative(&runs, 200).unwrap();
    assert!(largest_error_kn(&solution, &truth) < 0.001, "{solution:?}");
    assert_near("a", solution.power.base_w / 1000.0, 0.1000, 0.0005);
    assert_near("q", solution.power.exponent, 3.000, 0.002);
    let b = solution.power.scale * KNOT_M_S.powf(solution.power.exponent) / 1000.0;
    assert_near("b", b, 0.00850, 0.00003);
    assert!(!solution.is_constant_stream);
}

/// With exact speeds instead of rounded ones the errors after each loop are the printed ones.
#[test]
fn iterative_method_settles_as_printed() {
    let (mut runs, truth) = example();
    for (run, truth_kn) in runs.iter_mut().zip(&truth) {
        let hours = run.time_s / 3600.0;
        let phase = std::f64::consts::TAU * hours / (0.51753 * 24.0);
        let stream_kn = 0.9 * phase.cos() + 0.5 * phase.sin() + 0.02 * hours - 0.1;
        let sog_kn = truth_kn + if run.is_outward { stream_kn } else { -stream_kn };
        assert_near("printed SOG", run.speed_over_ground_m_s / KNOT_M_S, sog_kn, 0.000_51);
        run.speed_over_ground_m_s = sog_kn * KNOT_M_S;
        run.power_w = 100.0 + 8.5 * truth_kn.powi(3);
    }
    for (loops, printed) in [(1, 0.0313), (2, 0.0074), (3, 0.0024), (6, 0.0003)] {
        let solution = wakewright_core::trial::run_current_loops(&runs, loops).unwrap();
        assert_near(&format!("loop {loops}"), largest_error_kn(&solution, &truth), printed, 0.000_051);
    }
}

#[test]
fn iterative_method_says_what_is_missing() {
    let (mut runs, _) = example();
    assert_eq!(solve_current_iterative(&runs[..4], 50), Err(IterativeError::TooFew { found: 2 }));
    assert!(solve_current_iterative(&runs[..6], 200).unwrap().is_constant_stream);
    runs[1].is_outward = true;
    assert_eq!(solve_current_iterative(&runs, 50), Err(IterativeError::NotOpposite { pair: 1 }));
}

/// Own example of the reference: true 6.000 kn, current 0.6 + 0.25 t - 0.08 t^2 at steps of 0.5 h.
#[test]
fn mean_of_means_gives_the_printed_numbers() {
    let runs = [6.600, 5.295, 6.770, 5.205];
    assert_near("(1,2,1)/4", mean_of_means(&runs[..3]).unwrap(), 5.990, 0.000_51);
    assert_near("(1,3,3,1)/8", mean_of_means(&runs).unwrap(), 6.0, 0.000_051);
    assert_near("plain", runs.iter().sum::<f64>() / 4.0, 5.9675, 0.000_051);
    assert_eq!(mean_of_means(&runs[..1]), None);
}

/// Published example: B 20 m, L 5 m, H 1 m, rho 1026 kg/m³ with g 9.81 m/s²: 25 162.65 N.
#[test]
fn stawave1_gives_the_published_number() {
    let found = added_wave_resistance_stawave1_n(1.0, 20.0, 5.0, 1026.0) * 9.81 / GRAVITY_M_S2;
    assert_near("STAwave-1", found, 25_162.65, 0.005);
    for (length, printed) in [(8.0, 0.64), (10.0, 0.71), (12.0, 0.78)] {
        assert_near("wave height limit", wave_height_limit_stawave1_m(length), printed, 0.005);
    }
}

/// Wave part at depth Froude number 0.6, 0.8, 1.0: 0.4, 4.3, 12.7 %.
#[test]
fn lackenby_gives_the_noted_losses() {
    let depth = 4.0;
    for (froude, printed) in [(0.6, 0.4), (0.8, 4.3), (1.0, 12.7)] {
        let speed = froude * (GRAVITY_M_S2 * depth).sqrt();
        assert_near(
            "loss",
            100.0
                * ShallowWater { depth_m: depth, midship_area_m2: 0.0, banks: None }.loss_and_slope(speed).0,
            printed,
            0.051,
        );
    }
}

#[test]
fn power_goes_with_displacement_to_two_thirds() {
    assert_near("power", power_at_displacement_w(1000.0, 5000.0, 5400.0), 1052.6, 0.1);
}
