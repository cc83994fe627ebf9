//! What a former version of the program wrote opens with the same values: documents, store, backup, trials, kept
//! forecasts, remembered answers. `tests/data/README.md` says what the files hold.

use std::path::{Path, PathBuf};

use wakewright_core::causes::Measure;
use wakewright_core::field;
use wakewright_core::fouling::FoulingCondition;
use wakewright_core::steady::Limit;
use wakewright_rooms::boats::understand;
use wakewright_rooms::causes::ForecastRecord;
use wakewright_rooms::trials::{KeptTrial, LogShelf, known_mappings};
use wakewright_store::{Store, UnixMs};

const FILE: &str = "tests/data/backup_before_rooms.store";

fn opened(folder: &Path) -> Store {
    let path: PathBuf = folder.join("boats.sqlite");
    std::fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join(FILE), &path).unwrap();
    Store::open(&path).unwrap()
}

#[test]
fn documents_and_revisions_are_as_they_were() {
    let folder = tempfile::tempdir().unwrap();
    let store = opened(folder.path());
    store.check().unwrap();
    let boat = store.find("Sea Campion").unwrap().id;
    let numbers: Vec<u32> = store.revisions(boat).unwrap().iter().map(|head| head.number).collect();
    assert_eq!(numbers, [3, 2, 1]);
    for (number, pitch_m) in [(1, 15.0 * 0.0254), (2, 14.0 * 0.0254), (3, 15.0 * 0.0254)] {
        let text = store.get(boat, number).unwrap().text;
        let loaded = understand(&text, "the store", &[]).unwrap();
        assert_eq!(loaded.document.to_toml(), text, "not a letter is changed");
        assert!(loaded.doubts_text().is_empty());
        let number = |key: &str| loaded.document.number(key).unwrap().value_si;
        assert!((number(field::propeller::PITCH) - pitch_m).abs() < 1e-12);
        assert!((loaded.spec.boat.propeller.pitch_m - pitch_m).abs() < 1e-12);
        assert!((number(field::hull::LENGTH_OVERALL) - 12.7).abs() < 1e-12);
        assert!((number(field::hull::DISPLACEMENT) - 15_600.0).abs() < 1e-9);
    }
    assert!(store.find("Sweet Gale").is_ok());
}

#[test]
fn a_backup_takes_the_place_of_a_store() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boats.sqlite");
    drop(Store::open(&path).unwrap());
    Store::restore(&path, Path::new(env!("CARGO_MANIFEST_DIR")).join(FILE), UnixMs(1)).unwrap();
    let store = Store::open(&path).unwrap();
    let boat = store.find("Sea Campion").unwrap().id;
    assert_eq!(store.revisions(boat).unwrap().len(), 3);
    assert_eq!(store.forecasts(boat).unwrap().len(), 1);
}

/// Start, mean speed over ground, shaft speed and power of the first runs, as the program printed them.
const RUNS: [(f64, f64, f64, f64); 3] = [
    (200.0, 3.409_651_741_293_536_5, 270.043_781_094_527_33, 992.482_191_044_775_8),
    (265.0, 1.998_496_240_601_509_2, 270.195_488_721_804_57, 952.041_707_518_797_2),
    (246.0, 4.164_615_384_615_384, 340.349_797_570_851_14, 1_782.325_463_495_952_9),
];

#[test]
fn a_trial_with_its_answers_and_its_forecast_is_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let store = opened(folder.path());
    let boat = store.find("Sea Campion").unwrap().id;
    let kept = KeptTrial::load(&store, &LogShelf::default(), boat, 1, None).unwrap();
    assert!(kept.reading.faults.is_empty(), "{:?}", kept.reading.faults);
    assert_eq!(kept.reading.conditions.bottom, Some(FoulingCondition::LightSlime));
    let runs = kept.reading.used();
    assert_eq!(runs.len(), 10);
    for (run, (duration_s, speed_kn, rpm, power_w)) in runs.iter().zip(RUNS) {
        let near = |found: f64, before: f64| assert!((found / before - 1.0).abs() < 1e-9, "{found} {before}");
        near(run.duration_s, duration_s);
        near(run.speed_over_ground_m_s.unwrap() * 3600.0 / 1852.0, speed_kn);
        near(run.shaft_speed_rev_s.unwrap() * 60.0, rpm);
        near(run.power_w.unwrap(), power_w);
    }
    let mappings = known_mappings(&store).unwrap();
    let [mapping] = mappings.as_slice() else { panic!("{mappings:?}") };
    assert_eq!(mapping.columns.len(), 5, "what was answered about the columns");

    let forecasts = store.forecasts(boat).unwrap();
    let record = ForecastRecord::read(&forecasts[0].text).unwrap();
    assert_eq!(record.made_on, "2026-11-26");
    let forecast = record.forecast().unwrap();
    assert_eq!(forecast.limit_after, Some((Limit::PhaseAmps, 1.0)));
    let full = forecast.measures.iter().find(|of| of.measure == Measure::FullSpeed).unwrap();
    // The reader of numbers may miss the last binary digit.
    assert!((full.gain.p10 / 0.022_695_007_045_608_628 - 1.0).abs() < 1e-14);
    assert!((full.gain.p90 / 0.107_948_379_880_738_77 - 1.0).abs() < 1e-14);
    let again = ForecastRecord::read(&record.to_text()).unwrap().forecast().unwrap();
    assert_eq!((again.limit_after, again.measures.len()), (forecast.limit_after, 4));
}
