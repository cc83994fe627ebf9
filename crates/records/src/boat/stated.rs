//! The grammar of a stated number: `5.4 t`, `5.4 t ± 0.3 t`, `~5.4 t`, `5.4 t ± 5 %, assumed`.
//!
//! `±` (also `+/-` and `+-`) is the 80 % band: four times in five the truth lies inside. Where the
//! value itself is written in %, the band counts in the same points. Unmarked means measured, of what cannot be measured chosen.

use super::descriptor::Field;
use wakewright_core::spread::Spread;
use wakewright_units::{
    Quantity, ReadQuantity, UnitError, both_readings, may_have_two_readings, nearest, parse_interval,
    read_interval, read_quantity,
};

/// Where a value comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Origin {
    /// Read off a tape or an instrument, or counted.
    Measured,
    /// From a plate, a drawing or a paper.
    Plate,
    /// Set or decided, not found: a reserve, a wind, a limit.
    Chosen,
    /// Assumed by whoever wrote the document, or the usual value of the field.
    Assumed,
}

impl Origin {
    /// All of them, surest first.
    pub const ALL: [Self; 4] = [Self::Measured, Self::Plate, Self::Chosen, Self::Assumed];

    /// Its mark behind the comma of a value.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Plate => "plate",
            Self::Chosen => "chosen",
            Self::Assumed => "assumed",
        }
    }

    /// The mark that is written so.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|origin| origin.word().eq_ignore_ascii_case(word))
    }

    /// In words, for who picks one.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Plate => "plate or paper",
            Self::Chosen => "chosen",
            Self::Assumed => "assumed",
        }
    }
}

/// A number of the document.
#[derive(Debug, Clone, PartialEq)]
pub struct Stated {
    /// Value in SI; a whole number as it is.
    pub value_si: f64,
    /// Where it comes from.
    pub origin: Origin,
    /// How sure it is.
    pub spread: Spread,
    /// As typed.
    pub text: String,
    /// Line in the document, from 1; `None` when the usual value stands in for it.
    pub line: Option<usize>,
}

/// Why a stated number could not be read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum GrammarError {
    /// The quantity itself.
    #[error(transparent)]
    Quantity(#[from] UnitError),
    /// The part behind `±`.
    #[error("the band behind ± cannot be read: {0}")]
    Band(UnitError),
    /// A band below nothing.
    #[error(
        "the band behind ± is negative. Write how far the truth may lie on either side, four times in five"
    )]
    NegativeBand,
    /// A band that leaves nothing of the field's limits out.
    #[error(
        "the band behind ± is wider than all that {label} can be, and says nothing. Write how far the truth may lie on either side, four times in five"
    )]
    WideBand {
        /// The field.
        label: &'static str,
    },
    /// More than one `±`.
    #[error("± stands more than once. Write one band, like 5.4 t ± 0.3 t")]
    TwoBands,
    /// The word behind the comma.
    #[error("\"{word}\" is no mark. Write measured, plate, chosen or assumed behind the comma{}", suggestion.map(|s| format!("; did you mean {s}?")).unwrap_or_default())]
    UnknownMark {
        /// As typed.
        word: String,
        /// Which mark was meant.
        suggestion: Option<&'static str>,
    },
    /// `~` and another mark together.
    #[error("~ means assumed, but another mark is written behind it. Keep one of the two")]
    MarksContradict,
}

/// A text without its marks, and what the marks say.
///
/// # Errors
/// [`GrammarError`] for a word behind the comma that is no mark, or marks that contradict.
pub fn split_marks(text: &str) -> Result<(&str, Option<Origin>), GrammarError> {
    let text = text.trim();
    let (text, is_rough) = text.strip_prefix('~').map_or((text, false), |rest| (rest.trim_start(), true));
    let rough = is_rough.then_some(Origin::Assumed);
    let Some((value, word)) = text.rsplit_once(',') else { return Ok((text, rough)) };
    let word = word.trim();
    if !word.starts_with(char::is_alphabetic) {
        return Ok((text, rough));
    }
    match Origin::of_word(word) {
        Some(Origin::Measured | Origin::Plate | Origin::Chosen) if is_rough => {
            Err(GrammarError::MarksContradict)
        }
        Some(origin) => Ok((value.trim_end(), Some(origin))),
        None => Err(GrammarError::UnknownMark {
            word: word.to_owned(),
            suggestion: nearest(word, Origin::ALL.map(Origin::word)),
        }),
    }
}

