//! Hull, sea and water of the document. Not for: anything with a current in it.

use wakewright_core::boat::Input;
use wakewright_core::fouling::FoulingCondition;
use wakewright_core::hull::{
    FormKnown, HullForm, HullKind, IN_SERVICE_SPREAD, Keel, KeelKind, ResiduaryMethod, Rudder, RudderKind,
    STERN_LOSS_SPREAD, Sea, Topsides, TowedResistance, WINDAGE_SPREAD, WindageForm, complete,
    prismatic_spread, residuary_spread,
};
use wakewright_core::spread::Spread;
use wakewright_core::water::Water;

use super::{Gathered, fault};
use crate::boat::document::BoatDocument;
use crate::boat::fault::Fault;

/// Sand height of a bottom that nobody looked at \[m\]: from fresh paint to heavy slime. Judgement.
const BOTTOM_NOT_KNOWN: Spread = Spread { p10: 30e-6, median: 100e-6, p90: 600e-6, is_logarithmic: true };

/// What the document says of hull and sea.
pub(super) struct ReadHull {
    pub form: HullForm,
    pub keel: Keel,
    pub rudder: Rudder,
    pub topsides: Topsides,
    pub towed: Option<TowedResistance>,
    pub method: ResiduaryMethod,
    pub bottom_sand_height_m: f64,
    pub sea: Sea,
}

pub(super) fn read_hull(document: &BoatDocument, gathered: &mut Gathered) -> Result<ReadHull, Vec<Fault>> {
    let number = |name: &str| document.number(&format!("hull.{name}")).map(|stated| stated.value_si);
    let need = |name: &str| number(name).unwrap_or(f64::NAN);
    let kind = match document.choice("hull.kind") {
        Some("round-bilge motor boat") => HullKind::RoundBilgeMotor,
        Some("canal boat") => HullKind::CanalBoat,
        _ => HullKind::SailingYacht,
    };
    let form = HullForm {
        kind,
        length_waterline_m: need("length_waterline"),
        beam_waterline_m: need("beam_waterline"),
        displacement_kg: need("displacement"),
        draught_m: need("draught"),
        canoe_body_draught_m: number("canoe_body_draught"),
        prismatic_coefficient: number("prismatic_coefficient"),
        midship_coefficient: number("midship_coefficient"),
        lcb_fraction: number("centre_of_buoyancy"),
        lcf_fraction: number("centre_of_flotation"),
        waterplane_area_m2: number("waterplane_area"),
    };
    let keel = Keel {
        kind: match document.choice("hull.keel") {
            Some("fin") => KeelKind::Fin,
            Some("twin") => KeelKind::Twin,
            Some("long") => KeelKind::Long,
            Some("long with aperture") => KeelKind::LongWithAperture,
            _ => KeelKind::None,
        },
        mean_chord_m: number("keel_chord"),
        // A thickness that nobody stated is left to the habit of the kind of keel.
        thickness_ratio: document.stated_number("hull.keel_thickness").map(|stated| stated.value_si),
        wetted_area_m2: number("keel_wetted_area"),
        volume_m3: None,
    };
    let rudder = Rudder {
        kind: match document.choice("hull.rudder") {
            Some("skeg") => RudderKind::Skeg,
            Some("keel-hung") => RudderKind::KeelHung,
            Some("transom") => RudderKind::Transom,
            Some("none") => RudderKind::None,
            _ => RudderKind::Spade,
        },
        mean_chord_m: number("rudder_chord"),
        thickness_ratio: None,
        wetted_area_m2: number("rudder_wetted_area"),
    };
    // A sailing yacht of which nothing is said has a mast in the usual proportion, any other has none.
    let mast_height_m = number("mast_height");
    let has_no_mast =
        mast_height_m == Some(0.0) || (kind != HullKind::SailingYacht && mast_height_m.is_none());
    let topsides = Topsides {
        length_overall_m: need("length_overall"),
        beam_overall_m: number("beam_overall"),
        freeboard_m: number("freeboard"),
        mast_height_m: if has_no_mast { Some(0.0) } else { mast_height_m },
        mast_diameter_m: number("mast_diameter"),
        rigging_diameter_m: has_no_mast.then_some(0.0),
        rigging_length_m: has_no_mast.then_some(0.0),
        extra_frontal_area_m2: number("extra_frontal_area").unwrap_or(0.0),
        form: WindageForm::default(),
    };
    let towed = read_towed(document);
    if let (None, Some(kind @ ("planing" | "multihull"))) = (&towed, document.choice("hull.kind")) {
        let advice = "Tow her at four speeds or more and give them as [[towed]] tables.";
        return Err(fault(
            document,
            "hull.kind",
            format!("no published method here covers a {kind} boat"),
            advice,
        ));
    }
    for input in
        [Input::LengthWaterline, Input::BeamWaterline, Input::Displacement, Input::HeadWind, Input::SeaMargin]
    {
        gathered.field(document, input);
    }
    gathered.guessed(document, Input::Draught);
    for input in [Input::CentreOfBuoyancy, Input::KeelArea] {
        gathered.field(document, input);
    }
    if rudder.kind != RudderKind::None || rudder.wetted_area_m2.is_some() {
        gathered.field(document, Input::RudderArea);
    }
    match document.number("hull.prismatic_coefficient") {
        Some(stated) => gathered.add(Input::Prismatic, stated.spread, (0.4, 0.97)),
        None => gathered.add(Input::Prismatic, prismatic_spread(kind), (0.4, 0.97)),
    }
    let bottom = if document.is_guessed("hull.bottom") {
        BOTTOM_NOT_KNOWN
    } else {
        sand_height(document, "hull.bottom")
    };
    gathered.add(Input::BottomGrowth, bottom, (0.0, 0.03));
    let water = read_water(document);
    let method = match kind {
        HullKind::CanalBoat => ResiduaryMethod::HoltropMennen,
        HullKind::SailingYacht | HullKind::RoundBilgeMotor => ResiduaryMethod::OwnFit(FormKnown::of(&form)),
    };
    let residuary = complete(&form, &keel, &rudder, &water)
        .map_or(Spread::exact(1.0), |completed| residuary_spread(&completed.value, method));
    gathered.add(Input::ResiduaryFactor, residuary, (0.3, 3.0));
    gathered.add(Input::WindageFactor, WINDAGE_SPREAD, (0.2, 4.0));
    let canal_width_m = number_of(document, "sea.canal_width");
    if canal_width_m.is_some() {
        if number_of(document, "sea.depth").is_none() {
            let advice = "Add the canal's mean depth, or leave its width out.";
            let problem = "a canal's width says nothing without its depth".to_owned();
            return Err(fault(document, "sea.canal_width", problem, advice));
        }
        gathered.add(Input::SternLoss, STERN_LOSS_SPREAD, (0.0, 2.0));
    }
    let in_service = document.number("use.in_service_factor");
    let in_service_spread = match &in_service {
        Some(stated) if stated.line.is_some() => stated.spread,
        _ => IN_SERVICE_SPREAD,
    };
    gathered.add(Input::InService, in_service_spread, (0.3, 5.0));
    let gear = super::propeller::arrangement(document).gear_drag_area_m2();
    let gear = if towed.is_some() { Spread::exact(0.0) } else { gear };
    gathered.add(Input::GearDrag, gear, (0.0, 0.1));
    let sea = Sea {
        true_head_wind_m_s: document.number("sea.head_wind").map_or(0.0, |s| s.value_si),
        depth_m: number_of(document, "sea.depth"),
        canal_width_m,
        gear_drag_area_m2: gear.median,
        stern_loss: STERN_LOSS_SPREAD.median,
        sea_margin: document.number("sea.sea_margin").map_or(0.0, |s| s.value_si),
        in_service_factor: in_service_spread.median,
        residuary_factor: residuary.median,
        windage_factor: WINDAGE_SPREAD.median,
        air_temperature_k: document.number("sea.air_temperature").map_or(288.15, |s| s.value_si),
    };
    Ok(ReadHull { form, keel, rudder, topsides, towed, method, bottom_sand_height_m: bottom.median, sea })
}

