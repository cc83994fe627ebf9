//! Questions about a log: only what changes a figure, the costliest first, three at most, each with
//! three values as they stand and with what every answer would give.
//! Not for: remarks that need no answer (`LogNotice`).

mod figures;
mod power;
mod several;
mod sign;

use figures::{Figures, figures, gives, power_text};
pub(crate) use power::power_question;
pub(crate) use several::{several_question, swapped_question};
pub(crate) use sign::{settle_sign, sign_question};

use crate::battery::{Battery, batteries, likeliest};
use crate::log::Log;
use crate::measured::Measured as M;
use crate::table::{ColumnMapping, Doubt, DoubtKind, Mapping, read_kept};

/// Questions about one file.
const MOST_QUESTIONS: usize = 3;
/// Values that are shown beside a question.
const VALUES_SHOWN: usize = 3;

/// What an answer is and what it would give.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// For machines: `kn`, `day-first`, the name of a column.
    pub word: String,
    /// In words.
    pub label: String,
    /// "then she took 3.0 kW": empty where nothing can be said.
    pub gives: String,
    /// What is remembered of the source when this is answered.
    pub mapping: Mapping,
}

/// A question with its answers; the first is what is taken until somebody answers.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Under which an answer is remembered.
    pub key: String,
    /// What is asked.
    pub text: String,
    /// Three values as they stand in the file.
    pub values: Vec<String>,
    /// What can be answered.
    pub choices: Vec<Choice>,
    cost: u32,
}

/// Questions about a table, from its doubts and rows that were kept; what is beyond the most that are
/// asked is left out of `mapping`, with a remark.
pub(crate) fn table_questions(
    doubts: &[Doubt],
    mapping: &mut Mapping,
    kept: &[csv::ByteRecord],
    remarks: &mut Vec<String>,
) -> Vec<Question> {
    let mut questions: Vec<(Question, &Doubt)> = doubts
        .iter()
        .filter(|doubt| !mapping.answered.contains(&doubt.key))
        .filter_map(|doubt| Some((question(doubt, mapping, kept)?, doubt)))
        .collect();
    questions.sort_by_key(|(question, _)| question.cost);
    while questions.len() > MOST_QUESTIONS {
        let Some((_, doubt)) = questions.pop() else { break };
        let columns = match &doubt.kind {
            DoubtKind::Unit(_, columns) => columns.clone(),
            DoubtKind::Which(columns) | DoubtKind::MotorSide(columns) => columns.clone(),
            DoubtKind::Scale(_, column) => vec![*column],
            _ => vec![doubt.column],
        };
        mapping.columns.retain(|column| !columns.contains(&column.column));
        let names = names_of(mapping, &columns);
        remarks.push(format!("{} left out until somebody says what it is.", names.join(", ")));
    }
    let mut asked: Vec<Question> = questions.into_iter().map(|(question, _)| question).collect();
    // Answers carry what was left out as well.
    for question in &mut asked {
        for choice in &mut question.choices {
            choice.mapping.columns.retain(|c| {
                mapping.columns.iter().any(|known| known.column == c.column)
                    || question.key.starts_with("taken/")
                    || question.key.starts_with("which/")
            });
        }
    }
    asked
}

/// Names of columns, each in quotes.
fn names_of(mapping: &Mapping, columns: &[usize]) -> Vec<String> {
    columns.iter().filter_map(|c| Some(format!("{:?}", mapping.heads.get(*c)?))).collect()
}

