//! What the conditions of the day did to the power of a run, against the conditions of the boat
//! document: wind, head waves, displacement, water.
//! Not for: the formulas themselves (`correct`); depth, in which a run is flagged, not corrected.

use super::correct::{
    AirDrag, WAVE_ENCOUNTER_LIMIT_RAD, WaterChange, added_wave_resistance_stawave1_n,
    power_at_displacement_w, power_without_resistance_w, water_resistance_change_n,
    wave_height_limit_stawave1_m, wind_resistance_change_n,
};
use super::run::Run;
use crate::boat::Boat;
use crate::friction::frictional_coefficient_ittc1957;
use crate::hull::shallow::deep_enough_m;
use crate::hull::{air_density_kg_m3, frontal_areas};
use crate::steady::{BoatError, PreparedBoat};
use crate::water::Water;

/// Length of the bow up to 95 % of the greatest beam, as a share of the waterline. Judged from the
/// lines of sailing hulls, no source.
const BOW_SHARE: f64 = 0.45;
/// Share of a resistance up to which its correction without load effects holds.
const SMALL_SHARE: f64 = 0.10;

/// What it was like.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TrialDay {
    /// True wind \[m/s\].
    pub true_wind_m_s: Option<f64>,
    /// Where wind and waves come from, from true north \[rad\].
    pub wind_from_rad: Option<f64>,
    /// Significant height of the waves \[m\].
    pub wave_height_m: Option<f64>,
    /// Displacement \[kg\].
    pub displacement_kg: Option<f64>,
    /// The water.
    pub water: Option<Water>,
}

/// Power that the day added to a run \[W\]; take it off to have the power in the stated conditions.
/// `None` where it is not known.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct DayWatts {
    /// True wind.
    pub wind_w: Option<f64>,
    /// Head waves.
    pub waves_w: Option<f64>,
    /// Displacement other than stated.
    pub displacement_w: Option<f64>,
    /// Water other than stated.
    pub water_w: Option<f64>,
}

/// What to say of a run before it is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunFlag {
    /// So shallow that it slows her: not fitted.
    Shallow,
    /// Waves higher than the formula covers: not corrected for them.
    WavesTooHigh,
    /// The corrections together are more than a tenth of the power: weaker than usual.
    LargeCorrection,
}

/// The boat in her stated conditions, ready to correct many runs.
#[derive(Debug)]
pub struct StatedBoat<'a> {
    boat: &'a Boat,
    prepared: PreparedBoat,
    drag_area_m2: f64,
    air_density_kg_m3: f64,
    canoe_draught_m: f64,
}

impl<'a> StatedBoat<'a> {
    /// Prepares `boat`.
    /// # Errors
    /// [`BoatError`] when no honest figure exists for her.
    pub fn new(boat: &'a Boat) -> Result<Self, BoatError> {
        let prepared = PreparedBoat::new(boat)?.value;
        let areas = frontal_areas(&boat.topsides, boat.form.kind, &mut Vec::new())?;
        Ok(Self {
            boat,
            prepared,
            drag_area_m2: areas.drag_area_m2(boat.topsides.form) * boat.sea.windage_factor,
            air_density_kg_m3: air_density_kg_m3(boat.sea.air_temperature_k),
            canoe_draught_m: boat.canoe_body_draught_m(),
        })
    }

    /// What the day added to the power of `run`, made at `speed_m_s` through the water, and what to
    /// say of it.
    #[must_use]
    pub fn day_watts(&self, run: &Run, speed_m_s: f64, day: &TrialDay) -> (DayWatts, Vec<RunFlag>) {
        let mut flags = Vec::new();
        let deep_m = deep_enough_m(self.boat.form.beam_waterline_m, self.canoe_draught_m, speed_m_s);
        if run.depth_m.is_some_and(|depth_m| depth_m < deep_m) {
            flags.push(RunFlag::Shallow);
        }
        let mut watts = DayWatts::default();
        let (Some(power_w), Some(state)) = (run.power_w, self.prepared.state_at(speed_m_s)) else {
            return (watts, flags);
        };
        let efficiency = state.resistance_n * speed_m_s / state.drive_power_w;
        if !(efficiency > 0.0 && efficiency < 1.0) {
            return (watts, flags);
        }
        let of = |extra_n: f64| power_w - power_without_resistance_w(power_w, extra_n, speed_m_s, efficiency);
        watts.wind_w = self.wind_n(run, speed_m_s, day).map(of);
        watts.waves_w = self.waves_n(run, day, &mut flags).map(of);
        watts.displacement_w = day
            .displacement_kg
            .map(|kg| power_w - power_at_displacement_w(power_w, kg, self.boat.form.displacement_kg));
        watts.water_w = day.water.and_then(|water| self.water_n(speed_m_s, &water)).map(of);
        let all = [watts.wind_w, watts.waves_w, watts.displacement_w, watts.water_w];
        let together: f64 = all.iter().flatten().map(|watts| watts.abs()).sum();
        if together > SMALL_SHARE * power_w {
            flags.push(RunFlag::LargeCorrection);
        }
        (watts, flags)
    }

