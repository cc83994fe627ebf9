//! One row of a table into values: times, places, numbers in their units.

use super::again::Layout;
use super::mapping::TimeMapping;
use super::times::TableClock;
use super::{Mapping, letter, mapping, numbers, position};
use crate::bad::BadKind;
use crate::decimal::decimal;
use crate::log::{Builder, Source, TimeBase};

/// The clocks of a table: that of its rows, and those of columns that have their own.
pub(super) struct Clocks {
    pub first: TableClock,
    own: Vec<TableClock>,
}

impl Clocks {
    pub fn of(mapping: &Mapping) -> Self {
        Self {
            first: TableClock::default(),
            own: mapping.clocks.iter().map(|_| TableClock::default()).collect(),
        }
    }
}

fn time_of(time: &TimeMapping, clock: &mut TableClock, record: &csv::ByteRecord) -> Option<(TimeBase, f64)> {
    let written = time.read(record, &mut clock.date)?;
    let ahead = if written.has_zone { 0.0 } else { time.ahead_of_utc_s.unwrap_or(0.0) };
    Some((written.base, clock.follow(written) - ahead))
}

/// Reads one row; false where it has no time that can be read.
pub(super) fn read_row(
    record: &csv::ByteRecord,
    layout: &Layout,
    clocks: &mut Clocks,
    builder: &mut Builder,
) -> bool {
    let is_own = |column: usize| layout.clocks.iter().any(|clock| clock.columns.contains(&column));
    if let Some(time) = &layout.time {
        match time_of(time, &mut clocks.first, record) {
            Some((base, time_s)) => builder.set_time(base, time_s),
            // Where each instrument has its own times one of them may have stopped earlier.
            None if layout.clocks.is_empty() => return false,
            None => {}
        }
    } else {
        builder.set_time(TimeBase::Lines, builder.line as f64);
    }
    if layout.clocks.is_empty() {
        read_cells(record, layout.columns.iter(), builder);
        return true;
    }
    if layout.time.as_ref().is_some_and(|time| time.read(record, &mut clocks.first.date).is_some()) {
        read_cells(record, layout.columns.iter().filter(|c| !is_own(c.column)), builder);
    }
    for (own, clock) in layout.clocks.iter().zip(&mut clocks.own) {
        if let Some((_, time_s)) = time_of(&own.time, clock, record) {
            builder.at(time_s, |builder| {
                read_cells(
                    record,
                    layout.columns.iter().filter(|c| own.columns.contains(&c.column)),
                    builder,
                );
            });
        }
    }
    true
}

fn read_cells<'a>(
    record: &csv::ByteRecord,
    columns: impl Iterator<Item = &'a mapping::Resolved>,
    builder: &mut Builder,
) {
    for column in columns {
        let Some(cell) = record.get(column.index).map(<[u8]>::trim_ascii) else { continue };
        if cell.is_empty() {
            continue;
        }
        let source = Source::Column(column.column as u16);
        if let Some(order) = column.position {
            let text = std::str::from_utf8(cell).unwrap_or_default();
            match position::position_in(text, column.decimal_comma, order, column.letter_o) {
                Some((latitude, longitude)) => {
                    builder.push(crate::Measured::Latitude, source, latitude);
                    builder.push(crate::Measured::Longitude, source, longitude);
                }
                None if numbers::is_blank(text) => {}
                None => builder.bad(BadKind::BadField),
            }
            continue;
        }
        let fast = if column.decimal_comma { None } else { decimal(cell) };
        let si = match fast {
            Some(number) if column.is_degrees_minutes => Some(column.unit.to_si(degrees_minutes(number))),
            Some(number) => Some(column.unit.to_si(number)),
            None => std::str::from_utf8(cell).ok().and_then(|text| {
                numbers::cell_si(text, column.decimal_comma, column.unit, column.measured, column.letter_o)
                    .map(|si| {
                        let is_plain = column.is_degrees_minutes
                            && numbers::number_in(text, column.decimal_comma)
                                .is_some_and(|(_, rest)| rest.is_empty());
                        if is_plain {
                            column.unit.to_si(degrees_minutes(column.unit.from_si(si)))
                        } else {
                            si
                        }
                    })
            }),
        };
        // Where a cell of a row is silent, so is their sum.
        let si = column.plus.iter().fold(si, |sum, other| {
            let text = std::str::from_utf8(record.get(*other)?).ok()?;
            let more =
                numbers::cell_si(text, column.decimal_comma, column.unit, column.measured, column.letter_o)?;
            Some(sum? + if column.is_less { -more } else { more })
        });
        match si {
            Some(si) => {
                let side = match column.hemisphere {
                    Some(letter) => {
                        let letter = record.get(letter).and_then(|cell| std::str::from_utf8(cell).ok());
                        letter.and_then(|cell| letter::hemisphere(cell, column.letter_o))
                    }
                    None => Some(1.0),
                };
                let si = match column.direction {
                    Some(word) => super::direction::signed(si, record.get(word)),
                    None => si,
                };
                match side {
                    Some(side) => {
                        builder.push(column.measured, source, side * column.sign * column.scale * si)
                    }
                    None => builder.bad(BadKind::BadField),
                }
            }
            // A dash or a word for "nothing" is no fault.
            None if std::str::from_utf8(cell).is_ok_and(numbers::is_blank) => {}
            None => builder.bad(BadKind::BadField),
        }
    }
}

/// 5423.5 is 54°23.5'.
fn degrees_minutes(number: f64) -> f64 {
    let degrees = (number / 100.0).trunc();
    degrees + (number - 100.0 * degrees) / 60.0
}
