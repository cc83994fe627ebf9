//! A trial of the store put together: its document, its logs, runs, stream, and what the day did.
//! Not for: the meaning of runs (`wakewright_core::trial`) or the causes of a shortfall.

use std::sync::Arc;
use wakewright_core::field;

use crate::text::Paper;
use wakewright_core::boat::BoatSpec;
use wakewright_core::trial::{
    DayFacts, DayPart, DayWatts, Run, RunFacts, RunFlag, StatedBoat, TrialAnalysis, TrialDay, TrialFacts,
    analyse_trial,
};
use wakewright_core::water::Water;
use wakewright_logs::trial::{
    Conditions, Correction, ReadRun, RunMark, RunState, TrialDocument, TrialReading, read_trial,
};
use wakewright_logs::{Channel, Log, TimeBase};
use wakewright_records::boat::{BoatDocument, WaterKind};
use wakewright_store::{BoatId, KeptEnclosure, Record, Store, StoreError, TRIAL_KIND, UnixMs};

use super::questions::{Question, other_bank, questions};
use super::shelf::{Joined, LogShelf};
use super::{AS_WRITTEN, LEFT_OUT, TURNED, TrialError, document_of, remember_mapping, source_of};
use crate::logs::{Opened, SHORT_RUN_S, key_in_log, pair_bounds, question_words, time_text};

/// A run with what the day did to it.
#[derive(Debug, Clone, PartialEq)]
pub struct StatedRun {
    /// Place in [`TrialReading::runs`].
    pub index: usize,
    /// Speed through the water, stream out \[m/s\]; `None` when it is not known.
    pub speed_m_s: Option<f64>,
    /// What each condition added to its power.
    pub watts: DayWatts,
    /// Power with the corrections that are switched on taken off \[W\].
    pub power_w: Option<f64>,
    /// What to say of it.
    pub flags: Vec<RunFlag>,
}

/// A trial put together.
#[derive(Debug)]
pub struct KeptTrial {
    /// As it is kept.
    pub trial: Record,
    /// What it says.
    pub document: TrialDocument,
    /// Its logs, in the order of the document, where the store has them.
    pub logs: Vec<Option<KeptEnclosure>>,
    /// The same, read.
    pub opened: Vec<Option<Arc<Opened>>>,
    /// Conditions, joined logs, runs, faults.
    pub reading: Arc<TrialReading>,
    /// Pairs and stream of the runs that are used; places count those.
    pub analysis: TrialAnalysis,
    /// Runs that are used, with the day taken out.
    pub stated: Vec<StatedRun>,
    /// Questions about the logs, each with the answers it can have.
    pub questions: Vec<Question>,
}

impl KeptTrial {
    /// The trial `number` of `boat`, whose document is `spec` and `boat_document`.
    /// # Errors
    /// [`TrialError`].
    pub fn load(
        store: &Store,
        shelf: &LogShelf,
        boat: BoatId,
        number: u32,
        about: Option<(&BoatDocument, &BoatSpec)>,
    ) -> Result<Self, TrialError> {
        let trial = store.record(boat, TRIAL_KIND, number)?;
        let document = document_of(&trial)?;
        let kept = store.enclosures(trial.id)?;
        let mut logs = Vec::new();
        let mut opened = Vec::new();
        for used in &document.logs {
            let log = kept.iter().find(|log| log.digest == used.digest);
            opened.push(match log {
                Some(log) => Some(shelf.get(store, boat, log, used)?),
                None => None,
            });
            logs.push(log.cloned());
        }
        let read: Vec<Option<&Log>> =
            opened.iter().map(|opened| opened.as_ref()?.log.as_ref().ok()).collect();
        let read_logs: Vec<bool> = read.iter().map(Option::is_some).collect();
        let joined = shelf.joined(&format!("{read_logs:?} {}", trial.text), || {
            let reading = read_trial(&document, &read);
            let analysis = analyse_trial(&reading.used(), &pair_bounds(document.is_throttle_held));
            Joined { reading: Arc::new(reading), analysis }
        });
        let (reading, analysis) = (Arc::clone(&joined.reading), joined.analysis.clone());
        let stated = about.map_or_else(Vec::new, |(boat_document, spec)| {
            stated_runs(&document, &reading, &analysis, boat_document, spec)
        });
        let mut questions = questions(&document, &opened, &reading);
        if let Some((_, spec)) = about {
            questions.splice(0..0, other_bank(&opened, &spec.boat));
        }
        Ok(Self { trial, document, logs, opened, reading, analysis, stated, questions })
    }

