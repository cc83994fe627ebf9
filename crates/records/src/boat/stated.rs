//! The grammar of a stated number: `5.4 t`, `5.4 t ± 0.3 t`, `~5.4 t`, `5.4 t ± 5 %, assumed`.
//!
//! `±` (also `+/-` and `+-`) is the 80 % band: four times in five the truth lies inside. Where the
//! value itself is written in %, the band counts in the same points. Unmarked means measured.

use super::descriptor::Field;
use wakewright_core::spread::Spread;
use wakewright_units::{Quantity, UnitError, nearest, parse_interval, read_quantity};

/// Where a value comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Origin {
    /// Read off a tape, an instrument or a plate.
    Measured,
    /// Assumed by whoever wrote the document, or the usual value of the field.
    Assumed,
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
    /// More than one `±`.
    #[error("± stands more than once. Write one band, like 5.4 t ± 0.3 t")]
    TwoBands,
    /// The word behind the comma.
    #[error("\"{word}\" is no mark. Write measured or assumed behind the comma{}", suggestion.map(|s| format!("; did you mean {s}?")).unwrap_or_default())]
    UnknownMark {
        /// As typed.
        word: String,
        /// Which mark was meant.
        suggestion: Option<&'static str>,
    },
    /// `~` and `measured` together.
    #[error("~ means assumed, but measured is written behind it. Keep one of the two")]
    MarksContradict,
}

const MARKS: [(&str, Origin); 2] = [("measured", Origin::Measured), ("assumed", Origin::Assumed)];

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
    match MARKS.iter().find(|(mark, _)| mark.eq_ignore_ascii_case(word)) {
        Some((_, Origin::Measured)) if is_rough => Err(GrammarError::MarksContradict),
        Some((_, origin)) => Ok((value.trim_end(), Some(*origin))),
        None => Err(GrammarError::UnknownMark {
            word: word.to_owned(),
            suggestion: nearest(word, MARKS.iter().map(|(mark, _)| *mark)),
        }),
    }
}

/// Reads the number stated in `text` for `field`, which must be one with a `quantity`.
///
/// # Errors
/// [`GrammarError`] that says what was read and what to write.
pub fn read_stated(text: &str, field: &Field, quantity: Quantity) -> Result<Stated, GrammarError> {
    let (unmarked, origin) = split_marks(text)?;
    let origin = origin.unwrap_or(Origin::Measured);
    let plain = unmarked.replace("+/-", "±").replace("+-", "±");
    let mut parts = plain.split('±');
    let value_text = parts.next().unwrap_or_default();
    let band_text = parts.next();
    if parts.next().is_some() {
        return Err(GrammarError::TwoBands);
    }
    let read = read_quantity(value_text, quantity)?;
    let spread = match band_text {
        Some(band) => stated_band(band.trim(), &read, quantity)?,
        None => usual_band(field, origin, read.si),
    };
    Ok(Stated { value_si: read.si, origin, spread, text: text.to_owned(), line: None })
}

/// The band that the field's descriptor gives a value of this origin.
pub(crate) fn usual_band(field: &Field, origin: Origin, value_si: f64) -> Spread {
    match origin {
        Origin::Measured => field.spread_measured.around(value_si),
        Origin::Assumed => field.spread_assumed.around(value_si),
    }
}

fn stated_band(
    band: &str,
    read: &wakewright_units::ReadQuantity,
    quantity: Quantity,
) -> Result<Spread, GrammarError> {
    let in_points = read.unit.symbol() == "%";
    if let Some(percent) = band.strip_suffix('%').filter(|_| !in_points) {
        let fraction =
            read_quantity(&format!("{} %", percent.trim()), Quantity::Share).map_err(GrammarError::Band)?.si;
        return match fraction {
            f if f < 0.0 => Err(GrammarError::NegativeBand),
            f if f == 0.0 || read.si == 0.0 => Ok(Spread::exact(read.si)),
            f if read.si < 0.0 => Ok(Spread::absolute(read.si, f * read.si.abs())),
            f => Ok(Spread::relative(read.si, f)),
        };
    }
    let half_width = parse_interval(band, quantity, read.unit).map_err(GrammarError::Band)?;
    if half_width < 0.0 {
        return Err(GrammarError::NegativeBand);
    }
    Ok(if half_width == 0.0 { Spread::exact(read.si) } else { Spread::absolute(read.si, half_width) })
}