fn question(doubt: &Doubt, mapping: &Mapping, kept: &[csv::ByteRecord]) -> Option<Question> {
    let head = mapping.heads.get(doubt.column).cloned().unwrap_or_default();
    let with = |change: &dyn Fn(&mut Mapping)| {
        let mut changed = mapping.clone();
        change(&mut changed);
        changed.answered.insert(doubt.key.clone());
        changed
    };
    let mut choices: Vec<(String, String, Mapping)> = Vec::new();
    let (text, cost) = match &doubt.kind {
        DoubtKind::NoTime => ("No column looks like a time. Which one is it?".to_owned(), 0),
        DoubtKind::NoColumns => {
            ("No column's name says what it measures. Say what the columns are.".to_owned(), 0)
        }
        DoubtKind::DateOrder(formats) | DoubtKind::Clock(formats) => {
            for format in formats {
                let changed = with(&|m: &mut Mapping| {
                    if let Some(time) = &mut m.time {
                        time.format = *format;
                    }
                });
                choices.push((serde_word(*format), format.label().to_owned(), changed));
            }
            let is_date = matches!(doubt.kind, DoubtKind::DateOrder(_));
            (format!("How are the times in {head:?} written?"), if is_date { 5 } else { 1 })
        }
        DoubtKind::Decimals(mark) => {
            for (word, label, comma) in
                [("decimals", "decimals", *mark == ','), ("thousands", "thousands", *mark != ',')]
            {
                let changed = with(&|m: &mut Mapping| {
                    if let Some(column) = m.column_mut(doubt.column) {
                        column.decimal_comma = Some(comma);
                    }
                });
                choices.push((word.to_owned(), format!("{mark:?} parts {label}"), changed));
            }
            (format!("What does {mark:?} part in {head:?}?"), 2)
        }
        DoubtKind::Unit(units, columns) => {
            for unit in units {
                let changed = with(&|m: &mut Mapping| {
                    for column in columns {
                        if let Some(column) = m.column_mut(*column) {
                            (*unit).clone_into(&mut column.unit);
                        }
                    }
                });
                let label = match *unit {
                    "" => "parts of one",
                    "‰" => "‰ (thousandths)",
                    unit => unit,
                };
                choices.push(((*unit).to_owned(), label.to_owned(), changed));
            }
            let names = names_of(mapping, columns);
            let measured = mapping.columns.iter().find(|c| c.column == doubt.column).map(|c| c.measured);
            let cost = match measured {
                Some(M::Power | M::Voltage | M::Current) => 2,
                Some(M::SpeedOverGround | M::SpeedThroughWater) => 3,
                Some(M::ShaftSpeed | M::MotorSpeed) => 4,
                _ => 7,
            };
            let said = crate::table::unit_symbol(&head, measured.unwrap_or(M::SpeedOverGround));
            let why = match said {
                Some(said) if measured == Some(M::Power) => {
                    format!("The name says {said}, which is next to nothing for what moves her.")
                }
                Some(said) => format!("The name says {said}, and the way from place to place does not."),
                None => "The name says none.".to_owned(),
            };
            (format!("In which unit is {}? {why}", names.join(" and ")), cost)
        }
        DoubtKind::Scale(steps, column) => {
            for step in steps {
                let changed = with(&|m: &mut Mapping| {
                    if let Some(column) = m.column_mut(*column) {
                        step.unit.clone_into(&mut column.unit);
                        column.scale = step.scale;
                    }
                });
                choices.push((step.word.to_owned(), format!("in steps of {}", step.word), changed));
            }
            (format!("What does {head:?} count in? Its numbers are whole and its name says no unit."), 2)
        }
        DoubtKind::Stream(column) => {
            choices.push(("hers".to_owned(), "her speed, the one of now".to_owned(), with(&|_| ())));
            let left = with(&|m: &mut Mapping| m.columns.retain(|c| c.column != *column));
            choices.push(("stream".to_owned(), "the stream's: leave it out".to_owned(), left));
            (format!("Is {head:?} her speed, or that of a current in the water?"), 2)
        }
        DoubtKind::Turns(column) => {
            choices.push(("motor".to_owned(), "the motor's".to_owned(), with(&|_| ())));
            let of_shaft = with(&|m: &mut Mapping| {
                if let Some(column) = m.column_mut(*column) {
                    column.measured = M::ShaftSpeed;
                }
            });
            choices.push(("shaft".to_owned(), "the propeller shaft's".to_owned(), of_shaft));
            (format!("Are the turns in {head:?} the motor's or the propeller shaft's?"), 3)
        }
        DoubtKind::Rows(values) => {
            for value in values {
                let changed = with(&|m: &mut Mapping| {
                    if let Some(parted) = &mut m.parted {
                        parted.only = Some(value.clone());
                    }
                });
                choices.push((value.clone(), format!("those of {value:?}"), changed));
            }
            (
                format!(
                    "Rows of {} sources stand in this table, told apart by {head:?}. Which are hers?",
                    values.len()
                ),
                0,
            )
        }
        DoubtKind::Which(columns) => {
            let known = mapping.columns.iter().find(|c| columns.contains(&c.column))?.clone();
            for column in columns {
                let name = mapping.heads.get(*column)?.clone();
                let changed = with(&|m: &mut Mapping| {
                    m.columns.retain(|c| !columns.contains(&c.column));
                    let unit = crate::table::unit_symbol(&name, known.measured)
                        .unwrap_or_else(|| known.unit.clone());
                    m.columns.push(ColumnMapping { column: *column, unit, ..known.clone() });
                    m.columns.sort_by_key(|c| c.column);
                });
                choices.push((name.clone(), format!("{name:?}"), changed));
            }
            choices.sort_by_key(|(_, _, m)| !m.columns.iter().any(|c| c.column == known.column));
            (
                format!(
                    "Several columns look like {} and do not say the same. Which one holds?",
                    known.measured.label()
                ),
                3,
            )
        }
        DoubtKind::MotorSide(columns) => {
            choices.push(("take".to_owned(), "yes: take them".to_owned(), with(&|_| ())));
            let left = with(&|m: &mut Mapping| m.columns.retain(|c| !columns.contains(&c.column)));
            choices.push(("leave".to_owned(), "no: leave them out".to_owned(), left));
            let names = names_of(mapping, columns);
            (format!("Is {} what the battery gives, before the controller?", names.join(" and ")), 2)
        }
        DoubtKind::Net { given, is_less } => {
            choices.push(("battery".to_owned(), "the battery's alone".to_owned(), with(&|_| ())));
            let both = with(&|m: &mut Mapping| {
                if let Some(column) = m.column_mut(doubt.column) {
                    column.plus = vec![*given];
                    column.is_less = *is_less;
                }
            });
            choices.push(("both".to_owned(), "both together".to_owned(), both));
            let given = names_of(mapping, &[*given]).join("");
            (
                format!(
                    "{head:?} is what she takes less what {given} gives. Which amps are hers while she is driven?"
                ),
                2,
            )
        }
        DoubtKind::Taken(mapped) => {
            choices.push(("leave".to_owned(), "no: leave it out".to_owned(), with(&|_| ())));
            let taken = with(&|m: &mut Mapping| {
                m.columns.extend(mapped.iter().cloned());
                m.columns.sort_by_key(|c| c.column);
            });
            choices.push(("take".to_owned(), "yes: take it".to_owned(), taken));
            let measured = mapped.first().map_or(M::Current, |mapped| mapped.measured);
            if let Some((first, last)) = mapped.first().and_then(|one| Some((one.column, one.plus.last()?))) {
                let count = mapped[0].plus.len() + 1;
                let ends = names_of(mapping, &[first, *last]).join(" to ");
                (
                    format!(
                        "No column has the bank's volts. Are the {count} cells {ends} in a row, so that their sum is the bank's?"
                    ),
                    2,
                )
            } else if measured == M::StateOfCharge {
                (format!("Is {head:?} the charge of the bank, in thousandths?"), 6)
            } else {
                let columns: Vec<usize> = mapped.iter().map(|c| c.column).collect();
                let names = names_of(mapping, &columns);
                let together = if names.len() > 1 { ", all together," } else { "" };
                let (names, what) = (names.join(" and "), measured.label());
                (format!("Is {names}{together} what the drive's battery gives ({what})?"), 2)
            }
        }
    };
    let mut built = Question {
        key: doubt.key.clone(),
        text,
        values: values(kept, doubt.column),
        choices: Vec::new(),
        cost,
    };
    if choices.is_empty() {
        return Some(built);
    }
    let figures: Vec<Figures> = choices
        .iter()
        .map(|(_, _, mapping)| {
            read_kept(kept, mapping)
                .map(|mut log| {
                    take_battery(&mut log, mapping);
                    figures(&log)
                })
                .unwrap_or_default()
        })
        .collect();
    // Answers that all give the same figures are no answers.
    let gives = match &doubt.kind {
        DoubtKind::Turns(column) => of_turns(mapping, *column, kept),
        _ => gives(&figures)?,
    };
    built.choices = choices
        .into_iter()
        .zip(gives)
        .map(|((word, label, mapping), gives)| Choice { word, label, gives, mapping })
        .collect();
    Some(built)
}

