//! Air in a suction line: whether a pump starts at all, and whether the flow carries the air out.

use super::limits::{BORE, GRAVITY_M_S2, HEIGHT, VELOCITY};
use super::submergence::froude_number;
use crate::{OutOfRange, Range};

/// Froude number below which a pocket of air stays at a crest, in a line that falls from there.
///
/// `ESCARAMEIA-2007`, from memory: 0.56·√(sin θ) + a, where a is 0.45 for the smallest pocket; here in a line nearly level.
pub const AIR_STAYS_BELOW_FROUDE: f64 = 0.45;
/// Froude number from which a pocket of air is carried down, however steeply the line falls.
///
/// `WISNER-1975`, from memory: 0.25·√(sin θ) + 0.825, here straight down and rounded up.
pub const AIR_CLEARS_FROM_FROUDE: f64 = 1.1;

/// Lift that a pump makes without water in it; 0 for one that doesn't prime itself.
const DRY_LIFT: Range = Range {
    quantity: "lift that the pump makes dry",
    unit: "m",
    min: 0.0,
    max: 10.0,
    source_key: "HOUSE-RULE",
};

/// Heights of a suction line above one datum, m, each `-100..=100`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SuctionLine {
    /// Surface of the water that is drawn from.
    pub surface_m: f64,
    /// Highest point of the line's inside between vessel and pump.
    pub crest_m: f64,
    /// Top of the pump's chamber.
    pub pump_m: f64,
}

/// What the line and the pump are full of before the start.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Filling {
    /// Water throughout: primed, and held by a foot valve or a pump that has just stopped.
    Water,
    /// Air above the level of the surface.
    Air,
}

/// What happens when the pump starts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Start {
    /// Line and pump lie below the surface: water comes by itself.
    Flooded,
    /// They rise above the surface, but are full: it runs until air gets in.
    HoldsItsPrime {
        /// How far they rise, m. So much water hangs there below the pressure of the air.
        lift_m: f64,
    },
    /// The pump lifts the water to the highest point by itself.
    PrimesItself {
        /// Lift it makes beyond that, m.
        spare_m: f64,
    },
    /// Air stays at the highest point: the pump runs dry.
    AirLocked {
        /// Lift that is wanting, m.
        short_m: f64,
    },
}

/// What becomes of a pocket of air at a crest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AirPocket {
    /// It stays.
    Stays,
    /// It goes with some slopes and pocket sizes and not with others: don't rely on it.
    Uncertain,
    /// It is carried along.
    Clears,
}

/// Returns what happens when the pump starts.
///
/// # Arguments
/// * `line`: its heights. A pump that is itself the highest point counts as a crest.
/// * `filling`: what it's full of.
/// * `dry_lift_m`: lift that the pump makes with air in it, `0..=10`; 0 for a pump that doesn't prime itself. Makers state
///   it for fresh water; sea water takes 3 % more.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// DEFINITION of hydrostatic pressure. A lift that is just met is taken for enough.
///
/// # Examples
/// ```
/// use physics::hydraulics::suction::{Filling, Start, SuctionLine, start_of};
///
/// let over_the_rim = SuctionLine { surface_m: 0.4, crest_m: 0.7, pump_m: 0.1 };
/// assert!(matches!(start_of(&over_the_rim, Filling::Air, 0.0)?, Start::AirLocked { .. }));
/// # Ok::<(), physics::OutOfRange>(())
/// ```
pub fn start_of(line: &SuctionLine, filling: Filling, dry_lift_m: f64) -> Result<Start, OutOfRange> {
    let surface_m = HEIGHT.require(line.surface_m)?;
    let highest_m = HEIGHT.require(line.crest_m)?.max(HEIGHT.require(line.pump_m)?);
    let dry_lift_m = DRY_LIFT.require(dry_lift_m)?;
    let lift_m = highest_m - surface_m;
    Ok(match filling {
        _ if lift_m <= 0.0 => Start::Flooded,
        Filling::Water => Start::HoldsItsPrime { lift_m },
        Filling::Air if dry_lift_m >= lift_m => Start::PrimesItself {
            spare_m: dry_lift_m - lift_m,
        },
        Filling::Air => Start::AirLocked {
            short_m: lift_m - dry_lift_m,
        },
    })
}

/// Returns what becomes of a pocket of air at a crest from which the line falls, by its Froude number.
///
/// Below [`AIR_STAYS_BELOW_FROUDE`] it stays, from [`AIR_CLEARS_FROM_FROUDE`] it goes. Published criteria differ by as much as
/// the band between, with slope and size of the pocket. In bores of 25 and 38 mm they were found to hold
/// (`MAY-ALLEN-NELSON-2018`); in a few millimetres surface tension keeps plugs of air together, and the tube clears at
/// less (from memory).
///
/// # Arguments
/// * `velocity_m_s`: mean velocity, V, `0..=20`.
/// * `bore_m`: D, `1e-3..=0.5`.
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `ESCARAMEIA-2007` and `WISNER-1975` for the two ends of the band. That what lies between is left open is a house rule.
pub fn air_pocket(velocity_m_s: f64, bore_m: f64) -> Result<AirPocket, OutOfRange> {
    let froude = froude_number(velocity_m_s, bore_m)?;
    Ok(if froude < AIR_STAYS_BELOW_FROUDE {
        AirPocket::Stays
    } else if froude < AIR_CLEARS_FROM_FROUDE {
        AirPocket::Uncertain
    } else {
        AirPocket::Clears
    })
}

/// Returns the velocity from which a pocket of air is carried along whatever the slope, in m/s: `1.1·√(g·D)`.
///
/// # Errors
/// [`OutOfRange`] for a bore outside `1e-3..=0.5` m.
///
/// # Source
/// As [`air_pocket`].
pub fn clearing_velocity_m_s(bore_m: f64) -> Result<f64, OutOfRange> {
    VELOCITY.require(AIR_CLEARS_FROM_FROUDE * (GRAVITY_M_S2 * BORE.require(bore_m)?).sqrt())
}
