//! What the propeller does under sail, with its charts.

use wakewright_core::sail::SailStudy;
use wakewright_core::steady::BoatError;
use wakewright_report::draw::{sail_drag_picture, sail_power_picture};
use wakewright_report::picture::Plot;
use wakewright_report::text::Paper;

use crate::boats::Loaded;
use crate::cli::sail::questions;
use crate::sampling;

/// A boat under sail over half knots.
#[derive(Debug)]
pub struct SailScene {
    /// What was found.
    pub study: SailStudy,
}

/// Stations of the chart in each knot.
const STEPS_A_KNOT: u32 = 2;

impl SailScene {
    /// Computes `boat`, at the speed and for the loss of her week.
    /// # Errors
    /// [`BoatError`] when she has no answer at her medians.
    pub fn new(boat: &Loaded, samples: usize) -> Result<Self, BoatError> {
        let questions = questions(&boat.document, None, None, STEPS_A_KNOT);
        let study = sampling::sail_study(&boat.spec, &questions, samples, sampling::DEFAULT_SEED)?;
        Ok(Self { study })
    }

    /// Drag against speed.
    #[must_use]
    pub fn drag(&self, paper: &Paper) -> Plot {
        sail_drag_picture(&self.study, paper)
    }

    /// Watts against speed; `None` when the blades are stowed.
    #[must_use]
    pub fn power(&self, paper: &Paper) -> Option<Plot> {
        sail_power_picture(&self.study, paper)
    }
}
