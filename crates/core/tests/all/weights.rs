//! Masses, floating and initial stability against printed answers, and what a list of masses comes to by hand.

use wakewright_core::options::{MassMove, Waterplane};
use wakewright_core::weights::{
    Inclining, Looked, Moved, WeightsAsked, WeightsStudy, gm_by_inclining_m, gm_by_roll_m,
};
use wakewright_testkit::Table;

const FOOT_M: f64 = 0.3048;
const INCH_M: f64 = 0.0254;

/// Nicholls 1905, exercises 18 and 19, trim example; rolls as in deck examinations: each to half of its last printed digit.
#[test]
fn printed_answers() {
    let table = Table::read("mechanics/nicholls_stability.csv");
    for row in 0..table.numbers("answer").len() {
        let number = |name: &str| table.number(row, name).expect("a number");
        let what = table.text(row, "what");
        let (mass, way, answer) = (number("mass"), number("way"), number("answer"));
        let found = match what {
            "inclining" => {
                gm_by_inclining_m(mass, way, number("heel_deg").to_radians(), number("displacement"))
            }
            "sinkage" | "trim" => {
                // A waterplane that takes so many tons, or foot-tons, for an inch.
                let per_metre = number("displacement") / INCH_M;
                let plane = Waterplane {
                    length_m: 1.0,
                    area_m2: per_metre,
                    centre_aft_m: 0.0,
                    inertia_m4: per_metre,
                    density_kg_m3: 1.0,
                };
                let is_trim = what == "trim";
                let aft_m = is_trim.then_some(1.0);
                let moved = MassMove { what: String::new(), mass_kg: mass, aft_m, height_m: None };
                let floating = plane.with(&[moved]);
                if is_trim { floating.trim_aft_m / INCH_M } else { floating.sinkage_m / INCH_M }
            }
            "roll_gm" => gm_by_roll_m(mass * FOOT_M, way, 0.44) / FOOT_M,
            // The period that makes the metacentric height.
            "roll_period" => (gm_by_roll_m(mass * FOOT_M, 1.0, 0.44) / FOOT_M / way).sqrt(),
            other => panic!("{other}"),
        };
        assert!((found - answer).abs() <= number("half_digit"), "{what}: {found} for {answer}");
    }
}

fn moved(mass_kg: f64, aft_m: f64, height_m: f64, aside_m: f64) -> Moved {
    let mass = MassMove { what: "mass".to_owned(), mass_kg, aft_m: Some(aft_m), height_m: Some(height_m) };
    Moved { mass, aside_m: Some(aside_m), half_band_kg: 9.0, is_from_part: false }
}

/// By hand on the demo boat: 300 kg out at the centre of her waterplane and 300 kg in there, 0.5 m higher, 1 m to starboard:
/// no end moves, her gravity rises by 150 kg m over her displacement, and she lists to where the mass stands.
#[test]
fn a_list_by_hand() {
    let document =
        wakewright_records::boat::BoatDocument::parse(include_str!("../../../../examples/sea_campion.toml"));
    let spec = wakewright_records::boat::build_spec(&document.expect("sound")).expect("a boat");
    let centre = Waterplane::of(&spec.boat).expect("a waterplane").centre_aft_m;
    let asked = WeightsAsked {
        moved: vec![moved(-300.0, centre, 0.0, 0.0), moved(300.0, centre, 0.5, 1.0)],
        inclining: Some(Inclining { moved_kg: 70.0, by_m: 2.2, heel_rad: 2.0_f64.to_radians() }),
        roll_s: Some(4.4),
        roll_before_s: Some(4.0),
    };
    let found = WeightsStudy::of(&spec, asked).expect("found");
    let displacement = found.displacement_kg.value;
    assert!(
        found.bow_m.value.abs() < 1e-12 && found.stern_m.value.abs() < 1e-12 && found.net_kg.value == 0.0
    );
    // Two masses of ± 9 kg each at the centre of the waterplane: 12.7 kg over what a centimetre takes.
    let off_m = 9.0 * 2.0_f64.sqrt() / found.per_centimetre_kg.value / 100.0;
    assert!((found.bow_m.p90 - off_m).abs() < 1e-12 && (found.stern_m.p10 + off_m).abs() < 1e-12);
    assert!((found.gravity_rises_m.expect("heights").value - 150.0 / displacement).abs() < 1e-12);
    let gm = 70.0 * 2.2 / (displacement * 2.0_f64.to_radians().tan());
    assert!((found.gm_by_inclining_m.expect("inclined").value - gm).abs() < 1e-9);
    let heel = (300.0 / (displacement * gm)).atan();
    assert!((found.heel_rad.expect("a list").value - heel).abs() < 1e-9);
    // 154 kg m over displacement and heel: 0.28 m, less than the least of 0.35 m.
    assert_eq!(found.looked, [Looked::Higher, Looked::MoreTender, Looked::Tender]);
}
