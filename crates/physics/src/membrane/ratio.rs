//! Short runs against long ones: by how much more they load the resin, and the hold-up that would explain a saying.

use super::{
    error::MembraneError,
    idle::{HoldUp, idle_equilibrium_kg_m3},
    limits::{VOLUME, WALL_SOLIDS},
    start::mean_solids_kg_m3,
};
use crate::{Range, numerics::try_bracketed_root};

const RATIO: Range = Range {
    quantity: "ratio of loads",
    unit: "",
    min: 1.0,
    max: 1e6,
    source_key: "HOUSE-RULE",
};
/// Points of the search, by the logarithm; 31 a decade.
const POINTS: u32 = 280;
/// Smallest hold-up searched, as a share of the short run.
const FROM: f64 = 1e-6;
/// Largest hold-up searched, as a multiple of the long run.
const TO: f64 = 1e3;
/// Steps by which the top is narrowed down.
const TOP_STEPS: u32 = 60;
/// Tolerance of the logarithm of the hold-up.
const TOLERANCE: f64 = 1e-13;

/// Two lengths of run that alternate with a rest long enough for equilibrium.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunLengths {
    /// Shorter run.
    pub short_run_m3: f64,
    /// Longer run.
    pub long_run_m3: f64,
    /// Hold-up of the feed side; very large for one that stays open to fresh feed.
    pub feed_side_m3: f64,
    /// Mean of the feed side at the stop.
    pub feed_side_kg_m3: f64,
    /// Permeate of the steady run.
    pub steady_kg_m3: f64,
    /// What else loads the resin in each volume of permeate, carbonic acid above all, as the salt that takes as
    /// many equivalents.
    pub other_kg_m3: f64,
}

impl RunLengths {
    fn check(&self) -> Result<(), MembraneError> {
        VOLUME.require(self.short_run_m3)?;
        VOLUME.require(self.long_run_m3)?;
        VOLUME.require(self.feed_side_m3)?;
        WALL_SOLIDS.require(self.feed_side_kg_m3)?;
        WALL_SOLIDS.require(self.steady_kg_m3)?;
        WALL_SOLIDS.require(self.other_kg_m3)?;
        if self.long_run_m3 <= self.short_run_m3 {
            return Err(MembraneError::RunsOutOfOrder {
                short_run_m3: self.short_run_m3,
                long_run_m3: self.long_run_m3,
            });
        }
        if self.feed_side_kg_m3 <= self.steady_kg_m3 {
            return Err(MembraneError::FeedSideTooWeak {
                feed_side_kg_m3: self.feed_side_kg_m3,
                permeate_kg_m3: self.steady_kg_m3,
            });
        }
        Ok(())
    }
}

/// Returns by how much more short runs load the resin than long ones, per volume made.
///
/// # Errors
/// [`MembraneError::RunsOutOfOrder`]; [`MembraneError::FeedSideTooWeak`]; [`MembraneError::OutOfRange`].
///
/// # Source
/// Own derivation: [`mean_solids_kg_m3`](super::mean_solids_kg_m3) from the equilibrium of rest, for both runs.
pub fn load_ratio(runs: &RunLengths, hold_up_m3: f64) -> Result<f64, MembraneError> {
    runs.check()?;
    let hold_up = HoldUp {
        permeate_m3: hold_up_m3,
        feed_side_m3: runs.feed_side_m3,
    };
    let at_start = idle_equilibrium_kg_m3(&hold_up, runs.steady_kg_m3, runs.feed_side_kg_m3)?;
    let load = |run_m3| {
        let salt = mean_solids_kg_m3(hold_up_m3, at_start, runs.steady_kg_m3, run_m3)?;
        Ok::<f64, MembraneError>(salt + runs.other_kg_m3)
    };
    Ok(load(runs.short_run_m3)? / load(runs.long_run_m3)?)
}

/// Returns the smallest hold-up at which short runs load the resin `ratio` times as much as long ones.
///
/// The ratio rises with the hold-up, but not for ever: a closed feed side holds only so much salt, and a hold-up
/// beyond the long run makes both runs alike.
///
/// # Arguments
/// * `runs`: the two runs, and what loads the resin.
/// * `ratio`: asked for, above 1.
///
/// # Errors
/// [`MembraneError::RatioBeyond`] with the highest ratio that any hold-up gives; those of [`load_ratio`].
///
/// # Source
/// Own derivation: [`load_ratio`] turned round.
pub fn hold_up_for_ratio(runs: &RunLengths, ratio: f64) -> Result<f64, MembraneError> {
    RATIO.require(ratio)?;
    runs.check()?;
    let from = libm::log((FROM * runs.short_run_m3).max(VOLUME.min));
    let to = libm::log((TO * runs.long_run_m3).min(VOLUME.max));
    let step = (to - from) / f64::from(POINTS);
    // Half a step inside the range, so that rounding can't leave it.
    let at = |index: f64| from + step * (0.5 + index).min(f64::from(POINTS) - 0.5);
    let surplus = |log: f64| Ok::<f64, MembraneError>(load_ratio(runs, libm::exp(log))? - ratio);

    let mut best = (at(0.0), surplus(at(0.0))?);
    if best.1 >= 0.0 {
        return Ok(libm::exp(best.0));
    }
    let mut above = None;
    for index in 1..POINTS {
        let log = at(f64::from(index));
        let value = surplus(log)?;
        if value > best.1 {
            best = (log, value);
        }
        if value >= 0.0 {
            above = Some(log);
            break;
        }
    }
    let high = match above {
        Some(log) => log,
        None => {
            best = top(surplus, best.0 - step, best.0 + step)?;
            if best.1 < 0.0 {
                return Err(MembraneError::RatioBeyond {
                    ratio,
                    most: ratio + best.1,
                });
            }
            best.0
        }
    };
    Ok(libm::exp(
        try_bracketed_root(surplus, at(0.0), high, TOLERANCE)?.x,
    ))
}

/// The highest point between two places, by golden section.
fn top(
    function: impl Fn(f64) -> Result<f64, MembraneError>,
    low: f64,
    high: f64,
) -> Result<(f64, f64), MembraneError> {
    let golden = (5_f64.sqrt() - 1.0) / 2.0;
    let (mut a, mut b) = (low, high);
    for _ in 0..TOP_STEPS {
        let (left, right) = (b - golden * (b - a), a + golden * (b - a));
        if function(left)? >= function(right)? {
            b = right;
        } else {
            a = left;
        }
    }
    let middle = a + (b - a) / 2.0;
    Ok((middle, function(middle)?))
}
