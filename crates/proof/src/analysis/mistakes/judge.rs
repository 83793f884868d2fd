//! Whether what flows does harm, to whom, and how soon.
//!
//! Flows are taken to go on as they begin. As a source sinks and what it fills rises, they fade, so that harm comes when it
//! is told or later; what comes to a stop before, because levels meet or the source has no more to give, does no harm.

use station::plumbing::End;
use station::sections::Water;

use super::super::plumbing::STILL_M3_S;
use super::drawn::neither_water;
use super::kind::{Kind, Victim};
use super::moment::{HEEL, Moment};
use super::outcome::{Exchange, Fares, Outcome};
use super::pumps::of_pumps;

/// One harm of a position at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Harm {
    pub(super) kind: Kind,
    pub(super) victim: Victim,
    /// The flow that does it; 0 where none flows.
    pub(super) flow_m3_s: f64,
    /// Until it has done it.
    pub(super) seconds: f64,
}

/// What an end gains and gives.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Sum {
    pub(super) gains_m3_s: f64,
    salt: f64,
    gives_m3_s: f64,
}

impl Sum {
    pub(super) fn net_m3_s(self) -> f64 {
        self.gains_m3_s - self.gives_m3_s
    }

    pub(super) fn arriving_salinity(self) -> f64 {
        self.salt / self.gains_m3_s
    }
}

/// All harm of the patterns of one position.
pub(super) fn judge(moment: &Moment<'_>, outcomes: &[&Outcome], harms: &mut Vec<Harm>) {
    harms.clear();
    for end in moment.ends() {
        of_end(moment, end, outcomes, harms);
    }
    of_pumps(moment, outcomes, harms);
    in_time(moment, harms);
}

/// The harm at one vessel, tank or draw point. It hangs on no outcome that doesn't touch that end.
pub(super) fn judge_end(moment: &Moment<'_>, end: End, outcomes: &[&Outcome], harms: &mut Vec<Harm>) {
    harms.clear();
    of_end(moment, end, outcomes, harms);
    in_time(moment, harms);
}

/// Leaves out what comes after somebody has noticed.
pub(super) fn in_time(moment: &Moment<'_>, harms: &mut Vec<Harm>) {
    harms.retain(|harm| harm.seconds <= moment.unnoticed_s);
}

fn of_end(moment: &Moment<'_>, end: End, outcomes: &[&Outcome], harms: &mut Vec<Harm>) {
    match end {
        End::Vessel(at) => of_vessel(moment, at, outcomes, harms),
        End::Tank(at) => of_tank(moment, at, outcomes, harms),
        End::Draw(at) => of_draw(moment, at, outcomes, harms),
        End::Tee(_) | End::Pump(_) => {}
    }
}

/// What one end gains and gives in all patterns.
pub(super) fn sum(end: End, outcomes: &[&Outcome]) -> Sum {
    let mut sum = Sum::default();
    let own = outcomes.iter().flat_map(|outcome| &outcome.exchanges);
    for exchange in own.filter(|exchange| exchange.end == end) {
        if exchange.flow_m3_s > 0.0 {
            sum.gains_m3_s += exchange.flow_m3_s;
            sum.salt += exchange.flow_m3_s * exchange.salinity;
        } else {
            sum.gives_m3_s -= exchange.flow_m3_s;
        }
    }
    sum
}

/// What all others have to give of what arrives at an end.
pub(super) fn all_to_come_m3(moment: &Moment<'_>, end: End, outcomes: &[&Outcome]) -> f64 {
    let exchanges = || outcomes.iter().flat_map(|outcome| &outcome.exchanges);
    let givers = exchanges().filter(|own| own.flow_m3_s < 0.0).map(|own| own.end);
    let others = givers.enumerate().filter(|(_, giver)| *giver != end);
    let once = others.filter(|(at, giver)| {
        let mut before = exchanges().filter(|own| own.flow_m3_s < 0.0).take(*at);
        !before.any(|own| own.end == *giver)
    });
    once.map(|(_, giver)| to_come_m3(moment, end, giver, outcomes))
        .sum()
}

/// What another has to give to an end, once by however many lines: down to where the lowest of them begins, and without a
/// pump no lower than what it flows into.
fn to_come_m3(moment: &Moment<'_>, end: End, giver: End, outcomes: &[&Outcome]) -> f64 {
    let mut most: f64 = 0.0;
    for outcome in outcomes {
        let gives = |exchange: &&Exchange| exchange.end == giver && exchange.flow_m3_s < 0.0;
        let arrives = |exchange: &&Exchange| exchange.end == end && exchange.flow_m3_s > 0.0;
        let Some(from_m) = lowest_m(outcome, gives) else {
            continue;
        };
        let Some(arrives_m) = lowest_m(outcome, arrives) else {
            continue;
        };
        most = most.max(match giver {
            End::Vessel(vessel) => {
                let own = &moment.vessels[vessel];
                let against_m = against_m(moment, end, arrives_m, own.density_kg_m3, outcome);
                own.above_m3(from_m.max(against_m))
            }
            End::Tank(tank) => moment.tanks[tank].volume_m3,
            End::Draw(_) | End::Tee(_) | End::Pump(_) => 0.0,
        });
    }
    most
}

