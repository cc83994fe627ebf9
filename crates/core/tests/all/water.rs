//! Properties of water against published tables.

use wakewright_core::water::Water;
use wakewright_testkit::{Table, assert_within};

#[test]
fn water_against_tables() {
    let sea = Table::read("hull/ittc2011_seawater.csv");
    for row in 0..sea.rows.len() {
        let t = sea.number(row, "temperature_c").unwrap();
        let water = Water::sea(t + 273.15);
        let expected = sea.number(row, "viscosity_m2_s").unwrap();
        assert_within(&format!("sea viscosity at {t}"), water.viscosity_m2_s, expected, 0.003);
    }
    let fresh = Table::read("hull/handbook_fresh_water.csv");
    for row in 0..fresh.rows.len() {
        let get = |column: &str| fresh.number(row, column).unwrap();
        let t = get("temperature_c");
        let water = Water::fresh(t + 273.15);
        let viscosity = water.viscosity_m2_s * water.density_kg_m3;
        assert_within(&format!("density at {t}"), water.density_kg_m3, get("density_kg_m3"), 2e-4);
        assert_within(&format!("viscosity at {t}"), viscosity, get("viscosity_pa_s"), 5e-3);
        let pressure = water.vapour_pressure_pa;
        assert_within(&format!("vapour pressure at {t}"), pressure, get("vapour_pressure_pa"), 2e-3);
    }
    // From memory: ITTC sea water of 15 degC, 1026.02 kg/m3.
    assert_within("sea density", Water::sea(288.15).density_kg_m3, 1026.02, 2e-4);
}
