//! The working point of a membrane between its feed, its restrictor and its vessel.

use super::{
    element::Element,
    error::MembraneError,
    limits::{PRESSURE, RECOVERY, SOLIDS, WALL_SOLIDS},
    restrictor::{Resistances, Restrictor, reject_and_slope},
    temperature::TemperatureResponse,
    wall::{check_permeate, osmotic_slope, wall_factor_and_slope},
};
use crate::numerics::bracketed_newton;

/// Tolerance of the product as a share of the largest it could be: rounding, with some room.
const TOLERANCE: f64 = 1e-13;
/// By how much the upper end of a bracket is moved outward, so that rounding can't hide the change of sign.
const ROOM: f64 = 1.0 + 1e-9;
/// Steps after which Newton's method is left for one with a bracket.
const MOST_STEPS: u32 = 8;
/// What is left of a product that a step would make negative.
pub(super) const LEFT: f64 = 0.1;
/// A step by no more than this share of the product is the last: the error left is about its square.
pub(super) const LAST_STEP: f64 = 1e-8;
/// Wall over feed in the first guess; anything near 1 serves.
pub(super) const GUESSED_WALL: f64 = 1.3;

/// The water that comes, and the vessel that it goes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feed {
    /// Gauge pressure before the filters.
    pub pressure_pa: f64,
    /// Temperature.
    pub temperature_c: f64,
    /// Dissolved solids.
    pub dissolved_solids_kg_m3: f64,
    /// Static head of the vessel on the permeate side, gauge.
    pub permeate_pressure_pa: f64,
}

impl Feed {
    /// Refuses what is outside the range of the model; the temperature is refused where it's used.
    pub(super) fn check(&self) -> Result<(), MembraneError> {
        PRESSURE.require(self.pressure_pa)?;
        PRESSURE.require(self.permeate_pressure_pa)?;
        SOLIDS.require(self.dissolved_solids_kg_m3)?;
        Ok(())
    }
}

/// Where a membrane works.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Operating {
    /// Product.
    pub permeate_m3_s: f64,
    /// Reject.
    pub reject_m3_s: f64,
    /// Product over feed.
    pub recovery: f64,
    /// Mean gauge pressure along the feed side; of several in a row, of the first.
    pub membrane_pressure_pa: f64,
    /// Pressure that drives the product; 0 or less when there is none. Of several in a row, the mean
    /// by water conductance.
    pub net_driving_pressure_pa: f64,
    /// Dissolved solids at the wall; of several in a row, the highest.
    pub wall_solids_kg_m3: f64,
    /// Dissolved solids of the product.
    pub permeate_solids_kg_m3: f64,
    /// Dissolved solids of the reject.
    pub reject_solids_kg_m3: f64,
    /// Evaluations of the membrane's equation that it took.
    pub evaluations: u32,
}

/// Returns the working point of one element, or of equal ones in parallel lumped into one.
///
/// A feed whose pressure doesn't exceed the back pressure makes nothing, and the permeate is as salty as the wall.
/// A little above that, where osmosis alone would hold the water back, some seeps through all the same: salt
/// passes by itself and takes the osmotic difference with it.
///
/// # Arguments
/// * `element`: at 25 °C.
/// * `restrictor`, `resistances`: what else the water has to pass.
/// * `response`: of both conductances to temperature.
/// * `feed`: 0 to 45 °C, 0 to 20 bar, up to 10 kg/m³; sound for 5 to 35 °C, 2 to 8 bar, up to 3 kg/m³.
///
/// # Errors
/// [`MembraneError::RecoveryBeyond`] for a restrictor so tight that the recovery exceeds 0.9;
/// [`MembraneError::TooLeaky`] for a salt conductance about as large as the flow of the feed;
/// [`MembraneError::OutOfRange`].
///
/// # Source
/// `LONSDALE-1965`, `ASTM-D4516`, `MEMBRANE-POLARISATION`, `ORIFICE`. Own derivation: the net driving
/// pressure falls strictly with the product, so that there is one working point.
pub fn operate(
    element: &Element,
    restrictor: &Restrictor,
    resistances: &Resistances,
    response: &TemperatureResponse,
    feed: &Feed,
) -> Result<Operating, MembraneError> {
    feed.check()?;
    restrictor.check()?;
    resistances.check()?;
    let balance = Balance {
        element: element.at(response, feed.temperature_c)?,
        restrictor: *restrictor,
        resistances: *resistances,
        feed: *feed,
        osmotic_slope: osmotic_slope(feed.temperature_c)?,
    };
    let (permeate_m3_s, evaluations) = balance.solve()?;
    balance.working_point(permeate_m3_s, evaluations)
}

