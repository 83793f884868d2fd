//! The layout as a drawing: water, pipes, symbols, names; with a valve setting its way in heavy ink.

use proof::Lineup;
use station::plumbing::End;
use station::{Station, spoken};

use super::flows::{flows, only_ways};
use super::graph::Kind;
use super::layout::Layout;
use super::measure::{LINE_MM, MEMBRANE_MM, NEAR_MM, RIM_MM, style, text_mm};
use super::symbols::{SURFACE_MM, State, body, middle, sides, symbol, water};
use super::{Shows, streams};
use crate::drawing::{Anchor, Drawing, Ink, Point, Stroke, at};
use crate::elevation::LABEL;
use crate::font::descent_mm;

/// The drawing of the whole, or of a task.
pub(super) fn drawn(station: &Station, layout: &Layout, shows: Shows<'_>) -> Drawing {
    let lineup = match shows {
        Shows::Whole(_) | Shows::Live => None,
        Shows::Task(lineup) => Some(lineup),
    };
    let title = match lineup {
        None => format!("Schematic of {}", station.title.title.value),
        Some(lineup) => format!(
            "Schematic of {}, {}",
            station.title.title.value,
            spoken(&lineup.name)
        ),
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
    let streams = matches!(shows, Shows::Live).then(|| streams::paths(station, &layout.graph));
    for edge in order {
        let own = std::slice::from_ref(&layout.graph.edges[edge].path);
        for path in streams.as_ref().map_or(own, |all| &all[edge]) {
            pipe(
                &mut drawing,
                layout,
                (edge, path),
                flow.as_ref().map(|flow| flow[edge]),
            );
        }
    }
    if let Shows::Whole(lineups) = shows {
        arrows(&mut drawing, station, layout, lineups);
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
fn pipe(drawing: &mut Drawing, layout: &Layout, (edge, path): (usize, &str), flow: Option<Option<bool>>) {
    let (stroke, ink) = match flow {
        None => (Stroke::Medium, Ink::Ink),
        Some(None) => (Stroke::Medium, Ink::Second),
        Some(Some(_)) => (Stroke::Heavy, Ink::Ink),
    };
    let mut points = points(layout, edge);
    drawing.line(points.clone(), stroke, ink, path);
    if let Some(Some(along)) = flow {
        if !along {
            points.reverse();
        }
        if let Some(stretch) = longest(&points) {
            arrow(drawing, stretch, ARROW_MM, path);
        }
    }
}

/// Where a piece of pipe goes.
fn points(layout: &Layout, edge: usize) -> Vec<Point> {
    let piece = &layout.graph.edges[edge];
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
    points
}

/// An arrow on each line that only ever flows one way, on the longest straight stretch of its pieces.
fn arrows(drawing: &mut Drawing, station: &Station, layout: &Layout, lineups: &[Lineup]) {
    let pieces = |line: usize| {
        let edges = layout.graph.edges.iter().enumerate();
        edges.filter(move |(_, piece)| piece.line == Some(line))
    };
    for (line, along) in only_ways(station, lineups).into_iter().enumerate() {
        let stretches =
            pieces(line).filter_map(|(edge, piece)| Some((longest(&points(layout, edge))?, piece)));
        let Some(along) = along else { continue };
        if let Some((mut stretch, piece)) =
            stretches.max_by(|(a, _), (b, _)| length_mm(a).total_cmp(&length_mm(b)))
        {
            if !along {
                stretch.reverse();
            }
            arrow(drawing, stretch, SMALL_ARROW_MM, &piece.path);
        }
    }
}

/// Length and half of the width of an arrow head: on a line that flows, and on one that is only drawn.
const ARROW_MM: (f64, f64) = (2.4, 0.95);
const SMALL_ARROW_MM: (f64, f64) = (2.0, 0.7);

fn length_mm(pair: &[Point; 2]) -> f64 {
    (pair[1].x_mm - pair[0].x_mm).abs() + (pair[1].y_mm - pair[0].y_mm).abs()
}

/// The longest straight stretch of a way.
fn longest(points: &[Point]) -> Option<[Point; 2]> {
    let stretches = points.windows(2).filter_map(|pair| pair.try_into().ok());
    stretches.max_by(|a, b| length_mm(a).total_cmp(&length_mm(b)))
}

/// An arrow head in the middle of a straight stretch; none where that is too short.
fn arrow(drawing: &mut Drawing, stretch: [Point; 2], (head_mm, half_mm): (f64, f64), path: &str) {
    let long = length_mm(&stretch);
    if long < head_mm + 0.4 {
        return;
    }
    let [begin, end] = stretch;
    let (x, y) = ((end.x_mm - begin.x_mm) / long, (end.y_mm - begin.y_mm) / long);
    let middle = at((begin.x_mm + end.x_mm) / 2.0, (begin.y_mm + end.y_mm) / 2.0);
    let on = |along: f64, aside: f64| {
        at(
            middle.x_mm + along * x - aside * y,
            middle.y_mm + along * y + aside * x,
        )
    };
    let half = head_mm / 2.0;
    drawing.area(
        vec![on(half, 0.0), on(-half, half_mm), on(-half, -half_mm)],
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
                    let name = |end: End| spoken(station.name_of(end));
                    format!(
                        "{} from {} to {}",
                        spoken(&line.name),
                        name(joined.from),
                        name(joined.to)
                    )
                })
                .collect();
            match told.as_slice() {
                [] => "No lines.".to_owned(),
                told => format!("Lines: {}.", told.join("; ")),
            }
        }
    }
}
