//! Growth and roughness against separate calculations and published ship figures.

use wakewright_core::fouling::{
    FoulingCondition, RoughnessFunction, blade_drag_rise, cf_rough, plate_friction,
};
use wakewright_core::water::Water;
use wakewright_testkit::{Table, assert_near, assert_within};

/// Viscosity of the separate calculations \[m2/s\].
const VISCOSITY: f64 = 1.188e-6;

#[test]
fn check_numbers_of_both_functions() {
    let checks = Table::read("hull/granville1987_checks.csv");
    let reynolds = 2.572 * 10.0 / VISCOSITY;
    assert_near("smooth", cf_rough(reynolds, 0.0, RoughnessFunction::Colebrook), 0.002_596, 5.1e-7);
    for row in 0..checks.rows.len() {
        let function = match checks.text(row, "function") {
            "colebrook" => RoughnessFunction::Colebrook,
            _ => RoughnessFunction::ThreeRegime,
        };
        let get = |column: &str| checks.number(row, column).unwrap();
        let found = plate_friction(reynolds, get("ks_um") * 1e-7, function);
        let what = format!("{function:?} {} um", get("ks_um"));
        assert_near(&format!("CF, {what}"), found.coefficient, get("cf"), 5.1e-7);
        assert_near(&format!("ks+, {what}"), found.ks_plus, get("ks_plus"), 6e-4);
        assert_near(&format!("dU+, {what}"), found.velocity_loss, get("velocity_loss"), 6e-4);
    }
}

#[test]
fn small_craft_table() {
    let table = Table::read("hull/granville1987_smallcraft.csv");
    for row in 0..table.rows.len() {
        let get = |column: &str| table.number(row, column).unwrap();
        let (length, ks) = (get("lwl_m"), get("ks_um") * 1e-6);
        let reynolds = get("v_kn") * 1852.0 / 3600.0 * length / VISCOSITY;
        let smooth = cf_rough(reynolds, 0.0, RoughnessFunction::Colebrook);
        let what = format!("{length} m, {} kn, {} um", get("v_kn"), get("ks_um"));
        assert_near(&format!("smooth, {what}"), smooth, get("cf_smooth"), 6e-7);
        for (function, column) in [
            (RoughnessFunction::Colebrook, "dcf_pct_colebrook"),
            (RoughnessFunction::ThreeRegime, "dcf_pct_three_regime"),
        ] {
            let rise = 100.0 * (cf_rough(reynolds, ks / length, function) / smooth - 1.0);
            assert_near(&format!("{column}, {what}"), rise, get(column), 0.06);
        }
    }
}

/// Published rise of total resistance = share of friction x rise of friction, the share fitted for
/// each speed. In the first condition, where the two functions part, the gradual one lies above the table: by
/// how much is held too.
#[test]
fn frigate_within_one_and_a_half_points() {
    let table = Table::read("hull/schultz2007_frigate.csv");
    for (speed_kn, column) in [(15.0, "rise_15kn_pct"), (30.0, "rise_30kn_pct")] {
        let published = table.numbers(column);
        let heights = table.numbers("ks_um");
        for function in [RoughnessFunction::ThreeRegime, RoughnessFunction::Colebrook] {
            let reynolds = speed_kn * 1852.0 / 3600.0 * 124.4 / VISCOSITY;
            let smooth = cf_rough(reynolds, 0.0, function);
            let rises: Vec<f64> = heights
                .iter()
                .map(|ks| 100.0 * (cf_rough(reynolds, ks * 1e-6 / 124.4, function) / smooth - 1.0))
                .collect();
            let share = rises.iter().zip(&published).map(|(r, p)| r * p).sum::<f64>()
                / rises.iter().map(|r| r * r).sum::<f64>();
            for i in 0..published.len() {
                let what = format!("{function:?}, {speed_kn} kn, {} um, share {share:.3}", heights[i]);
                let above = share * rises[i] - published[i];
                if i == 0 && function == RoughnessFunction::Colebrook {
                    assert!((0.5..=3.5).contains(&above), "{what}: {above} points above");
                } else {
                    assert!(above.abs() <= 1.5, "{what}: {above} points off");
                }
            }
        }
    }
}

#[test]
fn conditions_rise_and_bands_reach_half_way() {
    let mut last = 0.0;
    for condition in FoulingCondition::ALL {
        let spread = condition.sand_height_spread();
        assert!(spread.p10 < spread.median && spread.median < spread.p90 && spread.median > last);
        last = spread.median;
    }
    // Grouping of [schultz2007] table 1, from memory: lowest and highest rating of each.
    let groups = [(0, 0), (10, 20), (30, 30), (40, 60), (70, 80), (90, 100)];
    for (condition, (low, high)) in FoulingCondition::ALL.into_iter().skip(1).zip(groups) {
        for rating in [low, high] {
            assert_eq!(FoulingCondition::from_nstm_rating(rating), Some(condition), "{rating}");
        }
    }
    assert_eq!(FoulingCondition::from_nstm_rating(101), None);
}

/// Roughness of 0.2 mm on a blade of 0.1 m chord is fully rough, where two published plate formulas
/// (from memory: a plausibility check) part by a fifth: Prandtl & Schlichting,
/// `CF = (1.89 + 1.62 log10(L/ks))^-2.5`, and Mills & Hang 1983, `(2.635 + 0.618 ln(L/ks))^-2.57`.
/// The similarity law must lie between them.
#[test]
fn blade_roughness_lies_between_two_fully_rough_plates() {
    let water = Water::sea(288.15);
    let (ks, chord, speed): (f64, f64, f64) = (2e-4, 0.10, 12.0);
    let smooth = cf_rough(speed * chord / water.viscosity_m2_s, 0.0, RoughnessFunction::Colebrook);
    let upper = (1.89 + 1.62 * (chord / ks).log10()).powf(-2.5);
    let lower = (2.635 + 0.618 * (chord / ks).ln()).powf(-2.57);
    let found = 0.5 * blade_drag_rise(ks, chord, speed, &water) + smooth;
    assert!(found > lower && found < upper, "{found} is not in {lower} to {upper}");
    assert_eq!(blade_drag_rise(0.0, chord, speed, &water), 0.0);
}

/// Which length growth goes by: strips along the waterlines of a hull with parabolic rocker, each a plate of its own
/// length (strip theory, the basis of a mean length), against one plate of 0.7 and of the whole waterline.
#[test]
fn growth_of_strips_is_that_of_seven_tenths() {
    let function = RoughnessFunction::Colebrook;
    let rise = |length: f64, speed: f64, sand: f64| {
        let reynolds = speed * length / 1.188e-6;
        cf_rough(reynolds, sand / length, function) - cf_rough(reynolds, 0.0, function)
    };
    for (length, speed) in [(8.0, 2.0), (8.0, 2.6), (10.0, 2.6)] {
        for sand in [30e-6, 100e-6, 1000e-6] {
            let (mut force, mut area) = (0.0, 0.0);
            for strip in 0..200 {
                let own = length * (1.0 - (f64::from(strip) + 0.5) / 200.0).sqrt();
                force += own * rise(own, speed, sand);
                area += own;
            }
            let strips = force / area;
            assert_within("seven tenths", rise(0.7 * length, speed, sand), strips, 0.005);
            let whole = rise(length, speed, sand) / strips;
            assert!((0.89..0.92).contains(&whole), "{whole}");
        }
    }
}
