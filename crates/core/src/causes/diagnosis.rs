//! The whole answer: how far she falls short, which causes take how much, how sure, how well it all fits.
//! Not for: wording.

use super::adopt::{Calibrated, calibrate};
use super::cause::{CAUSE_COUNT, Cause};
use super::course::CourseDifference;
use super::evidence::{CausesError, Epoch};
use super::fitting::{curve, fit_quality, found_boats, promised_boats, run_fits, shaft_row};
use super::hypothesis::Hypothesis;
use super::next_run::{NextRun, rank_next_runs};
use super::observation::{Datum, DatumKind, Held, Noise};
use super::oddity::Oddity;
use super::posterior::{Posterior, sample_posterior};
use super::predict::Problem;
use super::shares::{POINTS, SampleShares, SharesAt, share_out, speeds_of};
use super::workers::Workers;
use crate::boat::BoatSpec;
use crate::hull::form::hull_speed_m_s;
use crate::spread::Interval;
use crate::spread::{Sampler, quantiles};
use crate::steady::{Ask, PreparedBoat};

/// How much work is put in, and where the shortfall is taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CausesOptions {
    /// Weighted samples.
    pub samples: usize,
    /// Samples of equal weight that are kept.
    pub kept: usize,
    /// Seed of all samples.
    pub seed: u64,
    /// Speed whose power is the second point of the shortfall \[m/s\]; the document's cruising speed, or
    /// seven tenths of hull speed, when not given.
    pub cruise_speed_m_s: Option<f64>,
    /// How sure the readings are.
    pub noise: Noise,
}

impl Default for CausesOptions {
    fn default() -> Self {
        Self { samples: 3000, kept: 400, seed: 20_260_401, cruise_speed_m_s: None, noise: Noise::default() }
    }
}

/// Where the shortfall is taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PointKind {
    /// Throttle fully open.
    FullThrottle,
    /// With this power out of the bank \[W\]: what she should need at her cruising speed.
    Power(f64),
}

/// What one cause takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// Which.
    pub cause: Cause,
    /// What it takes \[m/s\]; negative where it gives.
    pub taken: Interval,
    /// How probable it is that it takes most of all.
    pub main_probability: f64,
}

/// The shortfall at one point.
#[derive(Debug, Clone, PartialEq)]
pub struct ShortfallPoint {
    /// Where.
    pub kind: PointKind,
    /// What she should do: clean, as stated, in a calm \[m/s\].
    pub should_m_s: f64,
    /// What she should do as she was described: with the growth, load and weather that were noted \[m/s\].
    pub described_m_s: f64,
    /// What her document leaves open there, clean and in a calm \[m/s\].
    pub promised: Interval,
    /// What she does, whatever her instruments show \[m/s\].
    pub now: Interval,
    /// The difference \[m/s\].
    pub shortfall: Interval,
    /// By cause, in the order of what they take at the median. Medians need not add up; means do.
    pub shares: Vec<Share>,
    /// Mean share of each cause \[m/s\], in the order of [`Cause::ALL`]: these add up to the mean shortfall.
    pub mean_shares_m_s: [f64; CAUSE_COUNT],
    /// How probable it is that she falls short at all by more than a twentieth of a knot.
    pub short_probability: f64,
}

/// Two causes that the runs cannot tell apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CausePair {
    /// One of them.
    pub first: Cause,
    /// The other.
    pub second: Cause,
    /// Correlation of what they take.
    pub correlation: f64,
    /// What both take together \[m/s\]: better known than either.
    pub together: Interval,
}

/// How well everything fits.
#[derive(Debug, Clone, PartialEq)]
pub struct FitQuality {
    /// Readings.
    pub readings: usize,
    /// Root of the mean square of residuals over their standard deviations, at the median sample.
    pub rms_residual: f64,
    /// How probable readings are that fit worse than these, if the model holds.
    pub p_value: f64,
    /// What does not fit.
    pub misfits: Vec<Misfit>,
}

