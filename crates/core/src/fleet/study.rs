//! What the boats come to together. Not for: reading them.

use jiff::civil::Date;

use crate::call::CallScore;
use crate::causes::Measure;
use crate::notice::Notice;
use crate::spread::{DEVIATE_P90, Interval, share_interval};
use crate::upkeep::{Found, UpkeepStudy};

/// One measure of a forecast, held against what came.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// Day on which it was made.
    pub made_on: String,
    /// Name of the remedy.
    pub remedy: String,
    /// Number of the trial that it was held against.
    pub trial: u32,
    /// What was foretold, in the measure's SI unit.
    pub forecast: Interval,
    /// What was found.
    pub outcome: f64,
    /// Which.
    pub measure: Measure,
    /// The outcome lies within the forecast's 80 % band.
    pub is_inside: bool,
    /// Ranked probability score, in the measure's SI unit.
    pub crps: f64,
    /// The same for no change.
    pub crps_no_change: f64,
}

/// A boat of the shop.
#[derive(Debug, Clone)]
pub struct FleetBoat {
    /// Her name.
    pub name: String,
    /// Her check-ups.
    pub upkeep: UpkeepStudy,
    /// Day of the last look at anything.
    pub last: Option<Date>,
    /// Her forecasts that were held, a row for each measure.
    pub held: Vec<Held>,
    /// Forecasts that wait for a trial.
    pub waiting: usize,
    /// Energy out of the bank for each metre and kilogram of displacement at cruising speed \[J/(m kg)\].
    pub cruise_j_m_kg: Option<f64>,
}

impl FleetBoat {
    /// Items of her list that are due.
    #[must_use]
    pub fn due(&self) -> usize {
        self.upkeep.asked.list.iter().filter(|listed| listed.is_due(self.upkeep.asked.today)).count()
    }

    /// Items that had to be put right before she goes, and of which nothing better was noted since.
    #[must_use]
    pub fn act_now(&self) -> usize {
        let found = |look: Option<crate::upkeep::Look>| look.is_some_and(|look| look.found == Found::ActNow);
        self.upkeep.asked.list.iter().filter(|listed| found(listed.last)).count()
    }

    /// True where the tests of her bank show a loss.
    #[must_use]
    pub fn fades(&self) -> bool {
        self.upkeep.fade.is_ok_and(|line| line.shows_change() && line.per_year().value < 0.0)
    }

    /// True where her bank is worn by what its tests tell, as likely as not.
    #[must_use]
    pub fn is_worn(&self) -> bool {
        self.upkeep.capacity_now().is_some_and(|now| now.value < self.upkeep.asked.worn_share)
    }

    /// Forecasts of speed at full throttle that were held, and of them those outside their band.
    #[must_use]
    pub fn forecasts(&self) -> (usize, usize) {
        let speeds = self.held.iter().filter(|held| held.measure == Measure::FullSpeed);
        speeds.fold((0, 0), |(all, out), held| (all + 1, out + usize::from(!held.is_inside)))
    }
}

/// How forecasts of one measure fared over all boats.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coverage {
    /// Which.
    pub measure: Measure,
    /// Held.
    pub held: usize,
    /// Inside their 80 % band.
    pub inside: usize,
    /// Mean ranked probability score, in the measure's SI unit.
    pub crps: f64,
    /// The same for no change.
    pub crps_no_change: f64,
}

impl Coverage {
    /// Share of them inside, with the 80 % band of what it would be in the long run.
    #[must_use]
    pub fn share(&self) -> Interval {
        share_interval(self.inside, self.held, DEVIATE_P90)
    }
}

/// Where a boat stands in one figure: share of the shop's boats that have less of it, and how many boats have it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rank {
    /// Share below her, half of those beside her and herself among them.
    pub share: f64,
    /// Boats that have the figure, she among them.
    pub of: usize,
}

impl Rank {
    /// Her rank among `all`, of which her own figure is one.
    ///
    /// `(boats below + (boats beside, herself among them) / 2) / boats`.
    /// # Source
    /// Plotting position of Hazen (1914), from memory.
    /// # Example
    /// By hand: of 10, 20, 20 and 40 the second has one below and two beside it, (1 + 1) / 4.
    /// ```
    /// # use wakewright_core::fleet::Rank;
    /// let all = [10.0, 20.0, 20.0, 40.0];
    /// assert_eq!(Rank::of(20.0, &all), Rank { share: 0.5, of: 4 });
    /// assert_eq!(Rank::of(40.0, &all).share, 0.875);
    /// ```
    #[must_use]
    pub fn of(own: f64, all: &[f64]) -> Self {
        let count = |is: fn(f64, f64) -> bool| all.iter().filter(|&&other| is(other, own)).count() as f64;
        let (below, beside) = (count(|other, own| other < own), count(|other, own| other == own));
        Self { share: (below + 0.5 * beside) / all.len().max(1) as f64, of: all.len() }
    }
}

/// The shop's boats.
#[derive(Debug, Clone)]
pub struct FleetStudy {
    /// The day.
    pub today: Date,
    /// The boats, those first that want somebody most.
    pub boats: Vec<FleetBoat>,
    /// How forecasts fared, measure by measure.
    pub coverage: Vec<Coverage>,
    /// How often calls were right.
    pub calls: CallScore,
    /// What to read first.
    pub notices: Vec<Notice>,
    ranks: [Vec<f64>; 3],
}

/// The figures in which boats are ranked.
const RANKED: [fn(&FleetBoat) -> Option<f64>; 3] = [
    |boat| Some(boat.upkeep.capacity_now()?.value),
    |boat| Some(boat.upkeep.fall_per_year()?.value),
    |boat| boat.cruise_j_m_kg,
];

impl FleetStudy {
    /// Puts the boats together.
    #[must_use]
    pub fn of(today: Date, mut boats: Vec<FleetBoat>, calls: CallScore, notices: Vec<Notice>) -> Self {
        boats.sort_by_cached_key(|boat| {
            let fares = boat.fades() || boat.is_worn() || boat.forecasts().1 > 0;
            (std::cmp::Reverse((boat.act_now(), boat.due(), fares)), boat.name.clone())
        });
        let coverage = Measure::ALL.into_iter().filter_map(|measure| {
            let of_it: Vec<&Held> =
                boats.iter().flat_map(|boat| &boat.held).filter(|held| held.measure == measure).collect();
            let mean =
                |of: fn(&Held) -> f64| of_it.iter().map(|held| of(held)).sum::<f64>() / of_it.len() as f64;
            (!of_it.is_empty()).then(|| Coverage {
                measure,
                held: of_it.len(),
                inside: of_it.iter().filter(|held| held.is_inside).count(),
                crps: mean(|held| held.crps),
                crps_no_change: mean(|held| held.crps_no_change),
            })
        });
        let coverage = coverage.collect();
        let ranks = RANKED.map(|figure| boats.iter().filter_map(figure).collect());
        Self { today, boats, coverage, calls, notices, ranks }
    }

    /// Forecasts that came out outside their 80 % band, with their boats.
    pub fn failed(&self) -> impl Iterator<Item = (&FleetBoat, &Held)> {
        let all = self.boats.iter().flat_map(|boat| boat.held.iter().map(move |held| (boat, held)));
        all.filter(|(_, held)| !held.is_inside)
    }

    /// Where a boat stands in the figure of that place among those that are ranked; none where she has none of it.
    #[must_use]
    pub(super) fn rank(&self, boat: &FleetBoat, figure: usize) -> Option<Rank> {
        Some(Rank::of(RANKED[figure](boat)?, &self.ranks[figure]))
    }
}
