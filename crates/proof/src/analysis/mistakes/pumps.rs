//! What pumps come to: without water, with air, against closed valves, or when what they draw from is empty.

use station::plumbing::End;

use super::super::plumbing::STILL_M3_S;
use super::judge::{Harm, in_time, sum};
use super::kind::Kind;
use super::moment::{HEEL, Moment};
use super::outcome::{Fares, Outcome};

/// The harm of the pumps of some outcomes.
pub(super) fn of_pumps(moment: &Moment<'_>, outcomes: &[&Outcome], harms: &mut Vec<Harm>) {
    for outcome in outcomes {
        for (pump, fares) in &outcome.pumps {
            harms.extend(by_itself(moment, *pump, *fares));
            harms.extend(emptying(moment, (*pump, *fares), outcomes, outcome, |_| true));
        }
    }
}

/// The harm of the pumps of one outcome, whatever else flows.
pub(super) fn judge_pumps(moment: &Moment<'_>, outcome: &Outcome, harms: &mut Vec<Harm>) {
    harms.clear();
    let own = outcome.pumps.iter();
    harms.extend(own.filter_map(|(pump, fares)| by_itself(moment, *pump, *fares)));
    in_time(moment, harms);
}

/// The harm of pumps that draw from a vessel until it is empty. It hangs on no outcome that doesn't touch that vessel.
pub(super) fn judge_drawn(moment: &Moment<'_>, vessel: usize, outcomes: &[&Outcome], harms: &mut Vec<Harm>) {
    harms.clear();
    for outcome in outcomes {
        let own = outcome.pumps.iter();
        harms.extend(own.filter_map(|pump| emptying(moment, *pump, outcomes, outcome, |at| at == vessel)));
    }
    in_time(moment, harms);
}

/// What a pump comes to whatever else flows.
fn by_itself(moment: &Moment<'_>, pump: usize, fares: Fares) -> Option<Harm> {
    let facts = &moment.pumps[pump];
    let (kind, seconds) = match fares {
        // A switch that feels the flow is not deceived by none; it is by water with air in it.
        Fares::Air => (Kind::PumpDry, 0.0),
        _ if facts.flow_switch => return None,
        Fares::Closed => (Kind::PumpAgainstClosed, facts.suffers_s),
        Fares::Dry => (Kind::PumpDry, 0.0),
        Fares::Moves(_) => return None,
    };
    Some(Harm {
        kind,
        victim: End::Pump(pump),
        flow_m3_s: 0.0,
        seconds,
    })
}

/// What a pump comes to that moves water: dry when the first vessel of some that its pattern draws from is empty, where no
/// cut-out stops it before.
fn emptying(
    moment: &Moment<'_>,
    (pump, fares): (usize, Fares),
    outcomes: &[&Outcome],
    outcome: &Outcome,
    counts: impl Fn(usize) -> bool,
) -> Option<Harm> {
    let Fares::Moves(flow_m3_s) = fares else {
        return None;
    };
    if moment.pumps[pump].flow_switch {
        return None;
    }
    let soonest = outcome
        .exchanges
        .iter()
        .filter_map(|exchange| match exchange.end {
            End::Vessel(vessel) if exchange.flow_m3_s < -STILL_M3_S => Some((vessel, exchange.height_m)),
            _ => None,
        })
        .filter(|(vessel, _)| counts(*vessel) && !moment.vessels[*vessel].has_cutout)
        .filter_map(|(vessel, outlet_m)| {
            let facts = &moment.vessels[vessel];
            let sinking = -sum(End::Vessel(vessel), outcomes).net_m3_s() - facts.fill_m3_s;
            let above_m3 = facts.above_m3(outlet_m);
            // Nobody begins with an empty vessel.
            let empty = above_m3 < HEEL * (facts.volume_m3 + facts.free_m3);
            (sinking > STILL_M3_S && !empty).then(|| above_m3 / sinking)
        })
        .min_by(f64::total_cmp);
    soonest.map(|seconds| Harm {
        kind: Kind::PumpDry,
        victim: End::Pump(pump),
        flow_m3_s,
        seconds,
    })
}
