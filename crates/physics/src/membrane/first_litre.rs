//! The hold-up from a logged first litre.

use super::{
    error::MembraneError,
    limits::{RUN, WALL_SOLIDS},
    student::{count, half_width_95},
};
use crate::{Range, numerics::bracketed_root};

/// Fewest readings: three unknowns, and one to show the scatter.
const FEWEST: usize = 4;
/// Points of the search, by the logarithm of the hold-up.
const POINTS: u32 = 240;
/// Smallest hold-up searched, as a share of the smallest gap between readings; a smaller one leaves no trace.
const FROM: f64 = 0.1;
/// Largest hold-up searched, as a multiple of the logged volume; a larger one looks like a straight line.
const TO: f64 = 20.0;
/// Steps by which the best is narrowed down.
const BEST_STEPS: u32 = 60;
/// Tolerance of the logarithm of the hold-up at the ends of the interval, far below their meaning.
const TOLERANCE: f64 = 1e-9;

const SCATTER: Range = Range {
    quantity: "even scatter of a reading",
    unit: "kg/m³",
    min: 1e-9,
    max: 10.0,
    source_key: "HOUSE-RULE",
};
const SHARE: Range = Range {
    quantity: "scatter of a reading in proportion to it",
    unit: "",
    min: 0.0,
    max: 1.0,
    source_key: "HOUSE-RULE",
};

/// What a meter showed over the first litre or so after a start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstLitre<'a> {
    /// Volume made since the start, m³, and dissolved solids of the permeate there, kg/m³; by increasing volume.
    pub readings: &'a [(f64, f64)],
    /// Steady permeate where it's known from a long run; otherwise it's fitted too.
    pub steady_kg_m3: Option<f64>,
    /// How the readings scatter.
    pub scatter: Scatter,
}

/// How a meter's readings scatter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scatter {
    /// The same everywhere, kg/m³.
    pub even_kg_m3: f64,
    /// In proportion to the reading.
    pub share: f64,
    /// Whether its size is known too: then readings that happen to agree better don't narrow the interval. Otherwise
    /// only the ratio of the two parts counts, and the size comes from the readings.
    pub sized: bool,
}

impl Scatter {
    /// The same everywhere.
    pub const EVEN: Self = Self {
        even_kg_m3: 1.0,
        share: 0.0,
        sized: false,
    };
    /// A pen or bench meter: half a mg/L and 2 % of the reading (common practice, no source).
    pub const METER: Self = Self {
        even_kg_m3: 0.5e-3,
        share: 0.02,
        sized: true,
    };

    /// Weight of a reading.
    fn weight(self, solids_kg_m3: f64) -> f64 {
        let part = self.share * solids_kg_m3;
        1.0 / (self.even_kg_m3 * self.even_kg_m3 + part * part)
    }
}

/// The hold-up that fits a first litre best.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoldUpFit {
    /// Hold-up on the permeate side.
    pub hold_up_m3: f64,
    /// Lower end of its 95 % interval; 0 where the readings set no lower limit.
    pub low_m3: f64,
    /// Upper end; infinite where the readings set no upper limit.
    pub high_m3: f64,
    /// Salt above the steady permeate over the logged volume: the trapezoids between the readings, with the first
    /// reading held back to the start. Of the model it uses the steady permeate at the most.
    pub start_salt_kg: f64,
    /// Permeate at the start, by the fit.
    pub solids_at_start_kg_m3: f64,
    /// Steady permeate, given or fitted.
    pub steady_kg_m3: f64,
    /// Standard deviation of the readings about the fit, each counting alike.
    pub scatter_kg_m3: f64,
}

/// Fits `c_ss + (c₁ − c_ss)·exp(−V/Vh)` to a first litre by least squares, each reading weighted by its scatter.
///
/// For each hold-up the other unknowns follow in closed form, so that one search over the hold-up finds the best
/// and, where the sum of squares has grown by `t²/ν` of itself (by `t²` at the least where the scatter's size is known),
/// the ends of its 95 % interval. That interval holds
/// for readings that scatter independently about a hold-up that is well mixed; a meter that lags makes the hold-up
/// look larger than it is.
///
/// # Errors
/// [`MembraneError::TooFewReadings`] for less than four; [`MembraneError::ReadingsOutOfOrder`];
/// [`MembraneError::NotFalling`]; [`MembraneError::HoldUpUndetermined`]; [`MembraneError::OutOfRange`] for volumes
/// that aren't and readings outside `0..=20` kg/m³.
///
/// # Source
/// Least squares with the linear unknowns projected out, and the profile of the sum of squares: `BATES-WATTS-1988`.
pub fn fit_hold_up(first_litre: &FirstLitre) -> Result<HoldUpFit, MembraneError> {
    let readings = first_litre.readings;
    check(first_litre)?;
    let profile = |log: f64| Line::fit(first_litre, libm::exp(log));

    let span = readings[readings.len() - 1].0;
    let gap = readings
        .windows(2)
        .map(|pair| pair[1].0 - pair[0].0)
        .fold(f64::INFINITY, f64::min);
    let (from, to) = (libm::log(FROM * gap), libm::log(TO * span));
    let step = (to - from) / f64::from(POINTS);
    let mut best = 0;
    let mut least = f64::INFINITY;
    for index in 0..=POINTS {
        let squares = profile(from + step * f64::from(index)).squares;
        if squares < least {
            (best, least) = (index, squares);
        }
    }
    let middle = from + step * f64::from(best);
    if best == 0 || best == POINTS {
        return Err(MembraneError::HoldUpUndetermined {
            edge_m3: libm::exp(middle),
        });
    }
    let log = lowest(|log| profile(log).squares, middle - step, middle + step);
    let fit = profile(log);
    if fit.excess <= 0.0 {
        return Err(MembraneError::NotFalling);
    }

    let even_squares: f64 = readings
        .iter()
        .map(|&(volume, solids)| {
            let off = solids - fit.steady - fit.excess * libm::exp(-volume / libm::exp(log));
            off * off
        })
        .sum();
    let unknowns = if first_litre.steady_kg_m3.is_some() { 2 } else { 3 };
    let degrees = readings.len() - unknowns;
    let t = half_width_95(degrees);
    // Weighted by its own scatter, a reading is off by one as a mean.
    let least = if first_litre.scatter.sized { 1.0 } else { 0.0 };
    let limit = fit.squares + t * t * (fit.squares / count(degrees)).max(least);
    let beyond = |log: f64| profile(log).squares - limit;
    let end = |edge: f64, open: f64| {
        if limit <= fit.squares {
            Ok(libm::exp(log))
        } else if beyond(edge) <= 0.0 {
            Ok(open)
        } else {
            let (low, high) = (edge.min(log), edge.max(log));
            Ok::<f64, MembraneError>(libm::exp(bracketed_root(beyond, low, high, TOLERANCE)?.x))
        }
    };
    let (low_m3, high_m3) = (end(from, 0.0)?, end(to, f64::INFINITY)?);
    Ok(HoldUpFit {
        hold_up_m3: libm::exp(log),
        low_m3,
        high_m3,
        start_salt_kg: salt_above_kg(readings, fit.steady),
        solids_at_start_kg_m3: fit.steady + fit.excess,
        steady_kg_m3: fit.steady,
        scatter_kg_m3: (even_squares / count(degrees)).sqrt(),
    })
}

