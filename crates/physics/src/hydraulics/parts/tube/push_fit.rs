//! Tube for push-fit joints, which goes by its outer diameter.

use super::size::{Size, inches, millimetres};

/// Polyethylene tube for water.
///
/// Common practice, no source; inner diameters from memory. The outer one is held closely, for the joint; the inner
/// one differs by a tenth from one to the next, and the loss by half.
pub(super) const POLYETHYLENE: &[Size] = &[
    millimetres("4 mm", 4.0, 4.0, 2.5),
    millimetres("6 mm", 6.0, 6.0, 4.0),
    inches("1/4 in", 0.25, 0.25, 0.170),
    millimetres("8 mm", 8.0, 8.0, 6.0),
    inches("3/8 in", 0.375, 0.375, 0.250),
    millimetres("10 mm", 10.0, 10.0, 7.0),
    millimetres("12 mm", 12.0, 12.0, 9.0),
    inches("1/2 in", 0.5, 0.5, 0.375),
];
