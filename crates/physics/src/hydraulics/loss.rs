//! What a fitting costs: a multiple of the velocity head.

/// A loss coefficient on the velocity head of a stated bore, with its rise at low flow: `K = K₁/Re + K∞`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LossCoefficient {
    /// K∞, at full turbulence; no unit, 0 or more.
    pub turbulent: f64,
    /// K₁, which rules in laminar flow; no unit, 0 or more.
    pub laminar: f64,
}
