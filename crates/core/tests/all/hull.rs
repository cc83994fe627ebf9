//! Hull resistance against towing-tank measurements, published fits and worked figures.
#![allow(clippy::unwrap_used, reason = "helpers of tests fail by panicking")]

use crate::common::residuary_ratio;
use wakewright_core::constants::GRAVITY_M_S2;
use wakewright_core::friction::frictional_coefficient_ittc1957;
use wakewright_core::hull::friction::wetted_surface_m2;
use wakewright_core::hull::nodes::{NodeCurve, curve_value, fourth_power_curve};
use wakewright_core::hull::own_fit::{COLUMNS, column_froude, own_estimate};
use wakewright_core::hull::residuary::{Parameters1992, residuary_curve, residuary_ratio_gerritsma1992};
use wakewright_core::hull::{
    CanoeBody, FormKnown, HullForm, HullKind, Keel, KeelKind, ResiduaryMethod, Rudder, RudderKind, complete,
};
use wakewright_core::water::Water;
use wakewright_testkit::{Table, assert_near};

/// Hulls whose rows look like tests with keel and rudder: friction / total at Fn 0.15 is 0.58 to
/// 0.75 there, 0.9 to 1.1 elsewhere.
const SUSPECT: [u32; 7] = [8, 9, 13, 19, 30, 32, 34];

/// Fresh water of 15 °C, assumed for the towing tank.
fn tank() -> Water {
    Water { density_kg_m3: 999.1, viscosity_m2_s: 1.1386e-6, vapour_pressure_pa: 1705.0 }
}

/// Canoe body of a row of the model table, with everything as measured.
fn measured_body(models: &Table, row: usize) -> CanoeBody {
    let get = |column: &str| models.number(row, column).unwrap();
    let length = get("lwl_m");
    CanoeBody {
        length_waterline_m: length,
        beam_waterline_m: get("bwl_m"),
        draught_m: get("tc_m"),
        volume_m3: get("vol_m3"),
        prismatic_coefficient: get("cp"),
        midship_coefficient: get("cm"),
        lcb_fraction: 0.5 - get("lcb_m_from_mid") / length,
        lcf_fraction: 0.5 - get("lcf_m_from_mid") / length,
        waterplane_area_m2: get("aw_m2"),
        wetted_surface_m2: get("sc_m2"),
    }
}

/// The same hull known by length, beam and displacement alone, without keel and rudder.
fn body_from_three(models: &Table, row: usize) -> CanoeBody {
    let get = |column: &str| models.number(row, column).unwrap();
    let form = HullForm {
        kind: HullKind::SailingYacht,
        length_waterline_m: get("lwl_m"),
        beam_waterline_m: get("bwl_m"),
        displacement_kg: get("vol_m3") * tank().density_kg_m3,
        draught_m: 1.0,
        canoe_body_draught_m: None,
        prismatic_coefficient: None,
        midship_coefficient: None,
        lcb_fraction: None,
        lcf_fraction: None,
        waterplane_area_m2: None,
    };
    let keel = Keel {
        kind: KeelKind::Fin,
        mean_chord_m: None,
        thickness_ratio: None,
        wetted_area_m2: Some(0.0),
        volume_m3: Some(0.0),
    };
    let rudder = Rudder {
        kind: RudderKind::Spade,
        mean_chord_m: None,
        thickness_ratio: None,
        wetted_area_m2: Some(0.0),
    };
    complete(&form, &keel, &rudder, &tank()).unwrap().value.body
}

fn hull_friction_n(body: &CanoeBody, speed_m_s: f64, water: &Water) -> f64 {
    let reynolds = speed_m_s * 0.7 * body.length_waterline_m / water.viscosity_m2_s;
    0.5 * water.density_kg_m3
        * speed_m_s.powi(2)
        * body.wetted_surface_m2
        * frictional_coefficient_ittc1957(reynolds)
}

