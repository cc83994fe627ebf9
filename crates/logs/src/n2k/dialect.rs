//! The written forms of a frame: candump's log, plain and angle-bracket forms, comma-separated
//! fields, gateway text, trace files, base64 in a sentence. Each line may be of any form.
//! Not for: what a message means.

use super::ascii_trace::AsciiTrace;
use super::frame::Frame;
use crate::bad::BadKind;
use crate::clock::{DAY_S, parse_iso, parse_time_of_day};
use crate::decimal::decimal;
use crate::log::TimeBase;

/// Clocks that count from 1970 show more than this; less is seconds from some start.
const UNIX_FROM_S: f64 = 3e8;
/// A trace file's days count from 1899-12-30; 1970-01-01 is day 25569.
const TRACE_EPOCH_DAYS: f64 = 25_569.0;

/// What a line holds. A frame is written once and read once: no box for it.
#[allow(clippy::large_enum_variant, reason = "one lives at a time, on the stack of the reader's loop")]
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Written {
    Frame(Frame),
    /// A remark or a head.
    Remark,
}

/// What must be remembered from line to line.
#[derive(Debug, Default)]
pub(super) struct Dialect {
    /// Start of a trace file, Unix time.
    trace_start_s: Option<f64>,
    /// Letters of a trace file's columns from version 2 on: `O` time, `I` identifier, `D` data.
    trace_columns: Option<String>,
    /// Columns of a table of frames.
    frame_columns: Option<FrameColumns>,
    ascii: AsciiTrace,
    /// Names of the buses in the order in which they spoke.
    networks: Vec<String>,
}

/// Where a table of frames holds what, from 0.
#[derive(Debug, Clone, Copy)]
struct FrameColumns {
    time: usize,
    identifier: usize,
    /// The first byte; the others stand behind it, or all in this cell.
    data: usize,
    length: Option<usize>,
    bus: Option<usize>,
}

impl Dialect {
    /// The frame on a line without blanks at its ends.
    pub fn frame(&mut self, line: &[u8]) -> Result<Written, BadKind> {
        let text = std::str::from_utf8(line).map_err(|_| BadKind::NotUnderstood)?;
        let first = text.bytes().next().ok_or(BadKind::NotUnderstood)?;
        if first == b'#' {
            return Ok(Written::Remark);
        }
        if first == b';' {
            self.trace_head(text);
            return Ok(Written::Remark);
        }
        if self.frame_columns.is_none()
            && let Some(columns) = frame_columns(text)
        {
            self.frame_columns = Some(columns);
            return Ok(Written::Remark);
        }
        let mut frame = if let Some(columns) = self.frame_columns {
            table_form(text, columns)
        } else if let Some(columns) = self.trace_columns.as_ref().filter(|_| first.is_ascii_digit()) {
            self.trace_columns_form(text, columns)
        } else if self.ascii.is_remark(text) {
            return Ok(Written::Remark);
        } else {
            match first {
                b'(' => log_form(text),
                b'T' | b't' if !text.contains([' ', ',']) => serial_form(text),
                b'<' => angle_form(text),
                b'!' => base64_form(text),
                _ if self.ascii.is_begun() => self.ascii.frame(text),
                _ if text.contains(',') => comma_form(text),
                _ if text.contains('[') => plain_form(text),
                _ if text.bytes().take(8).any(|b| b == b')') => self.trace_form(text),
                _ => gateway_form(text),
            }
        };
        if let Ok(frame) = &mut frame {
            let name = self.network_named(text);
            frame.network = self.network(name);
        }
        frame.map(Written::Frame)
    }

    /// Which of the buses of one dump: addresses of one are not those of another.
    fn network(&mut self, name: &str) -> u8 {
        const MOST: usize = 16;
        let known = self.networks.iter().position(|network| network == name);
        let place = known.unwrap_or_else(|| {
            if self.networks.len() < MOST {
                self.networks.push(name.to_owned());
            }
            self.networks.len() - 1
        });
        place as u8
    }

