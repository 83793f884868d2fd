//! Fittings: what each costs on its bore.

use super::{fitting_friction::fitting_friction, loss::LossCoefficient};
use crate::OutOfRange;

/// Length of the bore through the wall of a vessel, in bores. House rule: a bulkhead fitting is three to five.
const BULKHEAD_BORES: f64 = 4.0;
/// Loss of a strainer with a clean screen.
///
/// Common practice, no source: 2 to 5 when clean; dirty, anything.
const CLEAN_STRAINER: f64 = 3.0;

/// The fittings of a small station.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FittingKind {
    /// From a vessel into a pipe that ends flush with the wall, with a sharp edge.
    FlushEntrance,
    /// From a vessel into a pipe that projects inwards.
    ProjectingEntrance,
    /// From a vessel into a pipe whose edge is rounded by 0.15 of its bore or more.
    RoundedEntrance,
    /// From a pipe into a vessel or the open air; the velocity head, whatever the edge.
    Exit,
    /// From a vessel through its wall: a flush entrance and a bore four times as long as wide.
    Bulkhead,
    /// Elbow of 90°, tight.
    Elbow90,
    /// Elbow of 45°.
    Elbow45,
    /// Bend of 90° whose axis has a radius of 1.5 bores.
    LongBend,
    /// Tee, straight through.
    TeeRun,
    /// Tee, round the corner, in or out.
    TeeBranch,
    /// One of the two straight legs of a tee in a network: two make a [`TeeRun`](Self::TeeRun), one and a branch leg
    /// make a [`TeeBranch`](Self::TeeBranch).
    TeeRunLeg,
    /// The third leg of a tee in a network.
    TeeBranchLeg,
    /// Union.
    Union,
    /// Coupling of two equal pipes.
    Coupling,
    /// Strainer with a clean screen.
    Strainer,
    /// Foot valve with its strainer: a disc that lifts.
    FootValve,
}

impl FittingKind {
    /// All of them.
    pub const ALL: [Self; 16] = [
        Self::FlushEntrance,
        Self::ProjectingEntrance,
        Self::RoundedEntrance,
        Self::Exit,
        Self::Bulkhead,
        Self::Elbow90,
        Self::Elbow45,
        Self::LongBend,
        Self::TeeRun,
        Self::TeeBranch,
        Self::TeeRunLeg,
        Self::TeeBranchLeg,
        Self::Union,
        Self::Coupling,
        Self::Strainer,
        Self::FootValve,
    ];

    /// What one costs, on its bore.
    ///
    /// # Arguments
    /// * `bore_m`: true inner diameter, `1e-3..=0.3`.
    ///
    /// The velocity is that of the bore; in a tee all legs have the same, and the split of the flow isn't counted.
    ///
    /// # Errors
    /// [`OutOfRange`].
    ///
    /// # Source
    /// At full turbulence `TP-410`: entrances 0.5, 0.78 and 0.04, exit 1 (from memory); elbows 30 and 16,
    /// bend 14, tee 20 and 60 times [`fitting_friction`] (read in a public page), foot valve 420 times (from
    /// memory). Union and coupling 0.04: `PERRY-GREEN-1997`; others give unions up to 0.08. Screwed tees of other
    /// tables cost half as much again round the corner.
    ///
    /// Laminar constants: `HOOPER-1981`, elbows, bend and tee read in public code, entrances from memory; house rule
    /// for those that it hasn't: a bulkhead as its entrance and its bore (64 for each bore), a strainer as an
    /// angle valve, a foot valve as a lift check, none for unions and couplings.
    ///
    /// The legs of a tee, 10 and 50 times [`fitting_friction`], are a house rule: they add up to both ways through.
    ///
    /// # Examples
    /// ```
    /// use physics::hydraulics::parts::FittingKind;
    ///
    /// let elbow = FittingKind::Elbow90.loss(0.0157988)?;
    /// assert!((elbow.turbulent - 0.81).abs() < 1e-12);
    /// # Ok::<(), physics::OutOfRange>(())
    /// ```
    pub fn loss(self, bore_m: f64) -> Result<LossCoefficient, OutOfRange> {
        let friction = fitting_friction(bore_m)?;
        let (turbulent, laminar) = match self {
            Self::FlushEntrance => (0.5, 160.0),
            Self::ProjectingEntrance => (0.78, 160.0),
            Self::RoundedEntrance => (0.04, 160.0),
            Self::Exit => (1.0, 0.0),
            Self::Bulkhead => (0.5 + BULKHEAD_BORES * friction, 160.0 + 64.0 * BULKHEAD_BORES),
            Self::Elbow90 => (30.0 * friction, 800.0),
            Self::Elbow45 => (16.0 * friction, 500.0),
            Self::LongBend => (14.0 * friction, 800.0),
            Self::TeeRun => (20.0 * friction, 200.0),
            Self::TeeBranch => (60.0 * friction, 500.0),
            Self::TeeRunLeg => (10.0 * friction, 100.0),
            Self::TeeBranchLeg => (50.0 * friction, 400.0),
            Self::Union | Self::Coupling => (0.04, 0.0),
            Self::Strainer => (CLEAN_STRAINER, 1000.0),
            Self::FootValve => (420.0 * friction, 2000.0),
        };
        Ok(LossCoefficient { turbulent, laminar })
    }
}
