//! Bands of every reading over the samples, readings held against them, and the parts that explain them in order.
//! Not for: one boat's readings (`predict`), words.

use nalgebra::{Cholesky, DMatrix, DVector};

use super::point::{FLAGS, INSULATION_OHM_V, Instrument, POINTS, Point, PointKey};
use super::predict::{COUNT, Predicted, ReadyHarness, predict};
use super::suspect::{Suspect, standing_still};
use crate::boat::BoatSpec;
use crate::causes::Workers;
use crate::notice::Notice;
use crate::spread::{DEVIATE_P90, Interval, Sampler, name_number, quantiles};
use crate::steady::{Ask, PreparedBoat, Taken};
use crate::wiring::Verdict;

/// What was read.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct CommissionAsked {
    /// Readings in the order of the list, SI.
    pub points: [Option<f64>; COUNT],
    /// Volts over cables, by their places \[V\].
    pub drops_v: Vec<(usize, f64)>,
    /// What is so or not, in the order of their list.
    pub flags: [Option<bool>; FLAGS.len()],
    /// The worse pole against hull and water \[ohm\].
    pub insulation_ohm: Option<f64>,
}

/// A reading with what it should be.
#[derive(Debug, Clone)]
pub struct PointRow {
    /// Which.
    pub point: &'static Point,
    /// Between which limits it should lie, the instrument's own error in it; `None` where that cannot be told.
    pub expected: Option<Interval>,
    /// What was read.
    pub read: Option<f64>,
    /// What came of it; `None` before it is read.
    pub verdict: Option<Verdict>,
}

/// Volts over a run.
#[derive(Debug, Clone)]
pub struct DropRow {
    /// Place of its cable.
    pub cable: usize,
    /// Name of it.
    pub name: String,
    /// Between which limits it should lie \[V\].
    pub expected: Option<Interval>,
    /// What was read \[V\].
    pub read: Option<f64>,
    /// What came of it.
    pub verdict: Option<Verdict>,
}

/// Something that is so or not.
#[derive(Debug, Clone)]
pub struct FlagRow {
    /// Stable name.
    pub key: &'static str,
    /// What is done.
    pub to_do: &'static str,
    /// What came of it; `None` before it is tried.
    pub verdict: Option<Verdict>,
}

/// A part that may explain it.
#[derive(Debug, Clone)]
pub struct SuspectRow {
    /// Which; `None` for none of these.
    pub suspect: Option<Suspect>,
    /// In words.
    pub words: String,
    /// How likely, of all.
    pub share: f64,
}

/// A row of the card for the trial afloat.
#[derive(Debug, Clone)]
pub struct CardRow {
    /// Lever full, or this share of that speed.
    pub at: &'static str,
    /// Through the water \[m/s\].
    pub speed_m_s: Interval,
    /// Shaft \[rev/s\].
    pub shaft_rev_s: Interval,
    /// Out of the bank \[A\].
    pub bank_a: Interval,
    /// At the controller \[V\].
    pub bank_v: Interval,
}

/// What was found.
#[derive(Debug, Clone)]
pub struct CommissionStudy {
    /// What was read.
    pub asked: CommissionAsked,
    /// Readings.
    pub points: Vec<PointRow>,
    /// Runs.
    pub drops: Vec<DropRow>,
    /// What is so or not.
    pub flags: Vec<FlagRow>,
    /// Least insulation that passes \[ohm\].
    pub insulation_ohm: f64,
    /// What came of the insulation.
    pub insulation: Option<Verdict>,
    /// Parts that may explain what was read, the likeliest first; empty before anything was read.
    pub suspects: Vec<SuspectRow>,
    /// The card.
    pub card: Vec<CardRow>,
    /// Samples behind the bands, and those without an answer.
    pub taken: Taken,
    /// What to read first.
    pub notices: Vec<Notice>,
}

/// Of a drop: a meter of millivolts.
pub const DROP_METER: Instrument = Instrument { share: 0.02, amount: 0.5e-3 };
/// Samples of each part that may explain.
const OF_SUSPECT: usize = 160;
/// A reading beyond its limits by up to this share of half of them is read again before it fails: the 98 % band of a normal one.
const AGAIN: f64 = 0.82;
/// Weight of what is in no list, and how much wider its readings lie; own estimates, no source.
const STRANGE: f64 = 0.02;
const STRANGE_WIDER: f64 = 4.0;

