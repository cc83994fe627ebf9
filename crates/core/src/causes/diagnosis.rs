//! The whole answer: how far she falls short, which causes take how much, how sure, how well it all fits.
//! Not for: wording.

use super::adopt::{Calibrated, calibrate};
use super::cause::{CAUSE_COUNT, Cause};
use super::course::CourseDifference;
use super::crew::Crew;
use super::evidence::{CausesError, Epoch};
use super::hypothesis::Hypothesis;
use super::next_run::{NextRun, rank_next_runs};
use super::observation::{Datum, DatumKind, Held, Noise};
use super::posterior::{Posterior, sample_posterior};
use super::predict::{LIKELIHOOD_FREEDOM, Problem, Readings};
use super::shares::{DrawShares, POINTS, SharesAt, share_out, speeds_of};
use crate::boat::BoatSpec;
use crate::hull::form::hull_speed_m_s;
use crate::spread::{Draws, name_number, quantiles};
use crate::steady::{Ask, PreparedBoat};
use crate::study::Interval;

/// How much work is put in, and where the shortfall is taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CausesOptions {
    /// Weighted samples.
    pub samples: usize,
    /// Draws of equal weight that are kept.
    pub kept: usize,
    /// Seed of all draws.
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
    /// Lever fully open.
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
    /// What she does, as her instruments show it \[m/s\].
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
    /// Root of the mean square of residuals over their standard deviations, at the median draw.
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
    /// explain: a sea or wind that was not told.
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
    pub shaft_rev_s: f64,
    /// Readings: what was measured, what she should have shown, what the causes give (without scatter).
    pub readings: Vec<(Datum, f64, Interval)>,
}

/// How well the draws were drawn.
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
    /// Full throttle, then the cruising power.
    pub points: Vec<ShortfallPoint>,
    /// Causes that cannot be told apart, at the first point; strongest first.
    pub correlated: Vec<CausePair>,
    /// What is odd about her, most probable first.
    pub hypotheses: Vec<(Hypothesis, f64)>,
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
    /// How well the draws were drawn.
    pub sampling: SamplingQuality,
    /// The draws.
    pub posterior: Posterior,
    /// Power of the second point \[W\].
    pub cruise_power_w: f64,
    /// Which cause takes most, by draw (at the first point); `None` where she does not fall short.
    pub main_causes: Vec<Option<Cause>>,
    /// The shares of each draw.
    pub(super) shared: Vec<Option<DrawShares>>,
}

