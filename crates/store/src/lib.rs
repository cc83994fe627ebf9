//! store of Wakewright.
