//! Intervals over samples: from one answer for each sample to medians, 80 % bands, how often each limit
//! binds, and which inputs make a band wide. Not for: the answers themselves.

use super::answer::{Answers, Questions, SpeedAnswer, answer_prepared};
use super::beyond::{BeyondAt, BeyondRow, LONGEST_S, ReadyBeyond};
use super::figure::{FIGURE_COUNT, Figures, StateFigure};
use super::widths::{WidthShare, width_shares};
use crate::boat::{Boat, BoatSpec, Input};
use crate::hull::{FormKnown, ResiduaryMethod};
use crate::notice::Notice;
use crate::spread::{Interval, Sampler};
use crate::steady::{BoatError, LIMIT_COUNT, Limit, PreparedBoat, SteadyError, Taken, WattLadder};

/// What one sample contributes.
#[derive(Debug, Clone, PartialEq)]
pub struct SampleAnswer {
    /// Figures at full throttle.
    pub full: Figures,
    /// What binds there.
    pub limit: Limit,
    /// Speed at which the next limit would bind \[m/s\].
    pub next_speed_m_s: Option<f64>,
    /// Speed for some minutes; what she holds where heat does not bind \[m/s\].
    pub burst_m_s: Option<f64>,
    /// How far full throttle carries, where that is asked.
    pub full_carries: Option<SpeedSample>,
    /// Thrust against a quay \[N\].
    pub bollard_n: Option<f64>,
    /// Figures at each throttle position asked; `None` where the wind drives her back.
    pub at_throttles: Vec<Option<Figures>>,
    /// At each speed asked; `None` out of the method's range.
    pub at_speeds: Vec<Option<SpeedSample>>,
    /// Torque that the propeller asks at each shaft speed asked \[N m\].
    pub at_shafts_n_m: Vec<Option<f64>>,
}

/// What one sample contributes at one speed.
#[derive(Debug, Clone, PartialEq)]
pub struct SpeedSample {
    /// Figures of the state.
    pub figures: Figures,
    /// Seconds to the reserve; `None` when out of reach.
    pub duration_s: Option<f64>,
    /// With the sun, and after years.
    pub beyond: BeyondAt,
}

/// Answers the questions for sample number `sample`; `None` when that sample contradicts itself.
#[must_use]
pub fn sample_answer(
    spec: &BoatSpec,
    questions: &Questions,
    sampler: Sampler,
    sample: u64,
) -> Option<SampleAnswer> {
    let boat = spec.sample(sampler, sample);
    let prepared = PreparedBoat::new(&boat).ok()?.value;
    let answers = answer_prepared(&prepared, &boat, questions).ok()?;
    let beyond = ReadyBeyond::new(&boat, &questions.beyond, Some((sampler, sample)));
    Some(SampleAnswer {
        full: Figures::of(&prepared, &answers.full.held),
        limit: answers.full.held.limit,
        next_speed_m_s: answers.full.next.map(|next| next.state.speed_m_s),
        burst_m_s: Some(answers.full.burst.unwrap_or(answers.full.held).state.speed_m_s),
        full_carries: answers.full_carries.as_ref().map(|at| speed_sample(&prepared, &beyond, at, None)),
        bollard_n: answers.bollard.map(|b| b.thrust_n),
        at_throttles: answers
            .at_throttles
            .iter()
            .map(|at| Some(Figures::of(&prepared, at.as_ref().ok()?)))
            .collect(),
        at_speeds: answers
            .at_speeds
            .iter()
            .zip(&questions.speeds_m_s)
            .map(|(at, speed)| Some(speed_sample(&prepared, &beyond, at.as_ref().ok()?, Some(*speed))))
            .collect(),
        at_shafts_n_m: answers.at_shafts.iter().map(|at| Some(at.as_ref()?.shaft.torque_n_m)).collect(),
    })
}

fn speed_sample(
    prepared: &PreparedBoat,
    beyond: &ReadyBeyond<'_>,
    at: &SpeedAnswer,
    speed_m_s: Option<f64>,
) -> SpeedSample {
    SpeedSample {
        figures: Figures::of(prepared, &at.bound),
        duration_s: at.duration_s(),
        beyond: beyond.at(at, speed_m_s),
    }
}