/// The equation of the membrane at the temperature of its feed.
struct Balance {
    element: Element,
    restrictor: Restrictor,
    resistances: Resistances,
    feed: Feed,
    osmotic_slope: f64,
}

impl Balance {
    /// Mean pressure along the feed side beside a product and its reject.
    fn membrane_pressure_pa(&self, permeate: f64, reject: f64) -> f64 {
        self.feed.pressure_pa
            - self.resistances.feed_pa_s_m3 * (permeate + reject)
            - self.resistances.channel_pa_s_m3 * (permeate / 4.0 + reject / 2.0)
    }

    /// What the membrane would pass at a product, less that product; and its slope.
    fn surplus(&self, permeate: f64) -> (f64, f64) {
        let Element {
            water_conductance_m3_s_pa: water,
            salt_conductance_m3_s: salt,
        } = self.element;
        let Resistances {
            feed_pa_s_m3: filters,
            channel_pa_s_m3: channel,
            permeate_pa_s_m3: behind,
        } = self.resistances;
        let (reject, reject_slope) = reject_and_slope(
            &self.restrictor,
            &self.resistances,
            self.feed.pressure_pa,
            permeate,
        );
        let all = permeate + reject;
        let recovery_slope = (reject - permeate * reject_slope) / (all * all);
        let (factor, factor_slope) = wall_factor_and_slope(permeate / all);

        // The difference of osmotic pressure is the wall's times the share Q/(Q + B) that isn't let through.
        let held = permeate / (permeate + salt);
        let held_slope = salt / ((permeate + salt) * (permeate + salt));
        let osmotic = self.osmotic_slope * self.feed.dissolved_solids_kg_m3;
        let drive = self.membrane_pressure_pa(permeate, reject)
            - self.feed.permeate_pressure_pa
            - behind * permeate
            - osmotic * factor * held;
        let drive_slope = -(filters + channel / 4.0)
            - (filters + channel / 2.0) * reject_slope
            - behind
            - osmotic * (factor_slope * recovery_slope * held + factor * held_slope);
        (water * drive - permeate, water * drive_slope - 1.0)
    }

    /// The product, and how many evaluations it took.
    fn solve(&self) -> Result<(f64, u32), MembraneError> {
        let water = self.element.water_conductance_m3_s_pa;
        let salt = self.element.salt_conductance_m3_s;
        let reject = reject_and_slope(&self.restrictor, &self.resistances, self.feed.pressure_pa, 0.0).0;
        let across_pa = self.membrane_pressure_pa(0.0, reject) - self.feed.permeate_pressure_pa;
        if across_pa <= 0.0 {
            return Ok((0.0, 0));
        }
        // Without osmosis, and with the pressure at the membrane that no product leaves.
        let slope = 1.0 + water * self.resistances.permeate_pa_s_m3;
        let most = ROOM * water * across_pa / slope;
        let tightest = self.permeate_at_most_recovery();
        let osmotic_pa = self.osmotic_slope * self.feed.dissolved_solids_kg_m3 * GUESSED_WALL;
        let guess = permeate_at_wall(water, salt, slope, across_pa, osmotic_pa);
        self.by_newton(guess, most.min(tightest)).or_else(|steps| {
            let (permeate, evaluations) = self.by_bracket(guess, most, tightest)?;
            Ok((permeate, evaluations + steps))
        })
    }

    /// The product by Newton's method without a look at the ends, which a fair guess doesn't need; where the steps
    /// leave them or don't settle, how many were made.
    fn by_newton(&self, guess: f64, most: f64) -> Result<(f64, u32), u32> {
        let mut permeate = guess;
        for evaluations in 1..=MOST_STEPS {
            let (value, slope) = self.surplus(permeate);
            let step = value / slope;
            let next = permeate - step;
            permeate = if next > 0.0 { next } else { permeate * LEFT };
            if !(0.0 < permeate && permeate < most) {
                return Err(evaluations);
            }
            if step.abs() <= LAST_STEP * permeate {
                return Ok((permeate, evaluations));
            }
        }
        Err(MOST_STEPS)
    }

