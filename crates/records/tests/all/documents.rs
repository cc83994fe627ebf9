//! The example boats, values and marks, editing, and texts of any kind.

use proptest::prelude::*;
use wakewright_core::spread::Sampler;
use wakewright_core::steady::PreparedBoat;
use wakewright_core::study::{Questions, answer};
use wakewright_records::boat::{
    BoatDocument, Fault, Origin, Severity, all_fields, build_spec, field_named, new_document, render_faults,
    section_named,
};

const SEA_CAMPION: &str = include_str!("../../../../examples/sea_campion.toml");
const SWEET_GALE: &str = include_str!("../../../../examples/sweet_gale.toml");
const WATER_AVENS: &str = include_str!("../../../../examples/water_avens.toml");

fn read(text: &str) -> BoatDocument {
    BoatDocument::parse(text).unwrap_or_else(|faults| panic!("{}", render_faults(&faults, text, "boat.toml")))
}

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() <= 1e-9 * expected.abs().max(1e-6), "{found} is not {expected}");
}

#[test]
fn example_boats_have_no_fault() {
    for text in [SEA_CAMPION, SWEET_GALE, WATER_AVENS] {
        let document = read(text);
        assert!(document.doubts().is_empty(), "{}", render_faults(document.doubts(), text, "boat.toml"));
        assert!(document.text("boat.invented").unwrap().contains("invented"));
        assert!(document.require(&["propeller", "reduction", "motor", "controller", "pack"]).is_ok());
    }
}

#[test]
fn values_come_in_si_with_origin_and_band() {
    let document = read(SEA_CAMPION);
    let displacement = document.number("hull.displacement").unwrap();
    near(displacement.value_si, 15_600.0);
    near(displacement.spread.p10, 15_100.0);
    near(displacement.spread.p90, 16_100.0);
    assert_eq!(displacement.origin, Origin::Measured);
    assert_eq!(
        SEA_CAMPION.lines().nth(displacement.line.unwrap() - 1).unwrap().split(' ').next(),
        Some("displacement")
    );
    near(document.number("hull.length_waterline").unwrap().value_si, 35.0 * 0.3048 + 11.0 * 0.0254);
    near(document.number("propeller.diameter").unwrap().value_si, 22.0 * 0.0254);
    near(document.number("motor.speed_constant").unwrap().value_si, 36.0 / 60.0);
    near(document.number("reduction.ratio").unwrap().value_si, 2.2);
    let area = document.number("propeller.area_ratio").unwrap();
    assert_eq!(area.origin, Origin::Assumed);
    near(area.spread.p90, 0.66);
    assert_eq!(document.integer("propeller.blades"), Some(4));
    assert_eq!(document.choice("hull.bottom"), Some("light slime"));
    assert_eq!(document.flag("controller.field_weakening"), Some(false));
    assert_eq!(document.text("boat.surveyed"), Some("2025-08-28"));
    let packs = document.rows("pack");
    assert_eq!(packs.len(), 1);
    near(packs[0].number("capacity").unwrap().value_si, 378_000.0);
    assert_eq!(packs[0].text("group").as_deref(), Some("drive"));
    near(document.number("pack[1].capacity").unwrap().value_si, 378_000.0);
}

#[test]
fn what_is_not_stated_has_its_usual_value_or_none() {
    let document = read(WATER_AVENS);
    let factor = document.number("use.in_service_factor").unwrap();
    near(factor.value_si, 1.09);
    assert!((factor.spread.p10 - 0.90).abs() < 0.001 && (factor.spread.p90 - 1.40).abs() < 0.001);
    assert_eq!((factor.origin, factor.line), (Origin::Assumed, None));
    assert!(document.stated_number("use.in_service_factor").is_none());
    assert!(document.number("hull.prismatic_coefficient").is_none());
    assert_eq!(document.choice("controller.lever"), Some("speed"));
    assert_eq!(document.flag("controller.field_weakening"), Some(false));
    assert!(document.number("no.such").is_none());
}