/// What the turns of a column come to as the motor's and as the shaft's: the same number, of another thing.
fn of_turns(mapping: &Mapping, column: usize, kept: &[csv::ByteRecord]) -> Vec<String> {
    let most = read_kept(kept, mapping).map_or(0.0, |log| {
        let turns = log.channels.iter().filter(|channel| match channel.source {
            crate::log::Source::Column(place) => usize::from(place) == column,
            _ => false,
        });
        turns.flat_map(|channel| &channel.values).map(|value| value.abs()).fold(0.0, f64::max)
    });
    ["motor", "shaft"].map(|what| format!("then the {what} turned {:.0} rpm at most", 60.0 * most)).into()
}

fn serde_word(format: crate::table::TimeFormat) -> String {
    serde_json::to_string(&format).unwrap_or_default().trim_matches('"').to_owned()
}

/// Three values of a column, spread over the rows.
fn values(kept: &[csv::ByteRecord], column: usize) -> Vec<String> {
    let cells: Vec<String> = kept
        .iter()
        .filter_map(|record| record.get(column))
        .map(|cell| String::from_utf8_lossy(cell).trim().to_owned())
        .filter(|cell| !cell.is_empty())
        .collect();
    let last = cells.len().saturating_sub(1);
    let mut places = vec![0, last / 2, last];
    places.dedup();
    places.into_iter().take(VALUES_SHOWN).filter_map(|at| cells.get(at).cloned()).collect()
}

