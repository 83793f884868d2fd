//! What the station is.
pub mod quantity;
