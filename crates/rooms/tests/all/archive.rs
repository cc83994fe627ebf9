//! A boat out of one store and into another, and archives that lie.

use std::io::{Cursor, Write};

use wakewright_rooms::archive::{ArchiveError, bring_in, write};
use wakewright_rooms::trials::{IncomingLog, pack};
use wakewright_store::{NewEnclosure, Store, TRIAL_KIND, UnixMs};
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

const BOAT: &str = include_str!("../../../../examples/sea_campion.toml");
const EMPTY_GZIP: &[u8] = b"\x1f\x8b\x08\0\0\0\0\0\0\x03\x03\0\0\0\0\0\0\0\0\0";
const PICTURE: &[u8] = b"\x89PNG\r\n\x1a\nno more than a head";

fn store(folder: &tempfile::TempDir, name: &str) -> Store {
    Store::open(folder.path().join(name)).unwrap()
}

/// Two revisions, two trials of which the first was removed, a forecast, a record with a photograph: all of it comes back with its
/// numbers and times, and goes out again as the same bytes.
#[test]
fn everything_comes_back() {
    let folder = tempfile::tempdir().unwrap();
    let mut here = store(&folder, "here");
    let boat = here.create("Sea Campion", BOAT, "first", UnixMs(1000)).unwrap();
    here.save(boat, 1, &BOAT.replace("15 in", "14 in"), "another pitch", UnixMs(2000)).unwrap();
    let path = folder.path().join("a.csv");
    std::fs::write(
        &path,
        "time,volts (V),amps (A)\n2026-05-01T10:00:00Z,52.1,30\n2026-05-01T10:00:01Z,52.0,31\n",
    )
    .unwrap();
    let kept = pack(&IncomingLog { name: "a.csv".to_owned(), path }, &[]).unwrap();
    let log = kept.new_log();
    let first = here.enter_record(boat, TRIAL_KIND, "title = \"one\"", &[log], UnixMs(3000)).unwrap();
    here.enter_record(boat, TRIAL_KIND, "title = \"two\"", &[], UnixMs(4000)).unwrap();
    here.shelve_record(first.id, Some(UnixMs(4500))).unwrap();
    here.keep_forecast(boat, "{}", UnixMs(5000)).unwrap();
    let record = here.enter_record(boat, "checkup", "date = 2026-05-01", &[], UnixMs(6000)).unwrap();
    let picture = NewEnclosure {
        name: "gland.png",
        place: "gland",
        plain_bytes: PICTURE.len() as u64,
        digest: "d",
        bytes: PICTURE,
    };
    here.add_enclosure(record.id, &picture, UnixMs(6500)).unwrap();
    // A place that was changed twice, and what stood in it before.
    let place = here.enter_record(boat, "dryout", "name = \"Creek\"", &[], UnixMs(7000)).unwrap();
    for (version, text) in [(1, "name = \"Creek quay\""), (2, "name = \"The creek\"")] {
        let at = UnixMs(7000 + 100_000 * i64::from(version));
        here.save_record(place.id, version, text, &[], at).unwrap();
    }
    let mut bytes = Cursor::new(Vec::new());
    let held = write(&here, &here.boat(boat).unwrap(), &mut bytes).unwrap();
    assert_eq!(held.words(), "2 revisions, 2 trials, 2 records, 1 forecast, 2 logs and photographs");

    let mut there = store(&folder, "there");
    let (came, again) = bring_in(&mut there, Cursor::new(bytes.get_ref()), None).unwrap();
    assert_eq!((came.name.as_str(), again), ("Sea Campion", held));
    let heads = there.revisions(came.id).unwrap();
    assert!(heads.iter().any(|head| head.note == "another pitch" && head.time == UnixMs(2000)));
    assert_eq!(there.records(came.id, TRIAL_KIND).unwrap()[0].number, 2);
    let removed = &there.removed_records(came.id, TRIAL_KIND).unwrap()[0];
    let log = &there.enclosures(removed.id).unwrap()[0];
    assert_eq!(
        (log.name.as_str(), there.enclosed(came.id, log.id).unwrap().as_slice()),
        ("a.csv", kept.new_log().bytes)
    );
    let record = &there.records_and_removed(came.id).unwrap()[0];
    let picture = &there.enclosures(record.id).unwrap()[0];
    assert_eq!(
        (picture.place.as_str(), there.enclosed(came.id, picture.id).unwrap().as_slice()),
        ("gland", PICTURE)
    );
    let place = there.record(came.id, "dryout", 1).unwrap();
    assert_eq!((place.text.as_str(), place.changed), ("name = \"The creek\"", UnixMs(207_000)));
    let before = there.record_revisions(place.id).unwrap();
    let before: Vec<_> = before.iter().map(|one| (one.text.as_str(), one.time.0)).collect();
    assert_eq!(before, [("name = \"Creek quay\"", 107_000), ("name = \"Creek\"", 7000)]);
    let mut once_more = Cursor::new(Vec::new());
    write(&there, &there.boat(came.id).unwrap(), &mut once_more).unwrap();
    assert!(once_more.get_ref() == bytes.get_ref(), "another archive of the same boat");

    let taken = bring_in(&mut there, Cursor::new(bytes.get_ref()), None).unwrap_err();
    assert!(taken.to_string().contains("Sea Campion"), "{taken}");
    let (copy, _) = bring_in(&mut there, Cursor::new(bytes.get_ref()), Some("Sea Campion II")).unwrap();
    assert!(there.latest(copy.id).unwrap().text.contains("name = \"Sea Campion II\""));
}

