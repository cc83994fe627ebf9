//! `drive` as JSON.

use schemars::JsonSchema;
use serde::Serialize;
use wakewright_core::boat::BoatSpec;
use wakewright_core::study::{Figure, Interval, Study, ThrottleRow};
use wakewright_units::factors::{KNOT_M_S, NAUTICAL_MILE_M, RPM_REV_S, WATT_HOUR_J, ZERO_CELSIUS_K};

use super::{Band, Envelope, FORMAT_VERSION, NoticeView};
use crate::sentence::drive_finding;
use crate::text::Paper;

/// What stops her at full throttle, the table over the throttle, where each watt goes.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct DriveView {
    /// Key of the limit that binds at full throttle.
    pub binding_limit: &'static str,
    /// Every limit that is used at all, in the order in which they would stop her.
    pub limits: Vec<LimitView>,
    /// At full throttle, held for hours.
    pub full_throttle: StateView,
    /// Speed for some minutes, before the motor is hot; absent when heat does not bind.
    pub burst_speed_kn: Option<f64>,
    /// Speed at which the next limit would stop her.
    pub next_limit_speed_kn: Option<Band>,
    /// Key of that limit.
    pub next_limit: Option<&'static str>,
    /// Pull against a quay.
    pub bollard_pull_n: Option<Band>,
    /// One row for each throttle position.
    pub throttle: Vec<ThrottleView>,
    /// Throttle positions asked at which she makes no way, and why.
    pub throttle_without_way: Vec<NoWayView>,
    /// Where each watt goes at full throttle, in order from the cells to the water; they add up to `cells_w`.
    pub watt_ladder: Vec<StepView>,
    /// Power out of the cells.
    pub cells_w: f64,
    /// What rival methods for the hull say.
    pub second_opinions: Vec<SecondOpinionView>,
    /// What makes the top speed's band wide, largest first.
    pub width_of_speed: Vec<WidthView>,
    /// Samples of the unsure inputs.
    pub samples: usize,
    /// Samples that contradicted themselves and were left out.
    pub samples_left_out: usize,
}

/// A limit.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct LimitView {
    /// Key.
    pub limit: &'static str,
    /// In words.
    pub words: &'static str,
    /// Share used at full throttle, 0 to 1.
    pub share_used: f64,
    /// Speed at which it alone would stop her; absent when it never does.
    pub alone_stops_at_kn: Option<f64>,
    /// Share of samples in which it binds.
    pub binds_in_share: f64,
    /// What would move it.
    pub remedy: &'static str,
}

/// A throttle position at which she makes no way.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct NoWayView {
    /// Throttle, 0 to 1.
    pub throttle_share: f64,
    /// In words.
    pub why: String,
}

/// A step of the ladder.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct StepView {
    /// In words.
    pub step: &'static str,
    /// Power.
    pub power_w: f64,
}

/// What a rival method for the hull's waves says.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SecondOpinionView {
    /// The method.
    pub method: &'static str,
    /// Its resistance at the speed found at full throttle.
    pub resistance_n: f64,
    /// Its speed at full throttle.
    pub speed_kn: f64,
}

/// Share of a band that comes from one input.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct WidthView {
    /// Field of the document, or a factor of the model.
    pub input: &'static str,
    /// In words.
    pub words: &'static str,
    /// Share of the variance, 0 to 1.
    pub share: f64,
}

/// A throttle position.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ThrottleView {
    /// Throttle, 0 to 1.
    pub throttle_share: f64,
    /// Key of what binds there.
    pub binding_limit: &'static str,
    /// The state.
    #[serde(flatten)]
    pub state: StateView,
}

/// The figures of one state.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct StateView {
    /// Speed through the water.
    pub speed_kn: Band,
    /// Propeller shaft.
    pub shaft_speed_rpm: Band,
    /// Torque at the propeller.
    pub shaft_torque_n_m: Band,
    /// Power at the propeller.
    pub delivered_power_w: Band,
    /// Resistance of hull and wind.
    pub resistance_n: Band,
    /// Thrust of the propeller.
    pub thrust_n: Band,
    /// Apparent slip, 0 to 1.
    pub apparent_slip_share: Band,
    /// Propeller efficiency in open water, 0 to 1.
    pub propeller_efficiency_share: Band,
    /// From the bank to the water, 0 to 1.
    pub overall_efficiency_share: Band,
    /// Volts that the motor asks for.
    pub motor_v: Band,
    /// Motor (phase) current.
    pub phase_current_a: Band,
    /// Winding when held for hours.
    pub winding_temperature_c: Band,
    /// Bank volts under load.
    pub bank_v: Band,
    /// Bank current.
    pub bank_a: Band,
    /// Power out of the bank, standing loads included.
    pub bank_power_w: Band,
    /// Energy for each mile through the water.
    pub energy_wh_per_nmi: Band,
    /// Blade tip speed.
    pub tip_speed_m_s: Band,
    /// Blade loading over the cavitation limit, 0 to 1.
    pub cavitation_share: Band,
}