/// What the propeller asks at one shaft speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DemandRow {
    /// Shaft speed \[rev/s\].
    pub shaft_rev_s: f64,
    /// Speed through the water of the boat as expected \[m/s\].
    pub speed_m_s: f64,
    /// Torque at the propeller \[N m\].
    pub torque_n_m: Interval,
}

/// One throttle position.
#[derive(Debug, Clone, PartialEq)]
pub struct ThrottleRow {
    /// Throttle, 0..1.
    pub throttle: f64,
    /// What binds there for the boat as expected: the throttle itself, or a limit that comes first.
    pub limit: Limit,
    /// Share of samples in which she makes way; the bands stand on these.
    pub share_ahead: f64,
    /// Each figure with its band, indexed by [`StateFigure`].
    pub figures: Vec<Interval>,
}

/// One speed, or full throttle.
#[derive(Debug, Clone, PartialEq)]
pub struct SpeedRow {
    /// Speed through the water \[m/s\].
    pub speed_m_s: f64,
    /// Full throttle: each sample at its own speed, the row's being the middle of them.
    pub is_full: bool,
    /// Share of samples in which she reaches it, and the bank holds it for a minute.
    pub share_in_reach: f64,
    /// Each figure with its band; empty beyond the method's range.
    pub figures: Vec<Interval>,
    /// Seconds to the reserve; `None` when fewer than half of the samples reach the speed.
    pub duration_s: Option<Interval>,
    /// Metres through the water to the reserve.
    pub distance_m: Option<Interval>,
    /// With the sun by day and after years, as far as asked.
    pub beyond: BeyondRow,
}

impl SpeedRow {
    /// A figure with its band.
    #[must_use]
    pub fn figure(&self, figure: StateFigure) -> Option<Interval> {
        self.figures.get(figure as usize).copied()
    }

    /// Metres to the reserve with the sun by day; infinite where sun and loads hold each other.
    #[must_use]
    pub fn with_sun_m(&self) -> Option<Interval> {
        let longest_m = LONGEST_S * self.speed_m_s * (1.0 - 1e-9);
        let endless = |m: f64| if m >= longest_m { f64::INFINITY } else { m };
        let Interval { value, p10, p90 } = self.beyond.with_sun_m?;
        Some(Interval { value: endless(value), p10: endless(p10), p90: endless(p90) })
    }

    /// True when it is asked at a whole half of a knot: a chart has more speeds than a table.
    #[must_use]
    pub fn is_half_knot(&self) -> bool {
        let halves = 2.0 * self.speed_m_s / wakewright_units::factors::KNOT_M_S;
        (halves - halves.round()).abs() < 1e-6
    }
}

/// A limit at full throttle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LimitRow {
    /// The limit.
    pub limit: Limit,
    /// Share of it that is used at full throttle.
    pub share_used: f64,
    /// Speed at which this limit alone would stop her \[m/s\]; `None` when it never does.
    pub alone_m_s: Option<f64>,
    /// Share of samples in which it is the one that binds.
    pub binds_in: f64,
}

/// What a rival residuary method gives in place of the one that is believed. Never averaged in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SecondOpinion {
    /// The rival.
    pub method: ResiduaryMethod,
    /// Its resistance at the speed found at full throttle \[N\].
    pub resistance_n: f64,
    /// Its speed at full throttle \[m/s\].
    pub speed_m_s: f64,
}

