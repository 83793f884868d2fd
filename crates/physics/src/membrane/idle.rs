//! What happens to the permeate while the element stands: salt creeps through until both sides are alike.

use super::{
    error::MembraneError,
    limits::{RUN, SALT_CONDUCTANCE, TIME, VOLUME, WALL_SOLIDS},
    start,
};

/// The water that an element holds on either side of the membrane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoldUp {
    /// Permeate: carrier, centre tube, lines up to the resin.
    pub permeate_m3: f64,
    /// Feed side: channel and housing. Very large for a feed side that stays open to fresh feed.
    pub feed_side_m3: f64,
}

/// How an element stands idle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Idle {
    /// Permeate at the stop, that of the steady run before.
    pub steady_kg_m3: f64,
    /// Mean of the feed side at the stop.
    pub feed_side_kg_m3: f64,
    /// Salt conductance at the temperature of rest.
    pub salt_conductance_m3_s: f64,
}

impl HoldUp {
    fn check(&self) -> Result<(), MembraneError> {
        VOLUME.require(self.permeate_m3)?;
        VOLUME.require(self.feed_side_m3)?;
        Ok(())
    }
}

impl Idle {
    /// Returns the permeate after standing, as [`solids_after_idle_kg_m3`] from the steady permeate.
    ///
    /// # Errors
    /// As [`solids_after_idle_kg_m3`].
    ///
    /// # Source
    /// As [`solids_after_idle_kg_m3`].
    pub fn solids_kg_m3(&self, hold_up: &HoldUp, idle_s: f64) -> Result<f64, MembraneError> {
        solids_after_idle_kg_m3(
            hold_up,
            self.steady_kg_m3,
            self.feed_side_kg_m3,
            self.salt_conductance_m3_s,
            idle_s,
        )
    }

    /// Returns the extra salt that the start after standing washes into the resin, as
    /// [`start_salt_kg`](super::start_salt_kg).
    ///
    /// # Errors
    /// As [`start_salt_kg`](super::start_salt_kg).
    ///
    /// # Source
    /// As [`start_salt_kg`](super::start_salt_kg).
    pub fn start_salt_kg(&self, hold_up: &HoldUp, idle_s: f64, run_m3: f64) -> Result<f64, MembraneError> {
        let at_start = self.solids_kg_m3(hold_up, idle_s)?;
        start::start_salt_kg(hold_up.permeate_m3, at_start, self.steady_kg_m3, run_m3)
    }
}

/// Returns the time after which the way to equilibrium has shrunk by e, `τ = Vh·Vf/((Vh + Vf)·B)`.
///
/// # Arguments
/// * `hold_up`: `Vh` of permeate, `Vf` of the feed side.
/// * `salt_conductance_m3_s`: `B`, at the temperature of rest.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `MASS-BALANCE` of two mixed volumes with diffusion between; no water passes while the element stands.
pub fn idle_time_constant_s(hold_up: &HoldUp, salt_conductance_m3_s: f64) -> Result<f64, MembraneError> {
    hold_up.check()?;
    let salt = SALT_CONDUCTANCE.require(salt_conductance_m3_s)?;
    let (permeate, feed_side) = (hold_up.permeate_m3, hold_up.feed_side_m3);
    Ok(permeate / (1.0 + permeate / feed_side) / salt)
}

/// Returns the concentration that both sides reach in the end, `(Vf·cf + Vh·c0)/(Vf + Vh)`.
///
/// # Arguments
/// * `hold_up`: `Vh` of permeate, `Vf` of the feed side.
/// * `start_kg_m3`, `feed_side_kg_m3`: `c0` and `cf`, at the stop.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `MASS-BALANCE`.
pub fn idle_equilibrium_kg_m3(
    hold_up: &HoldUp,
    start_kg_m3: f64,
    feed_side_kg_m3: f64,
) -> Result<f64, MembraneError> {
    hold_up.check()?;
    let start = WALL_SOLIDS.require(start_kg_m3)?;
    let feed_side = WALL_SOLIDS.require(feed_side_kg_m3)?;
    let share = hold_up.feed_side_m3 / (hold_up.feed_side_m3 + hold_up.permeate_m3);
    Ok(start + share * (feed_side - start))
}

/// Returns the permeate after the element stood for a time.
///
/// # Arguments
/// * `hold_up`: of both sides.
/// * `start_kg_m3`, `feed_side_kg_m3`: permeate and feed side at the stop, `0..=20`.
/// * `salt_conductance_m3_s`: at the temperature of rest.
/// * `idle_s`: time of rest, `0..=10¹⁰`.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `MASS-BALANCE` of two mixed volumes with diffusion between, solved.
pub fn solids_after_idle_kg_m3(
    hold_up: &HoldUp,
    start_kg_m3: f64,
    feed_side_kg_m3: f64,
    salt_conductance_m3_s: f64,
    idle_s: f64,
) -> Result<f64, MembraneError> {
    let equilibrium = idle_equilibrium_kg_m3(hold_up, start_kg_m3, feed_side_kg_m3)?;
    let time_constant = idle_time_constant_s(hold_up, salt_conductance_m3_s)?;
    let reached = -libm::expm1(-TIME.require(idle_s)? / time_constant);
    Ok(start_kg_m3 + (equilibrium - start_kg_m3) * reached)
}

/// Returns the permeate at each start of runs that are all alike, each after the same rest.
///
/// A run shorter than a few hold-ups leaves part of the salt behind, from which the next rest begins: with
/// `s = Vf/(Vf + Vh)`, `g = 1 − exp(−t/τ)` and `r = exp(−V/Vh)` the start settles at
/// `c_ss + s·g·(cf − c_ss)/(1 − r·(1 − s·g))`. Long runs (`r = 0`) start as [`solids_after_idle_kg_m3`] has it.
///
/// # Arguments
/// * `hold_up`: of both sides.
/// * `steady_kg_m3`, `feed_side_kg_m3`: `c_ss` of a long run, `cf` on the feed side while it runs, `0..=20`.
/// * `salt_conductance_m3_s`: at the temperature of rest.
/// * `idle_s`: `t`, time of rest, `0..=10¹⁰`.
/// * `washed_m3`: `V`, all that passes the hold-up in one run, what is flushed with it.
///
/// # Errors
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `MASS-BALANCE` of two mixed volumes at rest and of a mixed hold-up in a run, in the state that repeats itself; the
/// feed side is fresh after each run.
pub fn repeated_start_kg_m3(
    hold_up: &HoldUp,
    steady_kg_m3: f64,
    feed_side_kg_m3: f64,
    salt_conductance_m3_s: f64,
    idle_s: f64,
    washed_m3: f64,
) -> Result<f64, MembraneError> {
    let first = solids_after_idle_kg_m3(
        hold_up,
        steady_kg_m3,
        feed_side_kg_m3,
        salt_conductance_m3_s,
        idle_s,
    )?;
    let washed = libm::exp(-RUN.require(washed_m3)? / hold_up.permeate_m3);
    let way = feed_side_kg_m3 - steady_kg_m3;
    // Share of the way to the feed side that one rest makes.
    let made = if way == 0.0 {
        0.0
    } else {
        (first - steady_kg_m3) / way
    };
    let kept = 1.0 - washed * (1.0 - made);
    if kept <= 0.0 {
        // Neither rest nor run: it stays as a long run left it.
        return Ok(steady_kg_m3);
    }
    Ok(steady_kg_m3 + (first - steady_kg_m3) / kept)
}
