//! Whether she stands on her keel's foot or tips on nose or stern. Not for: leaning to a wall, legs.

/// How she stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// Her weight is well within the foot.
    On,
    /// Her weight is near or before its fore end.
    TipsOnNose,
    /// Near or behind its after end.
    TipsOnStern,
}

/// Part of the foot at either end in which she is not said to stand: common practice, no source.
const END_SHARE: f64 = 0.1;

/// How she stands on a foot from `fore_m` to `aft_m` with her weight at `weight_m`, all aft of one point.
///
/// On: `fore + 0.1 L < x < aft - 0.1 L` with L the foot's length. Afloat in trim the weight stands over the centre of
/// buoyancy.
/// # Source
/// Statics; the tenth is common practice, no source.
/// # Valid for
/// Nobody at her ends, level hard ground.
/// # Accuracy
/// That of the three lengths.
/// # Errors
/// None.
/// # Example
/// A foot from 3 to 5 m with the weight at 3.1 m, within a tenth of 2 m from its fore end:
/// ```
/// use wakewright_core::drying_out::foot::{Stands, stands};
/// assert_eq!(stands((3.0, 5.0), 3.1), Stands::TipsOnNose);
/// assert_eq!(stands((3.0, 5.0), 4.0), Stands::On);
/// ```
#[must_use]
pub fn stands((fore_m, aft_m): (f64, f64), weight_m: f64) -> Stands {
    let end_m = END_SHARE * (aft_m - fore_m);
    match weight_m {
        x if x <= fore_m + end_m => Stands::TipsOnNose,
        x if x >= aft_m - end_m => Stands::TipsOnStern,
        _ => Stands::On,
    }
}
