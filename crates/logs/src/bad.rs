//! Lines and values that cannot be used, by kind, with the first line numbers of each.
//! Not for: what was read and looks odd (`LogNotice`).

/// Line numbers that are kept for each kind.
const LINES_KEPT: usize = 8;

/// Why a line or a value could not be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum BadKind {
    /// Not a sentence, frame, row or element.
    NotUnderstood,
    /// Longer than any line of a log.
    TooLong,
    /// A sentence without checksum.
    NoChecksum,
    /// A sentence whose checksum is wrong.
    WrongChecksum,
    /// Fewer fields than the sentence has.
    TooFewFields,
    /// A field that should be a number or a time and is not.
    BadField,
    /// A frame shorter than its message.
    ShortFrame,
    /// Parts of a long bus message missing or out of order.
    BrokenMessage,
    /// A row with another number of columns.
    BadRow,
    /// A row without a time.
    BadTime,
    /// A value that cannot be.
    Impossible,
    /// The file breaks off or is not well formed from here.
    BrokenOff,
    /// More channels than are kept.
    TooManyChannels,
}

impl BadKind {
    /// In words.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::NotUnderstood => "not understood",
            Self::TooLong => "longer than any line of a log",
            Self::NoChecksum => "no checksum, not used",
            Self::WrongChecksum => "wrong checksum, not used",
            Self::TooFewFields => "fields missing",
            Self::BadField => "a field is no number",
            Self::ShortFrame => "frame too short",
            Self::BrokenMessage => "parts of a long message missing",
            Self::BadRow => "other number of columns",
            Self::BadTime => "no time that can be read",
            Self::Impossible => "values that cannot be, left out",
            Self::BrokenOff => "broken off here",
            Self::TooManyChannels => "more sources than are kept",
        }
    }

    /// For machines.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::NotUnderstood => "not-understood",
            Self::TooLong => "too-long",
            Self::NoChecksum => "no-checksum",
            Self::WrongChecksum => "wrong-checksum",
            Self::TooFewFields => "too-few-fields",
            Self::BadField => "bad-field",
            Self::ShortFrame => "short-frame",
            Self::BrokenMessage => "broken-message",
            Self::BadRow => "bad-row",
            Self::BadTime => "bad-time",
            Self::Impossible => "impossible",
            Self::BrokenOff => "broken-off",
            Self::TooManyChannels => "too-many-channels",
        }
    }
}

/// Lines of one bad kind.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct BadLines {
    /// How many.
    pub count: u64,
    /// Line numbers of the first few.
    pub first: Vec<u64>,
}

impl BadLines {
    /// Counts a line.
    pub(super) fn note(&mut self, line: u64) {
        self.count += 1;
        if self.first.len() < LINES_KEPT && self.first.last() != Some(&line) {
            self.first.push(line);
        }
    }
}
