//! The invented boat that is built into the program. Not for: what is done with her.

/// Her document.
pub static DEMO_BOAT: &str = include_str!("../../../examples/sea_campion.toml");
