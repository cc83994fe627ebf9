//! Running a bank down at a constant load: how long, how much, and what stops it.
//! Not for: loads that change with time (call it leg by leg), charging.

use super::bank::Bank;
use super::chemistry::Chemistry;
use super::peukert::depletion_factor;
use super::prepared::PreparedBank;
use super::{BankError, check_between};

/// Steps over the whole span of charge.
const STEPS: usize = 200;

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
/// at each `s`, by the midpoint rule in 200 steps.
/// # Source
/// Peukert's law in differential form \[peukert2020\] for lead; charge balance for lithium.
/// # Valid for
/// Constant temperature, no recovery in pauses.
/// # Accuracy
/// That of capacity, resistance and curve; the integration adds less than 1e-4.
/// # Errors
/// As [`Bank::check`]; [`BankError::OutOfRange`] when the states of charge are not
/// `0 <= to <= from <= 1`, [`BankError::NotPositive`] for a load that is not.
pub fn discharge(
    bank: &Bank,
    load: Load,
    from_state_of_charge: f64,
    to_state_of_charge: f64,
) -> Result<Discharge, BankError> {
    bank.check()?;
    check_between("state of charge at the start", from_state_of_charge, 0.0, 1.0)?;
    check_between("state of charge at the end", to_state_of_charge, 0.0, from_state_of_charge)?;
    let (Load::PowerW(size) | Load::CurrentA(size)) = load;
    super::check_positive("load", size)?;

    let mut run = Run { bank: bank.clone(), chemistry: bank.groups[0].chemistry, load };
    let mut result = Discharge {
        duration_s: 0.0,
        charge_coulomb: 0.0,
        energy_j: 0.0,
        lowest_voltage_v: f64::INFINITY,
        final_state_of_charge: from_state_of_charge,
        stopped_by: StoppedBy::Target,
    };
    match run.at(from_state_of_charge) {
        Ok(moment) => result.lowest_voltage_v = moment.voltage_v,
        Err(stop) => {
            result.stopped_by = stop;
            return Ok(result);
        }
    }
    let span = from_state_of_charge - to_state_of_charge;
    for step in 1..=STEPS {
        let start = result.final_state_of_charge;
        let end = from_state_of_charge - span * step as f64 / STEPS as f64;
        let (end, stop) = match run.at(end) {
            Ok(_) => (end, None),
            Err(stop) => (run.last_possible(start, end), Some(stop)),
        };
        let moment = match run.at(0.5 * (start + end)) {
            Ok(moment) => moment,
            Err(stop) => {
                result.stopped_by = stop;
                return Ok(result);
            }
        };
        let duration_s = (start - end) / moment.rate_per_s;
        result.duration_s += duration_s;
        result.charge_coulomb += moment.current_a * duration_s;
        result.energy_j += moment.current_a * moment.voltage_v * duration_s;
        if let Ok(last) = run.at(end) {
            result.lowest_voltage_v = result.lowest_voltage_v.min(last.voltage_v);
        }
        result.final_state_of_charge = end;
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

    /// Lowest state of charge between `impossible` and `possible` at which the load is still
    /// carried.
    fn last_possible(&mut self, mut possible: f64, mut impossible: f64) -> f64 {
        while possible - impossible > 1e-9 {
            let middle = 0.5 * (possible + impossible);
            if self.at(middle).is_ok() {
                possible = middle;
            } else {
                impossible = middle;
            }
        }
        possible
    }
}
