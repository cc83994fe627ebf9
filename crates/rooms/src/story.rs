//! What a boat's trials and forecasts tell one after the other: as found, forecast, what was done, what came.
//! Not for: one trial beside her document (`standing`), holding a forecast in a calm (`causes`).

use wakewright_core::causes::Measure;
use wakewright_core::study::Interval;
use wakewright_logs::trial::RunState;
use wakewright_picture::{Axis, IntervalRow, Intervals, Tone};
use wakewright_store::{BoatId, Store, TRIAL_KIND};
use wakewright_units::{Quantity, unit_for};

use crate::causes::ForecastRecord;
use crate::scene::measured_points;
use crate::standing::MeasuredPoint;
use crate::text::{Finding, Paper};
use crate::trials::{KeptTrial, LogShelf, TrialError};

/// Logs of a story are read up to this size together; beyond, a trial is named without its speed.
const READ_BYTES: u64 = 16_000_000;

/// One thing that happened.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Trial's number; for a forecast that of the trial that it was made from.
    pub number: u32,
    /// The day, `2026-05-02`; may be empty.
    pub day: String,
    /// What it is called: a trial's name, a remedy's.
    pub name: String,
    /// Trial or forecast.
    pub what: What,
}

/// What a step is.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// She was tried.
    Trial {
        /// What was done since the trial before.
        done: String,
        /// Fastest speed through the water that nothing held back, with its band where the readings tell one \[m/s\].
        fastest: Option<Interval>,
        /// The throttle was noted as fully open there.
        is_full: bool,
    },
    /// A remedy was forecast: speed at full throttle \[m/s\].
    Forecast(Interval),
}

/// All of it, in the order in which it happened.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Story {
    /// The steps.
    pub steps: Vec<Step>,
}

impl Story {
    /// That of the boat `id` in the store.
    /// # Errors
    /// The store fails, or a trial in it cannot be read.
    pub fn of_store(store: &Store, shelf: &LogShelf, id: BoatId) -> Result<Self, TrialError> {
        let mut left = READ_BYTES;
        let mut trials = Vec::new();
        for trial in store.records(id, TRIAL_KIND)? {
            let bytes: u64 = store.enclosures(trial.id)?.iter().map(|log| log.plain_bytes).sum();
            if bytes <= left {
                left -= bytes;
                trials.push(tried(&KeptTrial::load(store, shelf, id, trial.number, None)?));
            } else {
                let document = crate::trials::document_of(&trial)?;
                let what = What::Trial { done: document.done.clone(), fastest: None, is_full: false };
                trials.push(Step {
                    number: trial.number,
                    day: document.date.clone(),
                    name: document.title,
                    what,
                });
            }
        }
        let kept = store.forecasts(id)?;
        Ok(Self::told(trials, kept.iter().filter_map(|kept| ForecastRecord::read(&kept.text).ok())))
    }

    /// Trials by their days, else as they were entered, each followed by the forecasts that were made from it.
    fn told(mut trials: Vec<Step>, forecasts: impl Iterator<Item = ForecastRecord>) -> Self {
        trials.sort_by(|a, b| {
            let is_dated = !a.day.is_empty() && !b.day.is_empty();
            let by_day = if is_dated { a.day.cmp(&b.day) } else { std::cmp::Ordering::Equal };
            by_day.then(a.number.cmp(&b.number))
        });
        let forecasts: Vec<Step> = forecasts.filter_map(|record| forecast_step(&record)).collect();
        let with = |trial: Step| {
            let of_it = forecasts.iter().filter(|step| step.number == trial.number).cloned();
            std::iter::once(trial.clone()).chain(of_it.collect::<Vec<_>>())
        };
        Self { steps: trials.into_iter().flat_map(with).collect() }
    }

    fn trials(&self) -> impl DoubleEndedIterator<Item = (usize, &Step, Interval, bool)> {
        self.steps.iter().enumerate().filter_map(|(place, step)| match step.what {
            What::Trial { fastest: Some(speed), is_full, .. } => Some((place, step, speed, is_full)),
            _ => None,
        })
    }

    /// The steps up to trial `number`.
    #[must_use]
    pub fn up_to(mut self, number: u32) -> Self {
        let is_it = |step: &Step| step.number == number && matches!(step.what, What::Trial { .. });
        if let Some(place) = self.steps.iter().position(is_it) {
            self.steps.truncate(place + 1);
        }
        self
    }

