//! What passes the wall of a vessel: water film, wall, air film and radiation.

use super::limits::{AIR, AREA, LOSS, WATER};
use crate::{OutOfRange, Range, numerics::bracketed_root};
use libm::pow;

/// Water film inside a vessel whose water barely moves, W/(m²·K). House rule: natural convection in water gives 100 to
/// 600 (from memory), and a film so much better than the air's hardly counts.
pub const STILL_WATER_FILM_W_M2_K: f64 = 200.0;

const HEIGHT: Range = Range {
    quantity: "height of the wall",
    unit: "m",
    min: 0.05,
    max: 3.0,
    source_key: "CHURCHILL-CHU-1975",
};
/// 0 for a wall that isn't reckoned.
const THICKNESS: Range = Range {
    quantity: "thickness of the wall",
    unit: "m",
    min: 0.0,
    max: 1.0,
    source_key: "HOUSE-RULE",
};
/// From foam to steel.
const CONDUCTIVITY: Range = Range {
    quantity: "conductivity of the wall",
    unit: "W/(m·K)",
    min: 0.01,
    max: 100.0,
    source_key: "HOUSE-RULE",
};
const EMISSIVITY: Range = Range {
    quantity: "emissivity",
    unit: "",
    min: 0.0,
    max: 1.0,
    source_key: "DEFINITION",
};
const INSIDE_FILM: Range = Range {
    quantity: "water film",
    unit: "W/(m²·K)",
    min: 20.0,
    max: 1e4,
    source_key: "HOUSE-RULE",
};
const CONDUCTANCE: Range = Range {
    quantity: "heat transfer coefficient",
    unit: "W/(m²·K)",
    min: 0.0,
    max: 1e4,
    source_key: "HOUSE-RULE",
};
const RAYLEIGH: Range = Range {
    quantity: "Rayleigh number",
    unit: "",
    min: 0.1,
    max: 1e12,
    source_key: "CHURCHILL-CHU-1975",
};
const PRANDTL: Range = Range {
    quantity: "Prandtl number",
    unit: "",
    min: 0.01,
    max: 1000.0,
    source_key: "HOUSE-RULE",
};
/// A surface temperature is of no use to more than that.
const SURFACE_TOLERANCE_K: f64 = 1e-9;
/// Radiation of a black surface, W/(m²·K⁴), by DEFINITION of the units since 2019.
const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;
const ZERO_C_K: f64 = 273.15;
const GRAVITY_M_S2: f64 = 9.806_65;

/// The upright wall of a vessel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VesselWall {
    /// Height of the wetted wall, `0.05..=3` m.
    pub height_m: f64,
    /// Thickness, `0..=1` m.
    pub thickness_m: f64,
    /// Conductivity, `0.01..=100` W/(m·K); polyethylene about 0.45, foam 0.035, glass 1.0 (from memory).
    pub conductivity_w_m_k: f64,
    /// Emissivity of the outside, `0..=1`; plastic, paint and glass about 0.9, bright metal 0.1 (from memory).
    pub emissivity: f64,
    /// Water film inside, `20..=1e4` W/(m²·K); [`STILL_WATER_FILM_W_M2_K`] where nothing better is known.
    pub inside_film_w_m2_k: f64,
}

/// The air's side of a wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirFilm {
    /// Natural convection, W/(m²·K).
    pub convection_w_m2_k: f64,
    /// Radiation, W/(m²·K), to surroundings as warm as the air.
    pub radiation_w_m2_k: f64,
}

impl AirFilm {
    /// Both together, W/(m²·K).
    pub fn total_w_m2_k(&self) -> f64 {
        self.convection_w_m2_k + self.radiation_w_m2_k
    }
}

/// What a wall loses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallLoss {
    /// Overall coefficient from water to air, U, W/(m²·K).
    pub overall_w_m2_k: f64,
    /// Temperature of the outside, °C.
    pub outside_c: f64,
    /// The air's side of it.
    pub film: AirFilm,
}

