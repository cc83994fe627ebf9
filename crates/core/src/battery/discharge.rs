//! Running a bank down at a constant load: how long, how much, and what stops it.
//! Not for: loads that change with time (call it leg by leg), charging.

use super::bank::Bank;
use super::chemistry::Chemistry;
use super::peukert::depletion_factor;
use super::prepared::PreparedBank;
use super::{BankError, within};

/// Pieces of the whole range of charge on which open-circuit curves and resistance are smooth: the
/// nodes of every curve in `chemistry` are among their ends.
const PIECES: u8 = 20;

/// What the bank is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Load {
    /// Constant power at the controller \[W\].
    PowerW(f64),
    /// Constant current \[A\].
    CurrentA(f64),
}

/// What ended a discharge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StoppedBy {
    /// The state of charge asked for was reached.
    Target,
    /// The first pack cut out at its low voltage.
    LowVoltage,
    /// The first pack cut out at its current limit.
    CurrentLimit,
    /// The bank can't give that power at any current.
    PowerBeyondBank,
}

/// A discharge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Discharge {
    /// How long it lasted \[s\].
    pub duration_s: f64,
    /// Charge delivered \[C\].
    pub charge_coulomb: f64,
    /// Energy delivered to the controller \[J\].
    pub energy_j: f64,
    /// Lowest voltage at the controller \[V\].
    pub lowest_voltage_v: f64,
    /// State of charge at the end.
    pub final_state_of_charge: f64,
    /// What ended it.
    pub stopped_by: StoppedBy,
}

/// Runs `bank` from one state of charge to another at a constant load (its own state of charge is
/// not used). A load above the limits stops at once; a low-voltage cut-out stops where the sagging
/// voltage meets it, to 1e-9 of charge.
///
/// `dt = -C ds / (I (I H/C)^(k-1))`, current and voltage from the open-circuit curve and resistance
/// at each `s`, by Simpson's rule on each piece between the nodes of the open-circuit curve.
/// # Source
/// Peukert's law in differential form \[peukert2020\] for lead; charge balance for lithium.
/// # Valid for
/// Constant temperature, no recovery in pauses.
/// # Accuracy
/// That of capacity, resistance and curve; the integration adds less than 1e-4.
/// # Errors
/// As [`Bank::check`]; [`super::Impossible::Outside`] when the states of charge are not
/// `0 <= to <= from <= 1`, [`super::Impossible::NotPositive`] for a load that is not.
/// # Example
/// By hand: 100 Ah of vented lead (20 h, k 1.25) at 25 A last 20 h x (100 / 500)^1.25 = 2.675 h.
/// ```
/// # use wakewright_core::battery::{Bank, Chemistry, Load, PackGroup, discharge};
/// let mut pack = PackGroup::new(Chemistry::LeadFlooded, 6, 360_000.0, 1);
/// pack.low_voltage_v = Some(1.0);
/// let run = discharge(&Bank::of(pack, 1.0), Load::CurrentA(25.0), 1.0, 0.0).unwrap();
/// assert!((run.duration_s / 3600.0 - 2.675).abs() < 0.0005);
/// ```
pub fn discharge(
    bank: &Bank,
    load: Load,
    from_state_of_charge: f64,
    to_state_of_charge: f64,
) -> Result<Discharge, BankError> {
    bank.check()?;
    within("state of charge at the start", from_state_of_charge, (0.0, 1.0), "")?;
    within("state of charge at the end", to_state_of_charge, (0.0, from_state_of_charge), "")?;
    let (Load::PowerW(size) | Load::CurrentA(size)) = load;
    super::positive("load", size)?;

    let mut run = Run { bank: bank.clone(), chemistry: bank.groups[0].chemistry, load };
    let mut result = Discharge {
        duration_s: 0.0,
        charge_coulomb: 0.0,
        energy_j: 0.0,
        lowest_voltage_v: f64::INFINITY,
        final_state_of_charge: from_state_of_charge,
        stopped_by: StoppedBy::Target,
    };
    let mut last = match run.at(from_state_of_charge) {
        Ok(moment) => moment,
        Err(stop) => {
            result.stopped_by = stop;
            return Ok(result);
        }
    };
    result.lowest_voltage_v = last.voltage_v;
    let is_between = |node: &f64| *node < from_state_of_charge && *node > to_state_of_charge;
    let nodes = (1..PIECES).rev().map(|node| f64::from(node) / f64::from(PIECES)).filter(is_between);
    for end in nodes.chain([to_state_of_charge]) {
        let start = result.final_state_of_charge;
        let (end, next, stop) = match run.at(end) {
            Ok(next) => (end, next, None),
            Err(stop) => {
                let (end, next) = run.last_possible((start, last), end);
                (end, next, Some(stop))
            }
        };
        let middle = match run.at(0.5 * (start + end)) {
            Ok(middle) => middle,
            Err(stop) => {
                result.stopped_by = stop;
                return Ok(result);
            }
        };
        for (moment, weight) in [(last, 1.0 / 6.0), (middle, 4.0 / 6.0), (next, 1.0 / 6.0)] {
            let duration_s = weight * (start - end) / moment.rate_per_s;
            result.duration_s += duration_s;
            result.charge_coulomb += moment.current_a * duration_s;
            result.energy_j += moment.current_a * moment.voltage_v * duration_s;
        }
        result.lowest_voltage_v = result.lowest_voltage_v.min(next.voltage_v);
        result.final_state_of_charge = end;
        last = next;
        if let Some(stop) = stop {
            result.stopped_by = stop;
            break;
        }
    }
    Ok(result)
}

