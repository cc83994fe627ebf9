//! Forecasts that were held against a trial, as they are kept: a record of her for each trial. Not for: holding them.

use serde::{Deserialize, Serialize};
use wakewright_core::causes::{Measure, Score};
use wakewright_core::fleet::Held;
use wakewright_core::study::Interval;
use wakewright_records::dated::HELD_KIND;
use wakewright_store::{BoatId, Record, RecordSave, Store, StoreError, UnixMs};

use super::ForecastRecord;

const FORMAT: &str = "wakewright/held";
const VERSION: u32 = 1;

/// What a trial made of the forecasts before it.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) struct HeldRecord {
    format: String,
    version: u32,
    /// Number of the trial.
    trial: u32,
    forecasts: Vec<OfForecast>,
}

/// The same of one of them.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) struct OfForecast {
    made_on: String,
    from_number: Option<u32>,
    remedy: String,
    measures: Vec<OfMeasure>,
}

/// The same of one measure, in SI units.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) struct OfMeasure {
    measure: String,
    before: f64,
    forecast: [f64; 3],
    /// Tenth percentile, median, ninetieth.
    pub(crate) outcome: [f64; 3],
    /// It lies within the forecast's 80 % band.
    pub(crate) is_inside: bool,
    /// Ranked probability score.
    pub(crate) crps: f64,
    /// The same for no change.
    pub(crate) crps_no_change: f64,
}

impl OfForecast {
    /// That of a measure.
    #[cfg(feature = "parquet")]
    pub(crate) fn of(&self, measure: Measure) -> Option<&OfMeasure> {
        self.measures.iter().find(|of| of.measure == measure.key())
    }

    fn is_of(&self, forecast: &ForecastRecord) -> bool {
        (&self.made_on, self.from_number, &self.remedy)
            == (&forecast.made_on, forecast.from_number, &forecast.remedy)
    }
}

fn read(record: &Record) -> Option<HeldRecord> {
    let read: HeldRecord = serde_json::from_str(&record.text).ok()?;
    (record.kind == HELD_KIND && read.format == FORMAT && read.version <= VERSION).then_some(read)
}

/// Keeps how forecasts fared in a trial of a boat, in place of what was kept of the same trial.
/// # Errors
/// The store fails, or the boat was removed.
pub fn keep_held(
    store: &mut Store,
    (boat, trial): (BoatId, u32),
    held: &[(&ForecastRecord, &[Score])],
    time: UnixMs,
) -> Result<(), StoreError> {
    let three = |i: &Interval| [i.p10, i.value, i.p90];
    let forecasts =
        held.iter().filter(|(_, scores)| !scores.is_empty()).map(|(forecast, scores)| OfForecast {
            made_on: forecast.made_on.clone(),
            from_number: forecast.from_number,
            remedy: forecast.remedy.clone(),
            measures: scores
                .iter()
                .map(|score| OfMeasure {
                    measure: score.measure.key().to_owned(),
                    before: score.before,
                    forecast: three(&score.forecast),
                    outcome: three(&score.outcome),
                    is_inside: score.is_inside,
                    crps: score.crps,
                    crps_no_change: score.crps_no_change,
                })
                .collect(),
        });
    let made =
        HeldRecord { format: FORMAT.to_owned(), version: VERSION, trial, forecasts: forecasts.collect() };
    if made.forecasts.is_empty() {
        return Ok(());
    }
    // Plain structs of numbers and words always serialise.
    let text = serde_json::to_string_pretty(&made).unwrap_or_default();
    let there = store.records(boat, HELD_KIND)?;
    match there.iter().find(|record| read(record).is_some_and(|read| read.trial == trial)) {
        Some(record) if record.text == text => {}
        Some(record) => {
            // What somebody else keeps at this moment follows from the same trial.
            let (RecordSave::Saved(_) | RecordSave::Overtaken(_)) =
                store.save_record(record.id, record.version, &text, &[], time)?;
        }
        None => {
            store.enter_record(boat, HELD_KIND, &text, &[], time)?;
        }
    }
    Ok(())
}

/// The trials that forecasts were held against, the earliest first.
pub(crate) fn held_trials(records: &[Record]) -> Vec<HeldRecord> {
    let mut trials: Vec<HeldRecord> = records.iter().filter_map(read).collect();
    trials.sort_by_key(|trial| trial.trial);
    trials
}

/// How a forecast fared in the first trial that it was held against.
pub(crate) fn first_held<'t>(
    forecast: &ForecastRecord,
    trials: &'t [HeldRecord],
) -> Option<(u32, &'t OfForecast)> {
    trials.iter().find_map(|trial| {
        let of_it = trial.forecasts.iter().find(|one| one.is_of(forecast))?;
        Some((trial.trial, of_it))
    })
}

/// How forecasts fared, each by the first trial that it was held against, and how many were held against none.
#[must_use]
pub fn held_of(forecasts: &[ForecastRecord], records: &[Record]) -> (Vec<Held>, usize) {
    let trials = held_trials(records);
    let (mut held, mut waiting) = (Vec::new(), 0);
    for forecast in forecasts {
        let Some((trial, one)) = first_held(forecast, &trials) else {
            waiting += 1;
            continue;
        };
        held.extend(one.measures.iter().filter_map(|of| {
            let measure = Measure::ALL.into_iter().find(|known| known.key() == of.measure)?;
            let [p10, value, p90] = of.forecast;
            Some(Held {
                made_on: one.made_on.clone(),
                remedy: one.remedy.clone(),
                trial,
                forecast: Interval { value, p10, p90 },
                outcome: of.outcome[1],
                measure,
                is_inside: of.is_inside,
                crps: of.crps,
                crps_no_change: of.crps_no_change,
            })
        }));
    }
    (held, waiting)
}
