//! High and low waters as copied from an official table: dates, times, heights, a line or several for each day, in the
//! time of a zone that is told. Not for: whether they can follow each other (`wakewright_core::tide::typed`).

use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;
use wakewright_core::tide::{Typed, Water};
use wakewright_units::factors::FOOT_M;
use wakewright_units::read_number;

use crate::sentence::month_name;

/// One water as read, before it is known to be high or low.
struct Read {
    line: usize,
    unix_s: f64,
    height_m: f64,
    is_high: Option<bool>,
}

/// What has been read of a line and waits for the rest.
#[derive(Default)]
struct Waiting {
    day: Option<Date>,
    number: Option<i8>,
    month: Option<(i8, i8)>,
    time: Option<Time>,
    is_high: Option<bool>,
}

const HOW: &str =
    "write a date, then time and height of each water, such as 2026-10-02 07:50 2.83 20:04 3.24";

/// Longest table that is read: some years of waters.
const LONGEST_BYTES: usize = 400_000;

/// The waters of a table, its times in `zone`.
/// # Errors
/// The line, what is wrong with it, and what to write.
pub fn read(text: &str, zone: &TimeZone) -> Result<Typed, String> {
    if text.len() > LONGEST_BYTES {
        return Err(format!(
            "a table of waters is not that long ({} kB; at most {} kB): paste the days that are asked for",
            text.len() / 1000,
            LONGEST_BYTES / 1000
        ));
    }
    let mut waters: Vec<Read> = Vec::new();
    let mut day = None;
    for (at, line) in text.lines().enumerate() {
        let mut waiting = Waiting { day, ..Waiting::default() };
        let line = line.split('#').next().unwrap_or_default().replace(" ft", "ft");
        let words = line.split(|c: char| c.is_whitespace() || c == ';' || c == '|').filter(|w| !w.is_empty());
        for word in words {
            let water = waiting.take(word, zone).map_err(|why| format!("line {}: {why}; {HOW}", at + 1))?;
            waters.extend(water.map(|(unix_s, height_m, is_high)| Read {
                line: at + 1,
                unix_s,
                height_m,
                is_high,
            }));
        }
        if let Some(time) = waiting.time {
            return Err(format!("line {}: {} has no height; {HOW}", at + 1, time.strftime("%H:%M")));
        }
        day = waiting.day;
    }
    let told: Vec<(usize, Water)> = waters
        .iter()
        .enumerate()
        .map(|(i, read)| {
            let beside = waters.get(i + 1).or_else(|| waters.get(i.checked_sub(1)?));
            let is_high = read.is_high.unwrap_or_else(|| beside.is_some_and(|b| read.height_m > b.height_m));
            (read.line, Water { unix_s: read.unix_s, height_m: read.height_m, is_high })
        })
        .collect();
    Typed::new(&told).map_err(|error| error.to_string())
}

impl Waiting {
    /// Takes one word; gives a water once its height has come.
    fn take(&mut self, word: &str, zone: &TimeZone) -> Result<Option<(f64, f64, Option<bool>)>, String> {
        let word = word.trim_end_matches(',');
        let small = word.to_lowercase();
        match small.as_str() {
            "hw" | "high" | "h" => self.is_high = Some(true),
            "lw" | "low" | "l" => self.is_high = Some(false),
            "m" | "-" | "" => {}
            _ if is_weekday(&small) => {}
            _ if month_named(&small).is_some() => {
                let number = self.number.take().ok_or("a month without a day before it")?;
                self.month = month_named(&small).map(|month| (month, number));
            }
            _ => return self.number_taken(&small, zone),
        }
        Ok(None)
    }

    fn number_taken(
        &mut self,
        word: &str,
        zone: &TimeZone,
    ) -> Result<Option<(f64, f64, Option<bool>)>, String> {
        if let Some(date) = date_of(word) {
            self.day = Some(date?);
        } else if let (Some((month, day)), Ok(year)) = (self.month, word.parse::<i16>()) {
            self.month = None;
            self.day = Some(Date::new(year, month, day).map_err(|_| format!("{word} is no such day"))?);
        } else if let Some(time) = time_of(word, self.time.is_none()) {
            self.time = Some(time);
        } else if let Some(time) = self.time.take() {
            let height_m = height_of(word).ok_or_else(|| format!("{word} is no height"))?;
            let day = self.day.ok_or("a time without a date before it")?;
            let at = zone.to_ambiguous_zoned(day.to_datetime(time));
            let at = at.unambiguous().map_err(|_| {
                let time = time.strftime("%H:%M");
                format!("at {time} on {day} the clocks change, so that this time does not stand for one moment: give the whole table in UTC")
            })?;
            return Ok(Some((at.timestamp().as_second() as f64, height_m, self.is_high.take())));
        } else if let Ok(number @ 1..=31) = word.parse::<i8>() {
            self.number = Some(number);
        } else {
            return Err(format!("{word} is no date, no time, and a height without a time before it"));
        }
        Ok(None)
    }
}