/// A bank being run down.
struct Run {
    bank: Bank,
    chemistry: Chemistry,
    load: Load,
}

/// The bank at one moment of the discharge.
#[derive(Clone, Copy)]
struct Moment {
    voltage_v: f64,
    current_a: f64,
    /// Fall of the state of charge \[1/s\].
    rate_per_s: f64,
}

impl Run {
    fn at(&mut self, state_of_charge: f64) -> Result<Moment, StoppedBy> {
        self.bank.state_of_charge = state_of_charge;
        let now: PreparedBank = self.bank.prepare_checked(self.chemistry);
        let current_a = match self.load {
            Load::CurrentA(current) => current,
            Load::PowerW(power) => now.terminal(power).ok_or(StoppedBy::PowerBeyondBank)?.current_a,
        };
        if current_a > now.discharge_limit_a {
            return Err(StoppedBy::CurrentLimit);
        }
        if now.pack_voltage_at_v(current_a) < now.low_voltage_v {
            return Err(StoppedBy::LowVoltage);
        }
        let faster = depletion_factor(now.capacity_coulomb, now.rating_s, current_a, now.peukert_exponent);
        Ok(Moment {
            voltage_v: now.voltage_at_v(current_a),
            current_a,
            rate_per_s: current_a * faster / now.capacity_coulomb,
        })
    }

    /// Lowest state of charge between `possible` and `impossible` at which the load is still
    /// carried, and the bank there.
    fn last_possible(&mut self, mut possible: (f64, Moment), mut impossible: f64) -> (f64, Moment) {
        while possible.0 - impossible > 1e-9 {
            let middle = 0.5 * (possible.0 + impossible);
            match self.at(middle) {
                Ok(moment) => possible = (middle, moment),
                Err(_) => impossible = middle,
            }
        }
        possible
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::battery::PackGroup;

    /// The stated 1e-4 of the integration, against the midpoint rule in 20,000 steps.
    #[test]
    fn few_points_are_enough() {
        for chemistry in Chemistry::ALL {
            for (hours, from, to) in [(8.0, 1.0, 0.0), (3.0, 0.93, 0.21), (1.2, 0.6, 0.17), (2.0, 0.31, 0.0)]
            {
                let mut group = PackGroup::new(chemistry, 16, 360_000.0, 1);
                group.low_voltage_v = Some(1.0);
                let bank = Bank::of(group, from);
                let power_w = 100.0 * bank.prepare().unwrap().open_circuit_v / hours;
                let run = discharge(&bank, Load::PowerW(power_w), from, to).unwrap();
                let mut fine = Run { bank: bank.clone(), chemistry, load: Load::PowerW(power_w) };
                let end = run.final_state_of_charge;
                let steps = 20_000;
                let width = (from - end) / f64::from(steps);
                let duration_s: f64 = (0..steps)
                    .filter_map(|i| fine.at(end + (f64::from(i) + 0.5) * width).ok())
                    .map(|moment| width / moment.rate_per_s)
                    .sum();
                let error = (run.duration_s / duration_s - 1.0).abs();
                assert!(error < 1e-4, "{chemistry:?} {hours} h, {from} to {to}: {error:.1e} {run:?}");
            }
        }
    }
}
