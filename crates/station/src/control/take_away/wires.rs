//! The wires of a panel, from terminal to terminal.
//!
//! Each switched input has two terminals of strip X1: the supply on the odd one, what comes back on the even one, which
//! goes to the controller. Each output has two of strip X2: from the controller, and the return. What carries mains has a
//! relay between. Interlocks of the station stand in the wire of the relay's coil, where no program can lift them.

use super::super::program::Program;
use super::super::signal::{Input, Mark, Output};
use super::facts::Facts;
use super::points::{Point, Signal};
use crate::tags;

/// One wire.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wire {
    /// Its number, from 1.
    pub number: usize,
    /// Where it begins.
    pub from: String,
    /// Where it ends.
    pub to: String,
    /// What it is for.
    pub what: String,
}

/// Wires while they are counted.
#[derive(Default)]
struct Laid(Vec<Wire>);

impl Laid {
    fn wire(&mut self, from: impl Into<String>, to: impl Into<String>, what: impl Into<String>) {
        self.0.push(Wire {
            number: self.0.len() + 1,
            from: from.into(),
            to: to.into(),
            what: what.into(),
        });
    }
}

/// All wires.
pub(super) fn wires(program: &Program, facts: &Facts, points: &[Point]) -> Vec<Wire> {
    let mut laid = Laid::default();
    let mut inputs = 0;
    let mut readings = 0;
    let mut outputs = 0;
    let of = |at: usize| program.outputs().nth(at);
    for point in points {
        match point.signal {
            Signal::Input(_) => {
                inputs += 1;
                let [supply, back] = [2 * inputs - 1, 2 * inputs].map(|terminal| format!("X1:{terminal}"));
                laid.wire("+24 V", &supply, "supply");
                laid.wire(&supply, format!("{}:1", point.tag), point.what.clone());
                laid.wire(format!("{}:2", point.tag), &back, point.what.clone());
                laid.wire(&back, point.channel.clone(), point.what.clone());
            }
            Signal::Temperature(_) => {
                readings += 1;
                for (pole, terminal) in [("+", 2 * readings - 1), ("-", 2 * readings)] {
                    let terminal = format!("X3:{terminal}");
                    laid.wire(format!("{}:{pole}", point.tag), &terminal, point.what.clone());
                    laid.wire(&terminal, format!("{}:{pole}", point.channel), point.what.clone());
                }
            }
            Signal::Output(at) => {
                outputs += 1;
                let [go, back] = [2 * outputs - 1, 2 * outputs].map(|terminal| format!("X2:{terminal}"));
                laid.wire(point.channel.clone(), &go, point.what.clone());
                let Some(output) = of(at) else { continue };
                let coil = match output {
                    Output::Pump(_) | Output::Heater(_) => format!("K{outputs}"),
                    Output::Feed | Output::Alarm(_) => point.tag.clone(),
                };
                let [first, last] = match output {
                    Output::Pump(_) | Output::Heater(_) => ["A1", "A2"],
                    Output::Feed | Output::Alarm(_) => ["1", "2"],
                };
                interlocks(
                    &mut laid,
                    facts,
                    points,
                    program,
                    output,
                    &go,
                    &format!("{coil}:{first}"),
                );
                laid.wire(format!("{coil}:{last}"), &back, point.what.clone());
                laid.wire(&back, "0 V", "return");
                if matches!(output, Output::Pump(_) | Output::Heater(_)) {
                    let mains = format!("{}: mains, by a licensed electrician", point.what);
                    laid.wire("L behind RCD", format!("{coil}:13"), &*mains);
                    laid.wire(format!("{coil}:14"), format!("{}:L", point.tag), &*mains);
                    laid.wire("N behind RCD", format!("{}:N", point.tag), &*mains);
                    laid.wire("PE", format!("{}:PE", point.tag), mains);
                }
            }
        }
    }
    laid.0
}

/// From an output's terminal to the coil, through what must be closed for it.
fn interlocks(
    laid: &mut Laid,
    facts: &Facts,
    points: &[Point],
    program: &Program,
    output: Output,
    from: &str,
    to: &str,
) {
    let tag_of = |input: Input| {
        let at = program.input(input)?;
        let point = points.iter().find(|point| point.signal == Signal::Input(at))?;
        Some(point.tag.clone())
    };
    let what = |of: &str| format!("interlock: {of}");
    match output {
        Output::Heater(at) => {
            let level = Input::LevelAtOrAbove {
                vessel: at,
                mark: Mark::HeaterLevel,
            };
            if let Some(tag) = tag_of(level) {
                let of = what("a second contact, closed while the heater is covered");
                laid.wire(from, format!("{tag}:3"), &*of);
                laid.wire(format!("{tag}:4"), to, of);
                return;
            }
        }
        Output::Pump(at) => {
            let valves = facts
                .settings
                .pumps
                .get(at)
                .map_or(&[][..], |own| &own.runs_only_with);
            let mut any = false;
            for valve in valves {
                let Some(tag) = tag_of(Input::ValveOpen { valve: *valve }) else {
                    continue;
                };
                let of = what(&format!(
                    "a second contact, closed while {} is open",
                    facts.valve(*valve)
                ));
                laid.wire(from, format!("{tag}:3"), &*of);
                laid.wire(format!("{tag}:4"), to, of);
                any = true;
            }
            if any {
                return;
            }
        }
        Output::Feed | Output::Alarm(_) => {}
    }
    let tag = match output {
        Output::Heater(at) => tags::tag("EH", at),
        other => facts.counts.output(other),
    };
    laid.wire(from, to, format!("switches {tag}"));
}