/// Relative error of total resistance over the points of a Froude band.
#[derive(Debug)]
struct Band {
    rms: f64,
    bias: f64,
    count: f64,
}

/// The error in each Froude band.
fn errors_by_band(
    body_of: impl Fn(&Table, usize) -> CanoeBody,
    method: ResiduaryMethod,
    read: fn(&NodeCurve, f64) -> f64,
) -> [Band; 4] {
    let models = Table::read("hull/dsyhs2022_models.csv");
    let points = Table::read("hull/dsyhs2022_resistance.csv");
    let mut errors: [Vec<f64>; 4] = Default::default();
    let edges = [0.15, 0.25, 0.35, 0.45, 0.60];
    for row in 0..models.rows.len() {
        let name = models.number(row, "sysser").unwrap();
        if SUSPECT.contains(&(name as u32)) {
            continue;
        }
        let body = body_of(&models, row);
        for point in (0..points.rows.len()).filter(|&p| points.number(p, "sysser") == Some(name)) {
            let speed = points.number(point, "v_ms").unwrap();
            // g decides on which side of an edge a nominal speed lies; 9.81 comes nearer to the
            // evaluation's rms than 9.80665, its own value is not known.
            let froude = speed / (9.81 * body.length_waterline_m).sqrt();
            let Some(band) = (0..4).find(|&b| froude >= edges[b] && froude < edges[b + 1]) else {
                continue;
            };
            let weight = body.volume_m3 * tank().density_kg_m3 * GRAVITY_M_S2;
            let found = read(&residuary_curve(&body, method), froude) * weight
                + hull_friction_n(&body, speed, &tank());
            errors[band].push(found / points.number(point, "rt_n").unwrap() - 1.0);
        }
    }
    errors.map(|band| {
        assert!(band.len() > 50, "{}", band.len());
        let count = band.len() as f64;
        Band {
            rms: (band.iter().map(|e| e * e).sum::<f64>() / count).sqrt(),
            bias: band.iter().sum::<f64>() / count,
            count,
        }
    })
}

/// Straight between the columns every 0.05, as that evaluation read the fits.
fn straight(curve: &NodeCurve, froude: f64) -> f64 {
    let column = (froude * 20.0 + 1e-9).floor();
    let (low, high) = (curve[2 * column as usize].0, curve[2 * column as usize + 2].0);
    low + (high - low) * (froude * 20.0 - column)
}

/// Bounds are the figures of an independent evaluation, printed to 0.1 %.
///
/// The bands end at nominal test speeds, so rounding decides into which band a point falls: moving
/// the edge at 0.45 by 0.0005 moves the third band's rms from 4.67 to 4.78 %, by 0.001 to 5.1 %. Hence
/// 0.1 points of room for one band, and none beyond the printed digit for all points together.
fn assert_bands(what: &str, found: [Band; 4], rms_percent: [f64; 4], bias_percent: [f64; 4]) {
    let (mut square, mut bound, mut count) = (0.0, 0.0, 0.0);
    for (band, (rms, bias)) in found.iter().zip(rms_percent.iter().zip(&bias_percent)) {
        assert!(100.0 * band.rms <= rms + 0.1, "{what}: {band:?}, bound {rms} %");
        assert_near(&format!("{what}, bias"), 100.0 * band.bias, *bias, 0.15);
        square += band.count * (100.0 * band.rms).powi(2);
        bound += band.count * (rms + 0.05).powi(2);
        count += band.count;
    }
    let (all, all_bound) = ((square / count).sqrt(), (bound / count).sqrt());
    assert!(all <= all_bound, "{what}, all points: {all} %, bound {all_bound} %");
}

