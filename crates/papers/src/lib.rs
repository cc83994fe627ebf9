//! Papers: what somebody takes away from the rooms and keeps. A paper is a choice of what the rooms already say, in their
//! words, tables and pictures; it lists no figure of its own. Every paper is one HTML file that stands alone, made for
//! print; nothing here opens a file or asks the clock, so that the same boat gives the same bytes.
//! Not for: what is found (`wakewright_rooms`), addresses and commands.

mod block;
mod evidence;
mod fingerprint;
mod frame;
#[cfg(feature = "pdf")]
mod pdf;
#[cfg(not(feature = "pdf"))]
mod pdf {
    //! What stands in for PDF where the program was built without it.
    pub fn file(_: &crate::frame::Head<'_>, _: &maud::Markup) -> Result<Vec<u8>, String> {
        Err("this program was built without PDF: write it as .html and print that from a browser, which can save it as PDF, or build \
             the program with `cargo build --release --features pdf`"
            .to_owned())
    }
}
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

/// Whether the program was built to write PDF.
pub const HAS_PDF: bool = cfg!(feature = "pdf");

/// Version of the program, which every paper names.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");