    /// The bus that a line names: `can0` before the identifier, a number behind the time. Nothing where it names none.
    fn network_named<'l>(&self, line: &'l str) -> &'l str {
        let mut words = line.split_ascii_whitespace();
        if let Some(columns) = self.frame_columns {
            return columns.bus.and_then(|at| line.split(',').nth(at)).unwrap_or_default().trim();
        }
        match (line.as_bytes().first(), &self.trace_columns) {
            (Some(b'('), _) => {
                line.split_once(')').and_then(|(_, rest)| rest.split_ascii_whitespace().next())
            }
            (Some(first), Some(columns)) if first.is_ascii_digit() => {
                columns.find('B').and_then(|at| words.nth(at))
            }
            (Some(b'<' | b'!' | b'T' | b't'), _) => None,
            _ if self.ascii.is_begun() => words.nth(1),
            _ if line.contains('[') => words.next(),
            // A trace: number, time, and from version 1.2 on the bus before `Rx`.
            _ if line.bytes().take(8).any(|b| b == b')') => {
                words.nth(2).filter(|word| word.len() <= 2 && *word != "Rx" && *word != "Tx")
            }
            _ => None,
        }
        .unwrap_or_default()
    }

    fn trace_head(&mut self, line: &str) {
        const COLUMNS: &str = "NOTIRdlLD";
        if line.contains("$FILEVERSION=2") {
            self.trace_columns = Some(COLUMNS.to_owned());
        }
        if let Some((_, letters)) = line.split_once("$COLUMNS=") {
            self.trace_columns = Some(letters.chars().filter(|c| c.is_ascii_alphabetic()).collect());
        }
        if let Some((_, days)) = line.split_once("$STARTTIME=") {
            let days: Option<f64> = days.trim().parse().ok();
            self.trace_start_s = days
                .filter(|d| (TRACE_EPOCH_DAYS..1e5).contains(d))
                .map(|days| (days - TRACE_EPOCH_DAYS) * DAY_S);
        }
    }

    /// `1  48.6 DT 1 09F11201 Rx - 8  FF 50 7A ...` in the order of the columns' letters, time in ms
    fn trace_columns_form(&self, line: &str, columns: &str) -> Result<Frame, BadKind> {
        let mut words = line.split_ascii_whitespace();
        let (mut offset_s, mut id, mut length) = (None, None, None);
        for letter in columns.chars() {
            if letter == 'D' {
                break;
            }
            let word = words.next().ok_or(BadKind::NotUnderstood)?;
            match letter {
                'O' => offset_s = Some(number(Some(word))? / 1000.0),
                'I' => id = Some(word),
                'L' | 'l' => length = Some(number(Some(word))?),
                // Other than data: an error, a status.
                'T' if !matches!(word, "DT" | "FD" | "FB" | "FE" | "BI") => {
                    return Err(BadKind::NotUnderstood);
                }
                _ => {}
            }
        }
        let offset_s = offset_s.ok_or(BadKind::NotUnderstood)?;
        let time = match self.trace_start_s {
            Some(start) => (TimeBase::Utc, start + offset_s),
            None => (TimeBase::Elapsed, offset_s),
        };
        let mut frame = Frame::of_identifier(Some(time), identifier(id)?);
        for byte in words {
            frame.push_hex(byte)?;
        }
        match length {
            Some(length) => counted(frame, length),
            None => Ok(frame),
        }
    }

    /// `1)  48.6  Rx  09F11201  8  FF 50 7A ...`, time in ms; before version 1.1 without direction, from
    /// 1.2 on with the bus before it, from 1.3 on with a dash before the length.
    fn trace_form(&self, line: &str) -> Result<Frame, BadKind> {
        let mut words = line.split_ascii_whitespace();
        words.next();
        let offset_s = number(words.next())? / 1000.0;
        let time = match self.trace_start_s {
            Some(start) => (TimeBase::Utc, start + offset_s),
            None => (TimeBase::Elapsed, offset_s),
        };
        let mut word = words.next();
        if word.is_some_and(|bus| bus.len() <= 2 && bus.bytes().all(|b| b.is_ascii_digit())) {
            word = words.next();
        }
        if matches!(word, Some("Rx" | "Tx")) {
            word = words.next();
        }
        let mut frame = Frame::of_identifier(Some(time), identifier(word)?);
        let mut length = words.next();
        if length == Some("-") {
            length = words.next();
        }
        let length = number(length)?;
        for byte in words {
            frame.push_hex(byte)?;
        }
        counted(frame, length)
    }
}

/// How many of `lines` are frames in one of the forms: for telling kinds of file apart.
pub(crate) fn are_frames(lines: &[&[u8]]) -> Vec<bool> {
    let mut dialect = Dialect::default();
    lines.iter().map(|line| matches!(dialect.frame(line.trim_ascii()), Ok(Written::Frame(_)))).collect()
}

