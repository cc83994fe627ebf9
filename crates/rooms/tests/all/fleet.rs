//! A shop of three invented boats in a store, reckoned by hand: who is due, how forecasts fared, who is left out.

use wakewright_core::causes::{Change, Forecast, Measure, MeasureForecast, Remedy, Score};
use wakewright_core::sheet::Value;
use wakewright_core::study::Interval;
use wakewright_rooms::causes::{ForecastRecord, keep_held};
use wakewright_rooms::fleet::Fleet;
use wakewright_rooms::room::{Answer, AnyRoom, Asked, Replies};
use wakewright_rooms::shop::{Over, Shop};
use wakewright_rooms::text::Paper;
use wakewright_rooms::{boats::understand, demo::DEMO_BOAT};
use wakewright_store::{Store, UnixMs};

const TIME: UnixMs = UnixMs(1_750_000_000_000);

fn forecast(name: &str) -> Forecast {
    let interval = Interval { value: 2.5, p10: 2.4, p90: 2.6 };
    let measures = vec![MeasureForecast {
        measure: Measure::FullSpeed,
        now: interval,
        after: interval,
        gain: interval,
        after_quantiles: vec![2.5; 19],
    }];
    Forecast {
        remedy: Remedy { name: name.to_owned(), changes: vec![Change::CleanBottom] },
        measures,
        cruise_power_w: 1000.0,
        helps_probability: 0.9,
        limit_after: None,
        forbidden: Vec::new(),
        duty: None,
    }
}

fn score(is_inside: bool, crps: f64) -> Score {
    let interval = Interval::exact(2.5);
    Score {
        measure: Measure::FullSpeed,
        before: 2.3,
        forecast: interval,
        outcome: interval,
        z: 0.0,
        is_inside,
        crps,
        crps_no_change: 0.4,
    }
}

fn asked_of(shop: &Shop) -> Answer {
    let boat = understand(DEMO_BOAT, "demo", &[]).unwrap();
    let replies = Replies::read(AnyRoom::questions(&Fleet), [("on", "2026-10-01")].into_iter()).unwrap();
    let asked = Asked { replies, shop: Some(shop), ..Asked::of(&boat, 1) };
    AnyRoom::answer(&Fleet, &asked, None, &Paper::plain(Default::default())).unwrap()
}

#[test]
fn three_boats_by_hand() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = Store::open(folder.path().join("boats.sqlite")).unwrap();
    let [a, b, c] = ["Adder", "Beetle", "Cricket"].map(|name| {
        let text = DEMO_BOAT.replacen("Sea Campion", name, 1);
        store.create(name, &text, "", TIME).unwrap()
    });
    store.create("Dormouse", "[boat]\nname = \"Dormouse\"\n", "", TIME).unwrap();
    // Of Beetle one thing was to be put right at once; of Cricket the bank holds 200 and 180 of its 300 Ah.
    store
        .enter_record(b, "checkup", "date = \"2026-09-30\"\n[item.gland]\nfound = \"act now\"\n", &[], TIME)
        .unwrap();
    let test = |day: &str, hours: u32| {
        format!(
            "date = \"{day}\"\n[test]\namps = \"40 A ± 0.1 %\"\nhours = \"{hours} h\"\ntemperature = \"25 °C\"\n"
        )
    };
    for (day, hours) in [("2022-09-01", 7), ("2026-09-01", 5)] {
        store.enter_record(c, "checkup", &test(day, hours), &[], TIME).unwrap();
    }
    let record =
        |name: &str| ForecastRecord::of(&forecast(name), "Adder", "2026-05-01", ("as found", Some(1)));
    let records = ["scrub", "pitch", "wax", "later", "aside"].map(record);
    let kept: Vec<_> =
        records.iter().map(|record| store.keep_forecast(a, &record.to_text(), TIME).unwrap()).collect();
    store.put_forecast_aside(kept[4], TIME).unwrap();
    // Scrub and pitch are inside, wax is not; in a further trial wax would be, which is not what it was made for.
    let (inside, outside) = ([score(true, 0.1)], [score(false, 0.7)]);
    let second = [
        (&records[0], &inside[..]),
        (&records[1], &inside[..]),
        (&records[2], &outside[..]),
        (&records[4], &outside[..]),
    ];
    let third = [(&records[2], &inside[..])];
    keep_held(&mut store, (a, 3), &third, TIME).unwrap();
    for _ in 0..2 {
        keep_held(&mut store, (a, 2), &second, TIME).unwrap();
    }
    let answer = asked_of(&Shop::read(&store, Over::Boats).unwrap());
    let sheet = |key: &str| answer.sheets.iter().find(|sheet| sheet.key == key).unwrap();
    let boats = sheet("boats");
    let named = |row: usize, key: &str| boats.value(row, key).cloned().unwrap();
    assert_eq!(boats.rows.len(), 3, "Dormouse has no whole document");
    assert_eq!(named(0, "fleet_boat"), Value::Text("Beetle".to_owned()));
    assert_eq!(named(0, "fleet_act_now"), Value::Count(1));
    let row =
        |name: &str| (0..3).find(|&row| named(row, "fleet_boat") == Value::Text(name.to_owned())).unwrap();
    assert_eq!(named(row("Adder"), "fleet_held"), Value::Count(3));
    assert_eq!(named(row("Adder"), "fleet_outside"), Value::Count(1));
    assert_eq!(named(row("Adder"), "fleet_waiting"), Value::Count(1), "what was put aside waits for nothing");
    assert_eq!(named(row("Cricket"), "fleet_fades"), Value::Flag(true));
    let coverage = sheet("coverage");
    assert_eq!(coverage.rows.len(), 1);
    assert_eq!(coverage.value(0, "fleet_forecasts"), Some(&Value::Count(3)));
    // 2 of 3: by the score interval with z = 1.2816, (0.6667 + 0.2737 ± 1.2816 sqrt(0.07407 + 0.04562)) / 1.5475.
    let inside = coverage.value(0, "fleet_inside").and_then(Value::interval).unwrap();
    assert!((inside.p10 - 0.3212).abs() < 1e-3 && (inside.p90 - 0.8942).abs() < 1e-3, "{inside:?}");
    // (0.1 + 0.1 + 0.7) / 3.
    let is_crps = |value: &Value| matches!(value, Value::NumberOf(_, crps) if (crps - 0.3).abs() < 1e-9);
    assert!(coverage.value(0, "fleet_crps").is_some_and(is_crps));
    let said = answer.notices.iter().map(|notice| notice.text()).collect::<String>();
    assert!(said.contains("Dormouse"), "{said}");
    assert!(answer.finding.sentence.contains("Beetle"), "{:?}", answer.finding);
    assert!(
        answer.finding.further.contains("Cricket")
            && answer.finding.further.contains("outside Adder of 2026-05-01, \"wax\"")
    );
    let failed = sheet("failed");
    assert_eq!(failed.rows.len(), 1);
    for (key, value) in [("fleet_boat", "Adder"), ("failed_made_on", "2026-05-01"), ("failed_remedy", "wax")]
    {
        assert_eq!(failed.value(0, key), Some(&Value::Text(value.to_owned())));
    }
    assert_eq!(
        failed.value(0, "failed_trial"),
        Some(&Value::Count(2)),
        "the first trial that it was held against"
    );
    assert!(
        matches!(failed.value(0, "failed_found"), Some(Value::NumberOf(_, found)) if (found - 2.5).abs() < 1e-9)
    );
}
