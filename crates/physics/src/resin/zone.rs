//! The share of a bed that is used before it leaks, and what a second bed behind it wins back.

use super::{
    bed::{LEAST_USED, UTILISATION},
    error::ResinError,
};
use crate::Range;

const HEIGHT: Range = Range {
    quantity: "height of the bed or its zone",
    unit: "m",
    min: 0.0,
    max: 10.0,
    source_key: "HOUSE-RULE",
};

/// A bed of less than a millimetre is thinner than its beads.
const BED_HEIGHT: Range = Range {
    quantity: "height of the bed",
    min: 1e-3,
    ..HEIGHT
};

const ZONE_SHARE: Range = Range {
    quantity: "unused share of the zone",
    unit: "",
    min: 0.0,
    max: 1.0,
    source_key: "DEFINITION",
};

/// A bed that leaks before this has no zone inside it.
const WATER: Range = Range {
    quantity: "water through the bed",
    unit: "m³",
    min: 1e-9,
    max: 1e9,
    source_key: "HOUSE-RULE",
};

/// The share of a bed that is used when it first leaks: `u = 1 − f·z/H`.
///
/// Exchange goes on in a zone that travels down the bed unchanged. At the first leak it stands at the outlet, and
/// the part f of its capacity is still unused.
///
/// # Arguments
/// * `bed_height_m`: H, `0.001..=10`.
/// * `zone_height_m`: z, `0..=H`. It grows with flow, with the size of the beads and with a rest; in one bed it
///   can be found by [`zone_height_m()`].
/// * `unused_share`: f, `0..=1`; 0.5 for a symmetric zone, about 0.7 where the film of water around the beads
///   governs, as in very dilute water (own derivation: `1 − (1 − ε)/ln(1/ε)`, 0.683 at a leak ε of 5 %).
///
/// # Errors
/// [`ResinError::ZoneLongerThanBed`]; [`ResinError::OutOfRange`].
///
/// # Source
/// `MICHAELS-1952`, from memory: a zone of constant pattern.
pub fn utilisation_from_zone(
    bed_height_m: f64,
    zone_height_m: f64,
    unused_share: f64,
) -> Result<f64, ResinError> {
    let bed_height_m = BED_HEIGHT.require(bed_height_m)?;
    let zone_height_m = HEIGHT.require(zone_height_m)?;
    let unused_share = ZONE_SHARE.require(unused_share)?;
    if zone_height_m > bed_height_m {
        return Err(ResinError::ZoneLongerThanBed {
            bed_height_m,
            zone_height_m,
        });
    }
    Ok(1.0 - unused_share * zone_height_m / bed_height_m)
}

/// The height of the exchange zone, in m, from two readings of one run: `H·(E − B)/(B + f·(E − B))`.
///
/// # Arguments
/// * `bed_height_m`: H, `0.001..=10`.
/// * `breakthrough_m3`: water until the first leak, B, `1e-9..=1e9`.
/// * `exhaustion_m3`: water until what leaves is what enters, E > B, to 10⁹.
/// * `unused_share`: f, as in [`utilisation_from_zone`].
///
/// # Errors
/// [`ResinError::ExhaustedBeforeBreakthrough`]; [`ResinError::ZoneLongerThanBed`] when the bed leaked so early
/// that its zone was never inside it; [`ResinError::OutOfRange`].
///
/// # Source
/// `MICHAELS-1952`, from memory: the zone passes the outlet in `E − B`, and a bed's height in `B + f·(E − B)`, the
/// volume that its whole capacity takes.
pub fn zone_height_m(
    bed_height_m: f64,
    breakthrough_m3: f64,
    exhaustion_m3: f64,
    unused_share: f64,
) -> Result<f64, ResinError> {
    let bed_height_m = BED_HEIGHT.require(bed_height_m)?;
    let breakthrough_m3 = WATER.require(breakthrough_m3)?;
    let exhaustion_m3 = WATER.require(exhaustion_m3)?;
    let unused_share = ZONE_SHARE.require(unused_share)?;
    if exhaustion_m3 <= breakthrough_m3 {
        return Err(ResinError::ExhaustedBeforeBreakthrough {
            breakthrough_m3,
            exhaustion_m3,
        });
    }
    let zone_m3 = exhaustion_m3 - breakthrough_m3;
    let bed_m3 = breakthrough_m3 + unused_share * zone_m3;
    let zone_height_m = bed_height_m * (zone_m3 / bed_m3);
    if zone_height_m > bed_height_m {
        return Err(ResinError::ZoneLongerThanBed {
            bed_height_m,
            zone_height_m,
        });
    }
    Ok(zone_height_m)
}

/// How much more water a volume of resin makes as the first of a pair than alone, as a share: `u₂/u₁ − 1`.
///
/// Alone, a bed is changed at its first leak. As the first of two it runs on while the second catches what leaks;
/// then it's thrown away, the second takes its place and a new one stands behind. The zone has to fit into the
/// second bed.
///
/// # Arguments
/// * `utilisation_alone`: share used alone, above 0 to 1.
/// * `utilisation_lead`: share used as the first of the pair, `0..=1`, near 1.
///
/// # Errors
/// [`ResinError::NothingUsed`] when nothing is used alone; [`ResinError::OutOfRange`].
///
/// # Source
/// `MASS-BALANCE`: in the long run each change throws away one bed, used to that share.
pub fn lead_lag_gain(utilisation_alone: f64, utilisation_lead: f64) -> Result<f64, ResinError> {
    let alone = UTILISATION.require(utilisation_alone)?;
    let lead = UTILISATION.require(utilisation_lead)?;
    if alone < LEAST_USED {
        return Err(ResinError::NothingUsed);
    }
    Ok(lead / alone - 1.0)
}
