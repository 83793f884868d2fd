//! Which contact each input has, so that a broken wire never starts anything.
//!
//! A broken wire is an open contact. So whatever lets something run must be told by a closed contact, and whatever stops
//! it by an open one (common practice, no source). A test breaks every wire at random moments.

use super::super::program::Program;
use super::super::signal::{Input, Mark};

/// A contact.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Contact {
    /// Open while nothing acts on it.
    NormallyOpen,
    /// Closed while nothing acts on it.
    NormallyClosed,
    /// No contact: a reading.
    Reading,
}

impl Contact {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::NormallyOpen => "normally open",
            Self::NormallyClosed => "normally closed",
            Self::Reading => "reading",
        }
    }
}

/// How an input is told.
pub(super) struct Told {
    pub(super) contact: Contact,
    pub(super) on_when_closed: bool,
    pub(super) closed_while: &'static str,
    pub(super) why: &'static str,
    pub(super) broken_wire: &'static str,
}

/// Whether a valve's position is told by a contact that is closed while the valve is closed. It is where any block asks
/// whether the valve is closed, since that lets a pump run; otherwise only its being open does. True of all that is no
/// position.
pub(super) fn closed_tells(program: &Program, input: usize) -> bool {
    if !matches!(program.inputs().get(input), Some(Input::ValveOpen { .. })) {
        return true;
    }
    program
        .blocks()
        .iter()
        .flat_map(|block| program.reads(block))
        .any(|read| usize::from(read.wire) == input && read.negated)
}

/// A contact that closes when something acts on it, and the program's input with it.
fn closes(closed_while: &'static str, why: &'static str, broken_wire: &'static str) -> Told {
    Told {
        contact: Contact::NormallyOpen,
        on_when_closed: true,
        closed_while,
        why,
        broken_wire,
    }
}

/// A contact that opens when something acts on it, which the program's input is on by.
fn opens(closed_while: &'static str, why: &'static str, broken_wire: &'static str) -> Told {
    Told {
        contact: Contact::NormallyClosed,
        on_when_closed: false,
        closed_while,
        why,
        broken_wire,
    }
}

pub(super) fn of(input: Input, closed_tells: bool) -> Told {
    const BELOW: &str = "the water is below it";
    const AT: &str = "the water is at it or above";
    match input {
        Input::Power => closes("there is power", "nothing runs without", "everything is off"),
        Input::LevelAtOrAbove { mark, .. } => match mark {
            Mark::LowCutout => closes(
                AT,
                "only water at it lets a pump run",
                "as below it: a pump that may draw from the vessel stops",
            ),
            Mark::HeaterLevel => closes(
                AT,
                "only water over it lets the heater heat",
                "as not covered: the heater goes off",
            ),
            Mark::Start => opens(
                BELOW,
                "only a vessel below it calls for water",
                "as water at it: the vessel no longer calls",
            ),
            Mark::Stop => opens(
                BELOW,
                "only water below it lets the fill go on",
                "as full: the fill stops",
            ),
            Mark::Backup => opens(
                BELOW,
                "only water below it lets the fill go on",
                "as overfull: the feed shuts, an alarm is told",
            ),
            Mark::High => opens(
                BELOW,
                "only water below it lets pumps fill the vessel",
                "as full: the pumps that fill the vessel stop",
            ),
        },
        Input::TankHigh { .. } => opens(
            BELOW,
            "only water below it lets pumps fill the tank",
            "as full: the pumps that fill the tank stop",
        ),
        Input::Leak => opens(
            "the floor is dry",
            "only a dry floor lets feed and pumps run",
            "as a leak: feed and pumps stop, an alarm is told",
        ),
        Input::SomebodyHere => closes(
            "somebody is here",
            "only somebody's being here lets the feed open",
            "as nobody here: the feed shuts",
        ),
        Input::Ask(_) => closes(
            "the switch is on",
            "off always stops",
            "as switched off: it stops",
        ),
        Input::Reset => closes(
            "the button is pressed",
            "no fault is reset by itself",
            "no fault can be reset",
        ),
        Input::FlowSeen { .. } => closes(
            "water flows",
            "only flow lets the pump go on",
            "as no flow: the pump stops after its time, an alarm is told",
        ),
        Input::ValveOpen { .. } if closed_tells => Told {
            contact: Contact::NormallyOpen,
            on_when_closed: false,
            closed_while: "the valve is quite closed",
            why: "only a closed valve excuses a vessel that is low",
            broken_wire: "as not closed: a low vessel behind it stops the pump; a timer that stirs may find it open",
        },
        Input::ValveOpen { .. } => closes(
            "the valve is quite open",
            "only an open valve lets the pump run",
            "as closed: a pump that runs only with it stops",
        ),
    }
}
