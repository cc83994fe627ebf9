//! All integration tests of this crate in one binary: the pictures and colours.

mod colours;
mod pictures;
