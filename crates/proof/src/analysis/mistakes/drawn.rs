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

/// Fresh and other water in one container, at a salinity that is neither fresh nor as salty as it was mixed.
pub(super) fn neither_water(moment: &Moment<'_>, draw: usize, outcomes: &[&Outcome]) -> Option<Harm> {
    let victim = End::Draw(draw);
    let mut touching = outcomes
        .iter()
        .filter(|outcome| outcome.exchanges.iter().any(|own| own.end == victim));
    // Thin water of a tank is one water.
    let fresh_comes = touching.any(|outcome| {
        let mut given = outcome.exchanges.iter().filter(|own| own.flow_m3_s < 0.0);
        given.any(|own| own.salinity <= FRESH)
    });
    let is_neither = |salinity: f64| (FRESH..moment.thinnest).contains(&salinity);
    caught(moment, draw, outcomes, |salinity| {
        fresh_comes && is_neither(salinity)
    })
}

/// Water that isn't its source's, though it may be good water of the other kind.
pub(super) fn other_water(
    moment: &Moment<'_>,
    (source, draw): (usize, usize),
    outcomes: &[&Outcome],
) -> Option<Harm> {
    let own = &moment.vessels[source];
    caught(moment, draw, outcomes, |salinity| match own.water {
        Water::Fresh => salinity >= FRESH,
        Water::Salt => salinity < own.spoiled_at,
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
    is_harm.then(|| Harm {
        kind: Kind::WrongWaterDrawn,
        victim,
        flow_m3_s: sum.gains_m3_s,
        seconds,
    })
}