impl CommissionStudy {
    /// The study of `spec`; `None` where not one sample of her can be prepared.
    #[must_use]
    pub fn of(
        spec: &BoatSpec,
        harness: &ReadyHarness,
        asked: CommissionAsked,
        sampler: Sampler,
        samples: usize,
        workers: &impl Workers,
    ) -> Option<Self> {
        let of = |suspect: Suspect, sample: u64| {
            let (boat, tied) = suspect.apply(spec.sample(sampler, sample), harness, sampler, sample);
            let found = predict(&boat, harness, &tied)?;
            Some(match suspect {
                Suspect::Misread(misreading) => {
                    let dice = sampler.uniform(name_number("suspect.meter"), sample);
                    misreading.notes(found, f64::from(spec.boat.drives.running), dice)
                }
                Suspect::StandsStill => standing_still(found),
                _ => found,
            })
        };
        let found: Vec<Option<(Predicted, Afloat)>> = workers.map(samples, |i| {
            let afloat = card(spec, sampler, i as u64);
            Some((of(Suspect::Sound, i as u64)?, afloat))
        });
        let sound: Vec<&(Predicted, _)> = found.iter().flatten().collect();
        if sound.is_empty() {
            return None;
        }
        let noise = |name: &str, i: usize| sampler.deviate(name_number(name), i as u64) / DEVIATE_P90;
        let band = |name: &str, instrument: Instrument, values: &mut dyn Iterator<Item = Option<f64>>| {
            let mut read: Vec<f64> = values
                .enumerate()
                .filter_map(|(i, value)| {
                    value.map(|value| value + instrument.half_band(value) * noise(name, i))
                })
                .filter(|value| value.is_finite())
                .collect();
            // A reading that half of her samples do not have is not told.
            (2 * read.len() > sound.len()).then(|| quantiles(&mut read)).flatten().map(interval)
        };
        // In a leg there is no coupling to open, and nobody sees the shaft.
        let is_shut = spec.fittings.is_on_a_leg;
        let points: Vec<PointRow> = POINTS
            .iter()
            .enumerate()
            .map(|(place, point)| {
                let told = (!is_shut || !point.is_of_open_line)
                    .then(|| {
                        band(point.key, point.instrument, &mut sound.iter().map(|(p, _)| p.points[place]))
                    })
                    .flatten();
                let expected =
                    if place == PointKey::Rest as usize { told.map(|told| rest(spec, told)) } else { told };
                let read = asked.points[place];
                PointRow { point, expected, read, verdict: read.map(|read| judged(expected, read)) }
            })
            .collect();
        let drops: Vec<DropRow> = harness
            .runs()
            .map(|cable| {
                let name = harness.harness.cables[cable].name.clone();
                let expected = band(&name, DROP_METER, &mut sound.iter().map(|(p, _)| p.drops_v[cable]));
                let read = asked.drops_v.iter().find(|(place, _)| *place == cable).map(|(_, volts)| *volts);
                // Less than expected over a run is no fault of it.
                let within = expected.map(|one| Interval { p10: 0.0, ..one });
                DropRow { cable, name, expected, read, verdict: read.map(|read| judged(within, read)) }
            })
            .collect();
        let flags = FLAGS
            .iter()
            .zip(asked.flags)
            .map(|(flag, said)| FlagRow {
                key: flag.key,
                to_do: flag.to_do,
                verdict: said.map(|said| Verdict::of(Some(said))),
            })
            .collect();
        let highest_v = spec.boat.bank.highest_charging_v();
        let insulation = asked.insulation_ohm.map(|ohm| match ohm / highest_v {
            enough if enough >= INSULATION_OHM_V[0] => Verdict::Passes,
            little if little < INSULATION_OHM_V[1] => Verdict::Fails,
            _ => Verdict::CannotTell,
        });
        let is_read =
            asked.points.iter().any(Option::is_some) || !asked.drops_v.is_empty() || asked.flags[0].is_some();
        let suspects = if is_read { suspects(spec, harness, &asked, &of, workers) } else { Vec::new() };
        let row = |which: usize, at: &'static str| {
            let column = |place: usize| {
                let mut values: Vec<f64> = sound
                    .iter()
                    .filter_map(|(_, card)| Some(card[which]?[place]))
                    .filter(|value| value.is_finite())
                    .collect();
                quantiles(&mut values).map(interval)
            };
            Some(CardRow {
                at,
                speed_m_s: column(0)?,
                shaft_rev_s: column(1)?,
                bank_a: column(2)?,
                bank_v: column(3)?,
            })
        };
        Some(Self {
            card: [row(1, "70 % of it"), row(0, "lever full")].into_iter().flatten().collect(),
            taken: Taken::of(&found, |sample| spec.sample(sampler, sample)),
            points,
            drops,
            flags,
            insulation_ohm: INSULATION_OHM_V[0] * highest_v,
            insulation,
            suspects,
            notices: crate::caution::of_commissioning(),
            asked,
        })
    }

    /// What must be right before she turns under power again and is not: insulation, direction, neutral, interlocks, stop.
    #[must_use]
    pub fn unsafe_readings(&self) -> Vec<&'static str> {
        let flags = self.flags.iter().filter(|row| row.verdict == Some(Verdict::Fails)).map(|row| row.key);
        flags.chain((self.insulation == Some(Verdict::Fails)).then_some("insulation")).collect()
    }

    /// A joint that may well be about to burn: it is told before all else.
    #[must_use]
    pub fn burning(&self) -> Option<&SuspectRow> {
        const LIKELY: f64 = 0.3;
        let is_burnt = |row: &&SuspectRow| matches!(row.suspect, Some(Suspect::BurntJoint(_)));
        self.suspects.iter().find(|row| is_burnt(row) && row.share >= LIKELY)
    }

    /// How many readings came out so.
    #[must_use]
    pub fn count(&self, verdict: Verdict) -> usize {
        let all = self.points.iter().map(|row| row.verdict).chain(self.drops.iter().map(|row| row.verdict));
        let all = all.chain(self.flags.iter().map(|row| row.verdict)).chain([self.insulation]);
        all.filter(|one| *one == Some(verdict)).count()
    }
}

