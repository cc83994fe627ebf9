//! Variants side by side: each measure with its band, and each difference with a band of its own,
//! taken sample by sample. Not for: wording, sampling in parallel.

use super::measure::{Measure, index_at_full, measures};
use super::sampling::{Found, VariantSample};
use super::shaft_power::{PowerByVolts, power_by_volts};
use super::variant::{About, Variant};
use super::{Floating, MassMove};
use crate::notice::{Notice, Severity, push_once};
use crate::practice::{Finding, forbidden};
use crate::propeller::PropellerChange;
use crate::sheet::{Better, Figure};
use crate::spread::{Interval, Sampler};
use crate::steady::{BoatError, FullThrottle, Limit, PreparedBoat, Taken};
use crate::study::StateFigure;

/// Share of the samples in which something must be better to be called better: then the 80 % band of the
/// difference does not hold zero.
pub const SURE_SHARE: f64 = 0.9;

/// How far one value lies above another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difference {
    /// Middle and band of the differences sample by sample.
    pub interval: Interval,
    /// Share of the samples in which it is above zero; equal samples count half.
    pub above_in: f64,
}

/// What a difference means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Surely better.
    Better,
    /// Surely worse.
    Worse,
    /// Surely more or less, where neither is better by itself.
    Differs,
    /// Within what is not known.
    Noise,
    /// The same in every sample.
    Same,
}

impl Difference {
    /// `None` where fewer than half of `asked` samples have both.
    fn between(samples: impl Iterator<Item = (f64, f64)>, asked: usize) -> Option<Self> {
        let mut gaps: Vec<f64> = samples.map(|(a, b)| a - b).collect();
        let interval = Interval::of_most(&mut gaps, asked)?;
        let above: f64 = gaps.iter().map(|gap| if *gap == 0.0 { 0.5 } else { f64::from(*gap > 0.0) }).sum();
        let above_in = above / gaps.len() as f64;
        Some(Self { interval, above_in })
    }

    /// What it means for a measure of which `better` is better.
    #[must_use]
    pub fn verdict(&self, better: Better) -> Verdict {
        let Interval { value, p10, p90 } = self.interval;
        if value == 0.0 && p10 == 0.0 && p90 == 0.0 {
            return Verdict::Same;
        }
        let is_more = self.above_in >= SURE_SHARE;
        let is_less = self.above_in <= 1.0 - SURE_SHARE;
        match (better, is_more, is_less) {
            (_, false, false) => Verdict::Noise,
            (Better::Neither, ..) => Verdict::Differs,
            (Better::More, true, _) | (Better::Less, _, true) => Verdict::Better,
            _ => Verdict::Worse,
        }
    }

    /// Share of the samples in which it is better.
    #[must_use]
    pub fn better_in(&self, better: Better) -> f64 {
        if better == Better::Less { 1.0 - self.above_in } else { self.above_in }
    }
}

/// A boat among those that are laid side by side.
#[derive(Debug, Clone)]
pub struct Laid {
    /// Its name.
    pub name: String,
    /// Full throttle, as expected.
    pub full: FullThrottle,
    /// Limits that bind at full throttle with the share of samples in which they do, most frequent first.
    pub binds_in: Vec<(Limit, f64)>,
    /// One for each measure; `None` where fewer than half of the samples have one.
    pub values: Vec<Option<Interval>>,
    /// Against the boat as she is, one for each measure; empty for the boat as she is.
    pub differences: Vec<Option<Difference>>,
    /// Share of samples in which each speed asked is in reach.
    pub in_reach: Vec<f64>,
    /// What its masses do; `None` when the hull cannot be completed.
    pub floating: Option<Floating>,
    /// What is done to the propeller.
    pub work: PropellerChange,
    /// How the boat as she is would take the power of this one's shaft by volts alone; where the propeller changes.
    pub same_power: Option<PowerByVolts>,
    /// What must not be so of it: it is best for nothing.
    pub forbidden: Vec<Finding>,
    /// Highest voltage of its bank while it is charged \[V\].
    pub highest_charging_v: f64,
    /// What was written down about it.
    pub about: About,
    /// What comes aboard or leaves her.
    pub masses: Vec<MassMove>,
    /// Samples taken, and those without an answer.
    pub taken: Taken,
    /// As expected, ready for more questions.
    pub prepared: Box<PreparedBoat>,
    samples: Vec<Option<VariantSample>>,
}

impl Laid {
    /// The middle of a figure at full throttle that is laid side by side.
    #[must_use]
    pub fn at_full(&self, figure: StateFigure) -> Option<f64> {
        self.values.get(index_at_full(figure)?)?.map(|interval| interval.value)
    }
}

/// All of them.
#[derive(Debug, Clone)]
pub struct Comparison {
    /// What is compared.
    pub measures: Vec<Measure>,
    /// Speeds asked \[m/s\].
    pub speeds_m_s: Vec<f64>,
    /// The boat as she is, then the alternatives.
    pub columns: Vec<Laid>,
    /// Remarks on the inputs and formulas of any; those that differ in their figures only stand once.
    pub notices: Vec<Notice>,
}

impl Comparison {
    /// How far measure number `measure` of column `a` lies above that of column `b`.
    #[must_use]
    pub fn difference(&self, a: usize, b: usize, measure: usize) -> Option<Difference> {
        difference(self.columns.get(a)?, self.columns.get(b)?, measure)
    }

    /// Number of the measure of `figure` at full throttle or at a speed.
    #[must_use]
    pub fn index_of(&self, figure: &Figure, speed: Option<usize>) -> Option<usize> {
        self.measures.iter().position(|measure| measure.is(figure, speed))
    }
}

