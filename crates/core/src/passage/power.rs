//! What a speed costs at the charge that she has: tables of the steady state over speed and charge. Not for: the state itself.

use super::supply::Held;
use crate::boat::Boat;
use crate::steady::{Ask, BoatError, PreparedBoat};

/// Power over speed at one charge.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerRow {
    /// Share of all that her banks hold.
    pub share: f64,
    /// Power of the drive out of the bank at each speed \[W\]; not a number where the balance has none.
    pub power_w: Vec<f64>,
    /// The fastest that she holds \[m/s\].
    pub fastest_m_s: f64,
}

/// Power over speed and charge.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerTable {
    /// First speed through the water \[m/s\].
    pub first_m_s: f64,
    /// From one speed to the next \[m/s\].
    pub step_m_s: f64,
    /// At charges that fall.
    pub rows: Vec<PowerRow>,
}

impl PowerTable {
    /// Power over speed at one charge, straight between those of the table.
    #[must_use]
    pub fn at(&self, share: f64) -> PowerCurve {
        let (one, other, part) = self.about(share);
        let between = |(one, other): (&f64, &f64)| if part > 0.0 { one + (other - one) * part } else { *one };
        let power_w = one.power_w.iter().zip(&other.power_w).map(between).collect();
        PowerCurve { first_m_s: self.first_m_s, step_m_s: self.step_m_s, power_w }
    }

    /// Power at a speed and a charge \[W\].
    #[must_use]
    pub fn power_w(&self, speed_m_s: f64, share: f64) -> f64 {
        let (one, other, part) = self.about(share);
        let place = (speed_m_s - self.first_m_s) / self.step_m_s;
        let at = |row: &PowerRow| cubic(&row.power_w, place);
        at(one) + if part > 0.0 { (at(other) - at(one)) * part } else { 0.0 }
    }

    /// The fastest that she holds at a charge \[m/s\].
    #[must_use]
    pub fn fastest_m_s(&self, share: f64) -> f64 {
        let (one, other, part) = self.about(share);
        one.fastest_m_s + (other.fastest_m_s - one.fastest_m_s) * part
    }

    /// Last speed of the table \[m/s\].
    #[must_use]
    pub fn last_m_s(&self) -> f64 {
        let count = self.rows.first().map_or(1, |row| row.power_w.len());
        self.first_m_s + (count - 1) as f64 * self.step_m_s
    }

    /// Brings power and fastest speed to the middle of what `samples` of the same table have at their first charge: a boat at
    /// the means of her inputs is not the middle of those that she may be.
    pub fn to_middle(&mut self, samples: &[PowerTable]) {
        let middle = |of: &dyn Fn(&PowerTable) -> f64| {
            let mut all: Vec<f64> = samples.iter().map(of).filter(|value| value.is_finite()).collect();
            crate::spread::quantiles(&mut all).map(|all| all.median)
        };
        let Some((first, table)) = self.rows.first().cloned().zip(samples.first()) else { return };
        let factor = |i: usize| {
            let speed = table.first_m_s + i as f64 * table.step_m_s;
            let own = cubic(&first.power_w, (speed - self.first_m_s) / self.step_m_s);
            middle(&|sample| cubic(&sample.rows[0].power_w, i as f64) / own).unwrap_or(1.0)
        };
        let factors: Vec<f64> = (0..table.rows[0].power_w.len()).map(factor).collect();
        let faster = middle(&|sample| sample.rows[0].fastest_m_s / first.fastest_m_s).unwrap_or(1.0);
        let (from, step) = (table.first_m_s, table.step_m_s);
        for row in &mut self.rows {
            row.fastest_m_s *= faster;
            for (i, power) in row.power_w.iter_mut().enumerate() {
                *power *= cubic(&factors, (self.first_m_s + i as f64 * self.step_m_s - from) / step);
            }
        }
    }

    fn about(&self, share: f64) -> (&PowerRow, &PowerRow, f64) {
        let next = self.rows.partition_point(|row| row.share > share);
        let last = self.rows.len() - 1;
        let (one, other) = (&self.rows[next.saturating_sub(1).min(last)], &self.rows[next.min(last)]);
        let span = one.share - other.share;
        (one, other, if span > 1e-9 { ((one.share - share) / span).clamp(0.0, 1.0) } else { 0.0 })
    }
}

/// Power over speed.
#[derive(Debug, Clone)]
pub struct PowerCurve {
    first_m_s: f64,
    step_m_s: f64,
    power_w: Vec<f64>,
}