/// Which table or sheet of a file holds the drive's log: the first is read until somebody says; each with its first rows.
pub(crate) fn part_question(parts: &[(Mapping, &[Vec<String>])], what: &str) -> Option<Question> {
    const KEY: &str = "part";
    let measured = |mapping: &Mapping| {
        let mut labels: Vec<&str> = mapping.columns.iter().map(|c| c.measured.label()).collect();
        labels.dedup();
        labels.join(", ")
    };
    let figures: Vec<Figures> = parts
        .iter()
        .map(|(mapping, rows)| {
            let rows =
                rows.iter().skip(mapping.head_line as usize).map(|row| csv::ByteRecord::from(row.as_slice()));
            let read = read_kept(&rows.collect::<Vec<_>>(), mapping).map(|mut log| {
                take_battery(&mut log, mapping);
                // Some rows tell nothing of how long it lasts.
                figures(&log).without_span()
            });
            read.unwrap_or_default()
        })
        .collect();
    let gives = gives(&figures)?;
    let choices = parts.iter().zip(gives).filter_map(|((mapping, _), gives)| {
        let name = mapping.part.as_ref()?.name.clone();
        let label = format!("{name:?} with {}", measured(mapping));
        let mut told = mapping.clone();
        told.answered.insert(KEY.to_owned());
        Some(Choice { word: name, label, gives, mapping: told })
    });
    let text = format!("Several {}s of this file hold a log. Which one is the drive's?", what.to_lowercase());
    Some(Question { key: KEY.to_owned(), text, values: Vec::new(), choices: choices.collect(), cost: 0 })
}

