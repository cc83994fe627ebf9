//! A mapping proposed from a table's head and first rows, with what must be asked. Where head and
//! values leave more than one reading, the proposal says which one it took and asks.
//! Not for: deciding; the user confirms.

use wakewright_units::{Quantity, Unit, units_of};

use super::TableError;
use super::mapping::{ColumnMapping, Mapping, TimeMapping};
use super::times::TimeFormat;
use crate::line::decimal;
use crate::measured::Measured as M;

/// Rows that are looked at and shown.
const ROWS_SEEN: usize = 200;
/// Rows of the preview.
const ROWS_SHOWN: usize = 5;

/// A mapping to be confirmed.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// What was made of the table.
    pub mapping: Mapping,
    /// What must be told before the figures are used.
    pub questions: Vec<String>,
    /// The first rows as they stand.
    pub preview: Vec<Vec<String>>,
}

/// Proposes a mapping from the first bytes of a table (some kilobytes).
/// # Errors
/// [`TableError::NoTable`].
pub fn propose(head: &[u8]) -> Result<Proposal, TableError> {
    let text = String::from_utf8_lossy(head);
    let text = text.trim_start_matches('\u{feff}');
    let lines: Vec<&str> = text.lines().take(ROWS_SEEN).collect();
    let (separator, width) = separator_of(&lines).ok_or(TableError::NoTable)?;
    let rows: Vec<(u64, Vec<String>)> = lines
        .iter()
        .enumerate()
        .map(|(i, line)| (i as u64 + 1, split(line, separator)))
        .filter(|(_, cells)| cells.len() == width)
        .collect();
    let (heads, head_line, body) = heads_of(&rows, width);
    let decimal_comma = separator != ',' && has_decimal_commas(body);
    let mut questions = Vec::new();
    let time = time_of(&heads, body, decimal_comma, &mut questions);
    let mut columns = Vec::new();
    for (index, head) in heads.iter().enumerate() {
        let is_time = time.as_ref().is_some_and(|time| time.columns.contains(&index));
        let has_numbers = body.iter().any(|(_, cells)| {
            cells.get(index).is_some_and(|c| number(c.as_bytes(), decimal_comma).is_some())
        });
        if is_time || !has_numbers {
            continue;
        }
        if let Some(column) = column_of(index, head, &mut questions) {
            if columns.iter().any(|other: &ColumnMapping| other.measured == column.measured) {
                questions.push(format!(
                    "Two columns look like {}; {head:?} is read as well. Which one holds?",
                    column.measured.label()
                ));
            }
            columns.push(column);
        }
    }
    if time.is_none() {
        questions.push("No column looks like a time. Which one is it?".to_owned());
    }
    if columns.is_empty() {
        questions.push("No column's name says what it measures. Say what the columns are.".to_owned());
    }
    let preview = body.iter().take(ROWS_SHOWN).map(|(_, cells)| cells.clone()).collect();
    Ok(Proposal {
        mapping: Mapping { separator, decimal_comma, head_line, heads, time, columns },
        questions,
        preview,
    })
}

/// The separator that gives most rows the same number of columns, and that number.
pub(crate) fn separator_of(lines: &[&str]) -> Option<(char, usize)> {
    let mut best: Option<(usize, char, usize)> = None;
    for separator in [';', '\t', ',', '|'] {
        let widths: Vec<usize> =
            lines.iter().filter(|l| !l.trim().is_empty()).map(|l| split(l, separator).len()).collect();
        let Some(width) = widths.iter().copied().filter(|w| *w > 1).max_by_key(|w| count(&widths, *w)) else {
            continue;
        };
        let rows = count(&widths, width);
        // The first of equals holds: commas may be decimals.
        if rows >= 2 && best.is_none_or(|(most, ..)| rows > most) {
            best = Some((rows, separator, width));
        }
    }
    let rows_seen = lines.iter().filter(|line| !line.trim().is_empty()).count();
    best.filter(|(rows, ..)| 2 * rows >= rows_seen).map(|(_, separator, width)| (separator, width))
}

fn count(widths: &[usize], width: usize) -> usize {
    widths.iter().filter(|w| **w == width).count()
}

/// Cells of a line; quotes hide separators.
fn split(line: &str, separator: char) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut is_quoted = false;
    for c in line.trim_end_matches('\r').chars() {
        match c {
            '"' => is_quoted = !is_quoted,
            c if c == separator && !is_quoted => cells.push(String::new()),
            c => {
                if let Some(cell) = cells.last_mut() {
                    cell.push(c);
                }
            }
        }
    }
    cells.into_iter().map(|cell| cell.trim().to_owned()).collect()
}

