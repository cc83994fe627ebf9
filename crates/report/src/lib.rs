//! report of Wakewright.
