//! Torque against shaft speed for what is asked: as kept beside as tried, clean beside foul.

use wakewright_core::boat::BoatSpec;
use wakewright_core::fouling::FoulingCondition;
use wakewright_core::steady::{PreparedBoat, ShaftPoint};
use wakewright_core::study::Study;
use wakewright_picture::{Label, Plot};
use wakewright_units::Quantity;

use super::is_near;
use crate::boats::Loaded;
use crate::draw::{Overlay, TorqueScene, TorqueSheet, torque_picture};
use crate::room::Asked;
use crate::text::Paper;

/// A bottom this much rougher than a clean one is shown beside a clean one.
const FOUL_TIMES_CLEAN: f64 = 1.5;

/// The chart of `study`, with what she makes at the throttle `eased`.
pub fn torque(asked: &Asked<'_>, eased: Option<f64>, study: &Study, paper: &Paper) -> Plot {
    let spec = &asked.boat.spec;
    let reach = study.prepared.reach();
    let sheet = TorqueSheet::of(&study.prepared, reach.as_ref(), &spec.fittings);
    let stations = sheet.stations_rev_s();
    let overlay = match asked.kept {
        Some(kept) => kept_overlay(kept, &stations, paper),
        None => clean_overlay(spec, &stations),
    };
    let overlays: Vec<Overlay> = overlay.into_iter().collect();
    let who = if asked.kept.is_some() { "as tried" } else { "as she is" };
    let throttle = eased.and_then(|eased| study.throttles.iter().find(|row| is_near(row.throttle, eased)));
    let scene = TorqueScene {
        study,
        reach: reach.as_ref(),
        sheet,
        subject: subject(spec, paper, who),
        fittings: spec.fittings,
        throttle,
        overlays: &overlays,
    };
    torque_picture(&scene, paper)
}

/// What a demand curve is of: `as she is: 15 × 8 in`.
fn subject(spec: &BoatSpec, paper: &Paper, who: &str) -> Label {
    let size = |si| paper.quantity(si, Quantity::PropellerLength);
    let diameter = size(spec.boat.propeller.diameter_m);
    let number = diameter.rsplit_once(' ').map_or(diameter.as_str(), |(number, _)| number);
    Label::new(&format!("{who}: {number} × {}", size(spec.boat.propeller.pitch_m)), who)
}

fn demand_of(prepared: &PreparedBoat, stations_rev_s: &[f64]) -> Vec<ShaftPoint> {
    stations_rev_s.iter().filter_map(|&revs| Some(prepared.demand_at(revs)?.shaft)).collect()
}

/// The boat as she is kept, with her propeller and where she stops.
fn kept_overlay(kept: &Loaded, stations_rev_s: &[f64], paper: &Paper) -> Option<Overlay> {
    let prepared = PreparedBoat::new(&kept.spec.boat).ok()?.value;
    let held = prepared.full_throttle().ok()?.held.state;
    let at = ShaftPoint { shaft_rev_s: held.shaft_rev_s, torque_n_m: held.shaft_torque_n_m };
    let speed = paper.decimals(held.speed_m_s, Quantity::Speed, 1);
    Some(Overlay {
        label: subject(&kept.spec, paper, "as kept"),
        demand: demand_of(&prepared, stations_rev_s),
        working: Some((at, speed.as_str().into())),
    })
}

/// The same boat with a clean bottom and clean blades, when hers are foul.
fn clean_overlay(spec: &BoatSpec, stations_rev_s: &[f64]) -> Option<Overlay> {
    let clean_m = FoulingCondition::AsApplied.sand_height_spread().median;
    if spec.boat.towed.is_some() || spec.boat.bottom_sand_height_m < FOUL_TIMES_CLEAN * clean_m {
        return None;
    }
    let mut boat = spec.boat.clone();
    boat.bottom_sand_height_m = clean_m;
    boat.blades_sand_height_m = boat.blades_sand_height_m.min(clean_m);
    let prepared = PreparedBoat::new(&boat).ok()?.value;
    Some(Overlay {
        label: Label::new("bottom and blades clean", "clean"),
        demand: demand_of(&prepared, stations_rev_s),
        working: None,
    })
}
