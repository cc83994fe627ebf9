//! Amp-hours counted since full against what the banks should give, one after the other. Not for: how the count was made.

use super::{CRUISING, LOADS};
use crate::battery::{Bank, Load, discharge};
use crate::boat::BoatSpec;
use crate::sheet::Interval;

/// A bank of those that are used one after the other.
#[derive(Debug, Clone, PartialEq)]
pub struct UsedRow {
    /// Its name; none for the drive's own.
    pub name: Option<String>,
    /// Charge that it gives from full to its reserve at the cruising load \[C\].
    pub gives: Interval,
    /// What of the count came out of it, the banks before it being down to their reserves \[C\].
    pub given: Interval,
    /// What is left in it above its reserve \[C\].
    pub left: Interval,
}

/// Charge of the drive's bank and of those after it, from full to the reserve \[C\]; 0 where one cannot carry the load.
pub(super) fn charges_coulomb(spec: &BoatSpec, loads_w: &[f64; LOADS.len()]) -> Vec<f64> {
    let (boat, power_w) = (&spec.boat, loads_w[CRUISING]);
    let gives = |bank: &Bank, reserve: f64| {
        discharge(bank, Load::PowerW(power_w), 1.0, reserve).map_or(0.0, |run| run.charge_coulomb)
    };
    let further = boat.further.iter().filter(|further| further.follows(&boat.bank));
    let further = further.map(|further| gives(&further.bank, further.reserve(boat.reserve)));
    std::iter::once(gives(&boat.bank, boat.reserve)).chain(further).collect()
}

/// The count shared out among the banks, by the charges of every sample.
pub(super) fn used_rows(spec: &BoatSpec, used_coulomb: f64, samples: &[Vec<f64>]) -> Vec<UsedRow> {
    let further = spec.boat.further.iter().filter(|further| further.follows(&spec.boat.bank));
    let names: Vec<Option<String>> =
        std::iter::once(None).chain(further.map(|further| Some(further.name.clone()))).collect();
    let rows = names.into_iter().enumerate().filter_map(|(bank, name)| {
        let over = |of: &dyn Fn(f64, f64) -> f64| {
            let mut values: Vec<f64> = samples
                .iter()
                .filter_map(|charges| {
                    let before: f64 = charges.iter().take(bank).sum();
                    Some(of(*charges.get(bank)?, (used_coulomb - before).max(0.0)))
                })
                .collect();
            Interval::over(&mut values)
        };
        Some(UsedRow {
            name,
            gives: over(&|gives, _| gives)?,
            given: over(&|gives, asked| asked.min(gives))?,
            left: over(&|gives, asked| (gives - asked).max(0.0))?,
        })
    });
    rows.collect()
}
