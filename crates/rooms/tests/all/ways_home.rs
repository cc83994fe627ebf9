//! The way home: what runs beside the drive by night, against a sum by hand.

use wakewright_core::sheet::Value;
use wakewright_rooms::ROOMS;
use wakewright_rooms::boats::understand;
use wakewright_rooms::demo::DEMO_BOAT;
use wakewright_rooms::room::{Asked, Replies};
use wakewright_rooms::text::Paper;
use wakewright_units::UnitSystem;

/// What is left on arrival of 100 % at 3 kn, two hours under way from an hour on, with so many watts from 20 to 6 o'clock alone beside the
/// 48 W of her document, or with a standing load.
fn left(now: &str, night_w: u32, standing: Option<&str>) -> f64 {
    let (lamps, stated) = ("power = \"55 W, assumed\"\nfrom = 17\nto = 23", "house_load = \"110 W\"\n");
    assert!(DEMO_BOAT.contains(lamps) && DEMO_BOAT.contains(stated));
    let lights = format!("power = \"{night_w} W\"\nfrom = 20\nto = 6");
    let standing = standing.map_or_else(String::new, |load| format!("house_load = \"{load}\"\n"));
    let text = DEMO_BOAT.replace(stated, &standing).replace(lamps, &lights);
    let boat = understand(&text, "Tern", &[]).unwrap();
    let room = ROOMS.iter().find(|room| room.card().key == "gethome").unwrap();
    let replies = [("miles", "6"), ("charge", "100 %"), ("now", now), ("slowest", "3 kn")];
    let replies = Replies::read(room.questions(), replies.into_iter()).unwrap();
    let asked = Asked { replies, ..Asked::of(&boat, 400) };
    let answer = room.answer(&asked, None, &Paper::plain(UnitSystem::Trade)).unwrap();
    let sheet = answer.sheets.iter().find(|sheet| sheet.key == "speeds").unwrap();
    let number = |key| match sheet.value(0, key).unwrap() {
        Value::Band(band) => band.value,
        Value::Number(number) => *number,
        other => panic!("{other:?}"),
    };
    assert!((number("after") - 7200.0).abs() < 60.0, "{}", number("after"));
    number("charge_left")
}

/// Two hours of 300 W by night are 600 Wh, by day none. Her three packs hold 3 x 105 Ah x 98 % at 79 V, 24.4 kWh, of which 600 Wh are
/// 2.46 %; cold they hold less, by a fifth at most. Standing loads of the same watts take the same.
#[test]
fn lights_burn_by_night() {
    let (day, night) = (left("10:00", 300, None), left("22:00", 300, None));
    assert!((0.0246..1.2 * 0.0246).contains(&(day - night)), "{day} {night}");
    assert!((left("10:00", 10, None) - day).abs() < 1e-9);
    assert!((left("22:00", 10, Some("348 W")) - night).abs() < 0.002);
    assert!((left("10:00", 10, Some("48 W")) - day).abs() < 0.002);
}

/// What the command asks about the water its page asks too.
#[test]
fn every_question_of_the_water_has_a_field() {
    let boat = understand(DEMO_BOAT, "Tern", &[]).unwrap();
    for room in
        ROOMS.iter().filter(|room| ["tide", "dryout", "gethome", "passage"].contains(&room.card().key))
    {
        let fields = room.typed(&Asked::of(&boat, 1));
        let left_out: Vec<&str> = room.questions().iter().map(|question| question.key).collect();
        let left_out: Vec<&&str> =
            left_out.iter().filter(|key| !fields.iter().any(|field| field.key == **key)).collect();
        assert!(left_out.is_empty(), "{}: {left_out:?}", room.card().key);
    }
}
