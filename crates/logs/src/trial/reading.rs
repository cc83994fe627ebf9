//! A trial document read beside its logs: conditions, runs, and every fault at once.
//! Not for: pairs, streams, corrections.

use std::borrow::Cow;

use wakewright_core::trial::{PairBounds, Run, mark_sailed};
use wakewright_units::Quantity;

use super::address::TrialAddress;
use super::conditions::{Conditions, read_conditions, read_number};
use super::document::TrialDocument;
use super::read_run::{ReadRun, RunState, bounds, found, notebook, set_by_hand};
use crate::notebook::doubt_of;
use crate::{Between, JoinOptions, Log, Outing, TimeBase, between, clock, join};

/// Something in the document that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TrialFault {
    /// Which field: `wind`, `notebook.2.rpm`, `marks.0`, `logs.1.shift`.
    pub field: String,
    /// What is wrong and what to do.
    pub problem: String,
}

impl TrialFault {
    pub(super) fn of(address: &TrialAddress, problem: String) -> Self {
        Self { field: address.name(), problem }
    }
}

/// What a trial document says beside its logs.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TrialReading {
    /// What it was like.
    pub conditions: Conditions,
    /// The logs joined by time.
    pub outings: Vec<Outing>,
    /// What its logs say of each other, numbered as [`TrialDocument::logs`].
    pub apart: Vec<Between>,
    /// Runs in order of time; those of the notebook first.
    pub runs: Vec<ReadRun>,
    /// Everything that cannot be read.
    pub faults: Vec<TrialFault>,
}

impl TrialReading {
    /// Runs that are used.
    #[must_use]
    pub fn used(&self) -> Vec<Run> {
        self.runs.iter().filter(|run| run.state == RunState::Used).map(|run| run.run).collect()
    }
}

/// Reads `document` beside `logs`, which are in the order of [`TrialDocument::logs`]; `None` stands
/// for one that cannot be had.
#[must_use]
pub fn read_trial(document: &TrialDocument, logs: &[Option<&Log>]) -> TrialReading {
    let mut reading = TrialReading::default();
    let faults = &mut reading.faults;
    if !document.date.trim().is_empty() && day(&document.date).is_none() {
        faults.push(TrialFault::of(
            &TrialAddress::Date,
            format!("{:?} is no day; write 2026-05-02", document.date),
        ));
    }
    reading.conditions = read_conditions(document, faults);
    let options = join_options(document, faults);
    let bounds = bounds(document, faults);
    let mut numbers = Vec::new();
    let kept: Vec<(Cow<'_, Log>, f64)> = document
        .logs
        .iter()
        .zip(logs)
        .enumerate()
        .filter_map(|(i, (used, log))| {
            let mut log = Cow::Borrowed((*log)?);
            numbers.push(i);
            if !used.left_out.is_empty() {
                log.to_mut().channels.retain(|channel| !used.left_out.contains(&channel.key()));
            }
            let place = TrialAddress::Shift(i);
            let shift_s = optional(document, &used.shift, Quantity::Duration, "s", &place, faults);
            Some((log, shift_s.unwrap_or(0.0)))
        })
        .collect();
    let shifted: Vec<(&Log, f64)> = kept.iter().map(|(log, shift_s)| (log.as_ref(), *shift_s)).collect();
    if !shifted.is_empty() {
        reading.apart =
            between(&shifted, options.packs).into_iter().map(|apart| apart.renumbered(&numbers)).collect();
        match join(&shifted, &options) {
            Ok(outings) => reading.outings = dated(outings, day(&document.date)),
            Err(error) => faults.push(TrialFault::of(&TrialAddress::Logs, error.to_string())),
        }
    }
    notebook(document, &mut reading);
    match &document.marks {
        None => found(&bounds, &mut reading),
        Some(marks) => set_by_hand(marks, &mut reading),
    }
    let mut used = reading.used();
    let held = document.is_throttle_held;
    mark_sailed(&mut used, &PairBounds { is_throttle_held: held, ..PairBounds::default() });
    let read = reading.runs.iter_mut().filter(|run| run.state == RunState::Used);
    read.zip(used).for_each(|(read, run)| read.run = run);
    reading
}

/// Days from 1970-01-01 of a day as typed, `2026-05-02`.
fn day(text: &str) -> Option<i64> {
    let mut parts = text.trim().splitn(3, '-').map(|part| part.parse::<u32>().ok());
    let (year, month, day) = (parts.next()??, parts.next()??, parts.next()??);
    (1900..=2200).contains(&year).then(|| clock::days_from_date(i64::from(year), month, day)).flatten()
}

/// Logs that know the time of day only are put on the day that the document gives.
fn dated(mut outings: Vec<Outing>, day: Option<i64>) -> Vec<Outing> {
    let Some(day) = day else { return outings };
    for outing in outings.iter_mut().filter(|outing| outing.time_base == TimeBase::TimeOfDay) {
        outing.time_base = TimeBase::Utc;
        outing.start_s += day as f64 * clock::DAY_S;
    }
    outings
}

pub(super) fn optional(
    document: &TrialDocument,
    text: &str,
    quantity: Quantity,
    usual: &str,
    field: &TrialAddress,
    faults: &mut Vec<TrialFault>,
) -> Option<f64> {
    if text.trim().is_empty() {
        return None;
    }
    if let Some(doubt) = document.unsettled_about(field) {
        faults.push(TrialFault::of(field, doubt));
        return None;
    }
    faults.extend(doubt_of(text.trim(), quantity, usual, None).map(|doubt| TrialFault::of(field, doubt)));
    read_number(text.trim(), quantity, usual)
        .map_err(|problem| faults.push(TrialFault::of(field, problem)))
        .ok()
}

fn join_options(document: &TrialDocument, faults: &mut Vec<TrialFault>) -> JoinOptions {
    let meter = &document.meter;
    let zero = optional(document, &meter.zero, Quantity::Current, "A", &TrialAddress::MeterZero, faults);
    let mut house = optional(document, &meter.house, Quantity::Power, "W", &TrialAddress::MeterHouse, faults);
    if house.is_some_and(|watts| watts < 0.0) {
        let problem =
            format!("{} would be a load that charges; write what the loads take", meter.house.trim());
        faults.push(TrialFault::of(&TrialAddress::MeterHouse, problem));
        house = None;
    }
    JoinOptions {
        current_zero_a: zero.unwrap_or(0.0),
        house_power_w: house.unwrap_or(0.0),
        is_current_negated: meter.is_current_turned,
        is_current_as_written: meter.is_current_as_written,
        packs: meter.packs(),
        ..JoinOptions::default()
    }
}
