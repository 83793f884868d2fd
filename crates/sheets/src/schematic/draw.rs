//! The layout as a drawing: water, pipes, symbols, names; with a valve setting its way in heavy ink.

use proof::Lineup;
use station::Station;
use station::plumbing::End;

use super::graph::{Graph, Kind};
use super::layout::Layout;
use super::measure::{LINE_MM, MEMBRANE_MM, NEAR_MM, RIM_MM, style, text_mm};
use super::symbols::{SURFACE_MM, State, body, middle, sides, symbol, water};
use crate::drawing::{Anchor, Drawing, Ink, Point, Stroke, at};
use crate::elevation::LABEL;
use crate::font::descent_mm;

/// The drawing, with a valve setting where one is given.
pub(super) fn drawn(station: &Station, layout: &Layout, lineup: Option<&Lineup>) -> Drawing {
    let title = match lineup {
        None => format!("Schematic of {}", station.title.title.value),
        Some(lineup) => format!("Schematic of {}, {}", station.title.title.value, lineup.name),
    };
    let mut drawing = Drawing::new(title, layout.width_mm, layout.height_mm);
    let flow = lineup.map(|lineup| flows(station, &layout.graph, lineup));
    let nodes = 0..layout.graph.nodes.len();
    for node in nodes.clone() {
        water(&mut drawing, layout, node);
    }
    // What flows lies above what doesn't.
    let mut order: Vec<usize> = (0..layout.ways.len()).collect();
    order.sort_by_key(|edge| flow.as_ref().is_some_and(|flow| flow[*edge].is_some()));
    for edge in order {
        pipe(&mut drawing, layout, edge, flow.as_ref().map(|flow| flow[edge]));
    }
    for node in nodes {
        if layout.graph.nodes[node].kind.holds() {
            body(&mut drawing, layout, node);
            levels(&mut drawing, layout, node);
        } else {
            symbol(&mut drawing, layout, node, state(station, layout, node, lineup));
        }
        name(&mut drawing, layout, node);
    }
    drawing.description = described(station, lineup);
    drawing
}

