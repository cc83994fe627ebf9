//! Groups of packs in parallel at one state of charge: their common voltage, how they share the
//! current, and what the others carry when one drops out.
//! Not for: banks of different voltage (each is a bank of its own), time (`discharge`).

use super::chemistry::Chemistry;
use super::pack::PackGroup;
use super::prepared::PreparedBank;
use super::{BankError, WET_TOUCH_LIMIT_V, positive, within};
use crate::caution::{COOL_TO_CHARGE, TOO_COLD_TO_CHARGE};
use crate::notice::{Notice, Severity, push_once};

/// Packs in parallel.
#[derive(Debug, Clone, PartialEq)]
pub struct Bank {
    /// Groups, all of one chemistry and cell count.
    pub groups: Vec<PackGroup>,
    /// Cables from the packs to the controller, there and back \[ohm\].
    pub cable_resistance_ohm: f64,
    /// Like banks that these packs are shared out among, each with such cables and a drive of its own; two where each of
    /// two drives has its own half of the packs and both run, else one. Alike and alike loaded, they stand as one.
    pub banks: u8,
    /// Cell temperature \[K\].
    pub temperature_k: f64,
    /// State of charge, 0 to 1, of every pack.
    pub state_of_charge: f64,
    /// Measured rest voltage of the bank less that of the table \[V\], 0 when not calibrated.
    pub open_circuit_offset_v: f64,
}

/// What is left when one pack has tripped at some load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnePackLost {
    /// Group of the pack that was lost: the one whose loss leaves the others worst off.
    pub group: usize,
    /// The remaining bank.
    pub remaining: PreparedBank,
    /// Current that the load now draws from it \[A\]; `None` when it can't carry the load at all.
    pub current_a: Option<f64>,
    /// That current over the current at which the next pack trips (0 without limits).
    pub share_of_limit: f64,
    /// The load must fall to this for the rest to carry it \[W\].
    pub power_available_w: f64,
    /// The rest carry the load: no cascade.
    pub holds: bool,
}

impl OnePackLost {
    /// Whether the rest carry the load; `None` where nothing says what they may give.
    #[must_use]
    pub fn surely_holds(&self) -> Option<bool> {
        let is_limit_known = self.share_of_limit > 0.0 && self.share_of_limit.is_finite();
        (!self.holds || is_limit_known).then_some(self.holds)
    }
}

impl Bank {
    /// One group at 25 °C without cables.
    #[must_use]
    pub fn of(group: PackGroup, state_of_charge: f64) -> Self {
        Self {
            groups: vec![group],
            cable_resistance_ohm: 0.0,
            banks: 1,
            temperature_k: super::chemistry::CELL_REFERENCE_K,
            state_of_charge,
            open_circuit_offset_v: 0.0,
        }
    }

