//! The heat balance of a stirred vessel under constant power, in closed form.

use super::error::HeatError;
use super::limits::{AIR, CAPACITY, LOSS, POWER, WATER};
use super::open_surface::{OpenSurface, open_surface_loss};
use crate::{OutOfRange, Range};
use libm::{expm1, log, log1p};

/// A moment up to ten years.
const TIME: Range = Range {
    quantity: "time",
    unit: "s",
    min: 0.0,
    max: 3.2e8,
    source_key: "HOUSE-RULE",
};
const WITHIN: Range = Range {
    quantity: "distance from rest",
    unit: "K",
    min: 1e-3,
    max: 60.0,
    source_key: "HOUSE-RULE",
};
/// A loss, where there is one: below a microwatt the steady temperature would be that of a star.
const LEAST_LOSS: Range = Range { min: 1e-6, ..LOSS };
/// Over less than this the chord of an open surface's loss is drawn over this, against rounding.
const LEAST_CHORD_K: f64 = 0.1;

/// A vessel with constant power into it and losses in proportion to its temperature over that of the air:
/// `C·dT/dt = P − UA·(T − Tₐ)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatBalance {
    /// Heat capacity of the water, C, `10..=1e11` J/K; by [`heat_capacity_j_k`](super::heat_capacity_j_k).
    pub heat_capacity_j_k: f64,
    /// Loss, UA, 0 or `1e-6..=1e6` W/K; by [`loss_w_k`](super::loss_w_k).
    pub loss_w_k: f64,
    /// Temperature of the air, Tₐ, `−20..=50` °C.
    pub air_temperature_c: f64,
    /// Power into the water, P, `−1e7..=1e7` W: heater and pump; negative for a chiller. Of a pump in the water all
    /// its electric power counts, of one beside it about what it does to the water (common practice, no source).
    pub power_w: f64,
}

/// When a temperature is reached.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reach {
    /// After this time.
    After {
        /// Time from the start, s.
        time_s: f64,
    },
    /// Never.
    Never {
        /// Where the temperature ends instead; `None` where it has no end, for nothing is lost.
        steady_c: Option<f64>,
    },
}

impl HeatBalance {
    /// Returns the time constant, s: `C/UA`. After one of them 63 % of the way is done, after three 95 %.
    ///
    /// # Errors
    /// [`HeatError::NeverSteady`] without a loss, [`HeatError::OutOfRange`].
    ///
    /// # Source
    /// `HEAT-BALANCE`.
    pub fn time_constant_s(&self) -> Result<f64, HeatError> {
        self.require()?;
        self.losing()?;
        Ok(self.heat_capacity_j_k / self.loss_w_k)
    }

    /// Returns the temperature at which the vessel comes to rest, °C: `Tₐ + P/UA`.
    ///
    /// It may be one at which there is no water any more; it then says how far off the balance is.
    ///
    /// # Errors
    /// As [`time_constant_s`](Self::time_constant_s).
    ///
    /// # Source
    /// `HEAT-BALANCE`.
    ///
    /// # Examples
    /// ```
    /// let pump = physics::heat::HeatBalance {
    ///     heat_capacity_j_k: 817e3,
    ///     loss_w_k: 12.0,
    ///     air_temperature_c: 20.0,
    ///     power_w: 30.0,
    /// };
    /// assert!((pump.steady_temperature_c()? - 22.5).abs() < 1e-12);
    /// assert!((pump.time_constant_s()? / 3600.0 - 18.9).abs() < 0.05);
    /// # Ok::<(), physics::heat::HeatError>(())
    /// ```
    pub fn steady_temperature_c(&self) -> Result<f64, HeatError> {
        self.require()?;
        self.losing()?;
        Ok(self.air_temperature_c + self.power_w / self.loss_w_k)
    }

    /// Returns the temperature after a time, °C: `T₀ + (P − UA·(T₀ − Tₐ))/UA·(1 − exp(−UA·t/C))`.
    ///
    /// # Arguments
    /// * `start_c`: T₀, `−2..=60`.
    /// * `time_s`: t, `0..=3.2e8`.
    ///
    /// # Errors
    /// [`OutOfRange`], also where the temperature leaves −2 to 60 °C, which is no answer for water.
    ///
    /// # Source
    /// `HEAT-BALANCE`, solved.
    pub fn temperature_after_c(&self, start_c: f64, time_s: f64) -> Result<f64, OutOfRange> {
        self.require()?;
        let start_c = WATER.require(start_c)?;
        let time_s = TIME.require(time_s)?;
        let elapsed = self.loss_w_k * time_s / self.heat_capacity_j_k;
        // (1 − exp(−x))/x is 1 where nothing is lost.
        let waning = if elapsed > 0.0 {
            -expm1(-elapsed) / elapsed
        } else {
            1.0
        };
        WATER.require(start_c + self.net_w(start_c) * time_s / self.heat_capacity_j_k * waning)
    }

