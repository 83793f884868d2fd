//! Several elements in a row: the reject of each feeds the next, the permeates are joined.

use super::{
    element::Element,
    error::MembraneError,
    limits::{RECOVERY, WALL_SOLIDS},
    operate::{Feed, Operating},
    restrictor::{Resistances, Restrictor, reject_behind},
    row_nested, row_newton,
    temperature::TemperatureResponse,
    wall::{check_permeate, osmotic_slope, wall_factor_and_slope},
};

/// Most elements in a row; more than a household or a small plant has.
pub(super) const MOST: usize = 12;

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
/// As [`operate`](super::operate), element by element. Own derivation: the products together give the reject in
/// closed form, and each product is a root of its own element's equation; all are found at once. Where elements near
/// the highest recovery follow each other a row can balance at several points; one at which more feed would leave
/// less reject doesn't last, and isn't given.
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
    };
    let made = row.made()?;
    row.working_point(&made)
}

/// The elements at the temperature of their feed.
pub(super) struct Row<'a> {
    pub(super) elements: &'a [Element],
    pub(super) factor: f64,
    pub(super) restrictor: &'a Restrictor,
    pub(super) resistances: &'a Resistances,
    pub(super) feed: &'a Feed,
    pub(super) osmotic_slope: f64,
}

/// What the elements make, in their order, and how many evaluations of their equations it took.
pub(super) struct Made {
    pub(super) products: [f64; MOST],
    pub(super) evaluations: u32,
}

impl Row<'_> {
    /// Water and salt conductance of all elements together, as if side by side.
    pub(super) fn lumped(&self) -> Element {
        let none = Element {
            water_conductance_m3_s_pa: 0.0,
            salt_conductance_m3_s: 0.0,
        };
        let all = self.elements.iter().fold(none, |all, element| Element {
            water_conductance_m3_s_pa: all.water_conductance_m3_s_pa + element.water_conductance_m3_s_pa,
            salt_conductance_m3_s: all.salt_conductance_m3_s + element.salt_conductance_m3_s,
        });
        all.times(self.factor)
    }

    /// Flow into each element, and after the last of them the reject, beside their products.
    pub(super) fn flows(&self, products: &[f64; MOST]) -> [f64; MOST + 1] {
        let Resistances {
            feed_pa_s_m3: filters,
            channel_pa_s_m3: channel,
            ..
        } = *self.resistances;
        // Each product passes the filters, the channels before its own, and a half of that.
        let mut lost_pa = 0.0;
        let mut channels = 0.5;
        for product in &products[..self.elements.len()] {
            lost_pa += (filters + channel * channels) * product;
            channels += 1.0;
        }
        let behind = filters + channel * (channels - 0.5);
        let mut flows = [0.0; MOST + 1];
        let mut flow = reject_behind(self.restrictor, behind, self.feed.pressure_pa - lost_pa);
        // Sums from the end, so that a small reject isn't what large flows happen to leave.
        flows[self.elements.len()] = flow;
        for index in (0..self.elements.len()).rev() {
            flow += products[index];
            flows[index] = flow;
        }
        flows
    }

    /// Finds the products.
    fn made(&self) -> Result<Made, MembraneError> {
        let none = [0.0; MOST];
        // Products only lower the pressure: where there's none to begin with, and it falls along the row, none is made.
        if self.first_pressure_pa(&none, &self.flows(&none)) <= self.feed.permeate_pressure_pa {
            return Ok(Made {
                products: none,
                evaluations: 0,
            });
        }
        let made = match row_newton::made(self) {
            Some(made) => made,
            None => row_nested::made(self)?,
        };
        let flows = self.flows(&made.products);
        for (product, flow) in made.products[..self.elements.len()].iter().zip(flows) {
            if *product > 0.0 && *product >= RECOVERY.max * flow {
                return Err(MembraneError::RecoveryBeyond { most: RECOVERY.max });
            }
        }
        Ok(made)
    }

    /// Mean pressure along the feed side of the first element.
    pub(super) fn first_pressure_pa(&self, products: &[f64; MOST], flows: &[f64; MOST + 1]) -> f64 {
        self.feed.pressure_pa
            - self.resistances.feed_pa_s_m3 * flows[0]
            - self.resistances.channel_pa_s_m3 / 2.0 * (flows[0] - products[0] / 2.0)
    }

    /// Everything that follows from the products.
    fn working_point(&self, made: &Made) -> Result<Operating, MembraneError> {
        let flows = self.flows(&made.products);
        let first_pressure_pa = self.first_pressure_pa(&made.products, &flows);
        let mut solids = self.feed.dissolved_solids_kg_m3;
        let (mut permeate, mut permeate_salt, mut wall) = (0.0, 0.0, solids);
        let mut leaky = Ok(());
        for (index, element) in self.elements.iter().enumerate() {
            let salt = element.salt_conductance_m3_s * self.factor;
            let product = made.products[index];
            let wall_here = if product > 0.0 {
                solids * wall_factor_and_slope(product / flows[index]).0
            } else {
                solids
            };
            let permeate_solids = wall_here * (salt / (product + salt));
            // The last of them is told: by then the salt of the others is missing most.
            leaky = check_permeate(permeate_solids, solids).and(leaky);
            wall = wall.max(wall_here);
            permeate += product;
            permeate_salt += product * permeate_solids;
            if product > 0.0 {
                solids += (solids - permeate_solids) * product / flows[index + 1];
            }
        }
        leaky?;
        WALL_SOLIDS.require(wall)?;
        let made_any = permeate > 0.0;
        Ok(Operating {
            permeate_m3_s: permeate,
            reject_m3_s: flows[self.elements.len()],
            recovery: if made_any { permeate / flows[0] } else { 0.0 },
            membrane_pressure_pa: first_pressure_pa,
            // Each product is its conductance times its drive; without any, osmosis is in balance.
            net_driving_pressure_pa: if made_any {
                permeate / self.lumped().water_conductance_m3_s_pa
            } else {
                first_pressure_pa - self.feed.permeate_pressure_pa
            },
            wall_solids_kg_m3: wall,
            permeate_solids_kg_m3: if made_any { permeate_salt / permeate } else { wall },
            reject_solids_kg_m3: solids,
            evaluations: made.evaluations,
        })
    }
}