const HULL_ONLY: &str = r#"
[boat]
name = "Bare Hull"
[hull]
kind = "sailing yacht"
length_overall = "9 m"
length_waterline = "7.5 m"
beam_waterline = "2.6 m"
draught = "1.4 m"
displacement = "4.2 t"
keel = "fin"
rudder = "skeg"
bottom = "clean"
"#;

#[test]
fn a_hull_alone_is_a_document() {
    let document = read(HULL_ONLY);
    let missing = document.require(&["motor", "pack"]).unwrap_err();
    assert_eq!(missing.len(), 2);
    assert!(missing[1].advice.contains("[[pack]]"));
}

/// Name, kind, length and beam of a boat.
const TAPE: &str = r#"
[boat]
name = "Tape Alone"
[hull]
kind = "KIND"
length_overall = "9 m"
beam_overall = "2.9 m"
"#;

/// A second pack in parallel has the first one's cells, not a usual number of its own.
#[test]
fn a_second_pack_is_as_the_first() {
    let packs = "[[pack]]\nchemistry = \"LFP\"\ncapacity = \"100 Ah\"\ncells_in_series = \"24\"\n[[pack]]\ncapacity = \"105 Ah\"\n";
    let document = read(&(TAPE.replace("KIND", "sailing yacht") + packs));
    assert_eq!(document.integer("pack[2].cells_in_series"), Some(24));
    let warns = |document: &BoatDocument| {
        let notices = build_spec(document).unwrap().notices();
        notices.iter().any(|notice| notice.text().contains("volts are not known"))
    };
    assert!(!warns(&document) && warns(&read(&TAPE.replace("KIND", "sailing yacht"))), "guessed volts warn");
    let groups = build_spec(&document).unwrap().boat.bank.groups;
    assert!(groups.len() == 2 && groups.iter().all(|group| group.cells_in_series == 24));
}

/// Cells that nobody counted follow from the pack's volts, where those are known.
#[test]
fn cells_follow_from_the_volts() {
    for (chemistry, volts, cells) in [("LFP", "76.8 V", 24), ("NMC", "51.1 V", 14), ("AGM", "48 V", 24)] {
        let pack = format!("[[pack]]\nchemistry = \"{chemistry}\"\nvoltage = \"{volts}\"\n");
        let document = read(&(TAPE.replace("KIND", "sailing yacht") + &pack));
        assert_eq!(document.integer("pack[1].cells_in_series"), Some(cells), "{chemistry} {volts}");
    }
}

/// How long ago she was cleaned stands for a bottom that nobody looked at, and for no other.
#[test]
fn time_since_cleaning_stands_for_a_look() {
    let sand = |bottom: &str, cleaned: &str| {
        let with = format!("beam_overall = \"2.9 m\"\n{bottom}bottom_cleaned = \"{cleaned}\"\n");
        let text = TAPE.replace("KIND", "sailing yacht").replace("beam_overall = \"2.9 m\"\n", &with);
        build_spec(&read(&text)).unwrap().boat.bottom_sand_height_m
    };
    assert!(sand("", "8 months") > 2.0 * sand("", "3 months"));
    let looked = "bottom = \"light slime\"\n";
    assert!((sand(looked, "8 months") - sand(looked, "3 months")).abs() < 1e-12);
}