#[test]
fn total_resistance_of_44_measured_hulls() {
    use ResiduaryMethod::{KeuningKatgert2008, KeuningSonnenberg1998};
    assert_bands(
        "1998, all parameters",
        errors_by_band(measured_body, KeuningSonnenberg1998, straight),
        [4.6, 3.9, 4.6, 3.3],
        [2.8, 1.3, 1.6, 0.2],
    );
    assert_bands(
        "2008, all parameters",
        errors_by_band(measured_body, KeuningKatgert2008, straight),
        [4.2, 4.8, 4.7, 3.4],
        [2.3, 2.6, 1.6, 0.5],
    );
    assert_bands(
        "1998, length, beam, displacement",
        errors_by_band(body_from_three, KeuningSonnenberg1998, straight),
        [4.8, 6.0, 6.1, 4.3],
        [2.4, 1.0, 0.7, -0.5],
    );
    assert_bands(
        "2008, length, beam, displacement",
        errors_by_band(body_from_three, KeuningKatgert2008, straight),
        [4.6, 6.2, 5.8, 4.6],
        [1.8, 2.1, 0.4, -0.8],
    );
}

/// The curves in use, in step with the fourth power between columns, against the same measurements: no figure of
/// another's, so only that they err no more than the straight lines.
#[test]
fn curves_between_columns_err_less_than_lines() {
    for method in [ResiduaryMethod::KeuningSonnenberg1998, ResiduaryMethod::KeuningKatgert2008] {
        let lines = errors_by_band(measured_body, method, straight);
        for (curve, line) in errors_by_band(measured_body, method, curve_value).iter().zip(&lines) {
            assert!(curve.rms < line.rms + 1e-3, "{method:?}: {curve:?} against {line:?}");
        }
    }
}

#[test]
fn residuary_check_numbers() {
    let models = Table::read("hull/dsyhs2022_models.csv");
    let checks = Table::read("hull/keuning1998_sysser1_check.csv");
    let body = measured_body(&models, 0);
    for row in 0..checks.rows.len() {
        let froude = checks.number(row, "fn").unwrap();
        for (method, column) in [
            (ResiduaryMethod::KeuningSonnenberg1998, "rr_1998"),
            (ResiduaryMethod::KeuningKatgert2008, "rr_2008"),
            (ResiduaryMethod::Gerritsma1992, "rr_1992"),
        ] {
            let expected = checks.number(row, column).unwrap();
            let what = format!("{column} at {froude}");
            let curve = residuary_curve(&body, method);
            // The evaluation is straight between columns; 0.325 lies between two of 1998 and 2008.
            if froude == 0.325 && method != ResiduaryMethod::Gerritsma1992 {
                assert_near(&what, straight(&curve, froude), expected, 0.6e-6);
                let found = residuary_ratio(&body, method, froude);
                assert!(found < expected && found > 0.8 * expected, "{what}: {found} under the chord");
            } else {
                assert_near(&what, residuary_ratio(&body, method, froude), expected, 0.6e-6);
            }
        }
    }
}

#[test]
fn wetted_surface_of_51_hulls() {
    let models = Table::read("hull/dsyhs2022_models.csv");
    let errors: Vec<f64> = (0..models.rows.len())
        .map(|row| {
            let b = measured_body(&models, row);
            let (length, beam) = (b.length_waterline_m, b.beam_waterline_m);
            wetted_surface_m2(length, beam, b.draught_m, b.volume_m3, b.midship_coefficient)
                / b.wetted_surface_m2
                - 1.0
        })
        .collect();
    let mean = errors.iter().sum::<f64>() / errors.len() as f64;
    let rms = (errors.iter().map(|e| e * e).sum::<f64>() / errors.len() as f64).sqrt();
    let largest = errors.iter().fold(0.0_f64, |a, e| a.max(e.abs()));
    assert_near("bias %", 100.0 * mean, 1.0, 0.05);
    assert_near("rms %", 100.0 * rms, 2.9, 0.05);
    assert_near("largest %", 100.0 * largest, 9.2, 0.05);
}

