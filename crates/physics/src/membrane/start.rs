//! The salty water that a start washes out of the hold-up, and what it costs the resin.

use super::{
    error::MembraneError,
    limits::{RUN, SALT, VOLUME, WALL_SOLIDS},
};
use crate::Range;

/// A steady permeate that a volume can be reckoned from.
const STEADY_GIVEN: Range = Range {
    quantity: "dissolved solids of the steady permeate",
    unit: "kg/m³",
    min: 1e-9,
    max: 20.0,
    source_key: "HOUSE-RULE",
};

/// Returns the permeate after a volume was made since the start, `c_ss + (c₁ − c_ss)·exp(−V/Vh)`.
///
/// # Arguments
/// * `hold_up_m3`: `Vh`, on the permeate side.
/// * `solids_at_start_kg_m3`: `c₁`, at the end of rest, `0..=20`.
/// * `steady_kg_m3`: `c_ss`, of the run, `0..=20`.
/// * `run_m3`: `V`, made since the start.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `MASS-BALANCE` of a hold-up that is well mixed.
pub fn solids_during_run_kg_m3(
    hold_up_m3: f64,
    solids_at_start_kg_m3: f64,
    steady_kg_m3: f64,
    run_m3: f64,
) -> Result<f64, MembraneError> {
    let (hold_up, excess, run) = checked(hold_up_m3, solids_at_start_kg_m3, steady_kg_m3, run_m3)?;
    Ok(steady_kg_m3 + excess * libm::exp(-run / hold_up))
}

/// Returns the salt that a start washes into the resin above that of the steady run,
/// `Vh·(c₁ − c_ss)·(1 − exp(−V/Vh))`.
///
/// Negative when the hold-up was cleaner than the run. Plug flow gives the same once the run exceeds the hold-up.
///
/// # Arguments
/// As [`solids_during_run_kg_m3`].
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `MASS-BALANCE` of a hold-up that is well mixed.
pub fn start_salt_kg(
    hold_up_m3: f64,
    solids_at_start_kg_m3: f64,
    steady_kg_m3: f64,
    run_m3: f64,
) -> Result<f64, MembraneError> {
    let (hold_up, excess, run) = checked(hold_up_m3, solids_at_start_kg_m3, steady_kg_m3, run_m3)?;
    Ok(-hold_up * excess * libm::expm1(-run / hold_up))
}

/// Returns the mean permeate of a run, `c_ss + m/V`; that at the start for no run at all.
///
/// # Arguments
/// As [`solids_during_run_kg_m3`].
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `MASS-BALANCE` of a hold-up that is well mixed.
pub fn mean_solids_kg_m3(
    hold_up_m3: f64,
    solids_at_start_kg_m3: f64,
    steady_kg_m3: f64,
    run_m3: f64,
) -> Result<f64, MembraneError> {
    let (hold_up, excess, run) = checked(hold_up_m3, solids_at_start_kg_m3, steady_kg_m3, run_m3)?;
    let washed = run / hold_up;
    let share = if washed > 0.0 {
        -libm::expm1(-washed) / washed
    } else {
        1.0
    };
    Ok(steady_kg_m3 + excess * share)
}

/// Returns the salt of a start that is left for the resin when the first water goes to the drain before it.
///
/// # Arguments
/// * first three: as [`solids_during_run_kg_m3`].
/// * `flushed_m3`: drained before the resin.
/// * `run_m3`: made after that.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `MASS-BALANCE` of a hold-up that is well mixed.
pub fn after_flush_kg(
    hold_up_m3: f64,
    solids_at_start_kg_m3: f64,
    steady_kg_m3: f64,
    flushed_m3: f64,
    run_m3: f64,
) -> Result<f64, MembraneError> {
    let after = solids_during_run_kg_m3(hold_up_m3, solids_at_start_kg_m3, steady_kg_m3, flushed_m3)?;
    start_salt_kg(hold_up_m3, after, steady_kg_m3, run_m3)
}

/// Returns the volume of steady permeate that carries as much salt as one start, `N = m/c_ss`.
///
/// # Arguments
/// * `start_salt_kg`: `m`, `0..=10⁶`.
/// * `steady_kg_m3`: `c_ss`, above 0.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// Definition.
pub fn break_even_m3(start_salt_kg: f64, steady_kg_m3: f64) -> Result<f64, MembraneError> {
    Ok(SALT.require(start_salt_kg)? / STEADY_GIVEN.require(steady_kg_m3)?)
}

/// Hold-up, excess at the start and run.
fn checked(hold_up: f64, at_start: f64, steady: f64, run: f64) -> Result<(f64, f64, f64), MembraneError> {
    let excess = WALL_SOLIDS.require(at_start)? - WALL_SOLIDS.require(steady)?;
    Ok((VOLUME.require(hold_up)?, excess, RUN.require(run)?))
}
