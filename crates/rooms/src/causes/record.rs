//! A forecast as it is kept: text with a version, to be read back years later and held against what came.
//! Not for: the store.

use serde::{Deserialize, Serialize};
use wakewright_core::causes::{Change, Forecast, Measure, MeasureForecast, Remedy};
use wakewright_core::steady::Limit;
use wakewright_core::study::Interval;

/// Version of the format.
const VERSION: u32 = 1;

/// A forecast with its day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ForecastRecord {
    /// `wakewright/forecast`.
    format: String,
    version: u32,
    /// The boat's name then.
    pub boat: String,
    /// Day on which it was made, `2026-05-02`.
    pub made_on: String,
    /// The trial that it rests on.
    pub from_trial: String,
    /// Its number among her trials, for trials of a store.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from_number: Option<u32>,
    /// Name of the remedy.
    pub remedy: String,
    changes: Vec<ChangeRecord>,
    cruise_power_w: f64,
    helps_probability: f64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    limit_after: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    limit_after_probability: Option<f64>,
    measures: Vec<MeasureRecord>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct MeasureRecord {
    measure: String,
    now: [f64; 3],
    after: [f64; 3],
    gain: [f64; 3],
    after_quantiles: Vec<f64>,
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(tag = "change", rename_all = "snake_case")]
enum ChangeRecord {
    CleanBottom,
    CleanBlades,
    Repitch { by_m: f64 },
    NewPropeller { diameter_m: f64, pitch_m: f64 },
    Ratio { ratio: f64 },
    Cells { in_series: u32 },
    SoundPacks,
    Cable { resistance_ohm: f64 },
    LimitsAsStated,
}

/// Why a kept forecast cannot be read.
#[derive(Debug)]
pub enum RecordError {
    /// It is no such text.
    Text(serde_json::Error),
    /// It was written by a later version.
    Later(u32),
    /// A word in it is not known.
    Unknown(String),
}

impl std::fmt::Display for RecordError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Text(error) => write!(f, "this is no kept forecast: {error}"),
            Self::Later(version) => {
                write!(f, "this forecast was kept by a later version (format {version}); update the program")
            }
            Self::Unknown(word) => write!(f, "this forecast speaks of \"{word}\", which is not known here"),
        }
    }
}

impl std::error::Error for RecordError {}

impl ForecastRecord {
    /// The record of a forecast.
    #[must_use]
    pub fn of(
        forecast: &Forecast,
        boat: &str,
        made_on: &str,
        (from_trial, from_number): (&str, Option<u32>),
    ) -> Self {
        let three = |i: &Interval| [i.p10, i.value, i.p90];
        Self {
            format: "wakewright/forecast".to_owned(),
            version: VERSION,
            boat: boat.to_owned(),
            made_on: made_on.to_owned(),
            from_trial: from_trial.to_owned(),
            from_number,
            remedy: forecast.remedy.name.clone(),
            changes: forecast.remedy.changes.iter().map(|change| ChangeRecord::of(*change)).collect(),
            cruise_power_w: forecast.cruise_power_w,
            helps_probability: forecast.helps_probability,
            limit_after: forecast.limit_after.map(|(limit, _)| limit.key().to_owned()),
            limit_after_probability: forecast.limit_after.map(|(_, probability)| probability),
            measures: forecast
                .measures
                .iter()
                .map(|m| MeasureRecord {
                    measure: m.measure.key().to_owned(),
                    now: three(&m.now),
                    after: three(&m.after),
                    gain: three(&m.gain),
                    after_quantiles: m.after_quantiles.clone(),
                })
                .collect(),
        }
    }

    /// As text to keep.
    #[must_use]
    pub fn to_text(&self) -> String {
        // Plain structs of numbers and words always serialise, but for figures that are none.
        serde_json::to_string_pretty(self).unwrap_or_default()
    }

    /// Reads a kept text.
    /// # Errors
    /// `RecordError`.
    pub fn read(text: &str) -> Result<Self, RecordError> {
        let record: Self = serde_json::from_str(text).map_err(RecordError::Text)?;
        if record.version > VERSION { Err(RecordError::Later(record.version)) } else { Ok(record) }
    }

