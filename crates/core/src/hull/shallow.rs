//! What shallow water costs.
//! Not for: canals and locks (walls beside the boat), squat, grounding.

use crate::constants::GRAVITY_M_S2;

/// Blockage below which its term is left out.
const LEAST_BLOCKAGE: f64 = 0.05;
/// Blockage above which the term is an extrapolation (from memory of the chart's extent).
pub const HIGHEST_BLOCKAGE: f64 = 0.7;

/// Depth beyond which no correction is needed \[m\]: `max(3 sqrt(B T), 2.75 V^2/g)`. Source:
/// \[iso15016\], from memory.
#[must_use]
pub fn deep_enough_m(beam_m: f64, canoe_body_draught_m: f64, speed_m_s: f64) -> f64 {
    (3.0 * (beam_m * canoe_body_draught_m).sqrt()).max(2.75 * speed_m_s * speed_m_s / GRAVITY_M_S2)
}

/// Depth and section, ready for use at many speeds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShallowWater {
    /// Depth of the water \[m\].
    pub depth_m: f64,
    /// Area of the midship section under water \[m²\].
    pub midship_area_m2: f64,
}

impl ShallowWater {
    /// Midship area / depth squared.
    pub fn blockage(&self) -> f64 {
        self.midship_area_m2 / (self.depth_m * self.depth_m)
    }

    /// Loss, and its derivative by speed.
    /// # Accuracy
    /// Not published.
    /// # Example
    /// Schlichting's curve as quoted gives about 4 % at a depth Froude number of 0.8; the formula 4.3 %.
    /// ```
    /// # use wakewright_core::hull::shallow::ShallowWater;
    /// let water = ShallowWater { depth_m: 4.0, midship_area_m2: 0.0 };
    /// let speed = 0.8 * (9.80665_f64 * 4.0).sqrt();
    /// assert!((100.0 * water.loss_and_slope(speed).0 - 4.3).abs() < 0.05);
    /// ```
    pub fn loss_and_slope(&self, speed_m_s: f64) -> (f64, f64) {
        let blockage = self.blockage();
        let constant = if blockage >= LEAST_BLOCKAGE { 0.1242 * (blockage - LEAST_BLOCKAGE) } else { 0.0 };
        let argument = GRAVITY_M_S2 * self.depth_m / (speed_m_s * speed_m_s);
        // tanh is 1 to double precision from here on, and the argument is infinite at rest.
        if argument > 20.0 {
            return (constant, 0.0);
        }
        let tanh = argument.tanh();
        let root = tanh.sqrt();
        let slope = (1.0 - tanh * tanh) * argument / (root * speed_m_s);
        (constant + 1.0 - root, slope)
    }

    /// Speed in deep water with the resistance of `speed_m_s` here, and its derivative:
    /// `V / (1 - loss(V))`, the loss taken at the speed made here (it is small, and the difference
    /// is of second order).
    pub fn deep_speed_and_slope(&self, speed_m_s: f64) -> (f64, f64) {
        let (loss, slope) = self.loss_and_slope(speed_m_s);
        let kept = 1.0 - loss;
        (speed_m_s / kept, (kept + speed_m_s * slope) / (kept * kept))
    }

    /// Speed at which the depth Froude number is 1 \[m/s\].
    pub fn critical_speed_m_s(&self) -> f64 {
        (GRAVITY_M_S2 * self.depth_m).sqrt()
    }
}
