//! The way home against closed forms of the speed of least energy.

use wakewright_core::boat::{BoatSpec, Fittings};
use wakewright_core::passage::{
    Arrival, HomeAsked, HomeSpreads, Stage, Try, Way, least_energy_speed, sample_home, turn_back_s,
};
use wakewright_core::spread::{Sampler, Spread};
use wakewright_testkit::{Table, assert_near};

use super::common::heavy_long_keeler;

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

/// With one speed kept and a spread of the stream that is as wide on either side, more of it moves the probability of arriving above
/// the reserve towards one half.
#[test]
fn more_spread_moves_the_probability_towards_one_half() {
    let mut boat = heavy_long_keeler();
    boat.further.clear();
    let spec = BoatSpec { boat, uncertain: Vec::new(), fittings: Fittings::default(), not_known: Vec::new() };
    let arrivals = |charge: f64, stream_kn: f64, count: u64| -> Vec<Arrival> {
        let spreads = HomeSpreads {
            stream_share: 0.0,
            stream_m_s: stream_kn * KNOT,
            change_s: 0.0,
            after_share: 0.0,
            wind_m_s: 0.0,
        };
        let asked = HomeAsked {
            stages: way(1.0, 0.0).stages,
            is_last_assumed: false,
            charge: Spread::exact(charge),
            spreads,
            loads: Vec::new(),
            now_s: 0.0,
            tries: vec![Try { leaves_s: 0.0, speed_m_s: 3.0 * KNOT, distance_m: 4.0 * 1852.0 }],
        };
        let sample = |number| sample_home(&spec, &asked, Sampler::new(1), number).unwrap().arrivals[0];
        (0..count).map(sample).collect()
    };
    let spare = |charge| arrivals(charge, 0.0, 1).iter().map(|sure| sure.charge - sure.reserve).sum::<f64>();
    let just_enough = 0.9 - spare(0.9);
    for (off, is_above) in [(0.01, true), (-0.01, false)] {
        assert_eq!(spare(just_enough + off) > 0.0, is_above, "{}", spare(just_enough + off));
        let share = |stream_kn| {
            let all = arrivals(just_enough + off, stream_kn, 600);
            all.iter().filter(|one| one.charge > one.reserve).count() as f64 / 600.0
        };
        let from_half = [0.1, 0.2, 0.4, 0.8].map(|kn| (share(kn) - 0.5) * if is_above { 1.0 } else { -1.0 });
        assert!(from_half.windows(2).all(|two| two[0] >= two[1]), "{from_half:?}");
        assert!(from_half[0] > from_half[3] + 0.1 && from_half[3] > -0.03, "{from_half:?}");
    }
}
