//! Hoses, which go by their inner diameter.

use super::size::{Size, inches, millimetres};

/// Vinyl hose.
///
/// Common practice, no source. The inner diameter is the name; each comes with several walls, of which one is given.
pub(super) const VINYL: &[Size] = &[
    inches("1/8 in", 0.125, 0.25, 0.125),
    millimetres("4 mm", 4.0, 6.0, 4.0),
    inches("3/16 in", 0.1875, 0.3125, 0.1875),
    millimetres("6 mm", 6.0, 8.0, 6.0),
    inches("1/4 in", 0.25, 0.375, 0.25),
    millimetres("8 mm", 8.0, 11.0, 8.0),
    millimetres("9 mm", 9.0, 12.0, 9.0),
    inches("3/8 in", 0.375, 0.5, 0.375),
    millimetres("10 mm", 10.0, 13.0, 10.0),
    millimetres("12 mm", 12.0, 16.0, 12.0),
    inches("1/2 in", 0.5, 0.625, 0.5),
    inches("5/8 in", 0.625, 0.8125, 0.625),
    millimetres("16 mm", 16.0, 22.0, 16.0),
    millimetres("19 mm", 19.0, 25.0, 19.0),
    inches("3/4 in", 0.75, 1.0, 0.75),
    millimetres("25 mm", 25.0, 32.0, 25.0),
    inches("1 in", 1.0, 1.25, 1.0),
    inches("1-1/4 in", 1.25, 1.5, 1.25),
    millimetres("32 mm", 32.0, 40.0, 32.0),
    inches("1-1/2 in", 1.5, 1.75, 1.5),
];

/// Corrugated hose. The outer diameter is that over the ribs, taken as 1.2 of the inner one.
///
/// Common practice, no source.
pub(super) const CORRUGATED: &[Size] = &[
    inches("1/2 in", 0.5, 0.6, 0.5),
    inches("3/4 in", 0.75, 0.9, 0.75),
    millimetres("20 mm", 20.0, 24.0, 20.0),
    millimetres("25 mm", 25.0, 30.0, 25.0),
    inches("1 in", 1.0, 1.2, 1.0),
    inches("1-1/4 in", 1.25, 1.5, 1.25),
    millimetres("32 mm", 32.0, 38.4, 32.0),
    inches("1-1/2 in", 1.5, 1.8, 1.5),
    millimetres("40 mm", 40.0, 48.0, 40.0),
];
