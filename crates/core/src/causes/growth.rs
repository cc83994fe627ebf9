//! How rough the bottom may be when nobody looked, from the months since it was cleaned.
//! Not for: what roughness costs (`fouling`).

use crate::fouling::FoulingCondition;
use crate::spread::Spread;

/// Sand height of clean antifouling, where growth begins \[m\].
pub(crate) const CLEAN_M: f64 = 30e-6;
/// Growth of the sand height by month in temperate water: threefold (one step of the scale) in three to
/// four months. Judgement, no source.
pub(crate) const RATE_PER_MONTH: f64 = 0.33;
/// The rate doubles in this many kelvin, as that of most living things. Common practice, no source.
const DOUBLING_K: f64 = 10.0;
/// Water to which the rate belongs \[K\].
const TEMPERATE_K: f64 = 288.15;
/// Growth that has its fill \[m\].
pub(crate) const FULL_M: f64 = 5e-3;

/// By how much faster it grows than in water of 15 °C.
#[must_use]
pub(crate) fn warmth(water_temperature_k: f64) -> f64 {
    ((water_temperature_k - TEMPERATE_K) / DOUBLING_K).exp2()
}

/// Equivalent sand height of the bottom \[m\] so many months after it was cleaned, not looked at.
///
/// `ks = 30 um exp(0.33 months 2^((T - 15 °C)/10 K))`, at most 5 mm; the 80 % band is a factor of
/// 1.8 when clean and widens to 5.
/// # Source
/// Judgement, no source: by that rule slime after three months, weed and small barnacles after ten, in
/// 15 °C water. Paint, place and use differ more than any formula: hence the band.
/// # Example
/// By hand: in 15 °C it trebles in ln 3 / 0.33 = 3.33 months, from 30 to 90 um.
/// ```
/// # use wakewright_core::causes::growth_spread;
/// assert!((growth_spread(3.33, 288.15).median - 90e-6).abs() < 0.1e-6);
/// ```
#[must_use]
pub fn growth_spread(months_since_cleaning: f64, water_temperature_k: f64) -> Spread {
    let months = months_since_cleaning.max(0.0);
    let rate = RATE_PER_MONTH * warmth(water_temperature_k);
    let exponent = (rate * months).min((FULL_M / CLEAN_M).ln());
    let median = CLEAN_M * exponent.exp();
    let factor = (1.8_f64.ln() + 0.3 * exponent).min(5.0_f64.ln()).exp();
    Spread::factor(median / factor, median, median * factor)
}

/// Sand height of a surface: as seen, else by months, else as the document has it.
#[must_use]
pub(super) fn surface_spread(
    observed: Option<FoulingCondition>,
    months: Option<(f64, f64)>,
    document: Spread,
) -> Spread {
    match (observed, months) {
        (Some(condition), _) => condition.sand_height_spread(),
        (None, Some((months, temperature_k))) => growth_spread(months, temperature_k),
        // The document's look was made on another day: the band is widened to a step either side.
        (None, None) => widened(document, 3.0),
    }
}

/// `spread` with its band widened by `factor` either side.
fn widened(spread: Spread, factor: f64) -> Spread {
    Spread::factor(spread.p10 / factor, spread.median, spread.p90 * factor)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grows_with_months_and_warmth() {
        let after = |months: f64, celsius: f64| growth_spread(months, 273.15 + celsius).median;
        assert!((after(0.0, 15.0) - 30e-6).abs() < 1e-12);
        assert!(after(3.0, 15.0) < after(6.0, 15.0) && after(6.0, 10.0) < after(6.0, 20.0));
        assert!(after(60.0, 25.0) <= 5e-3 * (1.0 + 1e-12));
    }
}