type Rows = [(u64, Vec<String>)];

/// Column names with their line, and the rows below. A first row with numbers in it is no head.
fn heads_of(rows: &Rows, width: usize) -> (Vec<String>, u64, &Rows) {
    let is_wordy = |cells: &[String]| {
        cells.iter().filter(|c| !c.is_empty()).count() > 0
            && cells.iter().all(|c| c.is_empty() || c.chars().any(char::is_alphabetic))
            && !cells.iter().any(|c| TimeFormat::Iso.read(c).is_some())
    };
    match rows.first() {
        Some((line, cells)) if is_wordy(cells) => (cells.clone(), *line, &rows[1..]),
        _ => ((1..=width).map(|i| format!("column {i}")).collect(), 0, rows),
    }
}

fn has_decimal_commas(rows: &Rows) -> bool {
    let cells = || rows.iter().flat_map(|(_, cells)| cells);
    let is_decimal = |cell: &&String, mark: char| {
        cell.split_once(mark).is_some_and(|(a, b)| {
            let digits = |s: &str| !s.is_empty() && s.bytes().all(|c| c.is_ascii_digit());
            digits(a.trim_start_matches(['-', '+'])) && digits(b)
        })
    };
    cells().filter(|c| is_decimal(c, ',')).count() > cells().filter(|c| is_decimal(c, '.')).count()
}

/// A number as the table writes it.
pub(super) fn number(cell: &[u8], decimal_comma: bool) -> Option<f64> {
    let plain = if decimal_comma { None } else { decimal(cell) };
    plain.or_else(|| {
        let text = std::str::from_utf8(cell).ok()?.trim();
        let text = text.replace('\u{2212}', "-");
        let text = if decimal_comma { text.replace('.', "").replace(',', ".") } else { text };
        // Words that the language reads as numbers are none here.
        let has_words = text.bytes().any(|b| b.is_ascii_alphabetic() && b != b'e' && b != b'E');
        if has_words { None } else { text.parse().ok() }
    })
}

/// True for what tables write where there is nothing.
pub(super) fn is_blank(cell: &[u8]) -> bool {
    const WORDS: [&[u8]; 9] = [b"-", b"--", b"---", b"nan", b"null", b"n/a", b"na", b"none", b"off"];
    WORDS.iter().any(|word| cell.eq_ignore_ascii_case(word))
}

/// Words of a head in lower case: `Batt_Voltage [V]` gives batt, voltage.
fn words(head: &str) -> Vec<String> {
    let before_unit = head.split(['[', '(']).next().unwrap_or(head);
    let mut words = vec![String::new()];
    let mut was_lower = false;
    for c in before_unit.chars() {
        let starts = !c.is_alphanumeric() || (c.is_uppercase() && was_lower);
        if starts {
            words.push(String::new());
        }
        if c.is_alphanumeric()
            && let Some(word) = words.last_mut()
        {
            word.extend(c.to_lowercase());
        }
        was_lower = c.is_lowercase();
    }
    words.retain(|word| !word.is_empty());
    words
}

