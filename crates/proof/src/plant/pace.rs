//! How the plant gets from one event to the next: the one thing in which the two paces differ.

use super::body::Plant;
use super::state::State;
use crate::method::Refusal;

/// What happened in a vessel before the time was up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Crossing {
    /// A level switch, by its vessel and its place there, is wet or dry now.
    Switch { vessel: usize, at: usize, on: bool },
    /// A float closed or opened.
    Float { vessel: usize, open: bool },
    /// What was to be moved has been moved, or no more comes.
    Moved,
    /// What is flushed has been flushed.
    Flushed,
}

/// A pace.
pub(crate) trait Pace {
    /// Moves the state on to a time, or to the first crossing before it, and books what flowed meanwhile.
    ///
    /// # Errors
    /// [`Refusal`] where flows can't be computed.
    fn advance(
        &mut self,
        plant: &Plant,
        state: &mut State,
        until_s: f64,
    ) -> Result<Option<Crossing>, Refusal>;
}

/// The crossing that a state has already made and that nobody has told yet: after salt, a delivery, a script.
pub(crate) fn overdue(plant: &Plant, state: &mut State) -> Option<Crossing> {
    if !state.jumped {
        return None;
    }
    for (vessel, switches) in plant.wiring.switches.iter().enumerate() {
        let float = plant.vessels[vessel].float_m3;
        if switches.is_empty() && float.is_none() {
            continue;
        }
        let volume_m3 = state.volume_m3(plant, vessel);
        for (at, switch) in switches.iter().enumerate() {
            let wet = state.inputs[switch.input];
            if !wet && volume_m3 > switch.wets_m3 + CLOSE_M3 {
                return Some(Crossing::Switch { vessel, at, on: true });
            }
            if wet && volume_m3 < switch.dries_m3 - CLOSE_M3 {
                return Some(Crossing::Switch {
                    vessel,
                    at,
                    on: false,
                });
            }
        }
        if let Some((closes_m3, opens_m3)) = float {
            let open = state.float_open[vessel];
            if open && volume_m3 > closes_m3 + CLOSE_M3 {
                return Some(Crossing::Float { vessel, open: false });
            }
            if !open && volume_m3 < opens_m3 - CLOSE_M3 {
                return Some(Crossing::Float { vessel, open: true });
            }
        }
    }
    state.jumped = false;
    None
}

/// A microlitre: nearer than that a mark is met.
pub(crate) const CLOSE_M3: f64 = 1e-9;