/// Everything that was found about a boat.
#[derive(Debug, Clone)]
pub struct Study {
    /// Of the boat as expected.
    pub answers: Answers,
    /// Remarks on the inputs and formulas.
    pub notices: Vec<Notice>,
    /// The boat as expected.
    pub boat: Boat,
    /// Standing load as stated, or as is usual \[W\].
    pub standing_load_w: f64,
    /// The same, ready for more questions.
    pub prepared: Box<PreparedBoat>,
    /// Each figure at full throttle with its band, indexed by [`StateFigure`].
    pub full: Vec<Interval>,
    /// The limits that are used at all at full throttle, in the order in which they would stop her.
    pub limits: Vec<LimitRow>,
    /// Speed at which the next limit would bind.
    pub next_speed_m_s: Option<Interval>,
    /// Speed for some minutes, where heat binds for hours.
    pub burst_m_s: Option<Interval>,
    /// Thrust against a quay.
    pub bollard_n: Option<Interval>,
    /// Where each watt goes at full throttle.
    pub ladder: WattLadder,
    /// What the rival methods for the hull's waves say; none for a towed hull.
    pub second_opinions: Vec<SecondOpinion>,
    /// One row for each throttle position asked at which she makes way as expected.
    pub throttles: Vec<ThrottleRow>,
    /// The other throttle positions asked, each with why she makes no way there.
    pub throttles_without_way: Vec<(f64, SteadyError)>,
    /// One row for each speed asked and, where that is asked, for full throttle, slowest first.
    pub speeds: Vec<SpeedRow>,
    /// What was asked.
    pub questions: Questions,
    /// What the propeller asks at each shaft speed asked, where she runs steadily as expected.
    pub demand: Vec<DemandRow>,
    /// Samples taken, and those without an answer.
    pub samples: Taken,
    /// What makes the top speed's band wide, largest first.
    pub width_of_speed: Vec<WidthShare>,
    deviates: Vec<Vec<f64>>,
    full_samples: Vec<Figures>,
    inputs: Vec<Input>,
}

impl Study {
    /// A figure at full throttle with its band.
    #[must_use]
    pub fn at_full(&self, figure: StateFigure) -> Interval {
        self.full[figure as usize]
    }

    /// The speed that a finding tells of: that which is asked for, or the nearest to it in reach; else one in
    /// the middle of the half knots in reach.
    #[must_use]
    pub fn finding_row(&self) -> Option<&SpeedRow> {
        let reached: Vec<&SpeedRow> = self.speeds.iter().filter(|row| row.distance_m.is_some()).collect();
        let Some(asked_m_s) = self.questions.finding_speed_m_s else {
            let halves: Vec<&SpeedRow> = reached.iter().copied().filter(|row| row.is_half_knot()).collect();
            return halves.iter().rev().nth(halves.len() / 2).or(halves.first()).or(reached.first()).copied();
        };
        let far = |row: &SpeedRow| (row.speed_m_s - asked_m_s).abs();
        reached.into_iter().min_by(|a, b| far(a).total_cmp(&far(b)))
    }

    /// What makes the band of `figure` at full throttle wide, largest first.
    #[must_use]
    pub fn width_of(&self, figure: StateFigure) -> Vec<WidthShare> {
        let outputs: Vec<f64> = self.full_samples.iter().map(|f| f.get(figure)).collect();
        width_shares(&self.inputs, &self.deviates, &outputs)
    }
}

