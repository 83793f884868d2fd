//! How the plant gets from one event to the next: the one thing in which the two paces differ.

use super::body::Plant;
use super::state::State;
use crate::method::Refusal;

/// What happened in a vessel before the time was up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Crossing {
    /// A level switch is wet or dry now.
    Switch(Met),
    /// A float closed or opened.
    Float(Met),
    /// What was to be moved has been moved, or no more comes.
    Moved,
    /// What is flushed has been flushed.
    Flushed,
}

/// Which mark was met and how, in one word, so that it goes through registers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Met(u32);

impl Met {
    /// A mark by its vessel and its place among the vessel's switches, which are never as many as that, and whether the switch
    /// is wet, or the float open, now.
    fn new(vessel: usize, at: usize, on: bool) -> Self {
        Self((vessel as u32) << 16 | (at as u32 & 0x7fff) << 1 | u32::from(on))
    }

    /// The vessel.
    #[inline]
    pub(crate) fn vessel(self) -> usize {
        (self.0 >> 16) as usize
    }

    /// The place of a switch among the vessel's.
    #[inline]
    pub(crate) fn at(self) -> usize {
        (self.0 >> 1 & 0x7fff) as usize
    }

    /// Whether the switch is wet, or the float open, now.
    #[inline]
    pub(crate) fn on(self) -> bool {
        self.0 & 1 != 0
    }
}

/// A pace.
pub(crate) trait Pace {
    /// Why it can't go on, if it ever can't.
    type Refusal: Into<Refusal>;

    /// Moves the state on to a time, or to the first crossing before it, and books what flowed meanwhile.
    ///
    /// # Errors
    /// Where flows can't be computed.
    fn advance(
        &mut self,
        plant: &Plant,
        state: &mut State,
        until_s: f64,
    ) -> Result<Option<Crossing>, Self::Refusal>;
}

/// Between which volumes nothing happens in a vessel: the lowest mark that wets a switch or closes a float when the level
/// rises, and the highest at which one falls dry or opens when it falls. Both lie a microlitre beyond their marks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Quiet {
    pub(crate) above_m3: f64,
    pub(crate) below_m3: f64,
    /// What happens at each of them.
    pub(crate) above: Option<Crossing>,
    pub(crate) below: Option<Crossing>,
}

impl Default for Quiet {
    /// Where nothing is sensed.
    fn default() -> Self {
        Self {
            above_m3: f64::INFINITY,
            below_m3: f64::NEG_INFINITY,
            above: None,
            below: None,
        }
    }
}

/// Tells every mark ahead of a vessel's level, by what its switches and its float say now: what is crossed there, at which
/// volume, and whether a rise meets it.
#[inline]
pub(crate) fn each_ahead(
    plant: &Plant,
    state: &State,
    vessel: usize,
    mut tell: impl FnMut(Crossing, f64, bool),
) {
    for (at, switch) in plant.wiring.switches[vessel].iter().enumerate() {
        let wet = state.inputs[switch.input];
        let crossing = Crossing::Switch(Met::new(vessel, at, !wet));
        if wet {
            tell(crossing, switch.dries_m3 - CLOSE_M3, false);
        } else {
            tell(crossing, switch.wets_m3 + CLOSE_M3, true);
        }
    }
    if let Some((closes_m3, opens_m3)) = plant.vessels[vessel].float_m3 {
        let open = state.float_open[vessel];
        let crossing = Crossing::Float(Met::new(vessel, 0, !open));
        if open {
            tell(crossing, closes_m3 + CLOSE_M3, true);
        } else {
            tell(crossing, opens_m3 - CLOSE_M3, false);
        }
    }
}

/// Notes between which volumes nothing happens in a vessel: at the beginning, and whenever one of its switches or its float
/// says something else.
pub(crate) fn note_quiet(plant: &Plant, state: &mut State, vessel: usize) {
    let Quiet {
        mut above_m3,
        mut below_m3,
        mut above,
        mut below,
    } = Quiet::default();
    // Of two at one volume the first.
    each_ahead(plant, state, vessel, |crossing, mark_m3, rising| {
        if rising && mark_m3 < above_m3 {
            (above_m3, above) = (mark_m3, Some(crossing));
        }
        if !rising && mark_m3 > below_m3 {
            (below_m3, below) = (mark_m3, Some(crossing));
        }
    });
    state.quiet[vessel] = Quiet {
        above_m3,
        below_m3,
        above,
        below,
    };
}

/// The crossing that a state has already made and that nobody has told yet: after salt, a delivery, a script.
#[inline]
pub(crate) fn overdue(plant: &Plant, state: &mut State) -> Option<Crossing> {
    if !state.jumped {
        return None;
    }
    for (quiet, there) in state.quiet.iter().zip(state.books.vessels()) {
        let volume_m3 = plant.brine.volume_m3(*there);
        if volume_m3 > quiet.above_m3 {
            return quiet.above;
        }
        if volume_m3 < quiet.below_m3 {
            return quiet.below;
        }
    }
    state.jumped = false;
    None
}

/// A microlitre: nearer than that a mark is met.
const CLOSE_M3: f64 = 1e-9;
