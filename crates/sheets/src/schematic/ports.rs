//! Where pipes may leave and enter: at the sides of a symbol, over the rim of what holds water, anywhere at a joint.

use super::graph::{Graph, Kind};
use super::grid::{Heading, Port};
use super::lanes::Cells;

/// Ports that each end of a piece may use.
pub(super) type Ports = [Vec<Port>; 2];

/// The ports of all pieces.
pub(super) fn ports(graph: &Graph, cells: &Cells) -> Vec<Ports> {
    let at = |side, line, row| Port { side, line, row };
    let mut ports: Vec<Ports> = (0..graph.edges.len())
        .map(|edge| {
            let piece = &graph.edges[edge];
            let leaves = match graph.nodes[piece.from].kind {
                Kind::Joint => Heading::ALL.map(|side| at(side, 0, 0)).to_vec(),
                Kind::Membrane if piece.reject => vec![at(Heading::South, 2, 0)],
                kind if kind.holds() => vec![at(Heading::East, 0, cells.side[edge])],
                _ => vec![at(Heading::East, 0, 0)],
            };
            let ends = match graph.nodes[piece.to].kind {
                Kind::Joint => Heading::ALL.map(|side| at(side, 0, 0)).to_vec(),
                kind if kind.holds() => vec![at(Heading::North, 0, 0)],
                _ => vec![at(Heading::West, 0, 0)],
            };
            [leaves, ends]
        })
        .collect();
    // What pours into a vessel comes from the left to the left, the lowest outermost, and from the right likewise.
    for node in 0..graph.nodes.len() {
        if !graph.nodes[node].kind.holds() {
            continue;
        }
        let mut into: Vec<usize> = graph.into(node).collect();
        let (col, row) = (cells.col[node], cells.row[node]);
        into.sort_by_key(|edge| {
            let from = graph.edges[*edge].from;
            let (from_col, from_row) = (cells.col[from], cells.row[from]);
            // Those from a band above come down from where they are.
            let right = from_col >= col;
            let height = from_row as i64 - row as i64;
            (right, if right { height } else { -height }, *edge)
        });
        for (line, edge) in into.into_iter().enumerate() {
            ports[edge][1] = vec![at(Heading::North, line, 0)];
        }
    }
    ports
}
