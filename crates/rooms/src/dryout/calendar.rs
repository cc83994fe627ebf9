//! The tides that are advised as a file for calendars. Not for: which they are.

use wakewright_core::drying_out::Visit;

use super::Found;

/// The file, after the standard of calendars (RFC 5545): an event for each tide from touching to the water that takes her off,
/// with an alarm on the first of them. Times are universal.
pub fn file(found: &Found) -> String {
    let stamp = |at_s: f64| {
        let at = found.known.local(at_s).timestamp();
        at.strftime("%Y%m%dT%H%M%SZ").to_string()
    };
    let mut lines = vec![
        "BEGIN:VCALENDAR".to_owned(),
        "VERSION:2.0".to_owned(),
        "PRODID:-//Wakewright//Dry out//EN".to_owned(),
    ];
    for (rank, visit) in found.chosen.iter().filter_map(|place| found.visits.get(*place)).enumerate() {
        let standing = &visit.standing;
        let begins_s = standing.touches.median_s.unwrap_or(standing.high_before.unix_s);
        let ends_s = standing.floats.median_s.unwrap_or(standing.high_after.unix_s);
        lines.extend([
            "BEGIN:VEVENT".to_owned(),
            format!(
                "UID:dry-out-{}-{}@wakewright.invalid",
                stamp(standing.low.unix_s),
                crc(&found.known.name)
            ),
            format!("DTSTAMP:{}", stamp(crate::tide::known::seconds(&found.known.first))),
            format!("DTSTART:{}", stamp(begins_s)),
            format!("DTEND:{}", stamp(ends_s)),
            format!("STATUS:{}", if rank == 0 { "CONFIRMED" } else { "TENTATIVE" }),
            format!("SUMMARY:{}", escaped(&format!("On the ground at {}", found.known.name))),
            format!("DESCRIPTION:{}", escaped(&told(found, visit))),
        ]);
        if rank == 0 {
            let alarm = [
                "BEGIN:VALARM",
                "ACTION:DISPLAY",
                "TRIGGER:-PT1H",
                "DESCRIPTION:She touches in an hour",
                "END:VALARM",
            ];
            lines.extend(alarm.map(str::to_owned));
        }
        lines.push("END:VEVENT".to_owned());
    }
    lines.push("END:VCALENDAR".to_owned());
    lines.iter().map(|line| folded(line)).collect()
}

fn told(found: &Found, visit: &Visit) -> String {
    let standing = &visit.standing;
    let give_up = found
        .give_up_s(visit)
        .map_or_else(String::new, |at| format!("Give up and stay off after {}. ", found.hour(at, visit)));
    let off = visit.ways_off.iter().map(|way| {
        let at = found.known.local(way.high.unix_s).strftime("%a %d %b %H:%M");
        format!("{at} {}", crate::text::percent(way.by_then))
    });
    format!(
        "Touches {}; work dry {} to {}; floats {}. {give_up}Has floated by: {}. Not for navigation: official tables first.",
        found.told(visit, &standing.touches),
        found.told(visit, &standing.dry),
        found.told(visit, &standing.wet),
        found.told(visit, &standing.floats),
        off.collect::<Vec<_>>().join("; ")
    )
}

/// A number of a name, so that events of two places are two.
fn crc(name: &str) -> u32 {
    name.bytes().fold(0x811c_9dc5, |sum, byte| (sum ^ u32::from(byte)).wrapping_mul(0x0100_0193))
}

fn escaped(text: &str) -> String {
    let mut found = String::new();
    for c in text.chars() {
        match c {
            '\\' | ';' | ',' => found.extend(['\\', c]),
            '\n' => found.push_str("\\n"),
            c if c.is_control() => {}
            c => found.push(c),
        }
    }
    found
}

/// In lines of at most 75 bytes, of which each after the first begins with a space; none is cut within a letter.
fn folded(line: &str) -> String {
    const MOST: usize = 75;
    let (mut out, mut length) = (String::new(), 0);
    for c in line.chars() {
        if length + c.len_utf8() > MOST {
            out.push_str("\r\n ");
            length = 1;
        }
        out.push(c);
        length += c.len_utf8();
    }
    out + "\r\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 5545, section 3.1 (lines of 75 octets at most, folded by CRLF and a space) and 3.3.11 (text).
    #[test]
    fn lines_are_folded_and_text_is_escaped() {
        let folded = folded(&format!("SUMMARY:{}", "é".repeat(60)));
        assert!(folded.split("\r\n").all(|line| line.len() <= 75) && folded.ends_with("\r\n"));
        assert_eq!(folded.replace("\r\n ", "").trim_end(), format!("SUMMARY:{}", "é".repeat(60)));
        assert_eq!(escaped("a, b; c\\d\ne"), "a\\, b\\; c\\\\d\\ne");
    }
}
