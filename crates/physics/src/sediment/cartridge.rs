//! A cartridge that holds dirt in its depth: slow at first, then steep.

use super::error::SedimentError;
use crate::{OutOfRange, Range};

/// Below a pascal no gauge reads; above 20 bar no household filter stands.
const DROP: Range = Range {
    quantity: "pressure drop of the filter",
    unit: "Pa",
    min: 1.0,
    max: 2e6,
    source_key: "HOUSE-RULE",
};
const FLOW: Range = Range {
    quantity: "flow through the filter",
    unit: "m³/s",
    min: 1e-9,
    max: 1.0,
    source_key: "HOUSE-RULE",
};
/// Water at 0 °C is 3.3 times as viscous as at 60 °C.
const VISCOSITY_RATIO: Range = Range {
    quantity: "ratio of viscosities",
    unit: "",
    min: 0.1,
    max: 10.0,
    source_key: "HOUSE-RULE",
};
const VOLUME: Range = Range {
    quantity: "water through the filter",
    unit: "m³",
    min: 0.0,
    max: 1e9,
    source_key: "HOUSE-RULE",
};
const GROWTH: Range = Range {
    quantity: "growth of the pressure drop",
    unit: "1/m³",
    min: 0.0,
    max: 1e6,
    source_key: "HOUSE-RULE",
};

/// What a gauge on each side of a filter shows, after some water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DropReading {
    /// Water since the filter was new, `0..=1e9`.
    pub volume_m3: f64,
    /// Pressure before less pressure behind, `1..=2e6`.
    pub drop_pa: f64,
}

/// How the pressure drop of a cartridge grows with the water that went through it: `p₀·exp(k·V)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Growth {
    /// Drop of the new filter, p₀, `1..=2e6`.
    pub clean_drop_pa: f64,
    /// Growth, k, `0..=1e6`.
    pub growth_1_m3: f64,
}

/// Pressure per flow of a filter, in Pa·s/m³, at another viscosity than the one it was read at: `p/Q·m`.
///
/// # Arguments
/// * `clean_drop_pa`: p, `1..=2e6`.
/// * `at_flow_m3_s`: the flow at which it was read, Q, `1e-9..=1`.
/// * `viscosity_ratio`: viscosity of the water asked about by that of the water of the reading, m, `0.1..=10`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `RUTH-1935`, from memory: Darcy's law. That the housing's loss is left out is a house rule; read near the flow
/// that matters.
pub fn cartridge_resistance_pa_s_m3(
    clean_drop_pa: f64,
    at_flow_m3_s: f64,
    viscosity_ratio: f64,
) -> Result<f64, OutOfRange> {
    let per_flow = DROP.require(clean_drop_pa)? / FLOW.require(at_flow_m3_s)?;
    Ok(per_flow * VISCOSITY_RATIO.require(viscosity_ratio)?)
}

/// The pressure drop after some water, in Pa: `p₀·exp(k·V)`, at the flow and temperature of the fit.
///
/// # Errors
/// [`SedimentError::BeyondMeasure`] when the drop would pass 2·10⁶ Pa; [`SedimentError::OutOfRange`].
///
/// # Source
/// Common practice, no source: an empirical form, to be fitted to one's own readings.
///
/// # Examples
/// ```
/// use physics::sediment::{DropReading, fit_growth, loaded_drop_pa};
///
/// let new = DropReading { volume_m3: 0.0, drop_pa: 5000.0 };
/// let later = DropReading { volume_m3: 10.0, drop_pa: 10_000.0 };
/// let growth = fit_growth(&new, &later)?;
/// assert!((loaded_drop_pa(&growth, 20.0)? - 20_000.0).abs() < 1e-6);
/// # Ok::<(), physics::sediment::SedimentError>(())
/// ```
pub fn loaded_drop_pa(growth: &Growth, volume_m3: f64) -> Result<f64, SedimentError> {
    growth.require()?;
    let volume_m3 = VOLUME.require(volume_m3)?;
    let drop_pa = growth.clean_drop_pa * libm::exp(growth.growth_1_m3 * volume_m3);
    if DROP.contains(drop_pa) {
        Ok(drop_pa)
    } else {
        Err(SedimentError::BeyondMeasure { volume_m3 })
    }
}

/// The growth that passes through two readings, in either order.
///
/// Both at the same flow and temperature: bring them there by [`cartridge_resistance_pa_s_m3`].
///
/// # Errors
/// [`SedimentError::SameVolume`]; [`SedimentError::NotGrowing`] when the later drop isn't the greater;
/// [`SedimentError::OutOfRange`], also for a growth so steep that the new filter would have cost less than 1 Pa.
///
/// # Source
/// Own derivation: [`loaded_drop_pa`] solved for its two constants.
pub fn fit_growth(first: &DropReading, second: &DropReading) -> Result<Growth, SedimentError> {
    let (earlier, later) = if first.volume_m3 <= second.volume_m3 {
        (first, second)
    } else {
        (second, first)
    };
    let (from_m3, to_m3) = (
        VOLUME.require(earlier.volume_m3)?,
        VOLUME.require(later.volume_m3)?,
    );
    let (from_pa, to_pa) = (DROP.require(earlier.drop_pa)?, DROP.require(later.drop_pa)?);
    if from_m3 >= to_m3 {
        return Err(SedimentError::SameVolume { volume_m3: from_m3 });
    }
    if from_pa >= to_pa {
        return Err(SedimentError::NotGrowing {
            earlier_pa: from_pa,
            later_pa: to_pa,
        });
    }
    let growth_1_m3 = GROWTH.require(libm::log(to_pa / from_pa) / (to_m3 - from_m3))?;
    let clean_drop_pa = DROP.require(from_pa * libm::exp(-growth_1_m3 * from_m3))?;
    Ok(Growth {
        clean_drop_pa,
        growth_1_m3,
    })
}

/// The water until the pressure drop reaches a limit, counted from the new filter, in m³: `ln(p/p₀)/k`.
///
/// # Arguments
/// * `growth`: by [`fit_growth`].
/// * `limit_pa`: p, `1..=2e6`. A filter is changed when it costs 0.35 to 0.7 bar more than new (common practice,
///   no source).
///
/// # Errors
/// [`SedimentError::LimitBelowClean`]; [`SedimentError::NotGrowing`] when the growth is so small that the limit
/// lies beyond 10⁹ m³; [`SedimentError::OutOfRange`].
///
/// # Source
/// Own derivation: [`loaded_drop_pa`] solved for volume.
pub fn volume_to_limit_m3(growth: &Growth, limit_pa: f64) -> Result<f64, SedimentError> {
    growth.require()?;
    let limit_pa = DROP.require(limit_pa)?;
    let clean_pa = growth.clean_drop_pa;
    if limit_pa <= clean_pa {
        return Err(SedimentError::LimitBelowClean { limit_pa, clean_pa });
    }
    let exponent = libm::log(limit_pa / clean_pa);
    if exponent > growth.growth_1_m3 * VOLUME.max {
        return Err(SedimentError::NotGrowing {
            earlier_pa: clean_pa,
            later_pa: clean_pa * libm::exp(growth.growth_1_m3 * VOLUME.max),
        });
    }
    Ok(exponent / growth.growth_1_m3)
}

impl Growth {
    fn require(&self) -> Result<(), OutOfRange> {
        DROP.require(self.clean_drop_pa)?;
        GROWTH.require(self.growth_1_m3)?;
        Ok(())
    }
}
