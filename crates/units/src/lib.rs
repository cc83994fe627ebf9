//! units of Wakewright.