    /// Returns when a temperature is reached: `−C/UA·ln(1 − UA·(T₁ − T₀)/(P − UA·(T₀ − Tₐ)))`.
    ///
    /// # Arguments
    /// * `start_c`, `target_c`: T₀ and T₁, `−2..=60`.
    ///
    /// # Errors
    /// [`OutOfRange`], also for more than ten years. A target that is never reached is an answer, not an error:
    /// [`Reach::Never`].
    ///
    /// # Source
    /// `HEAT-BALANCE`, solved.
    ///
    /// # Examples
    /// ```
    /// use physics::heat::{HeatBalance, Reach};
    ///
    /// let vessel = HeatBalance {
    ///     heat_capacity_j_k: 817e3,
    ///     loss_w_k: 12.0,
    ///     air_temperature_c: 15.0,
    ///     power_w: 100.0,
    /// };
    /// let Reach::Never { steady_c: Some(steady_c) } = vessel.time_to(15.0, 25.0)? else { panic!() };
    /// assert!((steady_c - 23.33).abs() < 0.01);
    /// # Ok::<(), physics::OutOfRange>(())
    /// ```
    pub fn time_to(&self, start_c: f64, target_c: f64) -> Result<Reach, OutOfRange> {
        self.require()?;
        let start_c = WATER.require(start_c)?;
        let way_k = WATER.require(target_c)? - start_c;
        if way_k == 0.0 {
            return Ok(Reach::After { time_s: 0.0 });
        }
        let net_w = self.net_w(start_c);
        // The share of the way to rest; 1 is rest itself, which takes for ever.
        let done = self.loss_w_k * way_k / net_w;
        if net_w == 0.0 || (net_w > 0.0) != (way_k > 0.0) || done >= 1.0 {
            return Ok(Reach::Never {
                steady_c: self.end_c(start_c),
            });
        }
        let lossless_s = self.heat_capacity_j_k * way_k / net_w;
        let waxing = if done > 0.0 { -log1p(-done) / done } else { 1.0 };
        Ok(Reach::After {
            time_s: TIME.require(lossless_s * waxing)?,
        })
    }

    /// Returns the time until the temperature is within some kelvin of rest, s: `C/UA·ln(|T₀ − T∞|/δ)`; 0 where it is
    /// already. What a measurement waits for.
    ///
    /// # Arguments
    /// * `start_c`: T₀, `−2..=60`.
    /// * `within_k`: δ, `1e-3..=60`, as near as the measurement needs.
    ///
    /// # Errors
    /// [`HeatError::NeverSteady`] without a loss, [`HeatError::OutOfRange`], also for more than ten years.
    ///
    /// # Source
    /// `HEAT-BALANCE`, solved.
    pub fn settling_time_s(&self, start_c: f64, within_k: f64) -> Result<f64, HeatError> {
        let off_k = (WATER.require(start_c)? - self.steady_temperature_c()?).abs();
        let within_k = WITHIN.require(within_k)?;
        if off_k <= within_k {
            return Ok(0.0);
        }
        Ok(TIME.require(self.time_constant_s()? * log(off_k / within_k))?)
    }

    /// Returns the balance with an open surface added, its loss between two temperatures drawn as a straight line.
    ///
    /// The loss of an open surface bends upwards with temperature, so that the line is above it in between: heating is
    /// told a little too slow, by less than a percent over 10 °C in the tests. Outside the two temperatures the line
    /// isn't to be trusted, and a steady temperature there neither.
    ///
    /// # Arguments
    /// * `surface`: the open surface; its water temperature isn't used. Its air may be other than the walls'.
    /// * `from_c`, `to_c`: both `0..=40`.
    ///
    /// # Errors
    /// [`OutOfRange`], also where the loss falls with temperature, which it never does in still air.
    ///
    /// # Source
    /// House rule: the chord of [`open_surface_loss`].
    pub fn with_open_surface(
        &self,
        surface: &OpenSurface,
        from_c: f64,
        to_c: f64,
    ) -> Result<Self, OutOfRange> {
        self.require()?;
        let at = |water_temperature_c| Ok(open_surface_loss(surface, water_temperature_c)?.total_w());
        let from_w = at(from_c)?;
        let far_c = if (to_c - from_c).abs() >= LEAST_CHORD_K || to_c.is_nan() {
            to_c
        } else if from_c > 20.0 {
            from_c - LEAST_CHORD_K
        } else {
            from_c + LEAST_CHORD_K
        };
        let slope_w_k = LOSS.require((at(far_c)? - from_w) / (far_c - from_c))?;
        let with = Self {
            loss_w_k: self.loss_w_k + slope_w_k,
            power_w: self.power_w - from_w - slope_w_k * (self.air_temperature_c - from_c),
            ..*self
        };
        with.require()?;
        Ok(with)
    }

    /// Where it ends, as far as it does.
    fn end_c(&self, start_c: f64) -> Option<f64> {
        if self.loss_w_k > 0.0 {
            Some(self.air_temperature_c + self.power_w / self.loss_w_k)
        } else if self.power_w == 0.0 {
            Some(start_c)
        } else {
            None
        }
    }

    fn net_w(&self, temperature_c: f64) -> f64 {
        self.power_w - self.loss_w_k * (temperature_c - self.air_temperature_c)
    }

    fn losing(&self) -> Result<(), HeatError> {
        if self.loss_w_k > 0.0 {
            Ok(())
        } else {
            Err(HeatError::NeverSteady {
                power_w: self.power_w,
            })
        }
    }

    pub(super) fn require(&self) -> Result<(), OutOfRange> {
        CAPACITY.require(self.heat_capacity_j_k)?;
        if self.loss_w_k != 0.0 {
            LEAST_LOSS.require(self.loss_w_k)?;
        }
        AIR.require(self.air_temperature_c)?;
        POWER.require(self.power_w)?;
        Ok(())
    }
}
