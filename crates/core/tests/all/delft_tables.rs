//! The residuary fits against the published coefficients as they lie in `reference/`, summed anew.
#![allow(clippy::unwrap_used, reason = "tests may stop")]

use crate::common::heavy_long_keeler;
use wakewright_core::hull::keel_residuary::keel_residuary_curve;
use wakewright_core::hull::residuary::residuary_curve;
use wakewright_core::hull::{CompletedHull, ResiduaryMethod, complete};
use wakewright_testkit::{Table, assert_near};

fn hull() -> CompletedHull {
    let boat = heavy_long_keeler();
    complete(&boat.form, &boat.keel, &boat.rudder, &boat.water).unwrap().value
}

/// Sum of the row's coefficients times their terms; not below zero.
fn summed(table: &Table, row: usize, terms: &[(&str, f64)]) -> f64 {
    terms.iter().map(|(column, term)| table.number(row, column).unwrap() * term).sum::<f64>().max(0.0)
}

#[test]
fn keuning1998_residuary() {
    let table = Table::read("hull/keuning1998_residuary.csv");
    let body = hull().body;
    let found = residuary_curve(&body, ResiduaryMethod::KeuningSonnenberg1998);
    let slender = body.volume_m3.cbrt() / body.length_waterline_m;
    let v23 = body.volume_m3.powf(2.0 / 3.0);
    let (xb, cp) = (body.lcb_fraction, body.prismatic_coefficient);
    let terms = [
        ("a0", 1.0),
        ("a1", slender * xb),
        ("a2", slender * cp),
        ("a3", slender * v23 / body.waterplane_area_m2),
        ("a4", slender * body.beam_waterline_m / body.length_waterline_m),
        ("a5", slender * v23 / body.wetted_surface_m2),
        ("a6", slender * xb / body.lcf_fraction),
        ("a7", slender * xb * xb),
        ("a8", slender * cp * cp),
    ];
    for row in 0..table.rows.len() {
        let node = (table.number(row, "fn").unwrap() * 40.0).round() as usize;
        assert_near("residuary / weight", found[node].0, summed(&table, row, &terms), 1e-12);
    }
}

#[test]
fn keuning1998_keel() {
    let table = Table::read("hull/keuning1998_keel.csv");
    let hull = hull();
    let (body, keel) = (&hull.body, hull.keel.as_ref().unwrap());
    let found = keel_residuary_curve(body, hull.draught_m, keel);
    let terms = [
        ("A0", 1.0),
        ("A1", hull.draught_m / body.beam_waterline_m),
        ("A2", (body.draught_m + keel.centroid_below_root_m) / keel.volume_m3.cbrt()),
        ("A3", body.volume_m3 / keel.volume_m3),
    ];
    for row in 0..table.rows.len() {
        let node = (table.number(row, "fn").unwrap() * 40.0).round() as usize;
        assert_near("residuary / weight", found[node].0, summed(&table, row, &terms), 1e-12);
    }
}