/// Refuses readings that no hold-up can be read from.
fn check(first_litre: &FirstLitre) -> Result<(), MembraneError> {
    let readings = first_litre.readings;
    if readings.len() < FEWEST {
        return Err(MembraneError::TooFewReadings {
            given: readings.len(),
            needed: FEWEST,
        });
    }
    for &(volume_m3, solids_kg_m3) in readings {
        RUN.require(volume_m3)?;
        WALL_SOLIDS.require(solids_kg_m3)?;
    }
    if let Some(steady) = first_litre.steady_kg_m3 {
        WALL_SOLIDS.require(steady)?;
    }
    // A weight must be a number: some scatter, and no more than all of a reading.
    SCATTER.require(first_litre.scatter.even_kg_m3)?;
    SHARE.require(first_litre.scatter.share)?;
    if let Some(index) = readings.windows(2).position(|pair| pair[1].0 <= pair[0].0) {
        return Err(MembraneError::ReadingsOutOfOrder { index: index + 1 });
    }
    let (first, last) = (readings[0].1, readings[readings.len() - 1].1);
    if last >= first || first_litre.steady_kg_m3.is_some_and(|steady| steady >= first) {
        return Err(MembraneError::NotFalling);
    }
    Ok(())
}

/// Best steady value and excess for a given hold-up.
struct Line {
    steady: f64,
    excess: f64,
    squares: f64,
}

impl Line {
    fn fit(first_litre: &FirstLitre, hold_up_m3: f64) -> Self {
        let readings = first_litre.readings;
        let decay = |volume_m3: f64| libm::exp(-volume_m3 / hold_up_m3);
        let weight = |solids: f64| first_litre.scatter.weight(solids);
        let (steady, excess) = if let Some(steady) = first_litre.steady_kg_m3 {
            let (mut above, mut square) = (0.0, 0.0);
            for &(volume, solids) in readings {
                let (e, w) = (decay(volume), weight(solids));
                above += w * e * (solids - steady);
                square += w * e * e;
            }
            (steady, quotient(above, square))
        } else {
            let (mut all, mut mean_e, mut mean_c) = (0.0, 0.0, 0.0);
            for &(volume, solids) in readings {
                let w = weight(solids);
                all += w;
                mean_e += w * decay(volume);
                mean_c += w * solids;
            }
            (mean_e, mean_c) = (mean_e / all, mean_c / all);
            let (mut product, mut square) = (0.0, 0.0);
            for &(volume, solids) in readings {
                let (e, w) = (decay(volume) - mean_e, weight(solids));
                product += w * e * (solids - mean_c);
                square += w * e * e;
            }
            let excess = quotient(product, square);
            (mean_c - excess * mean_e, excess)
        };
        let squares = readings
            .iter()
            .map(|&(volume, solids)| {
                let off = solids - steady - excess * decay(volume);
                weight(solids) * off * off
            })
            .sum();
        Self {
            steady,
            excess,
            squares,
        }
    }
}

/// A slope; 0 where the decay is over before the first reading, so that nothing can be told.
fn quotient(product: f64, square: f64) -> f64 {
    if square > f64::MIN_POSITIVE {
        product / square
    } else {
        0.0
    }
}

/// The lowest point between two places, by golden section.
fn lowest(function: impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    let golden = (5_f64.sqrt() - 1.0) / 2.0;
    let (mut a, mut b) = (low, high);
    for _ in 0..BEST_STEPS {
        let (left, right) = (b - golden * (b - a), a + golden * (b - a));
        if function(left) <= function(right) {
            b = right;
        } else {
            a = left;
        }
    }
    a + (b - a) / 2.0
}

/// Integral of what exceeds the steady value, by trapezoids.
fn salt_above_kg(readings: &[(f64, f64)], steady: f64) -> f64 {
    let before = readings[0].0 * (readings[0].1 - steady);
    let between: f64 = readings
        .windows(2)
        .map(|pair| (pair[1].0 - pair[0].0) * ((pair[0].1 + pair[1].1) / 2.0 - steady))
        .sum();
    before + between
}
