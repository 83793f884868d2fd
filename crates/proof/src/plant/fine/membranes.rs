//! The membranes at any temperature of their feed: the figures of the sheet, evaluated again.

use crate::analysis::Made as MadeOfWater;
use crate::method::{Method, Refusal};
use crate::plant::season::ByMonth;
use crate::sheet::{NodeId, Sheet};

/// A figure that is evaluated again at another temperature.
#[derive(Debug, Clone)]
struct Formula {
    method: &'static Method,
    values: Vec<f64>,
    /// Where the temperature, the permeate and the reject stand among them.
    places: [Option<usize>; 3],
}

impl Formula {
    fn of(sheet: &Sheet, node: NodeId, wanted: [NodeId; 3]) -> Option<Self> {
        let (method, inputs) = sheet.formula(node)?;
        Some(Self {
            method,
            values: inputs.iter().map(|id| sheet.value(*id)).collect(),
            places: wanted.map(|wanted| inputs.iter().position(|id| *id == wanted)),
        })
    }

    fn at(&mut self, now: [f64; 3]) -> Result<f64, Refusal> {
        for (place, value) in self.places.iter().zip(now) {
            if let Some(place) = place {
                self.values[*place] = value;
            }
        }
        self.method.evaluate(&self.values)
    }
}

/// The membranes on one state of the feed.
#[derive(Debug, Clone)]
pub(crate) struct Membranes {
    pub(in crate::plant) temperature_c: ByMonth,
    permeate: Formula,
    reject: Formula,
    solids: Formula,
}

impl Membranes {
    /// From the figures of a sheet; nothing where one of them isn't there.
    pub(crate) fn of(sheet: &Sheet, made: &MadeOfWater) -> Option<Self> {
        let first = made.months.first()?;
        let permeate = first.permeate_m3_per_s.node;
        let reject = first.reject_m3_per_s.node;
        let wanted = [first.feed_temperature_c.node, permeate, reject];
        let mut temperature_c = [0.0; 12];
        for (slot, month) in temperature_c.iter_mut().zip(&made.months) {
            *slot = month.feed_temperature_c.value;
        }
        Some(Self {
            temperature_c: ByMonth(temperature_c),
            permeate: Formula::of(sheet, permeate, wanted)?,
            reject: Formula::of(sheet, reject, wanted)?,
            solids: Formula::of(sheet, first.permeate_solids_kg_m3.node, wanted)?,
        })
    }

    /// Permeate, reject and the permeate's salt at a time.
    pub(super) fn at(&mut self, t_s: f64) -> Result<[f64; 3], Refusal> {
        self.at_c(self.temperature_c.at(t_s))
    }

    /// The same at a temperature of the feed.
    pub(in crate::plant) fn at_c(&mut self, temperature: f64) -> Result<[f64; 3], Refusal> {
        let permeate = self.permeate.at([temperature, 0.0, 0.0])?;
        let reject = self.reject.at([temperature, permeate, 0.0])?;
        let solids = self.solids.at([temperature, permeate, reject])?;
        Ok([permeate, reject, solids])
    }
}
