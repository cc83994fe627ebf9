//! Which of the clocks in a log counts, and on which day. Not for: jumps (the builder sees them).

use crate::clock::{DAY_S, days_from_date};
use crate::decimal::decimal;
use crate::log::{Builder, TimeBase};

/// Sentences with a clock, the less trusted first: those with a date come after those without.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Teller {
    Position,
    Fix,
    Date,
    Minimum,
}

/// After so many readings of others, a clock that fell silent is given up.
const PATIENCE: u32 = 60;

/// A date that is told so long after midnight has been turned \[s\].
const LATEST_TURN_S: f64 = 600.0;

/// What one kind of sentence told last.
#[derive(Debug, Clone, Copy, Default)]
struct Told {
    second: Option<f64>,
    offset_s: Option<f64>,
}

/// `a - b` of seconds of a day, the short way round.
fn apart(a: f64, b: f64) -> f64 {
    (a - b + 0.5 * DAY_S).rem_euclid(DAY_S) - 0.5 * DAY_S
}

/// The clock of a log: one kind of sentence tells it, so that two that differ by a second do not
/// make it jump to and fro.
#[derive(Debug, Default)]
pub(super) struct SentenceClock {
    teller: Option<Teller>,
    others: u32,
    day: Option<i64>,
    /// Days that passed in a log without date.
    midnights: i64,
    second_of_day: Option<f64>,
    /// What each clock last told, and how far from the trusted one it is: the nearest that they were seen.
    told: [Told; 4],
    /// Yesterday's date, while it is still told after midnight.
    stale_day: Option<i64>,
    /// The receiver says of itself that it has no fix.
    pub is_void: bool,
    /// Where the builder's clock stands.
    now: Option<(TimeBase, f64)>,
    /// What stood before a sentence, in UTC: it tells the day of a clock that tells none.
    hint_s: Option<f64>,
}

impl SentenceClock {
    /// True while no sentence has told a time.
    pub fn lacks_teller(&self) -> bool {
        self.teller.is_none()
    }

    /// A time in UTC that stands before a sentence.
    pub fn hint(&mut self, time_s: f64) {
        self.hint_s = Some(time_s);
    }

    /// A sentence tells the second of the day, and perhaps the day.
    pub fn tell(&mut self, teller: Teller, second: f64, day: Option<i64>, builder: &mut Builder) {
        let before = self.told[teller as usize].second.replace(second);
        match self.teller {
            Some(known) if known > teller => {
                self.others += 1;
                if self.others < PATIENCE {
                    self.go_on(teller, second, before, builder);
                    return;
                }
            }
            _ => {}
        }
        for told in &mut self.told {
            told.nearer(second);
        }
        self.teller = Some(teller);
        self.others = 0;
        let passed_midnight = self.second_of_day.is_some_and(|before| second < before - 0.5 * DAY_S);
        self.second_of_day = Some(second);
        if self.day.is_none()
            && day.is_none()
            && let Some(hint_s) = self.hint_s.take()
        {
            self.day = Some(((hint_s - second) / DAY_S).round() as i64);
        }
        match (self.day, day) {
            (None, Some(day)) => {
                builder.rebase(TimeBase::Utc, (day - self.midnights) as f64 * DAY_S);
                self.day = Some(day);
            }
            // Some receivers turn the date some seconds after midnight: the old date is yesterday's there.
            (Some(before), Some(day)) if day == before && passed_midnight => {
                self.stale_day = Some(day);
                self.day = Some(before + 1);
            }
            (Some(_), Some(day)) if Some(day) == self.stale_day && second < LATEST_TURN_S => {}
            (Some(_), Some(day)) => {
                self.stale_day = None;
                self.day = Some(day);
            }
            (Some(before), None) if passed_midnight => self.day = Some(before + 1),
            (None, None) if passed_midnight => self.midnights += 1,
            _ => {}
        }
        let (base, time_s) = match self.day {
            Some(day) => (TimeBase::Utc, day as f64 * DAY_S + second),
            None => (TimeBase::TimeOfDay, self.midnights as f64 * DAY_S + second),
        };
        self.now = Some((base, time_s));
        builder.set_time(base, time_s);
    }

    /// Between two readings of the trusted clock another that goes on steadily tells how time passes: a date that is
    /// told once a minute does not hold the minute still.
    fn go_on(&mut self, teller: Teller, second: f64, before: Option<f64>, builder: &mut Builder) {
        const LONGEST_STEP_S: f64 = 120.0;
        let Some(trusted) = self.second_of_day else { return };
        let told = &mut self.told[teller as usize];
        if self.others == 1 || told.offset_s.is_none() {
            told.nearer_to(second, trusted);
        }
        let offset_s = told.offset_s.unwrap_or(0.0);
        let is_steady = before.is_some_and(|before| {
            let step = apart(second, before);
            step > 0.0 && step <= LONGEST_STEP_S
        });
        let Some((base, now_s)) = self.now.filter(|_| is_steady) else { return };
        let ahead = apart(second - offset_s, now_s.rem_euclid(DAY_S));
        if ahead > 0.0 && ahead <= LONGEST_STEP_S {
            self.now = Some((base, now_s + ahead));
            builder.set_time(base, now_s + ahead);
        }
    }
}

impl Told {
    /// The trusted clock tells a second.
    fn nearer(&mut self, trusted: f64) {
        if let Some(second) = self.second {
            self.nearer_to(second, trusted);
        }
    }

    fn nearer_to(&mut self, second: f64, trusted: f64) {
        let offset_s = apart(second, trusted);
        if self.offset_s.is_none_or(|known| offset_s.abs() < known.abs()) {
            self.offset_s = Some(offset_s);
        }
    }
}

/// `hhmmss` or `hhmmss.ss` \[s of the day\].
pub(super) fn second_of_day(field: &[u8]) -> Option<f64> {
    if field.len() < 6 {
        return None;
    }
    let hours = two_digits(&field[0..2])?;
    let minutes = two_digits(&field[2..4])?;
    let seconds = decimal(&field[4..])?;
    let is_time = hours < 24 && minutes < 60 && (0.0..61.0).contains(&seconds);
    is_time.then(|| f64::from(hours * 3600 + minutes * 60) + seconds)
}

/// `ddmmyy`: years to 79 are of this century.
pub(super) fn day_of_date(field: &[u8]) -> Option<i64> {
    if field.len() != 6 {
        return None;
    }
    let year = two_digits(&field[4..6])?;
    let century = if year < 80 { 2000 } else { 1900 };
    days_from_date(i64::from(century + year), two_digits(&field[2..4])?, two_digits(&field[0..2])?)
}

pub(super) fn two_digits(field: &[u8]) -> Option<u32> {
    match field {
        [a @ b'0'..=b'9', b @ b'0'..=b'9'] => Some(u32::from(a - b'0') * 10 + u32::from(b - b'0')),
        _ => None,
    }
}
