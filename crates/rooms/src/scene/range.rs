//! What each speed costs and how far it carries, with its chart.

use crate::draw::range_picture;
use crate::text::Paper;
use wakewright_core::boat::BoatSpec;
use wakewright_core::steady::BoatError;
use wakewright_core::steady::PreparedBoat;
use wakewright_core::study::{Beyond, Questions, Study};
use wakewright_picture::Plot;

use crate::boats::Loaded;
use crate::range::half_knots;
use crate::sampling;

/// A boat over her speeds.
#[derive(Debug)]
pub struct RangeScene {
    /// What was found.
    pub study: Study,
    /// Speed at full throttle \[m/s\].
    pub full_m_s: f64,
}

/// How far beyond full throttle the chart goes.
const BEYOND_FULL: f64 = 1.18;

/// Just within full throttle, where rounding cannot put it out of reach.
const JUST_WITHIN: f64 = 1.0 - 1e-7;

/// The half knots of the table with the quarters between them, to a little beyond full throttle, and
/// full throttle itself.
fn stations(boat: &Loaded, full_m_s: f64) -> Vec<f64> {
    let halves = half_knots(boat);
    let quarters = halves.windows(2).map(|pair| 0.5 * (pair[0] + pair[1]));
    let mut stations: Vec<f64> = halves
        .iter()
        .copied()
        .chain(quarters)
        .filter(|speed| *speed < BEYOND_FULL * full_m_s)
        .chain([JUST_WITHIN * full_m_s])
        .collect();
    stations.sort_by(f64::total_cmp);
    stations
}

impl RangeScene {
    /// Computes `boat`, with what is asked beyond the bank as she is.
    /// # Errors
    /// [`BoatError`] when she has no answer at her medians.
    pub fn new(boat: &Loaded, beyond: Beyond, samples: usize) -> Result<Self, BoatError> {
        let full_m_s = PreparedBoat::new(&boat.spec.boat)?.value.full_throttle()?.held.state.speed_m_s;
        let questions = Questions { speeds_m_s: stations(boat, full_m_s), beyond, ..Questions::default() };
        let study = sampling::study(&boat.spec, &questions, samples, sampling::DEFAULT_SEED)?;
        Ok(Self { study, full_m_s })
    }

    /// The chart.
    #[must_use]
    pub fn range(&self, spec: &BoatSpec, paper: &Paper) -> Plot {
        range_picture(spec, &self.study, paper)
    }
}
