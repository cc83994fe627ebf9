//! What makes her slow, made readable: the sentence, text, JSON, pictures, and forecasts as they are kept.
//! Not for: finding it out (`wakewright_core::causes`).

mod finding;
mod forecast_text;
mod picture;
mod record;
mod said;
mod text;
mod view;
mod words;

pub use finding::{causes_finding, forecast_finding, score_sentence};
pub use forecast_text::{
    ForecastRow, ScoreRow, forecast_rows, forecast_text, score_error_sentence, score_rows, score_text,
    stops_text,
};
pub use picture::{band_pictures, forecast_picture, shares_picture};
pub use record::{ForecastRecord, RecordError};
pub use said::{
    ReadingRow, apart_sentences, bare_knots, fit_sentence, hundredths, look_first, odd_rows, point_title,
    reading_rows, sampling_sentence, small_causes, telling, unfitted,
};
pub use text::causes_text;
pub use view::{CausesView, ForecastsView, ScoreView, causes_view, forecast_view, score_views};
pub use words::{change_text, misfit_text, next_text, percent};

use wakewright_core::causes::{Diagnosis, Forecast};

/// What is shown of a boat's causes.
#[derive(Debug, Clone, Copy)]
pub struct CausesScene<'a> {
    /// Her name.
    pub name: &'a str,
    /// What was found.
    pub diagnosis: &'a Diagnosis,
    /// What remedies will give; may be empty.
    pub forecasts: &'a [Forecast],
}
