//! What was found over the years: what is due, values with their trends, the bank's fade. Not for: figures and sheets.

use std::collections::BTreeSet;

use jiff::ToSpan;
use jiff::civil::Date;

use super::capacity::Capacity;
use super::checklist::{Item, Measured};
use super::trend::{Bad, NoTrend, Reached, Reading, Trend};
use crate::notice::Notice;
use crate::spread::Interval;

/// What was found at an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Found {
    /// In order.
    Good,
    /// To be looked at again.
    Watch,
    /// To be put right before she goes.
    ActNow,
    /// Not looked at.
    NotLookedAt,
}

impl Found {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Good, Self::Watch, Self::ActNow, Self::NotLookedAt];

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::Watch => "watch",
            Self::ActNow => "act now",
            Self::NotLookedAt => "not looked at",
        }
    }
}

/// When an item was looked at last, and what was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// The day.
    pub day: Date,
    /// What.
    pub found: Found,
}

/// An item of her list.
#[derive(Debug, Clone)]
pub struct Listed {
    /// The item.
    pub item: &'static Item,
    /// The last look.
    pub last: Option<Look>,
    /// What was noted then.
    pub note: String,
    /// Readings of its value, in the order of their days.
    pub readings: Vec<Reading>,
}

impl Listed {
    /// When it is to be looked at next; `None` where it never was, which is now.
    #[must_use]
    pub fn due(&self) -> Option<Date> {
        let look = self.last?;
        look.day.checked_add(i64::from(self.item.months).months()).ok()
    }

    /// True where it is due on that day.
    #[must_use]
    pub fn is_due(&self, today: Date) -> bool {
        self.due().is_none_or(|due| due <= today)
    }
}

/// A test of the bank.
#[derive(Debug, Clone, PartialEq)]
pub struct Tested {
    /// The day.
    pub day: Date,
    /// What was tested; empty for the whole bank.
    pub of: String,
    /// What it told.
    pub capacity: Capacity,
}

/// What is asked.
#[derive(Debug, Clone)]
pub struct UpkeepAsked {
    /// The day.
    pub today: Date,
    /// Check-ups that are kept.
    pub checkups: usize,
    /// Her list.
    pub list: Vec<Listed>,
    /// Tests of the bank, in the order of their days.
    pub tests: Vec<Tested>,
    /// Share of the rated capacity at which the bank counts as worn.
    pub worn_share: f64,
    /// Share that the longest trip takes, where one is told.
    pub trip_share: Option<Interval>,
}

/// A value with its trend.
#[derive(Debug, Clone)]
pub struct ValueRow {
    /// The item.
    pub item: &'static Item,
    /// What is measured there.
    pub measured: Measured,
    /// The last reading.
    pub last: Reading,
    /// All of them.
    pub readings: Vec<Reading>,
    /// Its line.
    pub trend: Result<Trend, NoTrend>,
    /// When it reaches its limit.
    pub reached: Option<Reached>,
}

impl ValueRow {
    /// True where the last reading is beyond the limit, band and all or in part.
    #[must_use]
    pub fn is_beyond(&self) -> bool {
        self.measured.limit.is_some_and(|limit| match self.measured.bad {
            Bad::Above => self.last.value > limit,
            Bad::Below => self.last.value < limit,
        })
    }
}

/// A bank, a group or a pack by its tests.
#[derive(Debug, Clone)]
pub struct PartRow {
    /// What; empty for the drive's bank.
    pub of: String,
    /// Its last test.
    pub last: Tested,
    /// Its line.
    pub trend: Result<Trend, NoTrend>,
}

impl PartRow {
    fn of(tests: &[Tested], of: &str) -> Option<Self> {
        let hers = || tests.iter().filter(|test| test.of == of);
        let readings: Vec<Reading> = hers()
            .map(|test| Reading {
                day: test.day,
                value: test.capacity.share.value,
                error: 0.5 * (test.capacity.share.p90 - test.capacity.share.p10),
            })
            .collect();
        Some(Self { of: of.to_owned(), last: hers().next_back()?.clone(), trend: Trend::of(&readings) })
    }

    /// Share of the rated capacity that it holds on a day; by its one test where there is no line.
    #[must_use]
    pub fn on(&self, day: Date) -> Interval {
        self.trend.map_or(self.last.capacity.share, |line| line.on(day))
    }

    /// Loss in a year; below nothing it gains.
    #[must_use]
    pub fn fall_per_year(&self) -> Option<Interval> {
        let Interval { value, p10, p90 } = self.trend.ok()?.per_year();
        Some(Interval { value: -value, p10: -p90, p90: -p10 })
    }
}

/// What was found.
#[derive(Debug, Clone)]
pub struct UpkeepStudy {
    /// What was asked.
    pub asked: UpkeepAsked,
    /// Values that were read.
    pub values: Vec<ValueRow>,
    /// What was tested, each by its own tests, the drive's bank first.
    pub parts: Vec<PartRow>,
    /// The line of the bank's tests.
    pub fade: Result<Trend, NoTrend>,
    /// When the bank counts as worn.
    pub worn: Option<Reached>,
    /// When it no longer does the longest trip.
    pub trip: Option<Reached>,
    /// What to read first.
    pub notices: Vec<Notice>,
}

impl UpkeepStudy {
    /// Puts together what was kept. Bank, groups and packs have lines of their own; dates are told of the drive's bank alone.
    #[must_use]
    pub fn of(asked: UpkeepAsked, notices: Vec<Notice>) -> Self {
        let values = asked.list.iter().filter_map(value_row).collect();
        let names: BTreeSet<&str> = asked.tests.iter().map(|test| test.of.as_str()).collect();
        let parts: Vec<PartRow> = names.into_iter().filter_map(|of| PartRow::of(&asked.tests, of)).collect();
        let fade =
            parts.iter().find(|part| part.of.is_empty()).map_or(Err(NoTrend::Nothing), |bank| bank.trend);
        let worn = fade.ok().map(|line| line.reaches(asked.worn_share, 0.0, Bad::Below));
        let trip = fade
            .ok()
            .zip(asked.trip_share)
            .map(|(line, need)| line.reaches(need.value, 0.5 * (need.p90 - need.p10), Bad::Below));
        Self { asked, values, parts, fade, worn, trip, notices }
    }

    /// The drive's bank as a whole, where it was tested.
    #[must_use]
    pub fn bank(&self) -> Option<&PartRow> {
        self.parts.iter().find(|part| part.of.is_empty())
    }

    /// Capacity that the bank's tests tell for today, over the rated one.
    #[must_use]
    pub fn capacity_now(&self) -> Option<Interval> {
        Some(self.bank()?.on(self.asked.today))
    }

    /// Loss of the bank in a year; below nothing it gains.
    #[must_use]
    pub fn fall_per_year(&self) -> Option<Interval> {
        self.bank()?.fall_per_year()
    }
}

fn value_row(listed: &Listed) -> Option<ValueRow> {
    let measured = listed.item.measured?;
    let last = *listed.readings.last()?;
    let trend = Trend::of(&listed.readings);
    let reached = trend.ok().zip(measured.limit).map(|(line, limit)| line.reaches(limit, 0.0, measured.bad));
    Some(ValueRow { item: listed.item, measured, last, readings: listed.readings.clone(), trend, reached })
}
