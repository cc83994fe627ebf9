//! In which unit and with how many decimals the values of one figure and their differences are written. A
//! difference knows no zero of a scale. Not for: alignment.

use wakewright_core::sheet::{Figure, Interval};
use wakewright_units::{Unit, decimals_for_column, format_number, unit_for_column};

use crate::text::Paper;

/// How a figure is written.
#[derive(Debug, Clone, Copy)]
pub struct Scale {
    /// Its unit.
    pub unit: &'static Unit,
    /// Decimals.
    pub decimals: usize,
}

impl Scale {
    /// The scale of values up to `largest_si`; the decimals are those of the unit where none are set.
    #[must_use]
    pub fn of(figure: &Figure, decimals: Option<usize>, largest_si: f64, paper: &Paper) -> Self {
        let unit = unit_for_column(figure.quantity, paper.units, largest_si);
        Self { unit, decimals: decimals.unwrap_or_else(|| decimals_for_column(unit)) }
    }

    /// `words` with the unit behind them.
    #[must_use]
    pub fn label(&self, words: &str) -> String {
        let symbol = self.unit.symbol();
        [words, symbol].join(if symbol.is_empty() { "" } else { ", " })
    }

    /// A value as a number of units.
    #[must_use]
    pub fn number(&self, si: f64) -> f64 {
        self.unit.from_si(si)
    }

    /// A difference as a number of units.
    #[must_use]
    pub fn step(&self, si: f64) -> f64 {
        si / self.unit.factor
    }

    /// A value without its unit.
    #[must_use]
    pub fn value(&self, si: f64) -> String {
        format_number(self.number(si), self.decimals)
    }

    /// A value with its unit.
    #[must_use]
    pub fn with_unit(&self, si: f64) -> String {
        format!("{} {}", self.value(si), self.unit.symbol()).trim_end().to_owned()
    }

    /// The band of a value: `3.9-4.6`, and `−3 to 4` where a minus would be read as a dash; empty where it has
    /// none.
    #[must_use]
    pub fn band(&self, interval: Interval) -> String {
        let (low, high) = (self.value(interval.p10), self.value(interval.p90));
        match low == high {
            true => String::new(),
            false if low.starts_with('−') => format!("{low} to {high}"),
            false => format!("{low}-{high}"),
        }
    }

    /// A difference with its sign.
    #[must_use]
    pub fn signed(&self, si: f64) -> String {
        let text = format_number(self.step(si), self.decimals);
        if si > 0.0 && text.bytes().any(|b| matches!(b, b'1'..=b'9')) { format!("+{text}") } else { text }
    }

    /// The band of a difference: `+0.51-0.70` where both ends have one sign, else `−0.02/+0.08`.
    #[must_use]
    pub fn signed_band(&self, interval: Interval) -> String {
        let (low, high) = (self.signed(interval.p10), self.signed(interval.p90));
        match (interval.p10 > 0.0, interval.p90 < 0.0) {
            _ if low == high => low,
            (true, _) => format!("{low}-{}", self.size(interval.p90)),
            (_, true) => format!("{high}-{}", self.size(interval.p10)),
            _ => format!("{low}/{high}"),
        }
    }

    /// The band of a difference from its low to its high end: `−18 to −11`; empty where it has none.
    #[must_use]
    pub fn signed_ends(&self, interval: Interval) -> String {
        let (low, high) = (self.signed(interval.p10), self.signed(interval.p90));
        if low == high { String::new() } else { format!("{low} to {high}") }
    }

    /// The size of a difference, without its unit.
    #[must_use]
    pub fn size(&self, si: f64) -> String {
        format_number(self.step(si).abs(), self.decimals)
    }

    /// The size of a difference with its unit.
    #[must_use]
    pub fn amount(&self, si: f64) -> String {
        format!("{} {}", self.size(si), self.unit.symbol()).trim_end().to_owned()
    }
}
