//! Parquet files, so that the records of a whole fleet can be read by any engine that reads it: samples of a trial, one
//! file for each trial and month, and of a shop documents, runs, samples, forecasts and tests of banks, all under
//! `boat=SLUG`. `docs/fleet.md` has their columns.
//!
//! Figures in SI with the unit in the name; null where nothing is known. The columns are always the same, so that files
//! of all boats fit together. Not for: reading them back.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use jiff::civil::Date;
use parquet::basic::{Compression, LogicalType, Repetition, TimeUnit, Type as Physical};
use parquet::data_type::{ByteArray, ByteArrayType, DoubleType, Int64Type};
use parquet::errors::ParquetError;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::types::Type;
use wakewright_core::causes::Forecast;
use wakewright_core::trial::Run;
use wakewright_logs::trial::{RunState, TrialReading};
use wakewright_logs::{Measured, Outing, TimeBase, clock};
use wakewright_store::{KeptForecast, Overwrite, Record, Store, StoreError, TRIAL_KIND, write_file};
use wakewright_units::Quantity;

use crate::boats::understand;
use crate::causes::{ForecastRecord, first_held, held_trials};
use crate::checkup::history;
use crate::shop::{Over, Shop, ShopBoat};
use crate::trials::{KeptTrial, LogShelf, TrialError};

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

/// A column of a table.
enum Cells {
    /// Microseconds of universal time.
    Time(Vec<i64>),
    /// Whole numbers.
    Whole(Vec<i64>),
    /// Figures.
    Real(Vec<Option<f64>>),
    /// Words.
    Text(Vec<String>),
}

/// Where the known ones stand, for those that may be missing.
fn levels<T>(values: &[Option<T>]) -> Vec<i16> {
    values.iter().map(|value| i16::from(value.is_some())).collect()
}

/// A table as a file.
fn table(columns: Vec<(String, Cells)>) -> Result<Vec<u8>, ParquetError> {
    let mut fields = Vec::new();
    for (name, cells) in &columns {
        let (of, logical, is_known) = match cells {
            Cells::Time(_) => (Physical::INT64, Some(LogicalType::timestamp(true, TimeUnit::MICROS)), true),
            Cells::Whole(_) => (Physical::INT64, None, true),
            Cells::Real(_) => (Physical::DOUBLE, None, false),
            Cells::Text(_) => (Physical::BYTE_ARRAY, Some(LogicalType::String), true),
        };
        let repetition = if is_known { Repetition::REQUIRED } else { Repetition::OPTIONAL };
        let field = Type::primitive_type_builder(name, of);
        fields.push(Arc::new(field.with_repetition(repetition).with_logical_type(logical).build()?));
    }
    let schema = Arc::new(Type::group_type_builder("rows").with_fields(fields).build()?);
    let properties = WriterProperties::builder().set_compression(Compression::SNAPPY).build();
    let mut writer = SerializedFileWriter::new(Vec::new(), schema, Arc::new(properties))?;
    let mut rows = writer.next_row_group()?;
    for (_, cells) in columns {
        let Some(mut column) = rows.next_column()? else { break };
        match cells {
            Cells::Time(values) | Cells::Whole(values) => {
                column.typed::<Int64Type>().write_batch(&values, None, None)?
            }
            Cells::Real(values) => {
                let known: Vec<f64> = values.iter().copied().flatten().collect();
                column.typed::<DoubleType>().write_batch(&known, Some(&levels(&values)), None)?
            }
            Cells::Text(values) => {
                let bytes: Vec<ByteArray> = values.iter().map(|text| text.as_str().into()).collect();
                column.typed::<ByteArrayType>().write_batch(&bytes, None, None)?
            }
        };
        column.close()?;
    }
    rows.close()?;
    writer.into_inner()
}

/// Writes a table as `file` in a folder, in place of what is there.
fn put(folder: &Path, file: &str, columns: Vec<(String, Cells)>) -> Result<PathBuf, ParquetError> {
    let failed = |error: &dyn std::fmt::Display| ParquetError::General(error.to_string());
    std::fs::create_dir_all(folder).map_err(|error| failed(&error))?;
    let file = folder.join(file);
    write_file(&file, &table(columns)?, Overwrite::Replace).map_err(|error| failed(&error))?;
    Ok(file)
}

