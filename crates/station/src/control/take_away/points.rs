//! The list of inputs and outputs: what is joined to the controller, by which contact, and what a broken wire does.

use super::super::block::Kind;
use super::super::program::Program;
use super::super::signal::{Alarm, Input, Mark, Output, Task};
use super::contacts::{self, Contact};
use super::facts::Facts;
use crate::tags;

/// What a point carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Signal {
    /// An input of the program, by its index.
    Input(usize),
    /// The temperature of a vessel.
    Temperature(usize),
    /// An output of the program, by its index.
    Output(usize),
}

/// One line of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Point {
    /// Its tag, of ISA-5.1.
    pub tag: String,
    /// Its place at the controller: `DI 3` (switched input), `AI 1` (temperature), `DO 2` (switched output).
    pub channel: String,
    /// What it carries.
    pub signal: Signal,
    /// What it is.
    pub what: String,
    /// Where it sits.
    pub place: String,
    /// Which contact, or none.
    pub contact: Contact,
    /// Whether the program's input is on while the contact is closed; otherwise it is on while that is open.
    pub on_when_closed: bool,
    /// When the contact is closed, or the output on.
    pub closed_while: String,
    /// Why so.
    pub why: &'static str,
    /// The voltage that it should have.
    pub voltage: &'static str,
    /// What a broken wire does.
    pub broken_wire: &'static str,
}

const LOW: &str = "24 V DC, so low a voltage where you can";
const MAINS: &str = "24 V DC to the relay; mains behind it, by a licensed electrician";

/// All points of a program: its inputs, thermometers, outputs. Power is the controller's own supply and no contact.
pub(super) fn points(program: &Program, facts: &Facts) -> Vec<Point> {
    let mut points = Vec::new();
    for (at, input) in program.inputs().iter().enumerate() {
        let closed_tells = contacts::closed_tells(program, at);
        let Some(tag) = facts.counts.input(*input) else {
            continue;
        };
        // A position that is told while the valve is open is a ZSO.
        let tag = match closed_tells {
            false => tag.replacen("ZSC", "ZSO", 1),
            true => tag,
        };
        let kind = contacts::of(*input, closed_tells);
        let (what, place) = sensed(*input, facts);
        points.push(Point {
            tag,
            channel: format!("DI {}", points.len() + 1),
            signal: Signal::Input(at),
            what,
            place,
            contact: kind.contact,
            on_when_closed: kind.on_when_closed,
            closed_while: kind.closed_while.into(),
            why: kind.why,
            voltage: LOW,
            broken_wire: kind.broken_wire,
        });
    }
    for (count, vessel) in thermostats(program).into_iter().enumerate() {
        points.push(Point {
            tag: tags::thermometer(vessel),
            channel: format!("AI {}", count + 1),
            signal: Signal::Temperature(vessel),
            what: format!("thermometer of {}", facts.vessel(vessel)),
            place: format!("in the water of {}, away from the heater", facts.vessel(vessel)),
            contact: Contact::Reading,
            on_when_closed: true,
            closed_while: "a reading in °C, with a signal that it is sound".into(),
            why: "without a sound reading the heater stays off",
            voltage: LOW,
            broken_wire: "no reading: the heater goes off",
        });
    }
    for (at, output) in program.outputs().enumerate() {
        let (what, place, voltage, broken_wire) = switched(output, facts);
        points.push(Point {
            tag: facts.counts.output(output),
            channel: format!("DO {}", at + 1),
            signal: Signal::Output(at),
            what,
            place,
            contact: Contact::NormallyOpen,
            on_when_closed: true,
            closed_while: program.wire_of(at).map_or("", |wire| program.name(wire)).into(),
            why: "off is the safe state, and what it is in without power",
            voltage,
            broken_wire,
        });
    }
    points
}

