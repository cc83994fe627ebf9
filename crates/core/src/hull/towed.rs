//! Resistance that was measured by towing, for a hull that no published fit covers.
//! Not for: reading the table from a file.

use super::{HullError, positive};

/// Speeds and the pull in the tow line, in calm deep water without wind.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TowedResistance {
    /// Speeds through the water, rising \[m/s\].
    pub speeds_m_s: Vec<f64>,
    /// Pull at these speeds, rising \[N\].
    pub drags_n: Vec<f64>,
}

/// A smooth curve through the table and the origin that rises where the table rises.
///
/// Piecewise cubic, slopes by weighted harmonic means. Source: \[fritsch1984\] (Fritsch & Butland).
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TowedCurve {
    speeds_m_s: Vec<f64>,
    drags_n: Vec<f64>,
    slopes: Vec<f64>,
}

impl TowedCurve {
    /// Checks the table and prepares the curve.
    pub fn new(table: &TowedResistance) -> Result<Self, HullError> {
        check(table)?;
        let mut speeds_m_s = vec![0.0];
        speeds_m_s.extend_from_slice(&table.speeds_m_s);
        let mut drags_n = vec![0.0];
        drags_n.extend_from_slice(&table.drags_n);
        let last = speeds_m_s.len() - 1;
        let width = |i: usize| speeds_m_s[i + 1] - speeds_m_s[i];
        let secant = |i: usize| (drags_n[i + 1] - drags_n[i]) / width(i);
        // Resistance leaves the origin without slope; the last slope is that of the last secant.
        let between = (1..last).map(|i| {
            let (before, after) = (secant(i - 1), secant(i));
            let share = (width(i - 1) + 2.0 * width(i)) / (3.0 * (width(i - 1) + width(i)));
            before * after / (share * after + (1.0 - share) * before)
        });
        let slopes = std::iter::once(0.0).chain(between).chain([secant(last - 1)]).collect();
        Ok(Self { speeds_m_s, drags_n, slopes })
    }

    /// Highest speed of the table \[m/s\].
    pub fn max_speed_m_s(&self) -> f64 {
        self.speeds_m_s[self.speeds_m_s.len() - 1]
    }

    /// Pull and its derivative by speed.
    pub fn drag_and_slope(&self, speed_m_s: f64) -> (f64, f64) {
        let upper = self.speeds_m_s.partition_point(|&s| s <= speed_m_s).clamp(1, self.speeds_m_s.len() - 1);
        let i = upper - 1;
        let width = self.speeds_m_s[upper] - self.speeds_m_s[i];
        let cubic = super::cubic::hermite(
            [self.drags_n[i], self.drags_n[upper]],
            [self.slopes[i] * width, self.slopes[upper] * width],
        );
        let t = (speed_m_s - self.speeds_m_s[i]) / width;
        (super::cubic::cubic_value(&cubic, t), super::cubic::cubic_slope(&cubic, t) / width)
    }
}

fn check(table: &TowedResistance) -> Result<(), HullError> {
    let rows = table.speeds_m_s.len();
    if rows != table.drags_n.len() {
        let row = rows.min(table.drags_n.len()) + 1;
        return Err(HullError::TowingTable { row, problem: "give one pull for each speed" });
    }
    if rows < 3 {
        let problem = "give at least three speeds, the highest at or above the speed of interest";
        return Err(HullError::TowingTable { row: rows, problem });
    }
    positive("first speed of the towing table", table.speeds_m_s[0])?;
    positive("first pull of the towing table", table.drags_n[0])?;
    for row in 1..rows {
        let rises = |column: &[f64]| column[row].is_finite() && column[row] > column[row - 1];
        if !rises(&table.speeds_m_s) {
            let problem = "speed must be higher than in the row before: sort the rows";
            return Err(HullError::TowingTable { row: row + 1, problem });
        }
        if !rises(&table.drags_n) {
            let problem = "pull must be higher than in the row before: average runs at the same \
                           speed, or drop the one taken in a gust or a surge";
            return Err(HullError::TowingTable { row: row + 1, problem });
        }
    }
    Ok(())
}
