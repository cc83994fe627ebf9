//! hull (filled in by its own commit).
