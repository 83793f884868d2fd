//! Sea water of the reference composition at the surface: what a sample *is*, at its salinity and temperature.
//!
//! Owns: practical salinity and conductivity, density, heat capacity, freezing, viscosity, refraction,
//! specific gravity in its conventions, composition; each with its stated range and source.
//! Must not know: what an instrument makes of the sample, vessels, the station.

mod absolute_salinity;
mod composition;
mod density;
mod freezing;
mod heat_capacity;
mod practical_salinity;
mod refractive_index;
mod specific_gravity;
mod viscosity;

pub use absolute_salinity::{absolute_salinity_g_kg, practical_salinity_from_absolute, salt_mass_fraction};
pub use composition::{MajorIon, REFERENCE_ALKALINITY_MOL_KG, major_ions};
pub use density::{
    DENSITY_SALINITY, DENSITY_TEMPERATURE, density_kg_m3, practical_salinity_from_density,
    pure_water_density_kg_m3,
};
pub use freezing::{freezing_point_air_free_c, freezing_point_c};
pub use heat_capacity::heat_capacity_j_kg_k;
pub use practical_salinity::{
    PSS78_STATED, PSS78_STATED_TEMPERATURE, conductivity_s_m, conductivity_with_effort, practical_salinity,
};
pub use refractive_index::{
    REFRACTION_STATED, REFRACTION_STATED_TEMPERATURE, SODIUM_D_NM, practical_salinity_from_refractive_index,
    refractive_index, refractive_index_at,
};
pub use specific_gravity::{
    SpecificGravityReference, practical_salinity_from_specific_gravity, specific_gravity,
};
pub use viscosity::viscosity_pa_s;
