//! What the banks of a canal cost: the water that must pass back beside the hull.
//! Not for: open shallow water (see `shallow`), locks, meeting another boat, banks that are far apart.

use crate::constants::GRAVITY_M_S2;
use crate::spread::Spread;

/// Share of the limiting speed up to which resistance is given: at the limit itself the flow past the hull has
/// no slope that could be solved against, and no displacement boat is driven there.
const HIGHEST_SHARE: f64 = 0.98;

/// Share of the pressure behind the fall of the level that the stern does not win back, with its 80 % band.
///
/// The median is the published correction alone (return flow, nothing lost); the band reaches to 1, a stern behind which
/// nothing of the level is won back, the most that the momentum of the flow allows. No published figure for such
/// sterns was found, and no report of a boat enters.
pub const STERN_LOSS_SPREAD: Spread = Spread { p10: 0.0, median: 0.0, p90: 1.0, is_logarithmic: false };

/// A canal with the hull in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Canal {
    /// Mean depth \[m\].
    pub depth_m: f64,
    /// Section of the water / mean depth \[m\].
    pub width_m: f64,
    /// Midship section of the hull below the waterline \[m²\].
    pub midship_area_m2: f64,
}

impl Canal {
    /// Midship section / section of the water.
    #[must_use]
    pub fn blockage(&self) -> f64 {
        self.midship_area_m2 / (self.depth_m * self.width_m)
    }

    fn wave_m_s(&self) -> f64 {
        (GRAVITY_M_S2 * self.depth_m).sqrt()
    }

    /// Speed at which the water can no longer pass back beside the hull \[m/s\]: more power digs a deeper hollow
    /// and hardly moves her faster.
    ///
    /// `F = (2 sin(arcsin(1 - m) / 3))^(3/2)` with the depth Froude number F and the blockage m: the root of
    /// `1 - m + F^2/2 - 3/2 F^(2/3) = 0`.
    /// # Source
    /// Energy and continuity in one dimension, \[schijf1949\]; the equation read in a public copy, the closed form
    /// derived here.
    /// # Valid for
    /// Blockage 0 to 1, boats as long as several widths of theirs; section taken as width x mean depth.
    /// # Example
    /// By hand, half of the section taken: `(2 sin(30° / 3))^(3/2)` = 0.2047 of 3.835 m/s.
    /// ```
    /// # use wakewright_core::hull::Canal;
    /// let canal = Canal { depth_m: 1.5, width_m: 12.0, midship_area_m2: 9.0 };
    /// assert!((canal.limiting_speed_m_s() - 0.785).abs() < 0.0005);
    /// ```
    #[must_use]
    pub fn limiting_speed_m_s(&self) -> f64 {
        let open = (1.0 - self.blockage()).clamp(0.0, 1.0);
        (2.0 * (open.asin() / 3.0).sin()).powf(1.5) * self.wave_m_s()
    }

    /// Highest speed at which resistance is given \[m/s\].
    #[must_use]
    pub fn highest_speed_m_s(&self) -> f64 {
        HIGHEST_SHARE * self.limiting_speed_m_s()
    }

    /// Mean speed of the water past the hull less the boat's \[m/s\], and its derivative by her speed.
    ///
    /// The smaller root of `D (1 - m + F^2/2) - D^3/2 = F`, D the speed past the hull over `sqrt(g h)`. Beyond the
    /// limiting speed: the value there.
    /// # Source
    /// \[schijf1949\]: the water level falls by `((V + u)^2 - V^2) / 2g`, the section by that times the width.
    /// # Example
    /// By hand, so slow that the level stays, a fifth of the section taken: 0.2 / 0.8 of her speed.
    /// ```
    /// # use wakewright_core::hull::Canal;
    /// let canal = Canal { depth_m: 1.5, width_m: 12.0, midship_area_m2: 3.6 };
    /// assert!((canal.return_flow_and_slope(0.01).0 - 0.0025).abs() < 1e-6);
    /// ```
    #[must_use]
    pub fn return_flow_and_slope(&self, speed_m_s: f64) -> (f64, f64) {
        let wave = self.wave_m_s();
        let open = 1.0 - self.blockage();
        let froude = (speed_m_s / wave).min(self.highest_speed_m_s() / wave);
        let head = open + 0.5 * froude * froude;
        let mut past = froude / open;
        // Concave and rising up to the root: Newton's steps come from below and never pass it.
        for _ in 0..60 {
            let step = (froude - past * (head - 0.5 * past * past)) / (head - 1.5 * past * past);
            past += step;
            if step.abs() < 1e-14 {
                break;
            }
        }
        let slope = (1.0 - past * froude) / (head - 1.5 * past * past) - 1.0;
        ((past - froude) * wave, slope)
    }

    /// Drag of the fallen level / (density x share that the stern does not win back) \[m⁴/s²\], and its derivative
    /// by speed: `Am ((V + u)^2 - V^2) / 2`, the fall's pressure on the midship section.
    ///
    /// # Source
    /// Derived here: without loss the pressure is won back (no drag), with all of it lost it is this.
    /// # Example
    /// By hand in the same canal: 3.6 m² x (1.25² - 1) / 2 x 0.01² m²/s² = 1.0125e-4.
    /// ```
    /// # use wakewright_core::hull::Canal;
    /// let canal = Canal { depth_m: 1.5, width_m: 12.0, midship_area_m2: 3.6 };
    /// assert!((canal.level_drag_and_slope(0.01).0 - 1.0125e-4).abs() < 1e-7);
    /// ```
    #[must_use]
    pub fn level_drag_and_slope(&self, speed_m_s: f64) -> (f64, f64) {
        let (back, back_slope) = self.return_flow_and_slope(speed_m_s);
        let past = speed_m_s + back;
        let slope = past * (1.0 + back_slope) - speed_m_s;
        (0.5 * self.midship_area_m2 * (past * past - speed_m_s * speed_m_s), self.midship_area_m2 * slope)
    }
}
