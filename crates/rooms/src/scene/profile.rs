//! The boat from the side, from her document. What is not written is drawn as is usual and carries no
//! dimension. Not for: the drawing.

use crate::text::Paper;
use wakewright_core::boat::BoatSpec;
use wakewright_core::field;
use wakewright_core::hull::{KeelKind, RudderKind, complete};
use wakewright_picture::{Aperture, Arrangement, DimensionTexts, Fitted, Keel, Profile, Rudder};
use wakewright_records::boat::{BoatDocument, PropellerPlace, harness};
use wakewright_units::Quantity;

/// Breadth of an aperture along the keel, over the propeller's diameter; drawn, not dimensioned.
const APERTURE_LENGTH_SHARE: f64 = 0.55;

/// The drawing of `document`; `spec` gives what was estimated, when she can be computed.
#[must_use]
pub fn profile_of(document: &BoatDocument, spec: Option<&BoatSpec>, paper: &Paper) -> Profile {
    let stated = |key: &str| document.stated_number(key).map(|stated| stated.value_si);
    let text = |key: &str, quantity: Quantity, before: &str, after: &str| {
        stated(key).map_or_else(String::new, |si| format!("{before}{}{after}", paper.quantity(si, quantity)))
    };
    let estimated_draught = spec.and_then(|spec| {
        let boat = &spec.boat;
        let hull = complete(&boat.form, &boat.keel, &boat.rudder, &boat.water).ok()?;
        Some(hull.value.body.draught_m)
    });
    let keel = match document.chosen(field::hull::KEEL).unwrap_or(KeelKind::Long) {
        KeelKind::Fin => Keel::Fin,
        KeelKind::Twin => Keel::Twin,
        KeelKind::None => Keel::None,
        KeelKind::Long | KeelKind::LongWithAperture => Keel::Long,
    };
    let rudder = match document.chosen(field::hull::RUDDER).unwrap_or(RudderKind::Spade) {
        RudderKind::Transom => Rudder::Transom,
        RudderKind::Skeg => Rudder::Skeg,
        RudderKind::KeelHung => Rudder::Keel,
        RudderKind::Spade => Rudder::Spade,
        RudderKind::None => Rudder::None,
    };
    let place = document.chosen(field::propeller::ARRANGEMENT);
    let arrangement = match place.unwrap_or(PropellerPlace::Aperture) {
        PropellerPlace::Aperture => Arrangement::Aperture,
        PropellerPlace::Deadwood => Arrangement::Skeg,
        PropellerPlace::PBracket => Arrangement::PBracket,
        PropellerPlace::Saildrive => Arrangement::Saildrive,
        PropellerPlace::Pod => Arrangement::Pod,
        PropellerPlace::OutboardLeg => Arrangement::OutboardLeg,
    };
    let name = document.text(field::boat::NAME).unwrap_or("She");
    let tip_clearance_m = spec
        .and_then(|spec| spec.fittings.tip_clearance_at_m(spec.boat.propeller.diameter_m))
        .or(stated(field::propeller::TIP_CLEARANCE))
        .filter(|clearance| *clearance > 0.0);
    let diameter_m = stated(field::propeller::DIAMETER);
    Profile {
        title: format!("{name} from the side"),
        description: description(name, document, paper),
        length_overall_m: stated(field::hull::LENGTH_OVERALL),
        length_waterline_m: stated(field::hull::LENGTH_WATERLINE),
        draught_m: stated(field::hull::DRAUGHT),
        canoe_body_draught_m: stated(field::hull::CANOE_BODY_DRAUGHT).or(estimated_draught),
        freeboard_m: stated(field::hull::FREEBOARD),
        keel,
        rudder,
        mast_base_m: stated(field::hull::MAST_HEIGHT)
            .and(stated(field::hull::LENGTH_OVERALL))
            .map(|length_m| MAST_FROM_STEM * length_m),
        propeller_diameter_m: diameter_m,
        shaft_depth_m: stated(field::propeller::SHAFT_DEPTH)
            .or(spec.map(|spec| spec.boat.stern.shaft_depth_m)),
        aperture: stated(field::propeller::APERTURE_HEIGHT).zip(diameter_m).map(|(height_m, diameter_m)| {
            Aperture { height_m, length_m: APERTURE_LENGTH_SHARE * diameter_m }
        }),
        arrangement,
        tip_clearance_m,
        texts: DimensionTexts {
            length_overall: text(field::hull::LENGTH_OVERALL, Quantity::Length, "", " over all"),
            length_waterline: text(field::hull::LENGTH_WATERLINE, Quantity::Length, "", " waterline"),
            draught: text(field::hull::DRAUGHT, Quantity::Length, "", ""),
            freeboard: text(field::hull::FREEBOARD, Quantity::Length, "", ""),
            propeller_diameter: text(field::propeller::DIAMETER, Quantity::PropellerLength, "", ""),
            tip_clearance: tip_clearance_m.map_or_else(String::new, |gap| {
                format!("tip {}", paper.quantity(gap, Quantity::SmallLength))
            }),
            shaft_depth: text(field::propeller::SHAFT_DEPTH, Quantity::Length, "", " deep"),
        },
        fitted: fitted(document, spec),
    }
}

/// Places of her wiring as the list of masses tells them, and the runs between two of them.
fn fitted(document: &BoatDocument, spec: Option<&BoatSpec>) -> Fitted {
    let Some(parts) = spec.map(|spec| harness(document, spec)) else { return Fitted::default() };
    let place = |name: &String| parts.stands.iter().position(|stands| stands.place == *name);
    Fitted {
        places: parts.stands.iter().map(|at| (at.place.clone(), at.aft_m, at.height_m)).collect(),
        runs: parts
            .cables
            .iter()
            .filter_map(|cable| Some((place(&cable.from)?, place(&cable.to)?)))
            .collect(),
    }
}

/// Where the mast of a yacht without further word stands, as a share of the length from the stem; drawn only.
const MAST_FROM_STEM: f64 = 0.4;

fn description(name: &str, document: &BoatDocument, paper: &Paper) -> String {
    let words = [
        (field::hull::LENGTH_OVERALL, "long"),
        (field::hull::DRAUGHT, "deep"),
        (field::hull::FREEBOARD, "above the water amidships"),
    ];
    let parts: Vec<String> = words
        .iter()
        .filter_map(|(key, what)| {
            let si = document.stated_number(key)?.value_si;
            Some(format!("{} {what}", paper.quantity(si, Quantity::Length)))
        })
        .collect();
    let place = document.choice(field::propeller::ARRANGEMENT).unwrap_or("place not stated");
    format!("{name} is {}; her propeller: {place}.", parts.join(", "))
}
