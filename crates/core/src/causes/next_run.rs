//! What to do next so that the causes come apart: runs, looks and measurements that can be done on an
//! afternoon, ranked by what they are expected to tell. Not for: doing them.

use std::collections::BTreeMap;

use wakewright_units::{Digits, Quantity};

use super::cause::Cause;
use super::diagnosis::Diagnosis;
use super::hypothesis::Hypothesis;
use super::observation::Held;
use super::parameter::OfTrial;
use super::predict::{full_throttle, log_student};
use super::shares::value_now;
use super::workers::Workers;
use crate::boat::Boat;
use crate::fouling::FoulingCondition;
use crate::sheet::Word;
use crate::spread::{Sampler, name_number};
use crate::steady::{Ask, PreparedBoat};

/// Something that can be done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Proposal {
    /// A double run in a calm at this shaft speed, power read \[rev/s\].
    DoubleRun {
        /// Shaft \[rev/s\].
        shaft_rev_s: f64,
    },
    /// A double run at full throttle.
    FullThrottle,
    /// The same double run after a scrub of bottom and blades \[rev/s\].
    AfterScrub {
        /// Shaft \[rev/s\].
        shaft_rev_s: f64,
    },
    /// A double run after the blades alone were scraped \[rev/s\].
    AfterBlades {
        /// Shaft \[rev/s\].
        shaft_rev_s: f64,
    },
    /// Pull against the quay on a scale, throttle fully open, amps and rpm read.
    Bollard,
    /// Coasting down from this speed, timed: resistance without the propeller's push \[m/s\].
    CoastDown {
        /// Speed \[m/s\].
        speed_m_s: f64,
    },
    /// A look at the bottom.
    LookAtBottom,
    /// A hand on the blades.
    LookAtBlades,
    /// Volts at the packs' terminals and at the controller, throttle fully open.
    VoltsAtPacks,
    /// Pitch and diameter measured by a propeller shop, or with a level on a beach.
    MeasurePropeller,
    /// Turns counted, or teeth.
    CountReduction,
    /// Settings of the controller and alarms of the packs read out.
    ReadLimits,
}

impl Proposal {
    /// Stable name for files.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::DoubleRun { .. } => "double_run",
            Self::FullThrottle => "full_lever",
            Self::AfterScrub { .. } => "after_scrub",
            Self::AfterBlades { .. } => "after_blades",
            Self::Bollard => "bollard",
            Self::CoastDown { .. } => "coast_down",
            Self::LookAtBottom => "look_at_bottom",
            Self::LookAtBlades => "look_at_blades",
            Self::VoltsAtPacks => "volts_at_packs",
            Self::MeasurePropeller => "measure_propeller",
            Self::CountReduction => "count_reduction",
            Self::ReadLimits => "read_limits",
        }
    }
}

impl Proposal {
    /// Both its names, without shaft speed or speed.
    #[must_use]
    pub fn word(self) -> Word {
        let words = match self {
            Self::DoubleRun { .. } => "a double run in a calm, power read",
            Self::FullThrottle => "a double run at full throttle",
            Self::AfterScrub { .. } => "a double run after a scrub",
            Self::AfterBlades { .. } => "a double run, blades scraped",
            Self::Bollard => "a pull against the quay, with a scale",
            Self::CoastDown { .. } => "coasting down, timed both ways",
            Self::LookAtBottom => "a look at the bottom",
            Self::LookAtBlades => "a hand on the blades",
            Self::VoltsAtPacks => "volts at packs and controller",
            Self::MeasurePropeller => "pitch and diameter, measured",
            Self::CountReduction => "turns of the reduction, counted",
            Self::ReadLimits => "settings and alarms, read out",
        };
        Word { key: self.key(), words }
    }

    /// The shaft speed that is held \[rev/s\].
    #[must_use]
    pub fn shaft_rev_s(self) -> Option<f64> {
        match self {
            Self::DoubleRun { shaft_rev_s }
            | Self::AfterScrub { shaft_rev_s }
            | Self::AfterBlades { shaft_rev_s } => Some(shaft_rev_s),
            _ => None,
        }
    }

    /// The speed from which she coasts down \[m/s\].
    #[must_use]
    pub fn speed_m_s(self) -> Option<f64> {
        if let Self::CoastDown { speed_m_s } = self { Some(speed_m_s) } else { None }
    }

