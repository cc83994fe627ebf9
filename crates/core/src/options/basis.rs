//! Where the measures come from that are no figure of one steady state. Not for: those that are
//! (`study::StateFigure`).

use super::measure::MeasureKind;

/// What is said of a measure when it is opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Basis {
    /// Formula with its symbols explained.
    pub formula: &'static str,
    /// Keys of the sources.
    pub sources: &'static [&'static str],
    /// Where it holds, and how well.
    pub validity: &'static str,
}

const PRACTICE: &str = "common practice, no source";

impl MeasureKind {
    /// Where it comes from; `None` for a figure of a steady state, which has an origin of its own.
    #[must_use]
    pub fn basis(self) -> Option<Basis> {
        let basis = |formula, sources, validity| Some(Basis { formula, sources, validity });
        match self {
            Self::State(_) => None,
            Self::TimeToHeat => basis(
                "from cold at full throttle until the winding is at its limit: two heat masses, winding and case, with the losses of \
                 that state and the thermal path that the continuous rating gives",
                &[PRACTICE],
                "estimate: the heat masses follow from the motor's mass; nothing when the winding never gets there",
            ),
            Self::Clearance => basis(
                "gap between blade tip and hull: as measured, less half of what the diameter grows; else half of what the aperture \
                 leaves, the shaft centred in it. A tenth of the diameter is wanted",
                &[PRACTICE],
                "as good as the measurement of gap or aperture",
            ),
            Self::ShaftStress => basis(
                "tau = 16 Q / (pi d^3), with the torque Q at the propeller and the diameter d of a solid shaft",
                &[PRACTICE],
                "textbook torsion: without bending, shocks, keyway and fatigue",
            ),
            Self::ShaftStressAtLimit => basis(
                "tau = 16 Q / (pi d^3), with Q = all the phase current that the controller gives times the motor's torque constant \
                 times the reduction: what the shaft sees when the propeller is stopped short",
                &[PRACTICE],
                "as shaft stress; shock comes on top",
            ),
            Self::Bollard => basis(
                "T at no speed: the thrust of the propeller, turned as fast as volts, amps and power allow",
                &["oosterveld1975"],
                "as thrust at J = 0; the pull on the line is a few per cent less by the thrust deduction at rest, and quay wall and \
                 shallow water change it",
            ),
            Self::StoppingDistance | Self::StoppingTime => basis(
                "m (1 + 0.07) v dv = -F ds, F = R(v) - (1 - t) T(v), the propeller astern as hard as motor, controller and bank \
                 allow; counted from the moment the shaft turns astern",
                &["smogeli2006"],
                "estimate: the thrust astern is known to within 30 %; she sheers, and wind and stream do the rest",
            ),
            Self::Range => basis(
                "way through the water from the charge now to the reserve: the bank's discharge at constant power, volts sinking with \
                 the charge, standing loads included",
                &["bpx2023", "peukert2020"],
                "through the water: a stream adds or takes its own; not for navigation",
            ),
            Self::Mass => {
                basis("sum of the masses that come and go with the alternative", &[PRACTICE], "as weighed")
            }
            Self::Sinkage => basis(
                "mass over the density of the water and the area of the waterplane",
                &[PRACTICE],
                "small masses on upright sides",
            ),
            Self::Trim => basis(
                "moment of the masses about the centre of the waterplane over the moment that trims her by one metre, from the second \
                 moment of a waterline y = b (1 - |2x/L|^n)",
                &[PRACTICE],
                "small masses; masses without a place along the boat do not trim her",
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::measures;
    use super::*;

    #[test]
    fn every_measure_can_be_opened() {
        for measure in measures(1) {
            let is_state = matches!(measure.kind, MeasureKind::State(_));
            assert_eq!(measure.kind.basis().is_none(), is_state, "{measure:?}");
        }
    }
}
