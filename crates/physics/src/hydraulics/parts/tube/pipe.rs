//! Rigid pipe of PVC.

use super::size::{Size, inches, millimetres};

/// A pipe by its outer diameter and its wall, in inches.
const fn schedule(name: &'static str, nominal: f64, outer: f64, wall: f64) -> Size {
    inches(name, nominal, outer, outer - 2.0 * wall)
}

/// A pipe by its outer diameter, which is its nominal size, and its wall, in millimetres.
const fn metric(name: &'static str, outer: f64, wall: f64) -> Size {
    millimetres(name, outer, outer, outer - 2.0 * wall)
}

/// Schedule 40.
///
/// Source: `ASTM-D1785`, outer diameters and least walls read in two public pages. The wall is a least one: a table
/// with mean bores has 15.4 mm where this makes 15.8. Over the sizes that is 3 to 1 % less bore; at half an inch it
/// makes 12 % more friction.
pub(super) const SCHEDULE_40: &[Size] = &[
    schedule("1/8 in", 0.125, 0.405, 0.068),
    schedule("1/4 in", 0.25, 0.540, 0.088),
    schedule("3/8 in", 0.375, 0.675, 0.091),
    schedule("1/2 in", 0.5, 0.840, 0.109),
    schedule("3/4 in", 0.75, 1.050, 0.113),
    schedule("1 in", 1.0, 1.315, 0.133),
    schedule("1-1/4 in", 1.25, 1.660, 0.140),
    schedule("1-1/2 in", 1.5, 1.900, 0.145),
    schedule("2 in", 2.0, 2.375, 0.154),
];

/// Schedule 80.
///
/// Source: as [`SCHEDULE_40`]; the mean bore is 6 to 1 % less.
pub(super) const SCHEDULE_80: &[Size] = &[
    schedule("1/8 in", 0.125, 0.405, 0.095),
    schedule("1/4 in", 0.25, 0.540, 0.119),
    schedule("3/8 in", 0.375, 0.675, 0.126),
    schedule("1/2 in", 0.5, 0.840, 0.147),
    schedule("3/4 in", 0.75, 1.050, 0.154),
    schedule("1 in", 1.0, 1.315, 0.179),
    schedule("1-1/4 in", 1.25, 1.660, 0.191),
    schedule("1-1/2 in", 1.5, 1.900, 0.200),
    schedule("2 in", 2.0, 2.375, 0.218),
];

/// Metric pipe for 10 bar; below 25 mm only the stronger one is made.
///
/// Source: `ISO-1452-2`, from memory. The wall is a least one here too, by up to a few tenths of a millimetre.
pub(super) const METRIC_10_BAR: &[Size] = &[
    metric("25 mm", 25.0, 1.5),
    metric("32 mm", 32.0, 1.6),
    metric("40 mm", 40.0, 1.9),
    metric("50 mm", 50.0, 2.4),
    metric("63 mm", 63.0, 3.0),
];

/// Metric pipe for 16 bar.
///
/// Source: as [`METRIC_10_BAR`]; that 16 mm has the least wall of all, 1.5 mm, is a guess.
pub(super) const METRIC_16_BAR: &[Size] = &[
    metric("16 mm", 16.0, 1.5),
    metric("20 mm", 20.0, 1.5),
    metric("25 mm", 25.0, 1.9),
    metric("32 mm", 32.0, 2.4),
    metric("40 mm", 40.0, 3.0),
    metric("50 mm", 50.0, 3.7),
    metric("63 mm", 63.0, 4.7),
];
