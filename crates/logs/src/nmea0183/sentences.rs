//! What the fields of each sentence mean. Field numbers count from 0 after the address.
//!
//! Source of the fields: the standard's sentences as public handbooks list them, from memory, and
//! the recorded logs of the tests. Not for: checksums, lines.

use wakewright_units::factors::{DEGREE_RAD, FOOT_M, HOUR_S, KNOT_M_S, RPM_REV_S, ZERO_CELSIUS_K};

use super::clock::{SentenceClock, Teller, day_of_date, second_of_day, two_digits};
use crate::bad::BadKind;
use crate::clock::days_from_date;
use crate::decimal::decimal;
use crate::log::{Builder, Source};
use crate::measured::Measured as M;

/// Fields of a sentence; more than this many are not looked at.
const MOST_FIELDS: usize = 48;

/// The fields after the address.
#[derive(Debug)]
pub(super) struct Fields<'a> {
    parts: [&'a [u8]; MOST_FIELDS],
    pub count: usize,
}

impl<'a> Fields<'a> {
    pub fn split(rest: &'a [u8]) -> Self {
        let mut parts: [&[u8]; MOST_FIELDS] = [b""; MOST_FIELDS];
        let mut count = 0;
        let mut start = 0;
        for (i, byte) in rest.iter().enumerate() {
            if *byte == b',' {
                if count < MOST_FIELDS {
                    parts[count] = &rest[start..i];
                }
                count += 1;
                start = i + 1;
            }
        }
        if count < MOST_FIELDS {
            parts[count] = &rest[start..];
        }
        Self { parts, count: (count + 1).min(MOST_FIELDS) }
    }

    /// A field; empty when it is not there.
    fn at(&self, index: usize) -> &'a [u8] {
        self.parts.get(index).copied().unwrap_or_default()
    }

    /// First letter of a field in upper case.
    fn letter(&self, index: usize) -> u8 {
        self.at(index).first().map_or(0, u8::to_ascii_uppercase)
    }
}

/// One sentence on its way into the log.
struct Reading<'a, 'b> {
    fields: &'a Fields<'a>,
    builder: &'b mut Builder,
    talker: [u8; 2],
    formatter: [u8; 3],
}

impl Reading<'_, '_> {
    fn source(&self, name: &[u8]) -> Source {
        let mut short = [0; 8];
        for (place, byte) in short.iter_mut().zip(name) {
            *place = *byte;
        }
        Source::Sentence { talker: self.talker, formatter: self.formatter, name: short }
    }

    /// The number in a field; an empty field is no fault, another that is no number is one.
    fn number(&mut self, index: usize) -> Option<f64> {
        let field = self.fields.at(index);
        if field.is_empty() {
            return None;
        }
        let number = decimal(field);
        if number.is_none() {
            self.builder.bad(BadKind::BadField);
        }
        number
    }

    fn push(&mut self, measured: M, si: f64) {
        let source = self.source(b"");
        self.builder.push(measured, source, si);
    }

    /// A number times a unit into a channel.
    fn take(&mut self, measured: M, index: usize, unit: f64) {
        if let Some(number) = self.number(index) {
            self.push(measured, number * unit);
        }
    }

    /// As [`Self::take`], when the letter in the next field is the expected one.
    fn take_lettered(&mut self, measured: M, index: usize, letter: u8, unit: f64) -> bool {
        let is_there = self.fields.letter(index + 1) == letter && !self.fields.at(index).is_empty();
        if is_there {
            self.take(measured, index, unit);
        }
        is_there
    }

    /// Latitude or longitude of `[d]ddmm.mmm,H`.
    fn angle_of_place(&mut self, index: usize, measured: M) -> Option<f64> {
        let number = self.number(index)?;
        let degrees = (number / 100.0).trunc();
        let minutes = number - degrees * 100.0;
        let sign = match self.fields.letter(index + 1) {
            b'N' | b'E' => 1.0,
            b'S' | b'W' => -1.0,
            _ => return None,
        };
        if minutes >= 60.0 || number < 0.0 {
            self.builder.bad(BadKind::BadField);
            return None;
        }
        let angle = sign * (degrees + minutes / 60.0) * DEGREE_RAD;
        let limit = if measured == M::Latitude { 90.0 } else { 180.0 };
        if angle.abs() > limit * DEGREE_RAD {
            self.builder.bad(BadKind::Impossible);
            return None;
        }
        Some(angle)
    }

