//! What everything is called in the program text.

use super::super::block::{Kind, Read};
use super::super::program::{POWER, Program};
use super::facts::Facts;
use super::identifiers::Identifiers;
use super::points::{Point, Signal, thermostats};

/// A program text, and what things are called in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StructuredText {
    /// The text.
    pub text: String,
    /// Name of the program.
    pub program: String,
    /// The variable of each point in the program, in the order of the points.
    pub points: Vec<String>,
    /// The variable that tells that a temperature is sound, by vessel.
    pub sound: Vec<(usize, String)>,
    /// The program's input for the time of day, where a clock is needed.
    pub clock: Option<String>,
    /// Name of the function block's instance in the program.
    pub instance: String,
    /// The variable of each wire in the function block; the text of a constant for power.
    pub wires: Vec<String>,
}

/// Names of all that is declared.
pub(super) struct Names {
    pub(super) block: String,
    pub(super) program: String,
    pub(super) instance: String,
    pub(super) wires: Vec<String>,
    /// Instances of timers and edges, by block.
    pub(super) instances: Vec<String>,
    pub(super) outputs: Vec<String>,
    /// Vessel, temperature, whether it is sound: in the function block.
    pub(super) readings: Vec<(usize, String, String)>,
    pub(super) clock: String,
    pub(super) points: Vec<String>,
    pub(super) sound: Vec<(usize, String)>,
}

impl Names {
    pub(super) fn of(program: &Program, facts: &Facts, points: &[Point]) -> Self {
        let mut own = Identifiers::default();
        let (block, main, instance) = (
            own.give("station blocks", ""),
            own.give("station control", ""),
            own.give("decide", ""),
        );
        let clock = own.give("since midnight", "");
        let points_named = points.iter().map(|point| own.give_tag(&point.tag)).collect();
        let inputs = program.inputs().iter().enumerate();
        let mut wires: Vec<String> = inputs
            .map(|(at, input)| match at {
                POWER => "TRUE".to_owned(),
                _ => own.give(&facts.short(*input), ""),
            })
            .collect();
        let count = program.inputs().len();
        for at in 0..program.blocks().len() {
            wires.push(own.give(program.name(count + at), ""));
        }
        let instances = program
            .blocks()
            .iter()
            .enumerate()
            .map(|(at, block)| match block.kind {
                Kind::OnDelay { .. } => own.give(program.name(count + at), "_t"),
                Kind::RisingEdge => own.give(program.name(count + at), "_e"),
                _ => String::new(),
            })
            .collect();
        let outputs = (0..program.outputs().len())
            .map(|at| own.give(program.wire_of(at).map_or("", |wire| program.name(wire)), "_out"))
            .collect();
        let vessels = thermostats(program);
        let readings = vessels
            .iter()
            .map(|at| {
                let name = facts.vessel(*at);
                (*at, own.give(name, "_celsius"), own.give(name, "_celsius_sound"))
            })
            .collect();
        let sound = points
            .iter()
            .filter_map(|point| match point.signal {
                Signal::Temperature(vessel) => Some((vessel, own.give_tag(&format!("{}-SOUND", point.tag)))),
                _ => None,
            })
            .collect();
        Self {
            block,
            program: main,
            instance,
            wires,
            instances,
            outputs,
            readings,
            clock,
            points: points_named,
            sound,
        }
    }

    pub(super) fn wire(&self, read: &Read) -> String {
        let name = self.wires.get(usize::from(read.wire)).map_or("", String::as_str);
        match (read.negated, name) {
            (true, "TRUE") => "FALSE".into(),
            (true, name) => format!("NOT {name}"),
            (false, name) => name.into(),
        }
    }
}
