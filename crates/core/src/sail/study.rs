//! Sailing with the propeller over several speeds, with intervals over samples of every uncertain input
//! and of the four-quadrant estimate itself. Not for: sampling in parallel (the app does that).

use super::hazard::{Hazards, REGENERATION, SHAFT_UNDER_SAIL};
use super::prepared::{BladeFactors, Mode, ModeState, UnderSail};
use super::regenerate::NoHarvest;
use super::stopping::{self, Stop, Stopping};
use crate::boat::{Boat, BoatSpec};
use crate::field;
use crate::notice::{Noted, Notice, push_once};
use crate::propeller::four_quadrant::BAND_FRACTION;
use crate::spread::Interval;
use crate::spread::{Sampler, Spread, name_number};
use crate::steady::{BoatError, PreparedBoat, Taken};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct SailQuestions {
    /// Speeds through the water \[m/s\].
    pub speeds_m_s: Vec<f64>,
    /// Loss of speed that regeneration may cost beyond free turning \[m/s\].
    pub loss_m_s: f64,
    /// The speed that the finding speaks of \[m/s\]; where it is not reached, the fastest below it.
    pub finding_speed_m_s: f64,
}

/// One sample: the state in each mode at each speed, the onset, and how she stops.
#[derive(Debug, Clone, PartialEq)]
pub struct SailSample {
    rows: Vec<[Option<ModeState>; 5]>,
    onset_m_s: Option<f64>,
    stop: Option<Stop>,
}

/// A mode at one speed, with its bands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ModeIntervals {
    /// With every input at its median.
    pub state: ModeState,
    /// Shaft \[rev/s\].
    pub shaft_rev_s: Interval,
    /// Drag \[N\].
    pub drag_n: Interval,
    /// Speed lost \[m/s\].
    pub speed_lost_m_s: Interval,
    /// Power out of the bank \[W\]; negative into it.
    pub bank_w: Interval,
    /// Power that stays in the cells \[W\].
    pub stored_w: Interval,
}

/// One speed.
#[derive(Debug, Clone, PartialEq)]
pub struct SailRow {
    /// Through the water \[m/s\].
    pub speed_m_s: f64,
    /// Each mode, indexed by [`Mode`]; `None` where there is no such state.
    pub modes: [Option<ModeIntervals>; 5],
    /// Why nothing comes back, when nothing does.
    pub refusal: Option<NoHarvest>,
    /// Volts at the controller when the bank is cut off \[V\]; `None` where the shaft does not turn by itself.
    pub volts_without_bank_v: Option<f64>,
}

impl SailRow {
    /// A mode with its bands.
    #[must_use]
    pub fn mode(&self, mode: Mode) -> Option<&ModeIntervals> {
        self.modes[mode as usize].as_ref()
    }
}

/// Everything found about sailing with this propeller.
#[derive(Debug, Clone)]
pub struct SailStudy {
    /// One row for each speed within the hull method's range.
    pub rows: Vec<SailRow>,
    /// Loss of speed that was allowed \[m/s\].
    pub loss_m_s: f64,
    /// The speed that the finding speaks of, as asked \[m/s\].
    pub finding_speed_m_s: f64,
    /// Blades fold or feather.
    pub is_stowed: bool,
    /// Slowest speed at which anything comes back.
    pub onset_m_s: Option<Interval>,
    /// Speed from which a shaft that is let go drags less than one that is held \[m/s\].
    pub free_drags_less_from_m_s: Option<f64>,
    /// Pull against a quay and crash stop; `None` when she makes no way.
    pub stopping: Option<Stopping>,
    /// Volts and turning that nobody may want.
    pub hazards: Hazards,
    /// What to read first.
    pub notices: Vec<Notice>,
    /// Samples taken, and those without an answer.
    pub samples: Taken,
    /// The boat as expected, ready for more questions.
    pub prepared: Box<UnderSail>,
}

impl SailStudy {
    /// The row of the finding: at the speed asked for, or the fastest below it.
    #[must_use]
    pub fn finding_row(&self) -> Option<&SailRow> {
        self.rows.iter().rfind(|row| row.speed_m_s <= self.finding_speed_m_s * (1.0 + 1e-9))
    }
}

impl BladeFactors {
    fn sampled(sampler: Sampler, sample: u64) -> Self {
        let band = Spread::relative(1.0, BAND_FRACTION);
        let deviate = |name: &str| sampler.deviate(name_number(name), sample);
        Self {
            drag: band.at_deviate(deviate(field::model::DRAG_UNDER_SAIL)),
            torque: band.at_deviate(deviate(field::model::TORQUE_UNDER_SAIL)),
            stowed_deviate: deviate(field::model::DRAG_UNDER_SAIL),
        }
    }
}

impl UnderSail {
    /// `boat`, sampled already, with the four-quadrant estimate sampled as well.
    /// # Errors
    /// As [`UnderSail::new`].
    pub fn sampled(boat: &Boat, sampler: Sampler, sample: u64) -> Result<Noted<Self>, BoatError> {
        Self::with_factors(boat, BladeFactors::sampled(sampler, sample))
    }
}

