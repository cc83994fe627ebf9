//! Where the cells of a table stand, and a heading that comes again within it: columns that changed their places or
//! units. Not for: the first heading (`heads`).

use super::mapping::{Mapping, OwnClock, Resolved, TimeMapping};
use super::unit_said::{UnitSaid, split_unit};
use super::{TableError, heads};
use crate::bad::BadKind;
use crate::fold::fold;
use crate::log::Builder;
use crate::notice::LogNotice;

/// Where the cells of a table stand as it is read.
pub(super) struct Layout {
    pub time: Option<TimeMapping>,
    pub clocks: Vec<OwnClock>,
    pub columns: Vec<Resolved>,
    width: usize,
    has_bare_last: bool,
}

impl Layout {
    pub fn new(mapping: &Mapping) -> Result<Self, TableError> {
        Ok(Self {
            time: mapping.time.clone(),
            clocks: mapping.clocks.clone(),
            columns: mapping.resolved()?,
            width: mapping.parted.as_ref().map_or(mapping.heads.len(), |parted| parted.width),
            has_bare_last: mapping.heads.last().is_some_and(|head| head.trim().is_empty()),
        })
    }

    /// A separator at the end of each row makes an empty cell; a cell more that says something is a fault.
    pub fn fits(&self, record: &csv::ByteRecord) -> bool {
        let width = self.width;
        let is_wide =
            record.len() > width && record.iter().skip(width).any(|cell| !cell.trim_ascii().is_empty());
        !is_wide
            && record.len() + usize::from(width > 1) >= width
            && (record.len() >= width || self.has_bare_last)
    }

    /// Takes up a row that is a heading: the same again, or one that puts columns elsewhere. False for what is none.
    pub fn turn(&mut self, mapping: &Mapping, record: &csv::ByteRecord, builder: &mut Builder) -> bool {
        let cells: Vec<String> = record
            .iter()
            .map(|cell| String::from_utf8_lossy(cell).trim().trim_start_matches('#').trim().to_owned())
            .collect();
        let filled: Vec<&String> = cells.iter().filter(|cell| !cell.is_empty()).collect();
        let is_known = |cell: &&&String| mapping.heads.iter().any(|head| fold(head.trim()) == fold(cell));
        let known = filled.iter().filter(is_known).count();
        // Names and no values, and one at least is of this table.
        if filled.len() < 2
            || known == 0
            || filled.iter().any(|cell| heads::is_value(cell) && !is_known(&cell))
        {
            return false;
        }
        let place = |column: usize| -> Option<usize> {
            let head = fold(mapping.heads.get(column)?.trim());
            cells.iter().position(|cell| fold(cell) == head)
        };
        let mut moved = Self {
            time: mapping.time.clone(),
            clocks: mapping.clocks.clone(),
            columns: Vec::new(),
            width: cells.len(),
            has_bare_last: cells.last().is_some_and(String::is_empty),
        };
        let times = moved.time.iter_mut().chain(moved.clocks.iter_mut().map(|clock| &mut clock.time));
        let mut has_times = true;
        for column in times.flat_map(|time| &mut time.columns) {
            match place(*column) {
                Some(at) => *column = at,
                None => has_times = false,
            }
        }
        let mut lost = Vec::new();
        for column in mapping.resolved().unwrap_or_default() {
            let with_unit = || {
                let head = mapping.heads.get(column.column)?;
                let (bare, _) = split_unit(head);
                cells.iter().enumerate().find_map(|(at, cell)| match split_unit(cell) {
                    (other, UnitSaid::Known(unit)) if fold(&other) == fold(&bare) => {
                        (unit.dimension == column.unit.dimension).then_some((at, unit))
                    }
                    _ => None,
                })
            };
            let is_alone =
                column.hemisphere.is_none() && column.direction.is_none() && column.plus.is_empty();
            let plus: Option<Vec<usize>> = column.plus.iter().map(|other| place(*other)).collect();
            if let (Some(at), Some(plus)) = (place(column.column), plus) {
                let hemisphere = column.hemisphere.and_then(place);
                let direction = column.direction.and_then(place);
                moved.columns.push(Resolved { index: at, hemisphere, direction, plus, ..column });
            } else if let Some((at, unit)) = with_unit().filter(|_| is_alone) {
                moved.columns.push(Resolved { index: at, unit, scale: 1.0, ..column });
            } else {
                lost.extend(mapping.heads.get(column.column).cloned());
            }
        }
        let line = builder.line;
        let is_same = moved.columns.len() == self.columns.len()
            && moved.columns.iter().zip(&self.columns).all(|(a, b)| a.index == b.index && a.unit == b.unit);
        if has_times && is_same {
            // The same heading again is a row without a time, and nothing more.
            builder.message(b"row");
            builder.bad(BadKind::BadTime);
        } else if !has_times {
            moved.columns.clear();
            builder.notices.push(LogNotice::LeftOut(format!(
                "Another heading stands on line {line}, without the time of the first: the rows below it are left out. \
                 Save them as a file of their own."
            )));
        } else if !lost.is_empty() {
            let lost: Vec<String> = lost.iter().map(|head| format!("{head:?}")).collect();
            builder.notices.push(LogNotice::LeftOut(format!(
                "Another heading stands on line {line}, without {}: the rows below it say nothing of it.",
                lost.join(", ")
            )));
        } else {
            builder.notices.push(LogNotice::LeftOut(format!(
                "Another heading stands on line {line}: the rows below it are read by it."
            )));
        }
        *self = moved;
        true
    }
}
