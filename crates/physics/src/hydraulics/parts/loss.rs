//! The loss of a part, turbulent and laminar.

use std::iter::Sum;
use std::ops::Add;

use super::limits::{BORE, LAMINAR_LOSS, LOSS};
use crate::{OutOfRange, Range};

const REYNOLDS: Range = Range {
    quantity: "Reynolds number",
    unit: "",
    min: 1e-3,
    max: 1e9,
    source_key: "HOUSE-RULE",
};

/// What a part costs: `K(Re) = K₁/Re + K∞`, both on the same stated bore.
///
/// Losses of parts on the same bore add up. That fittings close behind each other cost less than their sum, or
/// more, isn't counted.
///
/// # Source
/// `HOOPER-1981`, from memory. There K∞ also rises as the bore gets narrower; here K∞ does so by
/// [`fitting_friction`](super::fitting_friction), which is less steep below half an inch.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LossCoefficient {
    /// Loss at full turbulence, K∞, `0..=1e12`.
    pub turbulent: f64,
    /// Laminar constant, K₁, `0..=1e16`: a thousand of it is one more at a Reynolds number of a thousand.
    pub laminar: f64,
}

impl LossCoefficient {
    /// Of nothing.
    pub const NONE: Self = Self {
        turbulent: 0.0,
        laminar: 0.0,
    };

    /// A loss that doesn't depend on the Reynolds number, such as one from a Kv.
    pub fn constant(turbulent: f64) -> Self {
        Self {
            turbulent,
            laminar: 0.0,
        }
    }

    /// The loss at a Reynolds number of the stated bore, K.
    ///
    /// # Errors
    /// [`OutOfRange`] for a Reynolds number outside `1e-3..=1e9`, and for a loss outside its fields' ranges.
    ///
    /// # Source
    /// `HOOPER-1981`, from memory.
    ///
    /// # Examples
    /// ```
    /// use physics::hydraulics::parts::LossCoefficient;
    ///
    /// let elbow = LossCoefficient { turbulent: 0.81, laminar: 800.0 };
    /// assert!((elbow.at(1000.0)? - 1.61).abs() < 1e-12);
    /// # Ok::<(), physics::OutOfRange>(())
    /// ```
    pub fn at(&self, reynolds: f64) -> Result<f64, OutOfRange> {
        let Self { turbulent, laminar } = self.checked()?;
        Ok(turbulent + laminar / REYNOLDS.require(reynolds)?)
    }

    /// The same part, stated on another bore: `K∞·(D/d)⁴` and `K₁·(D/d)³` from d to D.
    ///
    /// At the same flow the Reynolds number goes with 1/D: the laminar constant therefore goes with the cube.
    ///
    /// # Arguments
    /// * `from_bore_m`: the bore on which it stands, d, `1e-3..=0.3`.
    /// * `to_bore_m`: the bore wanted, D, `1e-3..=0.3`.
    ///
    /// # Errors
    /// [`OutOfRange`], also for a result beyond the fields' ranges.
    ///
    /// # Source
    /// Own derivation: the same pressure drop at the same flow.
    pub fn at_other_bore(&self, from_bore_m: f64, to_bore_m: f64) -> Result<Self, OutOfRange> {
        let ratio = BORE.require(to_bore_m)? / BORE.require(from_bore_m)?;
        let cube = ratio * ratio * ratio;
        let Self { turbulent, laminar } = self.checked()?;
        Self {
            turbulent: turbulent * cube * ratio,
            laminar: laminar * cube,
        }
        .checked()
    }

    /// Several of the same part, one behind the other.
    #[must_use]
    pub fn times(self, count: u32) -> Self {
        Self {
            turbulent: self.turbulent * f64::from(count),
            laminar: self.laminar * f64::from(count),
        }
    }

    /// Gives itself back, or refuses a field that is no loss.
    pub(super) fn checked(self) -> Result<Self, OutOfRange> {
        LOSS.require(self.turbulent)?;
        LAMINAR_LOSS.require(self.laminar)?;
        Ok(self)
    }
}

impl Add for LossCoefficient {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            turbulent: self.turbulent + other.turbulent,
            laminar: self.laminar + other.laminar,
        }
    }
}

impl Sum for LossCoefficient {
    fn sum<I: Iterator<Item = Self>>(losses: I) -> Self {
        losses.fold(Self::NONE, Add::add)
    }
}
