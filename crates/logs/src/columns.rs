//! Parquet files: rows as text, behind the feature `parquet`. Not for: writing them.

use std::io::Read;

use crate::LogError;
use crate::background::GivenRows;

/// Rows of the file, its column names first.
/// # Errors
/// In words, when the file cannot be read, or this program was built without the feature.
#[cfg(feature = "parquet")]
pub(crate) fn rows(reader: impl Read) -> Result<GivenRows, LogError> {
    use std::io;

    use parquet::basic::LogicalType;
    use parquet::file::reader::{FileReader, SerializedFileReader};
    use parquet::record::Field;
    use parquet::record::reader::RowIter;

    use crate::background::rows_of;
    use crate::clock::{DAY_S, date_time_text};
    use crate::unpack::whole;

    /// Longest file.
    const LONGEST: u64 = 256 << 20;

    fn text(field: &Field, is_utc: bool) -> String {
        let instant = |time_s: f64| {
            let whole = time_s.floor();
            format!(
                "{}.{:06}{}",
                date_time_text(whole),
                ((time_s - whole) * 1e6).round().min(999_999.0) as u32,
                if is_utc { "Z" } else { "" }
            )
        };
        match field {
            Field::Null
            | Field::Bytes(_)
            | Field::Group(_)
            | Field::ListInternal(_)
            | Field::MapInternal(_) => String::new(),
            Field::Float(number) => number.to_string(),
            Field::Double(number) => number.to_string(),
            Field::Str(text) => text.clone(),
            Field::TimestampMillis(milli) => instant(*milli as f64 / 1e3),
            Field::TimestampMicros(micro) => instant(*micro as f64 / 1e6),
            Field::Date(days) => date_time_text(f64::from(*days) * DAY_S)[..10].to_owned(),
            other => other.to_string(),
        }
    }

    let said = |error: parquet::errors::ParquetError| {
        LogError::Io(io::Error::other(format!(
            "a Parquet file that cannot be read ({error}); save the table as CSV"
        )))
    };
    let bytes = whole(reader, LONGEST, "a Parquet file")?;
    let file = SerializedFileReader::new(bytes::Bytes::from(bytes)).map_err(said)?;
    let heads: Vec<String> = file
        .metadata()
        .file_metadata()
        .schema()
        .get_fields()
        .iter()
        .map(|field| field.name().to_owned())
        .collect();
    // Times of a wall clock are marked as such; they are no UTC.
    let are_utc: Vec<bool> = file
        .metadata()
        .file_metadata()
        .schema()
        .get_fields()
        .iter()
        .map(|field| {
            let said = field.get_basic_info().logical_type_ref();
            !matches!(said, Some(LogicalType::Timestamp(time)) if !time.is_adjusted_to_u_t_c)
        })
        .collect();
    let rows = rows_of(move |give| {
        if !give(heads) {
            return Ok(());
        }
        for row in RowIter::from_file_into(Box::new(file)) {
            let row = row.map_err(|error| error.to_string())?;
            let cells = row.get_column_iter().zip(&are_utc).map(|((_, field), is_utc)| text(field, *is_utc));
            if !give(cells.collect()) {
                break;
            }
        }
        Ok(())
    });
    Ok(GivenRows::of_one(rows, Vec::new()))
}

/// As with the feature: what to do without it.
#[cfg(not(feature = "parquet"))]
pub(crate) fn rows(_: impl Read) -> Result<GivenRows, LogError> {
    Err(LogError::Unknown(
        "a Parquet file, and this program was built without reading them: save the table as CSV, or build with --features parquet",
    ))
}