/// The battery that was told, or the likeliest, set apart from the others; its question where there are several.
pub(crate) fn battery_question(log: &mut Log, mapping: &mut Mapping) -> Option<Question> {
    const KEY: &str = "battery";
    crate::battery::leave_spare(log, mapping);
    let mut all = batteries(log, mapping);
    if all.len() < 2 {
        if let [one] = all.as_slice() {
            crate::battery::keep_plant(log, mapping, &one.of);
        }
        return None;
    }
    if let Some(of) = &mapping.battery
        && crate::battery::keep_together(log, mapping, of)
    {
        return None;
    }
    if mapping.battery.is_none()
        && let Some(of) = crate::battery::told_total(&all, log, mapping)
    {
        if !crate::battery::keep_together(log, mapping, &of) {
            crate::battery::keep_battery(log, mapping, &of);
        }
        return None;
    }
    let told = mapping.battery.as_ref().and_then(|of| all.iter().find(|b| b.of == *of)).cloned();
    let chosen = told.clone().or_else(|| likeliest(&all).cloned())?;
    let is_doubtful = all.iter().any(|b| b.of != chosen.of && !b.is_again(&chosen));
    let together = crate::battery::together(&all, &chosen);
    let likely = together.first().filter(|first| told.is_none() && first.is_likely);
    if likely.is_none_or(|likely| !crate::battery::keep_together(log, mapping, &likely.battery.of)) {
        crate::battery::keep_battery(log, mapping, &chosen.of);
    }
    if told.is_some() || mapping.answered.contains(KEY) || !is_doubtful {
        return None;
    }
    all.sort_by_key(|b| b.of != chosen.of);
    let why = if likely.is_some() {
        "all of them give more as she goes faster"
    } else if chosen.with_speed.is_some_and(|r| r >= 0.3) {
        "its amps move with her speed"
    } else {
        "most power flows there"
    };
    let taken = likely.map_or_else(|| format!("{:?}", chosen.sources), |likely| likely.label.clone());
    let text = format!("{} batteries speak. Which one feeds the drive? Taken is {taken}: {why}.", all.len());
    // What drives her is drawn, whichever sign the log gives it.
    let is_turned = chosen.power_w.is_some_and(|w| w < 0.0) && chosen.with_speed.is_some_and(|r| r >= 0.3);
    let turned = if is_turned { -1.0 } else { 1.0 };
    let alone = all.into_iter().map(|battery| (battery.sources.clone(), battery));
    let together = together.into_iter().map(|several| (several.label, several.battery, several.is_likely));
    let mut offered: Vec<(bool, String, Battery)> =
        alone.map(|(label, battery)| (false, label, battery)).collect();
    offered.extend(together.map(|(label, battery, is_likely)| (is_likely, label, battery)));
    offered.sort_by_key(|(is_likely, ..)| !is_likely);
    let choices = offered
        .into_iter()
        .map(|(_, label, battery)| {
            let mut changed = mapping.clone();
            changed.battery = Some(battery.of.clone());
            changed.answered.insert(KEY.to_owned());
            let gives = battery
                .power_w
                .map_or_else(String::new, |watts| format!("then {}", power_text(turned * watts)));
            Choice { word: battery.of, label, gives, mapping: changed }
        })
        .collect();
    Some(Question { key: KEY.to_owned(), text, values: Vec::new(), choices, cost: 1 })
}

/// As told or as is likeliest, without asking, and its sign where the log tells.
fn take_battery(log: &mut Log, mapping: &Mapping) {
    let mut quiet = mapping.clone();
    let _ = battery_question(log, &mut quiet);
    settle_sign(log, &mut quiet);
}

/// The costliest first, no more than are asked of one file.
pub(crate) fn ranked(mut questions: Vec<Question>) -> Vec<Question> {
    questions.sort_by_key(|question| question.cost);
    questions.truncate(MOST_QUESTIONS);
    questions
}
