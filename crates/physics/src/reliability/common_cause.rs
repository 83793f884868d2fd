//! Two like parts of which a share of the faults takes both at once.

use super::{
    limits::{EXPOSURE, HANDBOOK_EXPOSURE, RATE, SHARE, TIME, exposure},
    quadrature::{mean, panels},
};
use crate::OutOfRange;

/// Two like parts that back each other up, tested at the same moment, with a common cause by the beta factor: of the
/// rate `λ` of each, `βλ` takes both at once and `(1 − β)λ` each by itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Twins {
    /// Failures of one part per second, of both kinds.
    pub rate_per_s: f64,
    /// Time between tests.
    pub interval_s: f64,
    /// Share of the failures that takes both, β, 0 to 1. The same water, the same slime, the same supply: a few
    /// percent to a fifth (common practice, no source).
    pub beta: f64,
}

/// The mean unavailability of two parts with a common cause, and what it is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CommonCause {
    /// Share of the time that both are down.
    pub both: f64,
    /// Of this, what the common cause alone would make.
    pub common: f64,
}

impl Twins {
    /// The exact mean: both failed by themselves, or the common cause struck.
    ///
    /// # Errors
    /// [`OutOfRange`]; as [`tested_mean`](super::tested_mean).
    ///
    /// # Properties
    /// With β = 0, two independent parts; with β = 1, one part. It rises with each of the three.
    ///
    /// # Source
    /// The mean of `q² + (1 − q²)(1 − e^(−βλt))`, `q = 1 − e^(−(1−β)λt)`, over 0 to `τ`. Derived here; the beta factor:
    /// `IEC-61508-6` annex D.
    pub fn mean(&self) -> Result<CommonCause, OutOfRange> {
        let x = exposure(self.rate_per_s, self.interval_s)?;
        let beta = SHARE.require(self.beta)?;
        let (own, shared) = ((1.0 - beta) * x, beta * x);
        let panels = panels(2.0 * own + shared);
        let struck = |t: f64| -libm::expm1(-shared * t);
        Ok(CommonCause {
            both: mean(0.0, 1.0, panels, |t| {
                let alone = libm::expm1(-own * t);
                alone * alone + (1.0 - alone * alone) * struck(t)
            }),
            common: mean(0.0, 1.0, panels, struck),
        })
    }

    /// The short form with the independent part's own rate: `((1 − β)λτ)²/3 + βλτ/2`.
    ///
    /// # Errors
    /// [`OutOfRange`]; rate times interval up to 2. Above the exact mean, by less than a tenth below 0.1.
    ///
    /// # Source
    /// `IEC-61508-6` annex B, two channels of which one is enough, without the time of repair.
    pub fn handbook(&self) -> Result<CommonCause, OutOfRange> {
        let x = HANDBOOK_EXPOSURE.require(self.expected()?)?;
        let beta = SHARE.require(self.beta)?;
        let (own, common) = ((1.0 - beta) * x, beta * x / 2.0);
        Ok(CommonCause {
            both: own * own / 3.0 + common,
            common,
        })
    }

    /// The shorter form that counts the common faults among the independent ones, too: `(λτ)²/3 + βλτ/2`.
    ///
    /// # Errors
    /// As [`handbook`](Self::handbook).
    ///
    /// # Source
    /// `IEC-61508-6` as it is simplified in the trade.
    pub fn simplified(&self) -> Result<CommonCause, OutOfRange> {
        let x = HANDBOOK_EXPOSURE.require(self.expected()?)?;
        let common = SHARE.require(self.beta)? * x / 2.0;
        Ok(CommonCause {
            both: x * x / 3.0 + common,
            common,
        })
    }

    /// Failures of one part expected between tests.
    fn expected(&self) -> Result<f64, OutOfRange> {
        EXPOSURE.require(RATE.require(self.rate_per_s)? * TIME.require(self.interval_s)?)
    }
}