/// Puts the answers of all samples together. `samples[i]` must be the answer of sample `i`.
/// # Errors
/// [`BoatError`] when the boat as expected has no answer.
pub fn summarise(
    spec: &BoatSpec,
    questions: &Questions,
    sampler: Sampler,
    samples: &[Option<SampleAnswer>],
) -> Result<Study, BoatError> {
    let prepared = PreparedBoat::new(&spec.boat)?;
    let mut notices = spec.boat.drive_cautions();
    notices.extend(prepared.notices);
    notices.extend(spec.notices());
    let prepared = prepared.value;
    let answers = answer_prepared(&prepared, &spec.boat, questions)?;
    let good: Vec<(u64, &SampleAnswer)> =
        samples.iter().enumerate().filter_map(|(i, s)| Some((i as u64, s.as_ref()?))).collect();

    let full = intervals(&Figures::of(&prepared, &answers.full.held), good.iter().map(|(_, s)| &s.full));
    let mut binds = [0; LIMIT_COUNT];
    for (_, sample) in &good {
        binds[sample.limit as usize] += 1;
    }
    let binds = binds.map(|count| share(count, good.len()));
    // Told where the boat as expected has it: her balance and her words go together.
    let band = |central: Option<f64>, of: fn(&SampleAnswer) -> Option<f64>| {
        Some(Interval::over_or(central?, &mut good.iter().filter_map(|(_, s)| of(s)).collect()))
    };
    let next_speed_m_s = band(answers.full.next.map(|next| next.state.speed_m_s), |s| s.next_speed_m_s);
    let burst_m_s = band(answers.full.burst.map(|burst| burst.state.speed_m_s), |s| s.burst_m_s);
    let bollard_n = band(answers.bollard.map(|b| b.thrust_n), |s| s.bollard_n);
    let held = &answers.full.held.state;
    let parts = prepared.hull().breakdown(held.speed_m_s)?;
    let ladder = WattLadder::new(held, prepared.bank().open_circuit_v, &parts);
    let mut throttles = Vec::with_capacity(questions.throttles.len());
    let mut throttles_without_way = Vec::new();
    for (i, (&throttle, at)) in questions.throttles.iter().zip(&answers.at_throttles).enumerate() {
        let bound = match at {
            Ok(bound) => bound,
            Err(error) => {
                throttles_without_way.push((throttle, error.clone()));
                continue;
            }
        };
        let ahead: Vec<&Figures> = good.iter().filter_map(|(_, s)| s.at_throttles[i].as_ref()).collect();
        throttles.push(ThrottleRow {
            throttle,
            limit: bound.limit,
            share_ahead: share(ahead.len(), good.len()),
            figures: intervals(&Figures::of(&prepared, bound), ahead.iter().copied()),
        });
    }
    let beyond = ReadyBeyond::new(&spec.boat, &questions.beyond, None);
    let row = |(central, speed_m_s): (Option<&SpeedAnswer>, Option<f64>),
               of: &dyn Fn(&SampleAnswer) -> Option<&SpeedSample>| {
        let sampled: Vec<&SpeedSample> = good.iter().filter_map(|(_, s)| of(s)).collect();
        let central = central.map(|at| speed_sample(&prepared, &beyond, at, speed_m_s));
        speed_row(central.as_ref(), sampled, good.len())
    };
    let asked = questions.speeds_m_s.iter().enumerate().map(|(i, &speed_m_s)| SpeedRow {
        speed_m_s,
        ..row((answers.at_speeds[i].as_ref().ok(), Some(speed_m_s)), &|s| s.at_speeds[i].as_ref())
    });
    let mut speeds: Vec<SpeedRow> = asked.collect();
    speeds.extend(answers.full_carries.as_ref().map(|at| SpeedRow {
        speed_m_s: full[StateFigure::Speed as usize].value,
        is_full: true,
        ..row((Some(at), None), &|s| s.full_carries.as_ref())
    }));
    speeds.sort_by(|a, b| a.speed_m_s.total_cmp(&b.speed_m_s));

    let inputs: Vec<Input> = spec.uncertain.iter().map(|u| u.input).collect();
    let deviates: Vec<Vec<f64>> = inputs
        .iter()
        .map(|&input| good.iter().map(|(i, _)| spec.deviate(input, sampler, *i)).collect())
        .collect();
    let full_samples: Vec<Figures> = good.iter().map(|(_, s)| s.full).collect();
    let speeds_of_samples: Vec<f64> = full_samples.iter().map(|f| f.get(StateFigure::Speed)).collect();
    let width_of_speed = width_shares(&inputs, &deviates, &speeds_of_samples);
    Ok(Study {
        full,
        limits: limit_rows(&prepared, &answers, &binds),
        next_speed_m_s,
        burst_m_s,
        bollard_n,
        ladder,
        questions: questions.clone(),
        boat: spec.boat.clone(),
        standing_load_w: spec.standing_load_w(),
        second_opinions: second_opinions(spec, held.speed_m_s),
        throttles,
        throttles_without_way,
        speeds,
        demand: demand_rows(&answers, &good),
        samples: Taken::of(samples, |i| spec.sample(sampler, i)),
        width_of_speed,
        deviates,
        full_samples,
        inputs,
        answers,
        notices,
        prepared: Box::new(prepared),
    })
}

fn second_opinions(spec: &BoatSpec, speed_m_s: f64) -> Vec<SecondOpinion> {
    // The Delft fits have nothing to say of a full hull.
    if spec.boat.towed.is_some() || spec.boat.residuary_method == ResiduaryMethod::HoltropMennen {
        return Vec::new();
    }
    [
        ResiduaryMethod::KeuningSonnenberg1998,
        ResiduaryMethod::KeuningKatgert2008,
        ResiduaryMethod::Gerritsma1992,
        ResiduaryMethod::OwnFit(FormKnown::of(&spec.boat.form)),
    ]
    .into_iter()
    .filter(|&method| method != spec.boat.residuary_method)
    .filter_map(|method| {
        let rival = PreparedBoat::new(&Boat { residuary_method: method, ..spec.boat.clone() }).ok()?.value;
        let full = rival.full_throttle().ok()?;
        Some(SecondOpinion {
            method,
            resistance_n: rival.hull().resistance_n(speed_m_s),
            speed_m_s: full.held.state.speed_m_s,
        })
    })
    .collect()
}

