//! Check-ups over the years: what the room says of records, one by one and together.

use wakewright_core::call::CallScore;
use wakewright_records::checkup::CHECKUP_KIND;
use wakewright_records::dated::DatedDocument;
use wakewright_rooms::boats::{Loaded, understand};
use wakewright_rooms::call::score;
use wakewright_rooms::checkup::CheckUp;
use wakewright_rooms::dated::{Entry, KeptRecord, begin, kind_named, save_entries};
use wakewright_rooms::demo::DEMO_BOAT;
use wakewright_rooms::room::{Answer, AnyRoom, Asked, Replies};
use wakewright_rooms::sheets::answer_text;
use wakewright_rooms::text::Paper;
use wakewright_store::{BoatId, Record, RecordId, Store, UnixMs};
use wakewright_units::UnitSystem;

fn record(number: u32, entries: &[(&str, &str)]) -> Record {
    let mut document = DatedDocument::default();
    for (address, text) in entries {
        document.set(address, text).unwrap();
    }
    Record {
        id: RecordId(i64::from(number)),
        boat: BoatId(1),
        kind: CHECKUP_KIND.to_owned(),
        number,
        created: UnixMs(1),
        removed: None,
        version: 1,
        changed: UnixMs(1),
        text: document.to_toml(),
    }
}

/// A test of 40 A that ran for so many hours.
fn tested(number: u32, day: &str, hours: &str) -> Record {
    let test = [("test.amps", "40 A ± 1 %"), ("test.hours", hours), ("test.temperature", "20 °C")];
    record(number, &[&[("date", day), ("item.gland.found", "good")], &test[..]].concat())
}

fn said(records: Vec<Record>, replies: &[(&str, &str)]) -> (Answer, String) {
    let boat = Loaded { records, ..understand(DEMO_BOAT, "Sea Campion", &[]).unwrap() };
    let room: &dyn AnyRoom = &CheckUp;
    let paper = Paper::plain(UnitSystem::Trade);
    let all = [&[("on", "2026-10-01")], replies].concat();
    let replies = Replies::read(room.questions(), all.into_iter()).unwrap();
    let answer = room.answer(&Asked { replies, ..Asked::of(&boat, 100) }, None, &paper).unwrap();
    let text = answer_text(&answer, &paper).split_whitespace().collect::<Vec<_>>().join(" ");
    (answer, text)
}

#[test]
fn without_a_record_everything_is_due() {
    let (answer, text) = said(Vec::new(), &[]);
    assert!(text.starts_with("No check-up of Sea Campion is kept: all"), "{text}");
    assert!(text.contains("[belt: read in a published list] Never looked at"), "{text}");
    assert!(!answer.finding.fails);
}

#[test]
fn one_check_up_has_no_trend_and_says_so() {
    let (_, text) = said(vec![tested(1, "2025-05-02", "7 h 20 min")], &[("trip", "18 nm")]);
    assert!(text.contains("there is no trend, and no date is told"), "{text}");
    assert!(text.contains("The longest trip takes"), "{text}");
    assert!(!text.contains("about 20"), "no date: {text}");
}

#[test]
fn three_tests_give_dates_with_bands() {
    let tests = vec![
        tested(1, "2022-05-02", "7 h 40 min"),
        tested(2, "2024-05-02", "7 h 0 min"),
        tested(3, "2026-05-02", "6 h 20 min"),
    ];
    let (answer, text) = said(tests, &[("trip", "18 nm")]);
    assert!(text.contains("It loses") && text.contains("It is down to 80 %: about 20"), "{text}");
    assert!(text.contains("Too little for the longest trip: "), "{text}");
    let figures = answer.sheets.iter().find(|sheet| sheet.key == "figures").unwrap();
    let value = |key: &str| figures.value(0, key).unwrap().clone();
    assert_ne!(format!("{:?}", value("worn")), "Nothing");
}

