//! All products of a row at once, by Newton's method; what it doesn't find is left to another.
//!
//! Every step is one march along the row: each element's equation, made straight around the last products, gives its
//! change by the changes of the feed flow and of the joined product, and two conditions at the end settle these.

use super::{
    operate::{GUESSED_WALL, LAST_STEP, LEFT, permeate_at_wall},
    series::{MOST, Made, Row},
    wall::wall_factor_and_slope,
};
use std::ops::{Add, Mul, Sub};

/// Steps after which it's given up.
const MOST_STEPS: u32 = 20;
/// A product so small beside all of them that its share doesn't count.
const NOTHING: f64 = 1e-18;
/// How often a first guess is halved, at most, and the share of reject that is enough.
const MOST_HALVINGS: u32 = 20;
const LEAST_REJECT: f64 = 0.2;

/// How a number along the row changes with a step: by itself, by the feed flow, by the joined product.
#[derive(Clone, Copy)]
struct Change {
    fixed: f64,
    by_flow: f64,
    by_permeate: f64,
}

impl Change {
    const NONE: Self = Self {
        fixed: 0.0,
        by_flow: 0.0,
        by_permeate: 0.0,
    };
}

impl Add for Change {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            fixed: self.fixed + other.fixed,
            by_flow: self.by_flow + other.by_flow,
            by_permeate: self.by_permeate + other.by_permeate,
        }
    }
}

impl Sub for Change {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + other * -1.0
    }
}

impl Mul<f64> for Change {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self {
            fixed: self.fixed * factor,
            by_flow: self.by_flow * factor,
            by_permeate: self.by_permeate * factor,
        }
    }
}

/// Where the march along the row stands before an element, and how that changes.
struct Place {
    pressure_pa: f64,
    flow: f64,
    solids: f64,
    pressure_change: Change,
    flow_change: Change,
    solids_change: Change,
}

/// Returns the products, or nothing where the steps don't settle.
pub(super) fn made(row: &Row) -> Option<Made> {
    let count = row.elements.len();
    let mut products = guess(row);
    let mut evaluations = 0;
    for _ in 0..MOST_STEPS {
        let steps = steps(row, &products)?;
        evaluations += u32::try_from(count).ok()?;
        let most = products.iter().fold(0.0, |most: f64, product| most.max(*product));
        let mut settled = true;
        for (product, step) in products.iter_mut().zip(steps).take(count) {
            settled &= step.abs() <= LAST_STEP * *product + NOTHING * most;
            let next = *product + step;
            *product = if next < 0.0 { *product * LEFT } else { next };
        }
        if settled {
            return Some(Made {
                products,
                evaluations,
            });
        }
    }
    None
}

/// Products of the row lumped into one element, with the pressure that no product leaves at the first of the row.
fn guess(row: &Row) -> [f64; MOST] {
    let all = row.lumped();
    let (water, salt) = (all.water_conductance_m3_s_pa, all.salt_conductance_m3_s);
    let count = row.elements.len();
    let none = [0.0; MOST];
    let across_pa = row.first_pressure_pa(&none, &row.flows(&none)) - row.feed.permeate_pressure_pa;
    let osmotic_pa = row.osmotic_slope * row.feed.dissolved_solids_kg_m3 * GUESSED_WALL;
    let slope = 1.0 + water * row.resistances.permeate_pa_s_m3;
    let permeate = permeate_at_wall(water, salt, slope, across_pa, osmotic_pa);
    let mut products = [0.0; MOST];
    for (product, element) in products.iter_mut().zip(row.elements) {
        *product = permeate * (element.water_conductance_m3_s_pa * row.factor / water);
    }
    // What leaves the restrictor next to nothing is no start.
    for _ in 0..MOST_HALVINGS {
        let flows = row.flows(&products);
        if flows[count] > flows[0] * LEAST_REJECT {
            break;
        }
        for product in &mut products {
            *product /= 2.0;
        }
    }
    products
}

