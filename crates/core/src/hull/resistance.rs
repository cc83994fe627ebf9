//! What the resistance is asked for, and its parts.
//! Not for: computing them (see `prepared`).

use super::HullError;
use super::{positive, within};

/// The sea and air she goes in, and the factors on what the fits give.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sea {
    /// True wind from ahead \[m/s\]; negative from astern.
    pub true_head_wind_m_s: f64,
    /// Depth of water \[m\]; `None` is deep.
    pub depth_m: Option<f64>,
    /// Section of a canal / its depth \[m\]; `None` has no banks. Counts where the depth is known.
    pub canal_width_m: Option<f64>,
    /// Share of the fallen level's pressure in a canal that the stern does not win back, see
    /// [`super::STERN_LOSS_SPREAD`].
    pub stern_loss: f64,
    /// Drag area of what stands in the water beside hull, keel and rudder \[m²\]: leg, bracket, exposed shaft.
    pub gear_drag_area_m2: f64,
    /// Margin for waves as a fraction of calm-water resistance.
    pub sea_margin: f64,
    /// Factor on calm-water resistance, see [`super::IN_SERVICE_SPREAD`].
    pub in_service_factor: f64,
    /// Factor on residuary resistance, see [`super::residuary_spread`].
    pub residuary_factor: f64,
    /// Factor on air drag, see [`super::WINDAGE_SPREAD`].
    pub windage_factor: f64,
    /// Air temperature \[K\].
    pub air_temperature_k: f64,
}

impl Sea {
    /// Depth of the canal she is in \[m\]; `None` without banks, or where no depth is known and they do not count.
    #[must_use]
    pub fn canal_depth_m(&self) -> Option<f64> {
        self.depth_m.filter(|_| self.canal_width_m.is_some())
    }

    /// Calm, deep, no wind, 15 °C, all factors 1: the towing tank.
    #[must_use]
    pub fn tank() -> Self {
        Self {
            true_head_wind_m_s: 0.0,
            depth_m: None,
            canal_width_m: None,
            stern_loss: 0.0,
            gear_drag_area_m2: 0.0,
            sea_margin: 0.0,
            in_service_factor: 1.0,
            residuary_factor: 1.0,
            windage_factor: 1.0,
            air_temperature_k: 288.15,
        }
    }

    /// Refuses what no boat meets.
    pub(super) fn check(&self) -> Result<(), HullError> {
        within("true head wind", self.true_head_wind_m_s, (-60.0, 60.0), "give metres per second")?;
        within("sea margin", self.sea_margin, (0.0, 5.0), "give a fraction, 0.15 for 15 %")?;
        within("in-service factor", self.in_service_factor, (0.1, 10.0), "1 is the towing tank")?;
        within("factor on residuary resistance", self.residuary_factor, (0.0, 10.0), "1 is the fit")?;
        within("factor on windage", self.windage_factor, (0.0, 10.0), "1 is the published form")?;
        within("air temperature", self.air_temperature_k, (223.15, 333.15), "give kelvin")?;
        if let Some(depth) = self.depth_m {
            positive("depth of water", depth)?;
        }
        within(
            "share of the level lost at the stern",
            self.stern_loss,
            (0.0, 3.0),
            "0 is flow without loss",
        )?;
        within("drag area of gear in the water", self.gear_drag_area_m2, (0.0, 1.0), "give square metres")?;
        if let Some(width) = self.canal_width_m {
            positive("width of the canal", width)?;
        }
        Ok(())
    }
}

/// Parts of the resistance at one speed \[N\]. They add up to `total_n`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ResistanceParts {
    /// Friction of the smooth canoe body.
    pub friction_clean_n: f64,
    /// What roughness and growth add, on hull, keel and rudder.
    pub friction_growth_n: f64,
    /// Residuary resistance of the canoe body (of the whole yacht with the 1992 fit).
    pub residuary_n: f64,
    /// Keel and rudder: smooth friction with thickness, and the keel's residuary resistance; leg, bracket and shaft.
    pub keel_and_rudder_n: f64,
    /// Measured by towing, instead of the four above.
    pub towed_n: f64,
    /// What shallow water and banks add to these.
    pub shallow_water_n: f64,
    /// What the in-service factor adds to calm-water resistance.
    pub in_service_n: f64,
    /// What the margin for waves adds.
    pub sea_margin_n: f64,
    /// Air drag; negative when the wind pushes.
    pub windage_n: f64,
    /// Sum.
    pub total_n: f64,
}

impl ResistanceParts {
    /// The parts with their sum.
    pub(super) fn summed(mut self) -> Self {
        self.total_n = self.calm_water_n() + self.in_service_n + self.sea_margin_n + self.windage_n;
        self
    }

    /// Calm-water resistance in the tank's sense: without in-service factor, margin and wind \[N\].
    #[must_use]
    pub fn calm_water_n(&self) -> f64 {
        self.friction_clean_n
            + self.friction_growth_n
            + self.residuary_n
            + self.keel_and_rudder_n
            + self.towed_n
            + self.shallow_water_n
    }
}
