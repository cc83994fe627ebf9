//! All integration tests of this crate in one binary: pictures and colours.

mod colours;
mod pictures;