/// Speed, shaft, amps and volts of one sample afloat, lever full and slower.
type Afloat = [Option<[f64; 4]>; 2];

fn interval(spread: crate::spread::Spread) -> Interval {
    Interval { value: spread.median, p10: spread.p10, p90: spread.p90 }
}

/// Volts at rest: as the charge is stated, and where the chemistry is flat no narrower than from nearly empty to full, since nobody
/// reads a charge off them.
fn rest(spec: &BoatSpec, told: Interval) -> Interval {
    let bank = &spec.boat.bank;
    let is_flat = bank.groups.iter().any(|group| group.chemistry == crate::battery::Chemistry::Lfp);
    match bank.groups.first().filter(|_| is_flat) {
        Some(group) => Interval {
            value: told.value,
            p10: told.p10.min(group.rest_v(0.2)),
            p90: told.p90.max(group.rest_v(1.0)),
        },
        None => told,
    }
}

fn judged(expected: Option<Interval>, read: f64) -> Verdict {
    let Some(band) = expected else { return Verdict::CannotTell };
    let off = (band.p10 - read).max(read - band.p90);
    match off {
        inside if inside <= 0.0 => Verdict::Passes,
        near if near <= AGAIN * 0.5 * (band.p90 - band.p10) => Verdict::CannotTell,
        _ => Verdict::Fails,
    }
}

/// Speed, shaft, amps and volts at full lever afloat and at seven tenths of that speed.
fn card(spec: &BoatSpec, sampler: Sampler, sample: u64) -> Afloat {
    const SLOWER: f64 = 0.7;
    let of = |state: &crate::steady::State| [state.speed_m_s, state.shaft_rev_s, state.bank_a, state.bank_v];
    let Ok(prepared) = PreparedBoat::new(&spec.sample(sampler, sample)) else { return [None, None] };
    let Ok(full) = prepared.value.full_throttle() else { return [None, None] };
    let slower = prepared.value.solve(Ask::Speed(SLOWER * full.held.state.speed_m_s)).ok();
    [Some(of(&full.held.state)), slower.map(|bound| of(&bound.state))]
}