/// `(1502979132.106111) slcan0 09F10DE5#00F8FF7F0000FFFF`
fn log_form(line: &str) -> Result<Frame, BadKind> {
    let (time, rest) = line[1..].split_once(')').ok_or(BadKind::NotUnderstood)?;
    let (base, time_s) = match (number(Some(time)), parse_iso(time)) {
        (Ok(time_s), _) => (if time_s > UNIX_FROM_S { TimeBase::Utc } else { TimeBase::Elapsed }, time_s),
        (_, Some((time_s, _))) => (TimeBase::Utc, time_s),
        _ => return Err(BadKind::NotUnderstood),
    };
    let mut words = rest.split_ascii_whitespace();
    words.next();
    let written = words.next().ok_or(BadKind::NotUnderstood)?;
    if let Some((id, bytes)) = written.split_once('#') {
        let mut frame = Frame::of_identifier(Some((base, time_s)), identifier(Some(id))?);
        frame.push_hex(bytes)?;
        return Ok(frame);
    }
    // The plain form with a time before it, and perhaps the direction and the letters of the bytes.
    let (head, bytes) = rest.split_once('[').ok_or(BadKind::NotUnderstood)?;
    let (_, bytes) = bytes.split_once(']').ok_or(BadKind::NotUnderstood)?;
    let id = head.split_ascii_whitespace().last();
    let mut frame = Frame::of_identifier(Some((base, time_s)), identifier(id)?);
    frame.push_hex(bytes.split('\'').next().unwrap_or_default())?;
    Ok(frame)
}

/// Columns of a table of frames by their names: a time, an identifier, data.
fn frame_columns(line: &str) -> Option<FrameColumns> {
    if !line.contains(',') || line.len() > 400 {
        return None;
    }
    let names: Vec<String> = line
        .split(',')
        .map(|name| name.trim().trim_matches('"').to_lowercase().replace([' ', '_'], ""))
        .collect();
    let find = |words: &[&str]| names.iter().position(|name| words.contains(&name.as_str()));
    Some(FrameColumns {
        time: find(&["timestamp", "time", "t", "zeit"])?,
        identifier: find(&["id", "arbitrationid", "canid", "identifier", "messageid"])?,
        data: find(&["d0", "d1", "data", "databytes", "payload", "byte0", "b0"])?,
        length: find(&["len", "dlc", "length"]),
        bus: find(&["bus", "channel", "interface", "network"]),
    })
}

/// A row of a table of frames: seconds, or microseconds since 1970 or some start.
fn table_form(line: &str, columns: FrameColumns) -> Result<Frame, BadKind> {
    const MILLI_FROM: f64 = 3e11;
    const MICRO_FROM: f64 = 3e14;
    let cells: Vec<&str> = line.split(',').map(|cell| cell.trim().trim_matches('"')).collect();
    let cell = |at: usize| cells.get(at).copied().ok_or(BadKind::NotUnderstood);
    let written = cell(columns.time)?;
    let time = match (number(Some(written)), parse_iso(written)) {
        (Ok(n), _) if n > MICRO_FROM => (TimeBase::Utc, n / 1e6),
        (Ok(n), _) if n > MILLI_FROM => (TimeBase::Utc, n / 1e3),
        (Ok(n), _) if n > UNIX_FROM_S => (TimeBase::Utc, n),
        // Whole numbers that count from a start are microseconds: seconds have decimals.
        (Ok(n), _) => (TimeBase::Elapsed, if written.contains('.') { n } else { n / 1e6 }),
        (_, Some((time_s, _))) => (TimeBase::Utc, time_s),
        _ => return Err(BadKind::BadTime),
    };
    let id = cell(columns.identifier)?;
    let id = match id.strip_prefix("0x").or(id.strip_prefix("0X")) {
        // Noughts before it may be left out.
        Some(digits) if (5..9).contains(&digits.len()) => {
            u32::from_str_radix(digits, 16).map_err(|_| BadKind::NotUnderstood)?
        }
        _ => identifier(Some(id))?,
    };
    let mut frame = Frame::of_identifier(Some(time), id);
    let length = columns.length.map(|at| number(Some(cell(at)?))).transpose()?;
    let written = cells.get(columns.data).copied().unwrap_or_default();
    if let Some(length) = length
        && written.len() as f64 != 2.0 * length
        && written.len() as f64 == 4.0 * (length / 3.0).ceil()
    {
        frame.push_base64(written)?;
        return counted(frame, length);
    }
    for byte in cells.iter().skip(columns.data) {
        if length.is_some_and(|length| frame.length as f64 >= length) {
            break;
        }
        frame.push_hex(byte.strip_prefix("0x").unwrap_or(byte))?;
    }
    match length {
        Some(length) => counted(frame, length),
        None => Ok(frame),
    }
}