    /// Latitude and longitude in four fields: both or none.
    fn place(&mut self, index: usize) {
        let latitude = self.angle_of_place(index, M::Latitude);
        let longitude = self.angle_of_place(index + 2, M::Longitude);
        if let (Some(latitude), Some(longitude)) = (latitude, longitude) {
            self.push(M::Latitude, latitude);
            self.push(M::Longitude, longitude);
        }
    }

    fn time(&mut self, index: usize) -> Option<f64> {
        let field = self.fields.at(index);
        if field.is_empty() {
            return None;
        }
        let second = second_of_day(field);
        if second.is_none() {
            self.builder.bad(BadKind::BadField);
        }
        second
    }

    /// Fewer fields than needed are counted, and the sentence is left.
    fn has(&mut self, least: usize) -> bool {
        let is_long_enough = self.fields.count >= least;
        if !is_long_enough {
            self.builder.bad(BadKind::TooFewFields);
        }
        is_long_enough
    }
}

/// Reads one sentence; those that a trial does not need are left.
pub(super) fn read_sentence(
    address: &[u8],
    fields: &Fields<'_>,
    builder: &mut Builder,
    clock: &mut SentenceClock,
) {
    let [a, b, c, d, e] = *address else { return };
    let mut reading = Reading { fields, builder, talker: [a, b], formatter: [c, d, e] };
    let r = &mut reading;
    match &[c, d, e] {
        b"RMC" => minimum(r, clock),
        b"ZDA" => date(r, clock),
        b"GGA" => fix(r, clock),
        b"GLL" => position(r, clock),
        // Without a fix and a letter of its own its noughts are no speed.
        b"VTG" if clock.is_void && !matches!(fields.letter(8), b'A' | b'D') => {}
        b"VTG" => track(r),
        b"GNS" => fix_of_several(r, clock),
        b"VBW" => two_speeds(r),
        b"VHW" => water_speed(r),
        b"MWV" => wind_angle(r),
        b"VWR" | b"VWT" => wind_side(r, [c, d, e] == *b"VWR"),
        b"MWD" => wind_direction(r),
        b"DPT" => depth_offset(r),
        b"DBT" => depth(r, M::DepthBelowTransducer),
        b"DBS" => depth(r, M::DepthBelowSurface),
        b"HDG" => heading_sensor(r),
        b"HDT" | b"THS" => r.take(M::HeadingTrue, 0, DEGREE_RAD),
        b"HDM" => r.take(M::HeadingMagnetic, 0, DEGREE_RAD),
        b"RPM" => revolutions(r),
        b"XDR" => transducers(r),
        b"MTW" => {
            if let Some(celsius) = r.number(0) {
                r.push(M::WaterTemperature, celsius + ZERO_CELSIUS_K);
            }
        }
        _ => {}
    }
}

/// time, status, lat, N, lon, E, speed kn, course, date, variation, E
fn minimum(r: &mut Reading<'_, '_>, clock: &mut SentenceClock) {
    if !r.has(9) {
        return;
    }
    if let Some(second) = r.time(0) {
        let date = r.fields.at(8);
        let day = day_of_date(date);
        if day.is_none() && !date.is_empty() {
            r.builder.bad(BadKind::BadField);
        }
        clock.tell(Teller::Minimum, second, day, r.builder);
    }
    clock.is_void = r.fields.letter(1) == b'V';
    if r.fields.letter(1) == b'A' {
        r.place(2);
        r.take(M::SpeedOverGround, 6, KNOT_M_S);
        r.take(M::CourseOverGround, 7, DEGREE_RAD);
    }
    let side = if r.fields.letter(10) == b'W' { -1.0 } else { 1.0 };
    r.take(M::MagneticVariation, 9, side * DEGREE_RAD);
}

/// time, day, month, year, zone
fn date(r: &mut Reading<'_, '_>, clock: &mut SentenceClock) {
    let Some(second) = r.time(0) else { return };
    let day = two_digits(r.fields.at(1)).zip(two_digits(r.fields.at(2)));
    let year = decimal(r.fields.at(3)).filter(|year| (1980.0..2200.0).contains(year));
    let days = day.zip(year).and_then(|((day, month), year)| days_from_date(year as i64, month, day));
    clock.tell(Teller::Date, second, days, r.builder);
}

