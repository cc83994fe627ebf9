//! What a trial knows better than the document: values to be written into it, with what they were.
//! Not for: writing them (`wakewright-records`).

use super::cause::Cause;
use super::diagnosis::{Diagnosis, interval_of};
use super::hypothesis::Hypothesis;
use super::parameter::OfTrial;
use super::predict::input_value;
use super::shares::value_now;
use super::workers::Workers;
use crate::boat::Input;
use crate::fouling::FoulingCondition;
use crate::spread::DEVIATE_P90;
use crate::spread::Interval;
use crate::steady::PreparedBoat;

/// What is calibrated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CalibratedField {
    /// A field of the document.
    Field(Input),
    /// State of the bottom as it must be: the nearest step of the scale.
    Bottom(FoulingCondition),
    /// State of the blades.
    Blades(FoulingCondition),
}

/// A value that the trial knows better.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Calibrated {
    /// Which.
    pub field: CalibratedField,
    /// Median and 80 % band after the trial (SI).
    pub value: Interval,
    /// Before it.
    pub before: Interval,
}

/// Inputs that stand in the document as numbers and that a trial may narrow.
const FIELDS: [Input; 6] = [
    Input::PropellerPitch,
    Input::Wake,
    Input::ThrustDeduction,
    Input::SpeedConstant,
    Input::CableResistance,
    Input::Displacement,
];

/// A band must become narrower than this share of what it was to be worth writing down (judgement).
const WORTH: f64 = 0.85;

/// Values of `diagnosis` worth adopting. The in-service factor carries all by which the bare hull differs
/// from the methods at `cruise_m_s`, so that resistance comes out as found although the document has no
/// field for each part of it.
pub fn calibrate(diagnosis: &Diagnosis, cruise_m_s: f64, workers: &impl Workers) -> Vec<Calibrated> {
    let problem = &diagnosis.problem;
    let mut found: Vec<Calibrated> = in_service(diagnosis, cruise_m_s, workers).into_iter().collect();
    for input in FIELDS {
        let values =
            diagnosis.posterior.samples.iter().filter_map(|d| input_value(problem, &d.deviates, input));
        let Some(value) = interval_of(values) else { continue };
        let Some(spread) = problem.spec.uncertain.iter().find(|u| u.input == input).map(|u| u.spread) else {
            continue;
        };
        let before = Interval { value: spread.median, p10: spread.p10, p90: spread.p90 };
        let is_moved = (value.value - before.value).abs() > (before.p90 - before.p10) / (2.0 * DEVIATE_P90);
        if width(&value) < WORTH * width(&before) || is_moved {
            found.push(Calibrated { field: CalibratedField::Field(input), value, before });
        }
    }
    found.extend(surface(
        diagnosis,
        OfTrial::BottomGrowth,
        problem.spec.boat.bottom_sand_height_m,
        CalibratedField::Bottom,
    ));
    found.extend(surface(
        diagnosis,
        OfTrial::BladeGrowth,
        problem.spec.boat.blades_sand_height_m,
        CalibratedField::Blades,
    ));
    found
}

fn width(interval: &Interval) -> f64 {
    interval.p90 - interval.p10
}

fn in_service(diagnosis: &Diagnosis, cruise_m_s: f64, workers: &impl Workers) -> Option<Calibrated> {
    let problem = &diagnosis.problem;
    let drag = |deviates: &[f64], factor: Option<f64>, counts_hull: bool| -> Option<f64> {
        let (mut boat, _) = problem
            .boat(deviates, Hypothesis::Nothing, problem.now(), |cause| counts_hull && cause == Cause::Hull);
        if let Some(factor) = factor {
            boat.sea.in_service_factor = factor;
        }
        let hull = PreparedBoat::new(&boat).ok()?.value;
        Some(hull.hull().resistance_n(cruise_m_s.min(hull.fastest_m_s())))
    };
    let plain = drag(&vec![0.0; problem.size()], Some(1.0), false)?;
    let factors: Vec<Option<f64>> = workers.map(diagnosis.posterior.samples.len(), |i| {
        drag(&diagnosis.posterior.samples[i].deviates, None, true).map(|drag| drag / plain)
    });
    let value = interval_of(factors.into_iter().flatten())?;
    let spread = problem.spec.uncertain.iter().find(|u| u.input == Input::InService)?.spread;
    let before = Interval { value: spread.median, p10: spread.p10, p90: spread.p90 };
    (width(&value) < WORTH * width(&before)).then_some(Calibrated {
        field: CalibratedField::Field(Input::InService),
        value,
        before,
    })
}

/// The step of the scale nearest to what was found, when the document has another.
fn surface(
    diagnosis: &Diagnosis,
    what: OfTrial,
    stated_m: f64,
    field: impl Fn(FoulingCondition) -> CalibratedField,
) -> Option<Calibrated> {
    let problem = &diagnosis.problem;
    let values = diagnosis.posterior.samples.iter().filter_map(|sample| value_now(problem, sample, what));
    let value = interval_of(values)?;
    let (found, stated) = (FoulingCondition::nearest(value.value), FoulingCondition::nearest(stated_m));
    (found != stated).then_some(Calibrated {
        field: field(found),
        value,
        before: Interval { value: stated_m, p10: stated_m, p90: stated_m },
    })
}