impl PowerCurve {
    /// Power at a speed \[W\], by a curve of the third order through the four speeds about it.
    #[must_use]
    pub fn power_w(&self, speed_m_s: f64) -> f64 {
        cubic(&self.power_w, (speed_m_s - self.first_m_s) / self.step_m_s)
    }
}

/// Catmull and Rom's curve through equal steps; straight beside the ends.
fn cubic(values: &[f64], place: f64) -> f64 {
    let last = values.len() - 1;
    let place = place.clamp(0.0, last as f64);
    let i = (place as usize).min(last.saturating_sub(1));
    let x = place - i as f64;
    let (b, c) = (values[i], values[(i + 1).min(last)]);
    if x == 0.0 {
        return b;
    }
    let a = if i > 0 { values[i - 1] } else { 2.0 * b - c };
    let d = values.get(i + 2).copied().filter(|d| d.is_finite()).unwrap_or(2.0 * c - b);
    b + 0.5 * x * (c - a + x * (2.0 * a - 5.0 * b + 4.0 * c - d + x * (3.0 * (b - c) + d - a)))
}

/// What a leg has of its own.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Setting {
    /// Wind from ahead \[m/s\]; none: as the sea is stated.
    pub head_wind_m_s: Option<f64>,
    /// Depth of water \[m\]; none: as the sea is stated.
    pub depth_m: Option<f64>,
}

impl Setting {
    /// Her there.
    fn of(&self, boat: &Boat) -> Boat {
        let mut there = boat.clone();
        there.sea.true_head_wind_m_s = self.head_wind_m_s.unwrap_or(there.sea.true_head_wind_m_s);
        there.sea.depth_m = self.depth_m.or(there.sea.depth_m);
        there
    }
}

/// Tables for each of `settings`, `count` speeds from the first to the last of `speeds_m_s`, at each of `charges`.
/// # Errors
/// As [`PreparedBoat::new`].
pub fn power_tables(
    boat: &Boat,
    charges: &[Held],
    settings: &[Setting],
    (slowest_m_s, fastest_m_s): (f64, f64),
    count: usize,
) -> Result<Vec<PowerTable>, BoatError> {
    let step_m_s = (fastest_m_s - slowest_m_s) / (count - 1) as f64;
    let table = |setting: &Setting| {
        let there = setting.of(boat);
        let first = PreparedBoat::new(&there)?.value;
        let rows = charges.iter().map(|held| {
            let prepared = first.with_drive_of(&held.boat(&there))?.value;
            Ok(row(&prepared, held.share, (slowest_m_s, step_m_s), count))
        });
        let rows = rows.collect::<Result<_, BoatError>>()?;
        Ok(PowerTable { first_m_s: slowest_m_s, step_m_s, rows })
    };
    settings.iter().map(table).collect()
}

/// Revolutions of the propeller shaft at a speed in a setting at a charge \[rev/s\]; none where the balance has no such state.
#[must_use]
pub fn shaft_rev_s(boat: &Boat, held: &Held, setting: &Setting, speed_m_s: f64) -> Option<f64> {
    let prepared = PreparedBoat::new(&held.boat(&setting.of(boat))).ok()?.value;
    Some(prepared.solve(Ask::Speed(speed_m_s)).ok()?.state.shaft_rev_s)
}

fn row(prepared: &PreparedBoat, share: f64, (first_m_s, step_m_s): (f64, f64), count: usize) -> PowerRow {
    let mut power_w = Vec::with_capacity(count);
    // Largest share of a limit at the speed before, while all of them held.
    let mut before = 0.0;
    let mut fastest_m_s = None;
    for i in 0..count {
        let speed = first_m_s + i as f64 * step_m_s;
        let Ok(bound) = prepared.solve(Ask::Speed(speed)) else {
            // The wind alone drives her as fast: the drive rests.
            if prepared.hull().resistance_n(speed) <= 0.0 {
                power_w.push(0.0);
                before = 0.0;
                continue;
            }
            power_w.push(f64::NAN);
            fastest_m_s.get_or_insert(speed - step_m_s);
            continue;
        };
        power_w.push(bound.state.bank_power_w() - prepared.house_power_w());
        let used = bound.usage.iter().copied().fold(0.0, f64::max);
        if used > 1.0 && fastest_m_s.is_none() {
            let part = if i > 0 { (1.0 - before) / (used - before) } else { 1.0 };
            fastest_m_s = Some(speed - step_m_s * (1.0 - part));
        }
        before = used;
    }
    PowerRow { share, power_w, fastest_m_s: fastest_m_s.unwrap_or(first_m_s + (count - 1) as f64 * step_m_s) }
}
