//! What stops her, with the chart of torque against shaft speed.

use crate::draw::{Overlay, TorqueScene, TorqueSheet, torque_picture};
use crate::text::Paper;
use wakewright_core::boat::BoatSpec;
use wakewright_core::fouling::FoulingCondition;
use wakewright_core::steady::BoatError;
use wakewright_core::steady::{PreparedBoat, Reach, ShaftPoint};
use wakewright_core::study::{Questions, Study};
use wakewright_picture::{Label, Plot};
use wakewright_units::Quantity;

use super::subject;
use crate::boats::Loaded;
use crate::drive::THROTTLES;
use crate::sampling;

/// A boat at full throttle and over the throttle.
#[derive(Debug)]
pub struct DriveScene {
    /// What was found.
    pub study: Study,
    /// Throttle position that is looked at, 0..1, when it is not fully open.
    pub throttle: Option<f64>,
    reach: Option<Reach>,
    sheet: TorqueSheet,
    overlays: Vec<Overlay>,
    subject: Label,
}

/// A bottom this much rougher than a clean one is shown beside a clean one.
const FOUL_TIMES_CLEAN: f64 = 1.5;

impl DriveScene {
    /// Computes `boat`. When she differs from what is `kept`, the kept boat is drawn beside her.
    /// # Errors
    /// [`BoatError`] when she has no answer at her medians.
    pub fn new(
        boat: &Loaded,
        kept: Option<&Loaded>,
        throttle: Option<f64>,
        samples: usize,
        paper: &Paper,
    ) -> Result<Self, BoatError> {
        let prepared = PreparedBoat::new(&boat.spec.boat)?.value;
        let reach = prepared.reach();
        let sheet = TorqueSheet::of(&prepared, reach.as_ref(), &boat.spec.fittings);
        let mut throttles = THROTTLES.to_vec();
        throttles.extend(throttle.filter(|throttle| THROTTLES.iter().all(|l| (l - throttle).abs() > 1e-9)));
        throttles.sort_by(f64::total_cmp);
        let shafts_rev_s = sheet.stations_rev_s();
        let questions = Questions { throttles, shafts_rev_s, ..Questions::default() };
        let study = sampling::study(&boat.spec, &questions, samples, sampling::DEFAULT_SEED)?;
        let stations = &questions.shafts_rev_s;
        let overlays = match kept {
            Some(kept) => kept_overlay(kept, stations, paper).into_iter().collect(),
            None => clean_overlay(&boat.spec, stations).into_iter().collect(),
        };
        let who = if kept.is_some() { "as tried" } else { "as she is" };
        Ok(Self { study, throttle, reach, sheet, overlays, subject: subject(boat, paper, who) })
    }

    /// The chart.
    #[must_use]
    pub fn torque(&self, spec: &BoatSpec, paper: &Paper) -> Plot {
        let throttle = self.throttle.and_then(|throttle| {
            self.study.throttles.iter().find(|row| (row.throttle - throttle).abs() < 1e-9)
        });
        let scene = TorqueScene {
            study: &self.study,
            reach: self.reach.as_ref(),
            sheet: self.sheet,
            subject: self.subject.clone(),
            fittings: spec.fittings,
            throttle,
            overlays: &self.overlays,
        };
        torque_picture(&scene, paper)
    }
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
        label: subject(kept, paper, "as kept"),
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
