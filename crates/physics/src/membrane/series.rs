//! Several elements in a row: the reject of each feeds the next, the permeates are joined.

use super::{
    element::Element,
    error::MembraneError,
    limits::{RECOVERY, WALL_SOLIDS},
    operate::{Feed, Operating, permeate_at_wall},
    restrictor::{Resistances, Restrictor},
    temperature::TemperatureResponse,
    wall::{check_permeate, osmotic_slope, wall_factor_and_slope},
};
use crate::numerics::{bracketed_newton, try_bracketed_root};
use std::cell::Cell;

/// Most elements in a row; more than a household or a small plant has.
const MOST: usize = 12;
/// Tolerances as shares of the largest the unknown could be: each far enough above the one inside it that its
/// rounding doesn't show.
const INNER: f64 = 2e-15;
const MIDDLE: f64 = 2e-14;
const OUTER: f64 = 2e-13;
const ROOM: f64 = 1.0 + 1e-9;

/// Returns the working point of elements in a row; for one it's that of [`operate`](super::operate).
///
/// Each element has the channel resistance given, the filters carry all feed, and all permeate passes the
/// resistance behind. Of the result, the wall is the saltiest of all, the membrane pressure that of the first element,
/// the net driving pressure the mean by water conductance.
///
/// # Arguments
/// * `elements`: 1 to 12, at 25 °C, in the order of the flow.
/// * others: as in [`operate`](super::operate).
///
/// # Errors
/// [`MembraneError::ElementCount`]; [`MembraneError::RecoveryBeyond`] when any element would turn more than 0.9 of
/// its feed into product; [`MembraneError::TooLeaky`]; [`MembraneError::OutOfRange`].
///
/// # Source
/// As [`operate`](super::operate), element by element; own derivation of the three nested balances: each element's
/// product, the flow that the restrictor passes, the back pressure of the joined product.
pub fn operate_series(
    elements: &[Element],
    restrictor: &Restrictor,
    resistances: &Resistances,
    response: &TemperatureResponse,
    feed: &Feed,
) -> Result<Operating, MembraneError> {
    if elements.is_empty() || elements.len() > MOST {
        return Err(MembraneError::ElementCount {
            count: elements.len(),
            most: MOST,
        });
    }
    feed.check()?;
    restrictor.check()?;
    resistances.check()?;
    for element in elements {
        element.check()?;
    }
    let row = Row {
        elements,
        factor: response.factor(feed.temperature_c)?,
        restrictor,
        resistances,
        feed,
        osmotic_slope: osmotic_slope(feed.temperature_c)?,
        evaluations: Cell::new(0),
    };
    row.working_point()
}

/// The elements at the temperature of their feed.
struct Row<'a> {
    elements: &'a [Element],
    factor: f64,
    restrictor: &'a Restrictor,
    resistances: &'a Resistances,
    feed: &'a Feed,
    osmotic_slope: f64,
    evaluations: Cell<u32>,
}

/// What has passed the elements so far.
#[derive(Clone, Copy)]
struct March {
    pressure_pa: f64,
    flow: f64,
    solids: f64,
    permeate: f64,
    permeate_salt: f64,
    wall: f64,
    first_pressure_pa: f64,
    too_tight: bool,
    /// Permeate and feed of an element whose permeate would be the saltier one.
    too_leaky: Option<(f64, f64)>,
}