fn number_of(document: &BoatDocument, field: &str) -> Option<f64> {
    document.number(field).map(|stated| stated.value_si)
}

fn read_towed(document: &BoatDocument) -> Option<TowedResistance> {
    let rows = document.rows("towed");
    if rows.is_empty() {
        return None;
    }
    let column = |name: &str| -> Vec<f64> {
        rows.iter().filter_map(|row| row.number(name)).map(|stated| stated.value_si).collect()
    };
    Some(TowedResistance { speeds_m_s: column("speed"), drags_n: column("drag") })
}

pub(super) fn read_water(document: &BoatDocument) -> Water {
    let temperature_k = document.number("sea.water_temperature").map_or(288.15, |stated| stated.value_si);
    match document.choice("sea.water") {
        Some("fresh") => Water::fresh(temperature_k),
        _ => Water::sea(temperature_k),
    }
}

/// Equivalent sand height of a surface whose state stands at `field`.
pub(super) fn sand_height(document: &BoatDocument, field: &str) -> Spread {
    let condition = match document.choice(field) {
        Some("as applied") => FoulingCondition::AsApplied,
        Some("light slime") => FoulingCondition::LightSlime,
        Some("heavy slime") => FoulingCondition::HeavySlime,
        Some("small shell or weed") => FoulingCondition::SmallShellOrWeed,
        Some("medium shell") => FoulingCondition::MediumShell,
        Some("heavy shell") => FoulingCondition::HeavyShell,
        _ => FoulingCondition::CleanPolished,
    };
    condition.sand_height_spread()
}
