//! Waters of a secondary place from those of the port that it follows.
//! Not for: the height between waters there (`between`).

use super::Water;

/// How heights of the secondary place follow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HeightOffset {
    /// Metres added to high and to low water.
    Added {
        /// To high water \[m\].
        high_m: f64,
        /// To low water \[m\].
        low_m: f64,
    },
    /// Heights multiplied.
    Ratio {
        /// Of high water.
        high: f64,
        /// Of low water.
        low: f64,
    },
}

/// What is done to every water of the port.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Offsets {
    /// Later than its high water \[s\].
    pub high_s: f64,
    /// Later than its low water \[s\].
    pub low_s: f64,
    /// Heights.
    pub height: HeightOffset,
}

impl Offsets {
    /// The water of the secondary place.
    ///
    /// `t + dt`, and `h + dh` or `r h`, by high and low water; heights are above each place's own datum.
    /// # Source
    /// \[noaa_tides\] table 2 as recorded; checked against 24 official waters of two stations.
    /// # Valid for
    /// Source states no range.
    /// # Accuracy
    /// 2 mm and 2.7 min at two stations; the offices give none.
    /// # Errors
    /// None.
    /// # Example
    /// Ten minutes later and 0.8 times as high:
    /// ```
    /// use wakewright_core::tide::{HeightOffset, Offsets, Water};
    /// let place = Offsets { high_s: 600.0, low_s: 0.0, height: HeightOffset::Ratio { high: 0.8, low: 1.0 } };
    /// let water = place.of(&Water { unix_s: 0.0, height_m: 2.0, is_high: true });
    /// assert!(water.unix_s == 600.0 && (water.height_m - 1.6).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn of(&self, water: &Water) -> Water {
        let (later_s, by) = if water.is_high { (self.high_s, 0) } else { (self.low_s, 1) };
        let height_m = match self.height {
            HeightOffset::Added { high_m, low_m } => water.height_m + [high_m, low_m][by],
            HeightOffset::Ratio { high, low } => water.height_m * [high, low][by],
        };
        Water { unix_s: water.unix_s + later_s, height_m, is_high: water.is_high }
    }

    /// The latest by which a water can be moved, either way \[s\].
    #[must_use]
    pub fn most_s(&self) -> f64 {
        self.high_s.abs().max(self.low_s.abs())
    }
}

/// Differences for high, or for low water, as European tables give them for a secondary place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Differences {
    /// Two hours of the day at the standard port, each with its difference \[s\]; both hold twelve hours later as well.
    pub at_hours: [(f64, f64); 2],
    /// Two heights of the standard port, springs and neaps, each with its difference \[m\].
    pub at_heights: [(f64, f64); 2],
}

impl Differences {
    /// Difference of time \[s\] where the standard port's water falls on `day_s`, seconds since midnight in the
    /// tables' zone.
    ///
    /// In proportion between the two tabulated hours before and after.
    /// # Source
    /// \[secondary_ports\], read; its printed rows within 1 min (`reference/tide/secondary_port_example.csv`).
    /// # Valid for
    /// Any hour: the tabulated ones follow each other round the clock.
    /// # Accuracy
    /// Not published.
    /// # Errors
    /// None.
    /// # Example
    /// +35 min at 00:00 and 12:00, +23 at 06:00 and 18:00; half way, at 03:00, +29:
    /// ```
    /// use wakewright_core::tide::secondary::Differences;
    /// let high = Differences {
    ///     at_hours: [(0.0, 35.0 * 60.0), (6.0 * 3600.0, 23.0 * 60.0)],
    ///     at_heights: [(4.2, 1.1), (3.4, 0.8)],
    /// };
    /// assert!((high.later_s(3.0 * 3600.0) - 29.0 * 60.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn later_s(&self, day_s: f64) -> f64 {
        const HALF_DAY_S: f64 = 43_200.0;
        let [first, second] = self.at_hours;
        let since = (day_s - first.0).rem_euclid(HALF_DAY_S);
        let apart = (second.0 - first.0).rem_euclid(HALF_DAY_S);
        if since <= apart {
            first.1 + (second.1 - first.1) * since / apart
        } else {
            second.1 + (first.1 - second.1) * (since - apart) / (HALF_DAY_S - apart)
        }
    }

    /// Difference of height \[m\] where the standard port's water is `height_m`, and whether that lies beyond springs
    /// and neaps.
    ///
    /// In proportion between springs and neaps, and beyond them in the same proportion.
    /// # Source
    /// As [`Differences::later_s`].
    /// # Valid for
    /// Between springs and neaps; beyond, the second value is true.
    /// # Accuracy
    /// Not published.
    /// # Errors
    /// None.
    /// # Example
    /// 3.8 m, half way between 4.2 (+1.1) and 3.4 (+0.8), gets +0.95:
    /// ```
    /// # use wakewright_core::tide::secondary::Differences;
    /// let high = Differences { at_hours: [(0.0, 0.0), (21_600.0, 0.0)], at_heights: [(4.2, 1.1), (3.4, 0.8)] };
    /// let (higher_m, is_beyond) = high.higher_m(3.8);
    /// assert!((higher_m - 0.95).abs() < 1e-9 && !is_beyond);
    /// ```
    #[must_use]
    pub fn higher_m(&self, height_m: f64) -> (f64, bool) {
        let [springs, neaps] = self.at_heights;
        let share = (height_m - springs.0) / (neaps.0 - springs.0);
        (springs.1 + (neaps.1 - springs.1) * share, !(0.0..=1.0).contains(&share))
    }
}
