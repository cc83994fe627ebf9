//! What is asked of the way home: miles, streams, charge, the hour. Not for: what comes of it.

use jiff::Zoned;
use jiff::civil::Time;
use wakewright_core::battery::{Bank, Chemistry};
use wakewright_core::passage::Stage;
use wakewright_core::spread::Spread;
use wakewright_units::factors::NAUTICAL_MILE_M;
use wakewright_units::{Quantity, format_number, read_quantity};

use crate::no_answer::NoAnswer;
use crate::room::{Asked, Question, Reply, Typed, read_speed_within};

const DAY_S: f64 = 86_400.0;
/// Longest that one stream is taken to last; tides turn twice as often.
const LONGEST_STREAM_S: f64 = 18.0 * 3600.0;

fn words(text: &str) -> Result<Reply, String> {
    Ok(Reply::Text(text.trim().to_owned()))
}

fn read_miles(text: &str) -> Result<Reply, String> {
    let text = text.trim();
    let plain = text.trim_end_matches("miles").trim_end_matches("nm").trim();
    let metres = match plain.parse::<f64>() {
        Ok(miles) => miles * NAUTICAL_MILE_M,
        Err(_) => read_quantity(text, Quantity::Distance).map_err(|error| error.to_string())?.si,
    };
    if (50.0..=500.0 * NAUTICAL_MILE_M).contains(&metres) {
        Ok(Reply::Number(metres))
    } else {
        Err("give the miles to go over the ground, up to 500 nm".to_owned())
    }
}

/// Everything that may be asked.
pub static QUESTIONS: [Question; 6] = [
    Question {
        key: "miles",
        value_name: Some("MILES"),
        help: "Miles home, over the ground",
        read: read_miles,
    },
    Question {
        key: "stream",
        value_name: Some("STREAM"),
        help: "Stream along her way: \"2 kn against until 00:30, 1 kn with until 04:00\"; slack when left out",
        read: words,
    },
    Question {
        key: "charge",
        value_name: Some("CHARGE"),
        help: "What is in the bank: \"61 %\", or \"80 Ah used\", \"120 Ah left\"; the document's when left out",
        read: words,
    },
    Question {
        key: "now",
        value_name: Some("HH:MM"),
        help: "The hour from which it counts; the clock's when left out",
        read: |text| {
            let time = text.trim().parse::<Time>().map_err(|_| format!("{text} is no hour; write 22:00"))?;
            Ok(Reply::Number(seconds_of(time)))
        },
    },
    Question {
        key: "slowest",
        value_name: Some("SPEED"),
        help: "Slowest speed at which she steers; 2 kn when left out",
        read: |text| read_speed_within(text, 0.5, 6.0),
    },
    Question {
        key: "lie",
        value_name: Some("MILES"),
        help: "Miles to the nearest place to lie on the way",
        read: read_miles,
    },
];

/// The fields of the page.
pub fn fields() -> Vec<Typed> {
    vec![
        Typed::new("miles", "Miles home", "9"),
        Typed::new("stream", "Stream", "2 kn against until 00:30"),
        Typed::new("charge", "In the bank", "61 %, or 80 Ah used"),
        Typed::new("now", "Now", "the clock's"),
        Typed::new("lie", "Miles to a place to lie", "none"),
        Typed::new("slowest", "She steers from", "2 kn"),
    ]
}

fn seconds_of(time: Time) -> f64 {
    f64::from(time.hour()) * 3600.0 + f64::from(time.minute()) * 60.0
}

/// The hour of the day now \[s\].
pub fn now_s(asked: &Asked<'_>) -> f64 {
    asked.replies.number("now").unwrap_or_else(|| seconds_of(Zoned::now().time()))
}

