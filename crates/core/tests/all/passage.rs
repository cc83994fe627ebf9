//! The way home against closed forms of the speed of least energy.

use wakewright_core::passage::{Stage, Way, least_energy_speed, turn_back_s};
use wakewright_testkit::{Table, assert_near};

const KNOT: f64 = 1852.0 / 3600.0;

fn way(miles: f64, along_kn: f64) -> Way {
    let stages = vec![Stage { until_s: f64::INFINITY, along_m_s: along_kn * KNOT, across_m_s: 0.0 }];
    Way { distance_m: miles * 1852.0, stages }
}

#[test]
fn least_energy_speeds_of_closed_forms() {
    let table = Table::read("passage/least_energy_speed.csv");
    for row in 0..table.rows.len() {
        let number = |column: &str| table.number(row, column).unwrap();
        let (a, p0, head) = (number("a"), number("p0_w"), number("head_stream_kn"));
        let power = |speed: f64| Some(p0 + a * (speed / KNOT).powi(3));
        let (speed, energy_j) = least_energy_speed(&way(1.0, -head), 0.0, (0.1, 4.0), power).unwrap();
        assert_near("speed", speed / KNOT, number("best_speed_kn"), 1e-3);
        assert_near("over ground", speed / KNOT - head, number("over_ground_kn"), 1e-3);
        assert_near("energy", energy_j / 3600.0, number("wh_per_mile"), 0.01);
    }
}

/// With her the stream slows her, against her it makes her faster.
#[test]
fn a_following_stream_slows_her() {
    let power = |speed: f64| Some(60.0 + 25.0 * (speed / KNOT).powi(3));
    let best = |along: f64| least_energy_speed(&way(5.0, along), 0.0, (0.1, 4.0), power).unwrap().0;
    let speeds: Vec<f64> = [1.0, 0.5, 0.0, -0.5, -1.0, -2.0].iter().map(|along| best(*along)).collect();
    assert!(speeds.windows(2).all(|two| two[0] < two[1]), "{speeds:?}");
}

/// In slack water going back is cheaper until half of the way is done.
#[test]
fn in_slack_water_she_turns_back_until_half_way() {
    let power = |speed: f64| Some(60.0 + 25.0 * (speed / KNOT).powi(3));
    let speed = 3.0 * KNOT;
    let turn = turn_back_s(&way(6.0, 0.0), 0.0, speed, (0.5, 4.0), power).unwrap();
    assert_near("half of two hours, less a step", turn, 3600.0, 301.0);
}

/// A stream that is faster than she is sets her back as long as it lasts.
#[test]
fn what_cannot_be_stemmed() {
    let stages = vec![
        Stage { until_s: 3600.0, along_m_s: -3.0 * KNOT, across_m_s: 0.0 },
        Stage { until_s: f64::INFINITY, along_m_s: 0.0, across_m_s: 0.0 },
    ];
    let way = Way { distance_m: 1852.0, stages };
    assert_eq!(way.not_stemmed_until_s(0.0, 2.0 * KNOT), Some(3600.0));
    // One mile back in the hour, then two miles at 2 kn.
    assert_near("hours", way.takes_s(0.0, 2.0 * KNOT).unwrap() / 3600.0, 2.0, 1e-9);
    let for_ever = Way {
        distance_m: 1852.0,
        stages: vec![Stage { until_s: f64::INFINITY, along_m_s: -3.0 * KNOT, across_m_s: 0.0 }],
    };
    assert_eq!(for_ever.takes_s(0.0, 2.0 * KNOT), None);
}
