//! One of the boats that are laid side by side. Not for: where it was written down
//! (`wakewright-records`).

use super::floating::{MassMove, take_aboard};
use crate::boat::{BoatSpec, Input};
use crate::spread::{Sampler, Spread, name_number};

/// What was written down about an alternative.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct About {
    /// Its note.
    pub note: Option<String>,
    /// What changes: "pitch 13 in instead of 15 in".
    pub changes: Vec<String>,
    /// Cost with its currency, as typed.
    pub cost: Option<String>,
}

/// The boat as she is, or an alternative.
#[derive(Debug, Clone, PartialEq)]
pub struct Variant {
    /// Its name.
    pub name: String,
    /// The boat with the change carried out, masses included.
    pub spec: BoatSpec,
    /// What comes aboard or leaves her.
    pub masses: Vec<MassMove>,
    /// What was written down about it.
    pub about: About,
    /// Inputs that are sampled for this variant alone, with the number of their samples.
    own: Vec<(Input, u64)>,
}

/// Inputs of parts that are exchanged: a new part has an error of its own.
const OF_PARTS: [Input; 10] = [
    Input::PropellerDiameter,
    Input::PropellerPitch,
    Input::AreaRatio,
    Input::ReductionEfficiency,
    Input::SpeedConstant,
    Input::MotorResistance,
    Input::NoLoadCurrent,
    Input::PackResistance,
    Input::PackCapacity,
    Input::CableResistance,
];

impl Variant {
    /// The boat as she is.
    #[must_use]
    pub fn as_she_is(spec: BoatSpec) -> Self {
        Self {
            name: "as she is".to_owned(),
            spec,
            masses: Vec::new(),
            about: About::default(),
            own: Vec::new(),
        }
    }

    /// An alternative to `base`. `spec` is the boat with its changes but without `masses`, which are added
    /// to the displacement here; a tip clearance measured at the old propeller follows the diameter.
    ///
    /// An input of a part whose value or band differs from `base` is sampled anew: a new pitch has an error
    /// of its own. What belongs to hull, sea and methods is the same unknown in both.
    #[must_use]
    pub fn alternative(
        name: &str,
        base: &BoatSpec,
        mut spec: BoatSpec,
        masses: Vec<MassMove>,
        about: About,
    ) -> Self {
        let own = spec
            .uncertain
            .iter()
            .filter(|uncertain| OF_PARTS.contains(&uncertain.input))
            .filter(|uncertain| spread_of(base, uncertain.input) != Some(uncertain.spread))
            .map(|uncertain| (uncertain.input, name_number(&format!("{} of {name}", uncertain.input.key()))))
            .collect();
        add_mass(&mut spec, masses.iter().map(|mass| mass.mass_kg).sum());
        if spec.fittings.tip_clearance_m == base.fittings.tip_clearance_m {
            let grown = spec.boat.propeller.diameter_m - base.boat.propeller.diameter_m;
            spec.fittings.tip_clearance_m = spec.fittings.tip_clearance_m.map(|gap| gap - 0.5 * grown);
        }
        Self { name: name.to_owned(), spec, masses, about, own }
    }

    /// The standard normal deviate with which `input` enters sample `sample`.
    #[must_use]
    pub fn deviate(&self, input: Input, sampler: Sampler, sample: u64) -> f64 {
        match self.own.iter().find(|(own, _)| *own == input) {
            Some((_, number)) => sampler.deviate(*number, sample),
            None => self.spec.deviate(input, sampler, sample),
        }
    }
}

fn spread_of(spec: &BoatSpec, input: Input) -> Option<Spread> {
    spec.uncertain.iter().find(|uncertain| uncertain.input == input).map(|uncertain| uncertain.spread)
}

fn add_mass(spec: &mut BoatSpec, mass_kg: f64) {
    if mass_kg == 0.0 {
        return;
    }
    take_aboard(&mut spec.boat, mass_kg);
    for uncertain in spec.uncertain.iter_mut().filter(|u| u.input == Input::Displacement) {
        let Spread { p10, median, p90, .. } = uncertain.spread;
        uncertain.spread =
            Spread { p10: p10 + mass_kg, median: median + mass_kg, p90: p90 + mass_kg, ..uncertain.spread };
    }
}
