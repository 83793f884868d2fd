//! A cake of dirt on the surface of a filter.

use crate::{OutOfRange, Range};

/// Water from boiling to well below freezing, with room for what is dissolved.
const VISCOSITY: Range = Range {
    quantity: "viscosity",
    unit: "Pa·s",
    min: 1e-4,
    max: 1e-2,
    source_key: "HOUSE-RULE",
};
const VELOCITY: Range = Range {
    quantity: "flow per area of filter",
    unit: "m/s",
    min: 0.0,
    max: 1.0,
    source_key: "HOUSE-RULE",
};
const MEDIUM: Range = Range {
    quantity: "resistance of the medium",
    unit: "1/m",
    min: 0.0,
    max: 1e15,
    source_key: "HOUSE-RULE",
};
/// Coarse sand to slime.
const SPECIFIC: Range = Range {
    quantity: "specific resistance of the cake",
    unit: "m/kg",
    min: 0.0,
    max: 1e16,
    source_key: "HOUSE-RULE",
};
const COLLECTED: Range = Range {
    quantity: "dirt per area of filter",
    unit: "kg/m²",
    min: 0.0,
    max: 100.0,
    source_key: "HOUSE-RULE",
};
const SUSPENDED: Range = Range {
    quantity: "suspended dirt",
    unit: "kg/m³",
    min: 0.0,
    max: 1000.0,
    source_key: "HOUSE-RULE",
};
const AREA: Range = Range {
    quantity: "area of filter",
    unit: "m²",
    min: 1e-6,
    max: 1e4,
    source_key: "HOUSE-RULE",
};
const PRESSURE: Range = Range {
    quantity: "pressure across the filter",
    unit: "Pa",
    min: 1.0,
    max: 2e6,
    source_key: "HOUSE-RULE",
};
const FILTERED: Range = Range {
    quantity: "filtered volume",
    unit: "m³",
    min: 0.0,
    max: 1e9,
    source_key: "HOUSE-RULE",
};

/// A filter on which a cake grows under a pressure that stays the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cake {
    /// Viscosity of the water, μ, `1e-4..=1e-2`.
    pub viscosity_pa_s: f64,
    /// Resistance of the clean medium, R, `0..=1e15`.
    pub medium_resistance_1_m: f64,
    /// Resistance of the cake per dirt on an area, α, `0..=1e16`.
    pub specific_cake_resistance_m_kg: f64,
    /// Dirt held back per volume of water, c, `0..=1000`.
    pub suspended_kg_m3: f64,
    /// Area of the filter, A, `1e-6..=1e4`.
    pub area_m2: f64,
    /// Pressure across medium and cake, p, `1..=2e6`.
    pub pressure_pa: f64,
}

/// Time per volume against volume, at a pressure that stays the same: the straight line
/// `t/V = slope·V + intercept`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConstantPressureLine {
    /// From the cake, in s/m⁶.
    pub slope_s_m6: f64,
    /// From the medium, in s/m³.
    pub intercept_s_m3: f64,
}

impl ConstantPressureLine {
    /// The time that a volume takes from the clean filter on, in s.
    ///
    /// # Errors
    /// [`OutOfRange`] for a volume outside `0..=1e9`.
    ///
    /// # Source
    /// As [`constant_pressure_line`].
    pub fn time_s(&self, volume_m3: f64) -> Result<f64, OutOfRange> {
        let volume_m3 = FILTERED.require(volume_m3)?;
        Ok((self.slope_s_m6 * volume_m3 + self.intercept_s_m3) * volume_m3)
    }
}

/// The pressure that a medium with a cake on it costs, in Pa: `μ·v·(R + α·w)`.
///
/// # Arguments
/// * `viscosity_pa_s`: μ, `1e-4..=1e-2`.
/// * `velocity_m_s`: flow per area of filter, v, `0..=1`.
/// * `medium_resistance_1_m`: R, `0..=1e15`.
/// * `specific_cake_resistance_m_kg`: α, `0..=1e16`, taken as the same at every pressure; cakes of slime get
///   denser.
/// * `collected_kg_m2`: dirt per area, w, `0..=100`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `RUTH-1935`, from memory: Darcy's law for medium and cake in a row.
pub fn cake_pressure_drop_pa(
    viscosity_pa_s: f64,
    velocity_m_s: f64,
    medium_resistance_1_m: f64,
    specific_cake_resistance_m_kg: f64,
    collected_kg_m2: f64,
) -> Result<f64, OutOfRange> {
    let cake_1_m = SPECIFIC.require(specific_cake_resistance_m_kg)? * COLLECTED.require(collected_kg_m2)?;
    let resistance_1_m = MEDIUM.require(medium_resistance_1_m)? + cake_1_m;
    Ok(VISCOSITY.require(viscosity_pa_s)? * VELOCITY.require(velocity_m_s)? * resistance_1_m)
}

/// The line of time per volume against volume at a pressure that stays the same: slope `μ·α·c/(2·A²·p)`, intercept
/// `μ·R/(A·p)`.
///
/// # Errors
/// [`OutOfRange`] for a field outside the range that it states.
///
/// # Source
/// `RUTH-1935`, from memory: [`cake_pressure_drop_pa`] integrated over time with w = c·V/A.
pub fn constant_pressure_line(cake: &Cake) -> Result<ConstantPressureLine, OutOfRange> {
    let viscosity_pa_s = VISCOSITY.require(cake.viscosity_pa_s)?;
    let area_m2 = AREA.require(cake.area_m2)?;
    let pressure_pa = PRESSURE.require(cake.pressure_pa)?;
    let cake_1_m2 =
        SPECIFIC.require(cake.specific_cake_resistance_m_kg)? * SUSPENDED.require(cake.suspended_kg_m3)?;
    let per_area = viscosity_pa_s / (area_m2 * pressure_pa);
    Ok(ConstantPressureLine {
        slope_s_m6: per_area * cake_1_m2 / (2.0 * area_m2),
        intercept_s_m3: per_area * MEDIUM.require(cake.medium_resistance_1_m)?,
    })
}
