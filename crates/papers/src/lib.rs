//! Papers: what somebody takes away from the rooms and keeps. A paper is a choice of what the rooms already say, in their
//! words, tables and pictures; it lists no figure of its own. Every paper is one HTML file that stands alone, made for
//! print; nothing here opens a file or asks the clock, so that the same boat gives the same bytes.
//! Not for: what is found (`wakewright_rooms`), addresses and commands.

mod block;
mod evidence;
mod fingerprint;
mod frame;
mod pocket;
mod record;
mod report;
mod standing;
mod told;

pub use block::{printed, table};
pub use fingerprint::{Claim, Verdict, verify};
pub use pocket::{DryOut, Pocket};
pub use record::{Record, RecordError, first_digits};
pub use report::{Reader, Report};

/// Version of the program, which every paper names.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");
