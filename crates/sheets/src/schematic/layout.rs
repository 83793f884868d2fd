//! From the graph to places on the paper: columns, folds, rows, ways, and the grid stretched to what stands in it.

use super::frame::Frame;
use super::graph::{Graph, Kind};
use super::lanes::Cells;
use super::measure::{Size, size, words};
use super::rank::ranks;
use super::route::route;
use super::tries::{Try, tries};
use crate::drawing::{EDGE_MM, Point};

/// Widths of names that are tried, the widest first.
const NAMES_MM: [f64; 7] = [26.0, 21.0, 17.0, 14.0, 12.0, 10.0, 8.0];
/// Everything with its place on the paper.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    pub(super) graph: Graph,
    pub(super) sizes: Vec<Size>,
    /// For each node its upper left: the left edge of its column and the line of its row.
    pub(super) places: Vec<Point>,
    /// For each node its own width, that of its column for what is centred in it.
    pub(super) widths_mm: Vec<f64>,
    /// For what holds water the upper and lower edge of its body.
    pub(super) bodies: Vec<(f64, f64)>,
    /// For each piece of pipe its corners.
    pub(super) ways: Vec<Vec<Point>>,
    pub(super) width_mm: f64,
    pub(super) height_mm: f64,
}

/// The layout for paper of a width, no higher than so much if it can be: of those that fit in the fewest bands, or in
/// one more, that which reads best.
pub(super) fn layout(graph: &Graph, width_mm: f64, most_mm: f64) -> Option<Layout> {
    let room_mm = width_mm - 2.0 * EDGE_MM;
    let (columns, rows) = places(graph, &ranks(graph));
    let count = columns.iter().max()? + 1;
    let names = words(graph);
    let sized: Vec<Vec<Size>> = NAMES_MM
        .iter()
        .map(|name_mm| {
            (0..graph.nodes.len())
                .map(|node| size(graph, node, &names[node], *name_mm))
                .collect()
        })
        .collect();
    for bands in 1..=count {
        let mut found = tries(graph, &sized, (&columns, &rows), bands, room_mm);
        // What the file places is folded only where it must be.
        if bands < count && rows.iter().all(Option::is_none) {
            let more = tries(graph, &sized, (&columns, &rows), bands + 1, room_mm);
            found.extend(more);
        }
        let promise = |one: &Try| one.worth + OVER * (one.height_mm - most_mm).max(0.0);
        found.sort_by(|a, b| promise(a).total_cmp(&promise(b)));
        let mut best: Option<(f64, Layout)> = None;
        let (mut left, mut failed) = (MOST_TRIES, 0);
        for one in found {
            let Some(laid) = set(graph, &sized[one.sizes], &one.cells, room_mm) else {
                failed += 1;
                // What needs more bands is seen soon; one column to a band always has its turn.
                if failed > MOST_TRIES && bands < count && best.is_none() {
                    break;
                }
                continue;
            };
            let worth = laid.worth() + OVER * (laid.height_mm - most_mm).max(0.0);
            if best.as_ref().is_none_or(|(least, _)| worth < *least) {
                best = Some((worth, laid));
            }
            left -= 1;
            if left == 0 {
                break;
            }
        }
        if let Some((_, laid)) = best {
            return Some(centred(laid, width_mm));
        }
    }
    None
}

/// So many layouts are drawn to the end, those that promise most (house rule).
const MOST_TRIES: usize = 8;
/// What a millimetre counts that a sheet is too high.
const OVER: f64 = 10.0;

/// Columns of all nodes, and the rows of those that the file places.
fn places(graph: &Graph, rank: &[usize]) -> (Vec<usize>, Vec<Option<usize>>) {
    let mut rows = vec![None; graph.nodes.len()];
    if graph.nodes.iter().all(|node| node.place.is_none()) {
        return (rank.to_vec(), rows);
    }
    // Between two places there is room for the longest row of valves, and for the tallest vessel.
    let inline = |kind: Kind| matches!(kind, Kind::Valve(_) | Kind::Vent);
    let mut wide = 1;
    for start in 0..graph.edges.len() {
        let (mut edge, mut length) = (start, 1);
        while inline(graph.nodes[graph.edges[edge].to].kind) {
            let Some(next) = graph.out_of(graph.edges[edge].to).next() else {
                break;
            };
            edge = next;
            length += 1;
        }
        wide = wide.max(length);
    }
    let tall = (0..graph.nodes.len())
        .filter(|node| graph.nodes[*node].kind.holds())
        .map(|node| graph.out_of(node).count())
        .fold(1, usize::max)
        + 1;
    let mut columns: Vec<Option<usize>> = vec![None; graph.nodes.len()];
    for (at, node) in graph.nodes.iter().enumerate() {
        if let Some(place) = node.place {
            columns[at] = Some((place.column as usize - 1) * wide);
            rows[at] = Some((place.row as usize - 1) * tall + 1);
        }
    }
    // What has no place stands one further than what leads to it, in the order of its rank.
    let mut order: Vec<usize> = (0..graph.nodes.len()).collect();
    order.sort_by_key(|node| (rank[*node], *node));
    for node in order {
        if columns[node].is_none() {
            let before = graph
                .into(node)
                .map(|edge| graph.edges[edge].from)
                .filter(|from| rank[*from] < rank[node] || inline(graph.nodes[node].kind))
                .filter_map(|from| columns[from])
                .max();
            columns[node] = Some(before.map_or(rank[node].min(wide), |before| before + 1));
        }
    }
    (columns.into_iter().map(Option::unwrap_or_default).collect(), rows)
}

/// Everything at its place; nothing where it is wider than the room.
fn set(graph: &Graph, sizes: &[Size], cells: &Cells, room_mm: f64) -> Option<Layout> {
    for tracks in [4, 8, 14, 24] {
        let frame = Frame::new(graph, sizes, cells, tracks);
        if frame.least_mm() > room_mm {
            return None;
        }
        let Some(ways) = route(
            graph,
            cells,
            &frame.grid,
            (&frame.nominal_x(), &frame.nominal_y()),
        ) else {
            continue;
        };
        return frame.stretched(graph, sizes, cells, &ways, room_mm);
    }
    None
}

/// In the middle of the paper.
fn centred(mut layout: Layout, width_mm: f64) -> Layout {
    let by = (width_mm - layout.width_mm) / 2.0;
    let points = layout.places.iter_mut().chain(layout.ways.iter_mut().flatten());
    for point in points {
        point.x_mm += by;
    }
    layout.width_mm = width_mm;
    layout
}