    /// The forecast in it.
    /// # Errors
    /// `RecordError::Unknown`.
    pub fn forecast(&self) -> Result<Forecast, RecordError> {
        let three = |[p10, value, p90]: [f64; 3]| Interval { value, p10, p90 };
        let measures = self
            .measures
            .iter()
            .map(|m| {
                let measure = Measure::ALL
                    .into_iter()
                    .find(|known| known.key() == m.measure)
                    .ok_or_else(|| RecordError::Unknown(m.measure.clone()))?;
                Ok(MeasureForecast {
                    measure,
                    now: three(m.now),
                    after: three(m.after),
                    gain: three(m.gain),
                    after_quantiles: m.after_quantiles.clone(),
                })
            })
            .collect::<Result<Vec<_>, RecordError>>()?;
        let named = |key: &String| {
            let limit = Limit::ALL.into_iter().find(|limit| limit.key() == key);
            limit.ok_or_else(|| RecordError::Unknown(key.clone()))
        };
        let limit = self.limit_after.as_ref().map(named).transpose()?;
        Ok(Forecast {
            remedy: Remedy {
                name: self.remedy.clone(),
                changes: self.changes.iter().map(|change| change.change()).collect(),
            },
            measures,
            cruise_power_w: self.cruise_power_w,
            helps_probability: self.helps_probability,
            limit_after: limit.zip(self.limit_after_probability),
            // What is kept was made before this is asked; it is asked when a remedy is chosen.
            forbidden: Vec::new(),
            duty: None,
        })
    }
}

impl ChangeRecord {
    fn of(change: Change) -> Self {
        match change {
            Change::CleanBottom => Self::CleanBottom,
            Change::CleanBlades => Self::CleanBlades,
            Change::Repitch(by_m) => Self::Repitch { by_m },
            Change::NewPropeller { diameter_m, pitch_m } => Self::NewPropeller { diameter_m, pitch_m },
            Change::Ratio(ratio) => Self::Ratio { ratio },
            Change::Cells(in_series) => Self::Cells { in_series },
            Change::SoundPacks => Self::SoundPacks,
            Change::Cable(resistance_ohm) => Self::Cable { resistance_ohm },
            Change::LimitsAsStated => Self::LimitsAsStated,
        }
    }

    fn change(self) -> Change {
        match self {
            Self::CleanBottom => Change::CleanBottom,
            Self::CleanBlades => Change::CleanBlades,
            Self::Repitch { by_m } => Change::Repitch(by_m),
            Self::NewPropeller { diameter_m, pitch_m } => Change::NewPropeller { diameter_m, pitch_m },
            Self::Ratio { ratio } => Change::Ratio(ratio),
            Self::Cells { in_series } => Change::Cells(in_series),
            Self::SoundPacks => Change::SoundPacks,
            Self::Cable { resistance_ohm } => Change::Cable(resistance_ohm),
            Self::LimitsAsStated => Change::LimitsAsStated,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kept_forecast_comes_back_whole() {
        let interval = Interval { value: 2.3, p10: 2.2, p90: 2.5 };
        let forecast = Forecast {
            remedy: Remedy {
                name: "scrub, \"re-pitch\"".to_owned(),
                changes: vec![Change::CleanBottom, Change::Repitch(0.0254), Change::Cells(20)],
            },
            measures: vec![MeasureForecast {
                measure: Measure::FullSpeed,
                now: interval,
                after: interval,
                gain: interval,
                after_quantiles: vec![1.0, 2.0, 3.25],
            }],
            cruise_power_w: 1320.5,
            helps_probability: 0.97,
            limit_after: Some((Limit::BankVolts, 0.8)),
            forbidden: Vec::new(),
            duty: None,
        };
        let text = ForecastRecord::of(&forecast, "Sea Campion", "2025-05-03", ("before the scrub", Some(1)))
            .to_text();
        assert_eq!(ForecastRecord::read(&text).unwrap().forecast().unwrap(), forecast);
        assert!(ForecastRecord::read("{}").is_err());
        let later = text.replace("\"version\": 1", "\"version\": 9");
        assert!(matches!(ForecastRecord::read(&later), Err(RecordError::Later(9))));
    }
}
