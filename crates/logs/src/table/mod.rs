//! Tables of any columns: shape, separator, decimals, times and units are proposed from the head and
//! the first rows, confirmed once by the user, and remembered by the names of the columns.
//!
//! Not for: telling files apart (`sniff`) or unpacking them (`open`).

mod again;
mod batteries;
mod cells;
mod decimals;
mod direction;
mod heads;
mod label_rows;
mod left;
mod letter;
mod line_protocol;
mod long_places;
mod long_rows;
mod mapping;
mod meaning;
mod named_rows;
mod names;
mod numbers;
mod parted;
mod place;
mod position;
mod propose;
mod row;
mod rows;
mod run_rows;
mod separated;
mod settle;
mod time_column;
mod time_counts;
mod time_said;
mod times;
mod unit_of;
mod unit_said;
mod words;

use std::io::BufRead;

pub(crate) use left::unread;
pub use letter::LetterO;
pub(crate) use long_places::long_text;
pub use mapping::{ColumnMapping, FilePart, Mapping, OwnClock, Shape, TimeMapping};
pub(crate) use meaning::plant_by_name;
pub use parted::Parted;
pub use position::PositionOrder;
pub(crate) use propose::{Doubt, DoubtKind, propose_rows};
pub use propose::{Proposal, propose};
pub(crate) use rows::{Given, Rows, of as rows_of};
pub use run_rows::{RunRows, RunRowsError, run_rows};
pub use times::TimeFormat;

use super::LogError;
use super::bad::BadKind;
use super::log::{Builder, Log, Source};
use super::notice::LogNotice;
use again::Layout;
use row::{Clocks, read_row};
use rows::Row;

/// Why a table cannot be read.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum TableError {
    /// No rows with the same number of columns.
    #[error("no table is seen here: no two rows have the same number of columns, two or more")]
    NoTable,
    /// The mapping names a unit that its quantity does not take.
    #[error("column {column}: {unit:?} is no unit of {measured}")]
    Unit {
        /// Column, from 1.
        column: usize,
        /// As written.
        unit: String,
        /// What the column measures.
        measured: &'static str,
    },
    /// The mapping cannot be read.
    #[error("the mapping cannot be read: {0}")]
    Mapping(String),
}

/// Reads a table by a mapping, row by row.
/// # Errors
/// [`LogError`]: the reader's own, or a unit in the mapping that does not fit.
pub fn read(reader: impl BufRead, mapping: &Mapping) -> Result<Log, LogError> {
    let mut rows = rows::of(reader, mapping);
    read_rows(rows.as_mut(), mapping, &mut Vec::new())
}

/// Rows that are kept beside the log, evenly spread, for what an answer would give.
const ROWS_KEPT: usize = 600;