/// A part of what encloses the water: wall, lid, floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnvelopePart {
    /// Area, `0..=1e4` m².
    pub area_m2: f64,
    /// Coefficient from water to air, U, `0..=1e4` W/(m²·K).
    pub overall_w_m2_k: f64,
}

/// Returns the loss of a vessel, W/K: `Σ U·A` over its parts.
///
/// A lid has a cushion of air under it: about half the wall's coefficient; a floor on foam or timber about a quarter
/// (house rules, both). A lid that closes badly loses vapour besides: an
/// [`OpenSurface`](super::OpenSurface) of its gap.
///
/// # Errors
/// [`OutOfRange`] for a part, and for more than 10⁶ W/K together.
///
/// # Source
/// DEFINITION.
pub fn loss_w_k(parts: &[EnvelopePart]) -> Result<f64, OutOfRange> {
    let mut sum_w_k = 0.0;
    for part in parts {
        sum_w_k += AREA.require(part.area_m2)? * CONDUCTANCE.require(part.overall_w_m2_k)?;
    }
    LOSS.require(sum_w_k)
}

/// Returns the air's side of an upright wall in a still room.
///
/// Convection by [`upright_plate_nusselt`]; radiation `ε·σ·(T₁² + T₂²)·(T₁ + T₂)`. For round
/// vessels as for plates, unless they are slimmer than about a fifth of their height. A draught doubles the convection (common practice, no source).
///
/// # Arguments
/// * `height_m`: `0.05..=3`.
/// * `surface_c`: of the outside, `−20..=60`.
/// * `air_c`: `−20..=50`.
/// * `emissivity`: `0..=1`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `CHURCHILL-CHU-1975`, with Rayleigh numbers of up to 3·10¹¹ here; air by `INCROPERA-DEWITT`.
pub fn air_film(height_m: f64, surface_c: f64, air_c: f64, emissivity: f64) -> Result<AirFilm, OutOfRange> {
    let height_m = HEIGHT.require(height_m)?;
    let surface_c = Range {
        quantity: "temperature of the outside",
        min: AIR.min,
        max: WATER.max,
        ..WATER
    }
    .require(surface_c)?;
    let air_c = AIR.require(air_c)?;
    Ok(film(height_m, surface_c, air_c, EMISSIVITY.require(emissivity)?))
}

/// Returns what a wall loses between water and air: the outside takes the temperature at which as much comes through
/// the wall as leaves it.
///
/// # Arguments
/// * `wall`: the wall.
/// * `water_c`: `−2..=60`.
/// * `air_c`: `−20..=50`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// [`air_film`], and the sum of resistances.
///
/// # Examples
/// ```
/// use physics::heat::{STILL_WATER_FILM_W_M2_K, VesselWall, wall_loss};
///
/// let drum = VesselWall {
///     height_m: 0.8,
///     thickness_m: 0.005,
///     conductivity_w_m_k: 0.45,
///     emissivity: 0.9,
///     inside_film_w_m2_k: STILL_WATER_FILM_W_M2_K,
/// };
/// let loss = wall_loss(&drum, 25.0, 18.0)?;
/// assert!((5.0..8.0).contains(&loss.overall_w_m2_k));
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn wall_loss(wall: &VesselWall, water_c: f64, air_c: f64) -> Result<WallLoss, OutOfRange> {
    let height_m = HEIGHT.require(wall.height_m)?;
    let thickness_m = THICKNESS.require(wall.thickness_m)?;
    let conductivity = CONDUCTIVITY.require(wall.conductivity_w_m_k)?;
    let emissivity = EMISSIVITY.require(wall.emissivity)?;
    let water_c = WATER.require(water_c)?;
    let air_c = AIR.require(air_c)?;
    let inside = 1.0 / INSIDE_FILM.require(wall.inside_film_w_m2_k)? + thickness_m / conductivity;

    let surplus_w_m2 = |outside_c: f64| {
        let leaving = film(height_m, outside_c, air_c, emissivity).total_w_m2_k() * (outside_c - air_c);
        (water_c - outside_c) / inside - leaving
    };
    let (low, high) = (water_c.min(air_c), water_c.max(air_c));
    let outside_c = if high - low <= SURFACE_TOLERANCE_K {
        water_c
    } else {
        bracketed_root(surplus_w_m2, low, high, SURFACE_TOLERANCE_K)
            .expect("as warm as the air a wall loses nothing, as warm as the water it gains nothing")
            .x
    };
    let film = film(height_m, outside_c, air_c, emissivity);
    Ok(WallLoss {
        overall_w_m2_k: 1.0 / (inside + 1.0 / film.total_w_m2_k()),
        outside_c,
        film,
    })
}