/// A column of figures over rows.
fn real<T>(name: &str, rows: &[T], of: impl Fn(&T) -> Option<f64>) -> (String, Cells) {
    let finite = |row: &T| of(row).filter(|value| value.is_finite());
    (name.to_owned(), Cells::Real(rows.iter().map(finite).collect()))
}

/// The same of words.
fn text<T>(name: &str, rows: &[T], of: impl Fn(&T) -> &str) -> (String, Cells) {
    (name.to_owned(), Cells::Text(rows.iter().map(|row| of(row).to_owned()).collect()))
}

/// The same of whole numbers.
fn whole<T>(name: &str, rows: &[T], of: impl Fn(&T) -> i64) -> (String, Cells) {
    (name.to_owned(), Cells::Whole(rows.iter().map(of).collect()))
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
    let mut written = Vec::new();
    for (month, places) in &months {
        let part = folder.join(format!("boat={slug}")).join(format!("month={month}"));
        let time = |(outing, step): &Place| (reading.outings[*outing].time_s(*step) * 1e6).round() as i64;
        let mut columns = vec![
            ("time".to_owned(), Cells::Time(places.iter().map(time).collect())),
            whole("trial", places, |_| i64::from(number)),
        ];
        for measured in Measured::ALL {
            columns.push(real(&column(*measured), places, |(outing, step)| {
                Some(reading.outings[*outing].of(*measured)?.values[*step])
            }));
        }
        written.push(put(&part, &format!("trial-{number}.parquet"), columns)?);
    }
    Ok(written)
}

