//! What weight does to the invented boats: as a changed statement, as a sample of its own spread, as a load.
//! Random boats and outer bounds are in `hull_properties.rs`.
#![allow(clippy::unwrap_used, reason = "tests may stop")]

use wakewright_core::boat::{Boat, BoatSpec, Input};
use wakewright_core::hull::KeelKind;
use wakewright_core::options::{About, MassMove, Variant};
use wakewright_core::steady::PreparedBoat;
use wakewright_records::boat::{BoatDocument, build_spec};

fn examples() -> [(&'static str, BoatSpec); 3] {
    [
        ("sea campion", include_str!("../../../../examples/sea_campion.toml")),
        ("water avens", include_str!("../../../../examples/water_avens.toml")),
        ("sweet gale", include_str!("../../../../examples/sweet_gale.toml")),
    ]
    .map(|(name, text)| (name, build_spec(&BoatDocument::parse(text).unwrap()).unwrap()))
}

/// Calm-water resistance from 1 kn to the end of the method, every tenth of a m/s \[N\]; `None` when no honest
/// figure exists.
fn resistances_n(boat: &Boat) -> Option<Vec<f64>> {
    let prepared = PreparedBoat::new(boat).ok()?.value;
    let hull = prepared.hull();
    let speeds = (5..).map(|i| 0.1 * f64::from(i)).take_while(|speed| *speed <= hull.max_speed_m_s());
    Some(speeds.map(|speed| hull.breakdown(speed).map_or(f64::NAN, |parts| parts.calm_water_n())).collect())
}

fn rises(what: &str, rows: &[Vec<f64>]) {
    for pair in rows.windows(2) {
        for (i, (light, heavy)) in pair[0].iter().zip(&pair[1]).enumerate() {
            assert!(heavy > light, "{what}, {:.1} m/s: {light} to {heavy}", 0.1 * (i as f64 + 5.0));
        }
    }
}

#[test]
fn a_heavier_statement_is_more_drag_for_every_keel_measured_or_not() {
    for (name, spec) in examples() {
        for keel in
            [KeelKind::None, KeelKind::Fin, KeelKind::Twin, KeelKind::Long, KeelKind::LongWithAperture]
        {
            let mut boat = spec.boat.clone();
            boat.keel.kind = keel;
            // The chord of her own keel is none for another sort.
            boat.keel.mean_chord_m = None;
            for is_measured in [false, true] {
                boat.form.canoe_body_draught_m = is_measured.then(|| spec.boat.canoe_body_draught_m());
                let rows: Vec<_> = [0.85, 0.9, 0.95, 1.0, 1.05, 1.1, 1.15]
                    .iter()
                    .filter_map(|share| {
                        let mut weighed = boat.clone();
                        weighed.form.displacement_kg *= share;
                        resistances_n(&weighed)
                    })
                    .collect();
                // A motor boat with the canoe body as deep as she draws has no room for a keel.
                assert!(rows.len() == 7 || name == "water avens", "{name} {keel:?}: {}", rows.len());
                rises(&format!("{name} {keel:?} measured {is_measured}"), &rows);
            }
        }
    }
}

#[test]
fn samples_of_displacement_move_the_resistance_with_it() {
    for (name, spec) in examples() {
        let at = |deviate: f64| {
            let sampled = spec.sample_by(|input| if input == Input::Displacement { deviate } else { 0.0 });
            resistances_n(&sampled).unwrap()
        };
        let (light, as_stated, heavy) = (at(-1.2816), at(0.0), at(1.2816));
        rises(name, &[light.clone(), as_stated, heavy.clone()]);
        // Near hull speed, where the fits let resistance rise about with weight, the one band is about as wide as
        // the other; before, the keel took half of it back. A guard, no outside source.
        let spread = spec.uncertain.iter().find(|u| u.input == Input::Displacement).unwrap().spread;
        let hull_speed =
            ((spec.boat.form.length_waterline_m * 9.81 / std::f64::consts::TAU).sqrt() * 10.0) as usize;
        let band = (heavy[hull_speed - 5] / light[hull_speed - 5]).ln();
        let weight = (spread.p90 / spread.p10).ln();
        println!("{name}: band {band:.3} of resistance for {weight:.3} of weight");
        assert!((0.6..1.4).contains(&(band / weight)), "{name}: {band} {weight}");
    }
}

/// A load sinks her on the keel that she has: the same sign as a heavier statement, and of one size with it
/// (both stand for the same girth: a sinking boat gets fuller, a heavier one deeper).
#[test]
fn a_load_and_a_heavier_statement_agree() {
    for (name, spec) in examples() {
        let load_kg = 0.09 * spec.boat.form.displacement_kg;
        let load =
            vec![MassMove { what: "ballast".to_owned(), mass_kg: load_kg, aft_m: None, height_m: None }];
        let loaded = Variant::alternative("loaded", &spec, spec.clone(), load, About::default()).spec.boat;
        let mut stated = spec.boat.clone();
        stated.form.displacement_kg += load_kg;
        let base = resistances_n(&spec.boat).unwrap();
        let (loaded, stated) = (resistances_n(&loaded).unwrap(), resistances_n(&stated).unwrap());
        rises(name, &[base.clone(), loaded.clone()]);
        for i in 0..base.len() {
            let (by_load, by_weight) = (loaded[i] / base[i] - 1.0, stated[i] / base[i] - 1.0);
            assert!((by_load - by_weight).abs() < 0.02, "{name} {i}: {by_load} against {by_weight}");
        }
        println!("{name}: + 9 % weight at 1.8 m/s is {:+.1} % loaded", 100.0 * (loaded[13] / base[13] - 1.0));
    }
}