/// Returns the mean Nusselt number of an upright plate in natural convection:
/// `(0.825 + 0.387·Ra^⅙/(1 + (0.492/Pr)^(9/16))^(8/27))²`.
///
/// # Arguments
/// * `rayleigh`: Ra by the height, `0.1..=1e12`.
/// * `prandtl`: Pr, `0.01..=1000`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `CHURCHILL-CHU-1975`.
pub fn upright_plate_nusselt(rayleigh: f64, prandtl: f64) -> Result<f64, OutOfRange> {
    Ok(nusselt(RAYLEIGH.require(rayleigh)?, PRANDTL.require(prandtl)?))
}

fn nusselt(rayleigh: f64, prandtl: f64) -> f64 {
    let shape = pow(1.0 + pow(0.492 / prandtl, 9.0 / 16.0), 8.0 / 27.0);
    let root = 0.825 + 0.387 * pow(rayleigh, 1.0 / 6.0) / shape;
    root * root
}

fn film(height_m: f64, surface_c: f64, air_c: f64, emissivity: f64) -> AirFilm {
    let air = Air::at((surface_c + air_c) / 2.0);
    let rayleigh = GRAVITY_M_S2 / air.kelvin * (surface_c - air_c).abs() * height_m * height_m * height_m
        / (air.kinematic_m2_s * air.kinematic_m2_s)
        * air.prandtl;
    AirFilm {
        // As warm as the air, a wall is below the range of Ra, and its convection counts for nothing.
        convection_w_m2_k: nusselt(rayleigh, air.prandtl) * air.conductivity_w_m_k / height_m,
        radiation_w_m2_k: radiation_film_w_m2_k(emissivity, surface_c, air_c),
    }
}

/// Heat by radiation between a surface and all that surrounds it, by their difference, W/(m²·K).
pub(super) fn radiation_film_w_m2_k(emissivity: f64, surface_c: f64, around_c: f64) -> f64 {
    let (surface, around) = (surface_c + ZERO_C_K, around_c + ZERO_C_K);
    emissivity * STEFAN_BOLTZMANN * (surface * surface + around * around) * (surface + around)
}

/// Dry air at sea level.
struct Air {
    kelvin: f64,
    conductivity_w_m_k: f64,
    kinematic_m2_s: f64,
    prandtl: f64,
}

impl Air {
    /// Parabolas through the values of `INCROPERA-DEWITT`, table A.4, at 250, 300 and 350 K, from memory.
    fn at(temperature_c: f64) -> Self {
        let kelvin = temperature_c + ZERO_C_K;
        let x = (kelvin - 300.0) / 50.0;
        let through = |cold: f64, mid: f64, warm: f64| {
            mid + x * ((warm - cold) / 2.0 + x * (warm + cold - 2.0 * mid) / 2.0)
        };
        Self {
            kelvin,
            conductivity_w_m_k: through(22.3e-3, 26.3e-3, 30.0e-3),
            kinematic_m2_s: through(11.44e-6, 15.89e-6, 20.92e-6),
            prandtl: through(0.720, 0.707, 0.700),
        }
    }
}
