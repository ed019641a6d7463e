//! Tangwright.
