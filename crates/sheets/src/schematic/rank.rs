//! How far to the right each node stands: the longest way to it from where water comes from; and where the whole is
//! folded when the paper is narrower.

use super::graph::{Graph, Kind};

/// The column of each node, from 0.
pub(super) fn ranks(graph: &Graph) -> Vec<usize> {
    let forward = forward(graph);
    let order = order(graph, &forward);
    let mut rank = vec![0; graph.nodes.len()];
    longest(graph, &forward, &order, &mut rank);
    let loose = pull(graph, &forward, &order, &mut rank);
    // What holds water stands under what else does, where it would stand a little to the left.
    let holds = |node: usize| graph.nodes[node].kind.holds();
    let bound: Vec<usize> = (0..rank.len())
        .filter(|node| holds(*node) && !loose[*node])
        .collect();
    for node in (0..rank.len()).filter(|node| holds(*node) && loose[*node]) {
        let near = bound
            .iter()
            .map(|other| rank[*other])
            .filter(|other| (rank[node]..rank[node] + NEAR).contains(other))
            .min();
        rank[node] = near.unwrap_or(rank[node]);
    }
    longest(graph, &forward, &order, &mut rank);
    pull(graph, &forward, &order, &mut rank);
    let least = rank.iter().min().copied().unwrap_or(0);
    rank.iter_mut().for_each(|rank| *rank -= least);
    rank
}

/// So many columns a vessel may move to stand under another (house rule).
const NEAR: usize = 4;

/// Each node to the right of all that lead to it.
fn longest(graph: &Graph, forward: &[bool], order: &[usize], rank: &mut [usize]) {
    for node in order {
        for edge in graph.out_of(*node).filter(|edge| forward[*edge]) {
            let to = graph.edges[edge].to;
            rank[to] = rank[to].max(rank[*node] + 1);
        }
    }
}

/// What no feed stands behind moves up to what it leads to.
fn pull(graph: &Graph, forward: &[bool], order: &[usize], rank: &mut [usize]) -> Vec<bool> {
    let mut loose = vec![false; graph.nodes.len()];
    for node in order {
        loose[*node] = graph.nodes[*node].kind != Kind::Feed
            && graph
                .into(*node)
                .filter(|edge| forward[*edge])
                .all(|edge| loose[graph.edges[edge].from]);
    }
    // What leads to nothing but draw points of its own holds nobody back.
    let mut bound: Vec<bool> = loose.iter().map(|loose| !loose).collect();
    for node in order.iter().rev().filter(|node| loose[**node]) {
        let next = graph
            .out_of(*node)
            .filter(|edge| forward[*edge])
            .map(|edge| graph.edges[edge].to)
            .filter(|to| bound[*to])
            .map(|to| rank[to])
            .min();
        if let Some(next) = next {
            bound[*node] = true;
            rank[*node] = rank[*node].max(next.saturating_sub(1));
        }
    }
    longest(graph, forward, order, rank);
    loose
}

/// Which pieces lead to the right: all but those that close a ring. Rings are opened where they pour into a vessel.
fn forward(graph: &Graph) -> Vec<bool> {
    let group = rings(graph);
    let mut forward: Vec<bool> = graph
        .edges
        .iter()
        .map(|edge| {
            let pours = graph.nodes[edge.to].kind.holds();
            edge.from != edge.to && !(pours && group[edge.from] == group[edge.to])
        })
        .collect();
    // What rings are left are opened where a walk through them comes back to itself.
    let mut state = vec![0_u8; graph.nodes.len()];
    for start in 0..graph.nodes.len() {
        walk(graph, start, &mut state, &mut forward);
    }
    forward
}

fn walk(graph: &Graph, start: usize, state: &mut [u8], forward: &mut [bool]) {
    if state[start] != 0 {
        return;
    }
    let mut stack = vec![(start, graph.out_of(start).collect::<Vec<usize>>(), 0)];
    state[start] = 1;
    while let Some((node, edges, next)) = stack.last_mut() {
        let Some(edge) = edges.get(*next).copied() else {
            state[*node] = 2;
            stack.pop();
            continue;
        };
        *next += 1;
        let to = graph.edges[edge].to;
        if !forward[edge] {
            continue;
        }
        match state[to] {
            0 => {
                state[to] = 1;
                stack.push((to, graph.out_of(to).collect(), 0));
            }
            1 => forward[edge] = false,
            _ => {}
        }
    }
}

/// Nodes that lie in one ring have one number: each reaches the other.
fn rings(graph: &Graph) -> Vec<usize> {
    let count = graph.nodes.len();
    let reach: Vec<Vec<bool>> = (0..count)
        .map(|start| {
            let mut seen = vec![false; count];
            let mut open = vec![start];
            while let Some(node) = open.pop() {
                for edge in graph.out_of(node) {
                    let to = graph.edges[edge].to;
                    if !seen[to] {
                        seen[to] = true;
                        open.push(to);
                    }
                }
            }
            seen
        })
        .collect();
    (0..count)
        .map(|node| {
            (0..count)
                .find(|other| *other == node || reach[node][*other] && reach[*other][node])
                .unwrap_or(node)
        })
        .collect()
}

/// Each node behind all that lead to it.
fn order(graph: &Graph, forward: &[bool]) -> Vec<usize> {
    let count = graph.nodes.len();
    let mut waits: Vec<usize> = (0..count)
        .map(|node| graph.into(node).filter(|edge| forward[*edge]).count())
        .collect();
    let mut out = Vec::with_capacity(count);
    let mut ready: Vec<usize> = (0..count).rev().filter(|node| waits[*node] == 0).collect();
    while let Some(node) = ready.pop() {
        out.push(node);
        for edge in graph.out_of(node).filter(|edge| forward[*edge]) {
            let to = graph.edges[edge].to;
            waits[to] -= 1;
            if waits[to] == 0 {
                ready.push(to);
            }
        }
    }
    out
}

/// Where bands begin when the columns are folded into so many: such that the widest is as narrow as can be, and the
/// fewest lines go from band to band; one of these counts as so many millimetres of width.
pub(super) fn folds(
    widths_mm: &[f64],
    crossing: &[f64],
    bands: usize,
    crossing_mm: f64,
) -> Option<Vec<usize>> {
    let count = widths_mm.len();
    if bands == 0 || bands > count {
        return None;
    }
    let width = |from: usize, to: usize| widths_mm[from..to].iter().sum::<f64>();
    // For so many bands and the first columns: the cost, and where the last band begins.
    let mut best = vec![vec![(f64::INFINITY, f64::INFINITY, 0_usize); count + 1]; bands + 1];
    best[0][0] = (0.0, 0.0, 0);
    for band in 1..=bands {
        for to in 1..=count {
            for from in band - 1..to {
                let (widest, lines, _) = best[band - 1][from];
                let widest = widest.max(width(from, to));
                let lines = lines
                    + if from == 0 {
                        0.0
                    } else {
                        crossing_mm * crossing[from]
                    };
                let (now, now_lines, _) = best[band][to];
                if widest + lines < now + now_lines {
                    best[band][to] = (widest, lines, from);
                }
            }
        }
    }
    let mut starts = Vec::new();
    let mut to = count;
    for band in (1..=bands).rev() {
        let (cost, _, from) = best[band][to];
        if !cost.is_finite() {
            return None;
        }
        starts.push(from);
        to = from;
    }
    starts.reverse();
    Some(starts)
}
