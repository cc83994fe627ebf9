//! The runs of a trial document: found in its logs, set by hand, or written in a notebook.

use super::address::TrialAddress;
use super::document::TrialDocument;
use super::marks;
use super::reading::{TrialFault, TrialReading, optional};
use super::written::RunMark;
use crate::{NotebookCell, RunBounds, find_steady_runs, notebook_runs_lenient, run_between};
use wakewright_core::trial::Run;
use wakewright_units::Quantity;

/// Where a run comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunOrigin {
    /// Row of the notebook.
    Notebook(usize),
    /// Found in the log.
    Found,
    /// Set by hand in the log: number of the mark.
    Mark(usize),
}

/// Whether a run is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunState {
    /// Used.
    Used,
    /// Dropped by hand: shown, not used.
    Dropped,
}

/// A run of the trial.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadRun {
    /// Means over it.
    pub run: Run,
    /// Where it comes from.
    pub origin: RunOrigin,
    /// Whether it is used.
    pub state: RunState,
    /// The throttle was fully open.
    pub is_full_throttle: bool,
    /// Where it lies in the log: outing, first and last step.
    pub place: Option<(usize, usize, usize)>,
    /// The same as typed, to be set by hand.
    pub mark: RunMark,
    /// What was noted beside it.
    pub note: String,
}

pub(super) fn bounds(document: &TrialDocument, faults: &mut Vec<TrialFault>) -> RunBounds {
    const LEAST_S: f64 = 10.0;
    let least =
        optional(document, &document.least_run, Quantity::Duration, "s", &TrialAddress::LeastRun, faults);
    let usual = RunBounds::default();
    match least {
        Some(least_s) if least_s < LEAST_S => {
            let problem = format!("a run lasts {LEAST_S:.0} s at least; three minutes are better");
            faults.push(TrialFault::of(&TrialAddress::LeastRun, problem));
            usual
        }
        Some(least_duration_s) => RunBounds { least_duration_s, ..usual },
        None => usual,
    }
}

pub(super) fn notebook(document: &TrialDocument, reading: &mut TrialReading) {
    let (rows, faults) = notebook_runs_lenient(&document.notebook);
    for fault in faults {
        let field = TrialAddress::Cell(fault.row, fault.cell);
        let problem = document.unsettled_about(&field).unwrap_or(fault.problem);
        reading.faults.push(TrialFault::of(&field, problem));
    }
    let is_settled = |row: usize| {
        let mut cells = NotebookCell::ALL.into_iter().map(|cell| TrialAddress::Cell(row, cell));
        cells.all(|cell| document.unsettled_about(&cell).is_none())
    };
    for (row, mut run) in rows.into_iter().filter(|(row, _)| is_settled(*row)) {
        run.depth_m = run.depth_m.or(reading.conditions.depth_m);
        reading.runs.push(ReadRun {
            run,
            origin: RunOrigin::Notebook(row),
            state: RunState::Used,
            is_full_throttle: document.notebook[row].is_full_throttle(),
            place: None,
            mark: RunMark::default(),
            note: document.notebook[row].note.clone(),
        });
    }
}

pub(super) fn found(bounds: &RunBounds, reading: &mut TrialReading) {
    for (index, outing) in reading.outings.iter().enumerate() {
        for steady in find_steady_runs(outing, bounds) {
            let mut run = steady.run;
            run.depth_m = run.depth_m.or(reading.conditions.depth_m);
            reading.runs.push(ReadRun {
                run,
                origin: RunOrigin::Found,
                state: RunState::Used,
                is_full_throttle: false,
                place: Some((index, steady.first, steady.last)),
                mark: marks::mark_of(outing, &steady),
                note: String::new(),
            });
        }
    }
}

pub(super) fn set_by_hand(set: &[RunMark], reading: &mut TrialReading) {
    let mut runs = Vec::new();
    for (number, mark) in set.iter().enumerate() {
        let (index, first, last) = match marks::place(mark, &reading.outings) {
            Ok(place) => place,
            Err(problem) => {
                reading.faults.push(TrialFault::of(&TrialAddress::Mark(number), problem));
                continue;
            }
        };
        let outing = &reading.outings[index];
        let Some(mut run) = run_between(outing, first, last) else {
            let problem = "no speed is known there".to_owned();
            reading.faults.push(TrialFault::of(&TrialAddress::Mark(number), problem));
            continue;
        };
        run.depth_m = run.depth_m.or(reading.conditions.depth_m);
        runs.push(ReadRun {
            run,
            origin: RunOrigin::Mark(number),
            state: if mark.is_dropped { RunState::Dropped } else { RunState::Used },
            is_full_throttle: mark.is_full_throttle,
            place: Some((index, first, last)),
            mark: mark.clone(),
            note: String::new(),
        });
    }
    runs.sort_by(|a, b| a.run.time_s.total_cmp(&b.run.time_s));
    reading.runs.append(&mut runs);
}
