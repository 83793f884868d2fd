//! What the air takes: water from vessels under their lids and from tanks, as the season has it. Salt stays.
//!
//! A tank that nobody tops off goes on giving what it gave, for its walls are upright, until it is as good as dry. That its
//! salt holds water back isn't counted: at twice the salt of the sea the vapour pressure is lower by two in a hundred
//! (Robinson 1954; from memory).

use super::ledger::{Ledger, take};
use super::tank::least_m3;
use crate::alone::{Ground, State};
use crate::plant::Amount;

/// A body gives at most this share of its water in a step: what is nearly dry gives ever less.
const MOST: f64 = 0.5;

/// What evaporates, m³/s.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Air {
    pub(super) vessels: Vec<f64>,
    pub(super) tanks: Vec<f64>,
}

impl Air {
    /// As it is at a time of the year.
    pub(super) fn at(ground: &Ground<'_>, season_s: f64) -> Self {
        let plant = ground.plant;
        let vessels = plant.vessels.iter();
        let tanks = plant.tanks.iter();
        Self {
            vessels: vessels.map(|own| own.evaporation_m3_s.at(season_s)).collect(),
            // People top off what has evaporated.
            tanks: tanks.map(|own| own.top_off_m3_s.at(season_s)).collect(),
        }
    }

    /// Takes what a time takes out of every body.
    pub(super) fn dry(&self, ground: &Ground<'_>, state: &mut State, ledger: &mut Ledger, seconds: f64) {
        for (vessel, rate_m3_s) in self.vessels.iter().enumerate() {
            let gone_m3 = (rate_m3_s * seconds).min(MOST * state.contents[vessel].water_m3.max(0.0));
            take(&mut state.contents[vessel], Amount::water(gone_m3));
            ledger.evaporated_m3 += gone_m3;
        }
        for (tank, rate_m3_s) in self.tanks.iter().enumerate() {
            let stands_m3 = ground.station.tanks[tank].fields.volume.value.m3() + state.gained_m3[tank];
            let left_m3 = (stands_m3 - least_m3(ground, tank)).max(0.0);
            let gone_m3 = (rate_m3_s * seconds).min(left_m3);
            state.gained_m3[tank] -= gone_m3;
            take(&mut ledger.tanks[tank], Amount::water(gone_m3));
            ledger.dried_m3[tank] += gone_m3;
            ledger.evaporated_m3 += gone_m3;
        }
    }
}
