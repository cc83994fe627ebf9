//! Logs of an afternoon on the water: from bytes to channels with times, every bad line counted;
//! and the trial document, which says which logs of a day are taken and how.
//!
//! Not for: opening files, keeping samples, or what the figures mean for the boat. Nothing in a log
//! is ever fatal: what cannot be used is counted by kind and listed by line; what looks wrong is
//! noticed and asked about, never guessed.
#![deny(missing_docs)]

#[macro_use]
mod worded;

mod ask;
mod background;
mod bad;
mod battery;
mod battery_moves;
mod boat_data;
mod bounded;
mod bus_fields;
mod bus_json;
mod checks;
pub mod clock;
mod columns;
mod database;
mod decimal;
mod dropouts;
mod file_kind;
pub mod fold;
mod frozen;
mod gpx;
mod igc;
mod join;
mod json;
mod json_columns;
mod json_flat;
mod json_shape;
mod late;
mod letters;
mod line;
mod log;
mod long_json;
mod measured;
pub mod n2k;
pub mod nmea0183;
mod notebook;
mod notice;
mod open;
mod parts;
mod pieces;
mod reshaped;
mod resolution;
mod route;
mod runs;
mod sheet;
mod sniff;
mod stamps;
mod steadiness;
mod swell;
pub mod table;
mod track;
mod tracks;
pub mod trial;
mod unpack;
mod zone_shift;

use std::io::BufRead;

pub use ask::{Choice, Question};
pub use bad::{BadKind, BadLines};
pub use checks::check_log;
pub use file_kind::FileKind;
pub use join::{JoinError, JoinOptions, Outing, Packs, Series, join};
pub use log::{Channel, Log, Source, TimeBase, channel_key};
pub use measured::Measured;
pub(crate) use notebook::compass_point;
pub use notebook::{
    CellKind, FULL_THROTTLE, NotebookCell, NotebookFault, NotebookRow, notebook_runs, notebook_runs_lenient,
};
pub use notice::LogNotice;
pub use open::{LONGEST_LOG_BYTES, Reading, read, too_long};
pub use pieces::{Between, between, key_in_log};
pub use route::{RoutePoint, route_points};
pub use runs::{RunBounds, SteadyRun, find_steady_runs, run_between};
pub use sniff::{SNIFF_BYTES, sniff};
pub use zone_shift::{ZoneShift, never_together, suggest_shifts};

/// Why nothing can be read at all.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum LogError {
    /// The bytes cannot be had.
    #[error("the log cannot be read: {0}")]
    Io(#[from] std::io::Error),
    /// It is no log of a known kind.
    #[error("{0}")]
    Unknown(&'static str),
    /// A table whose columns mean nothing to the program yet.
    #[error("{0}")]
    Table(#[from] table::TableError),
}

/// Reads a log of a known kind. A table is read with the mapping proposed for its head; to confirm
/// or change that first, use [`table::propose`] and [`table::read`], or [`read`], which asks.
/// # Errors
/// [`LogError`]: the reader's own, or a kind that is no log.
pub fn read_log(reader: impl BufRead, kind: FileKind) -> Result<Log, LogError> {
    let mut log = read_unchecked(reader, kind)?;
    stamps::spread(&mut log);
    check_log(&mut log);
    Ok(log)
}

/// A log as it stands, nothing looked for in it.
fn read_unchecked(mut reader: impl BufRead, kind: FileKind) -> Result<Log, LogError> {
    Ok(match kind {
        FileKind::Nmea0183 => nmea0183::read(reader)?,
        FileKind::BusDump => n2k::read(reader)?,
        FileKind::BusObjects => bus_json::read(reader)?,
        FileKind::BoatData => boat_data::read(reader)?,
        FileKind::Gpx => gpx::read(reader)?,
        FileKind::Kml => tracks::read_kml(reader)?,
        FileKind::GeoJson => tracks::read_geojson(reader)?,
        FileKind::Igc => igc::read_igc(reader)?,
        FileKind::Table => {
            let head = reader.fill_buf()?.to_vec();
            let proposal = table::propose(&head)?;
            table::read(reader, &proposal.mapping)?
        }
        other => return Err(LogError::Unknown(other.advice())),
    })
}