/// `T09F112CC8FF725AFF7FFF7FFD`: identifier, number of bytes, bytes, perhaps four digits of a clock
/// that goes round once a minute.
fn serial_form(line: &str) -> Result<Frame, BadKind> {
    let rest = line.strip_prefix('T').ok_or(BadKind::NotUnderstood)?;
    let id = rest.get(..8);
    let length = rest.get(8..9).and_then(|digit| digit.parse::<usize>().ok()).filter(|length| *length <= 8);
    let length = length.ok_or(BadKind::NotUnderstood)?;
    let bytes = rest.get(9..9 + 2 * length).ok_or(BadKind::ShortFrame)?;
    if !matches!(rest.len() - 9 - 2 * length, 0 | 4) {
        return Err(BadKind::NotUnderstood);
    }
    let mut frame = Frame::of_identifier(None, identifier(id)?);
    frame.push_hex(bytes)?;
    Ok(frame)
}

/// `can0  09F8027F   [8]  00 FC FF FF 00 00 FF FF`
fn plain_form(line: &str) -> Result<Frame, BadKind> {
    let (head, rest) = line.split_once('[').ok_or(BadKind::NotUnderstood)?;
    let (length, bytes) = rest.split_once(']').ok_or(BadKind::NotUnderstood)?;
    let mut words = head.split_ascii_whitespace();
    words.next();
    let mut frame = Frame::of_identifier(None, identifier(words.next())?);
    frame.push_hex(bytes)?;
    counted(frame, number(Some(length))?)
}

/// `<0x18eeff01> [8] 05 a0 be 1c 00 a0 a0 c0`
fn angle_form(line: &str) -> Result<Frame, BadKind> {
    let (id, rest) = line[1..].split_once('>').ok_or(BadKind::NotUnderstood)?;
    let mut frame = Frame::of_identifier(None, identifier(id.trim().strip_prefix("0x"))?);
    let (length, bytes) =
        rest.split_once('[').and_then(|(_, rest)| rest.split_once(']')).ok_or(BadKind::NotUnderstood)?;
    frame.push_hex(bytes)?;
    counted(frame, number(Some(length))?)
}

/// `00:29:58.617 R 0DFF180D A2 8C 50 C0 FF FF FF FF`
fn gateway_form(line: &str) -> Result<Frame, BadKind> {
    let mut words = line.split_ascii_whitespace();
    let second = words.next().and_then(parse_time_of_day).ok_or(BadKind::NotUnderstood)?;
    if !matches!(words.next(), Some("R" | "T")) {
        return Err(BadKind::NotUnderstood);
    }
    let time = Some((TimeBase::TimeOfDay, second));
    let mut frame = Frame::of_identifier(time, identifier(words.next())?);
    for byte in words {
        frame.push_hex(byte)?;
    }
    if frame.length > 8 { Err(BadKind::NotUnderstood) } else { Ok(frame) }
}

/// `2016-02-28T19:57:02.364Z,2,127250,7,255,8,ff,10,3b`: time, priority, group, sender, receiver,
/// length, bytes. The date may be left out.
fn comma_form(line: &str) -> Result<Frame, BadKind> {
    let mut parts = line.split(',');
    let written = parts.next().ok_or(BadKind::NotUnderstood)?;
    let time = if let Some((time_s, _)) = parse_iso(written) {
        (TimeBase::Utc, time_s)
    } else {
        (TimeBase::TimeOfDay, parse_time_of_day(written).ok_or(BadKind::NotUnderstood)?)
    };
    let mut whole = || -> Result<u32, BadKind> {
        parts.next().and_then(|p| p.trim().parse().ok()).ok_or(BadKind::NotUnderstood)
    };
    let (_priority, pgn, sender, _receiver, length) = (whole()?, whole()?, whole()?, whole()?, whole()?);
    let sender = u8::try_from(sender).map_err(|_| BadKind::NotUnderstood)?;
    let mut frame = Frame::new(Some(time), pgn, sender);
    for byte in parts {
        let byte = byte.trim();
        if byte.is_empty() || byte.len() > 2 {
            return Err(BadKind::NotUnderstood);
        }
        frame.push(u8::from_str_radix(byte, 16).map_err(|_| BadKind::NotUnderstood)?)?;
    }
    counted(frame, f64::from(length))
}

