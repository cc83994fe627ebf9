//! What a page or command asks of a boat: answers at the inputs' medians, and their intervals over
//! samples of every uncertain input. Not for: sampling in parallel (the app does that; the result is
//! the same for any order), wording, units.

mod answer;
mod bank;
mod bank_figure;
mod bank_rows;
mod beyond;
mod figure;
pub(crate) mod origin;
mod range_figure;
mod summary;

pub use crate::spread::Interval;
pub use answer::{Answers, Questions, SpeedAnswer, answer, answer_prepared};
pub use bank::{BankQuestions, BankSample, BankStudy, CRUISING, FurtherBank, sample_bank, summarise_bank};
pub use bank_figure::BankFigure;
pub use bank_rows::{
    AgeRow, ChargeAtTemperature, ChargeRow, ChargeSource, FurtherRow, HoldRow, LoadOnBank, LostRow, PackRow,
    SagRow,
};
pub use beyond::{Beyond, BeyondAt, BeyondRow, LONGEST_S};
pub use figure::{FIGURE_COUNT, Figure, Figures};
pub use origin::{Opening, Origin};
pub use range_figure::RangeFigure;
pub use summary::{
    DemandRow, LimitRow, SampleAnswer, SecondOpinion, SpeedRow, SpeedSample, Study, ThrottleRow, WidthShare,
    sample_answer, summarise,
};
