//! Every form of log that is read, from small invented files (`tests/forms`, the awkward ones of `tests/odd`, the hard ones of `tests/hard`, `tests/varied`, `tests/told`,
//! written by `scripts/make-log-forms`, `scripts/make-odd-forms`, `scripts/make-hard-forms`, `scripts/make-varied-forms`, `scripts/make-told-forms`): channels, units, times, counts and questions
//! as those scripts wrote them down from their own numbers.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::path::PathBuf;

use wakewright_logs::{BadKind, Measured, Reading, Source, TimeBase, read};

const MOST_QUESTIONS: usize = 3;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests")
}

fn names() -> Vec<String> {
    let mut names = Vec::new();
    let more: &[&str] = if cfg!(feature = "parquet") { &["parquet"] } else { &[] };
    for kind in ["forms", "odd", "hard", "varied", "told"].iter().chain(more) {
        for entry in std::fs::read_dir(folder().join(kind)).unwrap() {
            let file = entry.unwrap().file_name();
            names.extend(
                file.to_str().unwrap().strip_suffix(".expected").map(|name| format!("{kind}/{name}")),
            );
        }
    }
    names.sort();
    names
}

fn reading(name: &str) -> Reading {
    read(std::fs::File::open(folder().join(name)).unwrap(), &[])
}

/// What moves a figure of a trial: none of these may come from a column that is not expected.
const COSTLY: [Measured; 8] = [
    Measured::Voltage,
    Measured::Current,
    Measured::Power,
    Measured::SpeedOverGround,
    Measured::SpeedThroughWater,
    Measured::MotorSpeed,
    Measured::ShaftSpeed,
    Measured::StateOfCharge,
];

/// Everything in which a file is not as expected.
fn faults(name: &str) -> Vec<String> {
    let mut faults = Vec::new();
    let reading = reading(name);
    let log = match &reading.log {
        Ok(log) => log,
        Err(error) => return vec![format!("{name}: {error}")],
    };
    let text = std::fs::read_to_string(folder().join(format!("{name}.expected"))).unwrap();
    let mut expected = Vec::new();
    let number = |word: &str| word.parse::<f64>().unwrap();
    let near = |a: f64, b: f64, digits: f64| (a - b).abs() <= digits.max(2e-6 * b.abs());
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        let words: Vec<&str> = line.split(' ').collect();
        let mut wrong = |why: String| faults.push(format!("{name}: {line}: {why}"));
        match words.as_slice() {
            ["base", base] => {
                let is = match log.time_base {
                    TimeBase::Utc => "utc",
                    TimeBase::TimeOfDay => "time-of-day",
                    TimeBase::Elapsed => "elapsed",
                    TimeBase::Lines => "lines",
                };
                if is != *base {
                    wrong(is.to_owned());
                }
            }
            ["start", time] | ["end", time] => {
                let span = log.span_s().unwrap_or((f64::NAN, f64::NAN));
                let is = if words[0] == "start" { span.0 } else { span.1 };
                if (is - number(time)).abs() > 0.002 || is.is_nan() {
                    wrong(format!("{is:.3}"));
                }
            }
            ["lines", count] if log.lines.to_string() != *count => wrong(log.lines.to_string()),
            ["bad", kind, count] => {
                let found = log
                    .bad
                    .iter()
                    .find(|(known, _)| known.word() == *kind)
                    .map_or(0, |(_, lines)| lines.count);
                if found.to_string() != *count {
                    wrong(format!("{found}"));
                }
            }
            ["channel", measured, count, first, last] => {
                let channel = log
                    .channels
                    .iter()
                    .find(|c| c.measured.word() == *measured && c.source != Source::Derived);
                expected.push((*measured).to_owned());
                let Some(channel) = channel else {
                    wrong("is not there".to_owned());
                    continue;
                };
                let (one, other) = (channel.values[0], channel.values[channel.values.len() - 1]);
                if channel.count.to_string() != *count
                    || !near(one, number(first), 2e-6)
                    || !near(other, number(last), 2e-6)
                {
                    wrong(format!("{} {one:.6} {other:.6}", channel.count));
                }
            }
            ["notice", word] if log.notices.iter().all(|notice| notice.word() != *word) => {
                wrong("is not said".to_owned())
            }
            ["questions", keys @ ..] => {
                let asked: Vec<&str> = reading.questions.iter().map(|q| q.key.as_str()).collect();
                let asked = if asked.is_empty() { "none".to_owned() } else { asked.join(" ") };
                if asked != keys.join(" ") {
                    wrong(asked);
                }
            }
            _ => {}
        }
    }
    for channel in log.channels.iter().filter(|c| COSTLY.contains(&c.measured) && c.source != Source::Derived)
    {
        if !expected.iter().any(|measured| *measured == channel.measured.word()) {
            faults.push(format!("{name}: {} is not expected", channel.key()));
        }
    }
    let is_expected_bad = |kind: &BadKind| text.contains(&format!("bad {} ", kind.word()));
    for (kind, lines) in log.bad.iter().filter(|(kind, _)| !is_expected_bad(kind)) {
        faults.push(format!("{name}: {} lines {}", lines.count, kind.word()));
    }
    faults
}

#[test]
fn every_form_gives_what_was_written() {
    let names = names();
    assert!(names.len() >= 100, "{} forms", names.len());
    let faults: Vec<String> = names.iter().flat_map(|name| faults(name)).collect();
    assert!(faults.is_empty(), "{} faults in {} forms:\n{}", faults.len(), names.len(), faults.join("\n"));
}

/// No more than three, and none whose answers all come to the same.
#[test]
fn questions_are_few_and_their_answers_differ() {
    for name in names() {
        let reading = reading(&name);
        assert!(reading.questions.len() <= MOST_QUESTIONS, "{name}: {}", reading.questions.len());
        for question in &reading.questions {
            let gives: Vec<&str> = question.choices.iter().map(|choice| choice.gives.as_str()).collect();
            // A question without answers to choose from is one for the table of columns.
            let differ = gives.windows(2).any(|two| two[0] != two[1]);
            assert!(gives.is_empty() || differ, "{name}: {}: {gives:?}", question.text);
        }
    }
}

/// What was answered once is not asked again, and every answer is another reading of the same file.
#[test]
fn an_answer_is_remembered_and_changes_what_is_read() {
    for name in names() {
        for question in reading(&name).questions {
            for choice in question.choices {
                let told = [choice.mapping];
                let again = read(std::fs::File::open(folder().join(&name)).unwrap(), &told);
                assert!(again.log.is_ok(), "{name}: {} {}", question.key, choice.word);
                let asked: Vec<&String> = again.questions.iter().map(|q| &q.key).collect();
                assert!(!asked.contains(&&question.key), "{name}: {} after {}", question.key, choice.word);
            }
        }
    }
}

/// The battery that was told is the one that is read, and nothing of the other.
#[test]
fn the_battery_that_was_told_is_read() {
    for name in ["forms/two_banks.csv", "forms/bus_two_banks.txt"] {
        let question = reading(name).questions.into_iter().find(|q| q.key == "battery").unwrap();
        let volts: Vec<f64> = question
            .choices
            .into_iter()
            .map(|choice| {
                let again = read(std::fs::File::open(folder().join(name)).unwrap(), &[choice.mapping]);
                let log = again.log.unwrap();
                assert_eq!(log.of(Measured::Voltage).count(), 1, "{name}");
                log.of(Measured::Voltage).next().unwrap().values[0]
            })
            .collect();
        assert!(volts[0] > 50.0 && volts[1] < 13.0, "{name}: {volts:?}");
    }
}
