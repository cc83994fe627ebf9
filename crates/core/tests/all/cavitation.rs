//! Cavitation, fitting and the tables of standards against published figures.

use wakewright_core::propeller::cavitation::{
    KELLER_SINGLE_SCREW, LoadingLimit, WorkingPropeller, least_area_ratio_keller, pressure_margin_pa,
    thrust_loading_blount_fox,
};
use wakewright_core::propeller::installation::{
    Service, is_near_resonance, largest_diameter_m, least_shaft_diameter_m, shaft_bending_frequency_hz,
    torsional_stress_pa,
};
use wakewright_core::propeller::standards::{AccuracyClass, SHAFT_TAPERS, shaft_taper};
use wakewright_core::water::Water;
use wakewright_testkit::{Table, assert_near, assert_within};

const SEA: Water = Water { density_kg_m3: 1025.0, viscosity_m2_s: 1.188e-6, vapour_pressure_pa: 1700.0 };

/// Worked example of \[holtrop1982\]: atmosphere less vapour 99 047 N/m², shaft 5.8 m deep, 2172.75 kN,
/// four blades, D 8 m: AE/A0 = 0.7393.
#[test]
fn holtrop1982_example_area_ratio() {
    let pressure = 99_047.0 + 1025.0 * 9.81 * 5.8;
    let ratio = least_area_ratio_keller(4, 2_172_750.0, 8.0, pressure, KELLER_SINGLE_SCREW);
    assert_near("AE/A0", ratio, 0.7393, 0.000_06);
}

/// By hand: 101 325 + 1025 · 9.80665 · 0.5 - 1700 = 104 650.9 Pa.
#[test]
fn pressure_at_the_shaft() {
    assert_near("pressure", pressure_margin_pa(&SEA, 0.5), 104_650.9, 0.05);
}

/// The lines are ordered where boats work, and the two 10 % lines (both from memory) agree in size.
#[test]
fn loading_lines_are_in_order() {
    for sigma in [0.1, 0.2, 0.4, 0.8, 1.5] {
        let [careful, usual, fast] = [LoadingLimit::Careful, LoadingLimit::Usual, LoadingLimit::Fast]
            .map(|line| line.thrust_loading(sigma));
        assert!(careful < usual, "{sigma}");
        if (0.3..1.0).contains(&sigma) {
            assert!(usual < fast, "{sigma}");
            assert_within("10 % lines", thrust_loading_blount_fox(sigma), fast, 0.2);
        }
    }
    assert_eq!(LoadingLimit::Usual.thrust_loading(0.0), 0.0);
}

/// Plausibility, common practice, no source: 16 in at 1000 rpm and 1 kN is easy; 5 kN at 2400 rpm is not.
#[test]
fn loading_of_easy_and_hard_blades() {
    let state = WorkingPropeller {
        thrust_n: 1000.0,
        speed_advance_m_s: 2.8,
        revs_per_s: 1000.0 / 60.0,
        diameter_m: 0.4064,
        pitch_ratio: 0.75,
        area_ratio: 0.5,
        shaft_depth_m: 0.6,
    };
    let used = |state: &WorkingPropeller| {
        let (sigma, loading) = state.loading(&SEA);
        loading / LoadingLimit::Fast.thrust_loading(sigma)
    };
    assert!(used(&state) < 0.5, "{}", used(&state));
    assert!(used(&WorkingPropeller { thrust_n: 5000.0, revs_per_s: 40.0, ..state }) > 1.0);
}

#[test]
fn iso484_classes() {
    let table = Table::read("propeller/iso484_classes.csv");
    let columns = ["class_S", "class_I", "class_II", "class_III"];
    for (class, column) in AccuracyClass::ALL.into_iter().zip(columns) {
        let t = class.tolerances();
        for row in 0..table.rows.len() {
            let (cell, number) = (table.text(row, column), table.number(row, column));
            let pair = |percent: f64, least_m: f64| {
                assert_eq!(cell, format!("{percent}% min {} mm", (least_m * 1e6).round() / 1e3), "{column}");
            };
            match table.text(row, "item") {
                "local_pitch_pct" => assert_eq!(t.local_pitch_percent, number),
                "mean_pitch_of_radius_pct" => assert_eq!(Some(t.radius_pitch_percent), number),
                "mean_pitch_of_blade_pct" => assert_eq!(Some(t.blade_pitch_percent), number),
                "mean_pitch_of_propeller_pct" => assert_eq!(Some(t.propeller_pitch_percent), number),
                "blade_angular_spacing_deg" => assert_eq!(Some(t.blade_spacing_deg), number),
                "rake_pct_of_D" => assert_eq!(Some(t.rake_percent_of_diameter), number),
                "thickness_plus" => pair(t.thickness_plus.percent, t.thickness_plus.at_least_m),
                "thickness_minus" => pair(t.thickness_minus.percent, t.thickness_minus.at_least_m),
                "section_length" => pair(t.section_length.percent, t.section_length.at_least_m),
                // Radii to measure are not carried; the last three rows are from memory.
                "measured_radii" | "radius_pct" | "static_balance_C" | "static_balance_K" => {}
                other => panic!("row {other} is not compared"),
            }
        }
    }
}

#[test]
fn saej755_taper() {
    const INCH_M: f64 = 0.0254;
    let table = Table::read("propeller/saej755_taper.csv");
    assert_eq!(table.rows.len(), SHAFT_TAPERS.len());
    for (row, taper) in SHAFT_TAPERS.iter().enumerate() {
        let inches = |column: &str| table.number(row, column).unwrap() * INCH_M;
        assert_near("shaft", taper.shaft_diameter_m, inches("shaft_dia_in"), 1e-12);
        assert_near("small end", taper.small_end_m, inches("shaft_small_end_in"), 1e-12);
        assert_near("length", taper.taper_length_m, inches("shaft_taper_length_in"), 1e-12);
        assert_near("bore", taper.bore_small_end_m, inches("prop_bore_small_end_in"), 1e-12);
        assert_near("keyway", taper.keyway_width_m, inches("keyway_width_in"), 1e-12);
        assert_eq!(taper.thread, table.text(row, "thread_UNC"));
        // Geometry: 1 in 16 on the diameter.
        let tapered = taper.shaft_diameter_m - taper.taper_length_m / 16.0;
        assert_near("1:16", taper.small_end_m, tapered, 0.000_5 * INCH_M);
    }
    assert!(shaft_taper(0.0254).is_some_and(|taper| taper.thread == "3/4-10"));
    assert!(shaft_taper(0.030).is_none());
}

#[test]
fn it_fits_and_holds() {
    let diameter = largest_diameter_m(0.52, Service::Usual);
    assert_near("aperture", diameter, 0.4, 1e-12);
    // By hand: 25 mm shaft, 100 N m: 16 · 100 / (pi · 0.025³) = 32.6 MPa.
    assert_within("stress", torsional_stress_pa(100.0, 0.025), 32.6e6, 0.001);
    let least = least_shaft_diameter_m(100.0, 140e6, 5.0).unwrap();
    assert_within("stress allowed", torsional_stress_pa(100.0, least), 28e6, 1e-12);
    // By hand: steel, 30 mm, 1.5 m: pi/8 · 0.03 / 2.25 · sqrt(200e9 / 7850) = 26.43 Hz.
    assert_within("bending", shaft_bending_frequency_hz(0.03, 1.5, 200e9, 7850.0), 26.43, 0.001);
    assert!(is_near_resonance(23.0, 26.4) && !is_near_resonance(20.0, 26.4));
}
