//! How long water stays in a bed, and how fast it passes.

use super::bed::BED_VOLUME;
use crate::{OutOfRange, Range};

const FLOW: Range = Range {
    quantity: "flow through the bed",
    unit: "m³/s",
    min: 1e-9,
    max: 1.0,
    source_key: "HOUSE-RULE",
};
const AREA: Range = Range {
    quantity: "cross-section of the bed",
    unit: "m²",
    min: 1e-6,
    max: 100.0,
    source_key: "HOUSE-RULE",
};

/// How long the flow takes to fill the volume of the bed as if it were empty, in s: `V/Q`.
///
/// # Arguments
/// * `bed_m3`: `1e-6..=100`.
/// * `flow_m3_s`: `1e-9..=1`; through resin behind a membrane the product alone, not the feed.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `DEFINITION`: contact time of the empty bed.
pub fn contact_time_s(bed_m3: f64, flow_m3_s: f64) -> Result<f64, OutOfRange> {
    Ok(BED_VOLUME.require(bed_m3)? / FLOW.require(flow_m3_s)?)
}

/// Flow per cross-section of the empty bed, in m/s.
///
/// Small canisters pass 3 to 6 m/h, plants 10 to 50 m/h (common practice, no source); slower, the water film
/// around the beads hinders and channels form.
///
/// # Errors
/// [`OutOfRange`] for a flow outside `1e-9..=1`, an area outside `1e-6..=100`.
///
/// # Source
/// `DEFINITION`.
pub fn service_velocity_m_s(flow_m3_s: f64, area_m2: f64) -> Result<f64, OutOfRange> {
    Ok(FLOW.require(flow_m3_s)? / AREA.require(area_m2)?)
}
