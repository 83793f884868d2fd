//! Trains: nodes that follow each other from left to right on one straight line.

use super::graph::Graph;

/// Trains of nodes from left to right, the longest first; what holds water and what the file places stand alone.
pub(super) fn trains(
    graph: &Graph,
    rank: &[usize],
    own: &[usize],
    rows: &[Option<usize>],
) -> Vec<Vec<usize>> {
    let mut free: Vec<usize> = own
        .iter()
        .copied()
        .filter(|node| !graph.nodes[*node].kind.holds() && rows[*node].is_none())
        .collect();
    free.sort_by_key(|node| (rank[*node], *node));
    let mut trains = Vec::new();
    while !free.is_empty() {
        // For each node the best train that ends in it: its worth, and the node before.
        let mut best: Vec<(i64, Option<usize>)> = vec![(0, None); free.len()];
        for (to, node) in free.iter().enumerate() {
            for edge in graph.into(*node) {
                let piece = &graph.edges[edge];
                let Some(from) = free.iter().position(|other| *other == piece.from) else {
                    continue;
                };
                let (left, right) = (rank[piece.from], rank[*node]);
                if left >= right || piece.reject {
                    continue;
                }
                // A branch turns off; a gap is better kept for others.
                let gap = (right - left - 1) as i64;
                let worth = best[from].0 + if piece.branch { 3 } else { 10 } - 2 * gap;
                if worth > best[to].0 {
                    best[to] = (worth, Some(from));
                }
            }
        }
        let Some(mut end) = (0..free.len()).max_by_key(|at| (best[*at].0, core::cmp::Reverse(*at))) else {
            break;
        };
        let mut train = vec![free[end]];
        while let Some(before) = best[end].1 {
            train.push(free[before]);
            end = before;
        }
        train.reverse();
        free.retain(|node| !train.contains(node));
        trains.push(train);
    }
    trains
}
