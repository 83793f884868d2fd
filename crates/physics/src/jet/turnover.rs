//! How often the water has gone round, and how much of it new water would have replaced.

use super::limits::FLOW;
use crate::{OutOfRange, Range};
use libm::{expm1, log1p};

/// A thimble up to a swimming hall.
const VOLUME: Range = Range {
    quantity: "volume",
    unit: "m³",
    min: 1e-6,
    max: 1e4,
    source_key: "HOUSE-RULE",
};
const TURNOVERS: Range = Range {
    quantity: "turnovers",
    unit: "",
    min: 0.0,
    max: 1e6,
    source_key: "HOUSE-RULE",
};

/// Share replaced, short of all: that takes for ever.
pub const REPLACED_SHARE: Range = Range {
    quantity: "share replaced",
    unit: "",
    min: 0.0,
    max: 0.999_999_999,
    source_key: "HOUSE-RULE",
};

/// Returns the time in which the pump moves the vessel's volume once, s: `V/Q`.
///
/// A jet mixes in a small part of that, because it draws water in along its way.
///
/// # Arguments
/// * `volume_m3`: V, `1e-6..=1e4`.
/// * `flow_m3_s`: Q, `1e-7..=0.1`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// DEFINITION.
pub fn turnover_time_s(volume_m3: f64, flow_m3_s: f64) -> Result<f64, OutOfRange> {
    Ok(VOLUME.require(volume_m3)? / FLOW.require(flow_m3_s)?)
}

/// Returns the share of an ideally stirred vessel's water that is new after so many of its volumes went through:
/// `1 − exp(−n)`. 0.950 after 3, 0.990 after 4.6.
///
/// # Errors
/// [`OutOfRange`] outside 0 to 10⁶ turnovers.
///
/// # Source
/// `MASS-BALANCE`: what leaves is what is in the vessel, so `dx/dn = 1 − x`.
///
/// # Examples
/// ```
/// let share = physics::jet::replaced_share(3.0)?;
/// assert!((share - 0.950_2).abs() < 1e-4);
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn replaced_share(turnovers: f64) -> Result<f64, OutOfRange> {
    Ok(-expm1(-TURNOVERS.require(turnovers)?))
}

/// Returns the turnovers after which that share is new: `−ln(1 − x)`.
///
/// # Errors
/// [`OutOfRange`] outside [`REPLACED_SHARE`].
///
/// # Source
/// [`replaced_share`] solved for turnovers.
pub fn turnovers_for_share(share: f64) -> Result<f64, OutOfRange> {
    Ok(-log1p(-REPLACED_SHARE.require(share)?))
}
