//! The products of a row by brackets inside brackets: slow, but it can't miss.

use super::{
    element::Element,
    error::MembraneError,
    limits::RECOVERY,
    operate::{GUESSED_WALL, permeate_at_wall},
    series::{MOST, Made, Row},
    wall::wall_factor_and_slope,
};
use crate::numerics::{bracketed_newton, try_bracketed_root};
use std::cell::Cell;

/// Tolerances as shares of the largest the unknown could be: each far enough above the one inside it that its
/// rounding doesn't show.
const INNER: f64 = 2e-15;
const MIDDLE: f64 = 2e-14;
const OUTER: f64 = 2e-13;
/// By how much an upper end is moved outward, so that rounding can't hide the change of sign.
const ROOM: f64 = 1.0 + 1e-9;

/// Returns the products, from three nested balances: each element's product, the flow that the restrictor passes,
/// the back pressure of the joined product.
///
/// # Errors
/// [`MembraneError::RecoveryBeyond`]; [`MembraneError::Unsolved`].
pub(super) fn made(row: &Row) -> Result<Made, MembraneError> {
    let nest = Nest {
        row,
        evaluations: Cell::new(0),
    };
    let none = nest.balanced(0.0)?;
    let permeate = if row.resistances.permeate_pa_s_m3 <= 0.0 || none.permeate <= 0.0 {
        none.permeate
    } else {
        let surplus = |permeate: f64| Ok::<f64, MembraneError>(nest.balanced(permeate)?.permeate - permeate);
        let most = ROOM * row.lumped().water_conductance_m3_s_pa * row.feed.pressure_pa;
        try_bracketed_root(surplus, 0.0, most, OUTER * most)?.x
    };
    let march = nest.balanced(permeate)?;
    if march.too_tight {
        return Err(MembraneError::RecoveryBeyond { most: RECOVERY.max });
    }
    Ok(Made {
        products: march.products,
        evaluations: nest.evaluations.get(),
    })
}

struct Nest<'a> {
    row: &'a Row<'a>,
    evaluations: Cell<u32>,
}

/// What has passed the elements so far.
struct March {
    pressure_pa: f64,
    flow: f64,
    solids: f64,
    permeate: f64,
    products: [f64; MOST],
    too_tight: bool,
}

impl Nest<'_> {
    /// The march that the restrictor passes, when the joined product presses back as `permeate` would.
    fn balanced(&self, permeate: f64) -> Result<March, MembraneError> {
        let row = self.row;
        let back_pa = row.feed.permeate_pressure_pa + row.resistances.permeate_pa_s_m3 * permeate;
        let k = row.restrictor.conductance_m3_s_sqrt_pa;
        let pressure_pa = row.feed.pressure_pa;
        let water = row.lumped().water_conductance_m3_s_pa;
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
        let row = self.row;
        let mut march = March {
            pressure_pa: row.feed.pressure_pa - row.resistances.feed_pa_s_m3 * flow,
            flow,
            solids: row.feed.dissolved_solids_kg_m3,
            permeate: 0.0,
            products: [0.0; MOST],
            too_tight: false,
        };
        for (index, element) in row.elements.iter().enumerate() {
            let element = element.times(row.factor);
            let product = self.product(element, &mut march, back_pa)?;
            march.products[index] = product;
            pass(element, &mut march, row.resistances.channel_pa_s_m3, product);
        }
        Ok(march)
    }

    /// What an element makes of the flow that has come to it.
    fn product(&self, element: Element, march: &mut March, back_pa: f64) -> Result<f64, MembraneError> {
        let (water, salt) = (element.water_conductance_m3_s_pa, element.salt_conductance_m3_s);
        let flow = march.flow;
        let half = self.row.resistances.channel_pa_s_m3 / 2.0;
        let across_pa = march.pressure_pa - half * flow - back_pa;
        let osmotic = self.row.osmotic_slope * march.solids;
        if !(across_pa > 0.0 && flow > 0.0) {
            return Ok(0.0);
        }
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
            return Ok(most);
        }
        let slope = 1.0 - water * half / 2.0;
        let guess = permeate_at_wall(water, salt, slope.max(0.1), across_pa, osmotic * GUESSED_WALL);
        Ok(bracketed_newton(surplus, 0.0, most, guess, INNER * most)?.x)
    }
}

/// Takes the march through an element.
fn pass(element: Element, march: &mut March, channel: f64, product: f64) {
    let (flow, solids) = (march.flow, march.solids);
    let salt = element.salt_conductance_m3_s;
    march.pressure_pa -= channel * (flow - product / 2.0);
    march.permeate += product;
    march.flow = flow - product;
    if product > 0.0 {
        let wall = solids * wall_factor_and_slope(product / flow).0;
        let permeate_solids = wall * (salt / (product + salt));
        march.solids = solids + (solids - permeate_solids) * product / march.flow;
    }
}