    /// The bank after `years` of lying charged, every pack's health less its chemistry's loss at the standard
    /// normal `deviate` of its band; never below a twentieth. Resistance rises as what is left shrinks,
    /// whether it was stated or not.
    /// # Source
    /// [`Chemistry::calendar_loss_per_year`]; resistance as [`PackGroup::reference_resistance_ohm`] has it for
    /// a pack of less capacity, judgement.
    /// # Example
    /// By hand: 6.5 % in 30 months \[ageing2022\] is 2.6 % a year, 13 % in five years.
    /// ```
    /// # use wakewright_core::battery::{Bank, Chemistry, PackGroup};
    /// let bank = Bank::of(PackGroup::new(Chemistry::Lfp, 16, 360_000.0, 1), 0.5);
    /// assert!((bank.after_years(5.0, 0.0).groups[0].health - 0.87).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn after_years(&self, years: f64, deviate: f64) -> Self {
        /// Least that is taken to be left: a figure to compute with, not a bank to sail with.
        const LEAST: f64 = 0.05;
        let mut aged = self.clone();
        for group in &mut aged.groups {
            let loss = group.chemistry.calendar_loss_per_year().at_deviate(deviate);
            let before = group.health;
            group.health = (before * (1.0 - loss * years).max(LEAST)).max(LEAST);
            group.resistance_ohm = group.resistance_ohm.map(|ohm| ohm * before / group.health);
        }
        aged
    }

    /// That the packs may stand in parallel and every figure can be.
    ///
    /// # Errors
    /// [`BankError`] naming the first thing that is wrong.
    pub fn check(&self) -> Result<(), BankError> {
        let first = self.groups.first().ok_or(BankError::Empty)?;
        for group in &self.groups {
            group.check()?;
            if group.chemistry != first.chemistry {
                return Err(BankError::MixedChemistry { first: first.chemistry, other: group.chemistry });
            }
            if group.cells_in_series != first.cells_in_series {
                return Err(BankError::MixedVoltage {
                    first: first.cells_in_series,
                    other: group.cells_in_series,
                });
            }
        }
        within("state of charge", self.state_of_charge, (0.0, 1.0), "")?;
        within("cable resistance", self.cable_resistance_ohm, (0.0, 1.0), "")?;
        positive("cell temperature", self.temperature_k)?;
        Ok(())
    }

    /// The bank as its terminals show it at its state of charge and temperature.
    ///
    /// Pack conductances add; the bank reaches its limit when the first pack reaches its own.
    /// # Errors
    /// As [`Bank::check`].
    pub fn prepare(&self) -> Result<PreparedBank, BankError> {
        self.check()?;
        Ok(self.prepare_checked(self.groups[0].chemistry))
    }

    /// [`Bank::prepare`] after the checks.
    pub(crate) fn prepare_checked(&self, chemistry: Chemistry) -> PreparedBank {
        let factor = self.resistance_factor(chemistry);
        let mut conductance_s = 0.0;
        let mut capacity_coulomb = 0.0;
        let mut low_voltage_v = 0.0_f64;
        // Reference voltage drop (at 25 °C, well charged) at which the first pack is at its limit.
        let mut discharge_drop_v = f64::INFINITY;
        let mut charge_drop_v = f64::INFINITY;
        let mut cold_drop_v = f64::INFINITY;
        let cold_rate_1_s = chemistry.cold_charge_rate_1_h(self.temperature_k) / 3600.0;
        for group in &self.groups {
            let resistance_ohm = group.reference_resistance_ohm();
            conductance_s += f64::from(group.packs_in_parallel) / resistance_ohm;
            capacity_coulomb += group.aged_capacity_coulomb();
            low_voltage_v = low_voltage_v.max(group.cut_out_v());
            let drop = |limit_a: Option<f64>| limit_a.map_or(f64::INFINITY, |limit| limit * resistance_ohm);
            discharge_drop_v = discharge_drop_v.min(drop(group.bms_discharge_a));
            charge_drop_v = charge_drop_v.min(drop(Some(group.charge_limit_a())));
            let cold_a = cold_rate_1_s * group.capacity_coulomb * group.health;
            cold_drop_v = cold_drop_v.min(drop(Some(cold_a)));
        }
        let temperatures = chemistry.temperatures();
        let allowed = |low: f64, high: f64| self.temperature_k >= low && self.temperature_k <= high;
        let may_discharge = allowed(temperatures.discharge_low_k, temperatures.discharge_high_k);
        let may_charge =
            self.state_of_charge < 1.0 && allowed(temperatures.charge_low_k, temperatures.charge_high_k);
        let cells = self.groups.first().map_or(0.0, |group| f64::from(group.cells_in_series));
        PreparedBank {
            open_circuit_v: cells * chemistry.open_circuit_v(self.state_of_charge)
                + self.open_circuit_offset_v,
            packs_resistance_ohm: factor / conductance_s,
            cable_resistance_ohm: self.cable_resistance_ohm / f64::from(self.banks),
            discharge_limit_a: if may_discharge { discharge_drop_v * conductance_s } else { 0.0 },
            charge_limit_a: if may_charge { charge_drop_v.min(cold_drop_v) * conductance_s } else { 0.0 },
            cold_charge_limit_a: cold_drop_v * conductance_s,
            low_voltage_v,
            high_voltage_v: cells * chemistry.window().highest_v,
            capacity_coulomb: capacity_coulomb * chemistry.capacity_factor(self.temperature_k),
            rating_s: chemistry.rating_s(),
            peukert_exponent: chemistry.peukert_exponent().median,
        }
    }

    fn resistance_factor(&self, chemistry: Chemistry) -> f64 {
        chemistry.resistance_factor_cold(self.temperature_k)
            * chemistry.resistance_factor_low(self.state_of_charge)
    }

    /// Current of one pack of each group at a bank current \[A\]: in proportion to conductance.
    ///
    /// # Source
    /// Current divider; textbook.
    /// # Example
    /// By hand: 100 A over 2 and 3 mΩ part as 3 to 2.
    /// ```
    /// # use wakewright_core::battery::{Bank, Chemistry, PackGroup};
    /// let pack = PackGroup::new(Chemistry::Lfp, 16, 360_000.0, 1);
    /// let with = |ohm: f64| PackGroup { resistance_ohm: Some(ohm), ..pack };
    /// let bank = Bank { groups: vec![with(0.002), with(0.003)], ..Bank::of(pack, 0.5) };
    /// let shares = bank.pack_currents_a(100.0);
    /// assert!((shares[0] - 60.0).abs() < 1e-9 && (shares[1] - 40.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn pack_currents_a(&self, bank_current_a: f64) -> Vec<f64> {
        let total_s: f64 =
            self.groups.iter().map(|g| f64::from(g.packs_in_parallel) / g.reference_resistance_ohm()).sum();
        self.groups.iter().map(|g| bank_current_a / (g.reference_resistance_ohm() * total_s)).collect()
    }

    /// The bank after one pack of `group` has dropped out, of [`Self::banks`] one of each; `None` when it was the last, or
    /// there is no such group.
    #[must_use]
    pub fn without_pack(&self, group: usize) -> Option<Self> {
        let mut rest = self.clone();
        let lost = rest.groups.get_mut(group)?;
        lost.packs_in_parallel = lost.packs_in_parallel.checked_sub(u32::from(self.banks))?;
        if lost.packs_in_parallel == 0 {
            rest.groups.remove(group);
        }
        (!rest.groups.is_empty()).then_some(rest)
    }

    /// What happens at a load when one pack trips: the loss that leaves the least power. `None` when
    /// there is only one pack.
    ///
    /// # Source
    /// Judgement from published accounts of parallel packs \[parallelpacks2023\]: the tripped pack's
    /// share falls on the others, and each may trip in turn.
    /// # Errors
    /// As [`Bank::check`].
    /// # Example
    /// By hand: of two packs of 100 A and 10 mΩ one is left; 16 cells at 3.2781 V less 1 V give 5145 W.
    /// ```
    /// # use wakewright_core::battery::{Bank, Chemistry, PackGroup};
    /// let mut pack = PackGroup::new(Chemistry::Lfp, 16, 360_000.0, 2);
    /// (pack.resistance_ohm, pack.bms_discharge_a) = (Some(0.010), Some(100.0));
    /// let lost = Bank::of(pack, 0.5).after_one_pack_trips(6000.0).unwrap().unwrap();
    /// assert!(!lost.holds && (lost.power_available_w - 5145.0).abs() < 0.5);
    /// ```
    pub fn after_one_pack_trips(&self, power_w: f64) -> Result<Option<OnePackLost>, BankError> {
        self.check()?;
        let chemistry = self.groups[0].chemistry;
        let outcome = |group: usize| {
            let remaining = self.without_pack(group)?.prepare_checked(chemistry);
            let ceiling = remaining.ceiling();
            let current_a = remaining.terminal(power_w).map(|terminal| terminal.current_a);
            let share_of_limit =
                current_a.map_or(f64::INFINITY, |current| current / remaining.discharge_limit_a);
            Some(OnePackLost {
                group,
                remaining,
                current_a,
                share_of_limit,
                power_available_w: ceiling.power_w,
                holds: power_w <= ceiling.power_w,
            })
        };
        Ok((0..self.groups.len())
            .filter_map(outcome)
            .min_by(|a, b| a.power_available_w.total_cmp(&b.power_available_w)))
    }

    /// Highest voltage at its terminals while it is charged \[V\].
    #[must_use]
    pub fn highest_charging_v(&self) -> f64 {
        self.groups.iter().map(PackGroup::highest_charging_v).fold(0.0, f64::max)
    }

    /// True when a pack in it is of lithium cells.
    #[must_use]
    pub fn has_lithium(&self) -> bool {
        self.groups.iter().any(|group| !group.chemistry.is_lead())
    }

    /// True when a pack in it is lead.
    #[must_use]
    pub fn has_lead(&self) -> bool {
        self.groups.iter().any(|group| group.chemistry.is_lead())
    }

    /// What its temperature says about charging it.
    #[must_use]
    pub fn charging_notices(&self) -> Vec<Notice> {
        let mut notices = Vec::new();
        for chemistry in
            self.groups.iter().map(|group| group.chemistry).filter(|chemistry| !chemistry.is_lead())
        {
            let rate = chemistry.cold_charge_rate_1_h(self.temperature_k);
            if rate == 0.0 {
                push_once(&mut notices, TOO_COLD_TO_CHARGE);
            } else if rate.is_finite() {
                push_once(&mut notices, COOL_TO_CHARGE);
            }
        }
        notices
    }

    /// What to know before the figures of this bank are used: estimates and cautions.
    #[must_use]
    pub fn notices(&self) -> Vec<Notice> {
        let remark = |notices: &mut Vec<Notice>, severity, text, source| {
            push_once(notices, Notice::Remark { severity, text, source });
        };
        let mut notices = Vec::new();
        if self.banks > 1 {
            remark(
                &mut notices,
                Severity::Weak,
                "Each drive has its own half of the packs. When a pack drops out the others of its half alone carry that drive; it is \
                 reckoned as one lost in each half, since the drives are taken as alike.",
                "common practice, no source",
            );
        }
        for group in &self.groups {
            if !group.exceeds_touch_limit() && group.highest_charging_v() > WET_TOUCH_LIMIT_V {
                remark(
                    &mut notices,
                    Severity::Note,
                    "This bank passes 30 V when charged: safe to touch only where it is dry. Cover every live part where \
                     spray, bilge water or wet hands come.",
                    "iec60598-2008",
                );
            }
            if group.exceeds_touch_limit() {
                remark(
                    &mut notices,
                    Severity::Caution,
                    "This bank passes 60 V when charged: above the limit that counts as safe to touch where it is dry (30 V where it is wet). \
                     Lock off, prove dead, and leave it to a qualified person.",
                    "iec60598-2008",
                );
            }
            if group.chemistry == Chemistry::Lfp {
                remark(
                    &mut notices,
                    Severity::Note,
                    "The rest voltage of iron phosphate hardly changes between 30 and 95 %: it can't tell \
                     the state of charge there.",
                    "bpx2023",
                );
            }
        }
        /// Lowest temperature at which makers' sheets mostly let lithium cells give current; common practice, no source.
        const COLDEST_LITHIUM_K: f64 = 253.15;
        if self.has_lithium() && self.temperature_k < COLDEST_LITHIUM_K {
            remark(
                &mut notices,
                Severity::Weak,
                "Below -20 °C most lithium packs give no current at all: their protection opens. What stands here holds for cells that do; \
                 the maker's sheet goes first.",
                "common practice, no source",
            );
        }
        for notice in self.charging_notices() {
            push_once(&mut notices, notice);
        }
        if self.state_of_charge >= 1.0 {
            remark(
                &mut notices,
                Severity::Caution,
                "A full bank takes no regeneration: its management system may open and the braking torque \
                 vanish.",
                "regeneration2023",
            );
        }
        for group in self.groups.iter().filter(|group| group.bms_charge_a.is_none()) {
            push_once(
                &mut notices,
                Notice::Estimated {
                    quantity: "charging current of a pack at most",
                    value: group.charge_limit_a(),
                    unit: "A",
                    basis: "half of what fills it in an hour, for lead a fifth",
                    source: "common practice, no source",
                },
            );
        }
        for group in self.groups.iter().filter(|group| group.resistance_ohm.is_some()) {
            let factor = group.chemistry.resistance_factor_cold(self.temperature_k);
            if (factor - 1.0).abs() > 0.05 {
                push_once(
                    &mut notices,
                    Notice::Estimated {
                        quantity: "pack resistance at the bank's temperature",
                        value: factor * group.reference_resistance_ohm(),
                        unit: "ohm",
                        basis: "taken as at 25 °C, by the slope of an oxide cell; iron phosphate and lead may differ",
                        source: "nrel2002",
                    },
                );
            }
        }
        for group in self.groups.iter().filter(|group| group.resistance_ohm.is_none()) {
            let value = group.reference_resistance_ohm();
            let basis = "chemistry and capacity, within a factor of 1.5";
            let source = "bpx2023";
            push_once(
                &mut notices,
                Notice::Estimated { quantity: "pack resistance", value, unit: "ohm", basis, source },
            );
        }
        notices
    }
}
