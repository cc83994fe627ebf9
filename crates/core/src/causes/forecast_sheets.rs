//! The sheets of forecasts, and of forecasts held against what came. Not for: making or judging them.

use wakewright_units::Quantity;

use super::remedy::{Forecast, Measure, MeasureForecast};
use super::score::Score;
use crate::sheet::{AnySheet, Column, Figure, Form, List, Origin, Sheet, Tone, Word, plain};

/// Every sheet of forecasts, in its order in files.
pub static FORECAST_SHEETS: [&dyn AnySheet<Vec<Forecast>>; 1] = [&FORECASTS];

/// Every sheet of forecasts that are held, in its order in files.
pub static HELD_SHEETS: [&dyn AnySheet<Vec<HeldForecast>>; 1] = [&SCORES];

/// A forecast held against what came.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldForecast {
    /// Name of the remedy.
    pub remedy: String,
    /// Day on which it was made.
    pub made_on: String,
    /// Measure by measure.
    pub scores: Vec<Score>,
}

/// From this probability on a remedy helps as good as surely.
const SURE: f64 = 0.8;

const fn of(key: &'static str, head: &'static str, label: &'static str, quantity: Quantity) -> Figure {
    Figure::part(key, head, label, quantity, "full_short")
}

static REMEDY: Figure = Figure::plain("remedy", "remedy", "name of the remedy", Origin::Asked);
static FULL_SPEED_NOW: Figure =
    of("full_speed_now", "", "speed at full throttle, as she is", Quantity::Speed);
static FULL_SPEED_AFTER: Figure =
    of("full_speed_after", "at full", "the same, with the remedy", Quantity::Speed);
static FULL_SPEED_GAIN: Figure = of("full_speed_gain", "gain", "what it gives there", Quantity::Speed);
static CRUISE_SPEED_NOW: Figure =
    of("cruise_speed_now", "", "speed with the cruising power, as she is", Quantity::Speed);
static CRUISE_SPEED_AFTER: Figure =
    of("cruise_speed_after", "", "the same, with the remedy", Quantity::Speed);
static CRUISE_SPEED_GAIN: Figure =
    of("cruise_speed_gain", "cruising", "what it gives there", Quantity::Speed);
static FULL_SHAFT_NOW: Figure =
    of("full_shaft_now", "", "shaft speed at full throttle, as she is", Quantity::RotationalSpeed);
static FULL_SHAFT_AFTER: Figure =
    of("full_shaft_after", "", "the same, with the remedy", Quantity::RotationalSpeed);
static FULL_SHAFT_GAIN: Figure = of("full_shaft_gain", "", "how much more", Quantity::RotationalSpeed);
static FULL_POWER_NOW: Figure =
    of("full_power_now", "", "power out of the bank at full throttle, as she is", Quantity::Power);
static FULL_POWER_AFTER: Figure = of("full_power_after", "", "the same, with the remedy", Quantity::Power);
static FULL_POWER_GAIN: Figure = of("full_power_gain", "", "how much more", Quantity::Power);
static CRUISE_POWER: Figure = of("cruise_power", "", "the cruising power, out of the bank", Quantity::Power);
const OF_SAMPLES: Origin = Origin::Because("it is a count of the samples");
static HELPS: Figure = Figure::plain(
    "helps_probability",
    "helps",
    "how probable it is that it helps by a twentieth of a knot or more at full throttle",
    OF_SAMPLES,
);
static LIMIT_AFTER: Figure = Figure::plain("limit_after", "", "what stops her then", OF_SAMPLES);

type OfForecast = Column<Forecast>;

fn full_speed(forecast: &Forecast) -> Option<&MeasureForecast> {
    forecast.of(Measure::FullSpeed)
}

fn cruise_speed(forecast: &Forecast) -> Option<&MeasureForecast> {
    forecast.of(Measure::CruiseSpeed)
}

fn full_shaft(forecast: &Forecast) -> Option<&MeasureForecast> {
    forecast.of(Measure::FullShaft)
}

fn full_power(forecast: &Forecast) -> Option<&MeasureForecast> {
    forecast.of(Measure::FullPower)
}