/// What names of columns say, more special ones first: any word of each group must be there.
/// English, German, French, Dutch and Spanish as meters write them.
static NAMES: &[(M, &[&[&str]])] = &[
    (M::Latitude, &[&["lat", "latitude", "breite", "breitengrad"]]),
    (M::Longitude, &[&["lon", "lng", "long", "longitude", "länge", "längengrad"]]),
    (M::SpeedThroughWater, &[&["stw", "logspeed", "waterspeed"]]),
    (M::SpeedThroughWater, &[&["speed", "vitesse", "fahrt"], &["water", "log", "eau"]]),
    (M::SpeedOverGround, &[&["sog", "gpsspeed"]]),
    (M::ApparentWindSpeed, &[&["aws"]]),
    (M::ApparentWindAngle, &[&["awa"]]),
    (M::ApparentWindSpeed, &[&["wind", "vent"], &["speed", "vitesse"]]),
    (M::ApparentWindAngle, &[&["wind", "vent"], &["angle"]]),
    (M::ShaftSpeed, &[&["shaft", "propeller", "prop", "welle"], &["rpm", "speed", "revs", "drehzahl"]]),
    (
        M::MotorSpeed,
        &[&["rpm", "revs", "drehzahl", "umdrehungen", "toeren", "tours", "régime", "regime", "motorspeed"]],
    ),
    (M::MotorSpeed, &[&["motor", "engine"], &["speed"]]),
    (M::SpeedOverGround, &[&["speed", "geschwindigkeit", "vitesse", "velocidad", "snelheid", "fahrt"]]),
    (M::CourseOverGround, &[&["cog", "course", "kurs", "route", "koers", "rumbo", "bearing"]]),
    (M::HeadingMagnetic, &[&["heading", "hdg", "steuerkurs", "cap", "compass"]]),
    (M::DepthBelowTransducer, &[&["depth", "tiefe", "profondeur", "diepte", "wassertiefe"]]),
    (M::StateOfCharge, &[&["soc", "ladezustand"]]),
    (M::StateOfCharge, &[&["state"], &["charge"]]),
    (M::MotorTemperature, &[&["motor", "engine"], &["temp", "temperature", "temperatur", "température"]]),
    (
        M::BatteryTemperature,
        &[
            &["battery", "batt", "bat", "cell", "batterie"],
            &["temp", "temperature", "temperatur", "température"],
        ],
    ),
    (
        M::WaterTemperature,
        &[&["water", "sea", "wasser", "eau"], &["temp", "temperature", "temperatur", "température"]],
    ),
    (M::Throttle, &[&["throttle", "lever", "gashebel"]]),
    (
        M::Voltage,
        &[&[
            "voltage", "volt", "volts", "spannung", "tension", "spanning", "voltaje", "vbat", "udc", "u", "v",
        ]],
    ),
    (
        M::Current,
        &[&[
            "current",
            "amps",
            "amp",
            "ampere",
            "strom",
            "courant",
            "stroom",
            "corriente",
            "ibat",
            "idc",
            "i",
            "a",
        ]],
    ),
    (M::Power, &[&["power", "watts", "watt", "leistung", "puissance", "vermogen", "potencia", "p", "w"]]),
];

fn column_of(index: usize, head: &str, questions: &mut Vec<String>) -> Option<ColumnMapping> {
    let words = words(head);
    let fits = |groups: &[&[&str]]| {
        groups.iter().all(|group| words.iter().any(|word| group.contains(&word.as_str())))
    };
    let (measured, _) = NAMES.iter().find(|(_, groups)| fits(groups))?;
    let unit = match unit_of(head, &words, measured.quantity()) {
        Some(unit) => unit.symbol().to_owned(),
        None => {
            let usual = usual_unit(*measured);
            questions.push(format!(
                "Column {head:?} does not say its unit; {} is taken for {}. Is that right?",
                if usual.is_empty() { "a share of 1" } else { usual },
                measured.label(),
            ));
            usual.to_owned()
        }
    };
    if *measured == M::Current {
        questions.push(format!("Column {head:?}: is current out of the bank written as positive?"));
    }
    Some(ColumnMapping { column: index, measured: *measured, unit, is_negated: false })
}

/// The unit in brackets, after the last blank or underscore, or that the name itself is.
fn unit_of(head: &str, words: &[String], quantity: Quantity) -> Option<&'static Unit> {
    let bracketed =
        head.split_once(['[', '(']).map(|(_, rest)| rest.trim_end_matches([']', ')', ' ']).trim().to_owned());
    let last = words.last().cloned();
    let tail = head.rsplit([' ', '_', '.', '/']).next().map(str::to_owned);
    let after_slash = head.rsplit_once(" / ").map(|(_, unit)| unit.trim().to_owned());
    let known = [bracketed, after_slash, tail, last];
    known.iter().flatten().find_map(|text| {
        let lower = text.to_lowercase();
        let spelt = |unit: &&Unit, exact: bool| {
            unit.names
                .iter()
                .any(|n| !n.is_empty() && if exact { n == text } else { n.to_lowercase() == lower })
        };
        units_of(quantity.dimension())
            .find(|unit| spelt(unit, true))
            .or_else(|| units_of(quantity.dimension()).find(|unit| spelt(unit, false)))
            .or_else(|| metres_per_second(&lower).and_then(|symbol| quantity.unit(symbol)))
    })
}

/// Spellings of column names that are no units elsewhere.
fn metres_per_second(word: &str) -> Option<&'static str> {
    match word {
        "ms" | "mps" => Some("m/s"),
        "kmh" | "kph" => Some("km/h"),
        "c" => Some("°C"),
        "pct" => Some("%"),
        _ => None,
    }
}

fn usual_unit(measured: M) -> &'static str {
    match measured.quantity() {
        Quantity::Speed => "kn",
        Quantity::Angle => "°",
        Quantity::Length => "m",
        Quantity::RotationalSpeed => "rpm",
        Quantity::Voltage => "V",
        Quantity::Current => "A",
        Quantity::Power => "W",
        Quantity::Temperature => "°C",
        Quantity::Share => "%",
        _ => "",
    }
}

