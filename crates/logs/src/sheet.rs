//! Spreadsheets (open document, office open XML): rows of one sheet as text.
//! Not for: what the cells mean, formulas, colours.

use std::io::{self, Cursor, Read};

use calamine::{Data, DataRef, ExcelDateTime, Ods, Reader, Xls, Xlsx};

use crate::LogError;
use crate::background::{GivenRows, rows_of};
use crate::parts::{MOST_PARTS, Part, ROWS_SEEN, choose};
use crate::table::Mapping;
use crate::unpack::whole;

/// Longest file of a sheet.
const LONGEST: u64 = 128 << 20;
/// Rows that are read; a sheet has not many more.
const MOST_ROWS: u32 = 1_100_000;
/// Columns beyond are those of no log.
const MOST_COLUMNS: u32 = 1000;

type Bytes = Cursor<Vec<u8>>;

/// Rows of the sheet that was told or tells most.
/// # Errors
/// In words, when the file cannot be read or holds no rows.
pub(crate) fn rows(reader: impl Read, told: &[Mapping]) -> Result<GivenRows, LogError> {
    let bytes = whole(reader, LONGEST, "a spreadsheet")?;
    if bytes.starts_with(b"PK") {
        crate::swell::check(&bytes)?;
    }
    if bytes.starts_with(b"PK") && is_open_document(&bytes) {
        let ods = Ods::new(Cursor::new(bytes)).map_err(broken)?;
        return held(ods, told);
    }
    if !bytes.starts_with(b"PK") {
        let xls = Xls::new(Cursor::new(bytes)).map_err(broken)?;
        return held(xls, told);
    }
    let mut book: Xlsx<Bytes> = Xlsx::new(Cursor::new(bytes)).map_err(broken)?;
    let names = book.sheet_names();
    let mut parts = Vec::new();
    for name in names.into_iter().take(MOST_PARTS) {
        let mut first = Vec::new();
        let mut take = |row: Vec<String>| {
            first.push(row);
            first.len() < ROWS_SEEN
        };
        let rows = match book.worksheet_cells_reader(&name).map(|cells| cells.dimensions().end.0) {
            Ok(rows) => rows,
            Err(_) => continue,
        };
        if rows_of_sheet(&mut book, &name, &mut take).is_ok() {
            // What it says of its size may be left out, or stand from when the sheet was empty.
            let rows = rows.max(first.len() as u32);
            parts.push(Part { name, rows, first });
        }
    }
    let chosen = choose(parts, told, "Sheet").ok_or_else(no_rows)?;
    let name = chosen.name.clone();
    let rows = rows_of(move |give| rows_of_sheet(&mut book, &name, give));
    Ok(GivenRows::of_part(rows, chosen))
}

/// Gives the rows of a sheet until nobody wants more.
fn rows_of_sheet(
    book: &mut Xlsx<Bytes>,
    name: &str,
    give: &mut dyn FnMut(Vec<String>) -> bool,
) -> Result<(), String> {
    let mut cells = book.worksheet_cells_reader(name).map_err(|error| error.to_string())?;
    let mut row: Vec<String> = Vec::new();
    let mut at = 0;
    while let Some(cell) = cells.next_cell().map_err(|error| error.to_string())? {
        let (line, column) = cell.get_position();
        if line >= MOST_ROWS {
            return Err(too_many());
        }
        while at < line {
            at += 1;
            if !give(std::mem::take(&mut row)) {
                return Ok(());
            }
        }
        if column < MOST_COLUMNS {
            if row.len() <= column as usize {
                row.resize(column as usize + 1, String::new());
            }
            row[column as usize] = text_of(cell.get_value());
        }
    }
    give(row);
    Ok(())
}

