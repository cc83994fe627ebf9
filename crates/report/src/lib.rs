//! Results of Wakewright made readable: sentences, terminal text, machine-readable views, pictures.
//! Returns strings and opens nothing; no computation of boats is done here.

pub mod causes;
pub mod draw;
pub mod options;
pub mod picture;
pub mod search_finding;
pub mod search_front;
pub mod sentence;
pub mod standing;
pub mod text;
pub mod trial;
pub mod view;
