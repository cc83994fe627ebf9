//! The report: its figures are those of the rooms, it is whole, short where there is nothing, and the same twice.

use wakewright_core::sheet::{Form, Value};
use wakewright_papers::{Claim, Reader, Record, Verdict, verify};
use wakewright_records::boat::{BoatDocument, FieldKind, SECTIONS};
use wakewright_rooms::ROOMS;
use wakewright_rooms::boats::understand;
use wakewright_rooms::demo::DEMO_BOAT;
use wakewright_rooms::explain::stands_on;
use wakewright_rooms::room::Asked;
use wakewright_rooms::text::Paper;
use wakewright_units::UnitSystem;

use super::{between, demo, report_of};

#[test]
fn every_figure_is_that_of_its_room_with_band_and_mark() {
    let boat = demo();
    for units in [UnitSystem::Us] {
        let (html, paper) = (report_of(boat.clone(), Reader::Fitter, units), Paper::plain(units));
        let mut compared = 0;
        for room in ROOMS {
            let card = room.card();
            let Some(section) = between(&html, &format!("data-room=\"{}\"", card.key), ">", "</section>")
            else {
                continue;
            };
            let asked =
                Asked { has_pictures: true, seeks_remedy: true, ..Asked::of(&boat, card.samples.usual) };
            let Ok(answer) = room.answer(&asked, None, &paper) else {
                assert!(section.contains("No answer: "), "{}", card.key);
                continue;
            };
            assert!(
                section.contains(&maud::html! { (answer.finding.sentence) }.into_string()),
                "{}",
                card.key
            );
            for sheet in answer.sheets.iter().filter(|sheet| sheet.form == Form::List) {
                let values = sheet.rows.first().map_or(&[][..], |row| row.values.as_slice());
                for (head, value) in sheet.heads.iter().zip(values) {
                    let row = format!("<tr data-figure=\"{}\">", head.figure.key);
                    let Some(row) = between(section, &row, "", "</tr>") else { continue };
                    let Some(interval) = value.interval() else { continue };
                    let quantity = head.figure.quantity;
                    let said = paper.quantity(interval.value, quantity);
                    assert!(row.contains(&format!("<td class=\"number\">{said}</td>")), "{row} {said}");
                    if matches!(value, Value::Band(band) if band.p10 < band.p90) {
                        assert!(row.contains(&paper.band(interval, quantity)), "{row}");
                    }
                    let mark = stands_on(&ROOMS, head.figure, &boat);
                    assert!(row.contains(&format!("<td class=\"mark\">{mark}</td>")), "{row} {mark}");
                    compared += 1;
                }
            }
        }
        assert!(compared > 60, "{compared}");
    }
}

/// One input of the demo that is assumed and no longer measured moves one count to the other mark.
#[test]
fn marks_count_what_the_document_says() {
    let html = report_of(demo(), Reader::Owner, UnitSystem::Trade);
    let assumed =
        DEMO_BOAT.replace("displacement = \"15.6 t ± 0.5 t\"", "displacement = \"15.6 t, assumed\"");
    let less_sure = report_of(understand(&assumed, "demo", &[]).unwrap(), Reader::Owner, UnitSystem::Trade);
    let mark_of = |html: &str| {
        between(html, "data-figure=\"resistance\"", "<td class=\"mark\">", "</td>").unwrap().to_owned()
    };
    let count = |mark: &str, word: &str| {
        let part = mark.split(", ").find(|part| part.ends_with(word)).unwrap_or("0 x").to_owned();
        part.split(' ').next().unwrap().parse::<usize>().unwrap()
    };
    let (before, after) = (mark_of(&html), mark_of(&less_sure));
    assert_eq!(count(&before, "measured"), count(&after, "measured") + 1, "{before}; {after}");
    assert_eq!(count(&before, "assumed") + 1, count(&after, "assumed"), "{before}; {after}");
}

#[test]
fn cautions_stand_before_every_room() {
    for reader in [Reader::Owner, Reader::Surveyor] {
        let html = report_of(demo(), reader, UnitSystem::Trade);
        let caution = html.find("No certificate, no survey and no conformity assessment").unwrap();
        let danger = html.find("Lithium packs can push thousands of amperes").unwrap();
        let room = html.find("data-room=").unwrap();
        assert!(caution < room && danger < room);
        assert!(html.contains("ask a notified body"), "the directive is told as facts");
        assert!(html.find("Invented.").unwrap() < room);
    }
}

#[test]
fn the_same_boat_gives_the_same_bytes_and_another_boat_another_fingerprint() {
    let (one, again) = (
        report_of(demo(), Reader::Surveyor, UnitSystem::Trade),
        report_of(demo(), Reader::Surveyor, UnitSystem::Trade),
    );
    assert!(one == again);
    let claim = Claim::of(&one).unwrap();
    assert_eq!(
        (claim.boat.as_str(), claim.reader, claim.fingerprint.len()),
        ("Sea Campion", Reader::Surveyor, 64)
    );
    assert!(one.matches(&claim.fingerprint).count() >= 2, "in the head and, in full, at the end");
    let longer = understand(&DEMO_BOAT.replace("12.7 m", "12.8 m"), "demo", &[]).unwrap();
    assert_ne!(Record::of_file(longer).fingerprint(), claim.fingerprint);
}

