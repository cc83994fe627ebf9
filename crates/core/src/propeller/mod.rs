//! propeller (filled in by its own commit).