/// Something that does not fit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Misfit {
    /// At one shaft speed the power differs between the courses by this share, more than wind and meter
    /// explain: a sea or wind that was not given.
    CourseToCourse {
        /// Which trial.
        epoch: usize,
        /// By how much.
        difference: CourseDifference,
    },
    /// One observation is far off.
    Run {
        /// Which trial.
        epoch: usize,
        /// First run of it, from 0.
        run: usize,
        /// What was measured.
        kind: DatumKind,
        /// Residual over its standard deviation.
        residual: f64,
    },
    /// All readings together scatter more than they should.
    Scatter,
}

/// One observation beside what she should have done and what the causes give.
#[derive(Debug, Clone, PartialEq)]
pub struct RunFit {
    /// Which trial.
    pub epoch: usize,
    /// Which runs of it, from 0.
    pub runs: Vec<usize>,
    /// What was held.
    pub held: Held,
    /// Shaft speed \[rev/s\]: as measured, else as she should have had.
    pub shaft_rev_s: Option<f64>,
    /// Readings: what was measured, what she should have shown where she could have been there, what the causes
    /// give (without scatter).
    pub readings: Vec<(Datum, Option<f64>, Interval)>,
}

/// How far the samples can be trusted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SamplingQuality {
    /// Weighted samples.
    pub samples: usize,
    /// Worth so many of equal weight.
    pub effective: f64,
    /// Tail of the weights.
    pub pareto_k: f64,
    /// Rounds of tempering.
    pub tempered: usize,
    /// False when the figures are not to be trusted.
    pub is_trusted: bool,
}

/// One row of a curve against shaft speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurveRow {
    /// Shaft \[rev/s\].
    pub shaft_rev_s: f64,
    /// Speed through the water \[m/s\].
    pub speed: Interval,
    /// Drive power \[W\].
    pub power: Interval,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnosis {
    /// What was asked.
    pub problem: Problem,
    /// How it was asked.
    pub options: CausesOptions,
    /// Full throttle, then the cruising power, where she can take it.
    pub points: Vec<ShortfallPoint>,
    /// Causes that cannot be kept apart, at the first point; strongest first.
    pub correlated: Vec<CausePair>,
    /// What is odd about her, most probable first.
    pub oddities: Vec<(Oddity, f64)>,
    /// How well it fits.
    pub fit: FitQuality,
    /// Run by run.
    pub runs: Vec<RunFit>,
    /// What she should do against shaft speed: document, clean, calm, with the methods' own bands.
    pub promised: Vec<CurveRow>,
    /// What she does against shaft speed.
    pub found: Vec<CurveRow>,
    /// What to do next, most telling first.
    pub next: Vec<NextRun>,
    /// Inputs that the trial knows better than the document.
    pub calibrated: Vec<Calibrated>,
    /// How far the samples can be trusted.
    pub sampling: SamplingQuality,
    /// The samples.
    pub posterior: Posterior,
    /// Power of the second point \[W\].
    pub cruise_power_w: f64,
    /// Which cause takes most, by sample (at the first point); `None` where she does not fall short.
    pub main_causes: Vec<Option<Cause>>,
    /// The shares of each sample.
    pub(super) shared: Vec<Option<SampleShares>>,
}

impl Diagnosis {
    /// The shares of sample number `number` at full throttle; `None` where it has no such state.
    #[must_use]
    pub fn sample_shares(&self, number: usize) -> Option<SharesAt> {
        self.shared.get(number)?.as_ref().map(SharesAt::of)
    }
}

/// Shortfall below which there is none \[m/s\]: a twentieth of a knot.
pub(super) const NO_SHORTFALL_M_S: f64 = 0.05 * 1852.0 / 3600.0;

