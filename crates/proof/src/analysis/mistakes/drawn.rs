//! Which water runs into a container: whether it is either water at all, and whether it is the one that a task draws.
//!
//! A container is empty at first, so that what arrives is what stands in it; it is spoiled as soon as more than a heel of it
//! is there. Whoever holds a valve open that closes by itself catches it, too.

use station::plumbing::End;
use station::sections::Water;

use super::super::plumbing::STILL_M3_S;
use super::judge::{Harm, all_to_come_m3, sum};
use super::kind::Kind;
use super::moment::{FRESH, HEEL, Moment};
use super::outcome::Outcome;

/// Two salinities that differ by less are of one water.
const ONE_WATER: f64 = 0.01;

/// Two waters in one container, at a salinity that is neither fresh nor as salty as any vessel's was mixed.
pub(super) fn neither_water(moment: &Moment<'_>, draw: usize, outcomes: &[&Outcome]) -> Option<Harm> {
    let victim = End::Draw(draw);
    let salts = || moment.vessels.iter().filter(|own| own.water == Water::Salt);
    // Thin water of a tank alone is one water.
    let is_mixed = |salinity: f64| {
        let mut touching = outcomes
            .iter()
            .filter(|outcome| outcome.exchanges.iter().any(|own| own.end == victim));
        touching.any(|outcome| {
            let mut given = outcome.exchanges.iter().filter(|own| own.flow_m3_s < 0.0);
            given.any(|own| (own.salinity - salinity).abs() > ONE_WATER)
        })
    };
    caught(moment, draw, outcomes, |salinity| {
        salinity >= FRESH
            && salts().next().is_some()
            && !salts().any(|own| own.is_as_mixed(salinity))
            && is_mixed(salinity)
    })
}

/// Water that isn't its source's, though it may be good water of another.
pub(super) fn other_water(
    moment: &Moment<'_>,
    (source, draw): (usize, usize),
    outcomes: &[&Outcome],
) -> Option<Harm> {
    let own = &moment.vessels[source];
    caught(moment, draw, outcomes, |salinity| match own.water {
        Water::Fresh => salinity > own.spoiled_at,
        Water::Salt => !own.is_as_mixed(salinity),
    })
}

fn caught(
    moment: &Moment<'_>,
    draw: usize,
    outcomes: &[&Outcome],
    is_wrong: impl Fn(f64) -> bool,
) -> Option<Harm> {
    let victim = End::Draw(draw);
    let sum = sum(victim, outcomes);
    let little_m3 = HEEL * moment.draws[draw].container_m3;
    let seconds = little_m3 / sum.gains_m3_s;
    let is_harm = sum.gains_m3_s > STILL_M3_S
        && seconds <= moment.unnoticed_s
        && is_wrong(sum.arriving_salinity())
        && all_to_come_m3(moment, victim, outcomes) >= little_m3;
    is_harm.then_some(Harm {
        kind: Kind::WrongWaterDrawn,
        victim,
        flow_m3_s: sum.gains_m3_s,
        seconds,
    })
}