/// At Fn 0.10 to 0.15 residuary resistance is next to nothing, so friction alone must be the
/// measured total: that is the check of the line, of 0.7 of the length, and of no form factor.
#[test]
fn friction_is_the_total_at_low_speed() {
    let models = Table::read("hull/dsyhs2022_models.csv");
    let points = Table::read("hull/dsyhs2022_resistance.csv");
    let mut ratios = Vec::new();
    for row in 0..models.rows.len() {
        let name = models.number(row, "sysser").unwrap();
        let body = measured_body(&models, row);
        for point in 0..points.rows.len() {
            let speed = points.number(point, "v_ms").unwrap();
            let froude = speed / (GRAVITY_M_S2 * body.length_waterline_m).sqrt();
            let counts = points.number(point, "sysser") == Some(name)
                && !SUSPECT.contains(&(name as u32))
                && (0.09..0.16).contains(&froude);
            if counts {
                ratios.push(hull_friction_n(&body, speed, &tank()) / points.number(point, "rt_n").unwrap());
            }
        }
    }
    ratios.sort_by(f64::total_cmp);
    let median = ratios[ratios.len() / 2];
    assert_near("median of friction / total", median, 1.0, 0.05);
}

/// Smooth ITTC value of the independent calculation (10 m, 5 kn): printed to 1e-6.
#[test]
fn ittc_line() {
    assert_near("CF at 2.16498e7", frictional_coefficient_ittc1957(2.164_98e7), 0.002_635, 5.1e-7);
    // Definition of the line: 0.075 / (7 - 2)^2 at Re 1e7.
    assert_near("CF at 1e7", frictional_coefficient_ittc1957(1e7), 0.003, 1e-15);
}

/// The 1992 fit on the open set: bias and rms in % of the mean at that Froude number.
#[test]
fn fit_of_1992_on_the_open_set() {
    let set = Table::read("hull/delft308_residuary.csv");
    assert_eq!(set.rows.len(), 308);
    for (froude, bias, rms) in [
        (0.125, -10.0, 51.0),
        (0.20, -8.0, 15.0),
        (0.25, -3.7, 8.0),
        (0.30, -2.5, 6.0),
        (0.35, -1.9, 4.1),
        (0.40, -0.7, 2.5),
        (0.45, -0.5, 3.0),
    ] {
        let rows: Vec<usize> = (0..308).filter(|&r| set.number(r, "fn") == Some(froude)).collect();
        assert_eq!(rows.len(), 22);
        let measured = |r: usize| set.number(r, "rr_per_weight_x1000").unwrap();
        let mean = rows.iter().map(|&r| measured(r)).sum::<f64>() / 22.0;
        let errors: Vec<f64> = rows
            .iter()
            .map(|&r| {
                let get = |column: &str| set.number(r, column).unwrap();
                let parameters = Parameters1992 {
                    prismatic_coefficient: get("cp"),
                    lcb_percent: get("lcb_pct"),
                    beam_draught: get("b_over_t"),
                    slenderness: get("l_over_vol13"),
                    length_beam: get("l_over_b"),
                    waterplane_ratio: f64::NAN,
                };
                1000.0 * residuary_ratio_gerritsma1992(&parameters, froude).unwrap() - measured(r)
            })
            .collect();
        let found_bias = 100.0 * errors.iter().sum::<f64>() / 22.0 / mean;
        let found_rms = 100.0 * (errors.iter().map(|e| e * e).sum::<f64>() / 22.0).sqrt() / mean;
        // Printed to 0.1 points from Fn 0.25 up, to 1 point below.
        let rounding = if froude < 0.25 { 0.55 } else { 0.06 };
        assert_near(&format!("bias at {froude}"), found_bias, bias, rounding);
        assert_near(&format!("rms at {froude}"), found_rms, rms, rounding);
    }
}

const TIERS: [FormKnown; 3] = [FormKnown::Lines, FormKnown::Section, FormKnown::Tape];

