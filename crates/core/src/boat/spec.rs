//! A boat with the spread of its inputs, and one sample of it. Not for: sampling in parallel.

use super::{Boat, Input};
use crate::drive::ReductionKind;
use crate::notice::{Notice, Severity};
use crate::spread::{Sampler, Spread, name_number};

/// An input and how sure it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncertain {
    /// Which input.
    pub input: Input,
    /// Its 80 % band.
    pub spread: Spread,
    /// Smallest and largest value that make sense; a sample beyond is moved to the end.
    pub possible: (f64, f64),
}

/// What is aboard or was aboard and does not enter the balance, but has to fit or to compare.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Fittings {
    /// Propeller shaft diameter \[m\].
    pub shaft_diameter_m: Option<f64>,
    /// Clear height for the propeller, between hull or aperture edges \[m\].
    pub aperture_height_m: Option<f64>,
    /// Gap between blade tip and hull \[m\].
    pub tip_clearance_m: Option<f64>,
    /// Shaft speed that the old engine turned \[rev/s\].
    pub old_shaft_rev_s: Option<f64>,
    /// Power of the old engine \[W\].
    pub old_power_w: Option<f64>,
    /// Speed for a passage \[m/s\].
    pub cruising_speed_m_s: Option<f64>,
    /// Speed that she should do \[m/s\].
    pub wished_speed_m_s: Option<f64>,
    /// How motor and propeller shaft are joined.
    pub reduction: Option<ReductionKind>,
    /// Her standing load is the mean of the loads by the hour, none being stated.
    pub has_load_from_hours: bool,
    /// Her standing load is what a boat usually takes at 12 V under way, nothing being stated.
    pub has_usual_load: bool,
    /// How many of her drives run is stated, not taken.
    pub has_told_drives: bool,
    /// Her propeller sits on a leg, pod or outboard: no coupling to open, no shaft to see.
    pub is_on_a_leg: bool,
    /// What the packs' protection lets out is nowhere stated: an hour's rate was taken.
    pub has_usual_discharge_limit: bool,
    /// The resistance of a pack of the drive is nowhere stated: what such packs usually have was taken.
    pub has_usual_pack_resistance: bool,
    /// Band of the packs' resistance under load, as shares of it; `None` where it is told as exact.
    pub pack_resistance: Option<Spread>,
}

impl Fittings {
    /// Gap between blade tip and hull \[m\]: as measured, else half of what the aperture leaves, the shaft
    /// taken as centred in it; `None` when neither is known.
    #[must_use]
    pub fn tip_clearance_at_m(&self, diameter_m: f64) -> Option<f64> {
        self.tip_clearance_m.or_else(|| self.aperture_height_m.map(|height| 0.5 * (height - diameter_m)))
    }
}

/// So many figures that are not known are told in a remark of their own.
const MUCH: usize = 4;

/// A boat as it is expected to be, with what is uncertain about it.
#[derive(Debug, Clone, PartialEq)]
pub struct BoatSpec {
    /// Every uncertain input at its mean ([`Spread::expected`]): the one boat whose balance is shown in full.
    pub boat: Boat,
    /// What is uncertain.
    pub uncertain: Vec<Uncertain>,
    /// What else is known.
    pub fittings: Fittings,
    /// What stands for figures that nobody knows.
    pub not_known: Vec<Notice>,
}

impl BoatSpec {
    /// What stands for an input that is not stated, beyond what the parts say themselves.
    #[must_use]
    pub fn notices(&self) -> Vec<Notice> {
        let fittings = &self.fittings;
        let (basis, source) = if fittings.has_usual_load {
            ("what plotter, log, radio and lights usually take under way on the same bank", "from memory")
        } else {
            ("the mean of the loads by the hour", "common practice, no source")
        };
        let value = self.standing_load_w();
        let load = Notice::Estimated { quantity: "standing load", value, unit: "W", basis, source };
        let load = (fittings.has_load_from_hours || fittings.has_usual_load).then_some(load);
        let much = Notice::Remark {
            severity: Severity::Weak,
            text: "Much of her is not known and estimated from what is: the bands are as wide as that makes them, and what \
                   would narrow them most is named with them.",
            source: "common practice, no source",
        };
        let much = (self.not_known.len() > MUCH).then_some(much);
        self.not_known.iter().cloned().chain(much).chain(load).collect()
    }

    /// `boat` at the means of what is `uncertain`.
    #[must_use]
    pub fn new(boat: Boat, uncertain: Vec<Uncertain>, fittings: Fittings, not_known: Vec<Notice>) -> Self {
        let mut spec = Self { boat, uncertain, fittings, not_known };
        // Only what is lopsided: an estimate that is left to the parts keeps the remark that they make of it.
        spec.boat = spec.with(|uncertain| {
            let expected = uncertain.spread.expected();
            (expected != uncertain.spread.median).then_some(expected)
        });
        spec
    }

    /// Standing load as stated, or as is usual \[W\]: the median.
    #[must_use]
    pub fn standing_load_w(&self) -> f64 {
        let load = self.uncertain.iter().find(|uncertain| uncertain.input == Input::HousePower);
        load.map_or(self.boat.house_power_w, |load| load.spread.median)
    }

    /// One sample of all uncertain inputs. The same `sampler` and `sample` give the same boat, and two
    /// specs that share an input share its deviate.
    #[must_use]
    pub fn sample(&self, sampler: Sampler, sample: u64) -> Boat {
        self.sample_by(|input| self.deviate(input, sampler, sample))
    }

    /// The boat with each uncertain input at the standard normal deviate that `deviate_of` gives it.
    #[must_use]
    pub fn sample_by(&self, deviate_of: impl Fn(Input) -> f64) -> Boat {
        self.with(|uncertain| Some(uncertain.spread.at_deviate(deviate_of(uncertain.input))))
    }

    fn with(&self, value_of: impl Fn(&Uncertain) -> Option<f64>) -> Boat {
        let mut boat = self.boat.clone();
        for uncertain in &self.uncertain {
            if let Some(value) = value_of(uncertain) {
                let (low, high) = uncertain.possible;
                uncertain.input.set(&mut boat, value.clamp(low, high));
            }
        }
        // Length, beam, draught and weight are drawn one by one: a box that draws more than its own volume is moved to the
        // fullest that there is. Figures that contradict each other as they are stated stay what they are, and are refused.
        if let Some(most) = self.boat.form.fullest_kg(&self.boat.water)
            && self.boat.form.displacement_kg <= most
        {
            let fullest = boat.form.fullest_kg(&boat.water).unwrap_or(f64::INFINITY);
            boat.form.displacement_kg = boat.form.displacement_kg.min(fullest);
        }
        boat
    }

    /// The standard normal deviate with which `input` enters sample `sample`.
    #[must_use]
    pub fn deviate(&self, input: Input, sampler: Sampler, sample: u64) -> f64 {
        sampler.deviate(name_number(input.key()), sample)
    }
}