/// Whatever else is not known is estimated, wide and marked, and nearly every sample of such a boat has an answer.
#[test]
fn a_tape_is_enough() {
    for kind in ["sailing yacht", "round-bilge motor boat", "canal boat"] {
        let document = read(&TAPE.replace("KIND", kind));
        let spec = build_spec(&document).unwrap_or_else(|faults| panic!("{kind}: {faults:?}"));
        assert!(document.number("hull.displacement").unwrap().line.is_none());
        let marked = |label: &str| spec.notices().iter().any(|notice| notice.estimated() == Some(label));
        for label in ["displacement", "rated power", "pitch", "speed constant", "limit of the motor current"]
        {
            assert!(marked(label), "{kind}: {label} {:?}", spec.notices());
        }
        let sampler = Sampler::new(5);
        let speeds = |sample| {
            let prepared = PreparedBoat::new(&spec.sample(sampler, sample)).ok()?.value;
            Some(prepared.full_throttle().ok()?.held.state.speed_m_s)
        };
        let found: Vec<f64> = (0..200).filter_map(speeds).collect();
        assert!(found.len() >= 190, "{kind}: {} of 200 have an answer", found.len());
        let (low, high) = found.iter().fold((f64::MAX, 0.0_f64), |(l, h), v| (l.min(*v), h.max(*v)));
        assert!(high - low > 0.5, "{kind}: wide, {low} to {high}");
    }
    let said = TAPE.replace("KIND", "sailing yacht") + "draught = \"not known\"\nbottom = \"Not known\"\n";
    assert_eq!(
        build_spec(&read(&said)).unwrap(),
        build_spec(&read(&TAPE.replace("KIND", "sailing yacht"))).unwrap()
    );
    assert_eq!(read(&said).typed("hull.draught"), Some("not known"));
    let without_beam = TAPE.replace("KIND", "sailing yacht").replace("beam_overall = \"2.9 m\"", "");
    assert!(faults_of(&without_beam).iter().any(|fault| fault.field == "hull.beam_overall"));
    let nameless = TAPE.replace("KIND", "sailing yacht").replace("\"9 m\"", "\"not known\"");
    assert!(faults_of(&nameless).iter().any(|fault| fault.field == "hull.length_overall"));
}

#[test]
fn marks_and_bands() {
    let with = |text: &str| {
        read(&HULL_ONLY.replace("\"4.2 t\"", &format!("\"{text}\""))).number("hull.displacement").unwrap()
    };
    for (text, origin, p10, p90) in [
        ("4.2 t ± 0.3 t", Origin::Measured, 3900.0, 4500.0),
        ("4.2 t +/- 300 kg", Origin::Measured, 3900.0, 4500.0),
        ("4.2 t +- 0.3", Origin::Measured, 3900.0, 4500.0),
        ("4.2 t ± 5 %", Origin::Measured, 4000.0, 4410.0),
        ("4.2 t ± 5 %, assumed", Origin::Assumed, 4000.0, 4410.0),
        ("~4.2 t", Origin::Assumed, 4200.0 / 1.12, 4200.0 * 1.12),
        ("4,2 t, measured", Origin::Measured, 4200.0 / 1.03, 4200.0 * 1.03),
        ("4.2 t ± 0 t", Origin::Measured, 4200.0, 4200.0),
        ("4.2 t, plate", Origin::Plate, 4200.0 / 1.03, 4200.0 * 1.03),
        ("4.2 t ± 0.3 t, Chosen", Origin::Chosen, 3900.0, 4500.0),
    ] {
        let stated = with(text);
        near(stated.value_si, 4200.0);
        near(stated.spread.p10, p10);
        near(stated.spread.p90, p90);
        assert_eq!(stated.origin, origin, "{text}");
    }
    // In %, the band counts in points.
    let field = field_named("bank.reserve").unwrap();
    let stated =
        wakewright_records::boat::read_stated("20 % ± 5 %", field, field.quantity().unwrap()).unwrap();
    near(stated.spread.p90, 0.25);
}

/// Documents written before there were marks for plate and choice keep every value and every band: what is not marked
/// is as sure as what was measured, and says for itself that it was chosen where it cannot be measured.
#[test]
fn a_value_without_a_mark_is_as_it_was() {
    let mut seen = 0;
    for field in wakewright_records::boat::all_fields() {
        let Some(quantity) = field.quantity() else { continue };
        let read = |mark: &str| {
            let text = format!("{}{mark}", field.example);
            wakewright_records::boat::read_stated(&text, field, quantity).unwrap()
        };
        let (bare, measured) = (read(""), read(", measured"));
        assert_eq!((bare.value_si, bare.spread), (measured.value_si, measured.spread), "{}", field.key);
        for mark in [", plate", ", chosen"] {
            assert_eq!(read(mark).spread, measured.spread, "{}", field.key);
        }
        let wanted = if field.is_chosen { Origin::Chosen } else { Origin::Measured };
        assert_eq!(bare.origin, wanted, "{}", field.key);
        seen += 1;
    }
    assert!(seen > 80, "{seen}");
    let origin = |text: &str, address: &str| BoatDocument::parse_lenient(text).0.unwrap().origin(address);
    assert_eq!(origin("[sea]\nhead_wind = \"12 kn\"\n", "sea.head_wind"), Some(Origin::Chosen));
    assert_eq!(origin("[boat]\nyear = 1979\n", "boat.year"), Some(Origin::Chosen));
    assert_eq!(origin("[hull]\nkeel = \"fin\"\n", "hull.keel"), Some(Origin::Chosen));
    assert_eq!(origin("[hull]\nkeel = \"fin, assumed\"\n", "hull.keel"), Some(Origin::Assumed));
    assert_eq!(origin("[motor]\nrated_power = \"8 kW, plate\"\n", "motor.rated_power"), Some(Origin::Plate));
}

