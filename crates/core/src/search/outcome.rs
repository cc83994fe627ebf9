//! What a search found, ready to be shown: the front by the steady state, the pick, the boat as she is
//! beside it, and the counts. Not for: finding it, wording it.

use super::exact::{Candidate, evaluate};
use super::limits::{Refusals, Tally};
use super::pick::{Pick, Preference, Wanted, pick};
use super::prepared::Search;
use super::run::Partial;
use crate::boat::BoatSpec;
use crate::spread::Sampler;
use crate::steady::{Ask, PreparedBoat};
use crate::study::Interval;

/// What a search found.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// The search.
    pub search: Search,
    /// Counts.
    pub tally: Tally,
    /// The front by the steady state, thriftiest first.
    pub candidates: Vec<Candidate>,
    /// The pick; `None` when nothing was found.
    pub pick: Option<Pick>,
    /// The boat as she is; `None` when she reaches no steady state.
    pub present: Option<Candidate>,
    /// Every limit by itself, when nothing was found.
    pub refusals: Option<Refusals>,
    /// What the pick gains over the boat as she is.
    pub gain: Option<Gain>,
}

impl Outcome {
    /// Computes the members of the front by the steady state and picks one of them.
    #[must_use]
    pub fn new(
        search: Search,
        found: Partial,
        refusals: Option<Refusals>,
        preferences: &[Preference],
    ) -> Self {
        let members = found.front.into_members();
        let mut candidates: Vec<Candidate> =
            members.iter().filter_map(|member| evaluate(&search, member).ok()).collect();
        candidates.sort_by(|a, b| {
            a.merits.energy_per_metre_j.total_cmp(&b.merits.energy_per_metre_j).then(a.index.cmp(&b.index))
        });
        let present = search.present().ok();
        let pick = pick(&candidates, preferences, &Wanted::of(&search, present.as_ref(), preferences));
        if let Some(picked) = pick.and_then(|pick| candidates.get_mut(pick.position)) {
            picked.is_picked = true;
        }
        Self { tally: found.tally, candidates, pick, present, refusals, search, gain: None }
    }

    /// The picked candidate.
    #[must_use]
    pub fn picked(&self) -> Option<&Candidate> {
        self.candidates.get(self.pick?.position)
    }
}

/// Differences of the pick from the boat as she is, over samples that both share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gain {
    /// Top speed of the pick \[m/s\].
    pub top_speed_m_s: Interval,
    /// Top speed of the pick less that of the boat as she is \[m/s\].
    pub more_speed_m_s: Interval,
    /// Energy at the first cruising speed of the pick less that of the boat as she is \[J/m\].
    pub more_energy_j_m: Interval,
}

/// One sample: top speed of the candidate, and candidate less boat in top speed and, where both hold the speed,
/// energy.
#[must_use]
pub fn gain_sample(
    (base, candidate): (&BoatSpec, &BoatSpec),
    cruise_m_s: f64,
    sampler: Sampler,
    sample: u64,
) -> Option<[Option<f64>; 3]> {
    let (with_base, with_candidate) = (base.sample(sampler, sample), candidate.sample(sampler, sample));
    let before = PreparedBoat::new(&with_base).ok()?.value;
    // Both draw the same hull, sea and water: what the search leaves alone.
    let after = before.with_drive_of(&with_candidate).ok()?.value;
    let top_m_s = |boat: &PreparedBoat| Some(boat.full_throttle().ok()?.held.state.speed_m_s);
    let energy = |boat: &PreparedBoat| {
        boat.solve(Ask::Speed(cruise_m_s)).ok().map(|bound| bound.state.energy_per_metre_j())
    };
    let (top_before, top_after) = (top_m_s(&before)?, top_m_s(&after)?);
    let more = energy(&after).zip(energy(&before)).map(|(after, before)| after - before);
    Some([Some(top_after), Some(top_after - top_before), more])
}

/// The intervals of all samples.
#[must_use]
pub fn gain(present: &Candidate, picked: &Candidate, samples: &[[Option<f64>; 3]]) -> Gain {
    let interval = |column: usize, central: f64| {
        Interval::over_or(central, &mut samples.iter().filter_map(|row| row[column]).collect())
    };
    let (before, after) = (&present.merits, &picked.merits);
    Gain {
        top_speed_m_s: interval(0, after.top_speed_m_s),
        more_speed_m_s: interval(1, after.top_speed_m_s - before.top_speed_m_s),
        more_energy_j_m: interval(2, after.energy_per_metre_j - before.energy_per_metre_j),
    }
}
