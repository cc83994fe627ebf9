//! Hull, sea and water of the document. Not for: anything with a current in it.

use wakewright_core::boat::Input;
use wakewright_core::causes::growth_spread;
use wakewright_core::field;
use wakewright_core::fouling::FoulingCondition;
use wakewright_core::hull::{
    FormKnown, HullForm, HullKind, IN_SERVICE_SPREAD, Keel, KeelKind, ResiduaryMethod, Rudder, RudderKind,
    STERN_LOSS_SPREAD, Sea, TOWED_IN_SERVICE_SPREAD, Topsides, TowedResistance, WINDAGE_SPREAD, WindageForm,
    complete, prismatic_spread, residuary_spread,
};
use wakewright_core::spread::Spread;
use wakewright_core::water::Water;
use wakewright_units::factors::MONTH_S;

use super::{Gathered, fault};
use crate::boat::choice::{BoatKind, Chosen, WaterKind};
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
    let number = |name: &str| document.number(name).map(|stated| stated.value_si);
    let boat_kind = document.chosen(field::hull::KIND).unwrap_or(BoatKind::SailingYacht);
    // Towing measurements stand for the hull of the others.
    let kind = boat_kind.hull_kind().unwrap_or(HullKind::SailingYacht);
    let form = HullForm {
        kind,
        length_waterline_m: document.needed(field::hull::LENGTH_WATERLINE)?,
        beam_waterline_m: document.needed(field::hull::BEAM_WATERLINE)?,
        displacement_kg: document.needed(field::hull::DISPLACEMENT)?,
        draught_m: document.needed(field::hull::DRAUGHT)?,
        canoe_body_draught_m: number(field::hull::CANOE_BODY_DRAUGHT),
        prismatic_coefficient: number(field::hull::PRISMATIC_COEFFICIENT),
        midship_coefficient: number(field::hull::MIDSHIP_COEFFICIENT),
        lcb_fraction: number(field::hull::CENTRE_OF_BUOYANCY),
        lcf_fraction: number(field::hull::CENTRE_OF_FLOTATION),
        waterplane_area_m2: number(field::hull::WATERPLANE_AREA),
    };
    let keel = Keel {
        kind: document.chosen(field::hull::KEEL).unwrap_or(KeelKind::None),
        mean_chord_m: number(field::hull::KEEL_CHORD),
        // A thickness that nobody stated is left to the habit of the kind of keel.
        thickness_ratio: document.stated_number(field::hull::KEEL_THICKNESS).map(|stated| stated.value_si),
        wetted_area_m2: number(field::hull::KEEL_WETTED_AREA),
        volume_m3: None,
    };
    let rudder = Rudder {
        kind: document.chosen(field::hull::RUDDER).unwrap_or(RudderKind::Spade),
        mean_chord_m: number(field::hull::RUDDER_CHORD),
        thickness_ratio: None,
        wetted_area_m2: number(field::hull::RUDDER_WETTED_AREA),
    };
    // A sailing yacht of which nothing is said has a mast in the usual proportion, any other has none.
    let mast_height_m = number(field::hull::MAST_HEIGHT);
    let has_no_mast =
        mast_height_m == Some(0.0) || (kind != HullKind::SailingYacht && mast_height_m.is_none());
    let topsides = Topsides {
        length_overall_m: document.needed(field::hull::LENGTH_OVERALL)?,
        beam_overall_m: number(field::hull::BEAM_OVERALL),
        freeboard_m: number(field::hull::FREEBOARD),
        mast_height_m: if has_no_mast { Some(0.0) } else { mast_height_m },
        mast_diameter_m: number(field::hull::MAST_DIAMETER),
        rigging_diameter_m: has_no_mast.then_some(0.0),
        rigging_length_m: has_no_mast.then_some(0.0),
        extra_frontal_area_m2: number(field::hull::EXTRA_FRONTAL_AREA).unwrap_or(0.0),
        form: WindageForm::default(),
    };
    let towed = read_towed(document);
    if towed.is_none() && boat_kind.hull_kind().is_none() {
        let kind = boat_kind.word();
        let advice = "Tow her at four speeds or more and give them as [[towed]] tables.";
        return Err(fault(
            document,
            field::hull::KIND,
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
    match document.number(field::hull::PRISMATIC_COEFFICIENT) {
        Some(stated) => gathered.add(Input::Prismatic, stated.spread, (0.4, 0.97)),
        None => gathered.add(Input::Prismatic, prismatic_spread(kind), (0.4, 0.97)),
    }
    let bottom = if document.is_guessed(field::hull::BOTTOM) {
        growth_since_cleaning(document).unwrap_or(BOTTOM_NOT_KNOWN)
    } else {
        sand_height(document, field::hull::BOTTOM)
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
    let canal_width_m = number_of(document, field::sea::CANAL_WIDTH);
    if canal_width_m.is_some() {
        if number_of(document, field::sea::DEPTH).is_none() {
            let advice = "Add the canal's mean depth, or leave its width out.";
            let problem = "a canal's width says nothing without its depth".to_owned();
            return Err(fault(document, field::sea::CANAL_WIDTH, problem, advice));
        }
        gathered.add(Input::SternLoss, STERN_LOSS_SPREAD, (0.0, 2.0));
    }
    let in_service = document.number(field::usage::IN_SERVICE_FACTOR);
    let in_service_spread = match &in_service {
        Some(stated) if stated.line.is_some() => stated.spread,
        _ if towed.is_some() => TOWED_IN_SERVICE_SPREAD,
        _ => IN_SERVICE_SPREAD,
    };
    gathered.add(Input::InService, in_service_spread, (0.3, 5.0));
    let gear = super::propeller::arrangement(document).gear_drag_area_m2();
    let fitted = f64::from(super::electric::read_drives(document).fitted());
    let gear = if towed.is_some() {
        Spread::exact(0.0)
    } else {
        Spread { p10: fitted * gear.p10, median: fitted * gear.median, p90: fitted * gear.p90, ..gear }
    };
    gathered.add(Input::GearDrag, gear, (0.0, 0.1));
    let sea = Sea {
        true_head_wind_m_s: document.number(field::sea::HEAD_WIND).map_or(0.0, |s| s.value_si),
        depth_m: number_of(document, field::sea::DEPTH),
        canal_width_m,
        gear_drag_area_m2: gear.median,
        stern_loss: STERN_LOSS_SPREAD.median,
        sea_margin: document.number(field::sea::SEA_MARGIN).map_or(0.0, |s| s.value_si),
        in_service_factor: in_service_spread.median,
        residuary_factor: residuary.median,
        windage_factor: WINDAGE_SPREAD.median,
        air_temperature_k: document.number(field::sea::AIR_TEMPERATURE).map_or(288.15, |s| s.value_si),
    };
    Ok(ReadHull { form, keel, rudder, topsides, towed, method, bottom_sand_height_m: bottom.median, sea })
}

fn number_of(document: &BoatDocument, field: &str) -> Option<f64> {
    document.number(field).map(|stated| stated.value_si)
}

fn read_towed(document: &BoatDocument) -> Option<TowedResistance> {
    let rows = document.rows(field::towed::SECTION);
    if rows.is_empty() {
        return None;
    }
    let column = |name: &str| -> Vec<f64> {
        rows.iter().filter_map(|row| row.number(name)).map(|stated| stated.value_si).collect()
    };
    Some(TowedResistance { speeds_m_s: column(field::towed::SPEED), drags_n: column(field::towed::DRAG) })
}

fn water_temperature_k(document: &BoatDocument) -> f64 {
    number_of(document, field::sea::WATER_TEMPERATURE).unwrap_or(288.15)
}

/// Sand height of a bottom that nobody looked at, by how long ago it was cleaned.
pub(in crate::boat) fn growth_since_cleaning(document: &BoatDocument) -> Option<Spread> {
    let cleaned_s = number_of(document, field::hull::BOTTOM_CLEANED)?;
    Some(growth_spread(cleaned_s / MONTH_S, water_temperature_k(document)))
}

pub(super) fn read_water(document: &BoatDocument) -> Water {
    let temperature_k = water_temperature_k(document);
    match document.chosen(field::sea::WATER).unwrap_or(WaterKind::Salt) {
        WaterKind::Fresh => Water::fresh(temperature_k),
        WaterKind::Salt => Water::sea(temperature_k),
    }
}

/// Equivalent sand height of a surface whose state stands at `address`.
pub(super) fn sand_height(document: &BoatDocument, address: &str) -> Spread {
    let condition: FoulingCondition = document.chosen(address).unwrap_or(FoulingCondition::CleanPolished);
    condition.sand_height_spread()
}