/// Reads the number stated in `text` for `field`, which must be one with a `quantity`.
///
/// # Errors
/// [`GrammarError`] that says what was read and what to write.
pub fn read_stated(text: &str, field: &Field, quantity: Quantity) -> Result<Stated, GrammarError> {
    let (unmarked, origin) = split_marks(text)?;
    let origin = origin.unwrap_or_else(|| field.usual_origin());
    let plain = with_one_sign(unmarked);
    let (value_text, band_text) = split_band(&plain)?;
    let read = read_quantity(value_text, quantity)?;
    let spread = match band_text {
        Some(band) => stated_band(band, &read, field, quantity)?,
        None => usual_band(field, origin, read.si),
    };
    Ok(Stated { value_si: read.si, origin, spread, text: text.to_owned(), line: None })
}

/// Both ways to write `text` that have one reading, where its value or its band has two that `field`
/// allows: `12.500 mm` as `12.5 mm` and `12500 mm`.
pub(crate) fn two_readings(text: &str, field: &Field) -> Option<[String; 2]> {
    let quantity = field.quantity().filter(|_| may_have_two_readings(text))?;
    let (unmarked, _) = split_marks(text).ok()?;
    let plain = with_one_sign(unmarked);
    let (value_text, band_text) = split_band(&plain).ok()?;
    let read = read_quantity(value_text, quantity).ok()?;
    let limits = field.possible.unwrap_or((f64::NEG_INFINITY, f64::INFINITY));
    if read.doubt_within(limits).is_some() {
        return Some(both_readings(text));
    }
    let band = band_text?;
    let (read_band, widest) = match percent_of(band, &read) {
        Some(percent) => (read_quantity(&format!("{percent} %"), Quantity::Share).ok()?, 1.0),
        None => (read_interval(band, quantity, read.unit).ok()?, limits.1 - limits.0),
    };
    read_band.doubt_within((0.0, widest))?;
    // The value itself is certain, so the band holds the number that is not.
    let (before, behind) = text.split_at(text.rfind(band)?);
    Some(both_readings(behind).map(|reading| format!("{before}{reading}")))
}

fn with_one_sign(text: &str) -> String {
    text.replace("+/-", "±").replace("+-", "±")
}

/// The value and what stands behind its one `±`.
fn split_band(text: &str) -> Result<(&str, Option<&str>), GrammarError> {
    let mut parts = text.split('±');
    let value = parts.next().unwrap_or_default();
    let band = parts.next().map(str::trim);
    if parts.next().is_some() { Err(GrammarError::TwoBands) } else { Ok((value, band)) }
}

/// `5` of a band of `5 %`, unless the value is itself in points.
fn percent_of<'a>(band: &'a str, read: &ReadQuantity) -> Option<&'a str> {
    band.strip_suffix('%').filter(|_| read.unit.symbol() != "%").map(str::trim)
}

/// The band that the field's descriptor gives a value of this origin.
pub(crate) fn usual_band(field: &Field, origin: Origin, value_si: f64) -> Spread {
    match origin {
        Origin::Measured | Origin::Plate | Origin::Chosen => field.spread_measured.around(value_si),
        Origin::Assumed => field.spread_assumed.around(value_si),
    }
}

fn stated_band(
    band: &str,
    read: &ReadQuantity,
    field: &Field,
    quantity: Quantity,
) -> Result<Spread, GrammarError> {
    let (half_width, relative) = match percent_of(band, read) {
        Some(percent) => {
            let share =
                read_quantity(&format!("{percent} %"), Quantity::Share).map_err(GrammarError::Band)?.si;
            (share * read.si.abs(), Some(share))
        }
        None => (parse_interval(band, quantity, read.unit).map_err(GrammarError::Band)?, None),
    };
    if half_width < 0.0 || relative.is_some_and(|share| share < 0.0) {
        return Err(GrammarError::NegativeBand);
    }
    if field.possible.is_some_and(|(low, high)| half_width > (high - low) * (1.0 + 1e-9)) {
        return Err(GrammarError::WideBand { label: field.label });
    }
    Ok(match relative {
        _ if half_width == 0.0 => Spread::exact(read.si),
        Some(share) if read.si > 0.0 => Spread::relative(read.si, share),
        _ => Spread::absolute(read.si, half_width),
    })
}
