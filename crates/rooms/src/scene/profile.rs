//! The boat from the side, from her document. What is not written is drawn as is usual and carries no
//! dimension. Not for: the drawing.

use crate::text::Paper;
use wakewright_core::boat::BoatSpec;
use wakewright_core::hull::complete;
use wakewright_picture::{Aperture, Arrangement, DimensionTexts, Keel, Profile, Rudder};
use wakewright_records::boat::BoatDocument;
use wakewright_units::Quantity;

/// Breadth of an aperture along the keel, over the propeller's diameter; drawn, not dimensioned.
const APERTURE_LENGTH_SHARE: f64 = 0.55;

/// The drawing of `document`; `spec` gives what was estimated, when she can be computed.
#[must_use]
pub fn profile_of(document: &BoatDocument, spec: Option<&BoatSpec>, paper: &Paper) -> Profile {
    let stated = |key: &str| document.stated_number(key).map(|stated| stated.value_si);
    let length = |key: &str| stated(key).unwrap_or(f64::NAN);
    let text = |key: &str, quantity: Quantity, before: &str, after: &str| {
        stated(key).map_or_else(String::new, |si| format!("{before}{}{after}", paper.quantity(si, quantity)))
    };
    let estimated_draught = spec.and_then(|spec| {
        let boat = &spec.boat;
        let hull = complete(&boat.form, &boat.keel, &boat.rudder, &boat.water).ok()?;
        Some(hull.value.body.draught_m)
    });
    let keel = match document.choice("hull.keel") {
        Some("fin") => Keel::Fin,
        Some("twin") => Keel::Twin,
        Some("none") => Keel::None,
        _ => Keel::Long,
    };
    let rudder = match document.choice("hull.rudder") {
        Some("transom") => Rudder::Transom,
        Some("skeg") => Rudder::Skeg,
        Some("keel-hung") => Rudder::Keel,
        Some("none") => Rudder::None,
        _ => Rudder::Spade,
    };
    let arrangement = match document.choice("propeller.arrangement") {
        Some("skeg or deadwood") => Arrangement::Skeg,
        Some("P-bracket") => Arrangement::PBracket,
        Some("saildrive") => Arrangement::Saildrive,
        Some("pod") => Arrangement::Pod,
        Some("outboard leg") => Arrangement::OutboardLeg,
        _ => Arrangement::Aperture,
    };
    let name = document.text("boat.name").unwrap_or("She");
    let tip_clearance_m = spec
        .and_then(|spec| spec.fittings.tip_clearance_at_m(spec.boat.propeller.diameter_m))
        .or(stated("propeller.tip_clearance"))
        .filter(|clearance| *clearance > 0.0);
    let diameter_m = length("propeller.diameter");
    Profile {
        title: format!("{name} from the side"),
        description: description(name, document, paper),
        length_overall_m: length("hull.length_overall"),
        length_waterline_m: length("hull.length_waterline"),
        draught_m: length("hull.draught"),
        canoe_body_draught_m: stated("hull.canoe_body_draught").or(estimated_draught).unwrap_or(f64::NAN),
        freeboard_m: length("hull.freeboard"),
        keel,
        rudder,
        mast_base_m: stated("hull.mast_height").map(|_| MAST_FROM_STEM * length("hull.length_overall")),
        propeller_diameter_m: diameter_m,
        shaft_depth_m: stated("propeller.shaft_depth")
            .or(spec.map(|spec| spec.boat.stern.shaft_depth_m))
            .unwrap_or(f64::NAN),
        aperture: stated("propeller.aperture_height")
            .map(|height_m| Aperture { height_m, length_m: APERTURE_LENGTH_SHARE * diameter_m }),
        arrangement,
        tip_clearance_m,
        texts: DimensionTexts {
            length_overall: text("hull.length_overall", Quantity::Length, "", " over all"),
            length_waterline: text("hull.length_waterline", Quantity::Length, "", " waterline"),
            draught: text("hull.draught", Quantity::Length, "", ""),
            freeboard: text("hull.freeboard", Quantity::Length, "", ""),
            propeller_diameter: text("propeller.diameter", Quantity::PropellerLength, "", ""),
            tip_clearance: tip_clearance_m.map_or_else(String::new, |gap| {
                format!("tip {}", paper.quantity(gap, Quantity::SmallLength))
            }),
            shaft_depth: text("propeller.shaft_depth", Quantity::Length, "", " deep"),
        },
    }
}

/// Where the mast of a yacht without further word stands, as a share of the length from the stem; drawn only.
const MAST_FROM_STEM: f64 = 0.4;

fn description(name: &str, document: &BoatDocument, paper: &Paper) -> String {
    let words = [
        ("hull.length_overall", "long"),
        ("hull.draught", "deep"),
        ("hull.freeboard", "above the water amidships"),
    ];
    let parts: Vec<String> = words
        .iter()
        .filter_map(|(key, what)| {
            let si = document.stated_number(key)?.value_si;
            Some(format!("{} {what}", paper.quantity(si, Quantity::Length)))
        })
        .collect();
    let place = document.choice("propeller.arrangement").unwrap_or("place not stated");
    format!("{name} is {}; her propeller: {place}.", parts.join(", "))
}
