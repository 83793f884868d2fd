//! How much feed the carbon lasts for, and how much product that is.

use super::{
    contact::{Oxidant, REJECT_RATIO},
    error::CarbonError,
};
use crate::{OutOfRange, Range};

/// Free chlorine in the water by which carbon is rated, in kg/m³: 2 mg/L.
///
/// Source: `NSF-ANSI-42`, from memory.
pub const RATED_FREE_CHLORINE_KG_M3: f64 = 2e-3;

/// The least oxidant that a life is reckoned from, in kg/m³ as chlorine: 0.001 mg/L, below what field tests show.
///
/// Source: house rule.
pub const LEAST_OXIDANT_KG_M3: f64 = 1e-6;

const RATED_VOLUME: Range = Range {
    quantity: "rated volume",
    unit: "m³",
    min: 0.0,
    max: 1e6,
    source_key: "HOUSE-RULE",
};
/// Wide enough for whatever [`life_m3`] gives.
const FEED: Range = Range {
    quantity: "feed through the carbon",
    max: 1e12,
    ..RATED_VOLUME
};
const OXIDANT: Range = Range {
    quantity: "oxidant as chlorine",
    unit: "kg/m³",
    min: 0.0,
    max: 0.1,
    source_key: "HOUSE-RULE",
};
const RATED_OXIDANT: Range = Range {
    quantity: "chlorine in the rating",
    min: 1e-4,
    ..OXIDANT
};
/// Chloramine was never found to be easier than chlorine; below a thousandth the carbon is no use against it.
const CHLORAMINE_SHARE: Range = Range {
    quantity: "life against chloramine per life against chlorine",
    unit: "",
    min: 1e-3,
    max: 1.0,
    source_key: "HOUSE-RULE",
};

/// The feed that uses the carbon up, in m³: `V·r/c`.
///
/// Only by what it takes out: dirt, growth and age can end it sooner.
///
/// # Arguments
/// * `rated_volume_m3`: water that the rating promises, V, `0..=1e6`.
/// * `rated_oxidant_kg_m3`: free chlorine in the water of the rating, r, `1e-4..=0.1`; see
///   [`RATED_FREE_CHLORINE_KG_M3`].
/// * `oxidant_kg_m3`: in the feed, as chlorine, c, `1e-6..=0.1`.
/// * `oxidant`: only [`Oxidant::FreeChlorine`] has an answer.
///
/// # Errors
/// [`CarbonError::NotRatedForChloramine`]: see [`chloramine_life_m3`]; [`CarbonError::NothingToRemove`] below
/// 10⁻⁶; [`CarbonError::OutOfRange`].
///
/// # Source
/// `MASS-BALANCE`: the carbon takes out a fixed mass of chlorine. That the mass doesn't depend on the strength is
/// a house rule, good near the strength of the rating.
pub fn life_m3(
    rated_volume_m3: f64,
    rated_oxidant_kg_m3: f64,
    oxidant_kg_m3: f64,
    oxidant: Oxidant,
) -> Result<f64, CarbonError> {
    match oxidant {
        Oxidant::FreeChlorine => life_by_mass_m3(rated_volume_m3, rated_oxidant_kg_m3, oxidant_kg_m3),
        Oxidant::Chloramine => Err(CarbonError::NotRatedForChloramine),
    }
}

/// As [`life_m3`], for chloramine in the feed of a carbon that was rated against free chlorine.
///
/// # Arguments
/// * `rated_volume_m3`, `rated_oxidant_kg_m3`: as in [`life_m3`].
/// * `chloramine_kg_m3`: in the feed, as chlorine, `1e-6..=0.1`.
/// * `chloramine_share`: life against chloramine per life against chlorine of the same strength, `1e-3..=1`. No
///   figure that holds for carbon in general is known; it depends on the carbon and on contact time.
///
/// # Errors
/// As [`life_m3`].
///
/// # Source
/// As [`life_m3`]; the share is the caller's.
pub fn chloramine_life_m3(
    rated_volume_m3: f64,
    rated_oxidant_kg_m3: f64,
    chloramine_kg_m3: f64,
    chloramine_share: f64,
) -> Result<f64, CarbonError> {
    let share = CHLORAMINE_SHARE.require(chloramine_share)?;
    Ok(share * life_by_mass_m3(rated_volume_m3, rated_oxidant_kg_m3, chloramine_kg_m3)?)
}

/// The product that comes from a volume of feed, in m³: `V/(1 + w)`.
///
/// # Errors
/// [`OutOfRange`] for a feed outside `0..=1e12`, a reject ratio w outside `0..=100`.
///
/// # Source
/// `MASS-BALANCE`: the carbon sees what is rejected too.
pub fn product_from_feed_m3(feed_life_m3: f64, reject_ratio: f64) -> Result<f64, OutOfRange> {
    Ok(FEED.require(feed_life_m3)? / (1.0 + REJECT_RATIO.require(reject_ratio)?))
}

fn life_by_mass_m3(
    rated_volume_m3: f64,
    rated_oxidant_kg_m3: f64,
    oxidant_kg_m3: f64,
) -> Result<f64, CarbonError> {
    let capacity_kg = RATED_VOLUME.require(rated_volume_m3)? * RATED_OXIDANT.require(rated_oxidant_kg_m3)?;
    Ok(capacity_kg / enough(OXIDANT.require(oxidant_kg_m3)?)?)
}

/// Gives an oxidant back if a time or a life can be reckoned from it.
pub(super) fn enough(oxidant_kg_m3: f64) -> Result<f64, CarbonError> {
    if oxidant_kg_m3 < LEAST_OXIDANT_KG_M3 {
        Err(CarbonError::NothingToRemove {
            oxidant_kg_m3,
            least_kg_m3: LEAST_OXIDANT_KG_M3,
        })
    } else {
        Ok(oxidant_kg_m3)
    }
}
