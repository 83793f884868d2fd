//! How long water stays in the carbon, and how long it should.

use crate::{OutOfRange, Range};

/// Volume of the carbon: from a small block to a plant.
pub const CARBON_VOLUME: Range = Range {
    quantity: "volume of the carbon",
    unit: "m³",
    min: 1e-6,
    max: 100.0,
    source_key: "HOUSE-RULE",
};

const FLOW: Range = Range {
    quantity: "flow of feed or product",
    unit: "m³/s",
    min: 1e-9,
    max: 1.0,
    source_key: "HOUSE-RULE",
};

/// Reject per product; 0 is a station that rejects nothing, above 100 something is broken.
pub(super) const REJECT_RATIO: Range = Range {
    quantity: "reject per product",
    unit: "",
    min: 0.0,
    max: 100.0,
    source_key: "HOUSE-RULE",
};

/// Where tap water is liquid and a membrane still whole.
const TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: 0.0,
    max: 45.0,
    source_key: "HOUSE-RULE",
};

/// Contact time that's held enough for free chlorine near 20 °C, in s.
///
/// Source: common practice, no source: 2 minutes.
pub const CHLORINE_CONTACT_TIME_S: f64 = 120.0;

/// Contact time that's held enough for chloramine near 20 °C, in s.
///
/// Source: `ISO-23500-2-2019`, from memory: 10 minutes in all, as two beds of 5.
pub const CHLORAMINE_CONTACT_TIME_S: f64 = 600.0;

/// The other figure in use for chloramine, in s. It isn't taken: the longer time errs on the safe side, and the
/// shorter has no standard behind it that anybody here could name.
///
/// Source: common practice, no source: 6 minutes.
pub const CHLORAMINE_OTHER_CONTACT_TIME_S: f64 = 360.0;

/// The temperature that the times above are given for.
pub const CONTACT_TEMPERATURE_C: f64 = 20.0;

/// Cooling that doubles the time needed: the middle of 10 to 15 °C. Source: common practice, no source.
const DOUBLING_C: f64 = 12.5;

/// What keeps tap water clean and has to go before the membrane.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Oxidant {
    /// Chlorine, hypochlorous acid and hypochlorite: taken out fast.
    FreeChlorine,
    /// Monochloramine: taken out slowly, and leaves ammonium.
    Chloramine,
}

/// How long the feed takes to fill the volume of the carbon as if it were empty, in s: `V/Q`.
///
/// # Arguments
/// * `bed_m3`: `1e-6..=100`.
/// * `feed_flow_m3_s`: all of the feed, `1e-9..=1`; see [`feed_flow_m3_s()`]. While a membrane is flushed it's
///   more.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `DEFINITION`: contact time of the empty bed.
///
/// # Examples
/// ```
/// use physics::carbon::{contact_time_s, feed_flow_m3_s};
///
/// // Half a litre of carbon before 12 L/h of product and four times as much reject.
/// let feed_m3_s = feed_flow_m3_s(12e-3 / 3600.0, 4.0)?;
/// assert!((contact_time_s(0.5e-3, feed_m3_s)? - 30.0).abs() < 1e-9);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn contact_time_s(bed_m3: f64, feed_flow_m3_s: f64) -> Result<f64, OutOfRange> {
    Ok(CARBON_VOLUME.require(bed_m3)? / FLOW.require(feed_flow_m3_s)?)
}

/// The feed that a product takes, in m³/s: `Q·(1 + w)`.
///
/// # Errors
/// [`OutOfRange`] for a product outside `1e-9..=1`, a reject ratio w outside `0..=100`.
///
/// # Source
/// `MASS-BALANCE`.
pub fn feed_flow_m3_s(product_m3_s: f64, reject_ratio: f64) -> Result<f64, OutOfRange> {
    Ok(FLOW.require(product_m3_s)? * (1.0 + REJECT_RATIO.require(reject_ratio)?))
}

/// How many times longer than at 20 °C water has to stay in the carbon: `2^((20 − t)/12.5)`, and 1 from 20 °C.
///
/// # Errors
/// [`OutOfRange`] outside `0..=45` °C.
///
/// # Source
/// Common practice, no source: twice the time per 10 to 15 °C. House rule: warm water gets no discount, because
/// the times are given for water near 20 °C.
pub fn cold_factor(temperature_c: f64) -> Result<f64, OutOfRange> {
    let temperature_c = TEMPERATURE.require(temperature_c)?;
    if temperature_c < CONTACT_TEMPERATURE_C {
        Ok(libm::exp2((CONTACT_TEMPERATURE_C - temperature_c) / DOUBLING_C))
    } else {
        Ok(1.0)
    }
}

/// The contact time that's held enough, in s: 2 minutes for free chlorine, 10 for chloramine, longer in cold
/// water.
///
/// For granular beds. Fine blocks do with far less and go by their own rating.
///
/// # Errors
/// [`OutOfRange`] outside `0..=45` °C.
///
/// # Source
/// [`CHLORINE_CONTACT_TIME_S`], [`CHLORAMINE_CONTACT_TIME_S`] and [`cold_factor`].
pub fn least_contact_time_s(oxidant: Oxidant, temperature_c: f64) -> Result<f64, OutOfRange> {
    let at_20_c = match oxidant {
        Oxidant::FreeChlorine => CHLORINE_CONTACT_TIME_S,
        Oxidant::Chloramine => CHLORAMINE_CONTACT_TIME_S,
    };
    Ok(at_20_c * cold_factor(temperature_c)?)
}