/// Each pack has its own line; what one pack tells is not said of the bank, and dates are told of the bank alone. By hand: a pack
/// of hers holds as much as stands on it divided by their number.
#[test]
fn packs_are_tested_one_by_one() {
    let of = |number: u32, day: &str, pack: &str, hours: &str| {
        let boat = understand(DEMO_BOAT, "Sea Campion", &[]).unwrap();
        let packs: u32 = boat.spec.boat.bank.groups.iter().map(|group| group.packs_in_parallel).sum();
        let amps = format!("{} A ± 1 %", 40.0 / f64::from(packs));
        let test = [
            ("test.of", pack),
            ("test.amps", amps.as_str()),
            ("test.hours", hours),
            ("test.temperature", "20 °C"),
        ];
        record(number, &[&[("date", day), ("item.gland.found", "good")], &test[..]].concat())
    };
    let packs = vec![
        of(1, "2025-05-02", "Pack 1", "7 h 20 min"),
        of(2, "2025-05-03", "pack 2", "7 h 20 min"),
        of(3, "2026-05-02", "pack 1", "7 h 18 min"),
        of(4, "2026-05-03", "pack 2", "5 h 20 min"),
    ];
    let (answer, text) = said(packs.clone(), &[("trip", "9 nm")]);
    assert!(
        text.contains("No test of the bank as a whole is kept") && !text.contains("It is down to"),
        "{text}"
    );
    assert!(text.contains("Of her bank pack 2 holds"), "{text}");
    let parts = answer.sheets.iter().find(|sheet| sheet.key == "parts").unwrap();
    assert_eq!(parts.rows.len(), 2);
    let with_bank = [packs, vec![tested(5, "2026-06-01", "7 h 20 min")]].concat();
    let (_, text) = said(with_bank, &[]);
    assert!(text.contains("Her bank holds") && text.contains("there is no trend"), "{text}");
}

#[test]
fn small_losses_are_not_announced() {
    let tests = vec![tested(1, "2025-05-02", "7 h 40 min"), tested(2, "2026-05-02", "7 h 27 min")];
    let (_, text) = said(tests, &[]);
    assert!(text.contains("Its 2 tests show no loss: less than"), "{text}");
    assert!(text.contains("It is down to 80 %: these tests do not tell when; not before 20"), "{text}");
}

#[test]
fn what_must_be_acted_on_comes_first_and_fails() {
    let first = record(
        1,
        &[("date", "2025-05-02"), ("item.shaft_bearing.value", "0.6 mm"), ("item.belt.found", "watch")],
    );
    let second = record(
        2,
        &[
            ("date", "2026-05-02"),
            ("item.shaft_bearing.value", "1.8 mm"),
            ("item.shaft_bearing.found", "act now"),
            ("item.insulation.value", "20 kohm ± 2 kohm"),
            ("date", "2026-05-03"),
        ],
    );
    let (answer, text) = said(vec![second, first], &[]);
    assert!(answer.finding.fails && text.contains("one item to act on now and 1 to watch"), "{text}");
    assert!(text.contains("To act on: shaft bearing."), "{text}");
    assert!(
        text.contains("Beyond the limit of the list: play of the shaft bearing, insulation to hull."),
        "{text}"
    );
    assert!(text.contains("play of the shaft bearing 2 1.8 mm"), "two readings have a line: {text}");
}

/// Faults of a record are said above the figures and nothing of them is used.
#[test]
fn what_cannot_be_used_is_said() {
    let odd = record(
        1,
        &[
            ("date", "2026-05-02"),
            ("test.amps", "-40 A"),
            ("test.hours", "7 h"),
            ("test.temperature", "20 °C"),
        ],
    );
    let broken = Record { text: "date = ".to_owned(), ..record(2, &[]) };
    let (_, text) = said(vec![odd, broken], &[]);
    assert!(text.contains("Check-up 1, test.amps: the current is -40.0 A"), "{text}");
    assert!(text.contains("Check-up 2 cannot be read"), "{text}");
}

