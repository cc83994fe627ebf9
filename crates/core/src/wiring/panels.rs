//! Panels as strings, and the air that carries heat away. Not for: what panels give (`solar`).

use super::harness::{Harness, PanelString};
use super::rule::{Judged, RuleKind};
use crate::constants::ZERO_CELSIUS_K;

/// Rise of the open-circuit volts of silicon cells for each kelvin colder than 25 °C: -0.27 to -0.36 %/K, the upper end. From
/// memory.
const COLDER_1_K: f64 = 0.003_6;
/// Coldest panel that counts where the boat is not colder \[K\]: common practice, no source.
const COLD_PANEL_K: f64 = ZERO_CELSIUS_K - 10.0;
/// Strings from which the others can drive more into a shorted one than it stands: from memory.
const MANY_STRINGS: u32 = 3;

/// Open-circuit volts of panels in series on a cold morning \[V\]: `n V (1 + 0.0036 (25 °C - T))`.
///
/// # Source
/// Textbook; the coefficient is the upper end of sheets of silicon panels, from memory.
/// # Valid for
/// Crystalline silicon.
/// # Accuracy
/// Some per cent above what a sheet's own coefficient gives.
/// # Example
/// By hand: 3 of 22 V at -10 °C: 66 x (1 + 0.0036 x 35) = 74.3 V.
/// ```
/// # use wakewright_core::wiring::cold_open_v;
/// assert!((cold_open_v(3, 22.0, 263.15) - 74.32).abs() < 0.01);
/// ```
#[must_use]
pub fn cold_open_v(in_series: u32, open_v: f64, coldest_k: f64) -> f64 {
    let colder = (ZERO_CELSIUS_K + 25.0 - coldest_k).max(0.0);
    f64::from(in_series) * open_v * (1.0 + COLDER_1_K * colder)
}

/// Air that carries `heat_w` away at a rise of `rise_k` \[m³/h\]: `P / (rho c dT)`.
///
/// # Source
/// Textbook; air of 1.2 kg/m³ and 1005 J/(kg K).
/// # Valid for
/// Near the ground.
/// # Accuracy
/// 5 % between 0 and 40 °C.
/// # Example
/// By hand: 1 kW at 10 K: 1000 / (1.2 x 1005 x 10) x 3600 = 298.5 m³/h.
/// ```
/// # use wakewright_core::wiring::air_m3_h;
/// assert!((air_m3_h(1000.0, 10.0) - 298.5).abs() < 0.1);
/// ```
#[must_use]
pub fn air_m3_h(heat_w: f64, rise_k: f64) -> f64 {
    const AIR_J_M3_K: f64 = 1.2 * 1005.0;
    3600.0 * heat_w / (AIR_J_M3_K * rise_k)
}

/// The rules on panels as strings.
pub(super) fn judge_panels(harness: &Harness) -> Vec<Judged> {
    let coldest_k = harness.coldest_k.min(COLD_PANEL_K);
    let panels = harness.panels.iter().zip(1..);
    panels.flat_map(|(panel, number)| of_panel(panel, number, coldest_k)).collect()
}

fn of_panel(panel: &PanelString, number: usize, coldest_k: f64) -> Vec<Judged> {
    let part = format!("panels {number}");
    let volts = panel.in_series.zip(panel.open_v).map(|(n, open_v)| cold_open_v(n, open_v, coldest_k));
    let mut rules =
        vec![Judged::held(RuleKind::StringVolts, &part, volts, panel.regulator_v, |found, limit| {
            found <= limit
        })];
    let strings = panel.in_series.map(|n| panel.count / n.max(1));
    if strings.unwrap_or(panel.count) >= MANY_STRINGS {
        let holds = strings.and(panel.is_fused);
        rules.push(Judged::said(RuleKind::StringFuse, &part, holds));
    }
    rules
}
