//! From a station to the plants of its years: one for each draw of what is doubtful.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use station::Station;
use station::control::Program;

use super::{MOST_VESSELS, YearFault};
use crate::analysis::{Made, plain_network};
use crate::assess::{Assessment, Scope, assess};
use crate::method::Refusal;
use crate::plant::{Comes, Known, Membranes, NameKey, Network, Odd, Plant, Times, USUAL_ODD_S, build};
use crate::sheet::NodeId;

/// Everything that the years of a station need.
pub(crate) struct Prepared {
    /// By the values of the file.
    pub(crate) nominal: Plant,
    /// By each draw that makes a plant, in their order; empty where nothing is doubtful.
    pub(crate) drawn: Vec<Drawn>,
    /// Membranes by state of the feed, for the fine pace.
    pub(crate) membranes: Vec<Option<Membranes>>,
}

/// A plant by one draw of what is doubtful.
pub(crate) struct Drawn {
    /// Which draw: stations that share a field share its value in the draw of a number.
    row: usize,
    plant: Plant,
}

impl Prepared {
    /// The plant of a year.
    pub(crate) fn plant(&self, year: u32) -> &Plant {
        match self.drawn.len() {
            0 => &self.nominal,
            drawn => &self.drawn[year as usize % drawn].plant,
        }
    }
}

/// Leaves out the draws that make no plant of one of several stations, so that a year has the same draw in all of them. One
/// in which nothing is doubtful is the same in each.
pub(crate) fn pair(all: &mut [Prepared]) {
    let rows =
        |prepared: &Prepared| -> BTreeSet<usize> { prepared.drawn.iter().map(|drawn| drawn.row).collect() };
    let doubtful = all.iter().map(rows).filter(|rows| !rows.is_empty());
    let Some(shared) = doubtful.reduce(|shared, rows| &shared & &rows) else {
        return;
    };
    for prepared in all {
        prepared.drawn.retain(|drawn| shared.contains(&drawn.row));
    }
}

/// Prepares a station.
///
/// # Errors
/// [`YearFault`] where it has no vessels or its control is too large.
pub(crate) fn prepare(station: &Station, draws: bool) -> Result<Prepared, YearFault> {
    if station.vessels.is_empty() {
        return Err(YearFault::NoVessels);
    }
    if station.vessels.len() > MOST_VESSELS {
        return Err(YearFault::Vessels {
            given: station.vessels.len(),
        });
    }
    let assessment = assess(station, Scope::All);
    let program = Program::of(station).map_err(|error| YearFault::Control {
        reason: error.to_string(),
    })?;
    let (odd, mut membranes) = odd_states(station, &assessment);
    let usual = assessment.supply.purifier.as_ref();
    membranes.insert(0, usual.and_then(|made| Membranes::of(&assessment.sheet, made)));
    let known = Known {
        station,
        assessment: &assessment,
        program: Arc::new(program),
        odd,
        times: times(station)?,
    };
    let sheet = &assessment.sheet;
    // The first time tells which nodes are read.
    let mut read: BTreeMap<NodeId, usize> = BTreeMap::new();
    let nominal = build(&known, &mut |node: NodeId| {
        let next = read.len();
        read.entry(node).or_insert(next);
        sheet.value(node)
    })?;
    let mut nodes = vec![None; read.len()];
    for (node, at) in &read {
        nodes[*at] = Some(*node);
    }
    let nodes: Vec<NodeId> = nodes.into_iter().flatten().collect();
    let mut drawn = Vec::new();
    if draws {
        for (row, values) in sheet.drawn(&nodes).into_iter().enumerate() {
            let mut reader = |node: NodeId| {
                read.get(&node)
                    .map_or_else(|| sheet.value(node), |at| values[*at])
            };
            // A draw that makes no plant is left out, as one is that makes no figure.
            if let Ok(plant) = build(&known, &mut reader) {
                drawn.push(Drawn { row, plant });
            }
        }
    }
    drop(known);
    Ok(Prepared {
        nominal,
        drawn,
        membranes,
    })
}

