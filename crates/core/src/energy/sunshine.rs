//! The sun over a year as the panels stand to it, worked out once: weather, size and shade then only
//! multiply. Not for: the weather itself.

use std::f64::consts::PI;

use super::plan::EnergyPlan;
use crate::solar::clear_sky::{Irradiance, USUAL_TURBIDITY, clear_sky_ineichen2002};
use crate::solar::diffuse::split_erbs1982;
use crate::solar::panel::setting_hour;
use crate::solar::position::unix_of_day;
use crate::solar::transposition::View;
use crate::solar::weather::{MONTH_DAYS, hour_over_even};
use crate::solar::{Panel, SolarError, Sun};
use wakewright_units::factors::DAY_S;

/// One hour with the sun up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct SunHour {
    /// Hour of the day.
    pub hour: usize,
    /// Global light of this hour on a day of clearness 1 \[W/m²\].
    global_w_m2: f64,
    cos_zenith: f64,
    extraterrestrial_w_m2: f64,
    /// Under a clear sky.
    clear: Irradiance,
    /// First of this hour's views.
    first_view: usize,
}

/// The hours of a day with the sun up.
#[derive(Debug, Clone, PartialEq)]
struct SunDay {
    hours: Vec<SunHour>,
    /// Light of a clear day over that above the air.
    clear_clearness: f64,
}

/// What the panels give over a year under one weather, day by day and hour by hour \[W\].
#[derive(Debug, Clone, PartialEq)]
pub struct SunOfYear {
    /// All panels.
    pub all_w: Vec<[f64; 24]>,
    /// Those of the first row alone.
    pub first_w: Vec<[f64; 24]>,
}

impl SunOfYear {
    /// All panels, and of the first row so many times as many again.
    #[must_use]
    pub fn with_more(&self, times: f64) -> Self {
        let mut more = self.clone();
        for (all, first) in more.all_w.iter_mut().zip(&self.first_w) {
            for (all_w, first_w) in all.iter_mut().zip(first) {
                *all_w += times * first_w;
            }
        }
        more
    }
}

/// A year of sun on these panels.
#[derive(Debug, Clone, PartialEq)]
pub struct Sunshine {
    /// Hours of each day with the sun up.
    days: Vec<SunDay>,
    views: Vec<View>,
    rows: usize,
    air_k: f64,
    wind_m_s: f64,
    /// Month of each day, 0 to 11.
    pub months: Vec<usize>,
}

/// Unix time of local midnight of a day \[s\], mean time at this longitude.
/// # Errors
/// [`SolarError::NoDay`].
pub(super) fn local_midnight(plan: &EnergyPlan, year: i64, month: u32, day: u32) -> Result<f64, SolarError> {
    let midnight = unix_of_day(year, month, day).ok_or(SolarError::NoDay { year, month, day })?;
    Ok(midnight - plan.place.longitude_rad / (2.0 * PI) * DAY_S)
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
                let midnight = local_midnight(plan, plan.year, month as u32 + 1, day)?;
                days.push(hours_of(plan, midnight, &mut views)?);
                months.push(month);
            }
        }
        Ok(Self { days, views, rows: plan.panels.len(), air_k: plan.air_k, wind_m_s: plan.wind_m_s, months })
    }

    /// Only the day that begins at `midnight_unix_s`.
    /// # Errors
    /// As [`Self::new`].
    pub(super) fn of_day(plan: &EnergyPlan, midnight_unix_s: f64, month: usize) -> Result<Self, SolarError> {
        let mut views = Vec::new();
        let day = hours_of(plan, midnight_unix_s, &mut views)?;
        Ok(Self {
            days: vec![day],
            views,
            rows: plan.panels.len(),
            air_k: plan.air_k,
            wind_m_s: plan.wind_m_s,
            months: vec![month],
        })
    }

    /// Power of all `panels` into the terminals by hour on a day of this clearness \[W\].
    ///
    /// The panels are those of the plan, in its order; size and shade may be others.
    #[must_use]
    pub fn power_by_hour_w(&self, panels: &[Panel], day: usize, clearness: f64) -> [f64; 24] {
        let mut sum_w = [0.0; 24];
        let day = &self.days[day];
        for (hour, light) in day.hours.iter().zip(day.light(clearness)) {
            sum_w[hour.hour] = self.powers_w(panels, hour, &light).sum();
        }
        sum_w
    }

    /// The year of `panels` under a weather, all sun times `factor`.
    #[must_use]
    pub fn of_year(&self, panels: &[Panel], clearness: &[f64], factor: f64) -> SunOfYear {
        let nothing = vec![[0.0; 24]; self.days.len()];
        let mut year = SunOfYear { all_w: nothing.clone(), first_w: nothing };
        for (i, (day, &clearness)) in self.days.iter().zip(clearness).enumerate() {
            for (hour, light) in day.hours.iter().zip(day.light(clearness)) {
                for (row, power_w) in self.powers_w(panels, hour, &light).enumerate() {
                    year.all_w[i][hour.hour] += factor * power_w;
                    if row == 0 {
                        year.first_w[i][hour.hour] = factor * power_w;
                    }
                }
            }
        }
        year
    }

    /// Power of each row of panels in one hour under `light` \[W\].
    fn powers_w<'a>(
        &'a self,
        panels: &'a [Panel],
        hour: &'a SunHour,
        light: &'a Irradiance,
    ) -> impl Iterator<Item = f64> + 'a {
        let views = &self.views[hour.first_view..hour.first_view + self.rows];
        panels.iter().zip(views).map(move |(panel, view)| {
            let shaded = panel.shaded(view, hour.hour);
            let on_panel = shaded.light_w_m2(light, hour.extraterrestrial_w_m2);
            panel.power_w(on_panel, self.air_k, self.wind_m_s)
        })
    }

    /// Hours of a day with the sun up, and what all panels give in each under a clear sky \[W\].
    pub(super) fn clear_hours_w(&self, panels: &[Panel], day: usize) -> Vec<(&SunHour, f64)> {
        let clear_w = |hour: &SunHour| self.powers_w(panels, hour, &hour.clear).sum();
        self.days[day].hours.iter().map(|hour| (hour, clear_w(hour))).collect()
    }
}