/// Answers `questions` for sample number `sample`; `None` when that sample contradicts itself.
#[must_use]
pub fn sample_sail(
    spec: &BoatSpec,
    questions: &SailQuestions,
    sampler: Sampler,
    sample: u64,
) -> Option<SailSample> {
    let sampled = spec.sample(sampler, sample);
    let prepared = PreparedBoat::new(&sampled).ok()?;
    let boat = UnderSail::of(&sampled, &prepared, BladeFactors::sampled(sampler, sample)).ok()?.value;
    let rows = questions.speeds_m_s.iter().map(|&speed| states(&boat, speed, questions.loss_m_s).0).collect();
    let stop = Stop::sampled(&sampled, &prepared.value, sampler, sample);
    Some(SailSample { rows, onset_m_s: boat.onset_m_s(), stop })
}

fn states(boat: &UnderSail, speed_m_s: f64, loss_m_s: f64) -> ([Option<ModeState>; 5], Option<NoHarvest>) {
    let mut modes = [None; 5];
    if speed_m_s > boat.fastest_m_s() {
        return (modes, None);
    }
    modes[Mode::Held as usize] = Some(boat.held(speed_m_s));
    if boat.is_stowed() {
        return (modes, Some(NoHarvest::Stowed));
    }
    modes[Mode::Free as usize] = Some(boat.free(speed_m_s));
    modes[Mode::WithoutDrag as usize] = Some(boat.without_drag(speed_m_s));
    match boat.harvest(speed_m_s, loss_m_s) {
        Ok(harvest) => {
            modes[Mode::WithinLoss as usize] = Some(harvest.within_loss);
            modes[Mode::Greatest as usize] = Some(harvest.greatest);
            (modes, None)
        }
        Err(refusal) => (modes, Some(refusal)),
    }
}

/// Puts the answers of all samples together. `samples[i]` must be the answer of sample `i`.
/// # Errors
/// [`BoatError`] when the boat as expected cannot be prepared.
pub fn summarise_sail(
    spec: &BoatSpec,
    questions: &SailQuestions,
    sampler: Sampler,
    samples: &[Option<SailSample>],
) -> Result<SailStudy, BoatError> {
    let central = UnderSail::new(&spec.boat)?;
    let mut notices = vec![SHAFT_UNDER_SAIL, REGENERATION];
    for notice in central.notices {
        push_once(&mut notices, notice);
    }
    let boat = central.value;
    let good: Vec<&SailSample> = samples.iter().flatten().collect();
    let rows = questions
        .speeds_m_s
        .iter()
        .enumerate()
        .filter(|(_, speed)| **speed <= boat.fastest_m_s())
        .map(|(i, &speed)| row(&boat, i, speed, questions.loss_m_s, &good))
        .collect();
    let onset_m_s = boat
        .onset_m_s()
        .map(|onset| Interval::over_or(onset, &mut good.iter().filter_map(|s| s.onset_m_s).collect()));
    Ok(SailStudy {
        rows,
        loss_m_s: questions.loss_m_s,
        finding_speed_m_s: questions.finding_speed_m_s,
        is_stowed: boat.is_stowed(),
        onset_m_s,
        free_drags_less_from_m_s: boat.free_drags_less_from_m_s(),
        stopping: stopping::summarise(spec, &good.iter().filter_map(|s| s.stop).collect::<Vec<_>>()),
        hazards: boat.hazards(),
        notices,
        samples: Taken::of(samples, |i| spec.sample(sampler, i)),
        prepared: Box::new(boat),
    })
}

fn row(boat: &UnderSail, i: usize, speed_m_s: f64, loss_m_s: f64, good: &[&SailSample]) -> SailRow {
    let (central, refusal) = states(boat, speed_m_s, loss_m_s);
    let mut modes = [None; 5];
    for mode in Mode::ALL {
        let Some(state) = central[mode as usize] else { continue };
        let sampled: Vec<&ModeState> =
            good.iter().filter_map(|sample| sample.rows[i][mode as usize].as_ref()).collect();
        // A sample in which nothing comes back counts as nothing, not as missing.
        let nothing = good.len() - sampled.len();
        let band = |value: f64, of: &dyn Fn(&ModeState) -> f64, or: Option<f64>| {
            let mut values: Vec<f64> = sampled.iter().map(|s| of(s)).collect();
            if let Some(or) = or {
                values.extend(std::iter::repeat_n(or, nothing));
            }
            Interval::over_or(value, &mut values)
        };
        modes[mode as usize] = Some(ModeIntervals {
            state,
            shaft_rev_s: band(state.shaft_rev_s, &|s| s.shaft_rev_s, None),
            drag_n: band(state.drag_n, &|s| s.drag_n, None),
            speed_lost_m_s: band(state.speed_lost_m_s, &|s| s.speed_lost_m_s, None),
            bank_w: band(state.bank_w, &|s| s.bank_w, Some(0.0)),
            stored_w: band(state.stored_w, &|s| s.stored_w, Some(0.0)),
        });
    }
    let volts_without_bank_v = boat.turns_by_itself(speed_m_s).then(|| boat.volts_without_bank_v(speed_m_s));
    SailRow { speed_m_s, modes, refusal, volts_without_bank_v }
}
