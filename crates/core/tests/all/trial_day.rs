//! What the day added to the power of a run: signs, sizes, and what is left alone.

use crate::common::heavy_long_keeler;
use wakewright_core::trial::{Run, RunFlag, StatedBoat, TrialDay};
use wakewright_core::water::Water;

const KNOT_M_S: f64 = 1852.0 / 3600.0;

fn run(speed_m_s: f64, power_w: f64) -> Run {
    Run {
        course_rad: Some(0.0),
        speed_over_ground_m_s: Some(speed_m_s),
        power_w: Some(power_w),
        depth_m: Some(30.0),
        ..Run::default()
    }
}

/// Head wind costs, a following wind gives less than a head wind costs (drag goes with the square),
/// calm changes nothing: \[iso15016\], formula of the relative wind.
#[test]
fn wind_costs_more_than_it_gives() {
    let boat = heavy_long_keeler();
    let stated = StatedBoat::new(&boat).unwrap();
    let speed = 4.0 * KNOT_M_S;
    let watts = |wind: f64, from: f64| {
        let day = TrialDay { true_wind_m_s: Some(wind), wind_from_rad: Some(from), ..TrialDay::default() };
        stated.day_watts(&run(speed, 2500.0), speed, &day).0.wind_w.unwrap()
    };
    assert!(watts(0.0, 0.0).abs() < 1e-9);
    let (ahead, astern) = (watts(4.0, 0.0), watts(4.0, std::f64::consts::PI));
    assert!(ahead > 0.0 && astern < 0.0 && ahead > -astern, "{ahead} {astern}");
    // ((V + W)^2 - V^2) against ((V - W)|V - W| - V^2), by hand at V = 2.058, W = 4.
    let by_hand = ((speed + 4.0).powi(2) - speed * speed) / ((speed - 4.0) * (4.0 - speed) - speed * speed);
    assert!((ahead / astern - by_hand).abs() < 1e-9);
    // Measured apparent wind wins over what was noted.
    let measured = Run { wind_speed_m_s: Some(speed), wind_angle_rad: Some(0.0), ..run(speed, 2500.0) };
    let day = TrialDay { true_wind_m_s: Some(9.0), wind_from_rad: Some(0.0), ..TrialDay::default() };
    assert!(stated.day_watts(&measured, speed, &day).0.wind_w.unwrap().abs() < 1e-9);
}

/// 5 % more displacement: 1.05^(2/3) = 1.0331 times the power (\[iso15016\], by hand).
#[test]
fn displacement_goes_by_the_two_thirds_power() {
    let boat = heavy_long_keeler();
    let stated = StatedBoat::new(&boat).unwrap();
    let day = TrialDay { displacement_kg: Some(1.05 * boat.form.displacement_kg), ..TrialDay::default() };
    let (watts, _) = stated.day_watts(&run(2.0, 2500.0), 2.0, &day);
    assert!((watts.displacement_w.unwrap() - 2500.0 * (1.0 - 1.0 / 1.033_07)).abs() < 0.1);
    assert_eq!(watts.wind_w, None, "nothing is known of the wind");
}

/// Waves count from ahead only, and not beyond the height that the formula covers.
#[test]
fn waves_count_from_ahead_and_within_the_formula() {
    let boat = heavy_long_keeler();
    let stated = StatedBoat::new(&boat).unwrap();
    let at = |height: f64, from: f64| {
        let day = TrialDay {
            wave_height_m: Some(height),
            wind_from_rad: Some(from),
            true_wind_m_s: Some(0.0),
            ..TrialDay::default()
        };
        stated.day_watts(&run(2.0, 2500.0), 2.0, &day)
    };
    assert!(at(0.2, 0.3).0.waves_w.unwrap() > 0.0);
    assert_eq!(at(0.2, 2.0).0.waves_w, Some(0.0));
    let (too_high, flags) = at(1.5, 0.0);
    assert_eq!(too_high.waves_w, None);
    assert!(flags.contains(&RunFlag::WavesTooHigh));
}

/// Colder water is thicker and a little heavier: it costs, a few per cent.
#[test]
fn cold_water_costs_and_shallow_water_is_flagged() {
    let boat = heavy_long_keeler();
    let stated = StatedBoat::new(&boat).unwrap();
    let day = TrialDay { water: Some(Water::sea(277.15)), ..TrialDay::default() };
    let (watts, flags) = stated.day_watts(&Run { depth_m: Some(2.0), ..run(2.0, 2500.0) }, 2.0, &day);
    let share = watts.water_w.unwrap() / 2500.0;
    assert!((0.005..0.08).contains(&share), "{share}");
    assert!(flags.contains(&RunFlag::Shallow));
}

/// Deep enough is `3 sqrt(B Tc)` (\[iso15016\]) with the canoe body's own draught, by hand: some 5.9 m³ of
/// canoe body / (0.551 x 0.711 x 7.8 m x 2.75 m) = 0.70 m, so 4.16 m; half the whole draught would ask for 4.31 m.
#[test]
fn shallow_by_the_canoe_body_that_the_hull_is_estimated_with() {
    let boat = heavy_long_keeler();
    assert!((0.67..0.73).contains(&boat.canoe_body_draught_m()), "{}", boat.canoe_body_draught_m());
    let stated = StatedBoat::new(&boat).unwrap();
    let is_shallow = |depth_m: f64| {
        let (_, flags) =
            stated.day_watts(&Run { depth_m: Some(depth_m), ..run(2.0, 2500.0) }, 2.0, &TrialDay::default());
        flags.contains(&RunFlag::Shallow)
    };
    assert!(is_shallow(4.05) && !is_shallow(4.27));
}
