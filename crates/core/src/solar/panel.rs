//! A panel aboard: how it is mounted, shaded and cooled, and what it makes of the light. What does not
//! depend on the weather is worked out once ([`View`]). Not for: weather, the bank.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::WATER_ALBEDO;
use super::cell::{HeatLoss, Losses, glass_transmission, panel_power_w};
use super::geometry::{Direction, normal, stand, turn_to_sun, turned};
use super::position::Sun;
use super::transposition::View;

/// How a panel is held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Mount {
    /// Flat on deck or arch.
    Flat,
    /// Tilted for good towards a direction, counted from the bow over starboard.
    Tilted {
        /// From flat \[rad\].
        tilt_rad: f64,
        /// From the bow over starboard \[rad\].
        towards_rad: f64,
    },
    /// Pivots about a level axis; set by hand twice a day, or turned all the time.
    Pivoting {
        /// Of the axis, from the bow over starboard \[rad\]: 0 fore and aft.
        axis_rad: f64,
        /// Farthest either way \[rad\].
        limit_rad: f64,
        /// Follows the sun all the time; else set in the morning and at noon.
        is_tracking: bool,
    },
}

/// What the air can do behind a panel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fixing {
    /// Free on both faces.
    Free,
    /// A gap behind.
    Spaced,
    /// Glued on.
    Glued,
}

impl Fixing {
    /// Heat that it gives off.
    #[must_use]
    pub fn heat_loss(self) -> HeatLoss {
        match self {
            Self::Free => HeatLoss::FREE,
            Self::Spaced => HeatLoss::SPACED,
            Self::Glued => HeatLoss::GLUED,
        }
    }
}

/// Which way she lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lies {
    /// Swings through all directions alike.
    Swinging,
    /// Bow in one direction, from north over east \[rad\].
    Heading(f64),
}

/// Directions over which a swinging boat is averaged.
const SWING: u32 = 8;

/// A panel, or several alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Panel {
    /// Rated power of all alike \[W\].
    pub rated_w: f64,
    /// How it is held.
    pub mount: Mount,
    /// How it is cooled.
    pub fixing: Fixing,
    /// Share of the direct sun taken by rig, boom and cover, by local hour.
    pub shade: [f64; 24],
    /// Response of the back over that of the front; 0 for a closed back.
    pub bifaciality: f64,
    /// Change of power for each kelvin \[1/K\], negative.
    pub gamma_1_k: f64,
}

/// Change of power of a usual silicon panel \[1/K\]. From memory, within the -0.002 to -0.005 of
/// \[dobos2014\].
pub const USUAL_GAMMA_1_K: f64 = -0.0035;
/// Efficiency of the cells that enters their warming. From memory.
const EFFICIENCY: f64 = 0.20;
/// Controller with its tracking. A maker states 0.92 to 0.95; modern ones up to 0.98 from memory.
pub const CONTROLLER_EFFICIENCY: f64 = 0.95;
impl Panel {
    /// A usual silicon panel, flat, free and unshaded.
    #[must_use]
    pub fn flat(rated_w: f64) -> Self {
        Self {
            rated_w,
            mount: Mount::Flat,
            fixing: Fixing::Free,
            shade: [0.0; 24],
            bifaciality: 0.0,
            gamma_1_k: USUAL_GAMMA_1_K,
        }
    }

    /// What it sees of the sun, unshaded, with the boat lying as she does, the hand-set angle chosen for
    /// `setting_sun`, the sun in the middle of the half day. Size and shade do not enter.
    #[must_use]
    pub fn view(&self, sun: &Sun, setting_sun: &Sun, lies: Lies) -> View {
        let headings = match lies {
            Lies::Heading(heading) => (heading, 1),
            Lies::Swinging => (0.0, SWING),
        };
        let (first, count) = headings;
        let mut mean = View::default();
        for i in 0..count {
            let heading = first + TAU * f64::from(i) / f64::from(SWING);
            let plane = stand(self.normal(sun, setting_sun, heading), sun);
            let one = View::of(&plane, glass_transmission, self.bifaciality, WATER_ALBEDO);
            let share = 1.0 / f64::from(count);
            mean.beam += share * one.beam;
            mean.sky += share * one.sky;
            mean.around_sun += share * one.around_sun;
            mean.ground += share * one.ground;
        }
        mean
    }