    /// Remembers what was answered, for logs of the same source.
    /// # Errors
    /// The store fails.
    pub fn remember_answers(&self, store: &mut Store, time: UnixMs) -> Result<(), StoreError> {
        for (used, opened) in self.document.logs.iter().zip(&self.opened) {
            let Some(opened) = opened else { continue };
            let source = source_of(opened);
            if let Some(mapping) = &used.mapping {
                remember_mapping(store, mapping, time)?;
            }
            let left_out: Vec<&str> = used.left_out.iter().map(String::as_str).collect();
            store.remember(LEFT_OUT, &source, &left_out.join("\n"), time)?;
            if opened
                .log
                .as_ref()
                .is_ok_and(|log| log.channels.iter().any(|c| c.measured.word() == "current"))
            {
                let meter = &self.document.meter;
                let turned = match (meter.is_current_turned, meter.is_current_as_written) {
                    (true, _) => "yes",
                    (false, true) => AS_WRITTEN,
                    (false, false) => "no",
                };
                store.remember(TURNED, &source, turned, time)?;
            }
        }
        Ok(())
    }
}

impl KeptTrial {
    /// Its runs in the logs as marks: those set by hand, else those found.
    #[must_use]
    pub fn marks(&self) -> Vec<RunMark> {
        let found = || self.reading.runs.iter().filter(|read| read.place.is_some());
        self.document.marks.clone().unwrap_or_else(|| found().map(|read| read.mark.clone()).collect())
    }

    /// Answers a question about its logs by the word of a choice.
    /// # Errors
    /// In words: no log asks this, or it has no such answer.
    pub fn answer(&mut self, key: &str, word: &str) -> Result<(), String> {
        let mut open: Vec<String> = Vec::new();
        for (used, opened) in self.document.logs.iter_mut().zip(&self.opened) {
            for question in opened.iter().flat_map(|opened| &opened.questions) {
                if question.key != key {
                    open.push(question.key.clone());
                    continue;
                }
                let choice = question.choices.iter().find(|choice| choice.word.trim() == word.trim());
                let choice = choice.ok_or_else(|| question_words(question, "answer="))?;
                used.mapping = Some(choice.mapping.clone());
                return Ok(());
            }
        }
        let open =
            if open.is_empty() { "none is open".to_owned() } else { format!("open are {}", open.join(", ")) };
        Err(format!("no log of this trial asks {key}; {open}"))
    }

    /// Leaves channels out of its logs: those of these keys and no others.
    /// # Errors
    /// In words: no log has such a channel.
    pub fn leave_out(&mut self, keys: &[&str]) -> Result<(), String> {
        let known: Vec<Vec<String>> = self
            .opened
            .iter()
            .map(|opened| {
                let log = opened.as_ref().and_then(|opened| opened.log.as_ref().ok());
                log.map_or_else(Vec::new, |log| log.channels.iter().map(Channel::key).collect())
            })
            .collect();
        let meets = |key: &str, log: usize| {
            key_in_log(key, log + 1).is_some_and(|key| known[log].iter().any(|k| k == key))
        };
        if let Some(strange) = keys.iter().find(|key| (0..known.len()).all(|log| !meets(key, log))) {
            let all: Vec<&str> = known.iter().flatten().map(String::as_str).collect();
            return Err(format!("no log of this trial has {strange}; there are {}", all.join(", ")));
        }
        for (log, used) in self.document.logs.iter_mut().enumerate() {
            let left_out = keys.iter().filter(|key| log < known.len() && meets(key, log));
            used.left_out = left_out.filter_map(|key| key_in_log(key, log + 1)).map(str::to_owned).collect();
        }
        Ok(())
    }

    /// Says which of its runs, numbered as they are shown, were made at full throttle; the others in its logs
    /// were not. Runs that were found become set ones.
    /// # Errors
    /// In words, where there is no such run in the logs.
    pub fn mark_full_throttle(&mut self, numbers: &[usize]) -> Result<(), String> {
        let used: Vec<&ReadRun> =
            self.reading.runs.iter().filter(|run| run.state == RunState::Used).collect();
        let mut marks = self.marks();
        marks.iter_mut().for_each(|mark| mark.is_full_throttle = false);
        for number in numbers {
            let run = number.checked_sub(1).and_then(|place| used.get(place));
            let Some(run) = run else {
                return Err(format!("no run {number}; the trial holds {} runs\n", used.len()));
            };
            // Notebook runs say it in their own column.
            let mark = marks.iter_mut().find(|mark| mark.from == run.mark.from && mark.to == run.mark.to);
            let mark = mark.filter(|_| run.place.is_some());
            mark.ok_or_else(|| {
                format!("run {number} is of the notebook: write full as its throttle there\n")
            })?
            .is_full_throttle = true;
        }
        self.document.marks = Some(marks);
        Ok(())
    }

