//! Knots by month, and when a scrub pays. Not for: figures and sheets.

use jiff::ToSpan;
use jiff::civil::Date;
use wakewright_units::factors::{DAY_S, MONTH_S};

use super::learn::{CLEAN, GrowthTrial, between, grown, grown_boats, rates, scatter, steps};
use super::pays::{MOST_MONTHS, scrub_interval};
use crate::boat::BoatSpec;
use crate::causes::warmth;
use crate::notice::Notice;
use crate::spread::Interval;
use crate::steady::{Ask, BoatError};

/// What is asked.
#[derive(Debug, Clone)]
pub struct GrowthAsked {
    /// The day.
    pub today: Date,
    /// That of the last cleaning.
    pub cleaned: Option<Date>,
    /// Trials of which it is known how long she had been clean.
    pub trials: Vec<GrowthTrial>,
    /// Temperature of her water \[K\].
    pub water_k: f64,
    /// Cruising speed \[m/s\].
    pub cruise_m_s: f64,
    /// Time under power in a month \[s\].
    pub month_s: Option<f64>,
    /// Energy that costs as much as a scrub \[J\].
    pub scrub_j: Option<f64>,
    /// Loss at which she is scrubbed \[m/s\].
    pub lost_m_s: Option<f64>,
}

/// So many months after a cleaning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Month {
    /// How many.
    pub months: f64,
    /// Speed lost at full throttle \[m/s\].
    pub full_m_s: Interval,
    /// Speed lost at the power that her cruising speed takes clean \[m/s\].
    pub cruise_m_s: Interval,
    /// More power for her cruising speed, as a share.
    pub more: Interval,
}

/// Months after a cleaning: one time in ten before, as often before as after, one time in ten after; none within five years.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct After(pub [Option<f64>; 3]);

/// What was found.
#[derive(Debug, Clone)]
pub struct GrowthStudy {
    /// What was asked.
    pub asked: GrowthAsked,
    /// Trials that told something.
    pub told: usize,
    /// Rise of the sand height in a month in water of 15 °C, as a share.
    pub rise: Interval,
    /// Month by month.
    pub months: Vec<Month>,
    /// Today.
    pub now: Option<Month>,
    /// When a scrub pays.
    pub pays: Option<After>,
    /// When the stated loss is reached.
    pub reached: Option<After>,
    /// The tides that suit, in words; empty where no place was told.
    pub tides: String,
    /// What to read first.
    pub notices: Vec<Notice>,
}

impl After {
    /// The same as days, from that of the cleaning on.
    #[must_use]
    pub fn days(&self, cleaned: Date) -> [Option<Date>; 3] {
        self.0.map(|months| {
            let days = (months? * MONTH_S / DAY_S).round() as i64;
            cleaned.checked_add(days.days()).ok()
        })
    }
}

/// Losses at the steps of growth.
struct Losses {
    full: Vec<f64>,
    cruise: Vec<f64>,
    more: Vec<f64>,
}

impl GrowthStudy {
    /// Of `spec`.
    /// # Errors
    /// She has no steady state.
    pub fn of(spec: &BoatSpec, asked: GrowthAsked) -> Result<Self, BoatError> {
        let boats = grown_boats(&spec.boat)?;
        let clean = &boats[CLEAN];
        let full_m_s = clean.full_throttle()?.held.state.speed_m_s;
        let at_cruise = clean.solve(Ask::Speed(asked.cruise_m_s))?.state;
        let mut losses = Losses { full: Vec::new(), cruise: Vec::new(), more: Vec::new() };
        for boat in &boats {
            losses.full.push(full_m_s - boat.full_throttle()?.held.state.speed_m_s);
            let same_power = boat.solve(Ask::BankPower(at_cruise.bank_power_w()))?.state;
            losses.cruise.push(asked.cruise_m_s - same_power.speed_m_s);
            let power_w = boat.solve(Ask::Speed(asked.cruise_m_s))?.state.drive_power_w;
            losses.more.push(power_w / at_cruise.drive_power_w - 1.0);
        }
        let (rates, told) = rates(&asked.trials, &boats);
        let over = |of: &dyn Fn(f64, f64) -> f64| {
            let all = rates.iter().flat_map(|(rate, weight)| scatter().map(|off| (of(*rate, off), *weight)));
            weighed(all.collect())
        };
        let month = |months: f64| {
            let lost = |of: &[f64]| {
                let [p10, value, p90] =
                    over(&|rate, off| between(of, grown(rate, months, asked.water_k) + off));
                Interval { value, p10, p90 }
            };
            Month {
                months,
                full_m_s: lost(&losses.full),
                cruise_m_s: lost(&losses.cruise),
                more: lost(&losses.more),
            }
        };
        let [p10, value, p90] = over(&|rate, _| rate.exp() - 1.0);
        let pays = asked.month_s.zip(asked.scrub_j).map(|(month_s, scrub_j)| {
            let all = rates.iter().map(|(rate, weight)| {
                let taken_j = |months: f64| {
                    let height = grown(*rate, months, asked.water_k);
                    let more = scatter().map(|off| between(&losses.more, height + off)).sum::<f64>();
                    (more / scatter().count() as f64).max(0.0) * at_cruise.drive_power_w * month_s
                };
                (scrub_interval(scrub_j, taken_j).unwrap_or(f64::INFINITY), *weight)
            });
            after(weighed(all.collect()))
        });
        let reached = asked.lost_m_s.map(|lost_m_s| {
            // Growth at which it is lost, whatever the rate; what is not reached when it has its fill never is.
            let height = fine_steps().find(|height| between(&losses.cruise, *height) >= lost_m_s);
            after(over(&|rate, off| match height {
                Some(height) if height - off <= grown(rate, f64::MAX, asked.water_k) => {
                    ((height - off) / (rate * warmth(asked.water_k))).max(0.0)
                }
                _ => f64::INFINITY,
            }))
        });
        Ok(Self {
            told,
            rise: Interval { value, p10, p90 },
            months: (1..=12).map(|months| month(f64::from(months))).collect(),
            now: asked.cleaned.map(|day| {
                let days = day.until(asked.today).map_or(0, |span| span.get_days());
                month(f64::from(days) * DAY_S / MONTH_S)
            }),
            pays,
            reached,
            tides: String::new(),
            notices: Vec::new(),
            asked,
        })
    }
}

fn fine_steps() -> impl Iterator<Item = f64> {
    let last = steps().last().unwrap_or(0.0);
    (-100..).map(|step| 0.01 * f64::from(step)).take_while(move |step| *step <= last)
}

fn after(months: [f64; 3]) -> After {
    After(months.map(|months| (months <= MOST_MONTHS).then_some(months)))
}

/// The tenth, fiftieth and ninetieth of a hundred parts of what is weighed.
fn weighed(mut values: Vec<(f64, f64)>) -> [f64; 3] {
    values.sort_by(|a, b| a.0.total_cmp(&b.0));
    let all: f64 = values.iter().map(|(_, weight)| weight).sum();
    [0.1, 0.5, 0.9].map(|share| {
        let mut sum = 0.0;
        let found = values.iter().find(|(_, weight)| {
            sum += weight;
            sum >= share * all
        });
        found.or(values.last()).map_or(0.0, |(value, _)| *value)
    })
}
