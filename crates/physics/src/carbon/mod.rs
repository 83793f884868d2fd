//! Activated carbon before a membrane: chlorine and chloramine taken out of the feed.
//!
//! Owns: contact time and how much is enough, what passes by two readings of one's own, life by the rating against
//! free chlorine, the product that a life in feed gives, what free chlorine does to a membrane over time, and the
//! ammonium that chloramine leaves behind.
//!
//! Must not know: the membrane, who tests what when, brands and their ratings (a rating comes as numbers).
//!
//! Carbon sees all of the feed, also what is rejected. The times hold for granular beds near 20 °C; fine blocks go
//! by the flow of their own test.

mod contact;
mod error;
mod exposure;
mod kinetics;
mod life;
mod nitrogen;

pub use contact::{
    CARBON_VOLUME, CHLORAMINE_CONTACT_TIME_S, CHLORAMINE_OTHER_CONTACT_TIME_S, CHLORINE_CONTACT_TIME_S,
    CONTACT_TEMPERATURE_C, Oxidant, cold_factor, contact_time_s, feed_flow_m3_s, least_contact_time_s,
};
pub use error::CarbonError;
pub use exposure::{
    MEMBRANE_EXPOSURE_HIGH_KG_S_M3, MEMBRANE_EXPOSURE_LOW_KG_S_M3, time_to_membrane_damage_s,
};
pub use kinetics::{half_contact_time_s, passing_share};
pub use life::{
    LEAST_OXIDANT_KG_M3, RATED_FREE_CHLORINE_KG_M3, chloramine_life_m3, life_m3, product_from_feed_m3,
};
pub use nitrogen::{ammonium_mol_m3, nitrogen_left_kg_m3};
