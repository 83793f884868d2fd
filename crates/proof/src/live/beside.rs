//! What somebody turned that isn't their card's, and how it is put back.

use serde::Serialize;

use super::act::Act;
use super::begin::Live;
use super::follow::Follow;
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
