//! Samples of trials as Parquet, so that the logs of a whole fleet can be read by any engine that
//! reads it: one file for each trial and month under `boat=SLUG/month=YYYY-MM/`.
//!
//! Columns: `time` (microseconds of universal time; of the day, where the log knows no date), `trial`
//! (its number), then every quantity that can be measured in SI with the unit in the name; null where
//! nothing is known. The columns are always the same, so that files of all boats fit together.
//! Not for: reading them back.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use parquet::basic::{Compression, LogicalType, Repetition, TimeUnit, Type as Physical};
use parquet::data_type::{DoubleType, Int32Type, Int64Type};
use parquet::errors::ParquetError;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::types::Type;
use wakewright_logs::trial::TrialReading;
use wakewright_logs::{Measured, Outing, TimeBase, clock};
use wakewright_store::{Overwrite, write_file};
use wakewright_units::Quantity;

/// Month of samples that know no date.
const NO_MONTH: &str = "unknown";

/// Name of the column of a quantity: `speed_through_water_m_s`.
fn column(measured: Measured) -> String {
    let unit = match measured.quantity() {
        Quantity::Speed => "_m_s",
        Quantity::Angle => "_rad",
        Quantity::Length => "_m",
        Quantity::RotationalSpeed => "_rev_s",
        Quantity::Voltage => "_v",
        Quantity::Current => "_a",
        Quantity::Power => "_w",
        Quantity::Temperature => "_k",
        _ => "",
    };
    format!("{}{unit}", measured.word().replace('-', "_"))
}

fn schema() -> Result<Arc<Type>, ParquetError> {
    let timestamp = LogicalType::timestamp(true, TimeUnit::MICROS);
    let mut fields = vec![
        Arc::new(
            Type::primitive_type_builder("time", Physical::INT64)
                .with_repetition(Repetition::REQUIRED)
                .with_logical_type(Some(timestamp))
                .build()?,
        ),
        Arc::new(
            Type::primitive_type_builder("trial", Physical::INT32)
                .with_repetition(Repetition::REQUIRED)
                .build()?,
        ),
    ];
    for measured in Measured::ALL {
        let name = column(*measured);
        let field = Type::primitive_type_builder(&name, Physical::DOUBLE)
            .with_repetition(Repetition::OPTIONAL)
            .build()?;
        fields.push(Arc::new(field));
    }
    Ok(Arc::new(Type::group_type_builder("samples").with_fields(fields).build()?))
}

/// Where a sample stands: outing and step.
type Place = (usize, usize);

/// Writes the joined samples of trial `number` of the boat `slug` under `folder`; files of the same
/// trial that are there already are replaced. Gives the files.
/// # Errors
/// When a folder or file cannot be written.
pub fn write(
    folder: &Path,
    slug: &str,
    number: u32,
    reading: &TrialReading,
) -> Result<Vec<PathBuf>, ParquetError> {
    let mut months: BTreeMap<String, Vec<Place>> = BTreeMap::new();
    for (index, outing) in reading.outings.iter().enumerate() {
        for step in 0..outing.steps {
            months.entry(month(outing, step)).or_default().push((index, step));
        }
    }
    let schema = schema()?;
    let mut written = Vec::new();
    for (month, places) in &months {
        let part = folder.join(format!("boat={slug}")).join(format!("month={month}"));
        std::fs::create_dir_all(&part).map_err(|error| ParquetError::General(error.to_string()))?;
        let file = part.join(format!("trial-{number}.parquet"));
        let bytes = part_of(&schema, number, &reading.outings, places)?;
        write_file(&file, &bytes, Overwrite::Replace)
            .map_err(|error| ParquetError::General(error.to_string()))?;
        written.push(file);
    }
    Ok(written)
}

fn month(outing: &Outing, step: usize) -> String {
    match outing.time_base {
        TimeBase::Utc => clock::date_time_text(outing.time_s(step)).chars().take(7).collect(),
        _ => NO_MONTH.to_owned(),
    }
}

fn part_of(
    schema: &Arc<Type>,
    number: u32,
    outings: &[Outing],
    places: &[Place],
) -> Result<Vec<u8>, ParquetError> {
    let properties = WriterProperties::builder().set_compression(Compression::SNAPPY).build();
    let mut writer = SerializedFileWriter::new(Vec::new(), Arc::clone(schema), Arc::new(properties))?;
    let mut rows = writer.next_row_group()?;
    let mut index = 0;
    while let Some(mut column) = rows.next_column()? {
        match index {
            0 => {
                let times: Vec<i64> = places
                    .iter()
                    .map(|(outing, step)| (outings[*outing].time_s(*step) * 1e6).round() as i64)
                    .collect();
                column.typed::<Int64Type>().write_batch(&times, None, None)?;
            }
            1 => {
                let numbers = vec![i32::try_from(number).unwrap_or(i32::MAX); places.len()];
                column.typed::<Int32Type>().write_batch(&numbers, None, None)?;
            }
            _ => {
                let measured = Measured::ALL[index - 2];
                let series: Vec<Option<&[f64]>> = outings
                    .iter()
                    .map(|outing| outing.of(measured).map(|series| series.values.as_slice()))
                    .collect();
                let values: Vec<Option<f64>> = places
                    .iter()
                    .map(|(outing, step)| series[*outing].map(|v| v[*step]).filter(|v| v.is_finite()))
                    .collect();
                let levels: Vec<i16> = values.iter().map(|value| i16::from(value.is_some())).collect();
                let known: Vec<f64> = values.into_iter().flatten().collect();
                column.typed::<DoubleType>().write_batch(&known, Some(&levels), None)?;
            }
        }
        column.close()?;
        index += 1;
    }
    rows.close()?;
    writer.into_inner()
}
