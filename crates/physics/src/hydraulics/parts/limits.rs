//! The limits that all parts share.

use crate::Range;

/// Below a millimetre the wall of the steel pipe to which tables of fittings refer would be a twentieth of the
/// bore; above 0.3 m it's no part of a small station.
pub(super) const BORE: Range = Range {
    quantity: "bore",
    unit: "m",
    min: 1e-3,
    max: 0.3,
    source_key: "HOUSE-RULE",
};
/// A loss of 10¹² at a bar is a drip, not a flow.
pub(super) const LOSS: Range = Range {
    quantity: "loss coefficient",
    unit: "",
    min: 0.0,
    max: 1e12,
    source_key: "HOUSE-RULE",
};
/// As [`LOSS`], where it stands below a fraction.
pub(super) const SOME_LOSS: Range = Range { min: 1e-6, ..LOSS };
/// What a nearly closed valve reaches when its turbulent loss is at the end of [`LOSS`].
pub(super) const LAMINAR_LOSS: Range = Range {
    quantity: "laminar constant of the loss",
    unit: "",
    min: 0.0,
    max: 1e16,
    source_key: "HOUSE-RULE",
};