/// For each piece that flows whether it does so from its beginning to its end.
fn flows(station: &Station, graph: &Graph, lineup: &Lineup) -> Vec<Option<bool>> {
    let mut out = vec![None; graph.edges.len()];
    let found = station.lineups.iter().position(|own| own.name == lineup.name);
    let mut here = found
        .and_then(|at| station.plumbing.tasks.get(at))
        .map(|task| task.from);
    let mut last: Option<usize> = None;
    for name in &lineup.lines {
        let Some(line) = station.lines.iter().position(|own| own.name == *name) else {
            continue;
        };
        let joined = &station.plumbing.lines[line];
        let along = here != Some(joined.to) || here == Some(joined.from);
        here = Some(if along { joined.to } else { joined.from });
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

fn state(station: &Station, layout: &Layout, node: usize, lineup: Option<&Lineup>) -> State {
    let own = &layout.graph.nodes[node];
    let (Some(lineup), Some(at)) = (lineup, own.at) else {
        return State::Plain;
    };
    let filled = match own.kind {
        Kind::Pump => lineup.pumps_on.iter().any(|name| *name == station.pumps[at].name),
        // Without a setting that does it nothing is said of the valves.
        Kind::Valve(kind) => {
            let open = lineup.valves_open.as_ref();
            kind.is_set() && open.is_some_and(|open| !open.contains(&station.valves[at].name))
        }
        _ => false,
    };
    if filled { State::Filled } else { State::Plain }
}

/// How far a line that begins in the water of a tank is drawn into it.
const DIP_MM: f64 = 2.4;

/// A piece of pipe; with a setting whether it flows, and which way.
fn pipe(drawing: &mut Drawing, layout: &Layout, edge: usize, flow: Option<Option<bool>>) {
    let piece = &layout.graph.edges[edge];
    let (stroke, ink) = match flow {
        None => (Stroke::Medium, Ink::Ink),
        Some(None) => (Stroke::Medium, Ink::Second),
        Some(Some(_)) => (Stroke::Heavy, Ink::Ink),
    };
    let mut points = layout.ways[edge].clone();
    // It goes on into what it fills: to the air under the rim, or below the water.
    if layout.graph.nodes[piece.to].kind.holds()
        && let Some(last) = points.last().copied()
    {
        let depth = if piece.drowned { SURFACE_MM + 2.6 } else { 2.4 };
        points.push(at(last.x_mm, last.y_mm + depth));
    }
    // It begins in the water of a tank, not at its wall.
    if piece.dips
        && let Some(first) = points.first().copied()
    {
        points.insert(0, at(first.x_mm - DIP_MM, first.y_mm));
    }
    drawing.line(points.clone(), stroke, ink, &piece.path);
    if let Some(Some(along)) = flow {
        if !along {
            points.reverse();
        }
        arrow(drawing, &points, &piece.path);
    }
}

/// Length and half of the width of an arrow head.
const ARROW_MM: (f64, f64) = (2.4, 0.95);

/// An arrow head in the middle of the longest straight stretch.
fn arrow(drawing: &mut Drawing, points: &[Point], path: &str) {
    let length = |pair: &[Point]| (pair[1].x_mm - pair[0].x_mm).abs() + (pair[1].y_mm - pair[0].y_mm).abs();
    let Some(pair) = points.windows(2).max_by(|a, b| length(a).total_cmp(&length(b))) else {
        return;
    };
    let long = length(pair);
    if long < ARROW_MM.0 + 0.4 {
        return;
    }
    let (x, y) = (
        (pair[1].x_mm - pair[0].x_mm) / long,
        (pair[1].y_mm - pair[0].y_mm) / long,
    );
    let middle = at(
        (pair[0].x_mm + pair[1].x_mm) / 2.0,
        (pair[0].y_mm + pair[1].y_mm) / 2.0,
    );
    let on = |along: f64, aside: f64| {
        at(
            middle.x_mm + along * x - aside * y,
            middle.y_mm + along * y + aside * x,
        )
    };
    let half = ARROW_MM.0 / 2.0;
    drawing.area(
        vec![on(half, 0.0), on(-half, ARROW_MM.1), on(-half, -ARROW_MM.1)],
        Ink::Ink,
        1.0,
        path,
    );
}

/// Names below their symbols; in what holds water, and beside a dot.
fn name(drawing: &mut Drawing, layout: &Layout, node: usize) {
    let (own, size) = (&layout.graph.nodes[node], &layout.sizes[node]);
    let style = style(own.kind);
    let [left, right] = sides(layout, node);
    let line = layout.places[node].y_mm;
    let count = size.words.len() as f64;
    let (anchor, x, first) = match own.kind {
        Kind::Joint => (
            Anchor::Start,
            left + 1.0,
            line + 0.9 + NEAR_MM + style.cap_mm() - 0.6,
        ),
        Kind::Vessel(_) | Kind::Tank(_) => (
            Anchor::Middle,
            (left + right) / 2.0,
            layout.bodies[node].0 + RIM_MM + style.cap_mm(),
        ),
        Kind::Membrane => {
            let top = line - MEMBRANE_MM.1 / 2.0 - NEAR_MM - descent_mm(style.size_mm, style.face);
            let middle = left + layout.sizes[node].width_mm / 2.0;
            (Anchor::Middle, middle, top - (count - 1.0) * LINE_MM)
        }
        _ => {
            // Below the symbol, as its size was reckoned.
            let below = size.below_mm - text_mm(style, size.words.len());
            (
                Anchor::Middle,
                middle(layout, node),
                line + below + NEAR_MM + style.cap_mm(),
            )
        }
    };
    for (at_line, words) in size.words.iter().enumerate() {
        drawing.text(
            at(x, first + at_line as f64 * LINE_MM),
            anchor,
            words,
            style,
            &own.path,
        );
    }
}

/// Level switches as ticks at the wall with their tags.
fn levels(drawing: &mut Drawing, layout: &Layout, node: usize) {
    let own = &layout.graph.nodes[node];
    let [left, _] = sides(layout, node);
    let names = layout.sizes[node].words.len() as f64;
    let first = layout.bodies[node].0 + RIM_MM + names * LINE_MM + LABEL.cap_mm();
    for (line, (tag, path)) in own.levels.iter().enumerate() {
        let base = first + line as f64 * LINE_MM;
        let middle = base - LABEL.cap_mm() / 2.0;
        drawing.line(
            vec![at(left, middle), at(left + 2.0, middle)],
            Stroke::Medium,
            Ink::Ink,
            path,
        );
        drawing.text(at(left + 3.0, base), Anchor::Start, tag, LABEL, path);
    }
}

/// Each line from end to end, in words; with a setting its way.
fn described(station: &Station, lineup: Option<&Lineup>) -> String {
    match lineup {
        Some(lineup) => format!("{}.", super::card::way(station, lineup)),
        None => {
            let lines = station.lines.iter().zip(&station.plumbing.lines);
            let told: Vec<String> = lines
                .map(|(line, joined)| {
                    let name = |end: End| station.name_of(end);
                    format!("{} from {} to {}", line.name, name(joined.from), name(joined.to))
                })
                .collect();
            match told.as_slice() {
                [] => "No lines.".to_owned(),
                told => format!("Lines: {}.", told.join("; ")),
            }
        }
    }
}
