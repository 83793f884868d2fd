//! Changing water: how far what is dissolved falls, and where it settles.
//!
//! Owns: series of partial changes, continuous exchange, the steady state of production against changes, and
//! their inverses (how many, how large, how long).
//!
//! Must not know: what is dissolved, where it comes from, whether it decays. The water is well mixed, and
//! nothing is taken up; concentrations are in any one unit, the same for all arguments of a call.
//!
//! A fraction is of the volume that takes part: what rock and sand displace isn't water.

use crate::{OutOfRange, Range};

/// Share of the water changed at once.
const FRACTION: Range = Range {
    quantity: "changed fraction",
    unit: "",
    min: 1e-9,
    max: 1.0,
    source_key: "HOUSE-RULE",
};
/// Concentrations, and production per period, of any unit.
const CONCENTRATION: Range = Range {
    quantity: "concentration",
    unit: "",
    min: 0.0,
    max: 1e12,
    source_key: "HOUSE-RULE",
};
/// Water put through, in volumes of the vessel.
const EXCHANGED: Range = Range {
    quantity: "exchanged volumes",
    unit: "",
    min: 0.0,
    max: 1e12,
    source_key: "HOUSE-RULE",
};

/// Why a question about changes has no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum DilutionError {
    /// An argument outside its limits.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// The new water holds as much as the limit allows, or more: no change brings it below.
    #[error("new water at {source_level} cannot bring the level to {limit}")]
    SourceAboveLimit {
        /// Level of the new water.
        source_level: f64,
        /// Level asked for.
        limit: f64,
    },
    /// Even a full change each period lets the level pass the limit before the next.
    #[error("{production} per period on top of {source_level} passes {limit} even when all is changed")]
    ProductionAboveLimit {
        /// Production per period.
        production: f64,
        /// Level of the new water.
        source_level: f64,
        /// Level asked for.
        limit: f64,
    },
}

/// Levels just before and just after a change, once every period looks like the last.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteadyState {
    /// Highest level, just before a change.
    pub before_change: f64,
    /// Lowest level, just after it.
    pub after_change: f64,
}

/// When a rising level passes a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Passing {
    /// It settles at or below the limit.
    Never,
    /// Just before the change that ends this period, counted from 1.
    InPeriod(u64),
}

/// Returns the level after a series of equal changes: `C = Cₛ + (C₀ − Cₛ)·(1 − f)ⁿ`.
///
/// # Arguments
/// * `start`, `source_level`: level before the first change, and of the new water; `0..=10¹²`, any one unit.
/// * `fraction`: changed each time, `10⁻⁹..=1`.
/// * `changes`: how many.
///
/// # Errors
/// [`DilutionError::OutOfRange`].
///
/// # Source
/// Own derivation: conservation of mass, well mixed before each change.
///
/// # Examples
/// ```
/// use physics::dilution::after_changes;
///
/// let left = after_changes(2.0, 0.0, 0.5, 3)?;
/// assert_eq!(left, 0.25);
/// # Ok::<(), physics::dilution::DilutionError>(())
/// ```
pub fn after_changes(
    start: f64,
    source_level: f64,
    fraction: f64,
    changes: u32,
) -> Result<f64, DilutionError> {
    let start = CONCENTRATION.require(start)?;
    let source_level = CONCENTRATION.require(source_level)?;
    let left = libm::pow(1.0 - FRACTION.require(fraction)?, f64::from(changes));
    Ok(source_level + (start - source_level) * left)
}