impl Diagnosis {
    /// The shares of draw number `number` at full throttle; `None` where it has no such state.
    #[must_use]
    pub fn draw_shares(&self, number: usize) -> Option<SharesAt> {
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
    crew: &impl Crew,
) -> Result<Diagnosis, CausesError> {
    let problem = Problem::new(spec, epochs, &options.noise)?;
    let draws = Draws::new(options.seed);
    let zero = vec![0.0; problem.size()];
    let (should_be, calm) = problem.boat(&zero, Hypothesis::Nothing, problem.now(), |_| false);
    let reference = PreparedBoat::new(&should_be)?.value;
    let cruise = options
        .cruise_speed_m_s
        .or(spec.fittings.cruising_speed_m_s)
        .unwrap_or(0.7 * hull_speed_m_s(spec.boat.form.length_waterline_m))
        .min(0.98 * reference.fastest_m_s());
    let cruise_power_w =
        reference.solve(Ask::Speed(cruise)).map_err(crate::boat::BoatError::from)?.state.bank_power_w();
    let posterior = sample_posterior(&problem, options.samples, options.kept, options.seed, crew)?;
    let shared: Vec<Option<DrawShares>> = crew.map(posterior.draws.len(), |i| {
        share_out(&problem, &posterior.draws[i], cruise_power_w, draws, i as u64)
    });
    let should = speeds_of(&reference, &calm, cruise_power_w);
    let kinds = [PointKind::FullThrottle, PointKind::Power(cruise_power_w)];
    let points: Vec<ShortfallPoint> =
        (0..POINTS).map(|point| point_of(point, kinds[point], should[point], &shared)).collect();
    let main_causes: Vec<Option<Cause>> =
        shared.iter().map(|s| s.as_ref().and_then(|s| main_cause(s, 0))).collect();
    let predicted: Vec<Option<Vec<f64>>> = crew.map(posterior.draws.len(), |i| {
        let draw = &posterior.draws[i];
        problem.predict(&draw.deviates, draw.hypothesis)
    });
    let sampling = SamplingQuality {
        samples: posterior.samples,
        effective: posterior.effective,
        pareto_k: posterior.pareto_k,
        tempered: posterior.tempered,
        is_trusted: posterior.pareto_k < 0.7 && posterior.effective >= 50.0,
    };
    let shafts = shaft_row(&problem, &reference);
    let promised = curve(&shafts, &promised_boats(&problem, draws, crew), crew);
    let found = curve(&shafts, &found_boats(&problem, &posterior, crew), crew);
    let mut diagnosis = Diagnosis {
        correlated: correlated(&shared),
        hypotheses: posterior.hypotheses.clone(),
        fit: fit_quality(&problem, &predicted, draws),
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
    diagnosis.calibrated = calibrate(&diagnosis, cruise, crew);
    diagnosis.next = rank_next_runs(&diagnosis, crew);
    Ok(diagnosis)
}

/// Median and 80 % interval; NaN values are left out.
pub(super) fn interval_of(values: impl Iterator<Item = f64>) -> Interval {
    let mut finite: Vec<f64> = values.filter(|v| v.is_finite()).collect();
    quantiles(&mut finite).map_or(Interval { value: f64::NAN, p10: f64::NAN, p90: f64::NAN }, |q| Interval {
        value: q.median,
        p10: q.p10,
        p90: q.p90,
    })
}

fn main_cause(shares: &DrawShares, point: usize) -> Option<Cause> {
    if shares.should[point] - shares.now[point] <= NO_SHORTFALL_M_S {
        return None;
    }
    let of = |cause: Cause| shares.shares[point][cause as usize];
    Cause::ALL.iter().copied().max_by(|a, b| of(*a).total_cmp(&of(*b)))
}

fn point_of(point: usize, kind: PointKind, should_m_s: f64, shared: &[Option<DrawShares>]) -> ShortfallPoint {
    let good: Vec<&DrawShares> =
        shared.iter().flatten().filter(|s| (s.should[point] - s.now[point]).is_finite()).collect();
    let count = good.len().max(1) as f64;
    let mut mean_shares_m_s = [0.0; CAUSE_COUNT];
    for shares in &good {
        for (mean, share) in mean_shares_m_s.iter_mut().zip(&shares.shares[point]) {
            *mean += share / count;
        }
    }
    let share_of = |cause: &Cause| {
        let taken = interval_of(good.iter().map(|s| s.shares[point][*cause as usize]));
        let main = good.iter().filter(|s| main_cause(s, point) == Some(*cause)).count() as f64;
        Share { cause: *cause, taken, main_probability: main / count }
    };
    let mut shares: Vec<Share> = Cause::ALL.iter().map(share_of).collect();
    shares.retain(|share| share.taken.value != 0.0 || share.taken.p90 > share.taken.p10);
    shares.sort_by(|a, b| mean_shares_m_s[b.cause as usize].total_cmp(&mean_shares_m_s[a.cause as usize]));
    let short = good.iter().filter(|s| s.should[point] - s.now[point] > NO_SHORTFALL_M_S).count() as f64;
    ShortfallPoint {
        kind,
        should_m_s,
        now: interval_of(good.iter().map(|s| s.now[point])),
        shortfall: interval_of(good.iter().map(|s| s.should[point] - s.now[point])),
        shares,
        mean_shares_m_s,
        short_probability: short / count,
    }
}

/// Pairs of causes that trade against each other.
fn correlated(shared: &[Option<DrawShares>]) -> Vec<CausePair> {
    /// Correlation from which two causes count as one (judgement).
    const ALIKE: f64 = -0.5;
    /// Standard deviation below which a cause is known well enough \[m/s\]: a twentieth of a knot.
    const KNOWN_M_S: f64 = NO_SHORTFALL_M_S;
    let good: Vec<&DrawShares> = shared.iter().flatten().filter(|s| s.now[0].is_finite()).collect();
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
                let together = interval_of(a.iter().zip(&b).map(|(x, y)| x + y));
                pairs.push(CausePair { first: second, second: first, correlation, together });
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

/// Posterior predictive check on the robust sum of residuals, and what stands out.
///
/// # Source
/// \[gelman1996\], from memory: the same measure of misfit for the readings and for replicated ones, draw
/// by draw.
fn fit_quality(problem: &Problem, predicted: &[Option<Vec<f64>>], draws: Draws) -> FitQuality {
    const FAR_OFF: f64 = 4.0;
    const SUSPECT_P: f64 = 0.02;
    let data: Vec<&Datum> = problem.data().collect();
    let measure = |residuals: &mut dyn Iterator<Item = f64>| -> f64 {
        residuals.map(|r| (1.0 + r * r / LIKELIHOOD_FREEDOM).ln()).sum()
    };
    let name = name_number("causes replicated");
    let mut worse = 0_usize;
    let mut count = 0_usize;
    for (number, predicted) in predicted.iter().enumerate() {
        let Some(predicted) = predicted else { continue };
        let found = measure(&mut data.iter().zip(predicted).map(|(d, p)| (d.value - p) / d.sd));
        let replicated = measure(&mut (0..data.len()).map(|i| student(draws, name, i as u64, number as u64)));
        worse += usize::from(replicated > found);
        count += 1;
    }
    let residual = |i: usize| {
        let values = predicted.iter().flatten().map(|p| (data[i].value - p[i]) / data[i].sd);
        interval_of(values).value
    };
    let residuals: Vec<f64> = (0..data.len()).map(residual).collect();
    let squares: f64 = residuals.iter().map(|r| r * r).sum();
    let p_value = worse as f64 / count.max(1) as f64;
    let mut misfits = course_to_course(problem);
    let mut i = 0;
    for epoch in 0..problem.epochs.len() {
        for observation in problem.observations.iter().filter(|o| o.epoch == epoch) {
            for datum in &observation.data {
                if residuals[i].abs() > FAR_OFF {
                    let run = observation.runs.first().copied().unwrap_or(0);
                    misfits.push(Misfit::Run { epoch, run, kind: datum.kind, residual: residuals[i] });
                }
                i += 1;
            }
        }
    }
    if p_value < SUSPECT_P {
        misfits.push(Misfit::Scatter);
    }
    FitQuality {
        readings: data.len(),
        rms_residual: (squares / data.len().max(1) as f64).sqrt(),
        p_value,
        misfits,
    }
}

/// A draw of Student's t.
pub(super) fn student(draws: Draws, name: u64, what: u64, sample: u64) -> f64 {
    let key = |k: u64| name.wrapping_add(100 * what).wrapping_add(k);
    let normal = draws.deviate(key(0), sample);
    let chi: f64 = (1..=LIKELIHOOD_FREEDOM as u64).map(|k| draws.deviate(key(k), sample).powi(2)).sum();
    normal * (LIKELIHOOD_FREEDOM / chi).sqrt()
}

fn course_to_course(problem: &Problem) -> Vec<Misfit> {
    let of = |(epoch, difference): (usize, &Option<CourseDifference>)| {
        let difference = difference.filter(CourseDifference::is_sure)?;
        Some(Misfit::CourseToCourse { epoch, difference })
    };
    problem.differences.iter().enumerate().filter_map(of).collect()
}

fn run_fits(problem: &Problem, reference: &PreparedBoat, predicted: &[Option<Vec<f64>>]) -> Vec<RunFit> {
    let calm = super::predict::Day::default();
    let mut fits = Vec::new();
    let mut at = 0;
    for epoch in 0..problem.epochs.len() {
        for observation in problem.observations.iter().filter(|o| o.epoch == epoch) {
            let should = Readings::of(reference, &calm, observation);
            let readings: Vec<(Datum, f64, Interval)> = observation
                .data
                .iter()
                .enumerate()
                .map(|(i, datum)| {
                    let given = interval_of(predicted.iter().flatten().map(|p| p[at + i]));
                    (*datum, should.map_or(f64::NAN, |s| s.of_kind(datum.kind)), given)
                })
                .collect();
            at += observation.data.len();
            if observation.runs.is_empty() {
                continue;
            }
            let measured = match observation.held {
                Held::Shaft(shaft) => Some(shaft),
                Held::Motor(motor) => Some(motor / problem.spec.boat.drive_line.ratio),
                _ => observation.data.iter().find_map(|d| match d.kind {
                    DatumKind::Shaft => Some(d.value),
                    DatumKind::Motor => Some(d.value / problem.spec.boat.drive_line.ratio),
                    _ => None,
                }),
            };
            fits.push(RunFit {
                epoch,
                runs: observation.runs.clone(),
                held: observation.held,
                shaft_rev_s: measured.or(should.map(|s| s.shaft_rev_s)).unwrap_or(f64::NAN),
                readings,
            });
        }
    }
    fits
}

/// Shaft speeds of the curves: from a third of the fastest to a little above.
fn shaft_row(problem: &Problem, reference: &PreparedBoat) -> Vec<f64> {
    const ROWS: usize = 12;
    let fastest = super::predict::full_throttle(reference).map_or(15.0, |bound| bound.state.shaft_rev_s);
    let measured = problem.observations.iter().filter_map(|o| match o.held {
        Held::Shaft(shaft) => Some(shaft),
        Held::Motor(motor) => Some(motor / problem.spec.boat.drive_line.ratio),
        _ => None,
    });
    let highest = measured.fold(fastest, f64::max);
    (0..ROWS).map(|i| highest * (0.35 + 0.75 * i as f64 / (ROWS - 1) as f64)).collect()
}

/// Boats as the document promises: clean, in a calm, every input and method within its band.
fn promised_boats(problem: &Problem, draws: Draws, crew: &impl Crew) -> Vec<Option<PreparedBoat>> {
    const BOATS: usize = 160;
    let name = name_number("causes promised");
    crew.map(BOATS, |sample| {
        let deviates: Vec<f64> =
            (0..problem.size()).map(|j| draws.deviate(name.wrapping_add(j as u64), sample as u64)).collect();
        let is_of_day = |cause: Cause| {
            matches!(
                cause,
                Cause::BottomGrowth
                    | Cause::BladeGrowth
                    | Cause::WindAndSea
                    | Cause::Untold
                    | Cause::Instruments
            )
        };
        let (boat, _) =
            problem.boat(&deviates, Hypothesis::Nothing, problem.now(), |cause| !is_of_day(cause));
        PreparedBoat::new(&boat).ok().map(|boat| boat.value)
    })
}

fn found_boats(problem: &Problem, posterior: &Posterior, crew: &impl Crew) -> Vec<Option<PreparedBoat>> {
    const BOATS: usize = 160;
    let step = posterior.draws.len().div_ceil(BOATS).max(1);
    crew.map(posterior.draws.len() / step, |i| {
        let draw = &posterior.draws[i * step];
        let (boat, _) = problem.boat(&draw.deviates, draw.hypothesis, problem.now(), |cause| {
            !matches!(cause, Cause::WindAndSea | Cause::Instruments)
        });
        PreparedBoat::new(&boat).ok().map(|boat| boat.value)
    })
}

fn curve(shafts: &[f64], boats: &[Option<PreparedBoat>], crew: &impl Crew) -> Vec<CurveRow> {
    let rows = crew.map(shafts.len(), |row| {
        let states: Vec<_> = boats
            .iter()
            .flatten()
            .filter_map(|boat| boat.solve(Ask::ShaftSpeed(shafts[row])).ok())
            .map(|bound| bound.state)
            .collect();
        // Rows at which a good part of the boats has no state would be biased.
        (2 * states.len() > boats.len()).then(|| CurveRow {
            shaft_rev_s: shafts[row],
            speed: interval_of(states.iter().map(|s| s.speed_m_s)),
            power: interval_of(states.iter().map(|s| s.drive_power_w)),
        })
    });
    rows.into_iter().flatten().collect()
}