fn faults_of(text: &str) -> Vec<Fault> {
    BoatDocument::parse_lenient(text).1
}

#[test]
fn wrong_marks_are_named() {
    for (typed, said) in [
        ("4.2 t, mesured", "did you mean measured"),
        ("~4.2 t, measured", "Keep one of the two"),
        ("4.2 t ± -1 t", "Write how far"),
        ("4.2 t ± 1 t ± 2 t", "Write one band"),
        ("4.2", "displacement = "),
        ("4.2 m", "Write a mass with its unit"),
    ] {
        let text = HULL_ONLY.replace("4.2 t", typed);
        let faults = faults_of(&text);
        assert_eq!(faults.len(), 1, "{typed}: {faults:?}");
        assert!(faults[0].advice.contains(said), "{typed}: {:?}", faults[0]);
        assert_eq!(faults[0].line, 10);
    }
}

#[test]
fn set_keeps_every_other_letter() {
    let document = read(SEA_CAMPION);
    let changed = document.set("hull.displacement", "16.2 t").unwrap();
    near(changed.number("hull.displacement").unwrap().value_si, 16_200.0);
    let expected = SEA_CAMPION.replace("\"15.6 t ± 0.5 t\"         #", "\"16.2 t\" #");
    assert_eq!(changed.to_toml(), expected);
    // A field that was not there goes to the end of its section.
    let added = document.set("hull.prismatic_coefficient", "0.55").unwrap();
    assert!(
        added
            .to_toml()
            .contains("bottom_cleaned = \"4 months\"\nprismatic_coefficient = \"0.55\"\n\n[propeller]")
    );
    // An empty text puts the line behind a mark; setting it again takes it from there.
    let cleared = document.set("propeller.shaft_depth", "").unwrap();
    assert!(cleared.to_toml().contains("\n# shaft_depth = \"1.05 m\"\n"));
    assert!(cleared.stated_number("propeller.shaft_depth").is_none());
    assert_eq!(cleared.set("propeller.shaft_depth", "1.05 m").unwrap().to_toml(), SEA_CAMPION);
    // Rows and sections may be added, numbers and flags stand without quotes.
    let packed = document.set_lenient("pack[2].chemistry", "LFP").0.unwrap();
    // A group of its own: packs in parallel have as many cells.
    let packed = packed.set_lenient("pack[2].group", "windlass").0.unwrap();
    let packed = packed.set_lenient("pack[2].cells_in_series", "16").0.unwrap();
    let packed = packed.set_lenient("pack[2].capacity", "100 Ah").0.unwrap();
    assert_eq!(packed.rows("pack").len(), 2);
    assert!(packed.to_toml().contains("cells_in_series = 16\ncapacity"));
    assert!(document.set("pack[4].capacity", "100 Ah").is_err());
    assert!(document.set("hull.nothing", "1 m").is_err());
    let weakened = document.set("controller.field_weakening", "true").unwrap();
    assert_eq!(weakened.flag("controller.field_weakening"), Some(true));
}