    /// Its runs, as a report shows them.
    #[must_use]
    pub fn facts(&self, paper: &Paper) -> TrialFacts {
        let base = self.reading.outings.first().map_or(TimeBase::TimeOfDay, |outing| outing.time_base);
        let used = self.reading.runs.iter().filter(|run| run.state == RunState::Used);
        let runs = used.enumerate().map(|(place, read)| {
            let flags = self.stated.get(place).map(|stated| stated.flags.as_slice()).unwrap_or_default();
            let is_notebook = read.place.is_none();
            RunFacts {
                from: if is_notebook { format!("row {}", place + 1) } else { run_start(base, &read.run) },
                run: read.run,
                is_shallow: flags.contains(&RunFlag::Shallow) || self.reading.conditions.is_confined,
                is_short: !is_notebook && read.run.duration_s < SHORT_RUN_S,
                is_of_drive: read.is_full_throttle || read.run.is_of_drive() || self.is_held(place),
                note: read.note.clone(),
            }
        });
        TrialFacts {
            label: Some(self.document.label()),
            days: self.day_facts(),
            files: self.document.logs.iter().map(|log| log.name.clone()).collect(),
            runs: runs.collect(),
            analysis: self.analysis.clone(),
            remarks: self.questions.iter().map(|question| question.remark(paper)).collect(),
        }
    }

    /// True for a run of a pair that counts because the throttle was not touched.
    fn is_held(&self, place: usize) -> bool {
        self.document.is_throttle_held
            && self.analysis.pairs.iter().any(|pair| [pair.pair.first, pair.pair.second].contains(&place))
    }

    /// What the day did to each run.
    fn day_facts(&self) -> Vec<DayFacts> {
        self.stated
            .iter()
            .enumerate()
            .map(|(place, stated)| DayFacts {
                run: place + 1,
                measured_w: self.reading.runs[stated.index].run.power_w,
                parts: Correction::ALL.map(|correction| DayPart {
                    word: correction.word(),
                    watts: match correction {
                        Correction::Wind => stated.watts.wind_w,
                        Correction::Waves => stated.watts.waves_w,
                        Correction::Displacement => stated.watts.displacement_w,
                        Correction::Water => stated.watts.water_w,
                    },
                    is_taken_off: self.document.corrections.contains(&correction),
                }),
                stated_w: stated.power_w,
                flags: stated.flags.clone(),
            })
            .collect()
    }
}

fn run_start(base: TimeBase, run: &Run) -> String {
    time_text(base, run.time_s - 0.5 * run.duration_s)
}

/// The day of the trial, as corrections take it.
fn day_of(conditions: &Conditions, boat: &BoatDocument) -> TrialDay {
    let water = |temperature_k: f64| match boat.chosen(field::sea::WATER).unwrap_or(WaterKind::Salt) {
        WaterKind::Fresh => Water::fresh(temperature_k),
        WaterKind::Salt => Water::sea(temperature_k),
    };
    TrialDay {
        true_wind_m_s: conditions.true_wind_m_s,
        wind_from_rad: conditions.wind_from_rad,
        wave_height_m: conditions.wave_height_m,
        displacement_kg: conditions.displacement_kg,
        water: conditions.water_temperature_k.map(water),
    }
}

fn stated_runs(
    document: &TrialDocument,
    reading: &TrialReading,
    analysis: &TrialAnalysis,
    boat_document: &BoatDocument,
    spec: &BoatSpec,
) -> Vec<StatedRun> {
    let Ok(boat) = StatedBoat::new(&spec.boat) else { return Vec::new() };
    let day = day_of(&reading.conditions, boat_document);
    let used = reading.runs.iter().enumerate().filter(|(_, run)| run.state == RunState::Used);
    used.enumerate()
        .map(|(place, (index, read))| {
            let speed_m_s = speed_through_water(&read.run, place, analysis);
            let (watts, flags) = speed_m_s
                .map_or_else(Default::default, |speed_m_s| boat.day_watts(&read.run, speed_m_s, &day));
            let each = [
                (Correction::Wind, watts.wind_w),
                (Correction::Waves, watts.waves_w),
                (Correction::Displacement, watts.displacement_w),
                (Correction::Water, watts.water_w),
            ];
            let off: f64 = each
                .iter()
                .filter(|(correction, _)| document.corrections.contains(correction))
                .filter_map(|(_, watts)| *watts)
                .sum();
            StatedRun { index, speed_m_s, watts, power_w: read.run.power_w.map(|power| power - off), flags }
        })
        .collect()
}

/// Speed through the water of the run at `place`: of its pair, else what the log shows.
#[must_use]
pub fn speed_through_water(run: &Run, place: usize, analysis: &TrialAnalysis) -> Option<f64> {
    let of_pair = analysis.pairs.iter().find(|pair| pair.pair.first == place || pair.pair.second == place);
    match (of_pair, run.speed_over_ground_m_s) {
        (Some(pair), Some(over_ground)) => {
            // Each run of a pair by itself: with the stream on one course, against it on the other.
            let sign = if pair.pair.first == place { -1.0 } else { 1.0 };
            Some(over_ground + sign * pair.estimate.stream_along_m_s)
        }
        _ => run.speed_through_water_m_s,
    }
}