/// Reads all rows by a mapping; some of them are put into `kept`.
/// # Errors
/// As [`read`].
pub(crate) fn read_rows(
    rows: &mut dyn Rows,
    mapping: &Mapping,
    kept: &mut Vec<csv::ByteRecord>,
) -> Result<Log, LogError> {
    let mut layout = Layout::new(mapping)?;
    let mut builder = Builder::new();
    let mut clocks = Clocks::of(mapping);
    let mut record = csv::ByteRecord::new();
    let mut lines = 0;
    // Rows are kept by the leading bits of their number times the golden ratio: of sources that take turns at any pace
    // none is left out.
    const GOLDEN: u64 = 0x9E37_79B9_7F4A_7C15;
    let is_kept = |seen: u64, halvings: u32| seen.wrapping_mul(GOLDEN).leading_zeros() >= halvings;
    let (mut seen, mut halvings) = (0_u64, 0_u32);
    let mut timeless = 0_u64;
    let mut numbers: Vec<u64> = Vec::new();
    while let Some(row) = rows.next(&mut record)? {
        lines = lines.max(row.line());
        builder.line = row.line();
        if builder.line <= mapping.head_line {
            continue;
        }
        if let Row::Bad { kind, .. } = row {
            builder.bad(kind);
            continue;
        }
        if !layout.fits(&record) {
            if !layout.turn(mapping, &record, &mut builder) {
                builder.bad(BadKind::BadRow);
            }
            continue;
        }
        let is_only = mapping.parted.as_ref().is_some_and(|parted| parted.only.is_some());
        let is_read = mapping.parted.as_ref().is_none_or(|parted| parted.lay(&mut record));
        if !is_read && !is_only {
            builder.bad(BadKind::BadRow);
            continue;
        }
        if is_kept(seen, halvings) {
            kept.push(record.clone());
            numbers.push(seen);
            if kept.len() > ROWS_KEPT {
                halvings += 1;
                let mut of = numbers.iter();
                kept.retain(|_| of.next().is_some_and(|seen| is_kept(*seen, halvings)));
                numbers.retain(|seen| is_kept(*seen, halvings));
            }
        }
        seen += 1;
        // Rows of another source than the one that is read are no fault.
        if !is_read {
            continue;
        }
        if read_row(&record, &layout, &mut clocks, &mut builder) {
            builder.message(b"row");
        } else {
            // No row of a time: perhaps the heading again, as files that were put together have it.
            if !layout.turn(mapping, &record, &mut builder) {
                builder.message(b"row");
                builder.bad(BadKind::BadTime);
                timeless += 1;
            }
        }
    }
    /// Of so many rows one without a time is said beside the count.
    const SELDOM: u64 = 5;
    if timeless > 0 && SELDOM * timeless >= seen {
        let cell = |column: &usize| mapping.heads.get(*column).map_or("", String::as_str);
        let names = mapping.time.iter().flat_map(|time| time.columns.iter().map(cell)).collect::<Vec<&str>>();
        builder.notices.push(LogNotice::Question(format!(
            "{timeless} of {seen} rows have no time that can be read under {:?}, and nothing of them is used. Which column is the time, and how \
             is it written?",
            names.join(" and ")
        )));
    }
    let clock = &clocks.first;
    builder.notices.extend(clock.said.iter().map(|said| LogNotice::LeftOut((*said).to_owned())));
    if mapping.time.as_ref().is_some_and(|time| time.lacks_zone()) {
        builder.notices.push(LogNotice::NoZone);
    }
    if clock.turned_s != 0.0 {
        let which = if clock.turned_s > 0.0 { "back" } else { "on" };
        builder.notices.push(LogNotice::LeftOut(format!(
            "The clock was put {which} by an hour while the log ran: times go on as they began."
        )));
    }
    Ok(builder.finish(lines.max(rows.lines())))
}

/// The unit that a column's name says for a quantity.
pub(crate) fn unit_symbol(head: &str, measured: crate::Measured) -> Option<String> {
    match propose::unit_said(head) {
        unit_said::UnitSaid::Known(unit) if unit.dimension == measured.quantity().dimension() => {
            Some(unit.symbol().to_owned())
        }
        _ => None,
    }
}

/// Of several columns of her speed or of the motor's turns the one that moves with what else moves; the question about them
/// names it first.
pub(crate) fn settle_which(doubts: &mut [Doubt], mapping: &mut Mapping, log: &mut Log) {
    use crate::Measured as M;
    const MOVES: f64 = 0.6;
    const STANDS: f64 = 0.3;
    for doubt in doubts {
        let DoubtKind::Which(columns) = &mut doubt.kind else { continue };
        let first = mapping.columns.iter().find(|c| columns.contains(&c.column)).map(|c| c.measured);
        let others: &[M] = match first {
            Some(M::SpeedOverGround | M::SpeedThroughWater) => {
                &[M::MotorSpeed, M::ShaftSpeed, M::Current, M::Power]
            }
            Some(M::MotorSpeed | M::ShaftSpeed) => {
                &[M::SpeedOverGround, M::SpeedThroughWater, M::Current, M::Power]
            }
            _ => continue,
        };
        let bins_of = |channel: &crate::Channel| crate::battery_moves::bins(channel, true);
        let moving: Vec<_> =
            log.channels.iter().filter(|c| others.contains(&c.measured)).map(bins_of).collect();
        let moves = |column: usize| {
            let source = Source::Column(column as u16);
            let own = bins_of(log.channels.iter().find(|c| c.source == source)?);
            moving
                .iter()
                .filter_map(|other| crate::battery_moves::correlation(&own, other))
                .max_by(f64::total_cmp)
        };
        let told: Vec<(usize, f64)> = columns.iter().map(|c| (*c, moves(*c).unwrap_or(0.0))).collect();
        let best = told.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((column, _)) =
            best.filter(|(_, moves)| *moves >= MOVES && told.first().is_some_and(|first| first.1 < STANDS))
        {
            columns.retain(|other| *other != column);
            columns.insert(0, column);
            doubt.column = column;
        }
        let left = &columns[1..];
        mapping.columns.retain(|c| !left.contains(&c.column) || Some(c.measured) != first);
        let is_left = |source: Source| left.iter().any(|column| source == Source::Column(*column as u16));
        log.channels.retain(|channel| !is_left(channel.source));
    }
}

