//! battery (filled in by its own commit).
