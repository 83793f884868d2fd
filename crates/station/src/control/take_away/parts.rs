//! Which part of the control a block belongs to: what it serves alone, or what several share.

use super::super::program::Program;
use super::super::signal::Output;
use super::facts::Facts;

/// For each block the part that it belongs to, in words.
pub(super) fn parts(program: &Program, facts: &Facts) -> Vec<String> {
    let served = served(program);
    let outputs: Vec<Output> = program.outputs().collect();
    served
        .into_iter()
        .map(|serves| {
            let mut actuators = serves
                .iter()
                .filter_map(|at| outputs.get(*at))
                .filter(|output| !matches!(output, Output::Alarm(_)));
            match (actuators.next(), actuators.next()) {
                (Some(Output::Feed), None) => "the feed".to_owned(),
                (Some(Output::Pump(at)), None) => format!("pump {}", facts.pump(*at)),
                (Some(Output::Heater(at)), None) => format!("the heater of {}", facts.vessel(*at)),
                (None, _) => "alarms".to_owned(),
                _ => "what several share".to_owned(),
            }
        })
        .collect()
}

/// For each block the outputs that depend on it.
fn served(program: &Program) -> Vec<Vec<usize>> {
    let inputs = program.inputs().len();
    let mut served: Vec<Vec<usize>> = vec![Vec::new(); program.blocks().len()];
    for output in 0..program.outputs().len() {
        let mut todo: Vec<usize> = program.wire_of(output).into_iter().collect();
        while let Some(wire) = todo.pop() {
            let Some(block) = wire.checked_sub(inputs) else {
                continue;
            };
            let Some(own) = served.get_mut(block) else {
                continue;
            };
            if own.last() == Some(&output) {
                continue;
            }
            own.push(output);
            let reads = program.reads(&program.blocks()[block]);
            todo.extend(reads.iter().map(|read| usize::from(read.wire)));
        }
    }
    served
}
