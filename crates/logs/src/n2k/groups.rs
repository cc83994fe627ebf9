//! The parameter groups that a trial needs, as a table of fields.
//!
//! Source of places and sizes: public descriptions of the groups, from memory, held against the
//! recorded dumps of the tests (positions, speeds, voltages that agree with each other).
//! Not for: frames and long messages.

use wakewright_units::factors::{DEGREE_RAD, RPM_REV_S};

use crate::clock::DAY_S;
use crate::measured::Measured as M;

/// A parameter group.
#[derive(Debug)]
pub(super) struct Group {
    pub pgn: u32,
    /// Sent as several frames.
    pub is_fast: bool,
    /// Bytes without which none of its fields is there.
    pub least_bytes: usize,
    /// Where the instance stands.
    pub instance_byte: Option<usize>,
    pub fields: &'static [Field],
}

/// How a number is stored, least byte first.
#[derive(Debug, Clone, Copy)]
enum Kind {
    U8,
    U16,
    I16,
    U24,
    I24,
    U32,
    I32,
}

/// What decides what a field measures.
#[derive(Debug, Clone, Copy)]
enum Meaning {
    Always(M),
    /// Two bits of a byte: 0 true, 1 magnetic.
    Direction {
        byte: usize,
        is_true: M,
        is_magnetic: M,
    },
    /// Low three bits of a byte: the reference of a wind.
    Wind {
        byte: usize,
        apparent: M,
        over_ground: Option<M>,
        from_bow: M,
    },
    /// A byte names what is warm.
    Temperature {
        byte: usize,
    },
    /// As before, in the low six bits.
    TemperatureSix {
        byte: usize,
    },
}

/// A number in a message.
#[derive(Debug)]
pub(super) struct Field {
    byte: usize,
    kind: Kind,
    /// SI units per count.
    unit: f64,
    meaning: Meaning,
}

impl Field {
    /// SI value; `None` when it is not there, or said to be not available or out of range.
    pub fn value(&self, message: &[u8]) -> Option<f64> {
        let at = |count: usize| message.get(self.byte..self.byte + count);
        // The two highest counts stand for an error and for not available.
        let unsigned = |raw: u32, highest: u32| (raw < highest - 1).then_some(f64::from(raw));
        let count = match self.kind {
            Kind::U8 => unsigned(u32::from(at(1)?[0]), u32::from(u8::MAX)),
            Kind::U16 => {
                unsigned(u32::from(u16::from_le_bytes(at(2)?.try_into().ok()?)), u32::from(u16::MAX))
            }
            Kind::I16 => {
                let raw = i16::from_le_bytes(at(2)?.try_into().ok()?);
                (raw < i16::MAX - 1).then_some(f64::from(raw))
            }
            Kind::U24 => {
                let bytes = at(3)?;
                unsigned(u32::from_le_bytes([bytes[0], bytes[1], bytes[2], 0]), 0x00ff_ffff)
            }
            Kind::I24 => {
                let bytes = at(3)?;
                // The sign stands in the third byte: shifted up and down again it spreads.
                let raw = i32::from_le_bytes([0, bytes[0], bytes[1], bytes[2]]) >> 8;
                (raw < 0x7f_fffe).then_some(f64::from(raw))
            }
            Kind::U32 => unsigned(u32::from_le_bytes(at(4)?.try_into().ok()?), u32::MAX),
            Kind::I32 => {
                let raw = i32::from_le_bytes(at(4)?.try_into().ok()?);
                (raw < i32::MAX - 1).then_some(f64::from(raw))
            }
        };
        count.map(|count| count * self.unit)
    }