/// Vessels whose thermometers the program reads, in order.
pub(super) fn thermostats(program: &Program) -> Vec<usize> {
    let mut vessels: Vec<usize> = program
        .blocks()
        .iter()
        .filter_map(|block| match block.kind {
            Kind::Colder { vessel, .. } => Some(usize::from(vessel)),
            _ => None,
        })
        .collect();
    vessels.sort_unstable();
    vessels.dedup();
    vessels
}

/// What an input is, and where it sits.
fn sensed(input: Input, facts: &Facts) -> (String, String) {
    match input {
        Input::Power => ("power".into(), "the controller's own supply".into()),
        Input::LevelAtOrAbove { vessel, mark } => {
            let name = facts.vessel(vessel);
            let what = match mark {
                Mark::LowCutout => "level switch, low cut-out",
                Mark::HeaterLevel => "level switch, heater covered",
                Mark::Start => "level switch, start of the fill",
                Mark::Stop => "level switch, stop of the fill",
                Mark::Backup => "contact of the mechanical backup",
                Mark::High => "level switch, high cut-out",
            };
            let height = facts.height(vessel, mark);
            let place = match height.trim_matches([' ', '(', ')']) {
                "" => format!("in {name}, at that mark"),
                height => format!("in {name}, {height} above its floor"),
            };
            (format!("{what} of {name}"), place)
        }
        Input::TankHigh { tank } => {
            let name = facts.tank(tank);
            (
                format!("level switch, high cut-out of {name}"),
                format!("in {name}, under the rim"),
            )
        }
        Input::Leak => (
            "detector of water on the floor".into(),
            "on the floor, at its lowest place, or in the tray".into(),
        ),
        Input::SomebodyHere => ("switch: somebody is here".into(), "at the door".into()),
        Input::Ask(Task::Fill) => ("switch: fill".into(), "at the panel".into()),
        Input::Ask(Task::Pump(at)) => (format!("switch: run {}", facts.pump(at)), "at the panel".into()),
        Input::Ask(Task::Warm(at)) => (
            format!("switch: warm {}", facts.vessel(at)),
            "at the panel".into(),
        ),
        Input::Reset => (
            "button: reset of faults".into(),
            "at the panel, where the vessels can be seen".into(),
        ),
        Input::FlowSeen { pump } => (
            format!("flow switch of {}", facts.pump(pump)),
            format!("in the outlet line of {}", facts.pump(pump)),
        ),
        Input::ValveOpen { valve } => (
            format!("position switch of valve {}", facts.valve(valve)),
            format!("at the handle of valve {}", facts.valve(valve)),
        ),
    }
}

/// What an output is, where it sits, its voltage, what its broken wire does.
fn switched(output: Output, facts: &Facts) -> (String, String, &'static str, &'static str) {
    match output {
        Output::Feed => (
            "electric feed valve, closed without power".into(),
            "in the feed, before the purifier".into(),
            LOW,
            "the feed stays shut",
        ),
        Output::Pump(at) => (
            format!("pump {}", facts.pump(at)),
            "its relay in the panel, above the splash line".into(),
            MAINS,
            "the pump stands",
        ),
        Output::Heater(at) => (
            format!("heater of {}", facts.vessel(at)),
            "its relay in the panel, above the splash line".into(),
            MAINS,
            "the heater is off",
        ),
        Output::Alarm(alarm) => {
            let what = match alarm {
                Alarm::Leak => "alarm: water on the floor".into(),
                Alarm::Overfull => "alarm: a vessel was overfull".into(),
                Alarm::RunTooLong => "alarm: a run was too long".into(),
                Alarm::DryPump(at) => format!("alarm: {} ran dry or closed", facts.pump(at)),
                Alarm::Chatter(at) => format!("alarm: the switches of {} chatter", facts.vessel(at)),
            };
            (
                what,
                "lamp or sounder at the panel".into(),
                LOW,
                "the alarm isn't told; what it stops stays stopped: try its lamp at each test",
            )
        }
    }
}