#[test]
fn a_paper_is_the_same_changed_or_unknown() {
    let record = Record::of_file(demo());
    let paper = report_of(demo(), Reader::Owner, UnitSystem::Metric);
    assert_eq!(verify(&ROOMS, &paper, &record, &[]), Verdict::Same);
    let touched = paper.replacen("five", "six", 1);
    assert!(
        matches!(verify(&ROOMS, &touched, &record, &[]), Verdict::Changed(why) if why.contains("the paper itself"))
    );
    let text = DEMO_BOAT.replace("12.7 m", "12.8 m");
    let later = Record::of_file(understand(&text, "demo", &[]).unwrap());
    let former = [(3, DEMO_BOAT.to_owned())];
    assert!(
        matches!(verify(&ROOMS, &paper, &later, &former), Verdict::Changed(why) if why.contains("revision 3"))
    );
    assert!(matches!(verify(&ROOMS, &paper, &later, &[]), Verdict::Changed(_)));
    assert!(matches!(verify(&ROOMS, "<html>", &record, &[]), Verdict::Unknown(_)));
    let other = paper.replace("wakewright-version\" content=\"", "wakewright-version\" content=\"9.");
    assert!(matches!(verify(&ROOMS, &other, &record, &[]), Verdict::Unknown(why) if why.contains("9.")));
}

/// Each text goes in behind its length.
#[test]
fn nothing_moves_from_one_text_into_the_next() {
    use sha2::{Digest, Sha256};
    let record = Record::of_file(demo());
    let (version, text) = (wakewright_papers::VERSION, record.boat.document.to_toml());
    let bytes = [
        &(version.len() as u64).to_be_bytes()[..],
        version.as_bytes(),
        &(text.len() as u64).to_be_bytes(),
        text.as_bytes(),
    ];
    let whole: String = Sha256::digest(bytes.concat()).iter().map(|byte| format!("{byte:02x}")).collect();
    assert_eq!(record.fingerprint(), whole);
}

/// The demo's document, every number of it marked as assumed.
pub fn all_assumed() -> String {
    let mut document = BoatDocument::parse(DEMO_BOAT).unwrap();
    for section in SECTIONS {
        let rows: Vec<String> =
            document.rows(section.name).iter().map(|row| row.address().to_owned()).collect();
        for field in section.fields.iter().filter(|field| matches!(field.kind, FieldKind::Quantity(_))) {
            let name = field.key.rsplit('.').next().unwrap();
            let places: Vec<String> = if section.is_repeated {
                rows.iter().map(|row| format!("{row}.{name}")).collect()
            } else {
                vec![field.key.to_owned()]
            };
            for place in places {
                let Some(stated) = document.stated_number(&place) else { continue };
                let plain = stated.text.split(',').next().unwrap().to_owned();
                let plain = if stated.text.matches(',').count() > 0 && !stated.text.contains("assumed") {
                    stated.text
                } else {
                    plain
                };
                document = document.set(&place, &format!("{plain}, assumed")).unwrap();
            }
        }
    }
    document.to_toml().to_owned()
}

#[test]
fn a_report_with_nothing_measured_says_so_and_stays_short() {
    let boat = understand(&all_assumed(), "demo", &[]).unwrap();
    let html = report_of(boat, Reader::Owner, UnitSystem::Trade);
    assert!(
        html.contains("Nothing of Sea Campion is measured"),
        "{}",
        &html[html.find("<h1").unwrap()..][..300]
    );
    assert_eq!(html.matches("data-room=").count(), 1);
    assert!(html.contains("No certificate, no survey"));
    let whole = report_of(demo(), Reader::Owner, UnitSystem::Trade);
    let text = |html: &str| html.split_once("<body>").unwrap().1.len();
    assert!(text(&html) * 3 < text(&whole));
}

#[test]
fn names_in_any_script_long_notes_and_markup_stay_what_they_are() {
    // A bare report is short, and asks one room only.
    let bare = all_assumed();
    let note = format!("{} \u{202e}end", "<b>&\"' ".repeat(12_500));
    for name in ["Ἁλκυών", "海の花", "שׁחף", "Žuvėdra & <script>alert(1)</script>", "A\\\"}</style><i>"]
    {
        let text = bare
            .replace("name = \"Sea Campion\"", &format!("name = {}", toml_text(name)))
            .replace("note = \"Measured on the slip", &format!("note = {} # ", toml_text(&note)));
        let boat = understand(&text, "demo", &[]).unwrap();
        let html = report_of(boat, Reader::Owner, UnitSystem::Trade);
        assert_eq!(Claim::of(&html).unwrap().boat, name);
        assert!(!html.contains("<script") && !html.contains("<i>"), "{name}");
        assert_eq!(html.matches("</style>").count(), 1, "{name}");
        assert!(html.contains(&"&lt;b&gt;&amp;&quot;' ".repeat(12_500)), "the note is whole");
    }
}

fn toml_text(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}
