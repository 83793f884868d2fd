//! Placeholder header.