fn difference(a: &Laid, b: &Laid, measure: usize) -> Option<Difference> {
    let pairs = a.samples.iter().zip(&b.samples);
    let samples = pairs.filter_map(|(a, b)| a.as_ref()?.values[measure].zip(b.as_ref()?.values[measure]));
    Difference::between(
        samples,
        a.samples.iter().zip(&b.samples).filter(|(a, b)| a.is_some() && b.is_some()).count(),
    )
}

/// Puts all samples of all variants together: `samples[v][i]` must be sample `i` of variant `v`, and
/// variant 0 the boat as she is.
/// # Errors
/// [`BoatError`] with the number of the variant that has no answer as expected.
pub fn compare(
    variants: &[Variant],
    speeds_m_s: &[f64],
    sampler: Sampler,
    samples: Vec<Vec<Option<VariantSample>>>,
) -> Result<Comparison, (usize, BoatError)> {
    let measures = measures(speeds_m_s.len());
    let mut columns: Vec<Laid> = Vec::with_capacity(variants.len());
    let mut notices: Vec<Notice> = Vec::new();
    for (i, (variant, samples)) in variants.iter().zip(samples).enumerate() {
        let (mut column, remarks) = laid(&variants[0], variant, &measures, speeds_m_s, sampler, samples)
            .map_err(|error| (i, error))?;
        for notice in remarks {
            if !notices.iter().any(|other| other.is_alike(&notice)) {
                notices.push(notice);
            }
        }
        if let Some(base) = columns.first() {
            if column.work != PropellerChange::None {
                column.same_power =
                    power_by_volts(&base.prepared, column.full.held.state.delivered_power_w());
            }
            column.differences = (0..measures.len()).map(|m| difference(&column, base, m)).collect();
        }
        columns.push(column);
    }
    if variants.iter().skip(1).any(|variant| forgets_mass(&variants[0], variant)) {
        push_once(&mut notices, MASS_NOT_TOLD);
    }
    Ok(Comparison { measures, speeds_m_s: speeds_m_s.to_vec(), columns, notices })
}

const MASS_NOT_TOLD: Notice = Notice::Remark {
    severity: Severity::Weak,
    text: "An alternative changes packs or motor and tells no mass: she floats as she is, and a heavier one is slower than its figures. \
           Give the masses that come aboard and leave her ([[mass]] with the alternative's name).",
    source: "common practice, no source",
};

/// True where packs or motor are others than as she is, and neither masses nor another displacement are told.
fn forgets_mass(base: &Variant, variant: &Variant) -> bool {
    /// A difference of pack or motor that is worth a word, as a share.
    const WORTH_A_WORD: f64 = 0.1;
    let energy = |variant: &Variant| -> f64 {
        let groups = variant.spec.boat.bank.groups.iter();
        groups.map(|group| group.aged_capacity_coulomb() * group.nominal_voltage_v()).sum()
    };
    let differs = |of: fn(&Variant) -> f64| (of(variant) / of(base) - 1.0).abs() > WORTH_A_WORD;
    let is_other = (energy(variant) / energy(base) - 1.0).abs() > WORTH_A_WORD
        || differs(|variant| variant.spec.boat.motor.rated_power_w);
    is_other && variant.masses.is_empty() && !differs(|variant| variant.spec.boat.form.displacement_kg)
}

fn laid(
    base: &Variant,
    variant: &Variant,
    measures: &[Measure],
    speeds_m_s: &[f64],
    sampler: Sampler,
    samples: Vec<Option<VariantSample>>,
) -> Result<(Laid, Vec<Notice>), BoatError> {
    let boat = &variant.spec.boat;
    let prepared = PreparedBoat::new(boat)?;
    let found = Found::of(variant, boat, &prepared.value, speeds_m_s, 1.0)?;
    let good: Vec<&VariantSample> = samples.iter().flatten().collect();
    let values = found.values(measures).into_iter().enumerate().map(|(m, central)| {
        let mut values: Vec<f64> = good.iter().filter_map(|sample| sample.values[m]).collect();
        if good.is_empty() {
            central.map(Interval::exact)
        } else {
            Interval::of_most(&mut values, good.len())
        }
    });
    let share = |count: usize| if good.is_empty() { 0.0 } else { count as f64 / good.len() as f64 };
    let mut binds_in: Vec<(Limit, f64)> = Limit::ALL
        .into_iter()
        .map(|limit| (limit, share(good.iter().filter(|sample| sample.limit == limit).count())))
        .filter(|(_, share)| *share > 0.0)
        .collect();
    binds_in.sort_by(|a, b| b.1.total_cmp(&a.1));
    let in_reach = (0..speeds_m_s.len())
        .map(|i| {
            let power = measures.iter().position(|measure| measure.speed == Some(i));
            let reached = |sample: &&&VariantSample| power.is_some_and(|m| sample.values[m].is_some());
            share(good.iter().filter(reached).count())
        })
        .collect();
    let notices = boat.drive_cautions().into_iter().chain(prepared.notices).collect();
    let laid = Laid {
        name: variant.name.clone(),
        full: found.answers.full,
        binds_in,
        values: values.collect(),
        differences: Vec::new(),
        in_reach,
        floating: found.floating,
        work: PropellerChange::between(&base.spec.boat.propeller, &variant.spec.boat.propeller),
        same_power: None,
        forbidden: forbidden(boat, &variant.spec.fittings, &prepared.value, &found.answers.full.held.state),
        highest_charging_v: boat.bank.highest_charging_v(),
        about: variant.about.clone(),
        masses: variant.masses.clone(),
        taken: Taken::of(&samples, |i| variant.spec.sample_by(|input| variant.deviate(input, sampler, i))),
        prepared: Box::new(prepared.value),
        samples,
    };
    Ok((laid, notices))
}