/// One step of each product, from the equations of all elements made straight around the products given.
fn steps(row: &Row, products: &[f64; MOST]) -> Option<[f64; MOST]> {
    let count = row.elements.len();
    let flows = row.flows(products);
    let reject = flows[count];
    let permeate: f64 = products[..count].iter().sum();
    let filters = row.resistances.feed_pa_s_m3;
    let behind = row.resistances.permeate_pa_s_m3;
    let back_pa = row.feed.permeate_pressure_pa + behind * permeate;
    let mut place = Place {
        pressure_pa: row.feed.pressure_pa - filters * flows[0],
        flow: flows[0],
        solids: row.feed.dissolved_solids_kg_m3,
        pressure_change: Change {
            by_flow: -filters,
            ..Change::NONE
        },
        flow_change: Change {
            by_flow: 1.0,
            ..Change::NONE
        },
        solids_change: Change::NONE,
    };
    let back_change = Change {
        by_permeate: behind,
        ..Change::NONE
    };
    let mut changes = [Change::NONE; MOST];
    let mut sum = Change::NONE;
    for index in 0..count {
        let change = pass(
            row,
            index,
            products[index],
            flows[index + 1],
            &mut place,
            (back_pa, back_change),
        )?;
        changes[index] = change;
        sum = sum + change;
    }
    // Two conditions close the row: the products make up their sum, and the restrictor, (Qr/K)² = p, passes the rest.
    let k = row.restrictor.conductance_m3_s_sqrt_pa;
    let slope = 2.0 * reject / k / k;
    let end = place.pressure_change;
    let (a, b, c) = (sum.by_flow, sum.by_permeate - 1.0, -sum.fixed);
    let (d, e, f) = (slope - end.by_flow, -slope - end.by_permeate, end.fixed);
    let determinant = a * e - b * d;
    let (flow, permeate) = ((c * e - b * f) / determinant, (a * f - c * d) / determinant);
    // At a recovery far beyond the sound ones more feed can mean less reject: weaker water makes more product of it.
    // What balances there doesn't last, and the determinant is negative.
    if !(determinant > 0.0 && flow.is_finite() && permeate.is_finite() && reject > 0.0) {
        return None;
    }
    let mut steps = [0.0; MOST];
    for (step, change) in steps.iter_mut().zip(changes) {
        *step = change.fixed + change.by_flow * flow + change.by_permeate * permeate;
    }
    Some(steps)
}

/// Takes the march through one element, and returns how its product changes; own derivation, the slopes of the
/// equation of [`operate`](super::operate()) and of the balances behind it.
fn pass(
    row: &Row,
    index: usize,
    product: f64,
    left: f64,
    place: &mut Place,
    (back_pa, back_change): (f64, Change),
) -> Option<Change> {
    let element = row.elements[index].times(row.factor);
    let (water, salt) = (element.water_conductance_m3_s_pa, element.salt_conductance_m3_s);
    let half = row.resistances.channel_pa_s_m3 / 2.0;
    let Place {
        pressure_pa,
        flow,
        solids,
        ..
    } = *place;
    let recovery = product / flow;
    let (factor, factor_slope) = wall_factor_and_slope(recovery);
    let held = product / (product + salt);
    let held_slope = salt / ((product + salt) * (product + salt));
    let across_pa = pressure_pa - half * flow - back_pa;
    let change = if across_pa > 0.0 {
        let osmotic = row.osmotic_slope * solids;
        let surplus = water * (across_pa + half / 2.0 * product - osmotic * factor * held) - product;
        let by_product =
            water * (half / 2.0 - osmotic * (factor_slope / flow * held + factor * held_slope)) - 1.0;
        // A channel so narrow that its own product would drive the element more has no one answer.
        if by_product >= 0.0 {
            return None;
        }
        let by_flow = water * (osmotic * factor_slope * recovery / flow * held - half);
        let by_solids = -water * row.osmotic_slope * factor * held;
        let rest = (place.pressure_change - back_change) * water
            + place.flow_change * by_flow
            + place.solids_change * by_solids;
        (rest
            + Change {
                fixed: surplus,
                ..Change::NONE
            })
            * (-1.0 / by_product)
    } else {
        // Nothing drives it.
        Change {
            fixed: -product,
            ..Change::NONE
        }
    };

    // Of the salt, (1 − w·B/(Q + B)) is held back, and left in what goes on.
    let kept = 1.0 - factor * (1.0 - held);
    let share = product / left;
    let share_slope = (flow / left) * (flow / left);
    let recovery_change = (change - place.flow_change * recovery) * (1.0 / flow);
    place.solids_change = place.solids_change * (1.0 + kept * share)
        + (recovery_change * (kept * share_slope - factor_slope * (1.0 - held) * share)
            + change * (factor * held_slope * share))
            * solids;
    place.solids = solids * (1.0 + kept * share);
    place.pressure_change = place.pressure_change - place.flow_change * (2.0 * half) + change * half;
    place.pressure_pa = pressure_pa - half * (2.0 * flow - product);
    place.flow_change = place.flow_change - change;
    place.flow = left;
    Some(change)
}
