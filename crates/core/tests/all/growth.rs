//! Growth learned from trials: what two trials at different ages of the bottom tell, and what one does not.

use jiff::civil::date;
use wakewright_core::boat::{Boat, BoatSpec, Fittings};
use wakewright_core::growth::{GrowthAsked, GrowthStudy, GrowthTrial};
use wakewright_core::steady::PreparedBoat;

use crate::common::heavy_long_keeler;

const CRUISE_M_S: f64 = 2.3;

fn study(trials: Vec<GrowthTrial>) -> GrowthStudy {
    let asked = GrowthAsked {
        today: date(2026, 10, 1),
        cleaned: Some(date(2026, 4, 1)),
        trials,
        water_k: 288.15,
        cruise_m_s: CRUISE_M_S,
        month_s: Some(12.0 * 3600.0),
        scrub_j: Some(2.0e9),
        lost_m_s: Some(0.1),
    };
    let spec = BoatSpec::new(heavy_long_keeler(), Vec::new(), Fittings::default(), Vec::new());
    GrowthStudy::of(&spec, asked).unwrap()
}

/// A trial of a boat that takes 7 % more than her document says, with this sand height.
fn trial(months: f64, sand_m: f64) -> GrowthTrial {
    let boat = Boat { bottom_sand_height_m: sand_m, ..heavy_long_keeler() };
    let ready = PreparedBoat::new(&boat).unwrap().value;
    let runs = [1.8, 2.1, 2.4].map(|speed| (speed, 1.07 * ready.state_at(speed).unwrap().bank_power_w()));
    GrowthTrial { months, water_k: 288.15, runs: runs.to_vec() }
}

/// The rate is that by which the heights were made, once two ages of the bottom are known; what the document is off in all
/// trials goes into none of it. Heights by hand: 30 um exp(rate months).
#[test]
fn two_ages_of_the_bottom_tell_the_rate() {
    let prior = study(Vec::new());
    // exp(0.33) - 1, and a factor of 1.6 either way.
    assert!((prior.rise.value - 0.391).abs() < 0.02 && prior.told == 0, "{:?}", prior.rise);
    assert!(
        (prior.rise.p10 - 0.229).abs() < 0.02 && (prior.rise.p90 - 0.696).abs() < 0.04,
        "{:?}",
        prior.rise
    );
    let wide = prior.rise.p90 - prior.rise.p10;
    let one = study(vec![trial(0.0, 30e-6)]);
    assert_eq!(one.rise, prior.rise, "a clean bottom alone tells nothing of the rate");
    for rate in [0.2_f64, 0.5] {
        let at = |months: f64| trial(months, 30e-6 * (rate * months).exp());
        let found = study(vec![at(0.0), at(4.0), at(8.0), at(0.5), at(8.5), at(7.5)]);
        let rise = rate.exp() - 1.0;
        assert!((found.rise.p10..=found.rise.p90).contains(&rise), "{rate}: {:?}", found.rise);
        assert!(found.rise.p90 - found.rise.p10 < 0.8 * wide, "{rate}: {:?}", found.rise);
        assert!((found.rise.value > prior.rise.value) == (rate > 0.33), "{rate}: {:?}", found.rise);
    }
}

/// What cannot be: more months cost no less, and a loss that growth never takes is reached never.
#[test]
fn growth_only_takes() {
    let found = study(Vec::new());
    for two in found.months.windows(2) {
        assert!(two[1].cruise_m_s.value >= two[0].cruise_m_s.value && two[1].more.p90 >= two[0].more.p90);
    }
    let reached = found.reached.unwrap().0;
    assert!(reached[0] <= reached[1] && reached[1].is_some(), "{reached:?}");
    assert_eq!(found.now.unwrap().months.round(), 6.0);
}
