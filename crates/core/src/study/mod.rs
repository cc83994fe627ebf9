//! What a page or command asks of a boat: answers at the inputs' medians, and their intervals over
//! draws of every uncertain input. Not for: drawing in parallel (the app does that; the result is
//! the same for any order), wording, units.

mod answer;
mod figure;
mod summary;

pub use answer::{Answers, Bollard, Questions, SpeedAnswer, answer, answer_prepared};
pub use figure::{FIGURE_COUNT, Figure, Figures};
pub use summary::{
    DemandRow, Interval, LeverRow, LimitRow, SampleAnswer, SecondOpinion, SpeedRow, Study, WidthShare,
    sample_answer, summarise,
};
