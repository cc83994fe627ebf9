//! What makes her slow, made readable: the sentence, the answer, pictures, and forecasts as they are kept.
//! Not for: finding it out, nor its sheets (`wakewright_core::causes`).

mod advice;
mod answer;
mod finding;
mod held;
mod picture;
mod record;
mod said;
mod words;

pub use answer::{
    causes_answer, filled, forecast_answer, held_answer, next_block, odd_block, readings_block, remarks,
};
pub use finding::{causes_finding, forecast_finding};
#[cfg(feature = "parquet")]
pub(crate) use held::{first_held, held_trials};
pub use held::{held_of, keep_held};
pub use picture::{band_pictures, forecast_picture, shares_picture};
pub use record::ForecastRecord;
pub use said::{apart_sentences, fit_sentence, look_first, point_title, sampling_sentence, small_causes};
