//! Sea water of the reference composition at the surface: what a sample *is*, at its salinity and temperature.
//!
//! Owns: practical salinity and conductivity, density, heat capacity, freezing, viscosity, refraction,
//! specific gravity in its conventions, composition; each with its stated range and source. And solutions of table
//! salt that stand in for sea water.
//! Must not know: what an instrument makes of the sample (that's [`instrument`](crate::instrument)), vessels, the
//! station.
//!
//! Units: SI in the names; conductivity in S/m (10 mS/cm is 1 S/m). Temperature in °C on ITS-90; where a source is
//! defined on IPTS-68, the kernel converts.

mod absolute_salinity;
mod check_solution;
mod composition;
mod density;
mod freezing;
mod heat_capacity;
mod practical_salinity;
mod practical_scale;
mod refractive_index;
mod sodium_chloride;
mod specific_gravity;
mod viscosity;

pub use absolute_salinity::{absolute_salinity_g_kg, practical_salinity_from_absolute, salt_mass_fraction};
pub use check_solution::{CheckSolution, CheckedBy, check_solution};
pub use composition::{
    MajorIon, REFERENCE_ALKALINITY_MOL_KG, ReferenceContents, major_ions, reference_contents,
};
pub(crate) use density::practical_salinity_from_share;
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
pub(crate) use refractive_index::{index_fresh, index_per_salinity};
pub use sodium_chloride::{
    SODIUM_CHLORIDE_MOLAR_MASS_G_MOL, sodium_chloride_conductivity_s_m, sodium_chloride_density_kg_m3,
    sodium_chloride_refractive_index,
};
pub(crate) use sodium_chloride::{mass_fraction_from_rise_at_20c, rise_at_20c};
pub use specific_gravity::{
    SpecificGravityReference, practical_salinity_from_specific_gravity, specific_gravity,
};
pub use viscosity::{kinematic_viscosity_m2_s, viscosity_pa_s};
