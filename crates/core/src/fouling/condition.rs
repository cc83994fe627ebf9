//! What the eye sees under water, and the sand height that stands for it.
//! Not for: how growth comes about, or how long it takes.

use crate::spread::Spread;

/// State of a painted surface, from the fitter's look.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FoulingCondition {
    /// Smooth as a car, burnished or newly sprayed and sanded.
    CleanPolished,
    /// Sound antifouling, rolled on, clean.
    AsApplied,
    /// Light slime, or old flaking paint without growth.
    LightSlime,
    /// Thick slime or grass that a hand does not wipe off.
    HeavySlime,
    /// Small barnacles or tubeworms under 6 mm, or weed.
    SmallShellOrWeed,
    /// Barnacles and tubeworms over 6 mm, still single.
    MediumShell,
    /// Packed barnacles, mussels, oysters.
    HeavyShell,
}

impl FoulingCondition {
    /// All conditions, from clean to worst.
    pub const ALL: [Self; 7] = [
        Self::CleanPolished,
        Self::AsApplied,
        Self::LightSlime,
        Self::HeavySlime,
        Self::SmallShellOrWeed,
        Self::MediumShell,
        Self::HeavyShell,
    ];

    /// Its word in documents.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::CleanPolished => "clean",
            Self::AsApplied => "as applied",
            Self::LightSlime => "light slime",
            Self::HeavySlime => "heavy slime",
            Self::SmallShellOrWeed => "small shell or weed",
            Self::MediumShell => "medium shell",
            Self::HeavyShell => "heavy shell",
        }
    }

    /// The condition of this word; none for any other.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|condition| condition.word() == word)
    }

    /// The condition in a fitter's words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::CleanPolished => "clean and polished",
            Self::AsApplied => "clean antifouling as rolled on",
            Self::LightSlime => "light slime or old rough paint",
            Self::HeavySlime => "heavy slime or short grass",
            Self::SmallShellOrWeed => "small barnacles (under 6 mm) or weed",
            Self::MediumShell => "barnacles over 6 mm",
            Self::HeavyShell => "packed barnacles or mussels",
        }
    }

    /// The step of the scale whose sand height is nearest to `height_m`, by ratio.
    #[must_use]
    pub fn nearest(height_m: f64) -> Self {
        let off = |c: &Self| (c.sand_height_spread().median.ln() - height_m.max(1e-7).ln()).abs();
        Self::ALL.into_iter().min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(Self::LightSlime)
    }

    /// The condition for a rating of the naval scale; between two steps the nearer one. `None`
    /// above 100. Rating 0 gives [`FoulingCondition::AsApplied`], the rougher of the two.
    /// # Source
    /// Scale \[nstm081\] table 081-1-1; grouping \[schultz2007\] table 1 (from memory).
    /// # Example
    /// The grouping of \[schultz2007\] (from memory): 30 is heavy slime.
    /// ```
    /// # use wakewright_core::fouling::FoulingCondition;
    /// assert_eq!(FoulingCondition::from_nstm_rating(30), Some(FoulingCondition::HeavySlime));
    /// ```
    #[must_use]
    pub fn from_nstm_rating(rating: u8) -> Option<Self> {
        match rating {
            0..=4 => Some(Self::AsApplied),
            5..=24 => Some(Self::LightSlime),
            25..=34 => Some(Self::HeavySlime),
            35..=64 => Some(Self::SmallShellOrWeed),
            65..=84 => Some(Self::MediumShell),
            85..=100 => Some(Self::HeavyShell),
            _ => None,
        }
    }

    /// Equivalent sand height \[m\] with its 80 % band.
    ///
    /// The medians from "as applied" up are those of \[schultz2007\] table 1 (from memory, the
    /// pattern checked by own calculation). They rise by about three from step to step, so the band
    /// reaches half-way to the neighbours on a logarithmic scale (a factor of 1.8 either way): an
    /// eye tells neighbours apart, no more. "Clean and polished" is hydraulically smooth there; 5 um
    /// with a wide band stands for it (common practice, no source).
    #[must_use]
    pub fn sand_height_spread(self) -> Spread {
        let micrometres = match self {
            Self::CleanPolished => return Spread::factor(1.5e-6, 5.0e-6, 15.0e-6),
            Self::AsApplied => 30.0,
            Self::LightSlime => 100.0,
            Self::HeavySlime => 300.0,
            Self::SmallShellOrWeed => 1000.0,
            Self::MediumShell => 3000.0,
            Self::HeavyShell => 10_000.0,
        };
        Spread::relative(micrometres * 1e-6, 0.8)
    }
}
