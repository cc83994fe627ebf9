//! In which unit and with how many decimals a measure and its differences are written. A difference
//! knows no zero of a scale. Not for: alignment.

use wakewright_core::options::MeasureKind;
use wakewright_core::study::{Figure, Interval};
use wakewright_units::{Quantity, UnitSystem, format_number, unit_for};

use crate::text::Paper;

/// How a measure is written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scale {
    pub symbol: &'static str,
    factor: f64,
    offset: f64,
    pub decimals: usize,
}

impl Scale {
    pub fn of(kind: MeasureKind, paper: &Paper) -> Self {
        let plain = |symbol, factor, decimals| Self { symbol, factor, offset: 0.0, decimals };
        let is_us = paper.units == UnitSystem::Us;
        match kind {
            MeasureKind::TimeToHeat => plain("min", 60.0, 0),
            MeasureKind::StoppingTime => plain("s", 1.0, 0),
            // Stresses are spoken of in N/mm², whatever else is in mbar.
            MeasureKind::ShaftStress | MeasureKind::ShaftStressAtLimit if !is_us => plain("N/mm²", 1e6, 1),
            MeasureKind::StoppingDistance => Self::usual(Quantity::Length, paper, 0),
            _ => Self::usual(kind.quantity(), paper, decimals(kind, is_us)),
        }
    }

    fn usual(quantity: Quantity, paper: &Paper, decimals: usize) -> Self {
        let unit = unit_for(quantity, paper.units);
        Self { symbol: unit.symbol(), factor: unit.factor, offset: unit.offset, decimals }
    }

    /// A value as a number of units.
    pub fn number(&self, si: f64) -> f64 {
        (si - self.offset) / self.factor
    }

    /// A difference as a number of units.
    pub fn step(&self, si: f64) -> f64 {
        si / self.factor
    }

    /// A value in its unit, without it.
    pub fn value(&self, si: f64) -> String {
        format_number(self.number(si), self.decimals)
    }

    /// The band of a value: `3.9-4.6`; empty where it has none.
    pub fn band(&self, interval: Interval) -> String {
        let (low, high) = (self.value(interval.p10), self.value(interval.p90));
        match low == high {
            true => String::new(),
            false => joined(&low, &high),
        }
    }

    /// A difference with its sign.
    pub fn signed(&self, si: f64) -> String {
        let text = format_number(self.step(si), self.decimals);
        if si > 0.0 && text.bytes().any(|b| matches!(b, b'1'..=b'9')) { format!("+{text}") } else { text }
    }

    /// The band of a difference: `+0.51-0.70` where both ends have one sign, else `−0.02/+0.08`.
    pub fn signed_band(&self, interval: Interval) -> String {
        let (low, high) = (self.signed(interval.p10), self.signed(interval.p90));
        let size = |si: f64| format_number(self.step(si).abs(), self.decimals);
        match (interval.p10 > 0.0, interval.p90 < 0.0) {
            _ if low == high => low,
            (true, _) => format!("{low}-{}", size(interval.p90)),
            (_, true) => format!("{high}-{}", size(interval.p10)),
            _ => format!("{low}/{high}"),
        }
    }

    /// The band of a difference from its low to its high end: `−18 to −11`.
    pub fn signed_ends(&self, interval: Interval) -> String {
        let (low, high) = (self.signed(interval.p10), self.signed(interval.p90));
        if low == high { String::new() } else { format!("{low} to {high}") }
    }

    /// The size of a difference, without its unit.
    pub fn size(&self, si: f64) -> String {
        format_number(self.step(si).abs(), self.decimals)
    }

    /// The size of a difference with its unit.
    pub fn amount(&self, si: f64) -> String {
        format!("{} {}", self.size(si), self.symbol).trim_end().to_owned()
    }

    /// A value with its unit.
    pub fn with_unit(&self, si: f64) -> String {
        format!("{} {}", self.value(si), self.symbol).trim_end().to_owned()
    }
}

fn decimals(kind: MeasureKind, is_us: bool) -> usize {
    match kind {
        MeasureKind::State(Figure::Speed | Figure::DeliveredPower | Figure::BankPower) => 2,
        MeasureKind::State(Figure::TipSpeed) | MeasureKind::Range => 1,
        MeasureKind::Clearance | MeasureKind::Sinkage | MeasureKind::Trim if is_us => 1,
        _ => 0,
    }
}

/// A stretch of values: `3.9-4.6`, and `−3 to 4` where a minus would be read as a dash.
fn joined(low: &str, high: &str) -> String {
    if low.starts_with('−') { format!("{low} to {high}") } else { format!("{low}-{high}") }
}
