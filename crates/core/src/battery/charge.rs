//! Charging: constant current until the cells' voltage is reached, then a current that dies away; how
//! much they accept at each state of charge, how long a charge takes.
//! Not for: where the power comes from.

use super::bank::Bank;
use super::chemistry::Chemistry;
use super::{BankError, positive, within};

/// Steps of the state of charge over which a charge is followed.
const STEPS: u32 = 400;

/// The second part of a charge: `I = I_cc exp(-t / tau)` down to the current at which it ends.
///
/// # Source
/// \[cccv2024\]; the charge by integration.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Taper {
    /// Current at its beginning \[A\].
    pub from_a: f64,
    /// Current at which the charge is called complete \[A\].
    pub to_a: f64,
    /// Time in which the current falls to 1/e \[s\].
    pub time_constant_s: f64,
}

impl Taper {
    /// The taper between two currents that brings a given charge: `tau = Q / (I_cc - I_cut)`.
    /// # Example
    /// The worked example of \[cccv2024\]: 1 Ah from 2.5 A down to 0.25 A, 26.7 min to 1/e, 61 min in all.
    /// ```
    /// # use wakewright_core::battery::Taper;
    /// let taper = Taper::of_charge(2.5, 0.25, 3600.0);
    /// assert!((taper.time_constant_s / 60.0 - 26.7).abs() < 0.05);
    /// assert!((taper.duration_s() / 60.0 - 61.0).abs() < 0.5);
    /// ```
    #[must_use]
    pub fn of_charge(from_a: f64, to_a: f64, charge_coulomb: f64) -> Self {
        Self { from_a, to_a, time_constant_s: charge_coulomb / (from_a - to_a) }
    }

    /// How long it takes \[s\]: `tau ln(I_cc / I_cut)`.
    #[must_use]
    pub fn duration_s(&self) -> f64 {
        self.time_constant_s * (self.from_a / self.to_a).ln()
    }

    /// Charge that it brings \[C\]: `tau (I_cc - I_cut)`.
    #[must_use]
    pub fn charge_coulomb(&self) -> f64 {
        self.time_constant_s * (self.from_a - self.to_a)
    }
}

/// Current that cells accept against their state of charge: a straight line that ends at the cut-off
/// current when full. A charge limited by it is the exponential taper of [`Taper`]; a weaker source
/// meets it later, as slow charges do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Acceptance {
    /// State of charge at which a charge at the reference current reaches the voltage limit.
    pub taper_from: f64,
    /// Reference current \[A\].
    pub reference_a: f64,
    /// Current accepted when full \[A\].
    pub full_a: f64,
}

impl Acceptance {
    /// Of cells of this chemistry with a capacity of `capacity_coulomb`.
    ///
    /// Taper from: iron phosphate 92 %, oxides 75 % at half an hour's rate, lead 75 % at a fifth; complete
    /// at 5 % (lead 2 %) of the hour's rate.
    /// # Source
    /// From memory (70 to 80 % for oxides at half to one hour's rate, 90 % and more for iron phosphate at
    /// low rates); the maker's charge curve goes before it.
    /// # Example
    /// By hand: 100 Ah of oxide take half the hour's rate at 75 %, a twentieth when full.
    /// ```
    /// # use wakewright_core::battery::{Acceptance, Chemistry};
    /// let accepts = Acceptance::of(Chemistry::Nmc811, 360_000.0);
    /// assert!((accepts.current_a(0.75) - 50.0).abs() < 1e-9);
    /// assert!((accepts.current_a(1.0) - 5.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn of(chemistry: Chemistry, capacity_coulomb: f64) -> Self {
        let hour_rate_a = capacity_coulomb / 3600.0;
        let (taper_from, reference, full) = match chemistry {
            Chemistry::Lfp => (0.92, 0.5, 0.05),
            Chemistry::Nmc111 | Chemistry::Nmc811 => (0.75, 0.5, 0.05),
            Chemistry::LeadFlooded | Chemistry::LeadAgm | Chemistry::LeadGel => (0.75, 0.2, 0.02),
        };
        Self { taper_from, reference_a: reference * hour_rate_a, full_a: full * hour_rate_a }
    }

    /// Current accepted at a state of charge \[A\].
    #[must_use]
    pub fn current_a(&self, state_of_charge: f64) -> f64 {
        let left = (1.0 - state_of_charge).max(0.0);
        self.full_a + (self.reference_a - self.full_a) * left / (1.0 - self.taper_from)
    }
}