impl StateView {
    /// From figures indexed by [`Figure`].
    #[must_use]
    pub fn of(figures: &[Interval]) -> Self {
        let band = |figure: Figure, unit: f64| Band::of(figures[figure as usize], unit);
        let winding = figures[Figure::WindingTemperature as usize];
        let celsius = Interval {
            value: winding.value - ZERO_CELSIUS_K,
            p10: winding.p10 - ZERO_CELSIUS_K,
            p90: winding.p90 - ZERO_CELSIUS_K,
        };
        Self {
            speed_kn: band(Figure::Speed, KNOT_M_S),
            shaft_speed_rpm: band(Figure::ShaftSpeed, RPM_REV_S),
            shaft_torque_n_m: band(Figure::ShaftTorque, 1.0),
            delivered_power_w: band(Figure::DeliveredPower, 1.0),
            resistance_n: band(Figure::Resistance, 1.0),
            thrust_n: band(Figure::Thrust, 1.0),
            apparent_slip_share: band(Figure::Slip, 1.0),
            propeller_efficiency_share: band(Figure::PropellerEfficiency, 1.0),
            overall_efficiency_share: band(Figure::OverallEfficiency, 1.0),
            motor_v: band(Figure::MotorVolts, 1.0),
            phase_current_a: band(Figure::PhaseCurrent, 1.0),
            winding_temperature_c: Band::of(celsius, 1.0),
            bank_v: band(Figure::BankVolts, 1.0),
            bank_a: band(Figure::BankCurrent, 1.0),
            bank_power_w: band(Figure::BankPower, 1.0),
            energy_wh_per_nmi: band(Figure::EnergyPerMile, WATT_HOUR_J / NAUTICAL_MILE_M),
            tip_speed_m_s: band(Figure::TipSpeed, 1.0),
            cavitation_share: band(Figure::CavitationShare, 1.0),
        }
    }
}

fn throttle_view(row: &ThrottleRow) -> ThrottleView {
    ThrottleView {
        throttle_share: row.throttle,
        binding_limit: row.limit.key(),
        state: StateView::of(&row.figures),
    }
}

/// The view of a study.
#[must_use]
pub fn drive_view(name: &str, spec: &BoatSpec, study: &Study, paper: &Paper) -> Envelope<DriveView> {
    let finding = drive_finding(name, spec, study, paper);
    let full = &study.answers.full;
    let result = DriveView {
        binding_limit: full.held.limit.key(),
        limits: study
            .limits
            .iter()
            .map(|row| LimitView {
                limit: row.limit.key(),
                words: row.limit.words(),
                share_used: row.share_used,
                alone_stops_at_kn: row.alone_m_s.map(|v| v / KNOT_M_S),
                binds_in_share: row.binds_in,
                remedy: row.limit.remedy(),
            })
            .collect(),
        full_throttle: StateView::of(&study.full),
        burst_speed_kn: full.burst.map(|burst| burst.state.speed_m_s / KNOT_M_S),
        next_limit_speed_kn: study.next_speed_m_s.map(|next| Band::of(next, KNOT_M_S)),
        next_limit: full.next.map(|next| next.limit.key()),
        bollard_pull_n: study.bollard_n.map(|pull| Band::of(pull, 1.0)),
        throttle: study.throttles.iter().map(throttle_view).collect(),
        throttle_without_way: study
            .throttles_without_way
            .iter()
            .map(|(throttle, why)| NoWayView { throttle_share: *throttle, why: why.to_string() })
            .collect(),
        watt_ladder: study
            .ladder
            .steps()
            .into_iter()
            .map(|(step, power_w)| StepView { step, power_w })
            .collect(),
        cells_w: study.ladder.cells_w,
        second_opinions: study
            .second_opinions
            .iter()
            .map(|rival| SecondOpinionView {
                method: rival.method.words(),
                resistance_n: rival.resistance_n,
                speed_kn: rival.speed_m_s / KNOT_M_S,
            })
            .collect(),
        width_of_speed: study
            .width_of_speed
            .iter()
            .map(|w| WidthView { input: w.input.key(), words: w.input.words(), share: w.share })
            .collect(),
        samples: study.samples.0,
        samples_left_out: study.samples.1,
    };
    Envelope {
        format: "wakewright/drive".to_owned(),
        version: FORMAT_VERSION,
        boat: name.to_owned(),
        finding: finding.sentence,
        further: finding.further,
        result,
        notices: study.notices.iter().map(NoticeView::of).collect(),
    }
}
