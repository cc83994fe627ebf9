//! What the year is computed for: place, panels, loads, week and shore power. Not for: the boat.

use crate::notice::{Notice, Severity};
use crate::solar::{Lies, Panel, Place};
use crate::spread::{Sampler, Spread};

/// How she is used in a week.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Week {
    /// Days of the week on which she is under way, 0 to 7, the last ones of the week.
    pub days: u32,
    /// Hour at which she leaves, 0 to 23.
    pub leaves_at: u32,
    /// Motoring in a week \[s\].
    pub motoring_s: f64,
    /// Through the water \[m/s\].
    pub motoring_m_s: f64,
    /// Sailing in a week \[s\].
    pub sailing_s: f64,
    /// Through the water \[m/s\].
    pub sailing_m_s: f64,
    /// Loss of speed allowed for regeneration while sailing \[m/s\]; `None` when she does not regenerate.
    pub regeneration_loss_m_s: Option<f64>,
}

impl Week {
    /// True when she goes out on this day of a year whose first week begins with it.
    #[must_use]
    pub fn is_under_way(&self, day: usize) -> bool {
        (day % 7) as u32 >= 7 - self.days.min(7)
    }

    /// Share of each hour of a day under way spent motoring, then sailing, from the hour of leaving;
    /// what does not fit before midnight is left out.
    #[must_use]
    pub fn shares(&self) -> [(f64, f64); 24] {
        let mut shares = [(0.0, 0.0); 24];
        if self.days == 0 {
            return shares;
        }
        let hours = |seconds: f64| seconds / super::HOUR_S / f64::from(self.days.min(7));
        let (motoring, sailing) = (hours(self.motoring_s), hours(self.sailing_s));
        for (i, share) in shares.iter_mut().enumerate().skip(self.leaves_at as usize) {
            let begin = i as f64 - f64::from(self.leaves_at);
            let overlap = |from: f64, to: f64| (to.min(begin + 1.0) - from.max(begin)).max(0.0);
            *share = (overlap(0.0, motoring), overlap(motoring, motoring + sailing));
        }
        shares
    }
}

/// Charging at a berth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shore {
    /// Into the bank's terminals \[W\].
    pub charge_w: f64,
    /// State of charge at which she plugs in.
    pub plug_in_at: f64,
    /// State of charge at which she unplugs.
    pub until: f64,
}

impl Shore {
    /// Share of a socket's rating that a plug stands for hours. From a trade magazine's account of burnt
    /// outlets \[shorepower2017\].
    pub const CONTINUOUS_SHARE: f64 = 0.8;

    /// Power into the bank from a socket of `current_a` at `voltage_v` through a charger \[W\].
    /// # Example
    /// By hand: 0.8 x 16 A x 230 V x 0.9 = 2649.6 W, unless the charger gives less.
    /// ```
    /// # use wakewright_core::energy::Shore;
    /// assert!((Shore::power_w(16.0, 230.0, 0.9, None) - 2649.6).abs() < 1e-9);
    /// assert_eq!(Shore::power_w(16.0, 230.0, 0.9, Some(1000.0)), 1000.0);
    /// ```
    #[must_use]
    pub fn power_w(current_a: f64, voltage_v: f64, efficiency: f64, charger_w: Option<f64>) -> f64 {
        let socket_w = Self::CONTINUOUS_SHARE * current_a * voltage_v * efficiency;
        charger_w.map_or(socket_w, |limit| socket_w.min(limit))
    }
}

/// An input of the year that is unsure: what is sampled, and under which number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unsure {
    /// Number of its name ([`crate::spread::name_number`]): the same name, the same samples.
    pub what: u64,
    /// How sure it is.
    pub spread: Spread,
    /// Smallest and largest value that make sense; a sample beyond is moved to the end.
    pub possible: (f64, f64),
}

impl Unsure {
    /// The value of sample number `sample`.
    #[must_use]
    pub fn sampled(&self, sampler: Sampler, sample: u64) -> f64 {
        self.spread.at_deviate(sampler.deviate(self.what, sample)).clamp(self.possible.0, self.possible.1)
    }
}

/// A load aboard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HouseLoad {
    /// Power while it is on \[W\].
    pub power_w: Unsure,
    /// The local hours in which it is on.
    pub is_on: [bool; 24],
}

