//! `search` as JSON.

use schemars::JsonSchema;
use serde::Serialize;
use wakewright_core::search::{Candidate, Cause, Outcome};
use wakewright_units::factors::{INCH_M, KNOT_M_S, NAUTICAL_MILE_M};

use super::{Band, Envelope, FORMAT_VERSION, NoticeView};
use crate::search_finding::search_finding;
use crate::text::{Paper, motor_words, propeller_change_key};

/// What a search found.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SearchView {
    /// Candidates looked at.
    pub candidates: u64,
    /// Candidates within every limit.
    pub within_limits: u64,
    /// Speeds that each must hold for hours; the first counts for the energy a mile.
    pub cruise_kn: Vec<f64>,
    /// True when `cost` is money by the prices given; otherwise it is the number of parts changed.
    pub has_prices: bool,
    /// The boat as she is; absent when she reaches no steady state.
    pub present: Option<CandidateView>,
    /// The front, thriftiest first.
    pub front: Vec<CandidateView>,
    /// Place of the pick in `front`; absent when nothing was found.
    pub picked: Option<usize>,
    /// What the pick gains over the boat as she is, over samples that both share.
    pub gain: Option<GainView>,
    /// What refused candidates.
    pub refused: Vec<RefusalView>,
}

/// A candidate by the steady state.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct CandidateView {
    /// Its number in the space searched; absent for the boat as she is.
    pub index: Option<usize>,
    /// Propeller diameter.
    pub diameter_in: f64,
    /// Propeller pitch.
    pub pitch_in: f64,
    /// Blades.
    pub blades: u8,
    /// Expanded area ratio.
    pub area_ratio: f64,
    /// True when the blades fold or feather.
    pub is_folding: bool,
    /// `none`, `repitch` or `new`.
    pub propeller_change: &'static str,
    /// Reduction.
    pub ratio: f64,
    /// Motor by type and rating.
    pub motor: String,
    /// Cells in series.
    pub cells_in_series: u32,
    /// Packs in parallel.
    pub packs: u32,
    /// Parts changed.
    pub parts_changed: u32,
    /// Energy at the first cruising speed, standing loads included.
    pub energy_per_mile_wh_nmi: f64,
    /// Energy at each of the cruising speeds.
    pub energy_at_cruise_wh_nmi: Vec<f64>,
    /// Top speed held for hours.
    pub top_speed_kn: f64,
    /// What stops her there.
    pub limit: &'static str,
    /// Propeller shaft at top speed.
    pub shaft_rpm: f64,
    /// Miles through the water to the reserve at the first cruising speed.
    pub distance_nmi: Option<f64>,
    /// Blade tips at the first cruising speed.
    pub tip_speed_m_s: f64,
    /// Motor and packs.
    pub mass_kg: f64,
    /// Money, or parts changed.
    pub cost: f64,
}

/// Differences of the pick from the boat as she is.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct GainView {
    /// Top speed of the pick.
    pub top_speed_kn: Band,
    /// Top speed more than now.
    pub more_speed_kn: Band,
    /// Energy at the first cruising speed more than now.
    pub more_energy_wh_nmi: Band,
}

/// One limit.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct RefusalView {
    /// Short name.
    pub limit: &'static str,
    /// In words.
    pub words: &'static str,
    /// Candidates that fail by it first.
    pub refused_first: u64,
    /// Candidates that fail by it at all; given when nothing was found.
    pub refused: Option<u64>,
    /// Candidates that fail by nothing else; given when nothing was found.
    pub refused_alone: Option<u64>,
    /// Share of the limit that the nearest of those needs, above 1.
    pub nearest_share: Option<f64>,
}

/// Wh a mile in J/m.
const WATT_HOUR_PER_MILE_J_M: f64 = 3600.0 / NAUTICAL_MILE_M;

/// The view of an outcome.
#[must_use]
pub fn search_view(name: &str, outcome: &Outcome, paper: &Paper) -> Envelope<SearchView> {
    let finding = search_finding(name, outcome, paper);
    let result = SearchView {
        candidates: outcome.tally.candidates,
        within_limits: outcome.tally.within,
        cruise_kn: outcome.search.cruise_m_s().iter().map(|speed| speed / KNOT_M_S).collect(),
        has_prices: outcome.search.has_prices(),
        present: outcome.present.as_ref().map(|present| candidate_view(outcome, present)),
        front: outcome.candidates.iter().map(|candidate| candidate_view(outcome, candidate)).collect(),
        picked: outcome.pick.map(|pick| pick.position),
        gain: outcome.gain.map(|gain| GainView {
            top_speed_kn: Band::of(gain.top_speed_m_s, KNOT_M_S),
            more_speed_kn: Band::of(gain.more_speed_m_s, KNOT_M_S),
            more_energy_wh_nmi: Band::of(gain.more_energy_j_m, WATT_HOUR_PER_MILE_J_M),
        }),
        refused: Cause::ALL.into_iter().filter_map(|cause| refusal_view(outcome, cause)).collect(),
    };
    Envelope {
        format: "wakewright/search".to_owned(),
        version: FORMAT_VERSION,
        boat: name.to_owned(),
        finding: finding.sentence,
        further: finding.further,
        result,
        notices: outcome.search.notices().iter().map(NoticeView::of).collect(),
    }
}

fn refusal_view(outcome: &Outcome, cause: Cause) -> Option<RefusalView> {
    let place = cause as usize;
    let refused_first = outcome.tally.refused[place];
    let refused = outcome.refusals.map(|refusals| refusals.violated[place]);
    (refused_first > 0 || refused.is_some_and(|count| count > 0)).then(|| RefusalView {
        limit: cause.key(),
        words: cause.words(),
        refused_first,
        refused,
        refused_alone: outcome.refusals.map(|refusals| refusals.alone[place]),
        nearest_share: outcome.refusals.and_then(|refusals| refusals.nearest[place]).map(|(share, _)| share),
    })
}

fn candidate_view(outcome: &Outcome, candidate: &Candidate) -> CandidateView {
    let propeller = &candidate.boat.propeller;
    let groups = &candidate.boat.bank.groups;
    CandidateView {
        index: candidate.index,
        diameter_in: propeller.diameter_m / INCH_M,
        pitch_in: propeller.pitch_m / INCH_M,
        blades: propeller.blades,
        area_ratio: propeller.area_ratio,
        is_folding: propeller.pattern.is_stowed_under_sail(),
        propeller_change: propeller_change_key(candidate.change.propeller),
        ratio: candidate.boat.drive_line.ratio,
        motor: motor_words(outcome, candidate).to_owned(),
        cells_in_series: groups.first().map_or(0, |group| group.cells_in_series),
        packs: groups.iter().map(|group| group.packs_in_parallel).sum(),
        parts_changed: candidate.change.parts(),
        energy_per_mile_wh_nmi: candidate.merits.energy_per_metre_j / WATT_HOUR_PER_MILE_J_M,
        energy_at_cruise_wh_nmi: candidate
            .cruise
            .iter()
            .map(|bound| bound.state.energy_per_metre_j() / WATT_HOUR_PER_MILE_J_M)
            .collect(),
        top_speed_kn: candidate.merits.top_speed_m_s / KNOT_M_S,
        limit: candidate.full.held.limit.key(),
        shaft_rpm: candidate.full.held.state.shaft_rev_s * 60.0,
        distance_nmi: candidate.distance_m().map(|distance| distance / NAUTICAL_MILE_M),
        tip_speed_m_s: candidate.merits.tip_speed_m_s,
        mass_kg: candidate.merits.mass_kg,
        cost: candidate.merits.cost,
    }
}
