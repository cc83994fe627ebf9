//! A log in memory: channels of times and values, what was counted, what could not be used. Built
//! sample by sample with bounded memory.
//! Not for: the formats that it comes from.

use std::collections::{BTreeMap, HashMap};
use std::fmt;

use super::bad::{BadKind, BadLines};
use super::line::Line;
use super::measured::Measured;
use super::notice::LogNotice;

/// Samples that are kept over all channels; beyond, every channel is thinned by half. 96 MB.
const MOST_SAMPLES: usize = 6_000_000;
/// Channels that are kept; a log of a boat has a few dozen.
const MOST_CHANNELS: usize = 512;
/// Names of messages that are counted apart.
const MOST_NAMES: usize = 512;
/// Samples before the first clock reading that are set to it; more than these are left out.
const EARLY_KEPT: usize = 200;
/// A clock that goes back by more is noticed \[s\]: sentences of one second come in any order.
const BACKWARD_S: f64 = 1.5;
/// A clock that leaps by more is noticed \[s\].
const LEAP_S: f64 = 300.0;

/// What the times of a log count from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum TimeBase {
    /// Unix time, UTC.
    #[default]
    Utc,
    /// Seconds of the day; the log never says which day.
    TimeOfDay,
    /// Seconds from some start.
    Elapsed,
    /// The log has no clock: times are line numbers, only the order is known.
    Lines,
}

/// Where a channel comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Source {
    /// NMEA 0183: talker, formatter, and the first letters of a transducer's name or a number.
    Sentence {
        /// Two characters.
        talker: [u8; 2],
        /// Three characters.
        formatter: [u8; 3],
        /// Name or number within the sentence, zeros when there is none.
        name: [u8; 8],
    },
    /// NMEA 2000.
    Bus {
        /// Address of the sender.
        address: u8,
        /// Parameter group.
        pgn: u32,
        /// Instance within the message.
        instance: u8,
        /// Which of several buses in one dump, in the order in which they speak: 0 for the first.
        network: u8,
    },
    /// Column of a table, from 0.
    Column(u16),
    /// A name of its own, cut to so many bytes, zeros behind it.
    Named([u8; 64]),
    /// Points of a track.
    Track,
    /// Computed from other channels of the log.
    Derived,
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).trim_end_matches('\0').to_owned();
        match self {
            Self::Sentence { talker, formatter, name } => {
                write!(f, "{}{}", text(talker), text(formatter))?;
                if name[0] != 0 { write!(f, " {}", text(name)) } else { Ok(()) }
            }
            Self::Bus { address, pgn, instance, network } => {
                write!(f, "{pgn}/{address}")?;
                if *instance > 0 {
                    write!(f, " no.{instance}")?;
                }
                if *network > 0 { write!(f, " bus {}", network + 1) } else { Ok(()) }
            }
            Self::Column(index) => write!(f, "column {}", index + 1),
            Self::Named(name) => f.write_str(&text(name)),
            Self::Track => write!(f, "track"),
            Self::Derived => write!(f, "computed"),
        }
    }
}

impl Source {
    /// A talker that is no receiver of satellites, for what a receiver tells as well.
    pub(super) fn is_second(&self) -> bool {
        matches!(self, Self::Sentence { talker, .. } if talker[0] != b'G')
    }

    /// The source of this name.
    pub(super) fn named(name: &str) -> Self {
        let mut bytes = [0; 64];
        let mut end = name.len().min(64);
        while !name.is_char_boundary(end) {
            end -= 1;
        }
        bytes[..end].copy_from_slice(&name.as_bytes()[..end]);
        Self::Named(bytes)
    }
}

/// One measured quantity from one source.
#[derive(Debug, Clone, PartialEq)]
pub struct Channel {
    /// What.
    pub measured: Measured,
    /// From where.
    pub source: Source,
    /// When, on the log's [`TimeBase`] \[s\]; as they came, so not always rising.
    pub times_s: Vec<f64>,
    /// SI values.
    pub values: Vec<f64>,
    /// Samples as they came; more than `values` when the log was thinned.
    pub count: u64,
    /// Reading turned the sign by itself, of a log without columns to remember it by.
    pub is_turned: bool,
}

impl Channel {
    /// Its name among the channels of a trial: `voltage/column 3`.
    #[must_use]
    pub fn key(&self) -> String {
        channel_key(self.measured, self.source)
    }
}

/// Name of the channel of `measured` from `source`.
#[must_use]
pub fn channel_key(measured: Measured, source: Source) -> String {
    format!("{}/{source}", measured.word())
}