fn is_weekday(word: &str) -> bool {
    ["mon", "tue", "wed", "thu", "fri", "sat", "sun"].iter().any(|day| word.starts_with(day))
        && word.chars().all(|c| c.is_alphabetic() || c == '.')
}

fn month_named(word: &str) -> Option<i8> {
    let word = word.trim_end_matches('.');
    let is = |month: &u32| word.len() >= 3 && month_name(*month).to_lowercase().starts_with(word);
    (1..=12).find(is).and_then(|month| i8::try_from(month).ok())
}

/// `2026-10-02`, `2.10.2026` or `02/10/2026` with the day first; none where it is no date at all.
fn date_of(word: &str) -> Option<Result<Date, String>> {
    let parts: Vec<&str> = word.split(['-', '/', '.']).collect();
    let [one, month, other] = parts.as_slice() else { return None };
    let (year, day) = if one.len() == 4 { (one, other) } else { (other, one) };
    let (year, month, day) = (year.parse().ok()?, month.parse().ok()?, day.parse().ok()?);
    let year: i16 = if (0..100).contains(&year) { 2000 + year } else { year };
    Some(Date::new(year, month, day).map_err(|_| {
        format!("{word} is no day; dates are read as 2026-10-02, or with the day first as 02/10/2026")
    }))
}

/// `07:50`, `7.50 h` is not read; `0750` counts where a time is due.
fn time_of(word: &str, is_due: bool) -> Option<Time> {
    let (hour, minute) = match word.split_once(':') {
        Some(parts) => parts,
        None if is_due && word.len() == 4 && word.bytes().all(|b| b.is_ascii_digit()) => word.split_at(2),
        None => return None,
    };
    Time::new(hour.parse().ok()?, minute.parse().ok()?, 0, 0).ok()
}

/// Metres, or feet where it says so.
fn height_of(word: &str) -> Option<f64> {
    let (number, unit) = read_number(word).ok()?;
    match unit.trim() {
        "" | "m" => Some(number),
        "ft" | "'" => Some(number * FOOT_M),
        _ => None,
    }
    .filter(|height| height.abs() < 25.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str) -> String {
        read(text, &TimeZone::get("Europe/London").unwrap()).unwrap_err()
    }

    #[test]
    fn tables_are_read_as_they_are_printed() {
        let utc = TimeZone::UTC;
        let one = read("2026-10-02 07:50 2.83 14:02 0.4\n20:04 3.24\n", &utc).unwrap();
        let other = read("Fri 2 Oct 2026; 0750 2,83 m; 1402 0.4 m\nHW 20:04 10.63 ft", &utc).unwrap();
        assert_eq!(one.waters().len(), 3);
        for (a, b) in one.waters().iter().zip(other.waters()) {
            assert!(
                a.unix_s == b.unix_s && a.is_high == b.is_high && (a.height_m - b.height_m).abs() < 0.001
            );
        }
        assert_eq!(one.waters()[0].unix_s, 1_790_927_400.0);
        assert!(one.waters()[0].is_high && !one.waters()[1].is_high);
    }

    #[test]
    fn what_cannot_be_is_said_with_its_line() {
        assert!(said("2026-10-02 07:50 2.83 06:10 0.4").contains("line 1: this water is not later"));
        assert!(said("2026-10-02 07:50 HW 0.4\n13:50 LW 2.8").contains("line 2"));
        assert!(said("2026-10-02 07:50 2.8 13:50 0.4\n2026-10-04 07:50 2.8").contains("a day is missing"));
        assert!(said("2026-10-25 01:30 2.8 07:50 0.4").contains("clocks change"));
        assert!(said("07:50 2.8").contains("a time without a date"));
        assert!(said("2026-10-02 07:50 soon").contains("soon"));
        assert!(said("2026-13-02 07:50 2.8").contains("is no day"));
    }
}