    /// True where nothing happened yet.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.steps.is_empty()
    }

    /// True where a trial with a speed came before the last.
    #[must_use]
    pub fn has_before(&self) -> bool {
        self.trials().count() > 1
    }

    /// What it comes to: the last speed, what it is more than as found, and how the forecasts fared. Nothing where no
    /// trial gives a speed.
    #[must_use]
    pub fn finding(&self, name: &str, paper: &Paper) -> Option<Finding> {
        let knots = |m_s: f64| paper.decimals(m_s, Quantity::Speed, 1);
        let (_, first, found, was_full) = self.trials().next()?;
        let (place, last, speed, is_full) = self.trials().next_back()?;
        let (speed_m_s, figure) = (speed.value, knots(speed.value));
        let band =
            paper.four_in_five(speed, Quantity::Speed).map_or_else(String::new, |band| format!(", {band}"));
        let on = |step: &Step| if step.day.is_empty() { String::new() } else { format!(" on {}", step.day) };
        if place == 0 || first.number == last.number {
            let forecasts: Vec<String> = self
                .forecasts(self.steps.len())
                .map(|(step, after)| {
                    format!(
                        "\"{}\" was forecast to make it {} ({})",
                        step.name,
                        knots(after.value),
                        paper.band(*after, Quantity::Speed)
                    )
                })
                .collect();
            let further =
                if forecasts.is_empty() { String::new() } else { format!("{}.", forecasts.join("; ")) };
            return Some(Finding {
                sentence: format!("As found{} {name} made {figure}{band}.", on(first)),
                figure,
                further,
                ..Finding::default()
            });
        }
        let step_m_s = speed_m_s - found.value;
        let than = match paper.decimals(step_m_s.abs(), Quantity::Speed, 1) {
            same if same == knots(0.0) => "the same as when she was found".to_owned(),
            step => format!("{step} {} than as found", if step_m_s > 0.0 { "more" } else { "less" }),
        };
        let done = match &last.what {
            What::Trial { done, .. } if !done.trim().is_empty() => {
                format!(" Done before it: {}.", done.trim().trim_end_matches('.'))
            }
            _ => " What was done before it is not said.".to_owned(),
        };
        let held: Vec<String> = self
            .forecasts(place)
            .map(|(step, after)| {
                let how = match speed_m_s {
                    speed if speed < after.p10 => "slower than",
                    speed if speed > after.p90 => "faster than",
                    _ => "inside",
                };
                format!(
                    "{how} what was forecast for \"{}\" ({})",
                    step.name,
                    paper.band(*after, Quantity::Speed)
                )
            })
            .collect();
        let held = if held.is_empty() { String::new() } else { format!(", {}", held.join(", ")) };
        let unlike = if was_full && is_full {
            ""
        } else {
            " It is not noted of both that the throttle was fully open: the fastest runs stand beside each other."
        };
        Some(Finding {
            sentence: format!("{name} made {figure}{}{band}: {than}{held}.", on(last)),
            figure,
            further: format!(
                "{}{unlike} Speeds as measured, the stream out; the wind and the load of each day are still in them.",
                done.trim_start()
            ),
            ..Finding::default()
        })
    }

    /// Forecasts that were made before the step at `place`.
    fn forecasts(&self, place: usize) -> impl Iterator<Item = (&Step, &Interval)> {
        self.steps[..place].iter().filter_map(|step| match &step.what {
            What::Forecast(after) => Some((step, after)),
            What::Trial { .. } => None,
        })
    }

    /// The steps over speed; nothing where there is but one.
    #[must_use]
    pub fn picture(&self, paper: &Paper) -> Option<Intervals> {
        let unit = unit_for(Quantity::Speed, paper.units);
        let knots = |si: f64| unit.from_si(si);
        let rows: Vec<IntervalRow> = self
            .steps
            .iter()
            .enumerate()
            .filter_map(|(place, step)| {
                let (speed, tone) = match &step.what {
                    What::Trial { fastest, .. } => ((*fastest)?, Tone::Ink),
                    What::Forecast(after) => (*after, Tone::Muted),
                };
                let name = match (&step.what, place) {
                    (What::Forecast(_), _) => format!("forecast: {}", step.name),
                    (What::Trial { .. }, 0) if step.name.is_empty() => "as found".to_owned(),
                    (What::Trial { .. }, _) if step.name.is_empty() => format!("trial {}", step.number),
                    (What::Trial { .. }, _) => step.name.clone(),
                };
                Some(IntervalRow {
                    label: name,
                    median: knots(speed.value),
                    low: knots(speed.p10),
                    high: knots(speed.p90),
                    text: match (paper.decimals(speed.value, Quantity::Speed, 1), step.day.as_str()) {
                        (speed, "") => speed,
                        (speed, day) => format!("{speed}, {day}"),
                    },
                    tone,
                })
            })
            .collect();
        let ends = rows.iter().flat_map(|row| [row.low, row.high]);
        let (from, to) = ends.fold((f64::INFINITY, 0.0_f64), |(from, to), end| (from.min(end), to.max(end)));
        let said: Vec<String> = rows.iter().map(|row| format!("{}: {}", row.label, row.text)).collect();
        (rows.len() > 1).then(|| Intervals {
            title: "What she made, and what was forecast".to_owned(),
            description: format!("{}.", said.join("; ")),
            axis: Axis::new("speed through the water", unit.symbol(), 1)
                .over((from - 0.3).floor().max(0.0), (to + 0.3).ceil()),
            reference: None,
            rows,
        })
    }
}