/// A text in its parts, at semicolons and at commas that stand for no decimals: `1,5 kn with, slack`.
fn parts_of(text: &str) -> impl Iterator<Item = &str> {
    let chars: Vec<(usize, char)> = text.char_indices().collect();
    let is_digit =
        |at: Option<usize>| at.and_then(|at| chars.get(at)).is_some_and(|(_, c)| c.is_ascii_digit());
    let cuts = chars.iter().enumerate().filter(|(at, (_, c))| {
        *c == ';' || *c == ',' && !(is_digit(at.checked_sub(1)) && is_digit(Some(at + 1)))
    });
    let mut ends: Vec<usize> = cuts.map(|(_, (place, _))| *place).collect();
    ends.push(text.len());
    let mut from = 0;
    let parts: Vec<&str> = ends
        .into_iter()
        .map(|end| {
            let part = text[from..end].trim();
            from = (end + 1).min(text.len());
            part
        })
        .collect();
    parts.into_iter()
}

/// Streams from now on, and whether the last of them is assumed.
/// # Errors
/// Which part cannot be read.
pub fn stages(text: &str, now_s: f64) -> Result<(Vec<Stage>, bool), NoAnswer> {
    let mut stages: Vec<Stage> = Vec::new();
    for part in parts_of(text).filter(|part| !part.is_empty()) {
        let wrong = |why: &str| {
            NoAnswer::input(format!(
                "stream \"{part}\": {why}; write 2 kn against until 00:30, 1 kn with until 04:00"
            ))
        };
        if stages.last().is_some_and(|stage| stage.until_s.is_infinite()) {
            return Err(wrong("the one before it has no end"));
        }
        let (what, until) =
            part.split_once("until").map_or((part, None), |(what, until)| (what, Some(until)));
        let small = what.to_lowercase();
        let sign = match () {
            () if small.contains("against") => -1.0,
            () if small.contains("with") => 1.0,
            () if small.contains("slack") => 0.0,
            () => return Err(wrong("say whether it is with her or against her")),
        };
        let rate = small.replace("against", "").replace("with", "").replace("her", "");
        let rate_m_s = match sign {
            0.0 => 0.0,
            _ => read_quantity(rate.trim(), Quantity::Speed).map_err(|error| wrong(&error.to_string()))?.si,
        };
        if !(0.0..=8.0).contains(&rate_m_s) {
            return Err(wrong("give a rate from 0 to 15 kn"));
        }
        let until_s = match until {
            None => f64::INFINITY,
            Some(until) => {
                let time =
                    until.trim().parse::<Time>().map_err(|_| wrong("its end is no hour such as 00:30"))?;
                let before_s = stages.last().map_or(0.0, |stage| stage.until_s);
                // The next time that the clock shows it; what would be most of a day off has more likely passed.
                let lasts_s = (seconds_of(time) - now_s - before_s).rem_euclid(DAY_S);
                if lasts_s > LONGEST_STREAM_S {
                    return Err(wrong("that hour is past, or not in order: tell the streams from now on"));
                }
                before_s + lasts_s
            }
        };
        stages.push(Stage { until_s, along_m_s: sign * rate_m_s });
    }
    let is_assumed = stages.last().is_none_or(|stage| stage.until_s.is_finite());
    if is_assumed {
        stages.push(Stage { until_s: f64::INFINITY, along_m_s: 0.0 });
    }
    Ok((stages, is_assumed))
}

/// Half the band of a charge as read off a gauge, and of amp-hours counted: own estimate, no source.
const GAUGE: f64 = 0.04;
const COUNTED: f64 = 0.03;