fn hours_of(plan: &EnergyPlan, midnight_unix_s: f64, views: &mut Vec<View>) -> Result<SunDay, SolarError> {
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
    let mut clear_sum = 0.0;
    for (hour, sun) in &suns {
        let first_view = views.len();
        let setting_sun = &setting[usize::from(*hour >= 12)];
        views.extend(plan.panels.iter().map(|panel| panel.view(sun, setting_sun, plan.lies)));
        let clear = clear_sky_ineichen2002(sun, USUAL_TURBIDITY);
        clear_sum += clear.global_w_m2;
        hours.push(SunHour {
            hour: *hour,
            global_w_m2: if leaned > 0.0 { even(sun) * lean(*hour) * whole / leaned } else { 0.0 },
            cos_zenith: sun.height_sine(),
            extraterrestrial_w_m2: sun.extraterrestrial_w_m2,
            clear,
            first_view,
        });
    }
    Ok(SunDay { hours, clear_clearness: if whole > 0.0 { clear_sum / whole } else { 1.0 } })
}

impl SunDay {
    /// Light of each of its hours on a day of this clearness.
    ///
    /// Each has its share of the day's, but no more than under a clear sky, which a day brighter than a clear one
    /// exceeds all day alike; what a low sun so loses goes to the other hours, and the day keeps its light.
    fn light(&self, clearness: f64) -> [Irradiance; 24] {
        /// Hours filled up by the first passes may reach their own limit.
        const PASSES: usize = 3;
        let brighter = (clearness / self.clear_clearness).max(1.0);
        let mut global_w_m2 = [0.0; 24];
        let mut limit_w_m2 = [0.0; 24];
        for (i, hour) in self.hours.iter().enumerate() {
            global_w_m2[i] = clearness * hour.global_w_m2;
            limit_w_m2[i] =
                (brighter * hour.clear.global_w_m2).min(hour.extraterrestrial_w_m2 * hour.cos_zenith);
        }
        for _ in 0..PASSES {
            let (mut over, mut open) = (0.0, 0.0);
            for (global, limit) in global_w_m2.iter_mut().zip(limit_w_m2) {
                if *global >= limit {
                    over += *global - limit;
                    *global = limit;
                } else {
                    open += *global;
                }
            }
            if over <= 0.0 || open <= 0.0 {
                break;
            }
            for (global, limit) in global_w_m2.iter_mut().zip(limit_w_m2) {
                if *global < limit {
                    *global *= 1.0 + over / open;
                }
            }
        }
        let mut light = [Irradiance::default(); 24];
        for (i, hour) in self.hours.iter().enumerate() {
            let global = global_w_m2[i].min(limit_w_m2[i]);
            light[i] = split_erbs1982(global, hour.cos_zenith, hour.extraterrestrial_w_m2);
        }
        light
    }
}

impl SunHour {
    /// Sine of the sun's height.
    pub(super) fn height_sine(&self) -> f64 {
        self.cos_zenith
    }
}