/// Speeds without a unit are held against positions, where the table has them: one unit fits.
pub(crate) fn settle_speed_unit(doubts: &mut Vec<Doubt>, mapping: &mut Mapping, log: &mut Log) {
    /// The units lie 1.9 times apart and more.
    const NEARNESS: f64 = 0.2;
    let Some(at) = doubts
        .iter()
        .position(|d| matches!(&d.kind, DoubtKind::Unit(units, _) if units.first() == Some(&"kn")))
    else {
        return;
    };
    let DoubtKind::Unit(units, columns) = doubts[at].kind.clone() else { return };
    let ground = mapping
        .columns
        .iter()
        .find(|c| columns.contains(&c.column) && c.measured == crate::Measured::SpeedOverGround);
    let Some(ground) = ground else { return };
    let source = Source::Column(ground.column as u16);
    let told = log.channels.iter().find(|c| c.source == source);
    let Some(ratio) = told.and_then(|speeds| crate::track::places_over_speeds(log, speeds)) else { return };
    let quantity = ground.measured.quantity();
    let Some(now) = quantity.unit(&ground.unit) else { return };
    let fitting: Vec<&'static str> = units
        .into_iter()
        .filter(|unit| {
            quantity.unit(unit).is_some_and(|unit| (unit.factor / now.factor / ratio - 1.0).abs() < NEARNESS)
        })
        .collect();
    let [one] = fitting.as_slice() else { return };
    let Some(unit) = quantity.unit(one) else { return };
    let factor = unit.factor / now.factor;
    for column in &columns {
        if let Some(mapped) = mapping.column_mut(*column) {
            (*one).clone_into(&mut mapped.unit);
        }
        for channel in log.channels.iter_mut().filter(|c| c.source == Source::Column(*column as u16)) {
            channel.values.iter_mut().for_each(|value| *value *= factor);
        }
    }
    doubts.remove(at);
}

/// Speeds whose name says a unit are held against positions too, and a current's speed is told from hers by them.
pub(crate) fn hold_against_places(
    doubts: &mut Vec<Doubt>,
    mapping: &mut Mapping,
    log: &mut Log,
    remarks: &mut Vec<String>,
) {
    /// Other units lie farther, and a stream makes no such difference to a speed over ground.
    const NEARNESS: f64 = 0.06;
    const AS_SAID: f64 = 0.2;
    let ground = mapping.columns.iter().find(|c| c.measured == crate::Measured::SpeedOverGround).cloned();
    let Some(ground) = ground else { return };
    let is_asked = |doubt: &Doubt| matches!(&doubt.kind, DoubtKind::Unit(_, columns) if columns.contains(&ground.column));
    let source = Source::Column(ground.column as u16);
    let told = log.channels.iter().find(|c| c.source == source);
    let Some(ratio) = told.and_then(|speeds| crate::track::places_over_speeds(log, speeds)) else { return };
    let stream = doubts.iter().position(|d| d.kind == DoubtKind::Stream(ground.column));
    if (ratio - 1.0).abs() < AS_SAID {
        stream.map(|at| doubts.remove(at));
        return;
    }
    if let Some(at) = stream {
        doubts.remove(at);
        mapping.columns.retain(|c| c.column != ground.column);
        let head = mapping.heads.get(ground.column).cloned().unwrap_or_default();
        remarks.push(format!(
            "{head:?} left out: from place to place she made another speed, so it is a current's."
        ));
        return;
    }
    let quantity = ground.measured.quantity();
    let key = format!("unit/{}", mapping.heads.get(ground.column).map_or("", String::as_str));
    if doubts.iter().any(is_asked) || mapping.answered.contains(&key) {
        return;
    }
    let Some(now) = quantity.unit(&ground.unit) else { return };
    let fitting = ["kn", "km/h", "m/s", "mph"]
        .into_iter()
        .filter_map(|name| Some((name, quantity.unit(name)?)))
        .find(|(_, unit)| (unit.factor / now.factor / ratio - 1.0).abs() < NEARNESS);
    let Some((name, unit)) = fitting else { return };
    let factor = unit.factor / now.factor;
    if let Some(mapped) = mapping.column_mut(ground.column) {
        name.clone_into(&mut mapped.unit);
    }
    for channel in log.channels.iter_mut().filter(|c| c.source == source) {
        channel.values.iter_mut().for_each(|value| *value *= factor);
    }
    let kind = DoubtKind::Unit(vec![name, now.symbol()], vec![ground.column]);
    doubts.push(Doubt { key, column: ground.column, kind });
}

