//! Offers: fuel against published figures, money to the cent.

use wakewright_core::offer::{
    Money, Part, Priced, carbon_kg, fuel_energy_j_m3, fuel_heat_j, fuel_volume_m3, sums,
};
use wakewright_testkit::{Table, assert_near};

#[test]
fn fuels_are_those_of_the_published_rows() {
    let table = Table::read("electric/energy_facts.csv");
    let mut compared = 0;
    for row in 0..5 {
        let item = table.text(row, "item");
        let of = |column: &str| table.number(row, column);
        if let (Some(heating), Some(density), Some(energy)) =
            (of("heating_mj_kg"), of("density_kg_m3"), of("energy_kwh_l"))
        {
            let tolerance = if energy < 9.92 { 5e-4 } else { 5e-3 };
            assert_near(item, fuel_energy_j_m3(heating * 1e6, density) / 3.6e9, energy, tolerance);
            compared += 1;
        }
        if let (Some(engine), Some(density), Some(shaft)) =
            (of("engine_g_kwh"), of("density_kg_m3"), of("shaft_kwh_l"))
        {
            // Of the blend; another density stands in the row.
            let litres = 1000.0 * fuel_volume_m3(3.6e6, engine / 1000.0 / 3.6e6) * 832.36 / density;
            assert_near(item, 1.0 / litres, shaft, 0.05);
            compared += 1;
        }
        if item.starts_with("forecourt") {
            assert_near(item, carbon_kg(1e-3), of("carbon_kg_l").unwrap(), 5e-4);
        }
    }
    assert_eq!(compared, 5);
    assert_near("a litre of the blend", fuel_heat_j(1e-3) / 3.6e6, 9.905, 5e-4);
}

fn part(name: &str, each: &str, thousandths: u64, hours_hundredths: u64) -> Part {
    Part {
        name: name.to_owned(),
        rating: String::new(),
        thousandths,
        in_metres: false,
        mass_kg: None,
        priced: Some(Priced {
            each: Money::read(each).unwrap(),
            day: "2026-11-20".to_owned(),
            hours_hundredths,
        }),
    }
}

/// By hand: ten times 0.10 is 1.00, which doubles add to 0.9999999999999999; 19.99 x 3 = 59.97; 2.4 m at 11.40 = 27.36;
/// 88.33 and 1.25 h at 55.10 (68.875, rounded up 68.88) are 157.21, 10 % of it 15.721, all 172.93.
#[test]
fn sums_are_right_to_the_cent_and_currencies_stay_apart() {
    let mut parts: Vec<Part> = (0..10).map(|_| part("clamp", "0.10 EUR", 1000, 0)).collect();
    parts.push(part("relay", "19.99 EUR", 3000, 125));
    parts.push(part("cable", "EUR 11.40", 2400, 0));
    parts.push(part("motor", "2,150 GBP", 1000, 0));
    let labour = Money::read("55.10 EUR").unwrap();
    let found = sums(&parts, Some(&labour), 100);
    let said: Vec<String> = found.iter().map(|sum| sum.total.to_string()).collect();
    assert_eq!(found[0].parts.to_string(), "88.33 EUR");
    assert_eq!(found[0].labour.to_string(), "68.88 EUR");
    assert_eq!(found[0].contingency.to_string(), "15.72 EUR");
    assert_eq!(said, ["172.93 EUR", "2,365.00 GBP"]);
}

#[test]
fn what_is_no_money_is_refused() {
    for text in ["", "EUR", "12", "1.900 EUR", "1,9 EUR", "-3 EUR", "12 EUR 4", "1e12 EUR", "12 pieces"] {
        assert!(Money::read(text).is_err(), "{text}");
    }
    assert_eq!(Money::read("£300").unwrap().to_string(), "300.00 £");
}
