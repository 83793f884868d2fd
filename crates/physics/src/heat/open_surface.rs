//! What an open surface of water gives to the air: vapour, warmth and radiation.

use super::limits::AREA;
use super::wall::radiation_film_w_m2_k;
use crate::OutOfRange;
use crate::evaporation::{SurfaceAir, evaporation_kg_s_m2, latent_heat_j_kg, saturation_pressure_pa};

/// Warmth by vapour: Pa of vapour pressure that carry as much as a degree, at sea level (`BOWEN-1926`).
const BOWEN_PA_K: f64 = 61.0;
/// Water is nearly black to heat (from memory).
const WATER_EMISSIVITY: f64 = 0.95;

/// An open surface of water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpenSurface {
    /// Area, `0..=1e4` m².
    pub area_m2: f64,
    /// The air over it, and the water's salinity; the water temperature in it isn't used.
    pub air: SurfaceAir,
    /// Unrest of the surface, as for [`evaporation_kg_s_m2`]: 0.5 still, 1 moved.
    pub activity_factor: f64,
}

/// Heat that an open surface loses, W; negative where it gains.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SurfaceLoss {
    /// With the vapour.
    pub evaporation_w: f64,
    /// To the air that touches it.
    pub convection_w: f64,
    /// To the walls of the room, taken to be as warm as the air.
    pub radiation_w: f64,
}

impl SurfaceLoss {
    /// All together, W.
    pub fn total_w(&self) -> f64 {
        self.evaporation_w + self.convection_w + self.radiation_w
    }
}

/// Returns the heat that an open surface loses at a water temperature.
///
/// Evaporation by [`evaporation_kg_s_m2`] times latent heat; convection by its kinship with evaporation, 61 Pa of
/// vapour for each degree; radiation as from a wall. As good as evaporation over a small vessel is: ±40 %.
///
/// # Arguments
/// * `surface`: area, air, unrest.
/// * `water_temperature_c`: `0..=40`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `ASHRAE-APPLICATIONS` for the vapour, `BOWEN-1926` for convection, DEFINITION of radiation of a grey surface.
pub fn open_surface_loss(surface: &OpenSurface, water_temperature_c: f64) -> Result<SurfaceLoss, OutOfRange> {
    let area_m2 = AREA.require(surface.area_m2)?;
    let air = SurfaceAir {
        water_temperature_c,
        ..surface.air
    };
    let latent_j_kg = latent_heat_j_kg(water_temperature_c)?;
    let vapour_kg_s_m2 = evaporation_kg_s_m2(&air, surface.activity_factor)?;
    // The same surface, fresh, under air without vapour: its evaporation by its vapour pressure is the coefficient.
    let dry = SurfaceAir {
        relative_humidity: 0.0,
        practical_salinity: 0.0,
        ..air
    };
    let dry_w_m2 = evaporation_kg_s_m2(&dry, surface.activity_factor)? * latent_j_kg;
    let film_w_m2_k = BOWEN_PA_K * dry_w_m2 / saturation_pressure_pa(water_temperature_c)?;
    let difference_k = water_temperature_c - air.air_temperature_c;
    let radiation = radiation_film_w_m2_k(WATER_EMISSIVITY, water_temperature_c, air.air_temperature_c);
    Ok(SurfaceLoss {
        evaporation_w: area_m2 * vapour_kg_s_m2 * latent_j_kg,
        convection_w: area_m2 * film_w_m2_k * difference_k,
        radiation_w: area_m2 * radiation * difference_k,
    })
}
