//! What may be asked of a room beyond the boat: read once, from a flag as from a form.
//! Not for: changes on the boat (`whatif`).

use jiff::civil::Date;
use wakewright_units::factors::KNOT_M_S;
use wakewright_units::{Quantity, parse_certain, read_quantity};

use crate::sentence::month_name;

/// A question.
#[derive(Debug, Clone, Copy)]
pub struct Question {
    /// Long flag and name in a form.
    pub key: &'static str,
    /// What stands for its value in the help; none for a flag without value. Words with `|` between them are
    /// all that it takes; `FILE` is a text that a command reads from a file.
    pub value_name: Option<&'static str>,
    /// One line of help.
    pub help: &'static str,
    /// How it is read; what to write instead where it cannot be.
    pub read: fn(&str) -> Result<Reply, String>,
}

/// A question that a page asks by a field to type in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Typed {
    /// Key of the question.
    pub key: &'static str,
    /// Over the field.
    pub label: &'static str,
    /// What stands for an answer as long as none is typed.
    pub usual: String,
    /// Lines of the field.
    pub lines: u8,
    /// What it can be answered with and the words of it, where that is a choice.
    pub choices: Vec<(&'static str, &'static str)>,
}

impl Typed {
    /// A field of one line.
    #[must_use]
    pub fn new(key: &'static str, label: &'static str, usual: impl Into<String>) -> Self {
        Self { key, label, usual: usual.into(), lines: 1, choices: Vec::new() }
    }

    /// A field of which one answer is chosen.
    #[must_use]
    pub fn choice(
        key: &'static str,
        label: &'static str,
        usual: &str,
        choices: Vec<(&'static str, &'static str)>,
    ) -> Self {
        Self { choices, ..Self::new(key, label, usual) }
    }

    /// A field that a table is pasted into.
    #[must_use]
    pub fn table(key: &'static str, label: &'static str, usual: impl Into<String>) -> Self {
        Self { lines: 4, ..Self::new(key, label, usual) }
    }
}

/// What was said to a question.
#[derive(Debug, Clone, PartialEq)]
pub enum Reply {
    /// Yes.
    Yes,
    /// A number, SI.
    Number(f64),
    /// Several, SI.
    Numbers(Vec<f64>),
    /// A whole number.
    Whole(u32),
    /// A day.
    Day(Date),
    /// Words.
    Text(String),
    /// Words, of a question that may be answered again and again.
    Texts(Vec<String>),
}

impl Question {
    /// A flag without value.
    #[must_use]
    pub const fn flag(key: &'static str, help: &'static str) -> Self {
        Self { key, value_name: None, help, read: |_| Ok(Reply::Yes) }
    }
}

/// A speed from `from_kn` to `to_kn`.
/// # Errors
/// What to write instead.
pub fn read_speed_within(text: &str, from_kn: f64, to_kn: f64) -> Result<Reply, String> {
    let limits = (from_kn * KNOT_M_S, to_kn * KNOT_M_S * (1.0 + 1e-9));
    let speed = parse_certain(text, Quantity::Speed, limits).map_err(|error| error.to_string())?;
    if (limits.0..=limits.1).contains(&speed) {
        Ok(Reply::Number(speed))
    } else {
        Err(format!("give a speed from {from_kn} to {to_kn} kn"))
    }
}

/// A share from `from` to `to` per cent.
/// # Errors
/// What to write instead.
pub fn read_share_within(text: &str, from: u32, to: u32) -> Result<Reply, String> {
    let read = read_quantity(text, Quantity::Share).map_err(|error| error.to_string())?;
    if (f64::from(from) / 100.0 - 1e-9..=f64::from(to) / 100.0 + 1e-9).contains(&read.si) {
        Ok(Reply::Number(read.si))
    } else {
        Err(format!("give a share from {from} % to {to} %"))
    }
}

/// A month from 1 to 12, by number or by the beginning of its name.
/// # Errors
/// What to write instead.
pub fn read_month(text: &str) -> Result<Reply, String> {
    let wanted = text.trim().to_lowercase();
    let named = |month: &u32| wanted.len() >= 3 && month_name(*month).to_lowercase().starts_with(&wanted);
    let month = match wanted.parse() {
        Ok(month @ 1..=12) => Some(month),
        _ => (1..=12).find(named),
    };
    month.map(Reply::Whole).ok_or_else(|| format!("{text} is no month; write June, Jun or 6"))
}

/// Years from 0 to 20.
/// # Errors
/// What to write instead.
pub fn read_years(text: &str) -> Result<Reply, String> {
    match text.trim().parse::<f64>() {
        Ok(years) if (0.0..=20.0).contains(&years) => Ok(Reply::Number(years)),
        _ => Err("give a number of years from 0 to 20".to_owned()),
    }
}

/// A day from 1900 to 2200.
/// # Errors
/// What to write instead.
pub fn read_date(text: &str) -> Result<Reply, String> {
    match text.trim().parse::<Date>() {
        Ok(day) if (1900..=2200).contains(&day.year()) => Ok(Reply::Day(day)),
        _ => Err(format!("{text} is no day from 1900 to 2200; write it like 2026-06-21")),
    }
}