/// Each part by how well its samples explain the readings together: a normal distribution of the readings over them.
fn suspects<W: Workers>(
    spec: &BoatSpec,
    harness: &ReadyHarness,
    asked: &CommissionAsked,
    of: &(impl Fn(Suspect, u64) -> Option<Predicted> + Sync),
    workers: &W,
) -> Vec<SuspectRow> {
    let runs = harness.runs().count();
    let read: Vec<(f64, f64)> = readings(asked);
    let weigh = |suspect: Suspect| -> Option<(f64, f64)> {
        let rows: Vec<Option<Vec<f64>>> = workers.map(OF_SUSPECT, |i| values(asked, &of(suspect, i as u64)?));
        let rows: Vec<Vec<f64>> = rows.into_iter().flatten().collect();
        let wrong = suspect.turns_wrong();
        let said = asked.flags[0].map_or(1.0, |is_right| if is_right { 1.0 - wrong } else { wrong });
        let (log, distance) = log_likelihood(&rows, &read, 1.0)?;
        let explains = said.ln() + if distance <= farthest(read.len()) { log } else { f64::NEG_INFINITY };
        Some((explains, log_likelihood(&rows, &read, STRANGE_WIDER)?.0))
    };
    let mut found: Vec<(Option<Suspect>, f64)> = Vec::new();
    for suspect in Suspect::all(spec, harness) {
        let Some((log, wide)) = weigh(suspect) else { continue };
        found.push((Some(suspect), suspect.prior(runs).ln() + log));
        if suspect == Suspect::Sound {
            let unsure = if asked.flags[0].is_some() { 0.5_f64.ln() } else { 0.0 };
            found.push((None, STRANGE.ln() + wide + unsure));
        }
    }
    let most = found.iter().map(|(_, log)| *log).fold(f64::NEG_INFINITY, f64::max);
    let sum: f64 = found.iter().map(|(_, log)| (log - most).exp()).sum();
    let mut rows: Vec<SuspectRow> = found
        .into_iter()
        .map(|(suspect, log)| SuspectRow {
            suspect,
            words: suspect.map_or_else(|| "none of these".to_owned(), |one| one.words(harness)),
            share: (log - most).exp() / sum,
        })
        .collect();
    rows.sort_by(|a, b| b.share.total_cmp(&a.share));
    rows
}

/// What was read with half the band of its instrument. Of flat cells' volts at rest nothing is held against a charge.
fn readings(asked: &CommissionAsked) -> Vec<(f64, f64)> {
    let points = POINTS
        .iter()
        .zip(asked.points)
        .filter_map(|(point, read)| read.map(|read| (read, point.instrument.half_band(read))));
    points.chain(asked.drops_v.iter().map(|(_, volts)| (*volts, DROP_METER.half_band(*volts)))).collect()
}

/// What a sample has for each of those; `None` where one cannot be told.
fn values(asked: &CommissionAsked, predicted: &Predicted) -> Option<Vec<f64>> {
    let points =
        asked.points.iter().zip(predicted.points).filter(|(read, _)| read.is_some()).map(|(_, value)| value);
    points
        .chain(asked.drops_v.iter().map(|(cable, _)| predicted.drops_v.get(*cable).copied().flatten()))
        .collect()
}

/// Squared distance beyond which no part explains what was read, however much worse the others do: twice that of which one case in a
/// thousand of a normal distribution of `size` readings lies farther, for how bad a part is has no normal distribution. Chi-square by
/// the cube root \[wilson1931\], from memory.
fn farthest(size: usize) -> f64 {
    const ONE_IN_THOUSAND: f64 = 3.09;
    let part = 2.0 / (9.0 * size.max(1) as f64);
    2.0 * size as f64 * (1.0 - part + ONE_IN_THOUSAND * part.sqrt()).powi(3)
}

/// Logarithm of the density, and the squared distance, of `read` under a normal distribution with mean and covariance of `rows`, the instruments' own errors added;
/// `wider` multiplies deviations. `None` with too few rows.
fn log_likelihood(rows: &[Vec<f64>], read: &[(f64, f64)], wider: f64) -> Option<(f64, f64)> {
    let (count, size) = (rows.len(), read.len());
    if size == 0 {
        return Some((0.0, 0.0));
    }
    if count < 2 * size.max(10) {
        return None;
    }
    let mean = DVector::from_fn(size, |i, _| rows.iter().map(|row| row[i]).sum::<f64>() / count as f64);
    let mut covariance = DMatrix::from_fn(size, size, |i, j| {
        rows.iter().map(|row| (row[i] - mean[i]) * (row[j] - mean[j])).sum::<f64>() / (count - 1) as f64
    });
    for (i, (value, half)) in read.iter().enumerate() {
        let off = half / DEVIATE_P90;
        // A little of each reading besides: the models are no closer than that.
        covariance[(i, i)] += off * off + (MODEL_SHARE * value).powi(2) + 1e-12;
    }
    covariance *= wider * wider;
    let factors = Cholesky::new(covariance)?;
    let off = DVector::from_fn(size, |i, _| read[i].0 - mean[i]);
    let log_root: f64 = (0..size).map(|i| factors.l_dirty()[(i, i)].ln()).sum();
    let distance = off.dot(&factors.solve(&off));
    Some((-0.5 * distance - log_root - 0.5 * size as f64 * (2.0 * std::f64::consts::PI).ln(), distance))
}

/// What the models may be off beyond the spreads of their inputs, as a share; own estimate, no source.
const MODEL_SHARE: f64 = 0.005;
