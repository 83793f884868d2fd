//! Where the sea-water kernels answer at all, and where their sources vouch for them.
//!
//! Owns: the outer limits shared by several kernels, and the shape in which a kernel tells the narrower range
//! its source states. A kernel with other outer limits keeps them itself.

use crate::Range;

/// Practical salinity for which the kernels answer: fresh water up to the upper limit of the practical scale.
pub(super) const PRACTICAL_SALINITY: Range = Range {
    quantity: "practical salinity",
    unit: "",
    min: 0.0,
    max: 42.0,
    source_key: "TEOS-10-2010",
};

/// Temperature for which density and heat capacity answer.
pub(super) const TEMPERATURE: Range = Range {
    quantity: "temperature",
    unit: "°C",
    min: -2.0,
    max: 40.0,
    source_key: "TEOS-10-2010",
};

/// The range a source states for its correlation, where the kernel answers somewhat beyond it.
///
/// A caller asks [`covers`](Self::covers) to be able to say "extrapolates" beside a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StatedRange {
    /// Practical salinity.
    pub practical_salinity: Range,
    /// Temperature.
    pub temperature: Range,
}

impl StatedRange {
    /// Whether the source vouches for water of this salinity and temperature; never for NaN.
    ///
    /// # Examples
    /// ```
    /// use physics::seawater::PSS78_STATED;
    ///
    /// assert!(PSS78_STATED.covers(35.0, 25.0));
    /// assert!(!PSS78_STATED.covers(35.0, 40.0));
    /// ```
    pub fn covers(&self, practical_salinity: f64, temperature_c: f64) -> bool {
        self.practical_salinity.contains(practical_salinity) && self.temperature.contains(temperature_c)
    }
}