fn limit_rows(prepared: &PreparedBoat, answers: &Answers, binds: &[f64; LIMIT_COUNT]) -> Vec<LimitRow> {
    let held = &answers.full.held;
    let mut rows: Vec<LimitRow> = Limit::ALL
        .into_iter()
        .filter(|&limit| held.usage[limit as usize] > 0.0)
        .map(|limit| {
            let alone = prepared.solve_limited(1.0, |other| other == limit).ok();
            LimitRow {
                limit,
                share_used: held.usage[limit as usize],
                alone_m_s: alone.filter(|bound| bound.limit == limit).map(|bound| bound.state.speed_m_s),
                binds_in: binds[limit as usize],
            }
        })
        .collect();
    let reach = |row: &LimitRow| row.alone_m_s.unwrap_or(f64::INFINITY);
    rows.sort_by(|a, b| reach(a).total_cmp(&reach(b)).then(b.share_used.total_cmp(&a.share_used)));
    rows
}

fn demand_rows(answers: &Answers, good: &[(u64, &SampleAnswer)]) -> Vec<DemandRow> {
    let rows = answers.at_shafts.iter().enumerate().filter_map(|(i, central)| {
        let central = central.as_ref()?;
        let mut values = good.iter().filter_map(|(_, s)| s.at_shafts_n_m[i]).collect();
        Some(DemandRow {
            shaft_rev_s: central.shaft.shaft_rev_s,
            speed_m_s: central.speed_m_s,
            torque_n_m: Interval::over_or(central.shaft.torque_n_m, &mut values),
        })
    });
    rows.collect()
}

/// `central` and `sampled` at one speed; `asked` samples in all.
fn speed_row(central: Option<&SpeedSample>, mut sampled: Vec<&SpeedSample>, asked: usize) -> SpeedRow {
    let in_reach = sampled.iter().filter(|s| s.duration_s.is_some()).count();
    let share_in_reach = share(in_reach, asked);
    let is_told =
        if asked == 0 { central.is_some_and(|s| s.duration_s.is_some()) } else { 2 * in_reach >= asked };
    // Where miles are given, all bands of a row stand on the same samples, those in which she reaches the
    // speed: a band of watts over all and one of miles over some would contradict each other.
    if is_told {
        sampled.retain(|s| s.duration_s.is_some());
    }
    let band = |of: &dyn Fn(&SpeedSample) -> Option<f64>| {
        let mut values: Vec<f64> = sampled.iter().filter_map(|s| of(s)).collect();
        let middle = Interval::over(&mut values).or_else(|| Some(Interval::exact(of(central?)?)));
        middle.filter(|_| is_told)
    };
    SpeedRow {
        speed_m_s: 0.0,
        is_full: false,
        share_in_reach,
        figures: central
            .map_or_else(Vec::new, |at| intervals(&at.figures, sampled.iter().map(|s| &s.figures))),
        duration_s: band(&|s| s.duration_s),
        distance_m: band(&|s| Some(s.duration_s? * s.figures.get(StateFigure::Speed))),
        beyond: BeyondRow::over(&|of| band(&|s| of(&s.beyond))),
    }
}

fn share(part: usize, whole: usize) -> f64 {
    if whole == 0 { 0.0 } else { part as f64 / whole as f64 }
}

fn intervals<'a>(central: &Figures, samples: impl Iterator<Item = &'a Figures> + Clone) -> Vec<Interval> {
    let mut values = Vec::new();
    let mut found = Vec::with_capacity(FIGURE_COUNT);
    for &figure in StateFigure::ALL {
        values.clear();
        values.extend(samples.clone().map(|f| f.get(figure)));
        found.push(Interval::over_or(central.get(figure), &mut values));
    }
    found
}