fn tried(kept: &KeptTrial) -> Step {
    let points = measured_points(kept, 1.0);
    let fastest =
        points.iter().filter(|point| !point.is_held_back).max_by(|a, b| a.speed_m_s.total_cmp(&b.speed_m_s));
    let used: Vec<_> = kept.reading.runs.iter().filter(|read| read.state == RunState::Used).collect();
    let is_full = fastest.is_some_and(|point| {
        point.runs.iter().all(|number| used.get(number - 1).is_some_and(|read| read.is_full_throttle))
    });
    Step {
        number: kept.trial.number,
        day: kept.document.date.trim().to_owned(),
        name: kept.document.title.trim().to_owned(),
        what: What::Trial {
            done: kept.document.done.clone(),
            fastest: fastest.map(MeasuredPoint::speed),
            is_full,
        },
    }
}

fn forecast_step(record: &ForecastRecord) -> Option<Step> {
    let forecast = record.forecast().ok()?;
    let after = forecast.of(Measure::FullSpeed)?.after;
    Some(Step {
        number: record.from_number?,
        day: record.made_on.clone(),
        name: record.remedy.clone(),
        what: What::Forecast(after),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use wakewright_units::UnitSystem;

    fn trial(number: u32, day: &str, knots: f64, done: &str) -> Step {
        let what = What::Trial {
            done: done.to_owned(),
            fastest: Some(Interval::exact(knots * 0.514_444)),
            is_full: true,
        };
        Step { number, day: day.to_owned(), name: String::new(), what }
    }

    #[test]
    fn a_story_tells_before_after_and_the_forecast() {
        let paper = Paper::plain(UnitSystem::Trade);
        let after = Interval { value: 5.9 * 0.514_444, p10: 5.6 * 0.514_444, p90: 6.1 * 0.514_444 };
        let forecast = Step {
            number: 1,
            day: "2025-05-04".to_owned(),
            name: "scrub".to_owned(),
            what: What::Forecast(after),
        };
        let mut story = Story::told(
            vec![trial(2, "2025-05-10", 5.9, "scrubbed."), trial(1, "2025-05-03", 5.2, "")],
            std::iter::empty(),
        );
        story.steps.insert(1, forecast);
        let told = story.finding("Sea Campion", &paper).unwrap();
        assert_eq!(
            told.sentence,
            "Sea Campion made 5.9 kn on 2025-05-10: 0.7 kn more than as found, inside what was forecast for \"scrub\" (5.6 to 6.1 kn)."
        );
        assert!(told.further.starts_with("Done before it: scrubbed."), "{}", told.further);
        assert_eq!(story.picture(&paper).unwrap().rows.len(), 3);
        let first = story.up_to(1).finding("Sea Campion", &paper).unwrap();
        assert_eq!(first.sentence, "As found on 2025-05-03 Sea Campion made 5.2 kn.");
        assert!(Story::default().finding("Sea Campion", &paper).is_none());
    }
}