/// `!PDGY,127250,2,3,255,481.734,2C20AAAAAAE=`: group, priority, sender, receiver, seconds, base64
fn base64_form(line: &str) -> Result<Frame, BadKind> {
    let mut parts = line.strip_prefix("!PDGY,").ok_or(BadKind::NotUnderstood)?.split(',');
    let pgn = number(parts.next())?;
    let (_priority, sender, _receiver) = (parts.next(), number(parts.next())?, parts.next());
    let time_s = number(parts.next())?;
    if !(0.0..=255.0).contains(&sender) || !(0.0..4e7).contains(&pgn) {
        return Err(BadKind::NotUnderstood);
    }
    let mut frame = Frame::new(Some((TimeBase::Elapsed, time_s)), pgn as u32, sender as u8);
    let payload = parts.next().filter(|p| !p.is_empty()).ok_or(BadKind::NotUnderstood)?;
    frame.push_base64(payload)?;
    Ok(frame)
}

/// The frame, when it holds as many bytes as it says.
pub(super) fn counted(frame: Frame, length: f64) -> Result<Frame, BadKind> {
    if frame.length as f64 == length { Ok(frame) } else { Err(BadKind::ShortFrame) }
}

pub(super) fn number(word: Option<&str>) -> Result<f64, BadKind> {
    // Microseconds since 1970 have more digits than the quick way takes.
    let read = |w: &str| decimal(w.as_bytes()).or_else(|| w.parse().ok().filter(|n: &f64| n.is_finite()));
    word.and_then(read).ok_or(BadKind::NotUnderstood)
}

/// An extended identifier: eight hexadecimal digits.
fn identifier(word: Option<&str>) -> Result<u32, BadKind> {
    let word = word.filter(|w| w.len() == 8).ok_or(BadKind::NotUnderstood)?;
    u32::from_str_radix(word, 16).map_err(|_| BadKind::NotUnderstood)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The same heading frame in every form.
    #[test]
    fn forms_give_the_same_frame() {
        let forms = [
            "(1502984866.421964) slcan0 09F112CC#FF725AFF7FFF7FFD",
            "(1502984866.421964) can0  09F112CC   [8]  FF 72 5A FF 7F FF 7F FD",
            "can0  09F112CC   [8]  FF 72 5A FF 7F FF 7F FD",
            "<0x09f112cc> [8] ff 72 5a ff 7f ff 7f fd",
            "2017-08-17T15:47:46.421Z,2,127250,204,255,8,ff,72,5a,ff,7f,ff,7f,fd",
            "15:47:46.421 R 09F112CC FF 72 5A FF 7F FF 7F FD",
            "1)        48.6  Rx     09F112CC  8  FF 72 5A FF 7F FF 7F FD",
            "1)        48 09F112CC  8  FF 72 5A FF 7F FF 7F FD",
            "1)        48.6 1  Rx  09F112CC  8  FF 72 5A FF 7F FF 7F FD",
            "1)        48.6 1  Rx  09F112CC -  8  FF 72 5A FF 7F FF 7F FD",
            "!PDGY,127250,2,204,255,481.734,/3Ja/3//f/0=",
            "T09F112CC8FF725AFF7FFF7FFD",
            "(2017-08-17 15:47:46.421964)  can0  09F112CC   [8]  FF 72 5A FF 7F FF 7F FD",
        ];
        for form in forms {
            let Ok(Written::Frame(frame)) = Dialect::default().frame(form.as_bytes()) else {
                panic!("{form}")
            };
            assert_eq!((frame.pgn, frame.address), (127_250, 204), "{form}");
            assert_eq!(frame.bytes(), [0xff, 0x72, 0x5a, 0xff, 0x7f, 0xff, 0x7f, 0xfd], "{form}");
        }
    }

    #[test]
    fn addressed_groups_lose_the_receiver() {
        let line = "<0x18eaff23> [3] 14 f0 01";
        let Ok(Written::Frame(frame)) = Dialect::default().frame(line.as_bytes()) else { panic!() };
        assert_eq!(frame.pgn, 59_904);
    }
}