/// What another device wrote into the same entry meanwhile goes into the note; nothing is lost.
#[test]
fn two_devices_write_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = Store::open(folder.path().join("boats.sqlite")).unwrap();
    let boat = store.create("Sea Campion", DEMO_BOAT, "", UnixMs(1)).unwrap();
    let about = understand(DEMO_BOAT, "Sea Campion", &[]).unwrap();
    let kind = kind_named(CHECKUP_KIND).unwrap();
    let number = begin(&mut store, boat, kind, "2026-05-02", UnixMs(2)).unwrap().number;
    let entry = |address: &str, was: Option<&str>, text: &str| Entry {
        address: address.to_owned(),
        was: was.map(|was| vec![was.to_owned()]),
        text: text.to_owned(),
    };
    let mut save =
        |entries: &[Entry]| save_entries(&mut store, (boat, &about), (kind, number), entries, UnixMs(3));
    assert_eq!(save(&[entry("item.gland.note", Some(""), "drips")]).unwrap(), Vec::<String>::new());
    assert_eq!(save(&[entry("item.belt.found", Some(""), "good")]).unwrap(), Vec::<String>::new());
    let aside = save(&[entry("item.gland.note", Some(""), "dry")]).unwrap();
    assert_eq!(aside, ["item.gland.note"]);
    assert!(save(&[entry("item.mast.found", None, "good")]).is_err());
    let text = store.record(boat, CHECKUP_KIND, number).unwrap().text;
    let document = DatedDocument::parse(&text).unwrap();
    assert_eq!(document.get("item.gland.note"), "dry");
    assert_eq!(document.get("item.belt.found"), "good");
    assert!(document.get("note").contains("drips was written on another page"), "{}", document.get("note"));
}

/// A call is kept with what was told before its end was known, and scored by that: by hand, one of two first, both among
/// three. What is said afterwards does not change what was told.
#[test]
fn a_call_is_scored_by_what_was_told_before() {
    let folder = tempfile::tempdir().unwrap();
    let mut store = Store::open(folder.path().join("boats.sqlite")).unwrap();
    let boat = store.create("Sea Campion", DEMO_BOAT, "", UnixMs(1)).unwrap();
    let about = understand(DEMO_BOAT, "Sea Campion", &[]).unwrap();
    let kind = kind_named("call").unwrap();
    let mut call = |said: &[(&str, &str)], outcome: &str, after: &[(&str, &str)]| {
        let number = begin(&mut store, boat, kind, "2026-05-02", UnixMs(2)).unwrap().number;
        for entries in [said, &[("outcome", outcome)], after] {
            let entry = |(key, text): &(&str, &str)| Entry {
                address: kind.address(key),
                was: None,
                text: (*text).to_owned(),
            };
            let entries: Vec<Entry> = entries.iter().map(entry).collect();
            save_entries(&mut store, (boat, &about), (kind, number), &entries, UnixMs(3)).unwrap();
        }
        KeptRecord::load(&store, boat, kind, number).unwrap()
    };
    let weak =
        [("danger", "none"), ("symptom", "weak"), ("when", "suddenly"), ("last", "rope"), ("hand", "stuck")];
    let kept = call(&weak, "rope", &[]);
    assert!(kept.document.get("told").starts_with("rope 0."), "{}", kept.document.get("told"));
    assert_eq!(kept.label(), "2026-05-02: it was something is round the propeller");
    let second = kept.document.get("told").lines().nth(1).unwrap().split(' ').next().unwrap().to_owned();
    let part = wakewright_core::call::PARTS.iter().find(|part| part.place == second);
    let part = part.map_or("strange", |part| part.key);
    let other = call(&weak, part, &[("symptom", "nothing"), ("stops", "stop")]);
    assert_eq!(other.document.get("told"), kept.document.get("told"));
    call(&weak, "", &[]);
    let CallScore { calls, first, among_three, .. } = score(&store.records_of_all("call").unwrap());
    assert_eq!((calls, first, among_three), (2, 1, 2), "a call without an end counts for nothing");
}

/// Every fault of a commissioning is said at its entry: a bare number is asked, another unit refused, a day to come too.
#[test]
fn readings_of_a_commissioning_have_their_faults() {
    let kind = kind_named("commission").unwrap();
    let boat = understand(DEMO_BOAT, "Sea Campion", &[]).unwrap();
    let mut document = DatedDocument::of_day("2126-05-02");
    for (key, text) in
        [("quay-amps", "49.1 V"), ("rest-volts", "52"), ("drop", "mast=3 mV"), ("neutral", "perhaps")]
    {
        document.set(&kind.address(key), text).unwrap();
    }
    let today = "2026-10-01".parse().unwrap();
    let faults = |document: &DatedDocument| -> Vec<String> {
        kind.faults(document, &boat, today).into_iter().map(|fault| fault.address).collect()
    };
    assert_eq!(faults(&document), ["date", "said.neutral"], "what cannot be read at all comes first");
    document.set("said.neutral", "yes").unwrap();
    let mut all = faults(&document);
    all.sort_unstable();
    assert_eq!(all, ["date", "said.drop", "said.quay-amps", "said.rest-volts"]);
}