#[test]
fn values_over_several_lines_and_without_a_line_of_their_own_are_set() {
    let document = read(SEA_CAMPION);
    let retold = document.set("boat.invented", "An invented boat.").unwrap();
    assert!(retold.to_toml().contains("invented = \"An invented boat.\"\ntype = "));
    assert_eq!(retold.typed("boat.invented"), Some("An invented boat."));
    let cleared = document.set("boat.invented", "").unwrap();
    assert_eq!(cleared.text("boat.invented"), None);
    let inline =
        format!("{HULL_ONLY}\n[use]\ncruising_speed = \"4 kn\"\n").replace("[boat]\nname", "boat.name");
    let changed = read(&inline).set("boat.name", "Bare Bones").unwrap();
    assert_eq!(changed.text("boat.name"), Some("Bare Bones"));
    // Lines that end the way of another system keep their ends.
    let carriage = HULL_ONLY.replace('\n', "\r\n");
    let changed = read(&carriage).set("hull.draught", "1.5 m").unwrap();
    assert_eq!(changed.to_toml(), carriage.replace("1.4 m", "1.5 m"));
}

#[test]
fn a_broken_heading_sets_only_its_own_section_aside() {
    let twice = format!("{HULL_ONLY}[use]\nwished_speed = \"6 kn\"\n[hull]\nfreeboard = \"1 m\"\n");
    let faults = faults_of(&twice);
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert!(faults[0].problem.contains("written twice"));
    for heading in ["[use", "[[use]", "use]", "[use]]"] {
        let text = format!("{HULL_ONLY}{heading}\nwished_speed = \"6 kn\"\n");
        let faults = faults_of(&text);
        assert!(faults.len() <= 2, "{heading}: {faults:?}");
        assert_eq!(faults[0].line, HULL_ONLY.lines().count() + 1, "{heading}");
    }
    let single = format!("{HULL_ONLY}[pack]\nchemistry = \"LFP\"\n");
    assert_eq!(faults_of(&single)[0].advice, "Write [[pack]].");
}

#[test]
fn the_inch_sign_in_double_quotes_is_explained() {
    let text = format!(
        "{HULL_ONLY}[propeller]\npattern = \"fixed\"\nblades = 3\narrangement = \"P-bracket\"\ndiameter = \"12\"\"\npitch = '8\"'\n"
    );
    let faults = faults_of(&text);
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert!(faults[0].problem.contains("inch sign"), "{faults:?}");
}

#[test]
fn a_faulty_value_is_kept_as_typed() {
    let document = read(HULL_ONLY);
    let faults = document.set("hull.draught", "1.4 kg").unwrap_err();
    assert_eq!(faults[0].field, "hull.draught");
    let (kept, faults) = document.set_lenient("hull.draught", "1.4 kg");
    let kept = kept.unwrap();
    assert_eq!((kept.typed("hull.draught"), faults.len()), (Some("1.4 kg"), 1));
    assert!(kept.number("hull.draught").is_none());
    near(kept.number("hull.displacement").unwrap().value_si, 4200.0);
    // Inch signs and quotes survive the way into the file and back.
    let inches = document.set("hull.draught", "4' 7\"").unwrap();
    near(inches.number("hull.draught").unwrap().value_si, 55.0 * 0.0254);
}

#[test]
fn the_template_of_an_example_is_that_example() {
    let document = read(SEA_CAMPION);
    let addresses = all_fields().map(|field| field.key.replace("pack.", "pack[1]."));
    let answers: Vec<(String, String)> = addresses
        .filter_map(|address| document.typed(&address).map(|text| (address.clone(), text.to_owned())))
        .collect();
    assert!(answers.len() > 60);
    let borrowed: Vec<(&str, &str)> = answers.iter().map(|(a, t)| (a.as_str(), t.as_str())).collect();
    let text = new_document(&borrowed);
    let again = read(&text);
    for (address, typed) in &answers {
        assert_eq!(again.typed(address), Some(typed.as_str()), "{address}");
    }
}

