//! Charging and gas against worked examples. Peukert, packs in parallel and their sharing are in
//! `battery.rs`.
#![allow(clippy::unwrap_used, reason = "tests may stop")]

use proptest::prelude::*;
use wakewright_core::battery::ventilation::{hydrogen_m3_s, opening_m2, ventilation_m3_s};
use wakewright_core::battery::{Bank, Chemistry, PackGroup, Taper, charge};
use wakewright_core::caution::{COOL_TO_CHARGE, TOO_COLD_TO_CHARGE};
use wakewright_testkit::{Table, assert_within};

const HOUR_S: f64 = 3600.0;

/// Rows on CC/CV and on ventilation; tolerances are half a unit of the last printed digit.
#[test]
fn collected_charging() {
    let table = Table::read("electric/collected_charging.csv");
    for row in 0..table.rows.len() {
        let number = |column: &str| table.number(row, column).unwrap();
        let (a, b, c) = (number("a"), number("b"), table.number(row, "c").unwrap_or(f64::NAN));
        let found = match table.text(row, "quantity") {
            "taper time constant, min" => Taper::of_charge(a, b, c * HOUR_S).time_constant_s / 60.0,
            "taper duration, min" => Taper::of_charge(a, b, c * HOUR_S).duration_s() / 60.0,
            "air, m3/h" => ventilation_m3_s(a as u32, b) * HOUR_S,
            "opening, cm2" => opening_m2(ventilation_m3_s(a as u32, b)) * 1e4,
            "hydrogen, ft3/min" => hydrogen_m3_s(a as u32, b, 298.15) * 60.0 / 0.3048_f64.powi(3),
            other => panic!("{other}"),
        };
        let (expected, tolerance) = (number("value"), number("half_last_digit"));
        assert!((found - expected).abs() <= tolerance, "row {row}: {found} against {expected}");
    }
}

fn bank(chemistry: Chemistry, ampere_hours: f64) -> Bank {
    Bank::of(PackGroup::new(chemistry, 16, ampere_hours * HOUR_S, 1), 0.5)
}

/// With a strong source the end of the charge is the exponential taper of the worked example's form.
#[test]
fn cells_limit_with_the_exponential_taper() {
    let bank = bank(Chemistry::Nmc111, 100.0);
    let found = charge(&bank, 50_000.0, 0.75, 1.0).unwrap().unwrap();
    assert_eq!(found.constant_s, 0.0);
    let efficiency = Chemistry::Nmc111.coulombic_efficiency(bank.temperature_k);
    let taper = Taper::of_charge(50.0, 5.0, 25.0 * HOUR_S / efficiency);
    assert_within("duration", found.duration_s, taper.duration_s(), 1e-3);
    assert_within("charge", found.charge_coulomb, taper.charge_coulomb(), 1e-9);
}

/// A weak source meets the taper later, or never.
#[test]
fn slow_charges_taper_late() {
    let bank = bank(Chemistry::Lfp, 200.0);
    let fast = charge(&bank, 6_000.0, 0.2, 1.0).unwrap().unwrap();
    let slow = charge(&bank, 400.0, 0.2, 1.0).unwrap().unwrap();
    assert!(slow.taper_s < 0.02 * slow.duration_s, "{slow:?}");
    assert!(fast.taper_s > 0.1 * fast.duration_s, "{fast:?}");
}

#[test]
fn cold_lithium_takes_no_charge() {
    let cold = Bank { temperature_k: 272.0, ..bank(Chemistry::Lfp, 100.0) };
    assert!(charge(&cold, 1000.0, 0.2, 0.9).unwrap().is_none());
    assert!(charge(&bank(Chemistry::Lfp, 100.0), -5.0, 0.2, 0.9).is_err());
    assert!(charge(&bank(Chemistry::Lfp, 100.0), 5.0, 0.9, 0.2).is_err());
}