/// time, lat, N, lon, E, quality
fn fix(r: &mut Reading<'_, '_>, clock: &mut SentenceClock) {
    if !r.has(6) {
        return;
    }
    if let Some(second) = r.time(0) {
        clock.tell(Teller::Fix, second, None, r.builder);
    }
    if !matches!(r.fields.letter(5), 0 | b'0') {
        r.place(1);
    }
}

/// time, lat, N, lon, E, a letter for each system: N where it has no fix
fn fix_of_several(r: &mut Reading<'_, '_>, clock: &mut SentenceClock) {
    if !r.has(6) {
        return;
    }
    if let Some(second) = r.time(0) {
        clock.tell(Teller::Fix, second, None, r.builder);
    }
    if r.fields.at(5).iter().any(|letter| *letter != b'N') {
        r.place(1);
    }
}

/// speed through the water along and across, status, speed over ground along and across, status
fn two_speeds(r: &mut Reading<'_, '_>) {
    let mut speed = |along: usize, status: usize, measured: M| {
        if r.fields.letter(status) != b'A' {
            return;
        }
        if let Some(knots) = r.number(along) {
            let across = r.number(along + 1).unwrap_or(0.0);
            // Astern the log shows a negative speed along; its size is what she made.
            let size = if measured == M::SpeedOverGround { knots.hypot(across) } else { knots.abs() };
            r.push(measured, size * KNOT_M_S);
        }
    };
    speed(0, 2, M::SpeedThroughWater);
    speed(3, 5, M::SpeedOverGround);
}

/// lat, N, lon, E, time, status
fn position(r: &mut Reading<'_, '_>, clock: &mut SentenceClock) {
    if let Some(second) = r.time(4) {
        clock.tell(Teller::Position, second, None, r.builder);
    }
    if r.fields.letter(5) != b'V' {
        r.place(0);
    }
}

/// course, T, course, M, speed, N, speed, K, mode
fn track(r: &mut Reading<'_, '_>) {
    if r.fields.letter(8) == b'N' {
        return;
    }
    r.take_lettered(M::CourseOverGround, 0, b'T', DEGREE_RAD);
    r.take_lettered(M::CourseOverGroundMagnetic, 2, b'M', DEGREE_RAD);
    if !r.take_lettered(M::SpeedOverGround, 4, b'N', KNOT_M_S) {
        r.take_lettered(M::SpeedOverGround, 6, b'K', 1000.0 / HOUR_S);
    }
}

/// heading, T, heading, M, speed, N, speed, K
fn water_speed(r: &mut Reading<'_, '_>) {
    r.take_lettered(M::HeadingTrue, 0, b'T', DEGREE_RAD);
    r.take_lettered(M::HeadingMagnetic, 2, b'M', DEGREE_RAD);
    if !r.take_lettered(M::SpeedThroughWater, 4, b'N', KNOT_M_S) {
        r.take_lettered(M::SpeedThroughWater, 6, b'K', 1000.0 / HOUR_S);
    }
}

/// angle, R or T, speed, unit, status
fn wind_angle(r: &mut Reading<'_, '_>) {
    if !r.has(4) || r.fields.letter(4) == b'V' {
        return;
    }
    let (angle, speed) = match r.fields.letter(1) {
        b'R' => (M::ApparentWindAngle, M::ApparentWindSpeed),
        b'T' => (M::TrueWindAngle, M::TrueWindSpeed),
        _ => {
            r.builder.bad(BadKind::BadField);
            return;
        }
    };
    r.take(angle, 0, DEGREE_RAD);
    let unit = match r.fields.letter(3) {
        b'N' => KNOT_M_S,
        b'M' => 1.0,
        b'K' => 1000.0 / HOUR_S,
        b'S' => wakewright_units::factors::MILE_M / HOUR_S,
        _ => return,
    };
    r.take(speed, 2, unit);
}

/// angle, L or R, speed, N, speed, M, speed, K
fn wind_side(r: &mut Reading<'_, '_>, is_apparent: bool) {
    let (angle, speed) = if is_apparent {
        (M::ApparentWindAngle, M::ApparentWindSpeed)
    } else {
        (M::TrueWindAngle, M::TrueWindSpeed)
    };
    let side = if r.fields.letter(1) == b'L' { -1.0 } else { 1.0 };
    r.take(angle, 0, side * DEGREE_RAD);
    if !r.take_lettered(speed, 2, b'N', KNOT_M_S) {
        r.take_lettered(speed, 4, b'M', 1.0);
    }
}