    /// The product by a method that can't miss.
    fn by_bracket(&self, guess: f64, most: f64, tightest: f64) -> Result<(f64, u32), MembraneError> {
        let mut evaluations = 0;
        let most = if tightest < most {
            evaluations += 1;
            if self.surplus(tightest).0 > 0.0 {
                return Err(MembraneError::RecoveryBeyond { most: RECOVERY.max });
            }
            tightest
        } else {
            most
        };
        let mut slope_there = -1.0;
        let surplus = |permeate: f64| {
            let (value, slope) = self.surplus(permeate);
            slope_there = slope;
            (value, slope)
        };
        let root = bracketed_newton(surplus, 0.0, most, guess, TOLERANCE * most)?;
        // The search stops when the next step is small; taking it costs nothing and leaves rounding alone, which
        // counts where the slope is steep: a tight membrane at its osmotic pressure.
        let polished = root.x - root.residual / slope_there;
        let permeate = if 0.0 < polished && polished < most {
            polished
        } else {
            root.x
        };
        Ok((permeate, root.evaluations + evaluations))
    }

    /// The product at which the restrictor passes only what the highest recovery leaves.
    fn permeate_at_most_recovery(&self) -> f64 {
        // (r·Q/K)² + c·Q = p with r = (1 − Y)/Y.
        let rest = (1.0 - RECOVERY.max) / RECOVERY.max;
        let by_root = rest / self.restrictor.conductance_m3_s_sqrt_pa;
        let c =
            self.resistances.feed_pa_s_m3 * (1.0 + rest) + self.resistances.channel_pa_s_m3 * (0.5 + rest);
        let pressure_pa = self.feed.pressure_pa;
        2.0 * pressure_pa / (c + (c * c + 4.0 * by_root * by_root * pressure_pa).sqrt())
    }

    /// Everything that follows from the product.
    fn working_point(&self, permeate: f64, evaluations: u32) -> Result<Operating, MembraneError> {
        let feed_solids = self.feed.dissolved_solids_kg_m3;
        let reject = reject_and_slope(
            &self.restrictor,
            &self.resistances,
            self.feed.pressure_pa,
            permeate,
        )
        .0;
        let recovery = if permeate > 0.0 {
            permeate / (permeate + reject)
        } else {
            0.0
        };
        let wall = WALL_SOLIDS.require(feed_solids * wall_factor_and_slope(recovery).0)?;
        let salt = self.element.salt_conductance_m3_s;
        let permeate_solids = wall * (salt / (permeate + salt));
        check_permeate(permeate_solids, feed_solids)?;
        let reject_solids = if permeate > 0.0 {
            feed_solids + (feed_solids - permeate_solids) * permeate / reject
        } else {
            feed_solids
        };
        let membrane_pressure_pa = self.membrane_pressure_pa(permeate, reject);
        let behind_pa = self.feed.permeate_pressure_pa + self.resistances.permeate_pa_s_m3 * permeate;
        Ok(Operating {
            permeate_m3_s: permeate,
            reject_m3_s: reject,
            recovery,
            membrane_pressure_pa,
            net_driving_pressure_pa: membrane_pressure_pa
                - behind_pa
                - self.osmotic_slope * (wall - permeate_solids),
            wall_solids_kg_m3: wall,
            permeate_solids_kg_m3: permeate_solids,
            reject_solids_kg_m3: reject_solids,
            evaluations,
        })
    }
}

/// Product where the wall's osmotic pressure is known, from `s·Q = A·(p − π·Q/(Q + B))`, a quadratic.
pub(super) fn permeate_at_wall(water: f64, salt: f64, slope: f64, across_pa: f64, osmotic_pa: f64) -> f64 {
    let constant = water * across_pa * salt;
    let linear = slope * salt - water * (across_pa - osmotic_pa);
    let root = (linear * linear + 4.0 * slope * constant).sqrt();
    // Whichever form subtracts nothing.
    if linear > 0.0 {
        2.0 * constant / (linear + root)
    } else {
        (root - linear) / (2.0 * slope)
    }
}
