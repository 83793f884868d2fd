//! Where there are too many positions to look at each: what is looked at in their place.
//!
//! Three things, and the answer says so: every position of each part of the plumbing that is small enough by itself,
//! every simple way of water from one open end to another with its pumps standing and running, and every position within
//! two moves of a task or of rest.

use std::collections::BTreeMap;

use physics::hydraulics::friction::FrictionLaw;

use super::super::plumbing::Lineup;
use super::blocks::{blocks, subsets};
use super::ids::HarmSet;
use super::minimal::Everything;
use super::moves::setting_of;
use super::survey::{Ground, Survey};
use super::switches::Position;
use crate::method::Refusal;
use crate::threads::joined;

/// The most switches of a part of which every position is looked at.
const MOST_OF_PART: u32 = 12;
/// The most ways that are followed.
const MOST_WAYS: usize = 4096;

/// Looks at what can be looked at.
pub(super) fn partial<F: FrictionLaw + Send>(
    ground: &Ground<'_>,
    surveys: &mut [Survey<'_, F>],
    lineups: &[Lineup],
) -> Result<Everything, Refusal> {
    let mut wanted: BTreeMap<Position, ()> = BTreeMap::new();
    let mut add = |position: Position| {
        if ground.switches.can_be(position) {
            wanted.insert(position, ());
        }
    };
    let all = blocks(ground.graph);
    let (small, large): (Vec<_>, Vec<_>) = all
        .iter()
        .partition(|block| block.mask.count_ones() <= MOST_OF_PART);
    for block in &small {
        subsets(block.mask, &mut add);
    }
    let ways = ground.graph.ways(MOST_WAYS);
    for way in &ways {
        add(way.valves);
        subsets(way.pumps, &mut |pumps| add(way.valves | pumps));
    }
    let stops = lineups
        .iter()
        .filter_map(|lineup| setting_of(ground.station, lineup))
        .map(|setting| ground.switches.position_of(&setting));
    for stop in core::iter::once(0).chain(stops) {
        add(stop);
        for one in 0..ground.switches.count() {
            let Some(first) = ground.switches.moved(stop, one) else {
                continue;
            };
            add(first);
            for two in 0..ground.switches.count() {
                if let Some(second) = ground.switches.moved(first, two) {
                    add(second);
                }
            }
        }
    }
    let positions: Vec<Position> = wanted.into_keys().collect();
    let walked: Vec<Result<Vec<HarmSet>, Refusal>> = std::thread::scope(|scope| {
        let threads: Vec<_> = surveys
            .iter_mut()
            .map(|survey| {
                let positions = &positions;
                scope.spawn(move || {
                    positions
                        .iter()
                        .map(|position| survey.harm_set(*position))
                        .collect()
                })
            })
            .collect();
        threads.into_iter().map(joined).collect()
    });
    let sets = walked.into_iter().collect::<Result<Vec<_>, Refusal>>()?;
    let followed = if ways.len() == MOST_WAYS {
        format!("the first {MOST_WAYS} ways of water from one open end to another")
    } else {
        "every way of water from one open end to another".to_owned()
    };
    let parts = match (small.len(), large.len()) {
        (0, _) => String::new(),
        (n, 0) => format!("every position of each of the {n} parts of the plumbing by itself, "),
        (n, m) => format!(
            "every position of {n} small {} of the plumbing by itself, not of {m} with more than {MOST_OF_PART} valves and pumps, ",
            if n == 1 { "part" } else { "parts" }
        ),
    };
    Ok(Everything {
        exhaustive: format!(
            "{parts}{followed} with its pumps standing and running, and every position within two moves of a task or of rest; other positions weren't looked at"
        ),
        minimal: minimal(&positions, &sets),
        positions: positions.len() as u64,
        tally: sets
            .into_iter()
            .flatten()
            .filter(|set| *set != 0)
            .map(|set| (set, 1))
            .collect(),
    })
}

/// Of the positions that were looked at those of which no part that was looked at does the same.
fn minimal(positions: &[Position], sets: &[Vec<HarmSet>]) -> Vec<(Position, HarmSet)> {
    let mut order: Vec<(Position, HarmSet)> = positions
        .iter()
        .enumerate()
        .map(|(at, position)| (*position, sets.iter().fold(0, |any, sets| any | sets[at])))
        .filter(|(_, set)| *set != 0)
        .collect();
    order.sort_by_key(|(position, _)| (position.count_ones(), *position));
    let mut kept: Vec<(Position, HarmSet)> = Vec::new();
    for (position, set) in order {
        let parts = kept
            .iter()
            .filter(|(part, _)| part & position == *part)
            .fold(0, |parts, (_, set)| parts | set);
        if set & !parts != 0 {
            kept.push((position, set & !parts));
        }
    }
    kept
}
