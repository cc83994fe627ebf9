//! Drying out against a case reckoned by hand and against independent samples.

use wakewright_core::drying_out::floats::{WEATHER_LASTS_S, first_likely};
use wakewright_core::drying_out::{Berth, LevelError, floats_by_then, floats_then, standings};
use wakewright_core::solar::position::unix_of_day;
use wakewright_core::tide::Water;
use wakewright_core::tide::between::height_between_m;
use wakewright_testkit::{Table, assert_near};

/// Unix seconds of `2026-09-30T18:19Z`.
fn unix(text: &str) -> f64 {
    let part = |from: usize, to: usize| text[from..to].parse::<u32>().unwrap();
    unix_of_day(i64::from(part(0, 4)), part(5, 7), part(8, 10)).unwrap()
        + f64::from(part(11, 13) * 3600 + part(14, 16) * 60)
}

fn highs(table: &Table) -> Vec<Water> {
    let of = |row| Water {
        unix_s: unix(table.text(row, "high_water_utc")),
        height_m: table.number(row, "height_m").unwrap(),
        is_high: true,
    };
    (0..table.rows.len()).map(of).collect()
}

const FLOATS_AT_M: f64 = 3.20;

#[test]
fn neaped_example() {
    let table = Table::read("tide/neaped_example.csv");
    let error =
        LevelError { common_sd_m: 0.15, weather_sd_m: 0.0, weather_lasts_s: WEATHER_LASTS_S, landed: None };
    for (row, high) in highs(&table).iter().enumerate() {
        let number = |column: &str| table.number(row, column).unwrap();
        let spare = high.height_m - FLOATS_AT_M;
        assert_near("spare", spare, number("spare_m"), 0.0005);
        assert_eq!(spare >= 0.0, table.text(row, "floats") == "yes");
        assert_near("probability", floats_then(high, FLOATS_AT_M, &error), number("probability"), 0.02);
    }
    // "Miss Friday's 20:04, and the next water that floats her more likely than not is Saturday the 10th."
    let highs = highs(&table);
    let missed = highs.iter().position(|high| high.unix_s == unix("2026-10-02T20:04Z")).unwrap();
    let next = first_likely(&highs[missed + 1..], FLOATS_AT_M, &error).unwrap();
    assert_eq!(highs[missed + 1 + next].unix_s, unix("2026-10-10T15:35Z"));
}

#[test]
fn neaped_joint() {
    let table = Table::read("tide/neaped_joint.csv");
    let highs = highs(&Table::read("tide/neaped_example.csv"));
    let first = highs.iter().position(|high| high.unix_s == unix("2026-10-03T08:51Z")).unwrap();
    let common =
        LevelError { common_sd_m: 0.15, weather_sd_m: 0.0, weather_lasts_s: WEATHER_LASTS_S, landed: None };
    let mixed =
        LevelError { common_sd_m: 0.08, weather_sd_m: 0.127, weather_lasts_s: WEATHER_LASTS_S, landed: None };
    assert_near("both parts", mixed.whole_sd_m(), 0.15, 0.0005);
    let by = |error: &LevelError| floats_by_then(&highs[first..], FLOATS_AT_M, error);
    let (commons, mixeds) = (by(&common), by(&mixed));
    for row in 0..table.rows.len() {
        let at = highs[first..].iter().position(|h| h.unix_s == unix(table.text(row, "by_utc"))).unwrap();
        let number = |column: &str| table.number(row, column).unwrap();
        println!("{} {:.3} {:.3}", table.text(row, "by_utc"), commons[at], mixeds[at]);
        assert_near("common", commons[at], number("common"), 0.005);
        assert_near("mixed", mixeds[at], number("mixed"), 0.02);
        // Weather that is forgotten at once and nothing in common is the independent column.
        let alone = LevelError { common_sd_m: 0.0, weather_sd_m: 0.15, weather_lasts_s: 1.0, landed: None };
        assert_near("independent", by(&alone)[at], number("independent"), 0.005);
    }
}

/// Row 4: high water 5.2 m, low water 0.9 m 6 h 10 min later, ground 1.8 m, draught 1.6 m.
#[test]
fn drying_example() {
    let table = Table::read("tide/canada2003_between.csv");
    assert_eq!(table.text(3, "answer"), "2:46 / 4:18; 8:02 / 9:34");
    let water =
        |minutes: f64, height_m: f64, is_high: bool| Water { unix_s: minutes * 60.0, height_m, is_high };
    let waters = [water(0.0, 5.2, true), water(370.0, 0.9, false), water(740.0, 5.2, true)];
    let curve = |waters: &[Water; 3]| -> Vec<(f64, f64)> {
        let height = |t: f64| match t < waters[1].unix_s {
            true => height_between_m(&waters[0], &waters[1], t),
            false => height_between_m(&waters[1], &waters[2], t),
        };
        (0..=370).map(|i| f64::from(i) * 120.0).map(|t| (t, height(t))).collect()
    };
    let berth = Berth { ground_m: 1.8, draught_m: 1.6, work_above_keel_m: 0.0 };
    let error =
        LevelError { common_sd_m: 0.1, weather_sd_m: 0.0, weather_lasts_s: WEATHER_LASTS_S, landed: None };
    let found = standings(&curve(&waters), &waters, &berth, &error);
    let [standing] = found.as_slice() else { panic!("{found:?}") };
    for (what, moment, hours, minutes) in [
        ("touches", standing.touches, 2.0, 46.0),
        ("dry", standing.dry, 4.0, 18.0),
        ("wet", standing.wet, 8.0, 2.0),
        ("floats", standing.floats, 9.0, 34.0),
    ] {
        assert_near(what, moment.median_s.unwrap() / 60.0, hours * 60.0 + minutes, 1.0);
        let (early, late) = moment.band_s().unwrap();
        assert!(early < moment.median_s.unwrap() && moment.median_s.unwrap() < late);
    }
    assert_near("dry for", standing.dry_s().unwrap() / 60.0, 3.0 * 60.0 + 44.0, 1.0);

    // At neaps, high water 4.1 and low water 2.0 m, the ground never dries though she touches and floats.
    let neaps = [water(0.0, 4.1, true), water(370.0, 2.0, false), water(740.0, 4.1, true)];
    let [standing] = standings(&curve(&neaps), &neaps, &berth, &error)[..] else { panic!() };
    assert!(
        standing.dry_s().is_none()
            && standing.touches.median_s.is_some()
            && standing.floats.median_s.is_some()
    );
    // On ground of 3.4 m she needs 5.0 m: a next high water of 4.9 m does not float her, save in the better cases.
    let falling = [water(0.0, 5.2, true), water(370.0, 0.9, false), water(740.0, 4.9, true)];
    let high_ground = Berth { ground_m: 3.4, ..berth };
    let [standing] = standings(&curve(&falling), &falling, &high_ground, &error)[..] else { panic!() };
    assert!(standing.floats.median_s.is_none() && standing.floats.high_water_s.is_some());
}