/// A charge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Charging {
    /// How long it takes \[s\].
    pub duration_s: f64,
    /// Part of that in which source or protection limits \[s\].
    pub constant_s: f64,
    /// Part in which the cells limit, by their voltage or by their cold \[s\].
    pub taper_s: f64,
    /// Charge into the terminals \[C\].
    pub charge_coulomb: f64,
    /// Energy into the bank's terminals \[J\].
    pub energy_j: f64,
    /// Energy that stays in the cells \[J\]: rest volts times what stays of the charge.
    pub stored_j: f64,
}

/// Charges `bank` with `power_w` at the controller's terminals from one state of charge to another (its
/// own is not used); `None` when it takes no charge: too cold, too hot.
///
/// `dt = C ds / (eta I)`, `I` the least of what source, protection, highest voltage and acceptance give, and
/// of what cold cells may take ([`Chemistry::cold_charge_rate_1_h`]).
/// # Source
/// Charge balance; acceptance as [`Acceptance::of`].
/// # Valid for
/// Constant temperature.
/// # Accuracy
/// That of the acceptance: the end of a charge may take half or twice the time.
/// # Errors
/// As [`Bank::check`]; [`super::Impossible::Outside`] when not `0 <= from <= to <= 1`,
/// [`super::Impossible::NotPositive`] for a power that is not.
/// # Example
/// By hand: a strong source meets the taper at once; 25 Ah / 0.990 from 50 to 5 A, so 0.5612 h x ln 10 = 1.292 h.
/// ```
/// # use wakewright_core::battery::{Bank, Chemistry, PackGroup, charge};
/// let bank = Bank::of(PackGroup::new(Chemistry::Nmc111, 16, 360_000.0, 1), 0.5);
/// let found = charge(&bank, 50_000.0, 0.75, 1.0).unwrap().unwrap();
/// assert!((found.duration_s / 3600.0 - 1.292).abs() < 0.002);
/// ```
pub fn charge(bank: &Bank, power_w: f64, from: f64, to: f64) -> Result<Option<Charging>, BankError> {
    bank.check()?;
    within("state of charge at the end", to, (0.0, 1.0), "")?;
    within("state of charge at the start", from, (0.0, to), "")?;
    positive("charging power", power_w)?;
    let chemistry = bank.groups[0].chemistry;
    let efficiency = chemistry.coulombic_efficiency(bank.temperature_k);
    let mut at = bank.clone();
    let mut found = Charging {
        duration_s: 0.0,
        constant_s: 0.0,
        taper_s: 0.0,
        charge_coulomb: 0.0,
        energy_j: 0.0,
        stored_j: 0.0,
    };
    let width = (to - from) / f64::from(STEPS);
    for step in 0..STEPS {
        at.state_of_charge = from + (f64::from(step) + 0.5) * width;
        let now = at.prepare_checked(chemistry);
        let acceptance = Acceptance::of(chemistry, now.capacity_coulomb);
        let accepted_a = acceptance.current_a(at.state_of_charge).min(now.cold_charge_limit_a);
        let offered_a = now.terminal(-power_w).map_or(0.0, |terminal| -terminal.current_a);
        // The highest voltage is what the acceptance stands for.
        let limited_a = offered_a.min(now.charge_limit_a);
        let current_a = limited_a.min(accepted_a);
        let do_cells_limit = accepted_a < offered_a && accepted_a <= limited_a;
        if current_a <= 0.0 {
            return Ok(None);
        }
        let duration_s = now.capacity_coulomb * width / (efficiency * current_a);
        found.duration_s += duration_s;
        *(if do_cells_limit { &mut found.taper_s } else { &mut found.constant_s }) += duration_s;
        found.charge_coulomb += current_a * duration_s;
        found.energy_j += current_a * now.voltage_at_v(-current_a) * duration_s;
        found.stored_j += current_a * efficiency * now.open_circuit_v * duration_s;
    }
    Ok(Some(found))
}
