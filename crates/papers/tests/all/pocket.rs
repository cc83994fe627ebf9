//! The pocket sheet: its figures are those of the rooms, it is small, whole and the same twice.

use wakewright_core::sheet::Value;
use wakewright_papers::{DryOut, Pocket, Record};
use wakewright_rooms::ROOMS;
use wakewright_rooms::room::{Answer, Asked, Replies};
use wakewright_rooms::text::Paper;
use wakewright_units::UnitSystem;

use super::{between, demo};

const WATERS: &str = include_str!("../../../../examples/renn_sound_waters.txt");

fn dry_out(ground: &str) -> DryOut {
    let replies = [
        ("place", "Renn Sound"),
        ("ground", ground),
        ("day", "2026-09-20"),
        ("zone", "UTC"),
        ("table", WATERS),
    ];
    DryOut { replies: replies.map(|(key, text)| (key, text.to_owned())).to_vec() }
}

fn answer(room: &str, pairs: &[(&str, &str)], paper: &Paper) -> Answer {
    let room = ROOMS.iter().find(|known| known.card().key == room).unwrap();
    let replies = Replies::read(room.questions(), pairs.iter().copied()).unwrap();
    let boat = demo();
    let asked = Asked { replies, has_pictures: true, ..Asked::of(&boat, room.card().samples.usual) };
    room.answer(&asked, None, paper).unwrap()
}

#[test]
fn every_figure_is_that_of_its_room() {
    let paper = Paper::plain(UnitSystem::Trade);
    let record = Record::of_file(demo());
    let pocket = Pocket::of(&ROOMS, &record, &paper, Some(&dry_out("2.20 m ± 0.10 m"))).unwrap();
    let html = pocket.to_html();
    assert!(html.len() < 500_000, "{}", html.len());
    assert!(
        html == Pocket::of(&ROOMS, &record, &paper, Some(&dry_out("2.20 m ± 0.10 m"))).unwrap().to_html()
    );
    let (mut cases, mut cells) = (0, 0);
    for (charge, miles, stream) in
        [("80 %", "3", "slack"), ("50 %", "6", "2 kn against"), ("80 %", "6", "1 kn against")]
    {
        let row = between(&html, &format!("data-case=\"{charge}|{miles}|{stream}\""), "", "</tr>").unwrap();
        let pairs = [("miles", miles), ("stream", stream), ("charge", charge), ("now", "00:00")];
        let home = answer("gethome", &pairs, &paper);
        cases += 1;
        for key in ["charge_on_arrival", "above_reserve_share", "least_energy_speed", "sure_home_speed"] {
            let said = between(row, &format!("data-figure=\"{key}\""), ">", "</td>").unwrap();
            let (figure, value) = home.single(key).unwrap();
            match value {
                Value::Band(band) => {
                    let words =
                        (paper.quantity(band.value, figure.quantity), paper.band(*band, figure.quantity));
                    assert_eq!(said, format!("{} ({})", words.0, words.1));
                }
                Value::Number(si) => assert_eq!(said, paper.quantity(*si, figure.quantity)),
                _ => assert_eq!(said, "–", "{key}: {value:?}"),
            }
            cells += 1;
        }
    }
    assert_eq!((cases, cells), (3, 12));
    for (room, section) in [("range", "range"), ("bank", "bank"), ("wiring", "wiring")] {
        let sentence = answer(room, &[], &paper).finding.sentence;
        let part = between(&html, &format!("id=\"{section}\""), ">", "</section>").unwrap();
        assert!(part.contains(&maud::html! { (sentence) }.into_string()), "{room}");
    }
    assert!(html.contains("No certificate, no survey"));
}

#[test]
fn tides_end_where_their_table_does_and_what_is_asked_wrongly_is_said() {
    let paper = Paper::plain(UnitSystem::Trade);
    let record = Record::of_file(demo());
    let html = Pocket::of(&ROOMS, &record, &paper, Some(&dry_out("2.20 m"))).unwrap().to_html();
    let until = between(&html, "class=\"until\" data-until=\"", "", "\"").unwrap();
    assert!(until.starts_with("2026-10-1"), "the table's last day is 18 October: {until}");
    let rows =
        between(&html, "id=\"dryout\"", ">", "</section>").unwrap().matches("<tr data-until=\"2026-").count();
    assert!(rows > 20, "{rows}");
    let why = Pocket::of(&ROOMS, &record, &paper, Some(&dry_out("high"))).unwrap_err();
    assert!(why.starts_with("--ground"), "{why}");
}

/// An invented table of 100 days, a water every 6 h 12 min: sixty of them stand on the sheet, from the fifth of September to the
/// end of the third of November.
#[test]
fn tides_of_a_long_table_end_after_sixty_days() {
    let water = |number: i64| {
        let (mut day, mut month, minutes) = (1 + 372 * number / 1440, 9, 372 * number % 1440);
        for (of, days) in [(9, 30), (10, 31), (11, 30)] {
            if month == of && day > days {
                (day, month) = (day - days, of + 1);
            }
        }
        let height = if number % 2 == 0 { "4.50 m" } else { "0.60 m" };
        format!("2026-{month:02}-{day:02} {:02}:{:02} {height}\n", minutes / 60, minutes % 60)
    };
    let table: String = (0..390).map(water).collect();
    let mut place = dry_out("2.20 m");
    for (key, text) in &mut place.replies {
        match *key {
            "table" => text.clone_from(&table),
            "day" => "2026-09-05".clone_into(text),
            _ => {}
        }
    }
    let paper = Paper::plain(UnitSystem::Trade);
    let html = Pocket::of(&ROOMS, &Record::of_file(demo()), &paper, Some(&place)).unwrap().to_html();
    let until = between(&html, "class=\"until\" data-until=\"", "", "\"").unwrap();
    assert!(until.starts_with("2026-11-04T00:00"), "{until}");
    assert!(html.len() < 500_000, "{}", html.len());
}