    /// What it measures in this message; `None` for what a trial does not need.
    pub fn measured(&self, message: &[u8]) -> Option<M> {
        match self.meaning {
            Meaning::Always(measured) => Some(measured),
            Meaning::Direction { byte, is_true, is_magnetic } => match message.get(byte)? & 0x03 {
                0 => Some(is_true),
                1 => Some(is_magnetic),
                _ => None,
            },
            Meaning::Wind { byte, apparent, over_ground, from_bow } => match message.get(byte)? & 0x07 {
                0 => over_ground,
                2 => Some(apparent),
                3 | 4 => Some(from_bow),
                _ => None,
            },
            Meaning::Temperature { byte } => warm_thing(*message.get(byte)?),
            Meaning::TemperatureSix { byte } => warm_thing(*message.get(byte)? & 0x3f),
        }
    }
}

fn warm_thing(source: u8) -> Option<M> {
    match source {
        0 => Some(M::WaterTemperature),
        1 => Some(M::AirTemperature),
        _ => None,
    }
}

const fn field(byte: usize, kind: Kind, unit: f64, measured: M) -> Field {
    Field { byte, kind, unit, meaning: Meaning::Always(measured) }
}

const ANGLE: f64 = 1e-4;
const CENTI: f64 = 0.01;
const PLACE: f64 = 1e-7 * DEGREE_RAD;

