//! What a person does while nothing else can come between: over in the turn of the loop in which it was begun.
//!
//! Where the purifier stands and no clock strikes before the end, a piece of work only lets time pass, and water that is
//! carried in buckets leaves its vessel at one rate, at both paces. So a visit that only tops off is one event, from its
//! arrival to its leaving. Whatever isn't as plain as that goes its way through the loop and comes to the same.

use super::body::Plant;
use super::books::Account;
use super::coarse::moved;
use super::drive::{look, refresh};
use super::jobs::{end_moving, end_work};
use super::person::{Doing, Moving};
use super::state::State;

/// Nearer than that to a mark, the loop looks for it, m³.
const NEAR_MARK_M3: f64 = 1e-8;

/// Brings what is in hand to its end, if nothing can come between; whether it did.
pub(super) fn end_at_once(plant: &Plant, state: &mut State) -> bool {
    if state.jumped || state.running.on || state.flows.any() {
        return false;
    }
    match state.person.doing {
        Doing::Nothing => false,
        Doing::Working { since_s, then } => {
            let ends_s = state.person.next_s;
            let alone = ends_s < state.others_s();
            if alone {
                refresh(plant, state);
                let before_s = state.t_s;
                state.t_s = ends_s;
                look(plant, state, before_s);
                end_work(plant, state, since_s, then);
            }
            alone
        }
        Doing::Moving(Moving {
            from,
            to: to @ Account::Outside(_),
            left_m3,
            rate_m3_s,
            lineup: None,
            ..
        }) => {
            let ends_s = state.t_s + left_m3 / rate_m3_s;
            let lowest_m3 = state.volume_m3(plant, from) - left_m3;
            let alone = ends_s < state.others_s() && lowest_m3 > state.quiet[from].below_m3 + NEAR_MARK_M3;
            if alone {
                refresh(plant, state);
                let before_s = state.t_s;
                moved(plant, state, from, to, left_m3);
                state.t_s = ends_s;
                look(plant, state, before_s);
                if let Doing::Moving(moving) = &mut state.person.doing {
                    moving.left_m3 = 0.0;
                }
                end_moving(plant, state);
            }
            alone
        }
        Doing::Moving(_) => false,
    }
}