/// Why a shop cannot be written.
#[derive(Debug, thiserror::Error)]
pub enum ShopError {
    /// The store, or a trial in it.
    #[error(transparent)]
    Trial(#[from] TrialError),
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A file.
    #[error(transparent)]
    File(#[from] ParquetError),
}

/// Writes what the store has of every boat in use under `folder`, table by table. Gives the files, and what could not be read.
/// # Errors
/// The store fails, or a folder or file cannot be written.
pub fn write_shop(
    folder: &Path,
    store: &Store,
    today: Date,
) -> Result<(Vec<PathBuf>, Vec<String>), ShopError> {
    let (mut written, mut unread) = (Vec::new(), Vec::new());
    let shelf = LogShelf::default();
    for ShopBoat { entry, text: document, records, forecasts, .. } in Shop::read(store, Over::Boats)?.boats {
        let part = |table: &str| folder.join(table).join(format!("boat={}", entry.slug));
        let revisions = store.revisions(entry.id)?.into_iter().map(|head| store.get(entry.id, head.number));
        let revisions = revisions.collect::<Result<Vec<_>, _>>()?;
        written.push(put(
            &part("documents"),
            "documents.parquet",
            vec![
                (
                    "saved".to_owned(),
                    Cells::Time(revisions.iter().map(|one| one.head.time.0 * 1000).collect()),
                ),
                ("name".to_owned(), Cells::Text(vec![entry.name.clone(); revisions.len()])),
                whole("revision", &revisions, |one| i64::from(one.head.number)),
                text("note", &revisions, |one| &one.head.note),
                text("document", &revisions, |one| &one.text),
            ],
        )?);
        for trial in store.records(entry.id, TRIAL_KIND)? {
            let reading = KeptTrial::load(store, &shelf, entry.id, trial.number, None)?.reading;
            written.extend(write(&folder.join("samples"), &entry.slug, trial.number, &reading)?);
            written.push(put(
                &part("runs"),
                &format!("trial-{}.parquet", trial.number),
                runs(trial.number, &reading),
            )?);
        }
        written.push(put(&part("forecasts"), "forecasts.parquet", forecasts_of(&records, &forecasts))?);
        match understand(&document, &entry.name, &[]) {
            Ok(boat) => {
                let tests = history(&boat, &records, today).tests;
                let days = |day: Date| {
                    f64::from(Date::constant(1970, 1, 1).until(day).map_or(0, |span| span.get_days()))
                };
                written.push(put(
                    &part("tests"),
                    "tests.parquet",
                    vec![
                        (
                            "day".to_owned(),
                            Cells::Text(tests.iter().map(|test| test.day.to_string()).collect()),
                        ),
                        real("years", &tests, |test| Some(days(test.day) / 365.25)),
                        text("of_what", &tests, |test| &test.of),
                        real("share", &tests, |test| Some(test.capacity.share.value)),
                        real("share_p10", &tests, |test| Some(test.capacity.share.p10)),
                        real("share_p90", &tests, |test| Some(test.capacity.share.p90)),
                    ],
                )?);
            }
            Err(_) => unread
                .push(format!("{}: her document has faults, tests of her bank are left out", entry.name)),
        }
    }
    Ok((written, unread))
}

fn runs(number: u32, reading: &TrialReading) -> Vec<(String, Cells)> {
    let runs = &reading.runs;
    let figure = |name: &str, of: fn(&Run) -> Option<f64>| real(name, runs, |read| of(&read.run));
    vec![
        whole("trial", runs, |_| i64::from(number)),
        whole("is_used", runs, |read| i64::from(read.state == RunState::Used)),
        figure("time_s", |run| Some(run.time_s)),
        figure("duration_s", |run| Some(run.duration_s)),
        figure("course_rad", |run| run.course_rad),
        figure("heading_rad", |run| run.heading_rad),
        figure("speed_over_ground_m_s", |run| run.speed_over_ground_m_s),
        figure("speed_through_water_m_s", |run| run.speed_through_water_m_s),
        figure("shaft_speed_rev_s", |run| run.shaft_speed_rev_s),
        figure("motor_speed_rev_s", |run| run.motor_speed_rev_s),
        figure("voltage_v", |run| run.voltage_v),
        figure("current_a", |run| run.current_a),
        figure("power_w", |run| run.power_w),
        figure("pull_n", |run| run.pull_n),
        figure("depth_m", |run| run.depth_m),
        figure("wind_speed_m_s", |run| run.wind_speed_m_s),
        figure("wind_angle_rad", |run| run.wind_angle_rad),
    ]
}

/// A row for each measure of a forecast, with what the first trial that it was held against made of it.
fn forecasts_of(records: &[Record], kept: &[KeptForecast]) -> Vec<(String, Cells)> {
    let trials = held_trials(records);
    let read = kept.iter().filter_map(|kept| ForecastRecord::read(&kept.text).ok());
    let read: Vec<(ForecastRecord, Forecast)> = read
        .filter_map(|record| Some((record.forecast().ok()?, record)))
        .map(|(of, record)| (record, of))
        .collect();
    let mut rows = Vec::new();
    for (record, forecast) in &read {
        let fared = first_held(record, &trials);
        for made in &forecast.measures {
            let of_it = fared.and_then(|(trial, one)| Some((trial, one.of(made.measure)?)));
            rows.push((record, made, of_it));
        }
    }
    vec![
        text("made_on", &rows, |row| &row.0.made_on),
        text("remedy", &rows, |row| &row.0.remedy),
        text("measure", &rows, |row| row.1.measure.key()),
        real("before", &rows, |row| Some(row.1.now.value)),
        real("forecast", &rows, |row| Some(row.1.after.value)),
        real("forecast_p10", &rows, |row| Some(row.1.after.p10)),
        real("forecast_p90", &rows, |row| Some(row.1.after.p90)),
        real("trial", &rows, |row| Some(f64::from(row.2?.0))),
        real("outcome", &rows, |row| Some(row.2?.1.outcome[1])),
        real("is_inside", &rows, |row| Some(f64::from(u8::from(row.2?.1.is_inside)))),
        real("crps", &rows, |row| Some(row.2?.1.crps)),
        real("crps_no_change", &rows, |row| Some(row.2?.1.crps_no_change)),
    ]
}

fn month(outing: &Outing, step: usize) -> String {
    match outing.time_base {
        TimeBase::Utc => clock::date_time_text(outing.time_s(step)).chars().take(7).collect(),
        _ => NO_MONTH.to_owned(),
    }
}
