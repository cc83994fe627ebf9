//! The kinds of file that are read, and what each is called.

/// A kind of file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// NMEA 0183 sentences.
    Nmea0183,
    /// NMEA 2000 frames as text.
    BusDump,
    /// GPX.
    Gpx,
    /// A table of columns.
    Table,
    /// Packed with gzip: unpack, then look again.
    Gzip,
    /// Packed with zstd.
    Zstd,
    /// Packed with zip.
    Zip,
    /// A spreadsheet.
    Sheet,
    /// A database of one file.
    Database,
    /// A Parquet file.
    Parquet,
    /// Bus messages as objects of named fields.
    BusObjects,
    /// Objects with updates and values by path.
    BoatData,
    /// KML.
    Kml,
    /// GeoJSON.
    GeoJson,
    /// IGC.
    Igc,
    /// A binary capture of a network or bus.
    Capture,
    /// Not text.
    Binary,
    /// JSON whose columns, or rows, are lists.
    JsonColumns,
    /// JSON objects.
    Json,
    /// Nothing in it.
    Empty,
    /// Text of no kind that is known here.
    Unknown,
}

impl FileKind {
    /// In words.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Nmea0183 => "NMEA 0183 log",
            Self::BusDump => "NMEA 2000 text dump",
            Self::Gpx => "GPX file",
            Self::Table => "table",
            Self::Gzip => "gzip file",
            Self::Zstd => "zstd file",
            Self::Zip => "zip archive",
            Self::Sheet => "spreadsheet",
            Self::Database => "database",
            Self::Parquet => "Parquet file",
            Self::BusObjects => "bus messages as JSON",
            Self::BoatData => "boat data as JSON",
            Self::Kml => "KML file",
            Self::GeoJson => "GeoJSON file",
            Self::Igc => "IGC file",
            Self::Capture => "binary capture",
            Self::Binary => "binary file",
            Self::JsonColumns => "table as JSON lists",
            Self::Json => "JSON file",
            Self::Empty => "empty file",
            Self::Unknown => "text of an unknown kind",
        }
    }

    /// For machines.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Nmea0183 => "nmea-0183",
            Self::BusDump => "nmea-2000-text",
            Self::Gpx => "gpx",
            Self::Table => "table",
            Self::Gzip => "gzip",
            Self::Zstd => "zstd",
            Self::Zip => "zip",
            Self::Sheet => "sheet",
            Self::Database => "database",
            Self::Parquet => "parquet",
            Self::BusObjects => "bus-objects",
            Self::BoatData => "boat-data",
            Self::Kml => "kml",
            Self::GeoJson => "geojson",
            Self::Igc => "igc",
            Self::Capture => "capture",
            Self::Binary => "binary",
            Self::JsonColumns => "json-columns",
            Self::Json => "json",
            Self::Empty => "empty",
            Self::Unknown => "unknown",
        }
    }

    /// True for what must be unpacked first.
    #[must_use]
    pub fn is_packed(self) -> bool {
        matches!(self, Self::Gzip | Self::Zstd | Self::Zip)
    }

    /// True for logs that are read line by line.
    pub(crate) fn is_lines(self) -> bool {
        matches!(self, Self::Nmea0183 | Self::BusDump | Self::Table | Self::Gpx | Self::Igc)
    }

    /// What to do with a file that is no log.
    #[must_use]
    pub fn advice(self) -> &'static str {
        match self {
            Self::Gzip | Self::Zstd | Self::Zip => {
                "packed too often or unpacked wrongly: unpack it by hand first"
            }
            Self::Capture => {
                "a binary capture: write it out as text first (candump log form or comma-separated frames)"
            }
            Self::Binary => "not text: export the recorder's data as CSV, NMEA 0183, GPX or frames as text",
            Self::Json => "JSON without rows of names and values: export as CSV, NMEA 0183 or GPX",
            Self::Empty => "there is nothing in it",
            _ => {
                "no log of a known kind (NMEA 0183, NMEA 2000 as text, a track, a table with columns, names and values, topics, JSON rows, \
                 a spreadsheet, a database): no line is understood. Export it as CSV with a row of names first"
            }
        }
    }
}