    /// In full, to stand at the beginning of a sentence; `write` writes a quantity.
    #[must_use]
    pub fn sentence(self, write: impl Fn(f64, Quantity, Digits) -> String) -> String {
        let rpm = |rev_s: f64| write(rev_s, Quantity::RotationalSpeed, Digits::Usual);
        match self {
            Self::DoubleRun { shaft_rev_s } => {
                format!("One double run at {} in a calm, power read", rpm(shaft_rev_s))
            }
            Self::FullThrottle => "One double run at full throttle".to_owned(),
            Self::AfterScrub { shaft_rev_s } => {
                format!("One double run at {} after a scrub", rpm(shaft_rev_s))
            }
            Self::AfterBlades { shaft_rev_s } => {
                format!("One double run at {} after scraping the blades", rpm(shaft_rev_s))
            }
            Self::Bollard => {
                "A pull against the quay with a scale, full throttle, rpm, volts and amps read".to_owned()
            }
            Self::CoastDown { speed_m_s } => {
                let from = write(speed_m_s, Quantity::Speed, Digits::Decimals(1));
                format!("Coasting down from {from}, timed both ways")
            }
            Self::LookAtBottom => "A look at the bottom".to_owned(),
            Self::LookAtBlades => "A hand on the blades".to_owned(),
            Self::VoltsAtPacks => "Volts at the packs and at the controller, full throttle".to_owned(),
            Self::MeasurePropeller => "Pitch and diameter of the propeller, measured".to_owned(),
            Self::CountReduction => "Teeth or turns of the reduction, counted".to_owned(),
            Self::ReadLimits => "The controller's settings and the packs' alarms, read out".to_owned(),
        }
    }
}

/// A proposal with what it is expected to tell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NextRun {
    /// What.
    pub proposal: Proposal,
    /// Share of the doubt about the main cause that it is expected to take away: 1 settles it.
    pub doubt_removed: f64,
    /// Expected standard deviation of the two leading shares over what it is now.
    pub width_left: f64,
    /// How probable the main cause is expected to be afterwards.
    pub main_probability_after: f64,
}

/// What is expected of a reading: value and standard deviation.
type Expected = Vec<(f64, f64)>;

/// Outcomes tried for each proposal.
const OUTCOMES: usize = 60;

/// Ranks what can be done by the doubt that it is expected to take away.
///
/// Of each proposal outcomes are sampled from the posterior; each outcome weighs all samples anew; what is left
/// of the entropy of the main cause, averaged over the outcomes, is what is expected to be left of the doubt.
/// # Source
/// Expected information \[lindley1956\], from memory; nested sampling with the posterior's own samples.
pub(super) fn rank_next_runs(diagnosis: &Diagnosis, workers: &impl Workers) -> Vec<NextRun> {
    let proposals = proposals(diagnosis);
    let samples = &diagnosis.posterior.samples;
    let expected: Vec<Option<Vec<Expected>>> =
        workers.map(samples.len(), |i| expected_of(diagnosis, i, &proposals));
    let usable: Vec<usize> = (0..samples.len())
        .filter(|&i| {
            expected[i].is_some() && diagnosis.shared[i].as_ref().is_some_and(|s| s.now[0].is_finite())
        })
        .collect();
    if usable.len() < 20 {
        return Vec::new();
    }
    let leading: Vec<Cause> = diagnosis.points[0].shares.iter().take(2).map(|share| share.cause).collect();
    let before = doubt(diagnosis, &usable, &vec![1.0; usable.len()], &leading);
    let mut ranked: Vec<NextRun> = workers.map(proposals.len(), |k| {
        let of = |i: usize| expected[i].as_ref().map_or(&[][..], |all| all[k].as_slice());
        let after = expected_doubt(diagnosis, &usable, &of, &leading, proposals[k]);
        NextRun {
            proposal: proposals[k],
            doubt_removed: if before.entropy > 0.02 {
                (1.0 - after.entropy / before.entropy).max(0.0)
            } else {
                0.0
            },
            width_left: (after.width / before.width.max(1e-9)).min(1.0),
            main_probability_after: after.main_probability,
        }
    });
    let merit = |next: &NextRun| {
        let is_in_doubt = f64::from(u8::from(before.entropy > 0.1));
        is_in_doubt * next.doubt_removed + 0.5 * (1.0 - next.width_left)
    };
    ranked.sort_by(|a, b| merit(b).total_cmp(&merit(a)));
    ranked
}

