//! What a fall of output comes from: the supply, the filters, cold water, or the membrane.

use super::error::SedimentError;
use crate::Range;

const PRESSURE: Range = Range {
    quantity: "pressure",
    unit: "Pa",
    min: 1e3,
    max: 2e6,
    source_key: "HOUSE-RULE",
};
const PRODUCT: Range = Range {
    quantity: "output of the membrane",
    unit: "m³/s",
    min: 1e-9,
    max: 1.0,
    source_key: "HOUSE-RULE",
};
/// Between freezing and 45 °C the output of a membrane changes about sixfold.
const TEMPERATURE_FACTOR: Range = Range {
    quantity: "output by temperature",
    unit: "",
    min: 0.1,
    max: 10.0,
    source_key: "HOUSE-RULE",
};

/// A fall of output below which no cause is named, as a share: less is in the reading of flow and gauges.
///
/// Source: house rule.
pub const NOTICEABLE_FALL: f64 = 0.1;

/// What a running station shows: two gauges, a measured output, a thermometer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StationReading {
    /// Output of the membrane, `1e-9..=1`.
    pub product_m3_s: f64,
    /// Pressure before the filters while it runs, above that of the air, `1e3..=2e6`.
    pub supply_pressure_pa: f64,
    /// Pressure behind the filters and before the membrane, `1e3..=2e6`.
    pub membrane_pressure_pa: f64,
    /// Output by temperature alone, as a share of that at 25 °C, `0.1..=10`.
    pub temperature_factor: f64,
}

/// A change of output taken apart: shares of before, which multiplied give that of the output.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutputFall {
    /// Output now by output then.
    pub output: f64,
    /// What the pressure of the supply makes of it.
    pub supply: f64,
    /// What the filters make of it: the share of pressure that they leave, now by then.
    pub filters: f64,
    /// What temperature makes of it.
    pub temperature: f64,
    /// What is left over, and put down to the membrane.
    pub membrane: f64,
}

/// Where to look first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// Output is as before, within what is noticed.
    NoFall,
    /// Less pressure arrives at the filters.
    LowSupply,
    /// The filters take more of the pressure than they did.
    BlockedFilter,
    /// The water is colder; it'll come back with warmth.
    ColdWater,
    /// Same pressure before the membrane and same temperature: fouled, scaled or closed.
    Membrane,
}

/// Takes a change of output apart.
///
/// # Arguments
/// * `then`: when all was well.
/// * `now`: the reading to be explained.
///
/// # Errors
/// [`SedimentError::GaugesSwapped`] when either shows more behind the filters than before them;
/// [`SedimentError::OutOfRange`].
///
/// # Source
/// Own derivation: output taken as proportional to the pressure before the membrane, with osmosis left out, so
/// that the part of pressure is a little too small and that of the membrane a little too large when pressure fell.
pub fn output_fall(then: &StationReading, now: &StationReading) -> Result<OutputFall, SedimentError> {
    then.require()?;
    now.require()?;
    let output = now.product_m3_s / then.product_m3_s;
    let supply = now.supply_pressure_pa / then.supply_pressure_pa;
    let pressure = now.membrane_pressure_pa / then.membrane_pressure_pa;
    let temperature = now.temperature_factor / then.temperature_factor;
    Ok(OutputFall {
        output,
        supply,
        filters: pressure / supply,
        temperature,
        membrane: output / (pressure * temperature),
    })
}

/// Names the largest part of a fall of output, if the fall is more than [`NOTICEABLE_FALL`].
///
/// # Errors
/// As [`output_fall`].
///
/// # Source
/// Common practice, no source: less pressure before the membrane means filters or supply; the same pressure means
/// membrane or cold water. The order by size is a house rule.
pub fn diagnose(then: &StationReading, now: &StationReading) -> Result<Cause, SedimentError> {
    let fall = output_fall(then, now)?;
    if fall.output >= 1.0 - NOTICEABLE_FALL {
        return Ok(Cause::NoFall);
    }
    let mut worst = (fall.membrane, Cause::Membrane);
    // Of equal parts the one that costs least to put right comes first.
    for part in [
        (fall.temperature, Cause::ColdWater),
        (fall.filters, Cause::BlockedFilter),
        (fall.supply, Cause::LowSupply),
    ] {
        if part.0 <= worst.0 {
            worst = part;
        }
    }
    Ok(worst.1)
}

impl StationReading {
    fn require(&self) -> Result<(), SedimentError> {
        PRODUCT.require(self.product_m3_s)?;
        PRESSURE.require(self.supply_pressure_pa)?;
        PRESSURE.require(self.membrane_pressure_pa)?;
        TEMPERATURE_FACTOR.require(self.temperature_factor)?;
        if self.membrane_pressure_pa > self.supply_pressure_pa {
            return Err(SedimentError::GaugesSwapped {
                before_pa: self.supply_pressure_pa,
                after_pa: self.membrane_pressure_pa,
            });
        }
        Ok(())
    }
}