/// direction, T, direction, M, speed, N, speed, M
fn wind_direction(r: &mut Reading<'_, '_>) {
    r.take_lettered(M::TrueWindDirection, 0, b'T', DEGREE_RAD);
    if !r.take_lettered(M::TrueWindSpeed, 4, b'N', KNOT_M_S) {
        r.take_lettered(M::TrueWindSpeed, 6, b'M', 1.0);
    }
}

/// depth below transducer m, offset m (positive: transducer to surface)
fn depth_offset(r: &mut Reading<'_, '_>) {
    let Some(depth) = r.number(0) else { return };
    r.push(M::DepthBelowTransducer, depth);
    if let Some(offset) = r.number(1).filter(|offset| *offset > 0.0) {
        r.push(M::DepthBelowSurface, depth + offset);
    }
}

/// depth, f, depth, M, depth, F
fn depth(r: &mut Reading<'_, '_>, measured: M) {
    if !r.take_lettered(measured, 2, b'M', 1.0) {
        r.take_lettered(measured, 0, b'F', FOOT_M);
    }
}

/// magnetic heading, deviation, E, variation, E
fn heading_sensor(r: &mut Reading<'_, '_>) {
    let east = |letter: u8| if letter == b'W' { -1.0 } else { 1.0 };
    let Some(heading) = r.number(0) else { return };
    let deviation = r.number(1).map_or(0.0, |d| d * east(r.fields.letter(2)));
    r.push(M::HeadingMagnetic, (heading + deviation) * DEGREE_RAD);
    let side = east(r.fields.letter(4));
    r.take(M::MagneticVariation, 3, side * DEGREE_RAD);
}

/// source S or E, number, rpm, pitch %, status
fn revolutions(r: &mut Reading<'_, '_>) {
    // The status may be missing; one that is there must be good.
    if !r.has(3) || !matches!(r.fields.letter(4), b'A' | 0) {
        return;
    }
    let measured = match r.fields.letter(0) {
        b'S' => M::ShaftSpeed,
        b'E' => M::MotorSpeed,
        _ => return,
    };
    if let Some(rpm) = r.number(2) {
        let source = r.source(r.fields.at(1));
        r.builder.push(measured, source, rpm * RPM_REV_S);
    }
}

/// type, value, unit, name, and so on by fours
fn transducers(r: &mut Reading<'_, '_>) {
    for first in (0..r.fields.count.saturating_sub(3)).step_by(4) {
        let name = r.fields.at(first + 3).to_ascii_uppercase();
        let has = |words: &[&[u8]]| words.iter().any(|word| name.windows(word.len()).any(|w| w == *word));
        let is_celsius = r.fields.letter(first + 2) == b'C';
        let (measured, unit, zero) = match r.fields.letter(first) {
            b'U' => (M::Voltage, 1.0, 0.0),
            b'I' => (M::Current, 1.0, 0.0),
            b'T' if has(&[b"SHAFT", b"PROP"]) => (M::ShaftSpeed, RPM_REV_S, 0.0),
            b'T' => (M::MotorSpeed, RPM_REV_S, 0.0),
            b'A' if has(&[b"ROLL", b"HEEL"]) => (M::Heel, DEGREE_RAD, 0.0),
            b'A' if has(&[b"PTCH", b"PITCH"]) => (M::Pitch, DEGREE_RAD, 0.0),
            b'C' if is_celsius && has(&[b"AIR"]) => (M::AirTemperature, 1.0, ZERO_CELSIUS_K),
            b'C' if is_celsius && has(&[b"WATER", b"SEA"]) => (M::WaterTemperature, 1.0, ZERO_CELSIUS_K),
            b'C' if is_celsius && has(&[b"MOTOR", b"ENG"]) => (M::MotorTemperature, 1.0, ZERO_CELSIUS_K),
            b'C' if is_celsius && has(&[b"BAT"]) => (M::BatteryTemperature, 1.0, ZERO_CELSIUS_K),
            _ => continue,
        };
        if let Some(number) = r.number(first + 1) {
            let source = r.source(&name);
            r.builder.push(measured, source, number * unit + zero);
        }
    }
}
