//! Machine-readable views.