/// Looks into the causes of the latest of `epochs`, with the earlier ones as evidence.
/// # Errors
/// [`CausesError`] says why there is no answer.
pub fn diagnose(
    spec: &BoatSpec,
    epochs: &[Epoch],
    options: &CausesOptions,
    workers: &impl Workers,
) -> Result<Diagnosis, CausesError> {
    let problem = Problem::new(spec, epochs, &options.noise)?;
    let sampler = Sampler::new(options.seed);
    let zero = vec![0.0; problem.size()];
    let (should_be, calm) = problem.boat(&zero, Hypothesis::Nothing, problem.now(), |_| false);
    let reference = PreparedBoat::new(&should_be)?.value;
    let cruise = options
        .cruise_speed_m_s
        .or(spec.fittings.cruising_speed_m_s)
        .unwrap_or(0.7 * hull_speed_m_s(spec.boat.form.length_waterline_m))
        .min(0.98 * reference.fastest_m_s());
    let cruise_power_w =
        reference.solve(Ask::Speed(cruise)).map_err(crate::steady::BoatError::from)?.state.bank_power_w();
    let posterior = sample_posterior(&problem, options.samples, options.kept, options.seed, workers)?;
    let shared: Vec<Option<SampleShares>> = workers.map(posterior.samples.len(), |i| {
        share_out(&problem, &posterior.samples[i], cruise_power_w, sampler, i as u64)
    });
    let should = speeds_of(&reference, &calm, cruise_power_w);
    let as_expected: Vec<f64> = problem.parameters.iter().map(|of| of.spread.expected_deviate()).collect();
    let (as_described, its_day) = problem.boat(&as_expected, Hypothesis::Nothing, problem.now(), |_| true);
    let described = speeds_of(&PreparedBoat::new(&as_described)?.value, &its_day, cruise_power_w);
    let kinds = [PointKind::FullThrottle, PointKind::Power(cruise_power_w)];
    let promised = promised_boats(&problem, sampler, workers);
    let left_open = workers
        .map(promised.len(), |i| promised[i].as_ref().map(|boat| speeds_of(boat, &calm, cruise_power_w)));
    let points: Vec<ShortfallPoint> = (0..POINTS)
        .filter_map(|point| {
            let left_open = interval_of(left_open.iter().flatten().map(|speeds| speeds[point]))?;
            point_of(point, kinds[point], (should[point], described[point]), left_open, &shared)
        })
        .collect();
    if points.first().is_none_or(|first| first.kind != PointKind::FullThrottle) {
        return Err(CausesError::Contradiction);
    }
    let main_causes: Vec<Option<Cause>> =
        shared.iter().map(|s| s.as_ref().and_then(|s| main_cause(s, 0))).collect();
    let predicted: Vec<Option<Vec<f64>>> = workers.map(posterior.samples.len(), |i| {
        let sample = &posterior.samples[i];
        problem.predict(&sample.deviates, sample.odd)
    });
    let sampling = SamplingQuality {
        samples: posterior.weighted,
        effective: posterior.effective,
        pareto_k: posterior.pareto_k,
        tempered: posterior.tempered,
        is_trusted: posterior.pareto_k < 0.7 && posterior.effective >= 50.0,
    };
    let shafts = shaft_row(&problem, &reference);
    let promised = curve(&shafts, &promised, workers);
    let found = curve(&shafts, &found_boats(&problem, &posterior, workers), workers);
    let mut diagnosis = Diagnosis {
        correlated: correlated(&shared),
        oddities: posterior.oddities.clone(),
        fit: fit_quality(&problem, &predicted, sampler),
        runs: run_fits(&problem, &reference, &predicted),
        promised,
        found,
        next: Vec::new(),
        calibrated: Vec::new(),
        sampling,
        posterior,
        cruise_power_w,
        main_causes,
        shared,
        points,
        options: *options,
        problem,
    };
    // A fit that is refused knows nothing better than the document.
    if !diagnosis.tells_nothing() {
        diagnosis.calibrated = calibrate(&diagnosis, cruise, workers);
    }
    diagnosis.next = rank_next_runs(&diagnosis, workers);
    Ok(diagnosis)
}

/// Median and 80 % band of the values that are numbers; `None` where none is.
pub(super) fn interval_of(values: impl Iterator<Item = f64>) -> Option<Interval> {
    let mut finite: Vec<f64> = values.filter(|v| v.is_finite()).collect();
    quantiles(&mut finite).map(|q| Interval { value: q.median, p10: q.p10, p90: q.p90 })
}

