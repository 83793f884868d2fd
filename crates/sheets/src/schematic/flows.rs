//! Which way water flows in lines and in their pieces: in one task, or in all of them.

use proof::Lineup;
use station::Station;

use super::graph::{Graph, Kind};

/// For each line the only way in which it flows in any of some tasks, whether from its beginning to its end; `None` where
/// it never flows, or once one way and once the other.
pub(super) fn only_ways(station: &Station, lineups: &[Lineup]) -> Vec<Option<bool>> {
    let mut ways = vec![[false; 2]; station.lines.len()];
    for lineup in lineups.iter().filter(|lineup| lineup.valves_open.is_some()) {
        for (line, along) in on_the_way(station, lineup) {
            ways[line][usize::from(along)] = true;
        }
        for stray in &lineup.strays {
            if let Some(line) = station.lines.iter().position(|own| own.name == stray.line) {
                ways[line][usize::from(stray.flow_m3_per_s > 0.0)] = true;
            }
        }
    }
    let only = ways.into_iter().map(|way| match way {
        [true, false] => Some(false),
        [false, true] => Some(true),
        [false, false] | [true, true] => None,
    });
    only.collect()
}

/// The lines of a task's way one after the other, each with whether it flows from its beginning to its end.
fn on_the_way(station: &Station, lineup: &Lineup) -> Vec<(usize, bool)> {
    let found = station.lineups.iter().position(|own| own.name == lineup.name);
    let mut here = found
        .and_then(|at| station.plumbing.tasks.get(at))
        .map(|task| task.from);
    let lines = lineup
        .lines
        .iter()
        .filter_map(|name| station.lines.iter().position(|own| own.name == *name));
    lines
        .map(|line| {
            let joined = &station.plumbing.lines[line];
            let along = here != Some(joined.to) || here == Some(joined.from);
            here = Some(if along { joined.to } else { joined.from });
            (line, along)
        })
        .collect()
}

/// For each piece that flows whether it does so from its beginning to its end.
pub(super) fn flows(station: &Station, graph: &Graph, lineup: &Lineup) -> Vec<Option<bool>> {
    let mut out = vec![None; graph.edges.len()];
    let mut last: Option<usize> = None;
    for (line, along) in on_the_way(station, lineup) {
        let mut pieces = (0..graph.edges.len()).filter(|edge| graph.edges[*edge].line == Some(line));
        let (Some(first), Some(end)) = (pieces.next(), pieces.next_back().or_else(|| last_of(graph, line)))
        else {
            continue;
        };
        for (edge, flow) in out.iter_mut().enumerate() {
            if graph.edges[edge].line == Some(line) {
                *flow = Some(along);
            }
        }
        // Through a row of joints from the one before.
        let (enters, leaves) = match along {
            true => (graph.edges[first].from, graph.edges[end].to),
            false => (graph.edges[end].to, graph.edges[first].from),
        };
        if let Some(from) = last {
            through(graph, from, enters, &mut out);
        }
        last = Some(leaves);
    }
    out
}

fn last_of(graph: &Graph, line: usize) -> Option<usize> {
    (0..graph.edges.len())
        .rev()
        .find(|edge| graph.edges[*edge].line == Some(line))
}

/// Marks the pieces between two joints of one tee.
fn through(graph: &Graph, from: usize, to: usize, out: &mut [Option<bool>]) {
    if graph.nodes[from].kind != Kind::Joint || graph.nodes[from].path != graph.nodes[to].path {
        return;
    }
    // They stand in a row: one way or the other leads there.
    for forward in [true, false] {
        let (mut here, mut passed) = (from, Vec::new());
        while here != to {
            let next = (0..graph.edges.len()).find(|edge| {
                let piece = &graph.edges[*edge];
                piece.line.is_none()
                    && piece.path == graph.nodes[from].path
                    && here == if forward { piece.from } else { piece.to }
            });
            let Some(next) = next else { break };
            passed.push(next);
            here = if forward {
                graph.edges[next].to
            } else {
                graph.edges[next].from
            };
        }
        if here == to {
            for edge in passed {
                out[edge] = Some(forward);
            }
            return;
        }
    }
}