impl HouseLoad {
    /// A load of exactly this power round the clock.
    #[must_use]
    pub fn steady(power_w: f64) -> Self {
        let power_w = Unsure { what: 0, spread: Spread::exact(power_w), possible: (power_w, power_w) };
        Self { power_w, is_on: [true; 24] }
    }

    /// Power of all by local hour, each as `of` takes it \[W\].
    #[must_use]
    pub fn by_hour_w(loads: &[Self], of: impl Fn(&Unsure) -> f64) -> [f64; 24] {
        let mut by_hour = [0.0; 24];
        for load in loads {
            let power_w = of(&load.power_w);
            for (sum_w, _) in by_hour.iter_mut().zip(load.is_on).filter(|(_, is_on)| *is_on) {
                *sum_w += power_w;
            }
        }
        by_hour
    }
}

/// How sure the panels of one row are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UnsurePanel {
    /// Power over the rated one.
    pub power: Unsure,
    /// Share shaded before and after noon; one sample moves both.
    pub shade: [Unsure; 2],
}

/// Everything that a year is computed for, besides the boat.
#[derive(Debug, Clone, PartialEq)]
pub struct EnergyPlan {
    /// Where.
    pub place: Place,
    /// How she lies.
    pub lies: Lies,
    /// Mean clearness of each month.
    pub clearness: [f64; 12],
    /// Key of the climate's source, or "as stated".
    pub climate_source: &'static str,
    /// Air \[K\], the same all year.
    pub air_k: f64,
    /// Wind over the panels \[m/s\].
    pub wind_m_s: f64,
    /// Panels.
    pub panels: Vec<Panel>,
    /// How sure each of them is, in the same order; those beyond its end are as stated.
    pub unsure_panels: Vec<UnsurePanel>,
    /// Loads aboard.
    pub house: Vec<HouseLoad>,
    /// State of charge at which the drive stops.
    pub reserve: f64,
    /// Use.
    pub week: Week,
    /// Berth.
    pub shore: Shore,
    /// Calendar year whose sun is taken.
    pub year: i64,
    /// What was assumed.
    pub notices: Vec<Notice>,
}

/// The weather is not forecast.
pub const WEATHER: Notice = Notice::Remark {
    severity: Severity::Note,
    text: "Weather is sampled around monthly means: a year like those of the table, none in particular. Air and cell \
           temperatures stay the same all year; snow and a mast's shade beyond what is entered are not in it.",
    source: "bendt1981",
};

impl EnergyPlan {
    /// True when the sun falls on the same panels, in the same way, in the same year; how large they are and
    /// how much of them is shaded may differ.
    #[must_use]
    pub fn has_same_sun_as(&self, other: &Self) -> bool {
        let standing = |plan: &Self| -> Vec<Panel> { plan.panels.iter().map(|panel| panel.bare()).collect() };
        self.place == other.place
            && self.lies == other.lies
            && standing(self) == standing(other)
            && self.clearness == other.clearness
            && self.air_k == other.air_k
            && self.wind_m_s == other.wind_m_s
            && self.year == other.year
    }

    /// Rated power of all panels \[W\].
    #[must_use]
    pub fn rated_w(&self) -> f64 {
        self.panels.iter().map(|panel| panel.rated_w).sum()
    }

    /// The panels of sample number `sample`.
    #[must_use]
    pub fn sampled_panels(&self, sampler: Sampler, sample: u64) -> Vec<Panel> {
        let mut panels = self.panels.clone();
        for (panel, unsure) in panels.iter_mut().zip(&self.unsure_panels) {
            panel.rated_w *= unsure.power.sampled(sampler, sample);
            let [morning, afternoon] = unsure.shade.map(|half| half.sampled(sampler, sample));
            panel.shade[..12].fill(morning);
            panel.shade[12..].fill(afternoon);
        }
        panels
    }

    /// Loads aboard by local hour \[W\].
    #[must_use]
    pub fn house_w(&self) -> [f64; 24] {
        HouseLoad::by_hour_w(&self.house, |power| power.spread.median)
    }

    /// The same of sample number `sample`.
    #[must_use]
    pub fn sampled_house_w(&self, sampler: Sampler, sample: u64) -> [f64; 24] {
        HouseLoad::by_hour_w(&self.house, |power| power.sampled(sampler, sample))
    }
}
