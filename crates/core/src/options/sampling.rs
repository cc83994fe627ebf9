//! All measures of one variant for one sample of its inputs. Not for: what is made of them (`compare`).

use super::floating::{Floating, Waterplane};
use super::measure::{Measure, MeasureKind};
use super::variant::Variant;
use crate::boat::{Boat, Fittings};
use crate::propeller::four_quadrant::BAND_FRACTION;
use crate::propeller::installation::torsional_stress_pa;
use crate::spread::{Sampler, Spread};
use crate::steady::{ASTERN, BoatError, CrashStop, Limit, PreparedBoat, crash_stop};
use crate::study::{Answers, Questions, answer_prepared};

/// What one sample contributes.
#[derive(Debug, Clone, PartialEq)]
pub struct VariantSample {
    /// One for each measure; NaN where there is none (a speed out of reach, a winding that never
    /// gets too hot).
    pub values: Vec<f64>,
    /// What binds at full throttle.
    pub limit: Limit,
}

/// Measures `variant` in sample number `sample`; `None` when that sample contradicts itself. Two variants
/// see the same sea, hull and methods under one number.
#[must_use]
pub fn sample_variant(
    variant: &Variant,
    measures: &[Measure],
    speeds_m_s: &[f64],
    sampler: Sampler,
    sample: u64,
) -> Option<VariantSample> {
    let boat = variant.spec.sample_by(|input| variant.deviate(input, sampler, sample));
    let prepared = PreparedBoat::new(&boat).ok()?.value;
    let astern = Spread::relative(1.0, BAND_FRACTION).at_deviate(sampler.deviate(ASTERN, sample));
    let found = Found::of(variant, &boat, &prepared, speeds_m_s, astern).ok()?;
    Some(VariantSample { values: found.values(measures), limit: found.answers.full.held.limit })
}

/// Everything that the measures of one boat are taken from.
pub(super) struct Found<'a> {
    pub answers: Answers,
    pub floating: Option<Floating>,
    prepared: &'a PreparedBoat,
    fittings: &'a Fittings,
    stop: Option<CrashStop>,
}

impl<'a> Found<'a> {
    pub fn of(
        variant: &'a Variant,
        boat: &Boat,
        prepared: &'a PreparedBoat,
        speeds_m_s: &[f64],
        astern_factor: f64,
    ) -> Result<Self, BoatError> {
        let questions = Questions { speeds_m_s: speeds_m_s.to_vec(), ..Questions::default() };
        let answers = answer_prepared(prepared, boat, &questions)?;
        let speed = answers.full.held.state.speed_m_s;
        Ok(Self {
            stop: crash_stop(prepared, &boat.stern, boat.form.displacement_kg, speed, astern_factor),
            floating: Waterplane::of(boat).ok().map(|waterplane| waterplane.with(&variant.masses)),
            fittings: &variant.spec.fittings,
            answers,
            prepared,
        })
    }

    pub fn values(&self, measures: &[Measure]) -> Vec<f64> {
        measures.iter().map(|&measure| self.value(measure).unwrap_or(f64::NAN)).collect()
    }

    fn value(&self, measure: Measure) -> Option<f64> {
        let full = &self.answers.full;
        let at_speed = match measure.speed {
            Some(i) => Some(self.answers.at_speeds.get(i)?.as_ref().ok()?),
            None => None,
        };
        // Out of reach is no figure to compare.
        if at_speed.is_some_and(|at| !at.bound.usage.iter().all(|&share| share <= 1.0 + 1e-9)) {
            return None;
        }
        let bound = at_speed.map_or(&full.held, |at| &at.bound);
        let shaft_stress = |torque: f64| Some(torsional_stress_pa(torque, self.fittings.shaft_diameter_m?));
        match measure.kind {
            MeasureKind::State(figure) => Some(figure.value(self.prepared, bound)),
            MeasureKind::TimeToHeat => {
                self.prepared.time_to_motor_limit_s(&full.burst.as_ref().unwrap_or(&full.held).state)
            }
            MeasureKind::Clearance => {
                self.fittings.tip_clearance_at_m(self.prepared.propeller().propeller().diameter_m)
            }
            MeasureKind::ShaftStress => shaft_stress(bound.state.shaft_torque_n_m),
            MeasureKind::ShaftStressAtLimit => shaft_stress(
                self.prepared.controller().phase_current_limit_a
                    * self.prepared.motor().torque_constant_n_m_a
                    * self.prepared.drive_line().ratio,
            ),
            MeasureKind::Bollard => self.answers.bollard.map(|bollard| bollard.thrust_n),
            MeasureKind::StoppingDistance => self.stop.map(|stop| stop.distance_m),
            MeasureKind::StoppingTime => self.stop.map(|stop| stop.duration_s),
            MeasureKind::Range => at_speed?.distance_m(),
            MeasureKind::Mass => Some(self.floating?.mass_kg),
            MeasureKind::Sinkage => Some(self.floating?.sinkage_m),
            MeasureKind::Trim => Some(self.floating?.trim_aft_m),
        }
    }
}