fn packed(files: &[(&str, &[u8])]) -> Cursor<Vec<u8>> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        zip.start_file(*name, SimpleFileOptions::default()).unwrap();
        zip.write_all(bytes).unwrap();
    }
    Cursor::new(zip.finish().unwrap().into_inner())
}

/// Each is refused with its reason, and nothing of it is kept.
#[test]
fn archives_that_lie_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let mut there = store(&folder, "there");
    let list = |files: &str| {
        format!(
            "{{\"format\": \"wakewright/archive\", \"version\": 1, \"boat\": \"Wolf\", \"trials\": [], \"forecasts\": [], {files}}}"
        )
    };
    let revision = |file: &str| format!("\"revisions\": [{{\"file\": \"{file}\", \"time_ms\": 1}}]");
    let long = vec![b'a'; 4 << 20];
    let no_record = "\"records\": []";
    let picture = "\"records\": [{\"kind\": \"checkup\", \"file\": \"r.toml\", \"time_ms\": 1, \"removed_ms\": null, \"files\": \
                   [{\"file\": \"p\", \"name\": \"../../x.png\", \"time_ms\": 1, \"digest\": \"d\"}]}]";
    let trial = "\"trials\": [{\"kind\": \"trial\", \"file\": \"t.toml\", \"time_ms\": 1, \"removed_ms\": null, \"files\": \
                 [{\"file\": \"l\", \"name\": \"l.csv\", \"time_ms\": 1, \"digest\": \"1-00\", \"plain_bytes\": 1000000}]}]";
    let strange = "\"records\": [{\"kind\": \"zzz\", \"file\": \"r.toml\", \"time_ms\": 1, \"removed_ms\": null, \"files\": []}]";
    let cases: Vec<(Cursor<Vec<u8>>, &str)> = vec![
        (Cursor::new(b"no zip at all".to_vec()), "no archive"),
        (packed(&[("a.toml", b"x")]), "is not there"),
        (packed(&[("manifest.json", b"{}")]), "its list cannot be read"),
        (
            packed(&[(
                "manifest.json",
                list(&format!("{}, {no_record}", revision("../../etc/passwd"))).as_bytes(),
            )]),
            "climbs out of its folder",
        ),
        (
            packed(&[
                ("manifest.json", list(&format!("{}, {no_record}", revision("a.toml"))).as_bytes()),
                ("a.toml", &long),
            ]),
            "longer than",
        ),
        (
            packed(&[("manifest.json", list(&format!("\"revisions\": [], {no_record}")).as_bytes())]),
            "no document",
        ),
        (
            packed(&[
                (
                    "manifest.json",
                    list(&format!("{}, {no_record}", revision("a.toml")))
                        .replace("\"trials\": []", trial)
                        .as_bytes(),
                ),
                ("a.toml", BOAT.as_bytes()),
                ("t.toml", b"{}"),
                ("l", EMPTY_GZIP),
            ]),
            "is not the log",
        ),
        (
            packed(&[
                ("manifest.json", list(&format!("{}, {strange}", revision("a.toml"))).as_bytes()),
                ("a.toml", BOAT.as_bytes()),
                ("r.toml", b"x"),
            ]),
            "no kind of record",
        ),
        (
            packed(&[
                ("manifest.json", list(&format!("{}, {picture}", revision("a.toml"))).as_bytes()),
                ("a.toml", BOAT.as_bytes()),
                ("r.toml", b"x"),
                ("p", b"<script>"),
            ]),
            "neither JPEG nor PNG",
        ),
    ];
    for (bytes, why) in cases {
        let error: ArchiveError = bring_in(&mut there, bytes, None).unwrap_err();
        assert!(error.to_string().contains(why), "{why}: {error}");
    }
    assert!(there.list().unwrap().is_empty(), "something was kept");
}
