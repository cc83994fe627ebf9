//! What leads from one propeller to another: a shop's work on the one she has, or a new one. Not for:
//! what it costs.

use super::Propeller;
use crate::sheet::{Figure, Origin, Word};

/// What happens to the propeller, as a figure of sheets.
pub static CHANGE_OF_PROPELLER: Figure =
    Figure::plain("propeller_change", "propeller", "what is done to the propeller", Origin::Asked);

/// Largest change of pitch that a propeller shop makes to a propeller \[m\]: an inch or two. Common
/// practice, no source.
pub const REPITCH_AT_MOST_M: f64 = 2.0 * wakewright_units::factors::INCH_M;

/// What happens to the propeller.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PropellerChange {
    /// Stays.
    None,
    /// The same propeller, its pitch changed by a shop.
    Repitch,
    /// Another propeller.
    New,
}

impl PropellerChange {
    /// Its stable name, and what it is called.
    #[must_use]
    pub const fn word(self) -> Word {
        let (key, words) = match self {
            Self::None => ("none", "as it is"),
            Self::Repitch => ("repitch", "re-pitched"),
            Self::New => ("new", "new"),
        };
        Word { key, words }
    }

    /// From `present` to `wanted`.
    #[must_use]
    pub fn between(present: &Propeller, wanted: &Propeller) -> Self {
        // A hundredth of a millimetre for the rounding of inches.
        let near = |a: f64, b: f64| (a - b).abs() < 1e-5;
        let is_same_blank = present.pattern == wanted.pattern
            && present.blades == wanted.blades
            && near(present.area_ratio, wanted.area_ratio)
            && near(present.diameter_m, wanted.diameter_m);
        let by_m = (present.pitch_m - wanted.pitch_m).abs();
        if is_same_blank && by_m < 1e-5 {
            Self::None
        } else if is_same_blank && !wanted.pattern.is_stowed_under_sail() && by_m < REPITCH_AT_MOST_M + 1e-5 {
            Self::Repitch
        } else {
            Self::New
        }
    }
}