    /// `view` through the shade of local `hour` (0 to 23).
    ///
    /// A share s of the direct sun and of the bright sky around it is taken, and s (1 + s) / 2 of the rest:
    /// a rig that takes a little of the sun takes half as much of the whole sky, a cover takes all of both.
    /// # Source
    /// Judgement.
    /// # Example
    /// By hand: half of the sun taken leaves half of the beam and 1 - 0.5 x 1.5 / 2 = 0.625 of the even sky.
    /// ```
    /// # use wakewright_core::solar::Panel;
    /// # use wakewright_core::solar::transposition::View;
    /// let panel = Panel { shade: [0.5; 24], ..Panel::flat(100.0) };
    /// let view = View { beam: 1.0, sky: 1.0, ..View::default() };
    /// let left = panel.shaded(&view, 12);
    /// assert!((left.beam - 0.5).abs() < 1e-12 && (left.sky - 0.625).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn shaded(&self, view: &View, hour: usize) -> View {
        let shade = self.shade[hour.min(23)];
        let (open, open_sky) = (1.0 - shade, 1.0 - sky_taken(shade));
        View {
            beam: view.beam * open,
            around_sun: view.around_sun * open,
            sky: view.sky * open_sky,
            ground: view.ground * open_sky,
        }
    }

    /// Power into the bank's terminals in a bright noon, shade counted: 800 W/m² on it, of which a seventh
    /// comes from the sky, in air of `air_k` \[W\].
    ///
    /// # Source
    /// From memory: what falls on a level square metre about noon of a clear summer's day at 50° of latitude.
    /// # Example
    /// By hand, 100 W in air of 15 °C: cells 0.9 x 0.8 x 800 / 29 = 19.9 K warmer, so 80 W x 0.9655; losses leave
    /// 0.9132, the controller 0.95: 67.0 W.
    /// ```
    /// # use wakewright_core::solar::Panel;
    /// assert!((Panel::flat(100.0).bright_noon_w(288.15, 0.0) - 67.0).abs() < 0.05);
    /// ```
    #[must_use]
    pub fn bright_noon_w(&self, air_k: f64, wind_m_s: f64) -> f64 {
        const LIGHT_W_M2: f64 = 800.0;
        const FROM_SKY: f64 = 1.0 / 7.0;
        let shade = self.shade[12];
        let open = (1.0 - FROM_SKY) * (1.0 - shade) + FROM_SKY * (1.0 - sky_taken(shade));
        self.power_w(LIGHT_W_M2 * open, air_k, wind_m_s)
    }

    /// The panel as it stands to the sun, without size and shade.
    #[must_use]
    pub fn bare(&self) -> Self {
        Self { rated_w: 0.0, shade: [0.0; 24], ..*self }
    }

    fn normal(&self, sun: &Sun, setting_sun: &Sun, heading_rad: f64) -> Direction {
        match self.mount {
            Mount::Flat => [0.0, 0.0, 1.0],
            Mount::Tilted { tilt_rad, towards_rad } => normal(tilt_rad, heading_rad + towards_rad),
            Mount::Pivoting { axis_rad, limit_rad, is_tracking } => {
                let followed = if is_tracking { sun } else { setting_sun };
                let axis = heading_rad + axis_rad;
                turned(turn_to_sun(followed, axis, limit_rad.min(FRAC_PI_2)), axis)
            }
        }
    }

    /// Power into the bank's terminals \[W\]: after heat, losses and controller, never below zero.
    #[must_use]
    pub fn power_w(&self, light_w_m2: f64, air_k: f64, wind_m_s: f64) -> f64 {
        let cell_k = self.fixing.heat_loss().cell_k(light_w_m2, air_k, wind_m_s, EFFICIENCY);
        let direct_w = panel_power_w(self.rated_w, light_w_m2, cell_k, self.gamma_1_k);
        (direct_w * (1.0 - Losses::AFLOAT.total()) * CONTROLLER_EFFICIENCY).max(0.0)
    }
}

/// Share of the even sky that is taken where a share of the direct sun is.
fn sky_taken(shade: f64) -> f64 {
    0.5 * shade * (1.0 + shade)
}

/// Local solar hour in the middle of the half day in which `hour` lies: 9 or 15.
#[must_use]
pub fn setting_hour(hour: usize) -> f64 {
    if hour < 12 { 9.0 } else { 15.0 }
}

/// Direction in words from the bow over starboard \[rad\]: 0 bow, a quarter starboard.
#[must_use]
pub fn quarter_rad(quarters: u8) -> f64 {
    PI / 2.0 * f64::from(quarters)
}