/// The column of the time and how it is written.
fn time_of(
    heads: &[String],
    rows: &Rows,
    decimal_comma: bool,
    questions: &mut Vec<String>,
) -> Option<TimeMapping> {
    const TIME_WORDS: [&str; 16] = [
        "time",
        "timestamp",
        "date",
        "datetime",
        "utc",
        "zeit",
        "uhrzeit",
        "datum",
        "heure",
        "temps",
        "hora",
        "tijd",
        "t",
        "elapsed",
        "seconds",
        "ms",
    ];
    let cells = |column: usize| -> Vec<&str> {
        rows.iter().filter_map(|(_, cells)| cells.get(column).map(String::as_str)).collect()
    };
    let is_named = |column: usize| words(&heads[column]).iter().any(|w| TIME_WORDS.contains(&w.as_str()));
    let mut order: Vec<usize> = (0..heads.len()).collect();
    order.sort_by_key(|column| !is_named(*column));
    // Date in one column, time of day in another.
    let reads = |column: usize, format: TimeFormat| {
        cells(column).iter().filter(|cell| format.read(cell).is_some()).count()
    };
    let is_most = |count: usize, column: usize| 2 * count > cells(column).len();
    let times_of_day =
        order.iter().copied().find(|column| is_most(reads(*column, TimeFormat::TimeOfDay), *column));
    for column in order {
        let cells = cells(column);
        let iso = reads(column, TimeFormat::Iso);
        let day_first = reads(column, TimeFormat::DayFirst);
        let month_first = reads(column, TimeFormat::MonthFirst);
        let (format, count) = if iso > 0 {
            (TimeFormat::Iso, iso)
        } else if month_first > day_first {
            (TimeFormat::MonthFirst, month_first)
        } else {
            (TimeFormat::DayFirst, day_first)
        };
        if is_most(count, column) {
            if iso == 0 && day_first == month_first {
                questions.push(format!(
                    "Dates such as {:?} can be day first or month first; day first is taken. Is that right?",
                    cells.first().copied().unwrap_or_default()
                ));
            }
            let has_clock = cells.iter().any(|cell| cell.contains(':'));
            let columns = match times_of_day {
                Some(time) if !has_clock && time != column => vec![column, time],
                _ => vec![column],
            };
            let has_zone = cells.iter().filter_map(|cell| format.read(cell)).all(|(_, _, has_zone)| has_zone);
            return Some(TimeMapping { columns, format, ahead_of_utc_s: None, has_zone });
        }
        if is_named(column) {
            let numbers: Vec<f64> =
                cells.iter().filter_map(|c| number(c.as_bytes(), decimal_comma)).collect();
            if !numbers.is_empty() && is_most(numbers.len(), column) {
                let format = count_format(&heads[column], &numbers, questions);
                return Some(TimeMapping {
                    columns: vec![column],
                    format,
                    ahead_of_utc_s: None,
                    has_zone: !format.needs_zone(),
                });
            }
        }
    }
    times_of_day.map(|column| TimeMapping {
        columns: vec![column],
        format: TimeFormat::TimeOfDay,
        ahead_of_utc_s: None,
        has_zone: true,
    })
}

/// What a column of plain numbers counts, by its size and its head.
fn count_format(head: &str, numbers: &[f64], questions: &mut Vec<String>) -> TimeFormat {
    let first = numbers.first().copied().unwrap_or_default();
    let lower = head.to_lowercase();
    let words = words(head);
    let has = |word: &str| words.iter().any(|w| w == word) || lower.contains(&format!("[{word}]"));
    match first {
        n if (3e8..1e11).contains(&n) => TimeFormat::UnixSeconds,
        n if (3e11..1e14).contains(&n) => TimeFormat::UnixMilliseconds,
        n if (30_000.0..80_000.0).contains(&n) && numbers.windows(2).all(|p| (p[1] - p[0]).abs() < 1.0) => {
            TimeFormat::SpreadsheetDays
        }
        _ if has("ms") || lower.contains("(ms)") || lower.contains("milli") => {
            TimeFormat::ElapsedMilliseconds
        }
        _ if has("min") || lower.contains("(min)") || lower.contains("minute") => TimeFormat::ElapsedMinutes,
        _ => {
            let says = has("s") || has("sec") || lower.contains("(s)") || lower.contains("second");
            if !says {
                questions.push(format!(
                    "Column {head:?} counts; seconds from the start are taken. Is that right?"
                ));
            }
            TimeFormat::ElapsedSeconds
        }
    }
}
