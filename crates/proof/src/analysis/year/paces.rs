//! The same stretch of time at both paces: the evidence that the coarse one may be believed.

use serde::Serialize;
use station::Station;

use super::YearFault;
use super::prepare::{Prepared, prepare};
use crate::analysis::plain_network;
use crate::method::Refusal;
use crate::plant::{
    Account, Chance, Coarse, DAY_S, Fine, Network, Outside, Pace, Plant, State, Tally, drive, finish,
};

/// What a stretch of time came to at one pace.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stretch {
    /// Purified water into vessels, m³.
    pub permeate_m3: f64,
    /// Water to the drain, m³.
    pub reject_m3: f64,
    /// Salt of the tap that the resin took, kg.
    pub resin_kg: f64,
    /// Fresh and salt water to the tanks, m³.
    pub to_tanks_m3: [f64; 2],
    /// Sea salt to the tanks, kg.
    pub to_tanks_kg: f64,
    /// Dry mix, kg.
    pub mix_kg: f64,
    /// What evaporated from the vessels, m³.
    pub evaporated_m3: f64,
    /// The least that was at hand, fresh and salt, m³.
    pub lowest_m3: [f64; 2],
    /// Volume in each vessel at the end, m³.
    pub volumes_m3: Vec<f64>,
    /// Practical salinity in each vessel at the end.
    pub salinities: Vec<f64>,
    /// Runs of the purifier that ended, m³.
    pub runs_m3: Vec<f64>,
    /// Time that the purifier ran, s.
    pub running_s: f64,
    /// People's time, s.
    pub work_s: f64,
    /// Shares of water and salt that the books lost.
    pub residuals: (f64, f64),
    /// Events.
    pub events: u64,
}

/// A stretch of days at both paces, by the values of the file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Paces {
    /// Second by second.
    pub fine: Stretch,
    /// From event to event.
    pub coarse: Stretch,
}

/// What is followed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Followed {
    /// The first day, from 0 at the beginning of the year.
    pub from_day: f64,
    /// How many days.
    pub days: f64,
    /// The chance of it.
    pub seed: u64,
    /// Relative tolerance of a step of the fine pace.
    pub tolerance: f64,
}

impl Default for Followed {
    fn default() -> Self {
        Self {
            from_day: 0.0,
            days: 7.0,
            seed: 1,
            tolerance: 1e-7,
        }
    }
}

/// Follows a station through a stretch of days at both paces.
///
/// # Errors
/// [`YearFault`].
pub fn paces(station: &Station, followed: &Followed) -> Result<Paces, YearFault> {
    let prepared = prepare(station, false)?;
    let plant = &prepared.nominal;
    let coarse = stretch(plant, followed, &mut Coarse)?;
    let pipework = if station.is_plumbed() {
        plain_network(station).ok()
    } else {
        None
    };
    let network = pipework.as_ref().map(|pipework| Network::new(station, pipework));
    let Prepared { membranes, .. } = &prepared;
    let mut fine = Fine::new(network.as_ref(), membranes.clone(), followed.tolerance);
    let fine = stretch(plant, followed, &mut fine)?;
    Ok(Paces { fine, coarse })
}

fn stretch<P: Pace>(plant: &Plant, followed: &Followed, pace: &mut P) -> Result<Stretch, Refusal> {
    let from_s = followed.from_day * DAY_S;
    let mut state = State::begin(plant, from_s, Chance::new(followed.seed, 0));
    state.tally = Tally::begin(from_s);
    drive(plant, &mut state, pace, from_s + followed.days * DAY_S)?;
    finish(plant, &mut state);
    let of = |outside| state.books.of(Account::Outside(outside));
    let vessels = 0..plant.vessels.len();
    Ok(Stretch {
        permeate_m3: state.tally.permeate_m3,
        reject_m3: state.tally.reject_m3 + state.tally.flushed_m3,
        resin_kg: of(Outside::Resin).salt_kg,
        to_tanks_m3: state.tally.to_tanks_m3,
        to_tanks_kg: of(Outside::Tanks).salt_kg,
        mix_kg: state.tally.mix_kg,
        evaporated_m3: of(Outside::Air).water_m3,
        lowest_m3: state.tally.lowest_m3,
        volumes_m3: vessels.clone().map(|at| state.volume_m3(plant, at)).collect(),
        salinities: vessels
            .map(|at| plant.brine.practical_salinity(state.books.vessel(at)))
            .collect(),
        runs_m3: state.tally.runs_m3.clone(),
        running_s: state.tally.running_s,
        work_s: state.tally.work_s.iter().sum(),
        residuals: state.books.residuals(),
        events: state.tally.events,
    })
}
