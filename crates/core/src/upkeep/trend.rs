//! A value read again and again: a straight line with the error of its readings, the smallest change that they could
//! have shown, the day when a limit is reached. Not for: values that jump, seasons, what a value means.

use jiff::civil::Date;

use crate::spread::{DEVIATE_P90, Interval};

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The day.
    pub day: Date,
    /// What was read, in any unit that all readings share.
    pub value: f64,
    /// Half of its 80 % band, above 0.
    pub error: f64,
}

/// Why readings have no trend.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoTrend {
    /// There is none.
    Nothing,
    /// One reading shows where it stands, not where it goes.
    One,
    /// All are of one day.
    OneDay,
}

/// On which side of a limit a value is bad.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bad {
    /// Play, volts lost, drips.
    Above,
    /// Insulation, capacity, thickness.
    Below,
}

/// When a limit is reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reached {
    /// One time in ten it is reached before; the day of the last reading where it may be reached already.
    pub from: Option<Date>,
    /// As often before as after.
    pub middle: Option<Date>,
    /// Nine times in ten it is reached before; `None` where the readings leave open whether it ever is.
    pub to: Option<Date>,
}

/// A straight line through readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trend {
    /// Number of readings.
    pub readings: usize,
    /// The first day.
    pub first: Date,
    /// The last day.
    pub last: Date,
    /// By how much more than their errors say the readings scatter, 1 where they agree with them.
    pub scatter: f64,
    middle_years: f64,
    middle: f64,
    slope_per_year: f64,
    middle_sd: f64,
    slope_sd: f64,
}

/// Days of a year.
const YEAR_DAYS: f64 = 365.25;

/// How far ahead a limit is looked for: nobody's bank is asked after longer.
const MOST_DAYS: u32 = 40 * 366;

/// Normal deviate beyond which a slope is called a change: wrong one time in twenty where nothing changes.
const SURE_DEVIATE: f64 = 1.959_963_984_540_054;

/// Scatter that errors explain is exceeded one time in a hundred.
const RARE_DEVIATE: f64 = 2.326_347_874_040_841;

impl Trend {
    /// The line of least squares, each reading weighed by its error. Where the readings scatter so much more than
    /// their errors say that it would happen one time in a hundred, the errors grow until they agree.
    ///
    /// `b = sum w (t - t_m)(v - v_m) / sum w (t - t_m)²`, `w = 1 / sd²`, `sd = error / 1.2816`; variances `1 / sum w`
    /// of the middle, `1 / sum w (t - t_m)²` of the slope.
    /// # Source
    /// Weighted least squares, textbook; errors that grow by their scatter after Birge (1932), from memory; the
    /// hundredth of chi-square by Wilson and Hilferty (1931), from memory.
    /// # Valid for
    /// Errors that are independent from reading to reading: another meter or another load each time is one, the
    /// same meter that reads wrong every time is not seen.
    /// # Errors
    /// [`NoTrend`].
    /// # Example
    /// By hand: 10 and 8 two years apart, each sure to 1.2816, fall by 1 a year with a standard deviation of
    /// sqrt(2) / 2.
    /// ```
    /// # use wakewright_core::upkeep::{Reading, Trend};
    /// # use jiff::civil::date;
    /// let read = |year, value| Reading { day: date(year, 5, 1), value, error: 1.2816 };
    /// let trend = Trend::of(&[read(2024, 10.0), read(2026, 8.0)]).unwrap();
    /// let fall = trend.per_year();
    /// assert!((fall.value + 1.0).abs() < 2e-3 && (fall.p90 - fall.value - 1.2816 * 0.7071).abs() < 2e-3);
    /// ```
    pub fn of(readings: &[Reading]) -> Result<Self, NoTrend> {
        let first = readings.iter().map(|read| read.day).min().ok_or(NoTrend::Nothing)?;
        let last = readings.iter().map(|read| read.day).max().ok_or(NoTrend::Nothing)?;
        if readings.len() == 1 {
            return Err(NoTrend::One);
        }
        if first == last {
            return Err(NoTrend::OneDay);
        }
        let weighed = || {
            readings.iter().map(|read| {
                let sd = (read.error / DEVIATE_P90).max(f64::MIN_POSITIVE.sqrt());
                (1.0 / (sd * sd), years(first, read.day), read.value)
            })
        };
        let sum = |of: &dyn Fn(f64, f64, f64) -> f64| -> f64 { weighed().map(|(w, t, v)| of(w, t, v)).sum() };
        let weight = sum(&|w, _, _| w);
        let middle_years = sum(&|w, t, _| w * t) / weight;
        let middle = sum(&|w, _, v| w * v) / weight;
        let square = sum(&|w, t, _| w * (t - middle_years).powi(2));
        let slope_per_year = sum(&|w, t, v| w * (t - middle_years) * (v - middle)) / square;
        let scattered = sum(&|w, t, v| w * (v - middle - slope_per_year * (t - middle_years)).powi(2));
        let freedom = readings.len() as f64 - 2.0;
        let ninth = 2.0 / (9.0 * freedom);
        let scatter =
            if freedom > 0.0 && scattered > freedom * (1.0 - ninth + RARE_DEVIATE * ninth.sqrt()).powi(3) {
                (scattered / freedom).sqrt()
            } else {
                1.0
            };
        Ok(Self {
            readings: readings.len(),
            first,
            last,
            scatter,
            middle_years,
            middle,
            slope_per_year,
            middle_sd: scatter / weight.sqrt(),
            slope_sd: scatter / square.sqrt(),
        })
    }

