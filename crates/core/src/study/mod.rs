//! What a page or command asks of a boat: answers of the boat as expected, and their intervals over
//! samples of every uncertain input. Not for: sampling in parallel (the app does that; the result is
//! the same for any order), wording, units.

pub(crate) mod answer;
mod bank;
mod beyond;
mod drive_sheets;
mod figure;
mod range_sheets;
mod summary;
mod widths;

pub use crate::sail::BOLLARD_PULL;
pub use crate::spread::Interval;
pub use answer::{Answers, Questions, SpeedAnswer, answer, answer_prepared};
pub use bank::{
    AgeRow, BANK_SHEETS, BankQuestions, BankSample, BankStudy, CRUISING, ChargeAtTemperature, ChargeRow,
    ChargeSource, FurtherRow, HoldRow, LoadOnBank, LostRow, PackRow, SagRow, UsedRow, sample_bank,
    summarise_bank,
};
pub use beyond::{Beyond, BeyondAt, BeyondRow, LONGEST_S};
pub use drive_sheets::{BINDING_LIMIT, BURST_SPEED, DRIVE_SHEETS, SAMPLES_LEFT_OUT};
pub use figure::{FIGURE_COUNT, Figures, STATE, StateFigure, at};
pub use range_sheets::{RANGE, RANGE_FIGURES, RANGE_SHEETS};
pub use summary::{
    DemandRow, LimitRow, SampleAnswer, SecondOpinion, SpeedRow, SpeedSample, Study, ThrottleRow,
    sample_answer, summarise,
};
pub use widths::WidthShare;