/// The lowest of some ends of lines.
fn lowest_m(outcome: &Outcome, is: impl Fn(&&Exchange) -> bool) -> Option<f64> {
    let heights = outcome.exchanges.iter().filter(is).map(|own| own.height_m);
    heights.min_by(f64::total_cmp)
}

/// The height that water of a density has to stand over to flow into an end: salt water does with less, fresh water
/// needs more.
fn against_m(moment: &Moment<'_>, end: End, arrives_m: f64, density_kg_m3: f64, outcome: &Outcome) -> f64 {
    let moves = |(_, fares): &(usize, Fares)| matches!(fares, Fares::Moves(_));
    let (surface_m, own_kg_m3) = match end {
        _ if outcome.pumps.iter().any(moves) => return f64::NEG_INFINITY,
        End::Vessel(vessel) => (
            moment.vessels[vessel].surface_m,
            moment.vessels[vessel].density_kg_m3,
        ),
        End::Tank(tank) => (
            moment.tanks[tank].surface_m.unwrap_or(f64::NEG_INFINITY),
            moment.tanks[tank].density_kg_m3,
        ),
        End::Draw(_) | End::Tee(_) | End::Pump(_) => return arrives_m,
    };
    arrives_m + (surface_m - arrives_m).max(0.0) * own_kg_m3 / density_kg_m3
}

fn of_vessel(moment: &Moment<'_>, at: usize, outcomes: &[&Outcome], harms: &mut Vec<Harm>) {
    let facts = &moment.vessels[at];
    let victim = End::Vessel(at);
    let sum = sum(victim, outcomes);
    let net = sum.net_m3_s();
    let to_come = || all_to_come_m3(moment, victim, outcomes);
    if net > STILL_M3_S {
        if !(facts.has_high_cutout && is_pumped(outcomes, victim)) {
            harms.extend(rising(
                moment,
                (facts.free_m3, net),
                to_come,
                (Kind::OverRim, victim),
            ));
        }
        if let Some(room_m3) = facts.to_drowned_fill_m3 {
            let harm = (Kind::BackflowToFeed, victim);
            harms.extend(rising(moment, (room_m3, net), to_come, harm));
        }
    } else if facts.to_drowned_fill_m3 == Some(0.0) {
        harms.push(Harm {
            kind: Kind::BackflowToFeed,
            victim,
            flow_m3_s: 0.0,
            seconds: 0.0,
        });
    }
    let sinking = -net - facts.fill_m3_s;
    if let Some(over_m3) = facts.over_heater_m3
        && over_m3 > 0.0
        && sinking > STILL_M3_S
        && over_m3 <= lost_m3(moment, at, outcomes)
    {
        harms.push(Harm {
            kind: Kind::HeaterUncovered,
            victim,
            flow_m3_s: sinking,
            seconds: over_m3 / sinking,
        });
    }
    let kind = match facts.water {
        Water::Fresh => Kind::SaltIntoFresh,
        Water::Salt => Kind::FreshIntoSalt,
    };
    // Nothing is lost with a heel.
    if facts.volume_m3 >= HEEL * (facts.volume_m3 + facts.free_m3) {
        let body = (facts.volume_m3, facts.salinity, facts.spoiled_at);
        harms.extend(spoiled(body, sum, to_come, (kind, victim)));
    }
}

/// How far a vessel can sink through its open lines: down to where they begin, and without a pump no lower than balances
/// the lowest of what it flows into.
fn lost_m3(moment: &Moment<'_>, at: usize, outcomes: &[&Outcome]) -> f64 {
    let facts = &moment.vessels[at];
    let own = |exchange: &&Exchange| exchange.end == End::Vessel(at) && exchange.flow_m3_s < 0.0;
    let mut most: f64 = 0.0;
    for outcome in outcomes {
        let Some(from_m) = lowest_m(outcome, own) else {
            continue;
        };
        let others = outcome
            .exchanges
            .iter()
            .filter(|exchange| exchange.flow_m3_s > 0.0);
        let down_to_m = others
            .map(|other| against_m(moment, other.end, other.height_m, facts.density_kg_m3, outcome))
            .fold(f64::INFINITY, f64::min);
        most = most.max(facts.above_m3(from_m.max(down_to_m)));
    }
    most
}

/// Whether a pump brings water to an end.
fn is_pumped(outcomes: &[&Outcome], end: End) -> bool {
    outcomes.iter().any(|outcome| {
        let touches = outcome.exchanges.iter().any(|exchange| exchange.end == end);
        let moves = |(_, fares): &(usize, Fares)| matches!(fares, Fares::Moves(_));
        touches && outcome.pumps.iter().any(moves)
    })
}