/// The own fit's table in the program against the same fit evaluated by the script that made it, for all 51
/// models: that its terms are in the same order and nothing was lost in print.
#[test]
fn own_fit_as_its_script_evaluates_it() {
    let models = Table::read("hull/dsyhs2022_models.csv");
    let checks = Table::read("hull/ownfit_checks.csv");
    for row in 0..models.rows.len() {
        let body = measured_body(&models, row);
        for known in TIERS {
            let found = own_estimate(&body, known);
            let rows: Vec<usize> = (0..checks.rows.len())
                .filter(|&r| {
                    checks.number(r, "sysser") == models.number(row, "sysser")
                        && checks.number(r, "measures") == Some(known.measures() as f64)
                })
                .collect();
            assert_eq!(rows.len(), 4);
            for check in rows {
                let froude = checks.number(check, "fn").unwrap();
                let column = (0..COLUMNS).find(|&c| (column_froude(c) - froude).abs() < 1e-9).unwrap();
                let what = format!("{known:?} row {row} at {froude}");
                assert_near(&what, found.ratio[column], checks.number(check, "ratio").unwrap(), 1.1e-8);
                assert_near(
                    &what,
                    found.deviation[column],
                    checks.number(check, "deviation").unwrap(),
                    1.1e-8,
                );
            }
        }
    }
}

/// The own fit on the measured hulls themselves: in-sample, so a bound only from above; what it errs on hulls it
/// has not seen stands in `reference/hull/ownfit_leave_one_out.csv`, and must be more than here.
#[test]
fn own_fit_on_the_44_measured_hulls() {
    let kept = Table::read("hull/ownfit_leave_one_out.csv");
    for (known, name) in TIERS.into_iter().zip(["six", "four", "two"]) {
        let standing = format!("hull left out (the fit of {name} measures)");
        let row = (0..kept.rows.len()).find(|&r| kept.text(r, "standing") == standing).unwrap();
        let bands = errors_by_band(measured_body, ResiduaryMethod::OwnFit(known), curve_value);
        for (band, column) in
            bands.iter().zip(["rms_0.15_0.25", "rms_0.25_0.35", "rms_0.35_0.45", "rms_0.45_0.60"])
        {
            let left_out = kept.number(row, column).unwrap();
            assert!(100.0 * band.rms < left_out, "{known:?}, {column}: {band:?} against {left_out}");
            assert!(100.0 * band.bias.abs() < 1.0, "{known:?}, {column}: {band:?}");
        }
        let inside = kept.number(row, "inside_all").unwrap();
        assert!((75.0..=85.0).contains(&inside), "{inside} % of left-out points inside their 80 % bands");
    }
    let all = |fit: &str, standing: &str| {
        let is_it = |r: usize| kept.text(r, "fit") == fit && kept.text(r, "standing") == standing;
        kept.number((0..kept.rows.len()).find(|&r| is_it(r)).unwrap(), "rms_all").unwrap()
    };
    let own = all("polynomial of degree 2", "hull left out (the fit of six measures)");
    for fit in ["1998", "2008"] {
        assert!(own < all(fit, "terms refitted; hull left out"), "a default beats the refitted forms");
    }
}

/// Between columns: the open set with keel and rudder, measured at half steps, against the fourth-power cubics
/// through its whole steps. Straight lines give 6 to 14 % too much there.
#[test]
fn half_steps_of_the_open_set() {
    let set = Table::read("hull/delft308_residuary.csv");
    let value = |hull: usize, step: usize| set.number(14 * hull + step, "rr_per_weight_x1000").unwrap();
    for step in [2, 4, 6, 8, 10, 12] {
        let froude = 0.125 + 0.025 * step as f64;
        let (mut curved, mut straight) = (0.0, 0.0);
        for hull in 0..22 {
            let columns: Vec<(f64, f64)> =
                (0..7).map(|k| (0.15 + 0.05 * k as f64, value(hull, 1 + 2 * k))).collect();
            let node = (froude * 40.0).round() as usize;
            curved += fourth_power_curve(&columns)[node].0 / value(hull, step) / 22.0;
            straight += 0.5 * (value(hull, step - 1) + value(hull, step + 1)) / value(hull, step) / 22.0;
        }
        assert!((curved - 1.0).abs() < 0.05, "at {froude}: {curved}");
        assert!(straight > 1.055 && straight < 1.15, "at {froude}: {straight}");
    }
}

