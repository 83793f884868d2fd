//! What is reckoned with.

use crate::{OutOfRange, Range};

/// The most sets of events that one gate may come to before they are reduced.
///
/// # Source
/// `HOUSE-RULE`: each is compared with those kept; more would take seconds, and nobody reads them.
pub const MOST_SETS: usize = 50_000;

/// The most steps that a decision diagram may take to build.
///
/// # Source
/// `HOUSE-RULE`: memory grows with them, by about 100 bytes each.
pub const MOST_STEPS: usize = 1_000_000;

/// The most parts that are reckoned with as tested at one moment.
///
/// # Source
/// `HOUSE-RULE`: the quadrature is argued for so many; nobody tests more backups of one thing.
pub const MOST_TOGETHER: usize = 8;

/// The most tests in a mission.
///
/// # Source
/// `HOUSE-RULE`: daily for a hundred years.
pub const MOST_TESTS: u32 = 36_525;

/// Failures in a unit of time.
pub(super) const RATE: Range = Range {
    quantity: "rate",
    unit: "/s",
    min: 0.0,
    max: 1.0,
    source_key: "HOUSE-RULE",
};

/// A time between tests, since a test, of a repair or of a mission: up to a hundred years.
pub(super) const TIME: Range = Range {
    quantity: "time",
    unit: "s",
    min: 0.0,
    max: 3_155_760_000.0,
    source_key: "HOUSE-RULE",
};

/// A time that something is divided by.
pub(super) const TIME_ABOVE_0: Range = Range {
    min: f64::MIN_POSITIVE,
    ..TIME
};

/// Failures that would be expected within a time: a part that would fail oftener before anybody looks isn't one
/// that is kept by tests.
pub(super) const EXPOSURE: Range = Range {
    quantity: "rate times time",
    unit: "",
    min: 0.0,
    max: 100.0,
    source_key: "HOUSE-RULE",
};

/// Half of the expected failures as a probability: beyond, it would exceed 1.
pub(super) const HANDBOOK_EXPOSURE: Range = Range {
    quantity: "rate times time",
    unit: "",
    min: 0.0,
    max: 2.0,
    source_key: "HOUSE-RULE",
};

/// A share, or a probability.
pub(super) const SHARE: Range = Range {
    quantity: "share",
    unit: "",
    min: 0.0,
    max: 1.0,
    source_key: "DEFINITION",
};

/// A rate, or what is made of rates, whose doubt is told.
pub(super) const DOUBTED: Range = Range {
    quantity: "doubted quantity",
    unit: "",
    min: 1e-30,
    max: 1e30,
    source_key: "HOUSE-RULE",
};

/// What is rounded to one figure: powers of ten are exact so far.
pub(super) const ROUNDED: Range = Range {
    quantity: "rounded quantity",
    unit: "",
    min: 1e-21,
    max: 1e21,
    source_key: "HOUSE-RULE",
};

/// Rate times time, each in its range.
pub(super) fn exposure(rate_per_s: f64, time_s: f64) -> Result<f64, OutOfRange> {
    EXPOSURE.require(RATE.require(rate_per_s)? * TIME.require(time_s)?)
}
