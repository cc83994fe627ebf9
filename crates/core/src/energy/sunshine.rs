//! The sun over a year as the panels see it, worked out once: the weather then only multiplies.
//! Not for: the weather itself.

use std::f64::consts::PI;

use super::plan::EnergyPlan;
use crate::solar::clear_sky::Irradiance;
use crate::solar::diffuse::split_erbs1982;
use crate::solar::panel::{View, setting_hour};
use crate::solar::position::{DAY_S, unix_of_day};
use crate::solar::weather::{MONTH_DAYS, hour_over_even};
use crate::solar::{Panel, SolarError, Sun};

/// One hour with the sun up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct SunHour {
    /// Hour of the day.
    pub hour: usize,
    /// Global light of this hour on a day of clearness 1 \[W/m²\].
    global_w_m2: f64,
    cos_zenith: f64,
    extraterrestrial_w_m2: f64,
    /// First of this hour's views.
    first_view: usize,
}

/// A year of sun on these panels.
#[derive(Debug, Clone, PartialEq)]
pub struct Sunshine {
    /// Hours of each day with the sun up.
    days: Vec<Vec<SunHour>>,
    views: Vec<View>,
    panels: Vec<Panel>,
    air_k: f64,
    wind_m_s: f64,
    /// Month of each day, 0 to 11.
    pub months: Vec<usize>,
}

/// Unix time of local midnight of a day \[s\], mean time at this longitude.
#[must_use]
pub(super) fn local_midnight(plan: &EnergyPlan, year: i64, month: u32, day: u32) -> f64 {
    unix_of_day(year, month, day) - plan.place.longitude_rad / (2.0 * PI) * DAY_S
}

impl Sunshine {
    /// The year of `plan`.
    /// # Errors
    /// [`SolarError`] for a place or year without sun's position.
    pub fn new(plan: &EnergyPlan) -> Result<Self, SolarError> {
        let mut days = Vec::with_capacity(365);
        let (mut views, mut months) = (Vec::new(), Vec::new());
        for (month, &length) in MONTH_DAYS.iter().enumerate() {
            for day in 1..=length {
                let midnight = local_midnight(plan, plan.year, month as u32 + 1, day);
                days.push(hours_of(plan, midnight, &mut views)?);
                months.push(month);
            }
        }
        Ok(Self {
            days,
            views,
            panels: plan.panels.clone(),
            air_k: plan.air_k,
            wind_m_s: plan.wind_m_s,
            months,
        })
    }

    /// Only the day that begins at `midnight_unix_s`.
    /// # Errors
    /// As [`Self::new`].
    pub(super) fn of_day(plan: &EnergyPlan, midnight_unix_s: f64, month: usize) -> Result<Self, SolarError> {
        let mut views = Vec::new();
        let hours = hours_of(plan, midnight_unix_s, &mut views)?;
        Ok(Self {
            days: vec![hours],
            views,
            panels: plan.panels.clone(),
            air_k: plan.air_k,
            wind_m_s: plan.wind_m_s,
            months: vec![month],
        })
    }

    /// Power of all panels into the terminals by hour on a day of this clearness \[W\].
    #[must_use]
    pub fn power_by_hour_w(&self, day: usize, clearness: f64) -> [f64; 24] {
        let mut power_w = [0.0; 24];
        for hour in &self.days[day] {
            let global = (clearness * hour.global_w_m2).min(hour.extraterrestrial_w_m2 * hour.cos_zenith);
            let light = split_erbs1982(global, hour.cos_zenith, hour.extraterrestrial_w_m2);
            power_w[hour.hour] = self.power_w(hour, &light);
        }
        power_w
    }

    /// Power of all panels in one hour under `light` \[W\].
    pub(super) fn power_w(&self, hour: &SunHour, light: &Irradiance) -> f64 {
        let views = &self.views[hour.first_view..hour.first_view + self.panels.len()];
        self.panels
            .iter()
            .zip(views)
            .map(|(panel, view)| {
                let on_panel = Panel::light_w_m2(view, light, hour.extraterrestrial_w_m2);
                panel.power_w(on_panel, self.air_k, self.wind_m_s)
            })
            .sum()
    }

    pub(super) fn hours(&self, day: usize) -> &[SunHour] {
        &self.days[day]
    }
}

fn hours_of(
    plan: &EnergyPlan,
    midnight_unix_s: f64,
    views: &mut Vec<View>,
) -> Result<Vec<SunHour>, SolarError> {
    let at = |hour: f64| plan.place.sun(midnight_unix_s + hour * 3600.0);
    let setting: [Sun; 2] = [at(setting_hour(0))?, at(setting_hour(12))?];
    let mut hours = Vec::new();
    let mut suns = Vec::new();
    for hour in 0..24 {
        let sun = at(hour as f64 + 0.5)?;
        if sun.height_sine() > 0.0 {
            suns.push((hour, sun));
        }
    }
    // Half the time that the sun is up, as an angle of its daily turn.
    let sunset_rad = PI / 24.0 * suns.len() as f64;
    let even = |sun: &Sun| sun.extraterrestrial_w_m2 * sun.height_sine();
    let lean = |hour: usize| hour_over_even(sunset_rad, PI / 12.0 * (hour as f64 + 0.5 - 12.0));
    let whole: f64 = suns.iter().map(|(_, sun)| even(sun)).sum();
    let leaned: f64 = suns.iter().map(|(hour, sun)| even(sun) * lean(*hour)).sum();
    for (hour, sun) in &suns {
        let first_view = views.len();
        let setting_sun = &setting[usize::from(*hour >= 12)];
        views.extend(plan.panels.iter().map(|panel| panel.view(sun, setting_sun, plan.lies, *hour)));
        hours.push(SunHour {
            hour: *hour,
            global_w_m2: if leaned > 0.0 { even(sun) * lean(*hour) * whole / leaned } else { 0.0 },
            cos_zenith: sun.height_sine(),
            extraterrestrial_w_m2: sun.extraterrestrial_w_m2,
            first_view,
        });
    }
    Ok(hours)
}

impl SunHour {
    /// Sine of the sun's height.
    pub(super) fn height_sine(&self) -> f64 {
        self.cos_zenith
    }

    /// Strength above the air \[W/m²\].
    pub(super) fn strength_w_m2(&self) -> f64 {
        self.extraterrestrial_w_m2
    }
}