/// What is in the bank, with its spread.
/// # Errors
/// What cannot be read, and volts that say nothing.
pub fn charge(text: Option<&str>, bank: &Bank) -> Result<Spread, NoAnswer> {
    let Some(text) = text.filter(|text| !text.is_empty()) else {
        return Ok(Spread::absolute(bank.state_of_charge, GAUGE));
    };
    let wrong = || {
        NoAnswer::input(format!(
            "charge \"{text}\" cannot be read; write 61 %, 80 Ah used since full, or 120 Ah left"
        ))
    };
    let plain = text.replace("used", "").replace("since full", "").replace("left", "");
    let plain = plain.trim();
    let within = |share: f64, band: f64| {
        if (0.0..=1.0).contains(&share) { Ok(Spread::absolute(share, band)) } else { Err(wrong()) }
    };
    if plain.ends_with('%') {
        return within(read_quantity(plain, Quantity::Share).map_err(|_| wrong())?.si, GAUGE);
    }
    if plain.to_lowercase().ends_with("ah") {
        let told = read_quantity(plain, Quantity::Charge).map_err(|_| wrong())?.si;
        let whole: f64 =
            bank.groups.iter().map(wakewright_core::battery::PackGroup::aged_capacity_coulomb).sum();
        let ampere_hours = format_number(whole / 3600.0, 0);
        if told > whole {
            return Err(NoAnswer::input(format!(
                "charge \"{text}\": more than the {ampere_hours} Ah that her bank holds by the document"
            )));
        }
        return match (text.contains("used"), text.contains("left")) {
            (true, false) => within(1.0 - told / whole, COUNTED),
            (false, true) => within(told / whole, COUNTED),
            _ => Err(NoAnswer::input(format!(
                "charge \"{text}\": are they used since full, or left? Write \"{plain} used\" or \"{plain} left\""
            ))),
        };
    }
    if plain.to_uppercase().ends_with('V') {
        return Err(NoAnswer::input(volts_say_nothing(bank, text)));
    }
    Err(wrong())
}

fn volts_say_nothing(bank: &Bank, text: &str) -> String {
    let is_flat = bank.groups.iter().any(|group| group.chemistry == Chemistry::Lfp);
    let why = if is_flat {
        "the rest voltage of iron-phosphate cells is the same within a few hundredths of a volt from 30 to 90 %, and under load \
         it says less"
    } else {
        "volts tell the charge only after hours of rest, and she is under way"
    };
    format!("charge \"{text}\": {why}. Give the share that the gauge shows, or the amp-hours used since full")
}

#[cfg(test)]
mod tests {
    use super::*;
    use wakewright_core::battery::PackGroup;

    #[test]
    fn streams_are_read_from_the_hour_on() {
        let ten = 22.0 * 3600.0;
        let (found, is_assumed) = stages("2 kn against until 00:30, 0.5 kn with until 04:00", ten).unwrap();
        assert!(is_assumed && found.len() == 3);
        assert!(
            (found[0].until_s - 9000.0).abs() < 1e-6 && (found[0].along_m_s + 2.0 * 0.514_444).abs() < 1e-4
        );
        assert!((found[1].until_s - 21_600.0).abs() < 1e-6 && found[2].along_m_s == 0.0);
        assert!(!stages("1 kn with", ten).unwrap().1);
        for (text, said) in [
            ("2 kn until 00:30", "with her or against"),
            ("2 kn against until soon", "no hour"),
            ("1 kn with, 2 kn against", "no end"),
            ("fast against", "against"),
            ("1 kn with until 21:00", "is past"),
            ("1 kn with until 02:00, 1 kn against until 01:00", "not in order"),
        ] {
            assert!(stages(text, ten).unwrap_err().message().contains(said), "{text}");
        }
    }

    #[test]
    fn charge_is_a_share_or_amp_hours_and_never_volts_of_flat_cells() {
        let bank = Bank::of(PackGroup::new(Chemistry::Lfp, 16, 100.0 * 3600.0, 2), 0.8);
        let share = |text| charge(Some(text), &bank).map(|spread| spread.median);
        assert!((share("61 %").unwrap() - 0.61).abs() < 1e-9);
        assert!((share("80 Ah used since full").unwrap() - 0.6).abs() < 1e-9);
        assert!((charge(None, &bank).unwrap().median - 0.8).abs() < 1e-9);
        assert!(share("52.4 V").unwrap_err().message().contains("iron-phosphate"));
        assert!(share("300 Ah used").unwrap_err().message().contains("200 Ah"));
        assert!((share("120 Ah left").unwrap() - 0.6).abs() < 1e-9);
        assert!(share("80 Ah").unwrap_err().message().contains("used since full, or left"));
        assert!(share("half").unwrap_err().message().contains("61 %"));
    }
}