/// Returns the level after a continuous exchange, in and out at once: `C = Cₛ + (C₀ − Cₛ)·exp(−V/V₀)`.
///
/// # Arguments
/// * `start`, `source_level`: as in [`after_changes`].
/// * `exchanged_volumes`: water put through, in volumes of the vessel, `0..=10¹²`.
///
/// # Errors
/// [`DilutionError::OutOfRange`].
///
/// # Source
/// Own derivation: conservation of mass, well mixed throughout; the limit of ever more and smaller changes.
pub fn after_exchange(start: f64, source_level: f64, exchanged_volumes: f64) -> Result<f64, DilutionError> {
    let start = CONCENTRATION.require(start)?;
    let source_level = CONCENTRATION.require(source_level)?;
    let left = libm::exp(-EXCHANGED.require(exchanged_volumes)?);
    Ok(source_level + (start - source_level) * left)
}

/// Returns where the level settles when an equal amount is produced each period and the same fraction changed at
/// its end: `C_after = Cₛ + P·(1 − f)/f`, `C_before = C_after + P`.
///
/// # Arguments
/// * `production`: rise per period, `0..=10¹²`.
/// * `source_level`: of the new water, `0..=10¹²`.
/// * `fraction`: changed each period, `10⁻⁹..=1`.
///
/// # Errors
/// [`DilutionError::OutOfRange`].
///
/// # Source
/// Own derivation: what is produced in a period is what a change removes.
///
/// # Examples
/// ```
/// use physics::dilution::steady_state;
///
/// // 1 mg/L a day, 15 % a week.
/// let steady = steady_state(7.0, 0.0, 0.15)?;
/// assert!((steady.before_change - 46.67).abs() < 0.01);
/// assert!((steady.after_change - 39.67).abs() < 0.01);
/// # Ok::<(), physics::dilution::DilutionError>(())
/// ```
pub fn steady_state(production: f64, source_level: f64, fraction: f64) -> Result<SteadyState, DilutionError> {
    let production = CONCENTRATION.require(production)?;
    let source_level = CONCENTRATION.require(source_level)?;
    let fraction = FRACTION.require(fraction)?;
    let after_change = source_level + production * (1.0 - fraction) / fraction;
    Ok(SteadyState {
        before_change: source_level + production / fraction,
        after_change,
    })
}

/// Returns how many equal changes bring a level down to a limit: `n = ln((L − Cₛ)/(C₀ − Cₛ))/ln(1 − f)`, as a
/// real number; 0 when it is there already. Round up for whole changes.
///
/// # Arguments
/// As [`after_changes`]; `limit`: level asked for, `0..=10¹²`.
///
/// # Errors
/// [`DilutionError`]; the limit must lie above the level of the new water unless all of it is changed.
///
/// # Source
/// Own derivation: inverse of [`after_changes`].
pub fn changes_to_reach(
    start: f64,
    source_level: f64,
    limit: f64,
    fraction: f64,
) -> Result<f64, DilutionError> {
    let fraction = FRACTION.require(fraction)?;
    let Some(left) = share_left(start, source_level, limit)? else {
        return Ok(0.0);
    };
    if fraction >= 1.0 {
        return Ok(1.0);
    }
    Ok(libm::log(left) / libm::log1p(-fraction))
}

/// Returns the fraction that reaches a limit in a single change: `f = (C₀ − L)/(C₀ − Cₛ)`; 0 when it is there
/// already.
///
/// # Errors
/// [`DilutionError`], as [`changes_to_reach`].
///
/// # Source
/// Own derivation: inverse of [`after_changes`] for one change.
pub fn one_change_to_reach(start: f64, source_level: f64, limit: f64) -> Result<f64, DilutionError> {
    Ok(share_left(start, source_level, limit)?.map_or(0.0, |left| 1.0 - left))
}

/// Returns the volumes of the vessel that a continuous exchange takes to reach a limit; 0 when it is there already.
///
/// With the flow `Q` into a volume `V` this takes the time `volumes·V/Q`.
///
/// # Errors
/// [`DilutionError`], as [`changes_to_reach`].
///
/// # Source
/// Own derivation: inverse of [`after_exchange`].
pub fn exchange_to_reach(start: f64, source_level: f64, limit: f64) -> Result<f64, DilutionError> {
    Ok(share_left(start, source_level, limit)?.map_or(0.0, |left| -libm::log(left)))
}

