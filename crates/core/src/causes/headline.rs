//! What the first sentence may say of a diagnosis: whether the readings fit at all, whether anything may be named
//! before more is read. Not for: wording.

use super::cause::Cause;
use super::diagnosis::{Diagnosis, Share, interval_of};
use super::observation::DatumKind;
use super::parameter::OfTrial;
use super::shares::value_now;
use crate::spread::Interval;

/// What the first sentence says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Headline {
    /// The readings fit no cause that is known here: nothing is named, nothing offered for adoption.
    FitsNothing,
    /// She does what she should.
    NotShort,
    /// What falls short lies on the side of the drive, and volts that would tell bank from drive were not read:
    /// they are asked for before anything is named.
    VoltsUnread,
    /// One cause takes most, more probably than not.
    Named(Share),
    /// No cause is more probable than all others together.
    Open,
}

/// Probability from which a cause is named.
pub const NAMED_FROM: f64 = 0.5;
/// Share of repeated trials that fit worse below which a fit is refused.
pub const REFUSED_BELOW: f64 = 0.02;

impl Diagnosis {
    /// What the first sentence may say of it.
    #[must_use]
    pub fn headline(&self) -> Headline {
        if self.is_refused() {
            return Headline::FitsNothing;
        }
        let point = &self.points[0];
        if point.short_probability < NAMED_FROM {
            return Headline::NotShort;
        }
        let likeliest = point.shares.iter().max_by(|a, b| a.main_probability.total_cmp(&b.main_probability));
        match likeliest {
            Some(share) if share.main_probability > NAMED_FROM => {
                if is_of_drive(share.cause) && !self.has_volts() {
                    Headline::VoltsUnread
                } else {
                    Headline::Named(*share)
                }
            }
            _ => Headline::Open,
        }
    }

    /// Instruments that surely show something else than is: which, and what each shows over the truth.
    #[must_use]
    pub fn wrong_instruments(&self) -> Vec<(OfTrial, Interval)> {
        const WORTH_A_WORD: f64 = 0.01;
        let instruments =
            [OfTrial::LogFactor, OfTrial::MeterFactor, OfTrial::VoltsFactor, OfTrial::TurningFactor];
        let found = instruments.into_iter().map(|what| {
            let values = self.posterior.samples.iter().filter_map(|s| value_now(&self.problem, s, what));
            (what, interval_of(values))
        });
        found
            .filter(|(_, factor)| (factor.value - 1.0).abs() > WORTH_A_WORD)
            .filter(|(_, factor)| factor.p10 > 1.0 || factor.p90 < 1.0)
            .collect()
    }

    /// True where hardly a repeated trial would fit as badly as these readings do.
    #[must_use]
    pub fn is_refused(&self) -> bool {
        self.fit.p_value < REFUSED_BELOW
    }

    /// Volts under load were read in the trial that counts as now.
    fn has_volts(&self) -> bool {
        let now = self.problem.now();
        self.problem.observations.iter().any(|observation| {
            observation.epoch == now && observation.data.iter().any(|datum| datum.kind == DatumKind::Volts)
        })
    }
}

/// Causes between bank and shaft, which volts tell from each other.
fn is_of_drive(cause: Cause) -> bool {
    matches!(cause, Cause::Motor | Cause::Transmission | Cause::Limits | Cause::Bank)
}