/// [coldcharge2024]: below 10 °C a tenth of the hour's rate; at 0 °C no more than that, from 10 °C as before, and
/// never less when warmer. Lead as before at any of them.
#[test]
fn cool_lithium_is_charged_slowly() {
    let at = |chemistry, celsius: f64| Bank { temperature_k: 273.15 + celsius, ..bank(chemistry, 200.0) };
    let limit_a = |chemistry, celsius| at(chemistry, celsius).prepare().unwrap().charge_limit_a;
    for chemistry in [Chemistry::Lfp, Chemistry::Nmc111, Chemistry::Nmc811] {
        assert_within("at 0 °C", limit_a(chemistry, 0.0), 20.0, 1e-12);
        // From there the limit that stands for a sheet: half the hour's rate.
        assert_within("at 10 °C", limit_a(chemistry, 10.0), 100.0, 1e-12);
        assert_within("at 9 °C", limit_a(chemistry, 9.0), 20.0, 1e-12);
        assert_eq!(limit_a(chemistry, -0.1), 0.0);
        let limits: Vec<f64> = (0..=100).map(|tenth| limit_a(chemistry, f64::from(tenth) / 10.0)).collect();
        assert!(limits.windows(2).all(|pair| pair[1] >= pair[0]));
        // Colder never charges faster, whatever the source.
        for power_w in [500.0, 3000.0, 20_000.0] {
            let hours = |celsius| {
                let cold = at(chemistry, celsius);
                let capacity = cold.prepare().unwrap().capacity_coulomb;
                let found = charge(&cold, power_w, 0.2, 0.7).unwrap().unwrap();
                (found, found.duration_s / capacity)
            };
            let times: Vec<f64> = [0.0, 3.0, 6.0, 9.0, 10.0, 25.0].map(|celsius| hours(celsius).1).to_vec();
            assert!(
                times.windows(2).all(|pair| pair[1] <= pair[0] * (1.0 + 1e-9)),
                "{chemistry:?} {times:?}"
            );
        }
        // 20 A of what 0.8 of 200 Ah takes for half of it, by the cells' own doing.
        let found = charge(&at(chemistry, 0.0), 5000.0, 0.2, 0.7).unwrap().unwrap();
        let hours = 0.5 * at(chemistry, 0.0).prepare().unwrap().capacity_coulomb
            / HOUR_S
            / (20.0 * chemistry.coulombic_efficiency(273.15));
        assert_within("hours", found.duration_s / HOUR_S, hours, 1e-9);
        assert_eq!(found.constant_s, 0.0);
    }
    assert_within("lead at 0 °C", limit_a(Chemistry::LeadAgm, 0.0), 40.0, 1e-12);
    let cool = at(Chemistry::Lfp, 4.0).charging_notices();
    assert_eq!(cool, vec![COOL_TO_CHARGE]);
    assert_eq!(at(Chemistry::Lfp, -4.0).charging_notices(), vec![TOO_COLD_TO_CHARGE]);
    assert!(at(Chemistry::Lfp, 12.0).charging_notices().is_empty());
    assert!(at(Chemistry::LeadGel, 4.0).charging_notices().is_empty());
}

/// A pack without a stated limit takes half of what fills it in an hour, not whatever a source gives: 5.3 kW do not
/// go into one of 100 Ah. A stated limit goes first.
#[test]
fn a_pack_without_a_stated_limit_is_not_charged_at_any_current() {
    let mut one = bank(Chemistry::Lfp, 100.0);
    assert_within("not stated", one.prepare().unwrap().charge_limit_a, 50.0, 1e-12);
    let found = charge(&one, 5300.0, 0.2, 0.7).unwrap().unwrap();
    let most_a = found.charge_coulomb / found.duration_s;
    assert!(most_a <= 50.0 * (1.0 + 1e-9), "{most_a} A");
    one.groups[0].bms_charge_a = Some(80.0);
    assert_within("stated", one.prepare().unwrap().charge_limit_a, 80.0, 1e-12);
}

/// Packs in parallel share a cold charge as any other: the first at a tenth of its own rate ends it.
#[test]
fn the_first_cold_pack_ends_it() {
    let mut two = bank(Chemistry::Lfp, 100.0);
    two.groups[0].resistance_ohm = Some(0.02);
    two.groups.push(PackGroup {
        resistance_ohm: Some(0.02),
        ..PackGroup::new(Chemistry::Lfp, 16, 50.0 * HOUR_S, 1)
    });
    two.temperature_k = 273.15;
    // Equal currents by equal resistance; the smaller may take 5 A.
    assert_within("bank", two.prepare().unwrap().charge_limit_a, 10.0, 1e-12);
}

/// Common practice, no source: capacities of parallel packs add.
#[test]
fn capacities_add() {
    let mut two = bank(Chemistry::Lfp, 100.0);
    two.groups.push(PackGroup { health: 0.8, ..PackGroup::new(Chemistry::Lfp, 16, 50.0 * HOUR_S, 2) });
    assert_within("capacity", two.prepare().unwrap().capacity_coulomb, 180.0 * HOUR_S, 1e-12);
}

proptest! {
    #[test]
    fn charge_and_energy_are_conserved(power in 50.0..5000.0_f64, from in 0.0..0.6_f64, more in 0.05..0.4_f64) {
        let bank = bank(Chemistry::LeadAgm, 200.0);
        let found = charge(&bank, power, from, from + more).unwrap().unwrap();
        let stays = found.charge_coulomb * Chemistry::LeadAgm.coulombic_efficiency(bank.temperature_k);
        let held = bank.prepare().unwrap().capacity_coulomb * more;
        prop_assert!((stays / held - 1.0).abs() < 1e-9);
        prop_assert!(found.stored_j < found.energy_j);
        prop_assert!(found.energy_j <= power * found.duration_s * (1.0 + 1e-9));
    }
}
