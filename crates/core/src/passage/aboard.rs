//! What goes on aboard whatever the drive does: loads and sun by the hour of the day. Not for: where they come from.

use wakewright_units::factors::HOUR_S;

const DAY_S: f64 = 24.0 * HOUR_S;

/// Power out of the bank by the hour, the sun taken off.
#[derive(Debug, Clone, PartialEq)]
pub struct Aboard {
    /// Energy from midnight to each hour \[J\].
    below_j: [f64; 25],
    /// Time of the day at second 0 of the passage \[s\].
    zero_s: f64,
}

impl Aboard {
    /// Loads and sun by local hour \[W\], second 0 of the passage lying at `zero_s` of the day.
    #[must_use]
    pub fn new(house_w: &[f64; 24], sun_w: &[f64; 24], zero_s: f64) -> Self {
        let mut below_j = [0.0; 25];
        for hour in 0..24 {
            below_j[hour + 1] = below_j[hour] + (house_w[hour] - sun_w[hour]) * HOUR_S;
        }
        Self { below_j, zero_s }
    }

    /// Energy since some midnight \[J\].
    pub(super) fn below_j(&self, at_s: f64) -> f64 {
        let at = at_s + self.zero_s;
        let days = (at / DAY_S).floor();
        let hours = (at - days * DAY_S) / HOUR_S;
        let hour = (hours as usize).min(23);
        days * self.below_j[24]
            + self.below_j[hour]
            + (self.below_j[hour + 1] - self.below_j[hour]) * (hours - hour as f64)
    }

    /// Energy out of the bank between two instants of the passage, less what the sun brings \[J\].
    ///
    /// The sum over the hours of load less sun, times the time in each.
    /// # Source
    /// Energy balance.
    /// # Valid for
    /// Loads and sun steady within an hour.
    /// # Accuracy
    /// Exact.
    /// # Errors
    /// None.
    /// # Example
    /// 100 W round the clock and 400 W of sun from noon to one: from 11:30 to 13:00 100 x 1.5 h - 400 x 1 h = -250 Wh:
    /// ```
    /// use wakewright_core::passage::Aboard;
    /// let mut sun_w = [0.0; 24];
    /// sun_w[12] = 400.0;
    /// let aboard = Aboard::new(&[100.0; 24], &sun_w, 11.5 * 3600.0);
    /// assert!((aboard.energy_j(0.0, 5400.0) + 250.0 * 3600.0).abs() < 1e-6);
    /// ```
    #[must_use]
    pub fn energy_j(&self, from_s: f64, to_s: f64) -> f64 {
        self.below_j(to_s) - self.below_j(from_s)
    }
}
