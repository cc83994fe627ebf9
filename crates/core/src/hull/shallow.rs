//! What shallow water costs.
//! Not for: the banks of a canal (see `confined`), squat, grounding.

use super::confined::Canal;
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
    /// Banks, with density x share of the level's pressure that is lost.
    pub banks: Option<(Canal, f64)>,
}

impl ShallowWater {
    /// Midship area / depth squared.
    pub fn blockage(&self) -> f64 {
        self.midship_area_m2 / (self.depth_m * self.depth_m)
    }

    fn blockage_loss(&self) -> f64 {
        0.1242 * (self.blockage() - LEAST_BLOCKAGE).max(0.0)
    }

    /// Wave speed kept at this depth as a share of that in deep water, and its derivative by speed.
    fn wave_and_slope(&self, speed_m_s: f64) -> (f64, f64) {
        let argument = GRAVITY_M_S2 * self.depth_m / (speed_m_s * speed_m_s);
        // tanh is 1 to double precision from here on, and the argument is infinite at rest.
        if argument > 20.0 {
            return (1.0, 0.0);
        }
        let tanh = argument.tanh();
        let root = tanh.sqrt();
        (root, -(1.0 - tanh * tanh) * argument / (root * speed_m_s))
    }

    /// Loss of speed to open shallow water at the same thrust, and its derivative by speed: the boat that makes `V` in
    /// deep water makes `V (1 - loss)` here.
    ///
    /// `0.1242 (Am/h^2 - 0.05) + 1 - sqrt(tanh(g h/V^2))`, first term only where `Am/h^2 >= 0.05`, Am = midship area,
    /// h = depth.
    /// # Source
    /// \[lackenby1963\], from memory; the wave part (0.4, 4.3, 12.7 % at depth Froude number 0.6, 0.8, 1.0) agrees with
    /// a published note that quotes 1, 4 and 14 % for Schlichting's method.
    /// # Accuracy
    /// Not published.
    /// # Example
    /// Schlichting's curve as quoted gives about 4 % at a depth Froude number of 0.8; the formula 4.3 %.
    /// ```
    /// # use wakewright_core::hull::shallow::ShallowWater;
    /// let water = ShallowWater { depth_m: 4.0, midship_area_m2: 0.0, banks: None };
    /// let speed = 0.8 * (9.80665_f64 * 4.0).sqrt();
    /// assert!((100.0 * water.loss_and_slope(speed).0 - 4.3).abs() < 0.05);
    /// ```
    #[must_use]
    pub fn loss_and_slope(&self, speed_m_s: f64) -> (f64, f64) {
        let (kept, slope) = self.wave_and_slope(speed_m_s);
        (self.blockage_loss() + 1.0 - kept, -slope)
    }

    /// Speed in deep water with the resistance of `speed_m_s` here, and its derivative:
    /// `V / (1 - loss(V))`, the loss taken at the speed made here (it is small, and the difference
    /// is of second order).
    ///
    /// Between banks: `(V + u) / sqrt(tanh(g h/V^2))`, u = return flow, where that is more.
    /// # Source
    /// The two steps of Schlichting (waves by depth, then the flow past the hull), the second with the return flow
    /// of \[schijf1949\] as \[kreitner1934\] took it: from memory.
    /// # Example
    /// By hand, depth Froude number 0.8, where 4.3 % of the speed is lost: V / 0.957.
    /// ```
    /// # use wakewright_core::hull::shallow::ShallowWater;
    /// let water = ShallowWater { depth_m: 4.0, midship_area_m2: 0.0, banks: None };
    /// let speed = 0.8 * (9.80665_f64 * 4.0).sqrt();
    /// assert!((water.deep_speed_and_slope(speed).0 / speed - 1.0 / 0.957).abs() < 0.001);
    /// ```
    pub fn deep_speed_and_slope(&self, speed_m_s: f64) -> (f64, f64) {
        let (loss, slope) = self.loss_and_slope(speed_m_s);
        let kept = 1.0 - loss;
        let open = (speed_m_s / kept, (kept + speed_m_s * slope) / (kept * kept));
        let Some((canal, _)) = &self.banks else { return open };
        let (wave, wave_slope) = self.wave_and_slope(speed_m_s);
        let (back, back_slope) = canal.return_flow_and_slope(speed_m_s);
        let past = speed_m_s + back;
        let between = (past / wave, ((1.0 + back_slope) * wave - past * wave_slope) / (wave * wave));
        if between.0 > open.0 { between } else { open }
    }

    /// Drag of the fallen level between banks \[N\], and its derivative by speed.
    pub fn level_drag_and_slope(&self, speed_m_s: f64) -> (f64, f64) {
        let Some((canal, scale)) = &self.banks else { return (0.0, 0.0) };
        let (drag, slope) = canal.level_drag_and_slope(speed_m_s);
        (scale * drag, scale * slope)
    }

    /// Speed beyond which nothing is given \[m/s\]: the depth Froude number is 1 there, or the canal's limit is near.
    pub fn critical_speed_m_s(&self) -> f64 {
        let open = (GRAVITY_M_S2 * self.depth_m).sqrt();
        self.banks.map_or(open, |(canal, _)| canal.highest_speed_m_s())
    }
}