/// A log that has been read.
#[derive(Debug, Clone, PartialEq)]
pub struct Log {
    /// What times count from.
    pub time_base: TimeBase,
    /// Channels, by what they measure and source.
    pub channels: Vec<Channel>,
    /// Channels that were read and are not used: those of batteries that are not the drive's.
    pub set_aside: Vec<Channel>,
    /// Lines, rows or points.
    pub lines: u64,
    /// Lines that are remarks of whoever kept the log.
    pub remarks: u64,
    /// Messages by name (`VHW`, `127488`), used or not.
    pub messages: BTreeMap<String, u64>,
    /// What could not be used.
    pub bad: BTreeMap<BadKind, BadLines>,
    /// What to read before the figures are used.
    pub notices: Vec<LogNotice>,
}

impl Log {
    /// First and last time over all channels; `None` when there are no samples.
    #[must_use]
    pub fn span_s(&self) -> Option<(f64, f64)> {
        let times = self.channels.iter().flat_map(|c| c.times_s.iter().copied());
        times.fold(None, |span, t| Some(span.map_or((t, t), |(a, b): (f64, f64)| (a.min(t), b.max(t)))))
    }

    /// Channels of one quantity.
    pub fn of(&self, measured: Measured) -> impl Iterator<Item = &Channel> {
        self.channels.iter().filter(move |channel| channel.measured == measured)
    }

    /// Messages that were counted, by name; 0 when there were none.
    #[must_use]
    pub fn message_count(&self, name: &str) -> u64 {
        self.messages.get(name).copied().unwrap_or(0)
    }

    /// Lines of a bad kind.
    #[must_use]
    pub fn bad_count(&self, kind: BadKind) -> u64 {
        self.bad.get(&kind).map_or(0, |lines| lines.count)
    }
}

/// Puts a log together.
#[derive(Debug)]
pub(super) struct Builder {
    time_base: TimeBase,
    channels: Vec<Channel>,
    places: HashMap<(Measured, Source), usize>,
    names: HashMap<[u8; 8], u64>,
    bad: BTreeMap<BadKind, BadLines>,
    now_s: Option<f64>,
    /// Samples kept, over all channels.
    kept: usize,
    /// Of each this many successive samples are made one.
    thinned_by: u32,
    early: usize,
    backward: BadLines,
    leaps: BadLines,
    dropped_early: usize,
    pub line: u64,
    pub remarks: u64,
    pub notices: Vec<LogNotice>,
}

impl Builder {
    pub fn new() -> Self {
        Self {
            time_base: TimeBase::Lines,
            channels: Vec::new(),
            places: HashMap::new(),
            names: HashMap::new(),
            bad: BTreeMap::new(),
            now_s: None,
            kept: 0,
            thinned_by: 1,
            early: 0,
            backward: BadLines::default(),
            leaps: BadLines::default(),
            dropped_early: 0,
            line: 0,
            remarks: 0,
            notices: Vec::new(),
        }
    }

    /// Counts a line or value that cannot be used.
    pub fn bad(&mut self, kind: BadKind) {
        self.bad.entry(kind).or_default().note(self.line);
    }

