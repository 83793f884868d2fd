//! What passes the carbon, from two readings of one's own.
//!
//! The times that are held enough aren't tied to any stated reduction, so that no rate is drawn from them. A test
//! before and behind the carbon gives one.

use super::error::CarbonError;
use crate::{OutOfRange, Range};

const CONTACT_TIME: Range = Range {
    quantity: "contact time",
    unit: "s",
    min: 1e-3,
    max: 1e6,
    source_key: "HOUSE-RULE",
};

/// As chlorine. What a field test shows at least, to many times what tap water may hold.
const READING: Range = Range {
    quantity: "oxidant as chlorine",
    unit: "kg/m³",
    min: 1e-6,
    max: 0.1,
    source_key: "HOUSE-RULE",
};

/// The contact time in which the oxidant halves, in s: `τ·ln 2/ln(before/after)`.
///
/// # Arguments
/// * `contact_time_s`: τ while the two were read, `1e-3..=1e6`.
/// * `before_kg_m3`, `after_kg_m3`: total chlorine on both sides of the carbon, `1e-6..=0.1`. When nothing shows
///   behind it, give the least that the test would show; the time is then an upper bound.
///
/// # Errors
/// [`CarbonError::NothingRemoved`] unless there's less behind than before; [`CarbonError::OutOfRange`].
///
/// # Source
/// `DIN-19603-1969`, from memory: it rates carbon by the depth that halves free chlorine, which presumes a rate
/// proportional to what is there. For chloramine an approximation. Holds for the carbon, flow, temperature and age
/// that were read.
pub fn half_contact_time_s(
    contact_time_s: f64,
    before_kg_m3: f64,
    after_kg_m3: f64,
) -> Result<f64, CarbonError> {
    let contact_time_s = CONTACT_TIME.require(contact_time_s)?;
    let before_kg_m3 = READING.require(before_kg_m3)?;
    let after_kg_m3 = READING.require(after_kg_m3)?;
    if after_kg_m3 >= before_kg_m3 {
        return Err(CarbonError::NothingRemoved {
            before_kg_m3,
            after_kg_m3,
        });
    }
    Ok(contact_time_s / libm::log2(before_kg_m3 / after_kg_m3))
}

/// The share of the oxidant that passes, `0..=1`: `2^(−τ/h)`.
///
/// # Arguments
/// * `contact_time_s`: τ, `1e-3..=1e6`.
/// * `half_contact_time_s`: h by [`half_contact_time_s()`], `1e-3..=1e6`. Multiply it by the ratio of two
///   [`cold_factor`](super::cold_factor)s for water that's colder than when it was found.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// As [`half_contact_time_s()`].
pub fn passing_share(contact_time_s: f64, half_contact_time_s: f64) -> Result<f64, OutOfRange> {
    let halvings = CONTACT_TIME.require(contact_time_s)? / CONTACT_TIME.require(half_contact_time_s)?;
    Ok(libm::exp2(-halvings))
}