/// Times of the tasks by the network; nothing where none is plumbed or it can't be computed, which is told elsewhere.
fn times(station: &Station) -> Result<Vec<Option<Arc<Times>>>, Refusal> {
    if !station.is_plumbed() {
        return Ok(Vec::new());
    }
    let Ok(pipework) = plain_network(station) else {
        return Ok(Vec::new());
    };
    Ok(Network::new(station, &pipework).times())
}

/// The odd states of the feed that come, as shares of the usual one, and their membranes.
fn odd_states(station: &Station, usual: &Assessment) -> (Vec<Odd>, Vec<Option<Membranes>>) {
    let (mut odd, mut membranes) = (Vec::new(), Vec::new());
    let Some(usual) = &usual.supply.purifier else {
        return (odd, membranes);
    };
    for state in &station.feed_states {
        let fields = &state.fields;
        let every_s = fields.every.as_ref().map(|every| every.value.s());
        let in_month = fields
            .in_month
            .as_ref()
            .map(|month| month.value.months_after(station::sections::Month::January));
        if every_s.is_none() && in_month.is_none() {
            continue;
        }
        let Ok(then) = station.in_feed_state(&state.name) else {
            continue;
        };
        let assessed = assess(&then, Scope::WithoutPlumbing);
        let comes = Comes {
            key: NameKey::of(&state.name),
            every_s,
            in_month,
            lasts_s: fields.lasts.as_ref().map_or(USUAL_ODD_S, |lasts| lasts.value.s()),
        };
        let made = assessed.supply.purifier.as_ref();
        odd.push(shares(usual, made, comes));
        membranes.push(made.and_then(|made| Membranes::of(&assessed.sheet, made)));
    }
    (odd, membranes)
}

/// Month by month over the usual feed; no water at all where the purifier gives none then.
fn shares(usual: &Made, then: Option<&Made>, comes: Comes) -> Odd {
    let none = Odd {
        permeate: [0.0; 12],
        reject: [0.0; 12],
        solids: [1.0; 12],
        feed: 1.0,
        comes,
    };
    let Some(then) = then else {
        return none;
    };
    let mut odd = none;
    let share = |then: f64, usual: f64| if usual > 0.0 { then / usual } else { 0.0 };
    for (at, (own, usual)) in then.months.iter().zip(&usual.months).enumerate().take(12) {
        odd.permeate[at] = share(own.permeate_m3_per_s.value, usual.permeate_m3_per_s.value);
        odd.reject[at] = share(own.reject_m3_per_s.value, usual.reject_m3_per_s.value);
        odd.solids[at] = share(own.permeate_solids_kg_m3.value, usual.permeate_solids_kg_m3.value);
    }
    odd.feed = share(then.feed_solids_kg_m3.value, usual.feed_solids_kg_m3.value);
    odd
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two of a station, one of which is without two of its draws: those that both have stay with each other.
    #[test]
    fn a_draw_that_makes_no_plant_shifts_no_other() {
        let text = include_str!("../../../../../stations/juniper-street-school.toml");
        let station = Station::read(text).expect("an example of the project");
        let mut both = [0, 1].map(|_| prepare(&station, true).expect("it has vessels"));
        let given = both[0].drawn.len();
        assert!(given > 10, "{given}");
        both[0].drawn.remove(7);
        both[1].drawn.remove(3);
        let evaporation = |prepared: &Prepared, year: u32| prepared.plant(year).tanks[0].top_off_m3_s;
        assert_ne!(evaporation(&both[0], 5), evaporation(&both[1], 5));
        pair(&mut both);
        for prepared in &both {
            assert_eq!(prepared.drawn.len(), given - 2);
        }
        for year in 0..2 * given as u32 {
            assert_eq!(evaporation(&both[0], year), evaporation(&both[1], year));
        }
    }

    /// Where nothing of a station is doubtful the draws of the others stay.
    #[test]
    fn who_has_no_doubt_has_the_same_plant_every_year() {
        let text = include_str!("../../../../../stations/juniper-street-school.toml");
        let station = Station::read(text).expect("an example of the project");
        let mut both = [true, false].map(|draws| prepare(&station, draws).expect("it has vessels"));
        let given = both[0].drawn.len();
        pair(&mut both);
        assert_eq!((both[0].drawn.len(), both[1].drawn.len()), (given, 0));
    }
}