impl Row<'_> {
    fn working_point(&self) -> Result<Operating, MembraneError> {
        let water = self.water();
        let most = ROOM * water * self.feed.pressure_pa;
        let behind = self.resistances.permeate_pa_s_m3;
        let none = self.balanced(0.0)?;
        let permeate = if behind <= 0.0 || none.permeate <= 0.0 {
            none.permeate
        } else {
            let surplus =
                |permeate: f64| Ok::<f64, MembraneError>(self.balanced(permeate)?.permeate - permeate);
            try_bracketed_root(surplus, 0.0, most, OUTER * most)?.x
        };
        let march = self.balanced(permeate)?;
        if march.too_tight {
            return Err(MembraneError::RecoveryBeyond { most: RECOVERY.max });
        }
        if let Some((permeate, feed)) = march.too_leaky {
            check_permeate(permeate, feed)?;
        }
        WALL_SOLIDS.require(march.wall)?;
        let made = march.permeate > 0.0;
        let all = march.permeate + march.flow;
        Ok(Operating {
            permeate_m3_s: march.permeate,
            reject_m3_s: march.flow,
            recovery: if made { march.permeate / all } else { 0.0 },
            membrane_pressure_pa: march.first_pressure_pa,
            // Each product is its conductance times its drive; without any, osmosis is in balance.
            net_driving_pressure_pa: if made {
                march.permeate / water
            } else {
                march.first_pressure_pa - self.feed.permeate_pressure_pa
            },
            wall_solids_kg_m3: march.wall,
            permeate_solids_kg_m3: if made {
                march.permeate_salt / march.permeate
            } else {
                march.wall
            },
            reject_solids_kg_m3: march.solids,
            evaluations: self.evaluations.get(),
        })
    }

    /// Water conductance of all elements together.
    fn water(&self) -> f64 {
        let all: f64 = self
            .elements
            .iter()
            .map(|element| element.water_conductance_m3_s_pa)
            .sum();
        all * self.factor
    }

    /// The march that the restrictor passes, when the joined product presses back as `permeate` would.
    fn balanced(&self, permeate: f64) -> Result<March, MembraneError> {
        let back_pa = self.feed.permeate_pressure_pa + self.resistances.permeate_pa_s_m3 * permeate;
        let k = self.restrictor.conductance_m3_s_sqrt_pa;
        let water = self.water();
        let pressure_pa = self.feed.pressure_pa;
        if pressure_pa <= 0.0 {
            return self.march(0.0, back_pa);
        }
        let most = ROOM * (k * pressure_pa.sqrt() + water * pressure_pa);
        let surplus = |flow: f64| {
            let end = self.march(flow, back_pa)?;
            Ok::<f64, MembraneError>(k * end.pressure_pa.max(0.0).sqrt() - end.flow)
        };
        let flow = try_bracketed_root(surplus, 0.0, most, MIDDLE * most)?.x;
        self.march(flow, back_pa)
    }

    /// Follows a flow of feed through the elements.
    fn march(&self, flow: f64, back_pa: f64) -> Result<March, MembraneError> {
        let mut march = March {
            pressure_pa: self.feed.pressure_pa - self.resistances.feed_pa_s_m3 * flow,
            flow,
            solids: self.feed.dissolved_solids_kg_m3,
            permeate: 0.0,
            permeate_salt: 0.0,
            wall: self.feed.dissolved_solids_kg_m3,
            first_pressure_pa: 0.0,
            too_tight: false,
            too_leaky: None,
        };
        for (index, element) in self.elements.iter().enumerate() {
            self.pass(element.times(self.factor), &mut march, back_pa)?;
            if index == 0 {
                let channel = self.resistances.channel_pa_s_m3;
                march.first_pressure_pa = march.pressure_pa + channel / 2.0 * (flow - march.permeate / 2.0);
            }
        }
        Ok(march)
    }

    /// Takes the march through one element.
    fn pass(&self, element: Element, march: &mut March, back_pa: f64) -> Result<(), MembraneError> {
        let (water, salt) = (element.water_conductance_m3_s_pa, element.salt_conductance_m3_s);
        let (flow, solids) = (march.flow, march.solids);
        let half = self.resistances.channel_pa_s_m3 / 2.0;
        let across_pa = march.pressure_pa - half * flow - back_pa;
        let osmotic = self.osmotic_slope * solids;
        let mut product = 0.0;
        if across_pa > 0.0 && flow > 0.0 {
            let surplus = |q: f64| {
                self.evaluations.set(self.evaluations.get().saturating_add(1));
                let (factor, factor_slope) = wall_factor_and_slope(q / flow);
                let held = q / (q + salt);
                let held_slope = salt / ((q + salt) * (q + salt));
                let drive = across_pa + half / 2.0 * q - osmotic * factor * held;
                let slope = half / 2.0 - osmotic * (factor_slope / flow * held + factor * held_slope);
                (water * drive - q, water * slope - 1.0)
            };
            let most = RECOVERY.max * flow;
            if surplus(most).0 >= 0.0 {
                march.too_tight = true;
                product = most;
            } else {
                let slope = 1.0 - water * half / 2.0;
                let guess = permeate_at_wall(water, salt, slope.max(0.1), across_pa, osmotic * 1.3);
                product = bracketed_newton(surplus, 0.0, most, guess, INNER * most)?.x;
            }
        }
        let wall = solids * wall_factor_and_slope(product / flow.max(f64::MIN_POSITIVE)).0;
        let permeate_solids = wall * (salt / (product + salt));
        if check_permeate(permeate_solids, solids).is_err() {
            march.too_leaky = Some((permeate_solids, solids));
        }
        let left = flow - product;
        march.wall = march.wall.max(wall);
        march.permeate += product;
        march.permeate_salt += product * permeate_solids;
        march.pressure_pa -= 2.0 * half * (flow - product / 2.0);
        if product > 0.0 {
            march.solids = solids + (solids - permeate_solids) * product / left;
        }
        march.flow = left;
        Ok(())
    }
}
