//! All measures of one variant for one sample of its inputs. Not for: what is made of them (`compare`).

use super::floating::{Floating, Waterplane};
use super::measure::Measure;
use super::variant::Variant;
use crate::boat::{Boat, Fittings};
use crate::propeller::four_quadrant::BAND_FRACTION;
use crate::spread::{Sampler, Spread};
use crate::steady::{
    ASTERN, BoatError, Bollard, Bound, CrashStop, FullThrottle, Limit, PreparedBoat, crash_stop,
};
use crate::study::{Answers, Questions, SpeedAnswer, answer_prepared};

/// What one sample contributes.
#[derive(Debug, Clone, PartialEq)]
pub struct VariantSample {
    /// One for each measure; `None` where there is none (a speed out of reach, a winding that never
    /// gets too hot).
    pub values: Vec<Option<f64>>,
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
    one_lost_share: Option<f64>,
}

/// The same at full throttle or at one speed.
pub(super) struct At<'a> {
    pub prepared: &'a PreparedBoat,
    pub fittings: &'a Fittings,
    pub full: &'a FullThrottle,
    pub bound: &'a Bound,
    pub at_speed: Option<&'a SpeedAnswer>,
    pub bollard: Option<Bollard>,
    pub stop: Option<CrashStop>,
    pub floating: Option<Floating>,
    /// Current of the packs that are left when one trips at full throttle, as a share of their limit.
    pub one_lost_share: Option<f64>,
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
        let lost = boat.bank.after_one_pack_trips(answers.full.held.state.bank_power_w()).ok().flatten();
        Ok(Self {
            stop: crash_stop(prepared, &boat.stern, boat.form.displacement_kg, speed, astern_factor),
            floating: Waterplane::of(boat).ok().map(|waterplane| waterplane.with(&variant.masses)),
            fittings: &variant.spec.fittings,
            one_lost_share: lost.map(|lost| lost.share_of_limit).filter(|share| *share > 0.0),
            answers,
            prepared,
        })
    }

    pub fn values(&self, measures: &[Measure]) -> Vec<Option<f64>> {
        let value = |measure: &Measure| measure.of.of(&self.at(measure.speed)?).filter(|v| v.is_finite());
        measures.iter().map(value).collect()
    }

    /// `None` at a speed out of reach, which is no figure to compare.
    fn at(&self, speed: Option<usize>) -> Option<At<'_>> {
        let full = &self.answers.full;
        let at_speed = match speed {
            Some(i) => Some(self.answers.at_speeds.get(i)?.as_ref().ok()?),
            None => None,
        };
        let is_reached = |at: &SpeedAnswer| at.bound.usage.iter().all(|&share| share <= 1.0 + 1e-9);
        at_speed.is_none_or(is_reached).then_some(At {
            prepared: self.prepared,
            fittings: self.fittings,
            full,
            bound: at_speed.map_or(&full.held, |at| &at.bound),
            at_speed,
            bollard: self.answers.bollard,
            stop: self.stop,
            floating: self.floating,
            one_lost_share: self.one_lost_share,
        })
    }
}
