//! drive (filled in by its own commit).
