//! Why she is slower or thirstier than her document says: what the runs of one or more trials, what was
//! seen under water and what is known of her say together of every cause, in knots, with intervals; which
//! run would tell more; what a remedy will give; and how a forecast fared.
//!
//! # How
//! Every uncertain input of the boat, and what belongs to one afternoon only (growth, load, wind and
//! waves left over, charge, instruments), is a standard normal deviate. What the runs say is a
//! likelihood with heavy tails around the steady state. The most probable deviates are found by damped
//! least squares; samples are sampled around them in the few directions about which the runs say
//! something, and from the prior in all others, and weighted. Odd causes (a pack lost, a controller
//! that holds back, another reduction, a slipping belt, a weak motor) are rival hypotheses with prior
//! odds, each on every trial, up to one of them or from one of them on. The shortfall is shared out, sample
//! by sample, so that the shares add up to it exactly.
//!
//! Not for: finding runs in logs, taking the stream out (`trial`), threads (a [`Workers`] does the work).

mod adopt;
mod cause;
mod course;
mod diagnosis;
mod evidence;
mod figure;
mod fit;
mod fitting;
mod forecast_sheets;
mod growth;
mod headline;
mod hypothesis;
mod next_run;
mod observation;
mod oddity;
mod parameter;
mod posterior;
mod predict;
mod remedy;
mod score;
mod screen;
mod sea;
mod shares;
mod sheets;
mod weights;
mod workers;

pub use adopt::{Calibrated, CalibratedField, calibrate};
pub use cause::{CAUSE_COUNT, Cause};
pub use course::CourseDifference;
pub use diagnosis::{
    CausePair, CausesOptions, CurveRow, Diagnosis, FitQuality, Misfit, PointKind, RunFit, SamplingQuality,
    Share, ShortfallPoint, diagnose,
};
pub use evidence::{CausesError, Epoch, LeftOut, Observed, TrialRun};
pub use figure::{CAUSES_FIGURES, CRUISE_SHORT, FULL_SHORT, causes_figure, causes_value, figure_of_cause};
pub use forecast_sheets::{FORECAST_SHEETS, HELD_SHEETS, HeldForecast};
pub use growth::growth_spread;
pub(crate) use growth::{CLEAN_M, FULL_M, RATE_PER_MONTH, warmth};
pub use headline::{Headline, Missing, NAMED_FROM, REFUSED_BELOW, Refusal};
pub use hypothesis::Hypothesis;
pub use next_run::{NextRun, Proposal};
pub use observation::{Datum, DatumKind, Held, Noise, Observation};
pub use observation::{bank_window_v, is_of_other_bank};
pub use oddity::{Oddity, Reach};
pub use parameter::{OfTrial, Parameter, Unknown};
pub use posterior::{Posterior, Sample};
pub use predict::{Day, Problem};
pub use remedy::{
    Change, Forecast, KEPT_QUANTILES, Measure, MeasureForecast, Remedy, forecast, usual_remedies,
};
pub use score::{Score, score};
pub use shares::{SharesAt, shares_at};
pub use sheets::CAUSES_SHEETS;
pub use workers::{Alone, Workers};