fn of_tank(moment: &Moment<'_>, at: usize, outcomes: &[&Outcome], harms: &mut Vec<Harm>) {
    let facts = &moment.tanks[at];
    let victim = End::Tank(at);
    let sum = sum(victim, outcomes);
    let net = sum.net_m3_s();
    let to_come = || all_to_come_m3(moment, victim, outcomes);
    if net > STILL_M3_S {
        let pumped = is_pumped(outcomes, victim);
        let kind = if pumped {
            Kind::OverRim
        } else {
            Kind::SiphonIntoTank
        };
        if !(pumped && facts.has_high_cutout) {
            harms.extend(rising(moment, (facts.headroom_m3, net), to_come, (kind, victim)));
        }
    }
    if sum.gives_m3_s > STILL_M3_S {
        let back = outcomes.iter().flat_map(|outcome| &outcome.exchanges);
        // What stands in the line comes first.
        let seconds = back
            .filter(|exchange| exchange.end == victim && exchange.flow_m3_s < -STILL_M3_S)
            .map(|exchange| moment.line_m3[exchange.line] / -exchange.flow_m3_s)
            .fold(f64::INFINITY, f64::min);
        harms.push(Harm {
            kind: Kind::TankDrawnBack,
            victim,
            flow_m3_s: sum.gives_m3_s,
            seconds,
        });
    }
    let body = (facts.volume_m3, facts.salinity, facts.spoiled_at);
    harms.extend(spoiled(body, sum, to_come, (Kind::FreshIntoSalt, victim)));
}

fn of_draw(moment: &Moment<'_>, at: usize, outcomes: &[&Outcome], harms: &mut Vec<Harm>) {
    let facts = &moment.draws[at];
    let victim = End::Draw(at);
    let sum = sum(victim, outcomes);
    if sum.gains_m3_s <= STILL_M3_S {
        return;
    }
    harms.extend(neither_water(moment, at, outcomes));
    if facts.held {
        return;
    }
    let filled = outcomes.iter().any(|outcome| {
        let ends_here = outcome.exchanges.iter().any(|exchange| exchange.end == victim);
        ends_here
            && outcome
                .exchanges
                .iter()
                .any(|exchange| is_filled(moment, exchange))
    });
    // A vessel that fills itself never has enough of it.
    let to_come = || {
        if filled {
            f64::INFINITY
        } else {
            all_to_come_m3(moment, victim, outcomes)
        }
    };
    let room = (facts.container_m3, sum.gains_m3_s);
    harms.extend(rising(moment, room, to_come, (Kind::ToFloor, victim)));
}

fn is_filled(moment: &Moment<'_>, exchange: &Exchange) -> bool {
    matches!(exchange.end, End::Vessel(vessel) if exchange.flow_m3_s < 0.0 && moment.vessels[vessel].fill_m3_s > 0.0)
}

/// What room there is, filled by a flow, as long as there is enough to come. That is asked last, since it takes longest.
fn rising(
    moment: &Moment<'_>,
    (room_m3, flow_m3_s): (f64, f64),
    to_come_m3: impl Fn() -> f64,
    (kind, victim): (Kind, Victim),
) -> Option<Harm> {
    let seconds = room_m3 / flow_m3_s;
    (seconds <= moment.unnoticed_s && to_come_m3() >= room_m3).then_some(Harm {
        kind,
        victim,
        flow_m3_s,
        seconds,
    })
}

/// Water of one salinity spoiled by what arrives.
///
/// With q arriving at salinity a, r the net gain and V₀ the volume at the beginning, s goes as
/// `a − (a − s₀)·(1 + r·t/V₀)^(−q/r)`, and as `a − (a − s₀)·exp(−q·t/V₀)` where r is 0: the balance of salt in a stirred
/// body (own derivation; `d(V·s)/dt = q·a − (q − r)·s`).
fn spoiled(
    (volume, own, limit): (f64, f64, f64),
    sum: Sum,
    to_come_m3: impl Fn() -> f64,
    (kind, victim): (Kind, Victim),
) -> Option<Harm> {
    if sum.gains_m3_s <= STILL_M3_S {
        return None;
    }
    let arriving = sum.arriving_salinity();
    let up = kind == Kind::SaltIntoFresh;
    let passes = if up {
        arriving > limit && own < limit
    } else {
        arriving < limit && own > limit
    };
    if !passes {
        return None;
    }
    let left = (arriving - limit) / (arriving - own);
    let (q, r) = (sum.gains_m3_s, sum.net_m3_s());
    let seconds = if r.abs() < 1e-6 * q {
        -libm::log(left) * volume / q
    } else {
        volume / r * (libm::pow(left, -r / q) - 1.0)
    };
    // Where nothing is circulated, all of it comes from elsewhere and must be there.
    let foreign_m3 = r.max(0.0) * seconds;
    // Of a body that drains away meanwhile a heel is no loss.
    let left_m3 = volume + r * seconds;
    let lasts = seconds.is_finite() && seconds >= 0.0 && left_m3 >= HEEL * volume;
    (lasts && foreign_m3 <= to_come_m3()).then_some(Harm {
        kind,
        victim,
        flow_m3_s: q,
        seconds,
    })
}
