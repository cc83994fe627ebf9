//! records of Wakewright.
