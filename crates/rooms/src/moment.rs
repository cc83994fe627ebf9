//! Instants for reading, in the time of this computer's place. Not for: computing with them.

use jiff::Timestamp;
use jiff::tz::TimeZone;
use wakewright_store::UnixMs;

/// `2026-05-01 08:30`; an instant beyond the calendar as "unknown".
pub fn local(time: UnixMs) -> String {
    within(time, TimeZone::system(), "%Y-%m-%d %H:%M")
}

/// The day here.
pub fn today() -> jiff::civil::Date {
    Timestamp::now().to_zoned(TimeZone::system()).date()
}

/// `2026-05-01 08:30:07`, where seconds matter.
pub fn local_to_the_second(time: UnixMs) -> String {
    within(time, TimeZone::system(), "%Y-%m-%d %H:%M:%S")
}

/// `2026-05-01T06:30:00Z`, for programs.
pub fn universal(time: UnixMs) -> String {
    within(time, TimeZone::UTC, "%Y-%m-%dT%H:%M:%SZ")
}

fn within(time: UnixMs, zone: TimeZone, format: &str) -> String {
    Timestamp::from_millisecond(time.0)
        .map_or_else(|_| "unknown".to_owned(), |t| t.to_zoned(zone).strftime(format).to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_instant_is_written_as_the_calendar_has_it() {
        assert_eq!(universal(UnixMs(951_827_696_000)), "2000-02-29T12:34:56Z");
        assert_eq!(universal(UnixMs(i64::MAX)), "unknown");
    }
}