#[test]
fn an_empty_template_asks_for_what_is_required() {
    let text = new_document(&[]);
    let faults = faults_of(&text);
    let required = all_fields()
        .filter(|f| {
            matches!(f.section(), "boat" | "hull")
                && f.presence == wakewright_records::boat::Presence::Required
        })
        .count();
    // And one of two beams.
    assert_eq!(faults.len(), required + 1, "{}", render_faults(&faults, &text, "new.toml"));
    assert!(text.lines().all(|line| line.chars().count() <= 110));
    let (begun, _) = BoatDocument::parse_lenient(&text);
    let begun = begun.unwrap().set_lenient("motor.rated_power", "10 kW").0.unwrap();
    assert_eq!(begun.typed("motor.rated_power"), Some("10 kW"));
    assert_eq!(begun.to_toml().matches("rated_power = ").count(), 1);
    assert_eq!(begun.to_toml().lines().count(), text.lines().count());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn no_text_panics(text in "(?s).{0,200}") {
        let (_, faults) = BoatDocument::parse_lenient(&text);
        let _ = render_faults(&faults, &text, "boat.toml");
    }

    #[test]
    fn no_bytes_panic(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
        let text = String::from_utf8_lossy(&bytes);
        let (_, faults) = BoatDocument::parse_lenient(&text);
        let _ = render_faults(&faults, &text, "boat.toml");
    }

    /// A document with a stretch of it torn out or overwritten never panics, and its faults point into it.
    #[test]
    fn no_damage_panics(from in 0..2400_usize, length in 0..200_usize, patch in "[\\[\\]=\"'#a-z0-9 ±,\\n]{0,20}") {
        let mut chars: Vec<char> = SEA_CAMPION.chars().collect();
        let from = from.min(chars.len());
        let end = (from + length).min(chars.len());
        chars.splice(from..end, patch.chars());
        let text: String = chars.into_iter().collect();
        let (document, faults) = BoatDocument::parse_lenient(&text);
        let lines = text.split('\n').count();
        for fault in &faults {
            prop_assert!((1..=lines).contains(&fault.line), "{fault:?}");
        }
        let _ = render_faults(&faults, &text, "boat.toml");
        if let Some(document) = document {
            prop_assert_eq!(document.to_toml(), text.as_str());
            let _ = document.set_lenient("propeller.pitch", "9 in");
        } else {
            prop_assert!(faults.iter().any(|fault| fault.severity == Severity::Error));
        }
    }

    #[test]
    fn any_text_may_be_set_and_is_kept(text in "[^\\r\\n]{1,30}", index in 0..120_usize) {
        let document = read(HULL_ONLY);
        let is_single = |section| section_named(section).is_some_and(|section| !section.is_repeated);
        let fields: Vec<_> = all_fields().filter(|field| is_single(field.section())).collect();
        let field = fields[index % fields.len()];
        prop_assume!(!text.trim().is_empty());
        let (changed, _) = document.set_lenient(field.key, &text);
        let changed = changed.unwrap();
        prop_assert_eq!(changed.typed(field.key), Some(text.trim()));
        prop_assert_eq!(changed.typed("hull.rudder"), Some(if field.key == "hull.rudder" { text.trim() } else { "skeg" }));
    }
}

#[test]
fn many_changes_at_once_are_those_made_one_by_one() {
    let text = "[boat]\nname = \"Tern\"\n\n[hull]\r\ndraught = \"~1.5 m\"  # tape\nkeel = \"fin\"\n# beam_overall = \"3 m\"\n\
                # [motor]\n# rated_power = \"8 kW\"\n\n[[mass]]\nof = \"a\"\nmass = \"1 kg\"\n[[mass]]\nof = \"b\"\nmass = '''2 kg'''\nat = \"0 m\"\n\
                [engine]\nrated_power = \"20 kW\"\n";
    let changes = [
        ("mass[2].mass", "5 kg"),
        ("mass[1].of", "a \"big\" # one"),
        ("mass[1].at", "1 m"),
        ("hull.draught", "wet\nand deep"),
        ("hull.keel", ""),
        ("hull.beam_overall", "3.2 m"),
        ("motor.rated_power", "10 kW"),
        ("engine.rated_power", "21 kW"),
        ("mass[9].of", "nowhere"),
        ("hull.colour", "red"),
    ];
    for text in [text.replace("\r\n", "\n"), text.replace("\r\n", "\n").replace('\n', "\r\n")] {
        let document = BoatDocument::parse_lenient(&text).0.unwrap();
        let one_by_one = changes.iter().fold(document.clone(), |document, (address, value)| {
            document.set_lenient(address, value).0.unwrap_or(document)
        });
        assert_eq!(document.text_with_all(&changes), one_by_one.to_toml());
    }
}