static FORECASTS: Sheet<Vec<Forecast>, Forecast> = Sheet {
    key: "forecasts",
    title: "What each remedy will give",
    form: Form::Table,
    columns: &[&List(&[
        OfForecast::text(&REMEDY, |f| Some(f.remedy.name.clone())),
        OfForecast::band(&FULL_SPEED_NOW, |f| Some(full_speed(f)?.now)).in_files(),
        OfForecast::value(&FULL_SPEED_AFTER, |f| Some(full_speed(f)?.after)).decimals(1),
        OfForecast::band(&FULL_SPEED_GAIN, |f| Some(full_speed(f)?.gain)).decimals(2),
        OfForecast::band(&CRUISE_SPEED_NOW, |f| Some(cruise_speed(f)?.now)).in_files(),
        OfForecast::band(&CRUISE_SPEED_AFTER, |f| Some(cruise_speed(f)?.after)).in_files(),
        OfForecast::value(&CRUISE_SPEED_GAIN, |f| Some(cruise_speed(f)?.gain)).decimals(2),
        OfForecast::band(&FULL_SHAFT_NOW, |f| Some(full_shaft(f)?.now)).in_files(),
        OfForecast::band(&FULL_SHAFT_AFTER, |f| Some(full_shaft(f)?.after)).in_files(),
        OfForecast::band(&FULL_SHAFT_GAIN, |f| Some(full_shaft(f)?.gain)).in_files(),
        OfForecast::band(&FULL_POWER_NOW, |f| Some(full_power(f)?.now)).in_files(),
        OfForecast::band(&FULL_POWER_AFTER, |f| Some(full_power(f)?.after)).in_files(),
        OfForecast::band(&FULL_POWER_GAIN, |f| Some(full_power(f)?.gain)).in_files(),
        OfForecast::number(&CRUISE_POWER, |f| Some(f.cruise_power_w)).in_files(),
        OfForecast::number(&HELPS, |f| Some(f.helps_probability)).unit("%").decimals(0),
        OfForecast::word(&LIMIT_AFTER, |f| Some(f.limit_after?.0.word())).in_files(),
    ])],
    rows: |found, see| found.iter().for_each(see),
    tone: |_, forecast| if forecast.helps_probability > SURE { Tone::Plain } else { Tone::Faint },
};

impl Measure {
    /// Both its names: that of its figure in files, and in words.
    #[must_use]
    pub fn word(self) -> Word {
        let (key, words) = match self {
            Self::FullSpeed => ("full_speed_kn", "full throttle"),
            Self::CruiseSpeed => ("cruise_speed_kn", "at cruising power"),
            Self::FullShaft => ("full_shaft_rpm", "shaft then"),
            Self::FullPower => ("full_power_w", "power then"),
        };
        Word { key, words }
    }

    /// Its kind of quantity.
    #[must_use]
    pub fn quantity(self) -> Quantity {
        match self {
            Self::FullSpeed | Self::CruiseSpeed => Quantity::Speed,
            Self::FullShaft => Quantity::RotationalSpeed,
            Self::FullPower => Quantity::Power,
        }
    }
}

const OF_MEASURE: Origin = Origin::Because("it is of the measure that the row names");

const fn measured(key: &'static str, head: &'static str, label: &'static str) -> Figure {
    Figure::plain(key, head, label, OF_MEASURE)
}

static MADE_ON: Figure = Figure::plain("made_on", "", "day on which it was made", Origin::Asked);
static MEASURE: Figure =
    Figure::plain("measure", "", "what was forecast, with its unit as in all files", Origin::Asked);
static BEFORE: Figure = measured("before", "before", "as she was, in that unit");
static FORECAST: Figure = measured("forecast", "forecast", "as forecast, in that unit");
static OUTCOME: Figure = measured("outcome", "found", "as found, in that unit");
static OFF_BY: Figure = measured("z", "", "off by so many standard deviations of both");
static IS_INSIDE: Figure = measured("is_inside", "inside", "it lies within the forecast's 80 % band");
static CRPS: Figure = measured("crps", "", "ranked probability score, in that unit");
static CRPS_NO_CHANGE: Figure = measured("crps_no_change", "", "the same for no change, in that unit");

/// A measure of a forecast.
struct Row {
    remedy: String,
    made_on: String,
    score: Score,
}

impl Row {
    fn of<T>(&self, value: T) -> Option<(Quantity, T)> {
        Some((self.score.measure.quantity(), value))
    }
}

type OfRow = Column<Row>;

static SCORES: Sheet<Vec<HeldForecast>, Row> = Sheet {
    key: "scores",
    title: "Forecast and outcome",
    form: Form::Table,
    columns: &[&List(&[
        OfRow::text(&REMEDY, |r| Some(r.remedy.clone())).in_files(),
        OfRow::text(&MADE_ON, |r| Some(r.made_on.clone())).in_files(),
        OfRow::word(&MEASURE, |r| Some(r.score.measure.word())),
        OfRow::number_of(&BEFORE, |r| r.of(r.score.before)),
        OfRow::band_of(&FORECAST, |r| r.of(r.score.forecast)),
        OfRow::band_of(&OUTCOME, |r| r.of(r.score.outcome)).value_only(),
        OfRow::number(&OFF_BY, |r| Some(r.score.z)).in_files(),
        OfRow::flag(&IS_INSIDE, |r| Some(r.score.is_inside)),
        OfRow::number_of(&CRPS, |r| r.of(r.score.crps)).in_files(),
        OfRow::number_of(&CRPS_NO_CHANGE, |r| r.of(r.score.crps_no_change)).in_files(),
    ])],
    rows: |found, see| {
        for held in found {
            for score in &held.scores {
                see(&Row { remedy: held.remedy.clone(), made_on: held.made_on.clone(), score: *score });
            }
        }
    },
    tone: plain,
};
