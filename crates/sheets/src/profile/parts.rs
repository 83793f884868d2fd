//! What stands on the profile, and the pipes that join it. Heights are millimetres of paper above the room's floor; places
//! across come later.

/// Radius of a pump's symbol, at the least and at the most.
pub(super) const PUMP_MM: (f64, f64) = (1.8, 3.2);
/// From where a pipe comes to a tap down to its mouth.
pub(super) const SPOUT_MM: f64 = 1.4;
/// Half of what stands for the purifier: across, and high.
pub(super) const PURIFIER_MM: (f64, f64) = (4.5, 5.0);
/// So far below its tap a container stands.
pub(super) const BELOW_TAP_MM: f64 = 2.4;

/// What something is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Thing {
    Purifier,
    /// With the index of its cell, and the height of its free surface.
    Vessel {
        cell: usize,
        water_mm: f64,
    },
    Pump,
    /// With the height of its container, that stands so far above the floor.
    Draw {
        container_mm: f64,
        foot_mm: f64,
    },
    /// Where a line leaves for a tank.
    Tank,
    /// Tees on one riser.
    Joints,
}

/// Something that stands there.
#[derive(Debug, Clone)]
pub(super) struct Stand {
    pub(super) thing: Thing,
    pub(super) path: String,
    pub(super) name: String,
    /// Half of what it takes across.
    pub(super) half_mm: f64,
    /// From where to where it stands in the way of others.
    pub(super) low_mm: f64,
    pub(super) high_mm: f64,
}

/// How a pipe ends at something; `stand` is its index.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Join {
    /// At its wall, on either side, that is so far from its middle.
    Wall {
        stand: usize,
        at_mm: f64,
        half_mm: f64,
    },
    /// At its lowest point.
    Tip {
        stand: usize,
        at_mm: f64,
    },
    /// From above: over its rim at one height, down to another, where it is half so wide inside.
    Rim {
        stand: usize,
        over_mm: f64,
        end_mm: f64,
        half_mm: f64,
    },
    Pump {
        stand: usize,
        out: bool,
    },
    Tap {
        stand: usize,
        at_mm: f64,
    },
    /// As with a rim, with nothing to come down into.
    Tank {
        stand: usize,
        over_mm: f64,
        end_mm: f64,
    },
    /// A tee, with its index.
    Joint {
        stand: usize,
        at_mm: f64,
        tee: usize,
    },
    Purifier {
        stand: usize,
    },
}

impl Join {
    pub(super) fn stand(&self) -> usize {
        match *self {
            Self::Wall { stand, .. }
            | Self::Tip { stand, .. }
            | Self::Rim { stand, .. }
            | Self::Pump { stand, .. }
            | Self::Tap { stand, .. }
            | Self::Tank { stand, .. }
            | Self::Joint { stand, .. }
            | Self::Purifier { stand } => stand,
        }
    }

    /// At which height a pipe comes to it.
    pub(super) fn height_mm(&self, stands: &[Stand]) -> f64 {
        match *self {
            Self::Wall { at_mm, .. }
            | Self::Tip { at_mm, .. }
            | Self::Tap { at_mm, .. }
            | Self::Joint { at_mm, .. } => at_mm,
            Self::Rim { over_mm, .. } | Self::Tank { over_mm, .. } => over_mm,
            Self::Pump { stand, .. } | Self::Purifier { stand } => {
                0.5 * (stands[stand].low_mm + stands[stand].high_mm)
            }
        }
    }
}

/// A pipe from one thing to another.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    pub(super) ends: [Join; 2],
    pub(super) path: String,
    /// Valves in it, in their order.
    pub(super) valves: Vec<usize>,
    /// Height of the hole that breaks its siphon, with its path.
    pub(super) hole: Option<(f64, String)>,
}

impl Piece {
    /// From where to where it may run up and down: between its ends, and over what it has to. A hump or a dip besides is none
    /// that the file has.
    pub(super) fn band_mm(&self, stands: &[Stand]) -> (f64, f64) {
        let heights = self.ends.map(|end| match end {
            // It leaves downwards.
            Join::Tip { at_mm, .. } => (at_mm - CLEAR_MM, at_mm),
            _ => (end.height_mm(stands), end.height_mm(stands)),
        });
        (heights[0].0.min(heights[1].0), heights[0].1.max(heights[1].1))
    }
}

/// A mouth lies so far outside of what it belongs to.
pub(super) const CLEAR_MM: f64 = 1.8;

/// All of it.
#[derive(Debug, Clone, Default)]
pub(super) struct Parts {
    pub(super) stands: Vec<Stand>,
    pub(super) pieces: Vec<Piece>,
}
