//! Ion exchange behind a membrane: what loads the resin, and how much water a bed of it makes pure.
//!
//! Owns: the load in equivalents (salt, carbon dioxide, silica, ammonia), the conversion of the trade's unit of
//! capacity, water to exhaustion of mixed and separate beds, the share of a bed that is used before it leaks, two
//! beds in series, contact time, and carbon dioxide that leaves to the air.
//!
//! Must not know: where the water came from (the load arrives as numbers), the carbonate equilibrium, prices, when
//! somebody looks at a meter.
//!
//! A balance of charge: it holds for any order of feeds and says nothing of the shape of a breakthrough, of
//! leakage before it, or of bad first minutes after a rest.

pub(crate) mod atomic_weight;
mod bed;
mod contact;
mod degas;
mod error;
mod load;
mod substance;
mod zone;

pub use bed::{
    BED_CAPACITY, BED_VOLUME, Bed, Limiting, UTILISATION, capacity_mol_m3_from_grains_per_ft3,
    mixed_bed_to_exhaustion_m3, resin_per_water, separate_beds_to_exhaustion_m3, volume_to_exhaustion_m3,
    water_per_resin,
};
pub use contact::{contact_time_s, service_velocity_m_s};
pub use degas::degassed_mol_m3;
pub use error::ResinError;
pub use load::{LEAST_LOAD_MOL_M3, LOAD, Load, salt_equivalents_mol_m3};
pub use substance::{
    AMMONIUM_KG_MOL, CALCIUM_CARBONATE_KG_EQ, CARBON_DIOXIDE_KG_MOL, SILICA_KG_MOL, SODIUM_CHLORIDE_KG_EQ,
};
pub use zone::{lead_lag_gain, utilisation_from_zone, zone_height_m};
