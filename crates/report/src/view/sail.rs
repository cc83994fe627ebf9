//! `sail` as JSON.

use schemars::JsonSchema;
use serde::Serialize;
use wakewright_core::sail::{Mode, ModeIntervals, ModeState, SailStudy};
use wakewright_units::factors::{AMPERE_HOUR_C, KNOT_M_S, RPM_REV_S};

use super::{Band, Envelope, FORMAT_VERSION, NoticeView};
use crate::text::{Paper, sail_finding};

/// What the propeller costs under sail, what cancels it, what comes back.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SailView {
    /// Blades fold or feather under sail.
    pub is_stowed: bool,
    /// The speed that the finding tells of; absent when none lies within what is known of the hull.
    pub finding_speed_kn: Option<f64>,
    /// Loss of speed allowed beyond free turning.
    pub loss_allowed_kn: f64,
    /// Slowest speed at which anything comes back; absent when nothing does.
    pub onset_kn: Option<Band>,
    /// Speed or stream that sets a free shaft turning.
    pub shaft_starts_turning_kn: f64,
    /// Speed from which a shaft left free drags less than one that is held; absent when none is known.
    pub free_drags_less_from_kn: Option<f64>,
    /// Highest volts that the controller stands, as stated.
    pub controller_limit_v: Option<f64>,
    /// Speed at which the free propeller passes them with the bank cut off.
    pub controller_limit_at_kn: Option<f64>,
    /// Tied up and stopping; absent when she makes no way.
    pub stopping: Option<StoppingView>,
    /// One row for each speed.
    pub speeds: Vec<SailSpeedView>,
}

/// Pull against a quay, and a crash stop from full speed.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct StoppingView {
    /// Pull ahead.
    pub pull_ahead_n: Option<Band>,
    /// Pull astern.
    pub pull_astern_n: Option<Band>,
    /// Full speed, from which she is stopped.
    pub from_kn: Band,
    /// Way through the water.
    pub way_m: Option<Band>,
    /// Time from when the shaft turns astern.
    pub time_s: Option<Band>,
}

/// One speed.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SailSpeedView {
    /// Through the water.
    pub speed_kn: f64,
    /// Shaft held, or blades stowed.
    pub held: Option<ModeView>,
    /// Turning freely.
    pub free: Option<ModeView>,
    /// Turned so that it neither drags nor pushes.
    pub without_drag: Option<ModeView>,
    /// Charging, for the loss of speed allowed.
    pub within_loss: Option<ModeView>,
    /// Charging as hard as gives the most.
    pub greatest: Option<ModeView>,
    /// Why nothing comes back.
    pub refusal: Option<&'static str>,
    /// Volts at the controller when the bank is cut off and the propeller turns freely; absent where the water
    /// does not start the shaft.
    pub volts_without_bank_v: Option<f64>,
    /// Settings from free turning to the greatest braking.
    pub settings: Vec<SettingView>,
}

/// A way of sailing with the propeller.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ModeView {
    /// Propeller shaft.
    pub shaft_speed_rpm: Band,
    /// Drag.
    pub drag_n: Band,
    /// How much faster she would sail without it.
    pub speed_lost_kn: Band,
    /// That faster speed lies beyond what is known of the hull.
    pub speed_lost_is_continued: bool,
    /// Power out of the bank, negative into it.
    pub bank_power_w: Band,
    /// Power that stays in the cells.
    pub stored_w: Band,
    /// Charge that stays in the cells, each hour.
    pub stored_ah_per_hour: f64,
    /// Energy that stays in the cells, each day.
    pub stored_wh_per_day: f64,
}

/// One setting of the braking.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SettingView {
    /// Braking torque at the motor's shaft.
    pub brake_torque_n_m: f64,
    /// Propeller shaft.
    pub shaft_speed_rpm: f64,
    /// Drag.
    pub drag_n: f64,
    /// Speed lost.
    pub speed_lost_kn: f64,
    /// Power out of the bank, negative into it.
    pub bank_power_w: f64,
    /// Power that stays in the cells.
    pub stored_w: f64,
}

