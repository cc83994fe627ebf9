//! From results to pictures: what a study found, turned into the description of a picture in the
//! reader's units and words. The page, `draw` and the printed report use the same ones.
//! Not for: drawing (`picture`), computing.

mod ladder;
mod options;
mod range;
mod resistance;
mod sail;
mod torque;
mod trial_band;
mod trial_strip;

pub use ladder::ladder_picture;
pub use options::shaft_power_picture;
pub use range::range_picture;
pub use resistance::resistance_picture;
pub use sail::{sail_drag_picture, sail_power_picture};
pub use torque::{Overlay, TorqueScene, TorqueSheet, torque_picture};
pub use trial_band::{MOST_NAMED, power_on_band, speed_on_band};
pub use trial_strip::{StripLog, StripRun, StripSeries, trial_strip};

/// The next round number at or above `value`, in steps that a reader counts in.
pub(crate) fn round_up(value: f64) -> f64 {
    let magnitude = 10_f64.powf(value.max(1e-9).log10().floor());
    let steps = [1.0, 1.2, 1.4, 1.6, 1.8, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0];
    let found = steps.into_iter().find(|step| step * magnitude >= value * (1.0 - 1e-9));
    found.unwrap_or(10.0) * magnitude
}

#[cfg(test)]
mod tests {
    use super::round_up;

    #[test]
    fn axes_end_on_round_numbers() {
        assert_eq!(round_up(1190.0), 1200.0);
        assert_eq!(round_up(1200.0), 1200.0);
        assert_eq!(round_up(41.0), 50.0);
        assert!(round_up(0.0) > 0.0);
    }
}