    /// Change in a year.
    #[must_use]
    pub fn per_year(&self) -> Interval {
        banded(self.slope_per_year, self.slope_sd)
    }

    /// The line on a day.
    #[must_use]
    pub fn on(&self, day: Date) -> Interval {
        let (value, sd) = self.line(years(self.first, day));
        banded(value, sd)
    }

    /// True where the readings show a change: nothing changing would look so one time in twenty.
    #[must_use]
    pub fn shows_change(&self) -> bool {
        self.slope_per_year.abs() > SURE_DEVIATE * self.slope_sd
    }

    /// The smallest change from the first day to the last that these readings would show nine times in ten.
    ///
    /// `(1.96 + 1.28) sd_b (t_last - t_first)`.
    /// # Source
    /// Smallest change that can be detected, with 5 and 10 % of errors of the first and the second kind; textbook.
    /// # Example
    /// By hand: of two readings, each with a standard deviation of 1, it is 3.24 times the square root of 2, whatever
    /// lies between them.
    /// ```
    /// # use wakewright_core::upkeep::{Reading, Trend};
    /// # use jiff::civil::date;
    /// let read = |year, value| Reading { day: date(year, 5, 1), value, error: 1.2816 };
    /// let trend = Trend::of(&[read(2024, 10.0), read(2026, 8.0)]).unwrap();
    /// assert!((trend.smallest_change() - 3.2415 * 2.0_f64.sqrt()).abs() < 1e-3);
    /// ```
    #[must_use]
    pub fn smallest_change(&self) -> f64 {
        (SURE_DEVIATE + DEVIATE_P90) * self.slope_sd * years(self.first, self.last)
    }

    /// When the line reaches `limit`, known to `limit_error` (half of its 80 % band), from the last reading on.
    ///
    /// The first days on which `(limit - v(t)) / sqrt(sd_v(t)² + sd_limit²)` passes -1.28, 0 and 1.28, towards the bad
    /// side. The ends of the band are those of Fieller's, which hold the truth four times in five whatever the slope;
    /// where the slope is not sure the later end is open.
    /// # Source
    /// Fieller (1954), from memory.
    /// # Valid for
    /// As long as it goes on as it went. Looked for 40 years ahead.
    /// # Example
    /// By hand: 10 and 8 two years apart, sure to very little, are 5 three years later.
    /// ```
    /// # use wakewright_core::upkeep::{Bad, Reading, Trend};
    /// # use jiff::civil::date;
    /// let read = |year, value| Reading { day: date(year, 5, 1), value, error: 1e-6 };
    /// let trend = Trend::of(&[read(2024, 10.0), read(2026, 8.0)]).unwrap();
    /// let reached = trend.reaches(5.0, 0.0, Bad::Below).middle.unwrap();
    /// assert!((date(2029, 5, 1).since(reached).unwrap().get_days()).abs() <= 2, "{reached}");
    /// ```
    #[must_use]
    pub fn reaches(&self, limit: f64, limit_error: f64, bad: Bad) -> Reached {
        let limit_sd = limit_error / DEVIATE_P90;
        let start = years(self.first, self.last);
        let beyond = |days: u32| {
            let (value, sd) = self.line(start + f64::from(days) / YEAR_DAYS);
            let past = if bad == Bad::Below { limit - value } else { value - limit };
            past / sd.hypot(limit_sd).max(f64::MIN_POSITIVE)
        };
        let when = |deviate: f64| {
            let days = (0..MOST_DAYS).find(|&days| beyond(days) >= deviate)?;
            self.last.checked_add(jiff::Span::new().days(i64::from(days))).ok()
        };
        Reached { from: when(-DEVIATE_P90), middle: when(0.0), to: when(DEVIATE_P90) }
    }

    fn line(&self, at_years: f64) -> (f64, f64) {
        let off = at_years - self.middle_years;
        (self.middle + self.slope_per_year * off, self.middle_sd.hypot(self.slope_sd * off))
    }
}

fn banded(value: f64, sd: f64) -> Interval {
    Interval { value, p10: value - DEVIATE_P90 * sd, p90: value + DEVIATE_P90 * sd }
}

/// Years from one day to another.
fn years(from: Date, to: Date) -> f64 {
    f64::from(from.until(to).map_or(0, |span| span.get_days())) / YEAR_DAYS
}
