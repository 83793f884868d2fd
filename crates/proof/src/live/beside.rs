//! What somebody turned that isn't their card's, and how it is put back.

use serde::Serialize;
use station::plumbing::End;

use super::act::Act;
use super::begin::Live;
use super::follow::{Follow, Part};
use super::ledger::salinity;
use crate::alone::Harm;
use crate::analysis::{Position, Switch};

/// A valve or pump that was turned.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Turned {
    /// Its name.
    pub what: String,
    /// Whether it is a pump.
    pub is_pump: bool,
    /// Whether it is open or on now.
    pub on: bool,
}

/// A salt vessel whose water still wants salt.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Unsalted {
    /// Its name.
    pub vessel: String,
    /// What it has, practical salinity.
    pub practical_salinity: f64,
    /// What it is to have.
    pub target: f64,
    /// Dry sea salt that brings it there, kg.
    pub salt_kg: f64,
    /// The same of the owner's mix, whose crystals hold water, kg; nothing where its strength isn't known.
    pub mix_kg: Option<f64>,
}

impl Live<'_> {
    /// What was turned that isn't the card's.
    pub fn turned(&self, own: &Follow) -> Vec<Turned> {
        let now = own.beside.last();
        now.map_or_else(Vec::new, |now| self.unlike(own, own.stands, *now))
    }

    /// What stands otherwise now than between tasks.
    pub fn unlike_rest(&self, own: &Follow) -> Vec<Turned> {
        self.unlike(own, own.rest, self.stands(&own.switches))
    }

    /// The salt vessel that a card puts fresh water into, where it still wants its salt.
    pub fn unsalted(&self, own: &Follow) -> Option<Unsalted> {
        let ground = self.place.ground;
        let End::Vessel(to) = ground.station.plumbing.tasks[own.task()].to else {
            return None;
        };
        let is_filled = self.place.making.iter().any(|own| own.vessel == to);
        let vessel = &ground.station.vessels[to];
        let target = ground.plant.vessels[to].target;
        // Salt that lies on its floor comes into it yet.
        let there = self.walk.shown(&self.place).walk.with_grains(to);
        let brine = &ground.plant.brine;
        let practical_salinity = salinity(brine, there);
        let is_thin = practical_salinity < target - vessel.fields.salinity_tolerance.value.plain();
        let salt_kg = brine.salt_wanting_kg(there, target);
        (is_filled && is_thin).then(|| Unsalted {
            vessel: vessel.name.clone(),
            practical_salinity,
            target,
            salt_kg,
            mix_kg: ground.plant.mix.strength.map(|strength| salt_kg / strength),
        })
    }

    /// What is wrong with the water that a card has brought to its draw point, in words; nothing before it runs.
    pub fn wrong_drawn(&self, own: &Follow) -> Option<String> {
        let ground = self.place.ground;
        let is_there = own.next_step().is_some_and(|step| step.part == Part::There);
        let End::Draw(draw) = ground.station.plumbing.tasks[own.task()].to else {
            return None;
        };
        let mut walk = self.walk.shown(&self.place).walk;
        walk.card = Some(own.task());
        let (kind, amount) = walk.wrong_caught(ground, draw).filter(|_| !is_there)?;
        let at_s = walk.state.t_s;
        Some(self.names.harm(&walk.state, &Harm { kind, at_s, amount }))
    }

    /// What stands otherwise now than it did, as it stands now.
    fn unlike(&self, own: &Follow, before: Position, now: Position) -> Vec<Turned> {
        let station = self.place.ground.station;
        own.switches
            .in_order(before)
            .into_iter()
            .filter(|bit| (now ^ before) >> bit & 1 == 1)
            .map(|bit| {
                let (what, is_pump) = match own.switches.switch(bit) {
                    Switch::Valve(valve) => (&station.valves[valve].name, false),
                    Switch::Pump(pump) => (&station.pumps[pump].name, true),
                };
                Turned {
                    what: what.clone(),
                    is_pump,
                    on: now >> bit & 1 == 1,
                }
            })
            .collect()
    }

    /// The acts that put back what isn't the card's, last things first.
    pub fn put_back(&self, own: &Follow) -> Vec<Act> {
        let mut passed = vec![own.stands];
        passed.extend(&own.beside);
        let mut acts = Vec::new();
        for pair in passed.windows(2).rev() {
            let [to, from] = [pair[0], pair[1]];
            for bit in own.switches.in_order(from) {
                if (to ^ from) >> bit & 1 == 1 {
                    acts.push(self.turn(&own.switches, bit, to >> bit & 1 == 1));
                }
            }
        }
        acts
    }
}
