//! `range` as JSON.

use schemars::JsonSchema;
use serde::Serialize;
use wakewright_core::boat::BoatSpec;
use wakewright_core::study::Study;
use wakewright_units::factors::{HOUR_S, KNOT_M_S, NAUTICAL_MILE_M};

use super::drive::StateView;
use super::{Band, Envelope, FORMAT_VERSION, NoticeView};
use crate::sentence::range_finding;
use crate::text::Paper;

/// What each speed costs and how far it carries.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct RangeView {
    /// State of charge at the start, 0 to 1.
    pub state_of_charge_share: f64,
    /// State of charge that stays, 0 to 1.
    pub reserve_share: f64,
    /// Standing loads.
    pub house_load_w: f64,
    /// Speed at full throttle.
    pub full_throttle_kn: f64,
    /// One row for each speed.
    pub speeds: Vec<SpeedView>,
}

/// One speed.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SpeedView {
    /// Speed through the water.
    pub speed_kn: f64,
    /// Share of draws in which she reaches it.
    pub reached_in_share: f64,
    /// Hours to the reserve; absent when out of reach.
    pub hours_h: Option<Band>,
    /// Miles through the water to the reserve; absent when out of reach.
    pub distance_nmi: Option<Band>,
    /// The state; absent beyond the published range of the hull method.
    pub state: Option<StateView>,
}

/// The view of a study.
#[must_use]
pub fn range_view(name: &str, spec: &BoatSpec, study: &Study, paper: &Paper) -> Envelope<RangeView> {
    let finding = range_finding(name, spec, study, paper);
    let result = RangeView {
        state_of_charge_share: spec.boat.bank.state_of_charge,
        reserve_share: spec.boat.reserve,
        house_load_w: spec.boat.house_power_w,
        full_throttle_kn: study.answers.full.held.state.speed_m_s / KNOT_M_S,
        speeds: study
            .speeds
            .iter()
            .map(|row| SpeedView {
                speed_kn: row.speed_m_s / KNOT_M_S,
                reached_in_share: row.share_in_reach,
                hours_h: row.duration_s.map(|d| Band::of(d, HOUR_S)),
                distance_nmi: row.distance_m.map(|d| Band::of(d, NAUTICAL_MILE_M)),
                state: (!row.figures.is_empty()).then(|| StateView::of(&row.figures)),
            })
            .collect(),
    };
    Envelope {
        format: "wakewright/range".to_owned(),
        version: FORMAT_VERSION,
        boat: name.to_owned(),
        finding: finding.sentence,
        further: finding.further,
        result,
        notices: study.notices.iter().map(NoticeView::of).collect(),
    }
}
