//! The verdict in a line, for a sheet that is being filled in, with what would narrow it most.
//! Not for: all that Drive says (`words`).

use wakewright_core::study::{Questions, StateFigure};
use wakewright_units::Quantity;

use super::words::{Stop, on_drives};
use crate::boats::Loaded;
use crate::no_answer::NoAnswer;
use crate::sampling::{self, DEFAULT_SEED};
use crate::text::Paper;

/// What Drive says of her in a line.
#[derive(Debug)]
pub struct Glance {
    /// Speed with its band, and what stops her.
    pub verdict: String,
    /// The field whose better value would narrow the band most, and what to do for that.
    pub narrows: Option<(&'static str, String)>,
}

/// A glance at `boat` by so many samples.
/// # Errors
/// As Drive.
pub fn glance(boat: &Loaded, samples: usize, paper: &Paper) -> Result<Glance, NoAnswer> {
    let study = sampling::study(&boat.spec, &Questions::default(), samples, DEFAULT_SEED)
        .map_err(|error| NoAnswer::of(boat, &error))?;
    let speed = study.at_full(StateFigure::Speed);
    let stop = Stop::of(study.answers.full.held.limit, &study).words();
    Ok(Glance {
        verdict: format!(
            "{} at full throttle{}, four times in five {}; {stop}.",
            paper.decimals(speed.value, Quantity::Speed, 1),
            on_drives(study.prepared.drives()),
            paper.band(speed, Quantity::Speed)
        ),
        narrows: study.width_of_speed.first().map(|w| (w.input.key(), w.input.how_to_know_better())),
    })
}
