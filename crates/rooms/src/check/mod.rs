//! What `check` says of a boat and her document, as text and JSON. Not for: the checks.

mod text;
mod view;

pub use text::{check_sentence, check_text, usual_text};
pub use view::{CheckView, FaultView, check_view};