#[test]
fn many_changes_that_make_too_much_of_a_document_are_kept_all_the_same() {
    let text = "[boat]\nname = \"Tern\"\nnote = \"none\"\n\n[hull]\nkeel = \"fin\"\n";
    let document = BoatDocument::parse_lenient(text).0.unwrap();
    let long = "all of it ".repeat(25_000);
    // The long one has a line, or has none and comes before or behind another that has none.
    for changes in [
        [("boat.note", &*long), ("hull.keel", "long"), ("hull.beam_overall", "3.2 m")],
        [("boat.type", &*long), ("hull.beam_overall", "3.2 m"), ("hull.keel", "long")],
        [("hull.beam_overall", "3.2 m"), ("boat.type", &*long), ("hull.keel", "long")],
    ] {
        let kept = document.text_with_all(&changes);
        for (address, value) in changes {
            assert!(kept.contains(value.trim()), "{address} is lost");
        }
        let (read, faults) = BoatDocument::parse_lenient(&kept);
        assert!(read.is_none() && faults[0].problem.contains("not that long"), "{faults:?}");
    }
}

/// A second bank like the first doubles the miles, a fifth of it adds a fifth, and a house battery adds nothing. By the
/// definition of sequence: each bank is emptied by itself at the same watts.
#[test]
fn banks_used_one_after_the_other_add_up_and_a_house_battery_does_not() {
    let miles = |more: &str| {
        let boat = build_spec(&read(&format!("{SWEET_GALE}\n{more}"))).unwrap().boat;
        let speeds_m_s = vec![4.0 * 1852.0 / 3600.0];
        let (found, _) = answer(&boat, &Questions { speeds_m_s, ..Questions::default() }).unwrap();
        found.at_speeds[0].as_ref().unwrap().distance_m().unwrap()
    };
    let like = |capacity: &str| {
        format!(
            "[[pack]]\ngroup = \"bow\"\nchemistry = \"NMC\"\ncount = 2\ncells_in_series = 20\ncapacity = \"{capacity}\"\n"
        )
    };
    let own = miles("");
    let twice = miles(&like("50 Ah"));
    assert!((twice / own - 2.0).abs() < 0.03, "{twice} of {own}");
    let fifth = miles(&like("10 Ah"));
    assert!(fifth > 1.1 * own && fifth < 1.21 * own, "{fifth} of {own}");
    let house = "[[pack]]\ngroup = \"house\"\nvoltage = \"12.8 V\"\ncapacity = \"240 Ah\"\n";
    assert_eq!(miles(house).to_bits(), own.to_bits());
}

/// A bank beside the drive's has the volts that are typed, and what it lacks is said.
#[test]
fn a_bank_beside_the_drives_is_never_guessed() {
    let with = |lines: &str| {
        let text = format!(
            "{}\n[[pack]]\nname = \"lamps\"\ngroup = \"house\"\n{lines}\n",
            include_str!("../../../../examples/sea_campion.toml")
        );
        BoatDocument::parse(&text).unwrap()
    };
    let typed = with("voltage = \"12.8 V\"\ncapacity = \"200 Ah\"");
    let banks = build_spec(&typed).unwrap().boat.further;
    assert_eq!(banks[0].bank.groups[0].cells_in_series, 4);
    assert!(!typed.doubts().iter().any(|fault| fault.problem.contains("left out")));
    for (lines, missing) in [("capacity = \"200 Ah\"", "voltage is"), ("voltage = \"12.8 V\"", "capacity is")]
    {
        let lacking = with(lines);
        assert!(build_spec(&lacking).unwrap().boat.further.is_empty(), "{lines}");
        let found = lacking.doubts().iter().any(|fault| fault.problem.contains(missing));
        assert!(found, "{lines}: {:?}", lacking.doubts());
    }
}
