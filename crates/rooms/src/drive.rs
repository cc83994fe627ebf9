//! What stops her at full throttle: what is asked. Not for: computing.

/// Throttle positions of the table.
pub const THROTTLES: [f64; 9] = [0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0];
