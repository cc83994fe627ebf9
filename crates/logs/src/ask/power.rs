//! Watts that were logged beside volts and amps that do not make them: all along, or for part of the time.
//! Not for: the unit of the watts (`table`).

use super::{Choice, Question, power_text};
use crate::battery::most_power;
use crate::battery_moves::{bins, common};
use crate::log::{Channel, Log};
use crate::measured::Measured as M;
use crate::table::Mapping;

/// Logged power against volts times amps.
pub(crate) fn power_question(log: &Log, mapping: &Mapping) -> Option<Question> {
    const KEY: &str = "power";
    const NEARNESS: f64 = 0.15;
    if mapping.answered.contains(KEY) {
        return None;
    }
    let most = |measured: M| log.of(measured).max_by_key(|c| c.count);
    let (power, volts, amps) = (most(M::Power)?, most(M::Voltage)?, most(M::Current)?);
    let logged = most_power(None, None, Some(power))?;
    let product = most_power(Some(volts), Some(amps), None)?;
    if product.abs() < 20.0 && logged.abs() < 20.0 {
        return None;
    }
    let (mut product, mut logged, mut how_long) = (product, logged, String::new());
    // Stretch by stretch: of two that are taken otherwise the middles may lie on both sides of a leap.
    let both = in_stretches(volts, amps, power);
    let ratios: Vec<f64> =
        both.iter().filter(|(p, _)| p.abs() >= 20.0).map(|(p, logged)| logged.abs() / p.abs()).collect();
    let ratio = crate::checks::median(&ratios).unwrap_or(logged.abs() / product.abs());
    if (ratio - 1.0).abs() <= NEARNESS {
        // Alike in the middle: everywhere as well?
        let all = both.len();
        let apart: Vec<(f64, f64)> = both.into_iter().filter(is_apart).collect();
        const LEAST_SHARE: f64 = 0.2;
        const LEAST: usize = 5;
        if apart.len() < LEAST || (apart.len() as f64) < LEAST_SHARE * all as f64 {
            return None;
        }
        product = crate::checks::median(&apart.iter().map(|(product, _)| *product).collect::<Vec<f64>>())?;
        logged = crate::checks::median(&apart.iter().map(|(_, logged)| *logged).collect::<Vec<f64>>())?;
        how_long = format!(" in {} of {all} stretches of ten seconds", apart.len());
    }
    let without = |measured: &[M]| {
        let mut changed = mapping.clone();
        changed.columns.retain(|c| !measured.contains(&c.measured));
        changed.answered.insert(KEY.to_owned());
        changed
    };
    let choice = |word: &str, label: &str, watts: f64, mapping: Mapping| Choice {
        word: word.to_owned(),
        label: label.to_owned(),
        gives: format!("then {}", power_text(watts)),
        mapping,
    };
    Some(Question {
        key: KEY.to_owned(),
        text: format!(
            "The power that was logged ({}) is not volts times amps ({} and {}){how_long}. Which one holds?",
            power.key(),
            volts.key(),
            amps.key()
        ),
        values: Vec::new(),
        choices: vec![
            choice("product", "volts times amps", product, without(&[M::Power])),
            choice("logged", "the power that was logged", logged, without(&[M::Voltage, M::Current])),
        ],
        cost: 2,
    })
}

/// Whether volts times amps and the logged watts differ by more than rounding and a moment's delay.
fn is_apart((product, logged): &(f64, f64)) -> bool {
    const NEARNESS: f64 = 0.15;
    const LEAST_W: f64 = 60.0;
    (product.abs() - logged.abs()).abs() > LEAST_W.max(NEARNESS * product.abs().max(logged.abs()))
}

/// Means of ten seconds of volts times amps, and of the logged watts.
fn in_stretches(volts: &Channel, amps: &Channel, power: &Channel) -> Vec<(f64, f64)> {
    let (volts, watts) = (bins(volts, false), bins(power, false));
    let mut product = bins(amps, false);
    product.retain_mut(|(bin, value)| match volts.binary_search_by_key(bin, |(bin, _)| *bin) {
        Ok(at) => {
            *value *= volts[at].1;
            true
        }
        Err(_) => false,
    });
    common(&product, &watts).collect()
}
