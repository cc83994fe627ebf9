//! The front: candidates that no other beats in everything. Not for: choosing among them (`pick`).

use wakewright_units::Quantity;

use crate::sheet::{Figure, Origin};
use crate::study::{STATE, StateFigure};

/// Speed at full throttle, held for hours.
pub static TOP_SPEED: Figure = Figure {
    key: "top_speed",
    head: "top speed",
    label: "speed at full throttle, held for hours",
    quantity: Quantity::Speed,
    origin: Origin::Of("speed"),
};
pub(super) static DRIVE_MASS: Figure = Figure {
    key: "drive_mass",
    head: "mass",
    label: "mass of motor and packs",
    quantity: Quantity::Mass,
    origin: Origin::Because("it is the sum of what they weigh, estimated from rating and capacity"),
};
pub(super) static COST: Figure = Figure::plain(
    "cost",
    "cost",
    "cost by the prices given; without them the parts changed",
    Origin::Because("it is the sum of the prices given"),
);
pub(super) static PARTS_CHANGED: Figure =
    Figure::plain("parts_changed", "parts", "parts that change", Origin::Because("it is a count"));

/// What candidates are held against each other by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[repr(usize)]
pub enum Merit {
    /// Energy for each metre at the cruising speed: less is better.
    Energy,
    /// Top speed: more is better.
    TopSpeed,
    /// Mass of motor and packs: less is better.
    Mass,
    /// Cost by the prices given, or without prices the number of parts changed: less is better.
    Cost,
    /// Speed of the blade tips at the cruising speed, for noise: less is better.
    TipSpeed,
}

/// Number of [`Merit`]s.
pub const MERIT_COUNT: usize = 5;

impl Merit {
    /// All merits.
    pub const ALL: [Self; MERIT_COUNT] =
        [Self::Energy, Self::TopSpeed, Self::Mass, Self::Cost, Self::TipSpeed];

    /// Its figure; cost is money where there are prices.
    #[must_use]
    pub fn figure(self, has_prices: bool) -> &'static Figure {
        match self {
            Self::Energy => &STATE[StateFigure::EnergyPerMile as usize],
            Self::TopSpeed => &TOP_SPEED,
            Self::Mass => &DRIVE_MASS,
            Self::Cost if has_prices => &COST,
            Self::Cost => &PARTS_CHANGED,
            Self::TipSpeed => &STATE[StateFigure::TipSpeed as usize],
        }
    }

    /// In a few words, and decimals where they are not those of the unit.
    #[must_use]
    pub fn words(self, has_prices: bool) -> (&'static str, Option<usize>) {
        match self {
            Self::Energy => ("energy per mile", None),
            Self::TopSpeed => ("top speed", Some(2)),
            Self::Mass => ("motor and packs", None),
            Self::Cost if has_prices => ("cost", Some(0)),
            Self::Cost => ("parts to change", Some(0)),
            Self::TipSpeed => ("blade tips", None),
        }
    }

    /// Differences smaller than this count as none: finer than anybody measures aboard, coarser than the
    /// tables' own error. 1 Wh/nmi, 0.02 kn, 1 kg, one unit of money or one part, 0.25 m/s.
    #[must_use]
    pub fn step(self) -> f64 {
        match self {
            Self::Energy => 3600.0 / 1852.0,
            Self::TopSpeed => 0.02 * 1852.0 / 3600.0,
            Self::Mass | Self::Cost => 1.0,
            Self::TipSpeed => 0.25,
        }
    }
}

/// The merits of a candidate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Merits {
    /// Energy out of the bank for each metre at the first cruising speed \[J/m\].
    pub energy_per_metre_j: f64,
    /// Top speed that she holds for hours \[m/s\].
    pub top_speed_m_s: f64,
    /// Motor and packs \[kg\].
    pub mass_kg: f64,
    /// Cost, or parts changed.
    pub cost: f64,
    /// Blade tips at the first cruising speed \[m/s\].
    pub tip_speed_m_s: f64,
}

impl Merits {
    /// One of them.
    #[must_use]
    pub fn get(&self, merit: Merit) -> f64 {
        match merit {
            Merit::Energy => self.energy_per_metre_j,
            Merit::TopSpeed => self.top_speed_m_s,
            Merit::Mass => self.mass_kg,
            Merit::Cost => self.cost,
            Merit::TipSpeed => self.tip_speed_m_s,
        }
    }

    /// The merits in whole steps, lower is better.
    #[must_use]
    pub fn ranks(&self) -> Ranks {
        Merit::ALL.map(|merit| {
            let steps = (self.get(merit) / merit.step()).round();
            // Saturates: nothing is beyond it.
            (if merit == Merit::TopSpeed { -steps } else { steps }) as i32
        })
    }
}

/// Merits in whole steps, lower is better.
pub type Ranks = [i32; MERIT_COUNT];

/// A candidate on the front.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Member {
    /// Its number in the space.
    pub index: usize,
    /// Its merits by the tables.
    pub merits: Merits,
}

/// Candidates of which none is at least as good as another in every merit, counted in whole steps. Of
/// equals the one with the lowest number stays, so that the front of a space is one set, whatever the
/// order in which it was put together.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Front {
    members: Vec<Member>,
    /// The merits of each in whole steps, by themselves: every candidate is held against nearly all of them.
    ranks: Vec<Lanes>,
}

/// [`Ranks`] filled up to whole vector registers.
type Lanes = [i32; 8];

fn lanes(ranks: Ranks) -> Lanes {
    std::array::from_fn(|i| ranks.get(i).copied().unwrap_or(0))
}

/// True when `a` is at least as good as `b` in everything. Without a branch, so that the lanes are compared at once.
fn is_no_worse(a: &Lanes, b: &Lanes) -> bool {
    a.iter().zip(b).fold(0, |worse, (a, b)| worse | i32::from(a > b)) == 0
}

impl Front {
    /// The members in the order of their numbers.
    #[must_use]
    pub fn into_members(mut self) -> Vec<Member> {
        self.members.sort_unstable_by_key(|member| member.index);
        self.members
    }

    /// Number of members.
    #[must_use]
    pub fn len(&self) -> usize {
        self.members.len()
    }

    /// True when nothing was found.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.members.is_empty()
    }

    /// Puts a candidate on the front if it belongs there; takes off what it beats.
    pub fn insert(&mut self, index: usize, merits: Merits) {
        self.insert_ranked(Member { index, merits }, lanes(merits.ranks()));
    }

    fn insert_ranked(&mut self, new: Member, ranks: Lanes) {
        if let Some(position) = self.ranks.iter().position(|theirs| is_no_worse(theirs, &ranks)) {
            let member = &mut self.members[position];
            if self.ranks[position] == ranks && new.index < member.index {
                *member = new;
            }
            // What beat one candidate often beats the next: it is asked earlier then. Changes no result.
            self.members.swap(position, position / 2);
            self.ranks.swap(position, position / 2);
            return;
        }
        let mut kept = self.ranks.iter().map(|theirs| !is_no_worse(&ranks, theirs));
        self.members.retain(|_| kept.next().unwrap_or(true));
        self.ranks.retain(|theirs| !is_no_worse(&ranks, theirs));
        self.members.push(new);
        self.ranks.push(ranks);
    }

    /// Adds the front of another part of the space.
    pub fn merge(&mut self, other: Self) {
        for (member, ranks) in other.members.into_iter().zip(other.ranks) {
            self.insert_ranked(member, ranks);
        }
    }
}