    /// What the true wind adds, from the measured apparent wind, else from what was noted \[N\].
    fn wind_n(&self, run: &Run, speed_m_s: f64, day: &TrialDay) -> Option<f64> {
        let speed_over_ground = run.speed_over_ground_m_s.unwrap_or(speed_m_s);
        let (apparent, angle) = match (run.wind_speed_m_s, run.wind_angle_rad) {
            (Some(apparent), Some(angle)) => (apparent, angle),
            _ => {
                let (wind, from) = (day.true_wind_m_s?, day.wind_from_rad);
                let on_bow = if wind > 0.0 { from? - run.course_rad? } else { 0.0 };
                let (ahead, abeam) = (speed_over_ground + wind * on_bow.cos(), wind * on_bow.sin());
                (ahead.hypot(abeam), abeam.atan2(ahead))
            }
        };
        // Drag goes with the square of the component along the boat, as everywhere in this program.
        let along = angle.cos() * angle.cos().abs();
        let air = AirDrag {
            density_kg_m3: self.air_density_kg_m3,
            drag_area_at_wind_m2: self.drag_area_m2 * along,
            drag_area_ahead_m2: self.drag_area_m2,
        };
        Some(wind_resistance_change_n(&air, apparent, speed_over_ground))
    }

    /// What waves from ahead add \[N\]: those from elsewhere nothing, by the formula.
    fn waves_n(&self, run: &Run, day: &TrialDay, flags: &mut Vec<RunFlag>) -> Option<f64> {
        let (height_m, from, course) = (day.wave_height_m?, day.wind_from_rad?, run.course_rad?);
        let length_m = self.boat.form.length_waterline_m;
        if height_m > wave_height_limit_stawave1_m(length_m) {
            flags.push(RunFlag::WavesTooHigh);
            return None;
        }
        let off_bow = (from - course).rem_euclid(std::f64::consts::TAU);
        if off_bow.min(std::f64::consts::TAU - off_bow) > WAVE_ENCOUNTER_LIMIT_RAD {
            return Some(0.0);
        }
        let density = day.water.unwrap_or(self.boat.water).density_kg_m3;
        let beam_m = self.boat.form.beam_waterline_m;
        Some(added_wave_resistance_stawave1_n(height_m, beam_m, BOW_SHARE * length_m, density))
    }

    /// What the day's water adds \[N\]; `None` for a towed hull, whose friction is not known apart.
    fn water_n(&self, speed_m_s: f64, water: &Water) -> Option<f64> {
        let parts = self.prepared.hull().breakdown(speed_m_s).ok()?;
        if parts.towed_n > 0.0 || speed_m_s <= 0.0 {
            return None;
        }
        let stated = &self.boat.water;
        let reynolds = |water: &Water| speed_m_s * self.boat.form.length_waterline_m / water.viscosity_m2_s;
        let change = WaterChange {
            density_kg_m3: water.density_kg_m3,
            density_stated_kg_m3: stated.density_kg_m3,
            friction: frictional_coefficient_ittc1957(reynolds(water)),
            friction_stated: frictional_coefficient_ittc1957(reynolds(stated)),
        };
        let frictional_n = parts.friction_clean_n + parts.friction_growth_n + parts.keel_and_rudder_n;
        Some(water_resistance_change_n(parts.total_n - parts.windage_n, frictional_n, &change))
    }
}
