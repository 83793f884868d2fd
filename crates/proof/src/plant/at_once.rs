//! What a person does while nothing else can come between: over in the turn of the loop in which it was begun.
//!
//! Where the purifier stands and no clock strikes before the end, a piece of work only lets time pass, and water that is
//! carried in buckets leaves its vessel at one rate, at both paces. So a visit that only tops off is one event, from its
//! arrival to its leaving. Whatever isn't as plain as that goes its way through the loop and comes to the same.

use super::body::Plant;
use super::books::Account;
use super::coarse::moved;
use super::drive::{look_at_flow, look_at_rest, refresh};
use super::jobs::end_work;
use super::person::{Doing, Load};
use super::state::State;

/// Nearer than that to a mark, the loop looks for it, m³.
const NEAR_MARK_M3: f64 = 1e-8;

/// Brings a piece of work that was begun to its end, if nothing can come between; whether it did.
pub(super) fn end_at_once(plant: &Plant, state: &mut State) -> bool {
    let Doing::Working { since_s, then } = state.person.doing else {
        return false;
    };
    let ends_s = state.person.next_s;
    let alone = is_still(state) && ends_s < state.others_s();
    if alone {
        refresh(plant, state);
        look_at_rest(plant, state, ends_s - state.t_s);
        state.t_s = ends_s;
        end_work(plant, state, since_s, then);
    }
    alone
}

/// Carries a load away in a time that nothing changes, if nothing can come between; whether it did.
#[inline]
pub(super) fn carry_at_once(plant: &Plant, state: &mut State, load: &Load, seconds: f64) -> bool {
    let Load {
        from,
        to: to @ Account::Outside(_),
        volume_m3,
        ..
    } = *load
    else {
        return false;
    };
    let ends_s = state.t_s + seconds;
    let lowest_m3 = state.volume_m3(plant, from) - volume_m3;
    let alone =
        is_still(state) && ends_s < state.others_s() && lowest_m3 > state.quiet[from].below_m3 + NEAR_MARK_M3;
    if alone {
        refresh(plant, state);
        moved(plant, state, from, to, volume_m3);
        look_at_flow(plant, state, ends_s - state.t_s);
        state.t_s = ends_s;
    }
    alone
}

/// Whether nothing flows, and nothing stands otherwise than it is known to.
#[inline]
fn is_still(state: &State) -> bool {
    !(state.jumped || state.running.on || state.flows.any())
}
