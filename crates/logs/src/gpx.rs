//! GPX tracks: positions with times; speed and course over ground computed from them.
//!
//! Lenient: any version, any name space. Of extensions a `speed` in m/s, a `course` in degrees and volts, amps, watts and
//! turns whose names say what they are. Waypoints and routes are counted and show the way only.
//! Not for: elevations.

use std::io::{BufRead, BufReader};

use quick_xml::Reader;
use quick_xml::events::Event;

use super::LogError;
use super::bad::BadKind;
use super::bounded::Bounded;
use super::log::Log;
use super::track::Track;

/// Reads a whole file, point by point.
/// # Errors
/// [`LogError::Io`] when the reader fails; XML that is not well formed ends the log there.
pub fn read(reader: impl BufRead) -> Result<Log, LogError> {
    let mut xml = Reader::from_reader(BufReader::new(Bounded::new(reader, b'<')));
    xml.config_mut().check_end_names = false;
    let mut track = Track::default();
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        match xml.read_event_into(&mut buffer) {
            Ok(Event::Eof) => break,
            Ok(Event::Start(element)) => track.open(&element),
            Ok(Event::Empty(element)) => {
                track.open(&element);
                track.close(element.local_name().as_ref());
            }
            Ok(Event::End(element)) => track.close(element.local_name().as_ref()),
            Ok(Event::Text(text)) => track.text(&text),
            Ok(_) => {}
            Err(quick_xml::Error::Io(error)) => {
                return Err(LogError::Io(std::io::Error::new(error.kind(), error.to_string())));
            }
            Err(_) => {
                track.builder.bad(BadKind::BrokenOff);
                break;
            }
        }
    }
    if track.point.is_some() {
        track.builder.bad(BadKind::BrokenOff);
    }
    Ok(track.finish())
}

/// Which text is being read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Inside {
    Time,
    Speed,
    Course,
    /// A value of an extension, by its place among those that are known.
    Other(usize),
}
