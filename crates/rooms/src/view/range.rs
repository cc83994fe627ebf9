//! `range` as JSON.

use schemars::JsonSchema;
use serde::Serialize;
use wakewright_core::boat::BoatSpec;
use wakewright_core::study::Study;
use wakewright_units::factors::{HOUR_S, KNOT_M_S, NAUTICAL_MILE_M};

use super::drive::StateView;
use super::{Band, Envelope, FORMAT_VERSION, NoticeView};
use crate::sentence::{is_endless, range_finding};
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
    /// Month of the sun, 1 to 12, where it was asked for.
    pub sun_month: Option<u32>,
    /// Hour of leaving beneath that sun, local mean time.
    pub leaves_at_h: Option<u32>,
    /// Years of ageing, where they were asked for.
    pub years: Option<f64>,
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
    /// Share of samples in which she reaches it.
    pub reached_in_share: f64,
    /// Hours to the reserve; absent when out of reach.
    pub hours_h: Option<Band>,
    /// Miles through the water to the reserve; absent when out of reach.
    pub distance_nmi: Option<Band>,
    /// Miles to the reserve with the sun by day, where asked.
    pub with_sun_nmi: Option<Band>,
    /// Sun and loads hold each other: there is no end to `with_sun_nmi`, which is cut off after thirty days.
    pub with_sun_is_endless: bool,
    /// Miles a day that leave the bank as it was, where asked.
    pub on_sun_alone_nmi_per_day: Option<Band>,
    /// Miles to the reserve after the years asked.
    pub after_years_nmi: Option<Band>,
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
        sun_month: study.beyond.sun.as_ref().map(|sun| sun.month),
        leaves_at_h: study.beyond.sun.as_ref().map(|sun| sun.leaves_at),
        years: study.beyond.years,
        full_throttle_kn: study.answers.full.held.state.speed_m_s / KNOT_M_S,
        speeds: study
            .speeds
            .iter()
            .map(|row| SpeedView {
                speed_kn: row.speed_m_s / KNOT_M_S,
                reached_in_share: row.share_in_reach,
                hours_h: row.duration_s.map(|d| Band::of(d, HOUR_S)),
                distance_nmi: row.distance_m.map(|d| Band::of(d, NAUTICAL_MILE_M)),
                with_sun_nmi: row.beyond.with_sun_m.map(|d| Band::of(d, NAUTICAL_MILE_M)),
                with_sun_is_endless: row
                    .beyond
                    .with_sun_m
                    .is_some_and(|d| is_endless(d.value, row.speed_m_s)),
                on_sun_alone_nmi_per_day: row.beyond.sun_alone_day_m.map(|d| Band::of(d, NAUTICAL_MILE_M)),
                after_years_nmi: row.beyond.aged_m.map(|d| Band::of(d, NAUTICAL_MILE_M)),
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