/// Returns the smallest fraction per period that holds the level at or below a limit, in the long run and just
/// before each change: `f = P/(L − Cₛ)`; 0 where nothing is produced.
///
/// # Errors
/// [`DilutionError::SourceAboveLimit`], and [`DilutionError::ProductionAboveLimit`] where even all of the water
/// would not do.
///
/// # Source
/// Own derivation: inverse of [`steady_state`].
pub fn fraction_to_hold(production: f64, source_level: f64, limit: f64) -> Result<f64, DilutionError> {
    let production = CONCENTRATION.require(production)?;
    let source_level = CONCENTRATION.require(source_level)?;
    let limit = CONCENTRATION.require(limit)?;
    if production <= 0.0 && source_level <= limit {
        return Ok(0.0);
    }
    if source_level >= limit {
        return Err(DilutionError::SourceAboveLimit { source_level, limit });
    }
    let fraction = production / (limit - source_level);
    if fraction > 1.0 {
        return Err(DilutionError::ProductionAboveLimit {
            production,
            source_level,
            limit,
        });
    }
    Ok(fraction)
}

/// Returns in which period a level first exceeds a limit, with production spread over each period and a change
/// at its end.
///
/// # Arguments
/// As [`steady_state`]; `start`: level at the start, just after a change; `limit`: as in [`changes_to_reach`].
///
/// # Errors
/// [`DilutionError::OutOfRange`].
///
/// # Source
/// Own derivation: the level before the `k`-th change is `C_b + (C₀ + P − C_b)·(1 − f)^(k−1)`, with `C_b` the
/// steady level before a change.
pub fn period_of_passing(
    start: f64,
    production: f64,
    source_level: f64,
    fraction: f64,
    limit: f64,
) -> Result<Passing, DilutionError> {
    let start = CONCENTRATION.require(start)?;
    let limit = CONCENTRATION.require(limit)?;
    let settled = steady_state(production, source_level, fraction)?.before_change;
    let first = start + production;
    if first > limit {
        return Ok(Passing::InPeriod(1));
    }
    if settled <= limit {
        return Ok(Passing::Never);
    }
    // The distance to the settled level shrinks from period to period; the limit lies on the way.
    let shrunk = (settled - limit) / (settled - first);
    let periods = libm::log(shrunk) / libm::log1p(-fraction);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "not negative, since the limit lies between; a fraction of 1e-9 keeps it below 1e13"
    )]
    let whole = periods.floor() as u64;
    Ok(Passing::InPeriod(whole + 2))
}

/// Returns practical salinity, or any concentration, after one change by water of another: `S₀ + f·(S₁ − S₀)`.
///
/// By volume, so that density is left out. It's off by `f·(1 − f)·ΔS·Δρ/ρ`: a thousandth between waters of 34 and
/// 36, but 0.23 where half of a water of 35 gives way to fresh.
///
/// # Errors
/// [`DilutionError::OutOfRange`].
///
/// # Source
/// Own derivation; the mass balance is in [`mixing`](crate::mixing).
pub fn after_one_change(start: f64, source_level: f64, fraction: f64) -> Result<f64, DilutionError> {
    after_changes(start, source_level, fraction, 1)
}

/// Share of the excess over the new water that may be left; `None` when the level is at the limit or below.
fn share_left(start: f64, source_level: f64, limit: f64) -> Result<Option<f64>, DilutionError> {
    let start = CONCENTRATION.require(start)?;
    let source_level = CONCENTRATION.require(source_level)?;
    let limit = CONCENTRATION.require(limit)?;
    if start <= limit {
        return Ok(None);
    }
    if source_level >= limit {
        return Err(DilutionError::SourceAboveLimit { source_level, limit });
    }
    Ok(Some((limit - source_level) / (start - source_level)))
}