/// Rows of a file whose sheets stand in memory already.
fn held<R: Reader<Bytes> + Send + 'static>(mut book: R, told: &[Mapping]) -> Result<GivenRows, LogError> {
    let sheets = book.worksheets();
    let cells = |row: &[Data]| row.iter().take(MOST_COLUMNS as usize).map(cell_text).collect();
    let parts = sheets.iter().take(MOST_PARTS).map(|(name, range)| Part {
        name: name.clone(),
        rows: range.height() as u32,
        first: range.rows().take(ROWS_SEEN).map(cells).collect(),
    });
    let chosen = choose(parts.collect(), told, "Sheet").ok_or_else(no_rows)?;
    let Some((_, range)) = sheets.into_iter().find(|(known, _)| *known == chosen.name) else {
        return Err(no_rows());
    };
    drop(book);
    let rows = rows_of(move |give| {
        for (number, row) in range.rows().enumerate() {
            if number as u32 >= MOST_ROWS {
                return Err(too_many());
            }
            if !give(cells(row)) {
                break;
            }
        }
        Ok(())
    });
    Ok(GivenRows::of_part(rows, chosen))
}

fn broken(error: impl std::fmt::Display) -> LogError {
    LogError::Io(io::Error::other(format!(
        "a spreadsheet that cannot be read ({error}); save the sheet as CSV"
    )))
}

fn no_rows() -> LogError {
    LogError::Io(io::Error::other("the spreadsheet holds no rows"))
}

fn too_many() -> String {
    format!("a sheet of more than {MOST_ROWS} rows; save the hours of the trial as CSV")
}

fn is_open_document(bytes: &[u8]) -> bool {
    const MARK: &[u8] = b"application/vnd.oasis.opendocument.spreadsheet";
    bytes[..bytes.len().min(200)].windows(MARK.len()).any(|part| part == MARK)
}

fn text_of(value: &DataRef<'_>) -> String {
    match value {
        DataRef::Float(number) => number.to_string(),
        DataRef::Int(number) => number.to_string(),
        DataRef::String(text) | DataRef::DateTimeIso(text) => text.clone(),
        DataRef::DurationIso(text) => duration(text),
        DataRef::SharedString(text) => (*text).to_owned(),
        DataRef::Bool(is) => is.to_string(),
        DataRef::DateTime(time) => time_text(time),
        DataRef::Error(_) | DataRef::Empty => String::new(),
    }
}

fn cell_text(value: &Data) -> String {
    match value {
        Data::Float(number) => number.to_string(),
        Data::Int(number) => number.to_string(),
        Data::String(text) | Data::DateTimeIso(text) => text.clone(),
        Data::DurationIso(text) => duration(text),
        Data::Bool(is) => is.to_string(),
        Data::DateTime(time) => time_text(time),
        Data::Error(_) | Data::Empty => String::new(),
    }
}

/// A date, a time of day, or hours and minutes as the sheet keeps them.
fn time_text(time: &ExcelDateTime) -> String {
    let days = time.as_f64();
    if time.is_duration() || (0.0..1.0).contains(&days) {
        return clock_text(days * 86_400.0);
    }
    let (year, month, day, hour, minute, second, milli) = time.to_ymd_hms_milli();
    format!("{year:04}-{month:02}-{day:02} {hour:02}:{minute:02}:{second:02}.{milli:03}")
}

fn clock_text(seconds: f64) -> String {
    let tenths = (seconds * 1000.0).round().max(0.0) as u64;
    let (whole, milli) = (tenths / 1000, tenths % 1000);
    format!("{:02}:{:02}:{:02}.{milli:03}", whole / 3600, whole / 60 % 60, whole % 60)
}

/// `PT14H03M05S` as a clock.
fn duration(text: &str) -> String {
    let read = || {
        let mut rest = text.strip_prefix("PT")?;
        let mut seconds = 0.0;
        for (mark, unit) in [('H', 3600.0), ('M', 60.0), ('S', 1.0)] {
            if let Some((number, after)) = rest.split_once(mark) {
                seconds += number.replace(',', ".").parse::<f64>().ok()? * unit;
                rest = after;
            }
        }
        Some(clock_text(seconds))
    };
    read().unwrap_or_else(|| text.to_owned())
}
