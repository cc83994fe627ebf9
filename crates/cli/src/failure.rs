//! What ends a command that has no answer: a sentence and an exit code.

use wakewright_rooms::no_answer::NoAnswer;

/// Exit code when a check failed.
pub const CHECK_FAILED: u8 = 1;

/// Exit code for bad input.
pub const BAD_INPUT: u8 = 2;

/// Why a command ended early.
#[derive(Debug)]
pub struct Failure {
    /// What to say on the error channel.
    pub message: String,
    /// Exit code.
    pub code: u8,
}

impl Failure {
    /// Bad input.
    pub fn input(message: impl Into<String>) -> Self {
        Self { message: message.into(), code: BAD_INPUT }
    }
}

impl From<NoAnswer> for Failure {
    fn from(no: NoAnswer) -> Self {
        let code = match no {
            NoAnswer::Finding(_) => CHECK_FAILED,
            NoAnswer::Input(_) => BAD_INPUT,
        };
        Self { message: no.message().to_owned(), code }
    }
}

impl From<wakewright_rooms::boats::LoadError> for Failure {
    fn from(error: wakewright_rooms::boats::LoadError) -> Self {
        Self::input(error.message())
    }
}

/// What a command gives: an exit code, or a failure.
pub type Done = Result<u8, Failure>;
