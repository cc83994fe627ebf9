//! Forecasts: kept with their date and never changed, so that they can be held against what came.
//! Not for: what a forecast says.

use rusqlite::{Row, params};

use crate::boats::boat_of;
use crate::error::{Result, StoreError};
use crate::{BoatId, Store, UnixMs};

/// A forecast by its number in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ForecastId(pub i64);

/// A forecast as it was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptForecast {
    /// Its number.
    pub id: ForecastId,
    /// The boat.
    pub boat: BoatId,
    /// When it was made.
    pub time: UnixMs,
    /// When it was put aside, if it was.
    pub removed: Option<UnixMs>,
    /// What it says; opaque here.
    pub text: String,
}

impl Store {
    /// Keeps a forecast.
    ///
    /// # Errors
    /// There is no such boat, or the store fails.
    pub fn keep_forecast(&mut self, boat: BoatId, text: &str, time: UnixMs) -> Result<ForecastId> {
        self.write(|connection| {
            boat_of(connection, boat)?;
            connection.execute(
                "INSERT INTO forecast (boat_id, time_ms, text) VALUES (?1, ?2, ?3)",
                params![boat.0, time.0, text],
            )?;
            Ok(ForecastId(connection.last_insert_rowid()))
        })
    }

    /// Forecasts of a boat, the earliest first, without those put aside.
    ///
    /// # Errors
    /// The store fails.
    pub fn forecasts(&self, boat: BoatId) -> Result<Vec<KeptForecast>> {
        self.read(|connection| {
            let sql = "SELECT id, boat_id, time_ms, removed_ms, text FROM forecast
                       WHERE boat_id = ?1 AND removed_ms IS NULL ORDER BY id";
            let mut statement = connection.prepare(sql)?;
            let rows = statement.query_map([boat.0], from_row)?;
            Ok(rows.collect::<rusqlite::Result<_>>()?)
        })
    }

    /// Puts a forecast aside: it is kept, and no longer listed.
    ///
    /// # Errors
    /// There is no such forecast, or the store fails.
    pub fn put_forecast_aside(&mut self, forecast: ForecastId, time: UnixMs) -> Result<()> {
        self.write(|connection| {
            let changed = connection
                .execute("UPDATE forecast SET removed_ms = ?2 WHERE id = ?1", params![forecast.0, time.0])?;
            if changed == 0 {
                return Err(StoreError::NoSuchEntry { what: "forecast", wanted: forecast.0 }.into());
            }
            Ok(())
        })
    }
}

fn from_row(row: &Row<'_>) -> rusqlite::Result<KeptForecast> {
    Ok(KeptForecast {
        id: ForecastId(row.get(0)?),
        boat: BoatId(row.get(1)?),
        time: UnixMs(row.get(2)?),
        removed: row.get::<_, Option<i64>>(3)?.map(UnixMs),
        text: row.get(4)?,
    })
}