impl ModeView {
    fn of(mode: &ModeIntervals) -> Self {
        Self {
            shaft_speed_rpm: Band::of(mode.shaft_rev_s, RPM_REV_S),
            drag_n: Band::of(mode.drag_n, 1.0),
            speed_lost_kn: Band::of(mode.speed_lost_m_s, KNOT_M_S),
            speed_lost_is_continued: mode.state.is_loss_continued,
            bank_power_w: Band::of(mode.bank_w, 1.0),
            stored_w: Band::of(mode.stored_w, 1.0),
            stored_ah_per_hour: mode.state.stored_a * 3600.0 / AMPERE_HOUR_C,
            stored_wh_per_day: mode.state.stored_w * 24.0,
        }
    }
}

impl SettingView {
    fn of(state: &ModeState) -> Self {
        Self {
            brake_torque_n_m: state.brake_torque_n_m,
            shaft_speed_rpm: state.shaft_rev_s / RPM_REV_S,
            drag_n: state.drag_n,
            speed_lost_kn: state.speed_lost_m_s / KNOT_M_S,
            bank_power_w: state.bank_w,
            stored_w: state.stored_w,
        }
    }
}

/// The view of a study.
#[must_use]
pub fn sail_view(name: &str, study: &SailStudy, paper: &Paper) -> Envelope<SailView> {
    const SETTINGS: usize = 13;
    let finding = sail_finding(name, study, paper);
    let hazards = &study.hazards;
    let speeds = study
        .rows
        .iter()
        .map(|row| {
            let mode = |mode: Mode| row.mode(mode).map(ModeView::of);
            let settings = study.prepared.braking_range(row.speed_m_s, SETTINGS);
            SailSpeedView {
                speed_kn: row.speed_m_s / KNOT_M_S,
                held: mode(Mode::Held),
                free: mode(Mode::Free),
                without_drag: mode(Mode::WithoutDrag),
                within_loss: mode(Mode::WithinLoss),
                greatest: mode(Mode::Greatest),
                refusal: row.refusal.map(|refusal| refusal.words()),
                volts_without_bank_v: row.volts_without_bank_v,
                settings: settings.iter().map(SettingView::of).collect(),
            }
        })
        .collect();
    let result = SailView {
        is_stowed: study.is_stowed,
        finding_speed_kn: study.finding_row().map(|row| row.speed_m_s / KNOT_M_S),
        loss_allowed_kn: study.loss_m_s / KNOT_M_S,
        onset_kn: study.onset_m_s.map(|onset| Band::of(onset, KNOT_M_S)),
        shaft_starts_turning_kn: hazards.starts_turning_m_s / KNOT_M_S,
        free_drags_less_from_kn: study.free_drags_less_from_m_s.map(|from| from / KNOT_M_S),
        controller_limit_v: hazards.controller_limit_v,
        controller_limit_at_kn: hazards.controller_limit_at_m_s.map(|at| at / KNOT_M_S),
        stopping: study.stopping.map(|stopping| StoppingView {
            pull_ahead_n: stopping.ahead_n.map(|n| Band::of(n, 1.0)),
            pull_astern_n: stopping.astern_n.map(|n| Band::of(n, 1.0)),
            from_kn: Band::of(stopping.from_m_s, KNOT_M_S),
            way_m: stopping.distance_m.map(|m| Band::of(m, 1.0)),
            time_s: stopping.duration_s.map(|s| Band::of(s, 1.0)),
        }),
        speeds,
    };
    Envelope {
        format: "wakewright/sail".to_owned(),
        version: FORMAT_VERSION,
        boat: name.to_owned(),
        finding: finding.sentence,
        further: finding.further,
        result,
        notices: study.notices.iter().map(NoticeView::of).collect(),
    }
}
