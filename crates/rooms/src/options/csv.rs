//! Alternatives as comma-separated values: one row for each variant and measure, trade units.
//! Not for: text.

use wakewright_units::UnitSystem;
use wakewright_units::factors::KNOT_M_S;

use super::OptionsScene;
use super::scale::Scale;
use super::view::verdict_key;
use crate::text::Paper;

const HEAD: &str = "variant,speed_kn,measure,unit,value,p10,p90,difference,difference_p10,difference_p90,above_in_share,verdict\n";

/// The whole file. An empty speed is full throttle.
#[must_use]
pub fn options_csv(scene: &OptionsScene<'_>) -> String {
    let trade = Paper::plain(UnitSystem::Trade);
    let comparison = scene.comparison;
    let mut out = HEAD.to_owned();
    for column in &comparison.columns {
        for (m, measure) in comparison.measures.iter().enumerate() {
            let Some(interval) = column.values[m] else { continue };
            let scale = Scale::of(measure.kind, &trade);
            let speed =
                measure.speed.and_then(|i| comparison.speeds_m_s.get(i)).map(|speed| speed / KNOT_M_S);
            let mut cells = vec![
                quoted(&column.name),
                speed.map_or(String::new(), number),
                measure.kind.key().to_owned(),
                quoted(scale.symbol),
            ];
            cells.extend([interval.value, interval.p10, interval.p90].map(|si| number(scale.number(si))));
            match column.differences.get(m).copied().flatten() {
                Some(difference) => {
                    let band = difference.interval;
                    cells.extend([band.value, band.p10, band.p90].map(|si| number(scale.step(si))));
                    cells.push(number(difference.above_in));
                    cells.push(verdict_key(difference.verdict(measure.kind.better())).to_owned());
                }
                None => cells.extend(std::iter::repeat_n(String::new(), 5)),
            }
            out += &cells.join(",");
            out.push('\n');
        }
    }
    out
}

/// Six significant digits are more than any figure here deserves.
fn number(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return "0".to_owned();
    }
    let decimals = (5 - value.abs().log10().floor() as i32).clamp(0, 9) as usize;
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}
