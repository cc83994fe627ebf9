//! Touching, dry, wet and afloat at each low water, from the curve of the tide.
//! Not for: the probability of floating (`floats`).

use super::floats::LevelError;
use crate::tide::Water;

/// Standard deviates of the ends of an 80 % band.
const BAND_DEVIATE: f64 = 1.281_552;

/// A boat on her berth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Berth {
    /// Height of the ground above the datum \[m\]; drying heights are positive.
    pub ground_m: f64,
    /// Draught as measured, with what she sinks into the ground taken off by whoever asks \[m\].
    pub draught_m: f64,
    /// Height above the keel of what is worked on: 0 at its foot \[m\].
    pub work_above_keel_m: f64,
}

/// When the water passes a height: in the middle case, and when all stands at one end of the band or the other. None
/// where it does not pass at all in that case.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// With everything at its median \[s\].
    pub median_s: Option<f64>,
    /// With the water as low as in one case of ten \[s\].
    pub low_water_s: Option<f64>,
    /// With the water as high as in one case of ten \[s\].
    pub high_water_s: Option<f64>,
}

impl Moment {
    /// Earlier and later end of the band, where both cases have one \[s\].
    #[must_use]
    pub fn band_s(&self) -> Option<(f64, f64)> {
        let (a, b) = (self.low_water_s?, self.high_water_s?);
        Some((a.min(b), a.max(b)))
    }
}

/// One low water with what happens on the way down and up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// The high water on which she comes.
    pub high_before: Water,
    /// The low water.
    pub low: Water,
    /// The high water on which she may go.
    pub high_after: Water,
    /// She touches.
    pub touches: Moment,
    /// The water leaves what is worked on.
    pub dry: Moment,
    /// It is back there.
    pub wet: Moment,
    /// She floats.
    pub floats: Moment,
}

impl Berth {
    /// Height of the water at which she floats \[m\].
    #[must_use]
    pub fn floats_at_m(&self) -> f64 {
        self.ground_m + self.draught_m
    }
}

impl Standing {
    /// How long the work is dry in the middle case \[s\]; none where it does not fall dry or stays so.
    #[must_use]
    pub fn dry_s(&self) -> Option<f64> {
        Some(self.wet.median_s? - self.dry.median_s?)
    }
}

/// What happens at each low water of `waters` that has a high one on both sides.
///
/// `curve` gives heights of the tide as close together as its shape wants (two minutes are enough), over all waters;
/// between its points it is straight. The band is the curve raised and lowered by 1.28 of the standard deviations that `error` has half
/// way down or up: soon after a landing less than later.
#[must_use]
pub fn standings(curve: &[(f64, f64)], waters: &[Water], berth: &Berth, error: &LevelError) -> Vec<Standing> {
    let of = |three: &[Water]| {
        let [high_before, low, high_after] = three else { return None };
        if low.is_high || !high_before.is_high || !high_after.is_high {
            return None;
        }
        let within = |from: &Water, to: &Water| {
            let first = curve.partition_point(|point| point.0 < from.unix_s);
            let last = curve.partition_point(|point| point.0 <= to.unix_s);
            &curve[first..last.max(first)]
        };
        let (down, up) = (within(high_before, low), within(low, high_after));
        let work_m = berth.ground_m + berth.work_above_keel_m;
        let moment = |part: &[(f64, f64)], height_m: f64, is_falling: bool| {
            let at = |raised_m: f64| passes(part, height_m - raised_m, is_falling);
            let middle_s = part.get(part.len() / 2).map_or(low.unix_s, |point| point.0);
            let off_m = BAND_DEVIATE * error.sd_at_m(middle_s);
            Moment { median_s: at(0.0), low_water_s: at(-off_m), high_water_s: at(off_m) }
        };
        Some(Standing {
            high_before: *high_before,
            low: *low,
            high_after: *high_after,
            touches: moment(down, berth.floats_at_m(), true),
            dry: moment(down, work_m, true),
            wet: moment(up, work_m, false),
            floats: moment(up, berth.floats_at_m(), false),
        })
    };
    waters.windows(3).filter_map(of).collect()
}

/// When straight lines between points pass a height for the first time on the way down, or on the way up.
fn passes(points: &[(f64, f64)], height_m: f64, is_falling: bool) -> Option<f64> {
    points.windows(2).find_map(|pair| {
        let [(t0, h0), (t1, h1)] = pair else { return None };
        let is_passed =
            if is_falling { *h0 >= height_m && *h1 < height_m } else { *h0 <= height_m && *h1 > height_m };
        is_passed.then(|| t0 + (t1 - t0) * (height_m - h0) / (h1 - h0))
    })
}