fn main_cause(shares: &SampleShares, point: usize) -> Option<Cause> {
    if shares.should[point] - shares.now[point] <= NO_SHORTFALL_M_S {
        return None;
    }
    let of = |cause: Cause| shares.shares[point][cause as usize];
    Cause::ALL.iter().copied().max_by(|a, b| of(*a).total_cmp(&of(*b)))
}

/// The shortfall at one point; `None` where she, clean or as described, or every sample of her cannot be there.
fn point_of(
    point: usize,
    kind: PointKind,
    (should_m_s, described_m_s): (f64, f64),
    promised: Interval,
    shared: &[Option<SampleShares>],
) -> Option<ShortfallPoint> {
    let good: Vec<&SampleShares> =
        shared.iter().flatten().filter(|s| (s.should[point] - s.now[point]).is_finite()).collect();
    let count = good.len().max(1) as f64;
    let mut mean_shares_m_s = [0.0; CAUSE_COUNT];
    for shares in &good {
        for (mean, share) in mean_shares_m_s.iter_mut().zip(&shares.shares[point]) {
            *mean += share / count;
        }
    }
    let share_of = |cause: &Cause| {
        let taken = interval_of(good.iter().map(|s| s.shares[point][*cause as usize]))?;
        let main = good.iter().filter(|s| main_cause(s, point) == Some(*cause)).count() as f64;
        Some(Share { cause: *cause, taken, main_probability: main / count })
    };
    let mut shares: Vec<Share> = Cause::ALL.iter().filter_map(share_of).collect();
    shares.retain(|share| share.taken.value != 0.0 || share.taken.p90 > share.taken.p10);
    shares.sort_by(|a, b| mean_shares_m_s[b.cause as usize].total_cmp(&mean_shares_m_s[a.cause as usize]));
    let short = good.iter().filter(|s| s.should[point] - s.now[point] > NO_SHORTFALL_M_S).count() as f64;
    (should_m_s.is_finite() && described_m_s.is_finite()).then_some(ShortfallPoint {
        kind,
        should_m_s,
        described_m_s,
        promised,
        now: interval_of(good.iter().map(|s| s.now[point]))?,
        shortfall: interval_of(good.iter().map(|s| s.should[point] - s.now[point]))?,
        shares,
        mean_shares_m_s,
        short_probability: short / count,
    })
}

/// Pairs of causes that trade against each other.
fn correlated(shared: &[Option<SampleShares>]) -> Vec<CausePair> {
    /// Correlation from which two causes count as one (judgement).
    const ALIKE: f64 = -0.5;
    /// Standard deviation below which a cause is known well enough \[m/s\]: a twentieth of a knot.
    const KNOWN_M_S: f64 = NO_SHORTFALL_M_S;
    let good: Vec<&SampleShares> = shared.iter().flatten().filter(|s| s.now[0].is_finite()).collect();
    let column = |cause: Cause| -> Vec<f64> { good.iter().map(|s| s.shares[0][cause as usize]).collect() };
    let mut pairs = Vec::new();
    for (i, &first) in Cause::ALL.iter().enumerate() {
        for &second in &Cause::ALL[..i] {
            let (a, b) = (column(first), column(second));
            let ((mean_a, sd_a), (mean_b, sd_b)) = (mean_and_sd(&a), mean_and_sd(&b));
            if sd_a < KNOWN_M_S || sd_b < KNOWN_M_S {
                continue;
            }
            let covariance =
                a.iter().zip(&b).map(|(x, y)| (x - mean_a) * (y - mean_b)).sum::<f64>() / a.len() as f64;
            let correlation = covariance / (sd_a * sd_b);
            if correlation < ALIKE {
                pairs.extend(interval_of(a.iter().zip(&b).map(|(x, y)| x + y)).map(|together| CausePair {
                    first: second,
                    second: first,
                    correlation,
                    together,
                }));
            }
        }
    }
    pairs.sort_by(|a, b| a.correlation.total_cmp(&b.correlation));
    pairs
}

pub(super) fn mean_and_sd(values: &[f64]) -> (f64, f64) {
    let count = values.len().max(1) as f64;
    let mean = values.iter().sum::<f64>() / count;
    let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / count;
    (mean, variance.sqrt())
}