    /// The line's bytes, after counting one that is too long, `None` for it.
    pub fn whole<'a>(&mut self, line: Line<'a>) -> Option<&'a [u8]> {
        match line {
            Line::Whole(bytes) => Some(bytes),
            Line::TooLong(_) => {
                self.bad(BadKind::TooLong);
                None
            }
        }
    }

    /// Counts a message of this name (eight bytes at most).
    pub fn message(&mut self, name: &[u8]) {
        let mut key = [0; 8];
        let length = name.len().min(8);
        key[..length].copy_from_slice(&name[..length]);
        if let Some(count) = self.names.get_mut(&key) {
            *count += 1;
        } else if self.names.len() < MOST_NAMES {
            self.names.insert(key, 1);
        } else {
            *self.names.entry(*b"others\0\0").or_insert(0) += 1;
        }
    }

    /// The clock now shows `time_s` on `base`.
    pub fn set_time(&mut self, base: TimeBase, time_s: f64) {
        if let Some(before) = self.now_s {
            if self.time_base == base {
                if time_s < before - BACKWARD_S {
                    self.backward.note(self.line);
                } else if time_s > before + LEAP_S {
                    self.leaps.note(self.line);
                }
            }
        } else {
            self.place_early(time_s);
        }
        self.time_base = base;
        self.now_s = Some(time_s);
    }

    /// Does something while the clock shows another time.
    pub fn at(&mut self, time_s: f64, what: impl FnOnce(&mut Self)) {
        let before = self.now_s.replace(time_s);
        what(self);
        self.now_s = before;
    }

    /// The day has become known: all times so far are moved to it.
    pub fn rebase(&mut self, base: TimeBase, offset_s: f64) {
        for channel in &mut self.channels {
            for time in &mut channel.times_s {
                *time += offset_s;
            }
        }
        self.now_s = self.now_s.map(|now| now + offset_s);
        self.time_base = base;
    }

    /// Samples that came before the clock was known.
    fn place_early(&mut self, time_s: f64) {
        let is_short = self.early <= EARLY_KEPT;
        self.dropped_early = if is_short { 0 } else { self.early };
        for channel in &mut self.channels {
            if is_short {
                channel.times_s.fill(time_s);
            } else {
                channel.times_s.clear();
                channel.values.clear();
                channel.count = 0;
            }
        }
        if !is_short {
            self.kept = 0;
        }
    }

    /// Adds a sample at the clock's time.
    pub fn push(&mut self, measured: Measured, source: Source, value: f64) {
        let value = measured.normal(value);
        let (low, high) = measured.possible();
        if !(low..=high).contains(&value) {
            self.bad(BadKind::Impossible);
            return;
        }
        // A few are found sooner one by one than by a hash.
        const FEW: usize = 12;
        let known = if self.channels.len() <= FEW {
            self.channels.iter().position(|channel| (channel.measured, channel.source) == (measured, source))
        } else {
            self.places.get(&(measured, source)).copied()
        };
        let place = match known {
            Some(place) => place,
            None if self.channels.len() < MOST_CHANNELS => {
                let place = self.channels.len();
                self.places.insert((measured, source), place);
                self.channels.push(Channel {
                    measured,
                    source,
                    times_s: Vec::new(),
                    values: Vec::new(),
                    count: 0,
                    is_turned: false,
                });
                place
            }
            None => {
                self.bad(BadKind::TooManyChannels);
                return;
            }
        };
        let time_s = self.now_s.unwrap_or(self.line as f64);
        self.early += usize::from(self.now_s.is_none());
        let channel = &mut self.channels[place];
        channel.count += 1;
        // Of a thinned log every n-th sample is kept: means across a jump of the clock would lie.
        if self.thinned_by > 1 && !channel.count.is_multiple_of(u64::from(self.thinned_by)) {
            return;
        }
        channel.times_s.push(time_s);
        channel.values.push(value);
        self.kept += 1;
        if self.kept > MOST_SAMPLES {
            self.thin();
        }
    }

    fn thin(&mut self) {
        self.thinned_by *= 2;
        for channel in &mut self.channels {
            let mut is_kept = false;
            channel.times_s.retain(|_| {
                is_kept = !is_kept;
                is_kept
            });
            is_kept = false;
            channel.values.retain(|_| {
                is_kept = !is_kept;
                is_kept
            });
            channel.times_s.shrink_to_fit();
            channel.values.shrink_to_fit();
        }
        self.kept = self.channels.iter().map(|channel| channel.values.len()).sum();
    }

    /// True where the times of every channel fall all along, as where a list shows the newest first.
    fn is_newest_first(&self) -> bool {
        self.time_base != TimeBase::Lines
            && self.channels.iter().any(|channel| channel.times_s.len() > 2)
            && self.channels.iter().all(|channel| {
                channel.times_s.windows(2).all(|two| two[1] <= two[0])
                    && (channel.times_s.len() < 2
                        || channel.times_s[channel.times_s.len() - 1] < channel.times_s[0])
            })
    }

    /// The log, after `lines` lines.
    pub fn finish(mut self, lines: u64) -> Log {
        self.channels.retain(|channel| !channel.values.is_empty());
        self.channels.sort_by_key(|channel| (channel.measured, channel.source));
        let mut notices = Vec::new();
        let has_samples = !self.channels.is_empty();
        match self.time_base {
            TimeBase::Lines if has_samples => notices.push(LogNotice::NoClock),
            TimeBase::TimeOfDay if has_samples => notices.push(LogNotice::NoDate),
            TimeBase::Elapsed if has_samples => notices.push(LogNotice::ElapsedOnly),
            _ => {}
        }
        if self.is_newest_first() {
            for channel in &mut self.channels {
                channel.times_s.reverse();
                channel.values.reverse();
            }
            notices.push(LogNotice::LeftOut(
                "The newest row stands first: it was read from its end on.".to_owned(),
            ));
            self.backward = BadLines::default();
            self.leaps = BadLines::default();
        }
        if self.backward.count > 0 {
            notices.push(LogNotice::ClockGoesBack(self.backward));
        }
        if self.leaps.count > 0 {
            notices.push(LogNotice::ClockLeaps(self.leaps));
        }
        if self.dropped_early > 0 {
            notices.push(LogNotice::BeforeTheClock { samples: self.dropped_early });
        }
        if self.thinned_by > 1 {
            notices.push(LogNotice::Thinned { by: self.thinned_by });
        }
        notices.append(&mut self.notices);
        let messages = self
            .names
            .iter()
            .map(|(name, count)| {
                let end = name.iter().position(|b| *b == 0).unwrap_or(name.len());
                (String::from_utf8_lossy(&name[..end]).into_owned(), *count)
            })
            .collect();
        Log {
            time_base: self.time_base,
            channels: self.channels,
            set_aside: Vec::new(),
            lines,
            remarks: self.remarks,
            messages,
            bad: self.bad,
            notices,
        }
    }
}