fn proposals(diagnosis: &Diagnosis) -> Vec<Proposal> {
    let problem = &diagnosis.problem;
    let observed = &problem.epochs[problem.now()].observed;
    let fastest = diagnosis.found.last().map_or(15.0, |row| row.shaft_rev_s) / 1.1;
    // Whole tens of revolutions a minute, as a helmsman sets them.
    let round = |share: f64| (share * fastest * 6.0).round() / 6.0;
    let mut proposals: Vec<Proposal> =
        [0.5, 0.7, 0.85].map(|share| Proposal::DoubleRun { shaft_rev_s: round(share) }).to_vec();
    let now = problem.now();
    if !problem.observations.iter().any(|o| o.epoch == now && o.held == Held::FullThrottle) {
        proposals.push(Proposal::FullThrottle);
    }
    proposals.push(Proposal::AfterScrub { shaft_rev_s: round(0.7) });
    proposals.push(Proposal::AfterBlades { shaft_rev_s: round(0.7) });
    proposals.push(Proposal::Bollard);
    proposals.push(Proposal::CoastDown { speed_m_s: 0.8 * diagnosis.points[0].now.value });
    if observed.bottom.is_none() {
        proposals.push(Proposal::LookAtBottom);
    }
    if observed.blades.is_none() {
        proposals.push(Proposal::LookAtBlades);
    }
    proposals.extend([Proposal::VoltsAtPacks, Proposal::MeasurePropeller]);
    if (problem.spec.boat.drive_line.ratio - 1.0).abs() > 1e-6 {
        proposals.push(Proposal::CountReduction);
    }
    proposals.push(Proposal::ReadLimits);
    proposals
}

/// What a sample leads one to expect of each proposal.
fn expected_of(diagnosis: &Diagnosis, number: usize, proposals: &[Proposal]) -> Option<Vec<Expected>> {
    let (problem, sample) = (&diagnosis.problem, &diagnosis.posterior.samples[number]);
    let noise = &diagnosis.options.noise;
    // Another day: no wind, instruments as they are set right.
    let (boat, _) = problem.boat(&sample.deviates, sample.odd.on(problem.now()), problem.now(), |cause| {
        !cause.is_of_day() && cause != Cause::Unexplained
    });
    let prepare = |boat: &Boat| PreparedBoat::new(boat).ok().map(|boat| boat.value);
    let as_is = prepare(&boat)?;
    let mut clean_blades = boat.clone();
    clean_blades.blades_sand_height_m = FoulingCondition::CleanPolished.sand_height_spread().median;
    let mut scrubbed = clean_blades.clone();
    scrubbed.bottom_sand_height_m = FoulingCondition::AsApplied.sand_height_spread().median;
    let (clean_blades, scrubbed) = (prepare(&clean_blades)?, prepare(&scrubbed)?);
    let run = |boat: &PreparedBoat, ask: Option<Ask>| -> Option<Expected> {
        let bound = match ask {
            Some(ask) => boat.solve(ask).ok()?,
            None => full_throttle(boat)?,
        };
        let state = bound.state;
        let speed_sd =
            (0.5 * noise.speed_m_s * noise.speed_m_s + (noise.speed_share * state.speed_m_s).powi(2)).sqrt();
        let mut expected = vec![
            (state.speed_m_s, speed_sd),
            (state.drive_power_w, 1.3 * noise.power_share * state.drive_power_w),
        ];
        if ask.is_none() {
            expected.push((state.shaft_rev_s, 1.5 * noise.turning_share * state.shaft_rev_s));
            expected.push((state.bank_v, noise.volts_share * state.bank_v));
        }
        Some(expected)
    };
    // An eye tells neighbouring steps of the scale apart, no more.
    const EYE: f64 = 0.46;
    let of = |proposal: &Proposal| -> Option<Expected> {
        match *proposal {
            Proposal::DoubleRun { shaft_rev_s } => run(&as_is, Some(Ask::ShaftSpeed(shaft_rev_s))),
            Proposal::FullThrottle => run(&as_is, None),
            Proposal::AfterScrub { shaft_rev_s } => run(&scrubbed, Some(Ask::ShaftSpeed(shaft_rev_s))),
            Proposal::AfterBlades { shaft_rev_s } => run(&clean_blades, Some(Ask::ShaftSpeed(shaft_rev_s))),
            Proposal::Bollard => {
                let pull = as_is.bollard()?;
                Some(vec![
                    (pull.thrust_n, 0.05 * pull.thrust_n),
                    (pull.shaft_rev_s, 0.01 * pull.shaft_rev_s),
                    (pull.drive_power_w, noise.power_share * pull.drive_power_w),
                ])
            }
            Proposal::CoastDown { speed_m_s } => {
                let drag = as_is.hull().resistance_n(speed_m_s.min(as_is.fastest_m_s()));
                // The mass of water that goes with her and the propeller's own drag are poorly known.
                Some(vec![(drag, 0.15 * drag)])
            }
            Proposal::LookAtBottom => {
                Some(vec![(value_now(problem, sample, OfTrial::BottomGrowth)?.max(1e-7).ln(), EYE)])
            }
            Proposal::LookAtBlades => {
                Some(vec![(value_now(problem, sample, OfTrial::BladeGrowth)?.max(1e-7).ln(), EYE)])
            }
            Proposal::VoltsAtPacks => {
                let state = full_throttle(&as_is)?.state;
                let packs = as_is.bank().pack_voltage_at_v(state.bank_a);
                Some(vec![
                    (packs, 0.002 * packs),
                    (packs - state.bank_v, 0.05),
                    (state.bank_a, 0.03 * state.bank_a),
                ])
            }
            Proposal::MeasurePropeller => {
                let Boat { propeller, .. } = &boat;
                Some(vec![
                    (propeller.pitch_m, 0.012 * propeller.pitch_m),
                    (propeller.diameter_m, 0.003 * propeller.diameter_m),
                ])
            }
            Proposal::CountReduction => Some(vec![(boat.drive_line.ratio, 0.004 * boat.drive_line.ratio)]),
            Proposal::ReadLimits => {
                let deviate = sample.deviates.last().copied().unwrap_or(0.0);
                let is_held_back = sample.odd.on(problem.now()) == Hypothesis::HeldBack;
                let limit =
                    if is_held_back { Hypothesis::HeldBack.strength().at_deviate(deviate) } else { 1.0 };
                Some(vec![(limit, 0.02)])
            }
        }
    };
    // Where a sample has no such state it says nothing: the proposal is left without readings.
    Some(proposals.iter().map(|proposal| of(proposal).unwrap_or_default()).collect())
}

