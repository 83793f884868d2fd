//! The vessel of no simple shape, measured bucket by bucket.
//!
//! Between two measured rows the volume goes in a straight line. That is a choice, not laziness:
//! - it passes through every measured row, keeps rising, and so has exactly one level for each volume;
//! - its inverse is the same straight line, so that level and volume agree to the last digit;
//! - it invents nothing. A smooth curve through the rows would turn the scatter of a bucket mark into a free
//!   surface that swells and shrinks, and into a level that speeds up where nothing happens.
//!
//! The price is known: between rows a distance `Δh` apart it's off by at most `Δh²/8` times the change of free
//! surface per metre of height, which for a vessel tapering by a tenth of its width over its height, measured in
//! eight steps, is about three parts in a thousand of a step's volume.

use super::{
    check::{DIMENSION_RANGE, VOLUME_RANGE},
    dimensions::TableRow,
    error::ShapeError,
};

/// Smallest rise from row to row that counts as one: a micrometre, a microlitre. House rule.
const LEAST_RISE_M: f64 = 1e-6;
const LEAST_RISE_M3: f64 = 1e-9;

/// The faults of all rows, in order.
pub(super) fn faults(rows: &[TableRow]) -> Vec<ShapeError> {
    let mut faults = Vec::new();
    let mut previous = TableRow {
        level_m: 0.0,
        volume_m3: 0.0,
    };
    for (index, row) in rows.iter().enumerate() {
        let number = index + 1;
        if index == 0 && row.level_m.abs() <= 0.0 {
            if row.volume_m3.abs() > 0.0 || row.volume_m3.is_nan() {
                faults.push(ShapeError::TableFloorNotEmpty {
                    row: number,
                    volume_m3: row.volume_m3,
                });
            }
            continue;
        }
        faults.extend(row_fault(number, row, &previous));
        previous = *row;
    }
    if !rows.iter().any(|row| row.level_m > 0.0) {
        faults.push(ShapeError::TableEmpty);
    }
    faults
}

fn row_fault(number: usize, row: &TableRow, previous: &TableRow) -> Option<ShapeError> {
    let rises_m = row.level_m - previous.level_m >= LEAST_RISE_M;
    let rises_m3 = row.volume_m3 - previous.volume_m3 >= LEAST_RISE_M3;
    if let Err(reason) = DIMENSION_RANGE.require(row.level_m) {
        Some(ShapeError::TableValue { row: number, reason })
    } else if let Err(reason) = VOLUME_RANGE.require(row.volume_m3) {
        Some(ShapeError::TableValue { row: number, reason })
    } else if !rises_m {
        Some(ShapeError::TableLevelNotRising {
            row: number,
            level_m: row.level_m,
            previous_m: previous.level_m,
        })
    } else if !rises_m3 {
        Some(ShapeError::TableVolumeNotRising {
            row: number,
            volume_m3: row.volume_m3,
            previous_m3: previous.volume_m3,
        })
    } else {
        None
    }
}

/// Puts the empty vessel in front of checked rows, where it isn't given.
pub(super) fn with_floor(rows: &[TableRow]) -> Vec<TableRow> {
    let floor = TableRow {
        level_m: 0.0,
        volume_m3: 0.0,
    };
    std::iter::once(floor)
        .chain(rows.iter().copied().filter(|row| row.level_m > 0.0))
        .collect()
}

/// The rows just below and just above a level; at a row itself the stretch that begins there.
fn stretch(rows: &[TableRow], below: impl FnMut(&TableRow) -> bool) -> Option<(TableRow, TableRow)> {
    let upper = rows.partition_point(below).clamp(1, rows.len().max(2) - 1);
    Some((*rows.get(upper - 1)?, *rows.get(upper)?))
}

pub(super) fn volume_m3(rows: &[TableRow], level_m: f64) -> f64 {
    let Some((low, high)) = stretch(rows, |row| row.level_m <= level_m) else {
        return 0.0;
    };
    let share = (level_m - low.level_m) / (high.level_m - low.level_m);
    between(low.volume_m3, high.volume_m3, share)
}

pub(super) fn level_m(rows: &[TableRow], volume_m3: f64) -> f64 {
    let Some((low, high)) = stretch(rows, |row| row.volume_m3 <= volume_m3) else {
        return 0.0;
    };
    let share = (volume_m3 - low.volume_m3) / (high.volume_m3 - low.volume_m3);
    between(low.level_m, high.level_m, share)
}

pub(super) fn area_m2(rows: &[TableRow], level_m: f64) -> f64 {
    let Some((low, high)) = stretch(rows, |row| row.level_m <= level_m) else {
        return 0.0;
    };
    (high.volume_m3 - low.volume_m3) / (high.level_m - low.level_m)
}

/// Exact at both ends, and never past them.
fn between(low: f64, high: f64, share: f64) -> f64 {
    if share < 0.5 {
        low + (high - low) * share
    } else {
        high - (high - low) * (1.0 - share)
    }
}
