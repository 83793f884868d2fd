//! Every state of a small station, one by one.

use serde::Serialize;
use station::Station;

use super::kind::Kind;
use super::minimal::MOST_EXHAUSTIVE;
use super::{Base, surveys};
use crate::method::Refusal;

/// One position of valves and pumps in one situation, and what it does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StateOfStation {
    /// Valves that are open; all others are closed.
    pub valves_open: Vec<String>,
    /// Pumps that run.
    pub pumps_on: Vec<String>,
    /// `start`, `full`, `worst` or `crossed`.
    pub situation: String,
    /// What it does; empty where it is harmless.
    pub harms: Vec<HarmOfState>,
}

/// One thing that a state does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HarmOfState {
    /// What.
    pub kind: Kind,
    /// To what: a vessel, tank, draw point or pump.
    pub victim: String,
    /// The flow that does it.
    pub flow_m3_per_s: f64,
    /// Until it is done.
    pub seconds_to_harm: f64,
}

/// Every state, situation by situation, fewest open valves first.
///
/// # Errors
/// [`Refusal`] where the network can't be computed, [`Refusal::TooMany`] above 18 valves and pumps.
pub fn every_state(station: &Station, permeate_m3_s: f64) -> Result<Vec<StateOfStation>, Refusal> {
    let base = Base::of(station)?;
    if base.switches.count() > MOST_EXHAUSTIVE {
        return Err(Refusal::TooMany {
            what: "valves and pumps",
            given: base.switches.count(),
            most: MOST_EXHAUSTIVE,
        });
    }
    let ground = base.ground(station, permeate_m3_s);
    let (named, mut surveys) = surveys(&ground)?;
    let mut positions: Vec<u64> = (0..1 << base.switches.count())
        .filter(|position| base.switches.can_be(*position))
        .collect();
    positions.sort_by_key(|position| (position.count_ones(), *position));
    let mut all = Vec::with_capacity(positions.len() * named.len());
    for (situation, survey) in named.iter().zip(&mut surveys) {
        for position in &positions {
            let harms = survey.harms(*position)?;
            let (valves_open, pumps_on) = base.switches.names(station, *position);
            all.push(StateOfStation {
                valves_open,
                pumps_on,
                situation: situation.name.clone(),
                harms: harms
                    .iter()
                    .map(|harm| HarmOfState {
                        kind: harm.kind,
                        victim: station.name_of(harm.victim).to_owned(),
                        flow_m3_per_s: harm.flow_m3_s,
                        seconds_to_harm: harm.seconds,
                    })
                    .collect(),
            });
        }
    }
    Ok(all)
}