struct Doubt {
    entropy: f64,
    width: f64,
    main_probability: f64,
}

/// Entropy of the main cause, width of the leading shares, and the probability of the likeliest cause.
fn doubt(diagnosis: &Diagnosis, usable: &[usize], weights: &[f64], leading: &[Cause]) -> Doubt {
    let total: f64 = weights.iter().sum();
    let mut probabilities: BTreeMap<Option<Cause>, f64> = BTreeMap::new();
    for (&i, weight) in usable.iter().zip(weights) {
        *probabilities.entry(diagnosis.main_causes[i]).or_insert(0.0) += weight / total;
    }
    let entropy = probabilities.values().filter(|p| **p > 0.0).map(|p| -p * p.ln()).sum();
    let width = leading
        .iter()
        .map(|cause| {
            let share = |i: usize| diagnosis.shared[i].as_ref().map_or(0.0, |s| s.shares[0][*cause as usize]);
            let mean = usable.iter().zip(weights).map(|(&i, w)| w * share(i)).sum::<f64>() / total;
            let variance =
                usable.iter().zip(weights).map(|(&i, w)| w * (share(i) - mean).powi(2)).sum::<f64>() / total;
            variance.sqrt()
        })
        .sum();
    Doubt { entropy, width, main_probability: probabilities.values().copied().fold(0.0, f64::max) }
}

fn expected_doubt<'a>(
    diagnosis: &Diagnosis,
    usable: &[usize],
    of: &impl Fn(usize) -> &'a [(f64, f64)],
    leading: &[Cause],
    proposal: Proposal,
) -> Doubt {
    let sampler = Sampler::new(diagnosis.options.seed);
    let name = name_number(proposal.key());
    let step = usable.len().div_ceil(OUTCOMES).max(1);
    let mut sum = Doubt { entropy: 0.0, width: 0.0, main_probability: 0.0 };
    let mut count = 0.0;
    for (outcome, &truth) in usable.iter().step_by(step).enumerate() {
        let readings: Vec<f64> = of(truth)
            .iter()
            .enumerate()
            .map(|(i, (value, sd))| value + sd * sampler.deviate(name.wrapping_add(i as u64), outcome as u64))
            .collect();
        let weights: Vec<f64> = usable
            .iter()
            .map(|&i| {
                let expected = of(i);
                // A sample without such a state does not go with this outcome, nor the other way round.
                if expected.len() != readings.len() {
                    return 0.0;
                }
                expected
                    .iter()
                    .zip(&readings)
                    .map(|((value, sd), y)| log_student((y - value) / sd))
                    .sum::<f64>()
                    .exp()
            })
            .collect();
        let found = doubt(diagnosis, usable, &weights, leading);
        sum.entropy += found.entropy;
        sum.width += found.width;
        sum.main_probability += found.main_probability;
        count += 1.0;
    }
    Doubt {
        entropy: sum.entropy / count,
        width: sum.width / count,
        main_probability: sum.main_probability / count,
    }
}