/// Whole amps without a unit that are many, over all of the table: they may count in tenths. Those that are too many for a
/// boat are taken so until somebody says.
pub(crate) fn ask_whole_amps(doubts: &mut Vec<Doubt>, mapping: &mut Mapping, log: &mut Log) {
    const MANY_A: f64 = 200.0;
    let whole = mapping
        .columns
        .iter_mut()
        .filter(|c| c.measured == crate::Measured::Current && c.unit == "A" && c.scale == 1.0);
    for mapped in whole {
        let head = mapping.heads.get(mapped.column).map_or("", String::as_str);
        let key = format!("step/{head}");
        let is_unsaid = matches!(propose::unit_said(head), unit_said::UnitSaid::None);
        let source = Source::Column(mapped.column as u16);
        let Some(channel) = log.channels.iter_mut().find(|c| c.source == source) else { continue };
        let greatest = channel.values.iter().map(|value| value.abs()).fold(0.0, f64::max);
        let is_asked = doubts.iter().any(|d| d.key == key) || mapping.answered.contains(&key);
        if !is_unsaid || is_asked || greatest < MANY_A || channel.values.iter().any(|v| v.fract() != 0.0) {
            continue;
        }
        let steps = unit_of::steps_of_many(greatest);
        mapped.scale = steps[0].scale;
        channel.values.iter_mut().for_each(|value| *value *= steps[0].scale);
        doubts.push(Doubt { key, column: mapped.column, kind: DoubtKind::Scale(steps, mapped.column) });
    }
}

/// Watts that are next to nothing and yet grow with her speed: the name may say another unit than the cells.
pub(crate) fn hold_power(doubts: &mut Vec<Doubt>, mapping: &mut Mapping, log: &mut Log) {
    /// No boat is driven by less; common practice, no source.
    const LEAST_W: f64 = 60.0;
    const MOVES: f64 = 0.6;
    let of = |mapped: &&mut ColumnMapping| mapped.measured == crate::Measured::Power && mapped.unit == "W";
    let Some(mapped) = mapping.columns.iter_mut().find(of) else { return };
    let key = format!("unit/{}", mapping.heads.get(mapped.column).map_or("", String::as_str));
    if mapping.answered.contains(&key) || doubts.iter().any(|d| d.key == key) {
        return;
    }
    let source = Source::Column(mapped.column as u16);
    let Some(speeds) = crate::battery_moves::speed_bins(log) else { return };
    let Some(channel) = log.channels.iter_mut().find(|c| c.source == source) else { return };
    let greatest = channel.values.iter().map(|value| value.abs()).fold(0.0, f64::max);
    let moved = crate::battery_moves::bins(channel, true);
    let moves = crate::battery_moves::correlation(&moved, &speeds).is_some_and(|r| r >= MOVES);
    if greatest >= LEAST_W || !moves {
        return;
    }
    "kW".clone_into(&mut mapped.unit);
    channel.values.iter_mut().for_each(|value| *value *= 1000.0);
    doubts.push(Doubt {
        key,
        column: mapped.column,
        kind: DoubtKind::Unit(vec!["kW", "W"], vec![mapped.column]),
    });
}

/// A log of some rows that were kept: what a mapping makes of them.
pub(crate) fn read_kept(kept: &[csv::ByteRecord], mapping: &Mapping) -> Option<Log> {
    let layout = Layout::new(mapping).ok()?;
    let mut builder = Builder::new();
    let mut clocks = Clocks::of(mapping);
    for record in kept {
        builder.line += 1;
        let name = |parted: &Parted| {
            record.get(parted.column).map(<[u8]>::trim_ascii).unwrap_or_default().to_owned()
        };
        let only = mapping.parted.as_ref().and_then(|parted| Some((name(parted), parted.only.clone()?)));
        if only.is_none_or(|(name, only)| name == only.as_bytes()) {
            read_row(record, &layout, &mut clocks, &mut builder);
        }
    }
    Some(builder.finish(kept.len() as u64))
}