/// What fuller ends cost near Fn 0.35 is measured: Sysser 21 (Cp 0.598) and 14 (0.529) are of one length, beam and
/// displacement. A motor boat, fuller still, is not computed by the middle of sailing boats.
#[test]
fn fuller_ends_cost_what_was_measured() {
    let models = Table::read("hull/dsyhs2022_models.csv");
    let points = Table::read("hull/dsyhs2022_resistance.csv");
    let residuary = |sysser: f64| {
        let row = (0..models.rows.len()).find(|&r| models.number(r, "sysser") == Some(sysser)).unwrap();
        let body = measured_body(&models, row);
        let froude = |p: usize| points.number(p, "v_ms").unwrap() / (9.81 * body.length_waterline_m).sqrt();
        let point = (0..points.rows.len())
            .filter(|&p| points.number(p, "sysser") == Some(sysser))
            .min_by(|&a, &b| (froude(a) - 0.35).abs().total_cmp(&(froude(b) - 0.35).abs()))
            .unwrap();
        let speed = points.number(point, "v_ms").unwrap();
        let measured = points.number(point, "rt_n").unwrap() - hull_friction_n(&body, speed, &tank());
        let own = |known| residuary_ratio(&body, ResiduaryMethod::OwnFit(known), froude(point));
        (measured, own(FormKnown::Lines), own(FormKnown::Section))
    };
    let (fine, full) = (residuary(14.0), residuary(21.0));
    let measured = full.0 / fine.0;
    assert!((1.4..1.6).contains(&measured), "{measured}");
    for found in [full.1 / fine.1, full.2 / fine.2] {
        assert!((found / measured - 1.0).abs() < 0.15, "{found} against {measured} measured");
    }
}

/// Beyond the heaviest measured hull (L/V^(1/3) 4.34) nothing is measured here: near hull speed the own fit and the two
/// published ones, that were fitted apart, agree within 13 % down to 3.9, so that what a heavy boat is said to need
/// there is no artefact of one of them.
#[test]
fn three_opinions_beyond_the_heaviest_hull() {
    for slenderness in [4.34, 4.1, 3.9_f64] {
        let length = 8.0;
        let volume: f64 = (length / slenderness).powi(3);
        let form = HullForm {
            kind: HullKind::SailingYacht,
            length_waterline_m: length,
            beam_waterline_m: 2.7,
            displacement_kg: volume * tank().density_kg_m3,
            draught_m: 2.0,
            canoe_body_draught_m: None,
            prismatic_coefficient: None,
            midship_coefficient: None,
            lcb_fraction: None,
            lcf_fraction: None,
            waterplane_area_m2: None,
        };
        let none = Some(0.0);
        let keel = Keel {
            kind: KeelKind::Fin,
            mean_chord_m: None,
            thickness_ratio: None,
            wetted_area_m2: none,
            volume_m3: none,
        };
        let rudder = Rudder {
            kind: RudderKind::None,
            mean_chord_m: None,
            thickness_ratio: None,
            wetted_area_m2: None,
        };
        let body = complete(&form, &keel, &rudder, &tank()).unwrap().value.body;
        let own = residuary_ratio(&body, ResiduaryMethod::OwnFit(FormKnown::of(&form)), 0.40);
        for rival in [ResiduaryMethod::KeuningSonnenberg1998, ResiduaryMethod::KeuningKatgert2008] {
            let apart = residuary_ratio(&body, rival, 0.40) / own - 1.0;
            assert!(apart.abs() < 0.13, "{rival:?} at {slenderness}: {apart}");
        }
    }
}