/// By number.
static GROUPS: &[Group] = &[
    Group {
        pgn: 127_250,
        is_fast: false,
        least_bytes: 8,
        instance_byte: None,
        fields: &[
            Field {
                byte: 1,
                kind: Kind::U16,
                unit: ANGLE,
                meaning: Meaning::Direction {
                    byte: 7,
                    is_true: M::HeadingTrue,
                    is_magnetic: M::HeadingMagnetic,
                },
            },
            field(5, Kind::I16, ANGLE, M::MagneticVariation),
        ],
    },
    Group {
        pgn: 127_257,
        is_fast: false,
        least_bytes: 7,
        instance_byte: None,
        fields: &[field(3, Kind::I16, ANGLE, M::Pitch), field(5, Kind::I16, ANGLE, M::Heel)],
    },
    Group {
        pgn: 127_488,
        is_fast: false,
        least_bytes: 3,
        instance_byte: Some(0),
        fields: &[field(1, Kind::U16, 0.25 * RPM_REV_S, M::MotorSpeed)],
    },
    Group {
        pgn: 127_489,
        is_fast: true,
        least_bytes: 7,
        instance_byte: Some(0),
        fields: &[field(5, Kind::U16, CENTI, M::MotorTemperature)],
    },
    Group {
        pgn: 127_506,
        is_fast: true,
        least_bytes: 4,
        instance_byte: Some(1),
        fields: &[field(3, Kind::U8, CENTI, M::StateOfCharge)],
    },
    Group {
        pgn: 127_508,
        is_fast: false,
        least_bytes: 7,
        instance_byte: Some(0),
        fields: &[
            field(1, Kind::I16, CENTI, M::Voltage),
            field(3, Kind::I16, 0.1, M::Current),
            field(5, Kind::U16, CENTI, M::BatteryTemperature),
        ],
    },
    // Volts and amps of a connection of direct current: 0.1 V, 0.01 A in three bytes.
    Group {
        pgn: 127_751,
        is_fast: false,
        least_bytes: 6,
        instance_byte: Some(1),
        fields: &[field(2, Kind::U16, 0.1, M::Voltage), field(4, Kind::I24, CENTI, M::Current)],
    },
    // Electric drive, rapid: shaft speed, volts and amps on its side of direct current.
    Group {
        pgn: 128_002,
        is_fast: false,
        least_bytes: 8,
        instance_byte: Some(0),
        fields: &[
            field(2, Kind::U16, 0.25 * RPM_REV_S, M::MotorSpeed),
            field(4, Kind::U16, 0.1, M::Voltage),
            field(6, Kind::I16, 0.1, M::Current),
        ],
    },
    // Store of energy, rapid: volts and amps of the battery.
    Group {
        pgn: 128_003,
        is_fast: false,
        least_bytes: 6,
        instance_byte: Some(0),
        fields: &[field(2, Kind::U16, 0.1, M::Voltage), field(4, Kind::I16, 0.1, M::Current)],
    },
    Group {
        pgn: 128_259,
        is_fast: false,
        least_bytes: 3,
        instance_byte: None,
        fields: &[
            field(1, Kind::U16, CENTI, M::SpeedThroughWater),
            field(3, Kind::U16, CENTI, M::SpeedOverGround),
        ],
    },
    Group {
        pgn: 128_267,
        is_fast: false,
        least_bytes: 5,
        instance_byte: None,
        fields: &[field(1, Kind::U32, CENTI, M::DepthBelowTransducer)],
    },
    Group {
        pgn: 129_025,
        is_fast: false,
        least_bytes: 8,
        instance_byte: None,
        fields: &[field(0, Kind::I32, PLACE, M::Latitude), field(4, Kind::I32, PLACE, M::Longitude)],
    },
    Group {
        pgn: 129_026,
        is_fast: false,
        least_bytes: 6,
        instance_byte: None,
        fields: &[
            Field {
                byte: 2,
                kind: Kind::U16,
                unit: ANGLE,
                meaning: Meaning::Direction {
                    byte: 1,
                    is_true: M::CourseOverGround,
                    is_magnetic: M::CourseOverGroundMagnetic,
                },
            },
            field(4, Kind::U16, CENTI, M::SpeedOverGround),
        ],
    },
    Group {
        pgn: 130_306,
        is_fast: false,
        least_bytes: 6,
        instance_byte: None,
        fields: &[
            Field {
                byte: 1,
                kind: Kind::U16,
                unit: CENTI,
                meaning: Meaning::Wind {
                    byte: 5,
                    apparent: M::ApparentWindSpeed,
                    over_ground: Some(M::TrueWindSpeed),
                    from_bow: M::TrueWindSpeed,
                },
            },
            Field {
                byte: 3,
                kind: Kind::U16,
                unit: ANGLE,
                meaning: Meaning::Wind {
                    byte: 5,
                    apparent: M::ApparentWindAngle,
                    over_ground: Some(M::TrueWindDirection),
                    from_bow: M::TrueWindAngle,
                },
            },
        ],
    },
    Group {
        pgn: 130_310,
        is_fast: false,
        least_bytes: 5,
        instance_byte: None,
        fields: &[
            field(1, Kind::U16, CENTI, M::WaterTemperature),
            field(3, Kind::U16, CENTI, M::AirTemperature),
        ],
    },
    Group {
        pgn: 130_311,
        is_fast: false,
        least_bytes: 4,
        instance_byte: None,
        fields: &[Field {
            byte: 2,
            kind: Kind::U16,
            unit: CENTI,
            meaning: Meaning::TemperatureSix { byte: 1 },
        }],
    },
    Group {
        pgn: 130_312,
        is_fast: false,
        least_bytes: 5,
        instance_byte: Some(1),
        fields: &[Field { byte: 3, kind: Kind::U16, unit: CENTI, meaning: Meaning::Temperature { byte: 2 } }],
    },
    Group {
        pgn: 130_316,
        is_fast: false,
        least_bytes: 6,
        instance_byte: Some(1),
        fields: &[Field { byte: 3, kind: Kind::U24, unit: 1e-3, meaning: Meaning::Temperature { byte: 2 } }],
    },
];

/// The group of this number, when a trial needs it.
pub(super) fn group(pgn: u32) -> Option<&'static Group> {
    GROUPS.binary_search_by_key(&pgn, |known| known.pgn).ok().map(|place| &GROUPS[place])
}

/// Unix time \[s\] by system time (126992) or time and date (129033): days, and 0.1 ms of the day.
pub(super) fn read_time(pgn: u32, message: &[u8]) -> Option<f64> {
    let first = match pgn {
        126_992 => 2,
        129_033 => 0,
        _ => return None,
    };
    let days = u16::from_le_bytes(message.get(first..first + 2)?.try_into().ok()?);
    let tenths = u32::from_le_bytes(message.get(first + 2..first + 6)?.try_into().ok()?);
    let second = f64::from(tenths) * 1e-4;
    (days < u16::MAX - 1 && second < DAY_S + 1.0).then(|| f64::from(days) * DAY_S + second)
}
