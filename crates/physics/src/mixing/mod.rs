//! Mass balance of salt water: making it, correcting it, blending it.
//!
//! Owns: the strength of a dry mix, batches, filling up a remainder, trims, blends, ions by proportion, and what
//! evaporation does to salinity. All by conservation of salt and of mass, with the density of sea water.
//!
//! Must not know: vessels and their levels (room comes as a volume), brands and bags (a label comes as numbers),
//! how fast salt dissolves, whether anyone stirs.
//!
//! One temperature holds for all waters of a call, except in [`blend()`]. Water of crystallisation counts as
//! water. Fresh water has practical salinity 0.

mod batch;
mod blend;
mod error;
mod evaporation;
mod fill_up;
mod ions;
mod strength;
mod trim;
mod water;

pub use batch::{Batch, Recipe, batch_from_dry_mass, batch_from_finished_volume, batch_from_fresh_volume};
pub use blend::{BlendParts, Portion, blend, blend_parts};
pub use error::MixingError;
pub use evaporation::{after_evaporation, after_salt_top_off, drift_by_salt_top_off};
pub use fill_up::{FillUp, fill_up};
pub use ions::{IonAnalysis, ions_at};
pub use strength::{
    Label, STRENGTH_RANGE, UNSAID_FINISHED_SHARE, UNSAID_FINISHED_SHARE_HALF_WIDTH, least_dry_mass_kg,
    strength_from_label,
};
pub use trim::{Trim, trim_by_replacement, trim_by_salt, trim_by_water, trim_within_room};
pub use water::{Water, practical_salinity_of_salt_per_volume};
