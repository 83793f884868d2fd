//! Which row each node stands in: trains stay straight, and what belongs together stands close.
//!
//! Nodes that follow each other make a train, a train and the vessel that it leaves or fills make a block, and blocks
//! are set one by one where their lines are shortest, four times over.

use std::collections::BTreeSet;

use super::graph::{Graph, Kind};
use super::trains::trains;

/// Where everything stands, in columns and rows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Cells {
    pub(super) col: Vec<usize>,
    /// Row of the node; the first of the body of what holds water.
    pub(super) row: Vec<usize>,
    /// How many rows it takes.
    pub(super) span: Vec<usize>,
    /// For a piece that leaves what holds water: at which of its rows.
    pub(super) side: Vec<usize>,
    pub(super) columns: usize,
    pub(super) rows: usize,
}

/// What weighs how much when rows are chosen: several are tried, and the best sheet is taken.
#[derive(Debug, Clone, Copy)]
pub(super) struct Taste {
    /// A row that makes the sheet higher, in rows of a line's length.
    pub(super) grows: f64,
    /// Whether what isn't drawn from stands rather above.
    pub(super) rises: bool,
}

/// Those that are tried (house rule).
pub(super) const TASTES: [Taste; 4] = [
    Taste {
        grows: 0.6,
        rises: true,
    },
    Taste {
        grows: 0.6,
        rises: false,
    },
    Taste {
        grows: 0.1,
        rises: true,
    },
    Taste {
        grows: 2.0,
        rises: false,
    },
];

/// Times that every block is set again.
const SWEEPS: usize = 4;

/// A cell of a block or of a band: column, row.
type Cell = (usize, i32);

/// Nodes that move together.
#[derive(Debug, Clone, Default)]
struct Block {
    nodes: Vec<(usize, i32)>,
    taken: BTreeSet<Cell>,
    fixed: bool,
}

struct Lanes<'g> {
    taste: Taste,
    graph: &'g Graph,
    rank: &'g [usize],
    span: Vec<usize>,
    side: Vec<usize>,
    blocks: Vec<Block>,
    /// For each node its block and its row there.
    at: Vec<Option<(usize, i32)>>,
}

/// Rows for all nodes, band by band; `starts` are the first columns of the bands, `rows` those that the file gives.
pub(super) fn cells(
    graph: &Graph,
    rank: &[usize],
    starts: &[usize],
    rows: &[Option<usize>],
    taste: Taste,
) -> Cells {
    let count = graph.nodes.len();
    let span: Vec<usize> = (0..count)
        .map(|node| match graph.nodes[node].kind.holds() {
            true => graph.out_of(node).count().max(1),
            false => 1,
        })
        .collect();
    let mut out = Cells {
        col: vec![0; count],
        row: vec![0; count],
        span: span.clone(),
        side: vec![0; graph.edges.len()],
        columns: 0,
        rows: 0,
    };
    for (band, start) in starts.iter().enumerate() {
        let end = starts.get(band + 1).copied().unwrap_or(usize::MAX);
        let own: Vec<usize> = (0..count)
            .filter(|node| (*start..end).contains(&rank[*node]))
            .collect();
        let mut lanes = Lanes {
            taste,
            graph,
            rank,
            span: span.clone(),
            side: vec![0; graph.edges.len()],
            blocks: Vec::new(),
            at: vec![None; count],
        };
        lanes.build(&own, rows);
        let placed = lanes.place(rows);
        let least = lanes
            .blocks
            .iter()
            .zip(&placed)
            .flat_map(|(block, row)| block.taken.iter().map(move |cell| cell.1 + row))
            .min()
            .unwrap_or(0);
        let mut last = 0;
        for node in &own {
            let Some((block, row)) = lanes.at[*node] else {
                continue;
            };
            let row = usize::try_from(placed[block] + row - least).unwrap_or(0);
            out.col[*node] = rank[*node] - start;
            out.row[*node] = out.rows + row;
            out.columns = out.columns.max(out.col[*node] + 1);
            last = last.max(row + span[*node]);
            for edge in graph.out_of(*node) {
                out.side[edge] = lanes.side[edge];
            }
        }
        out.rows += last;
    }
    out
}

impl Lanes<'_> {
    fn build(&mut self, own: &[usize], rows: &[Option<usize>]) {
        let trains = trains(self.graph, self.rank, own, rows);
        for train in &trains {
            let mut block = Block::default();
            for pair in train.windows(2) {
                let between = self.rank[pair[0]]..=self.rank[pair[1]];
                block.taken.extend(between.map(|col| (col, 0)));
            }
            for node in train {
                block.nodes.push((*node, 0));
                block.taken.insert((self.rank[*node], 0));
            }
            self.add(block);
        }
        let mut holders: Vec<usize> = own
            .iter()
            .copied()
            .filter(|node| self.at[*node].is_none())
            .collect();
        holders.sort_by_key(|node| (self.rank[*node], *node));
        for node in &holders {
            let mut block = Block::default();
            block.nodes.push((*node, 0));
            let head = if self.graph.nodes[*node].kind.holds() {
                -1
            } else {
                0
            };
            let span = self.span[*node] as i32;
            block
                .taken
                .extend((head..span).map(|row| (self.rank[*node], row)));
            block.fixed = rows[*node].is_some();
            self.add(block);
        }
        for node in holders {
            if !self.graph.nodes[node].kind.holds() {
                continue;
            }
            self.sides(node, &trains);
            if rows[node].is_none() {
                self.attach(node, &trains);
            }
        }
    }

    fn add(&mut self, block: Block) {
        for (node, row) in &block.nodes {
            self.at[*node] = Some((self.blocks.len(), *row));
        }
        self.blocks.push(block);
    }

    /// At which row of a vessel each line leaves it: short trains above, long ones below.
    fn sides(&mut self, node: usize, trains: &[Vec<usize>]) {
        let mut out: Vec<usize> = self.graph.out_of(node).collect();
        out.sort_by_key(|edge| {
            let next = self.graph.edges[*edge].to;
            let length = trains
                .iter()
                .find(|train| train.first() == Some(&next))
                .map_or(0, Vec::len);
            (length, *edge)
        });
        for (row, edge) in out.into_iter().enumerate() {
            self.side[edge] = row;
        }
    }

    /// The trains that leave what holds water go straight on from it; one that fills it ends above its rim.
    fn attach(&mut self, node: usize, trains: &[Vec<usize>]) {
        let graph = self.graph;
        for edge in graph.out_of(node) {
            let next = graph.edges[edge].to;
            let heads = trains.iter().any(|train| train.first() == Some(&next));
            if heads && self.rank[next] > self.rank[node] {
                let row = self.side[edge] as i32;
                self.merge(node, next, row, (self.rank[node] + 1, self.rank[next]));
            }
        }
        let mut fills: Vec<(usize, usize)> = graph
            .into(node)
            .map(|edge| graph.edges[edge].from)
            .filter_map(|before| {
                let train = trains.iter().find(|train| train.last() == Some(&before))?;
                (self.rank[before] < self.rank[node]).then_some((train.len(), before))
            })
            .collect();
        fills.sort_by_key(|(length, before)| (core::cmp::Reverse(*length), *before));
        for (_, before) in fills {
            if self.merge(node, before, -1, (self.rank[before] + 1, self.rank[node])) {
                break;
            }
        }
    }

    /// Puts the block of another node onto that of this one, so that the other stands so many rows below it, with the
    /// row between them kept free; says whether there was room.
    fn merge(&mut self, node: usize, other: usize, below: i32, between: (usize, usize)) -> bool {
        let (Some((block, row)), Some((from, own))) = (self.at[node], self.at[other]) else {
            return false;
        };
        if block == from || self.blocks[block].fixed || self.blocks[from].fixed {
            return false;
        }
        let shift = row + below - own;
        let mut moved: BTreeSet<Cell> = self.blocks[from]
            .taken
            .iter()
            .map(|(col, row)| (*col, row + shift))
            .collect();
        moved.extend((between.0..between.1).map(|col| (col, row + below)));
        if !moved.is_disjoint(&self.blocks[block].taken) {
            return false;
        }
        self.blocks[block].taken.append(&mut moved);
        let nodes = core::mem::take(&mut self.blocks[from]).nodes;
        for (node, row) in nodes {
            self.at[node] = Some((block, row + shift));
            self.blocks[block].nodes.push((node, row + shift));
        }
        true
    }

    /// The row of each block.
    fn place(&self, rows: &[Option<usize>]) -> Vec<i32> {
        let mut placed: Vec<Option<i32>> = vec![None; self.blocks.len()];
        for (at, block) in self.blocks.iter().enumerate() {
            if let (true, Some((node, row))) = (block.fixed, block.nodes.first()) {
                placed[at] = rows[*node].map(|fixed| fixed as i32 - row);
            }
        }
        let free: Vec<usize> = (0..self.blocks.len())
            .filter(|at| !self.blocks[*at].fixed && !self.blocks[*at].nodes.is_empty())
            .collect();
        // The one with the most lines to what stands already, the largest where none has any.
        while let Some(next) = free
            .iter()
            .copied()
            .filter(|at| placed[*at].is_none())
            .max_by_key(|at| {
                let linked = self.links(*at, &placed).len().min(1);
                (linked, self.blocks[*at].nodes.len(), core::cmp::Reverse(*at))
            })
        {
            placed[next] = Some(self.best(next, &placed));
        }
        for _ in 0..SWEEPS {
            for at in &free {
                placed[*at] = None;
                placed[*at] = Some(self.best(*at, &placed));
            }
        }
        placed.into_iter().map(Option::unwrap_or_default).collect()
    }

    /// Pieces between a block and others that stand: the row of its own end in the block, that of the other.
    fn links(&self, block: usize, placed: &[Option<i32>]) -> Vec<(i32, i32, f64)> {
        let row = |node: usize, edge: usize, leaves: bool| {
            let (at, row) = self.at[node]?;
            let shift = match (self.graph.nodes[node].kind.holds(), leaves) {
                (true, true) => self.side[edge] as i32,
                (true, false) => -1,
                (false, _) => 0,
            };
            Some((at, row + shift))
        };
        let mut out = Vec::new();
        for (at, edge) in self.graph.edges.iter().enumerate() {
            let (Some((from, from_row)), Some((to, to_row))) =
                (row(edge.from, at, true), row(edge.to, at, false))
            else {
                continue;
            };
            // What a membrane rejects goes down.
            let lean = if edge.reject { 1.0 } else { 0.0 };
            match (from == block, to == block) {
                (true, false) => {
                    if let Some(row) = placed[to] {
                        out.push((from_row, row + to_row, -lean));
                    }
                }
                (false, true) => {
                    if let Some(row) = placed[from] {
                        out.push((to_row, row + from_row, lean));
                    }
                }
                _ => {}
            }
        }
        out
    }

    /// Where a block's lines are shortest, among those places where nothing else stands.
    fn best(&self, block: usize, placed: &[Option<i32>]) -> i32 {
        let mut taken: BTreeSet<Cell> = BTreeSet::new();
        for (other, row) in placed.iter().enumerate() {
            if let Some(row) = row {
                taken.extend(
                    self.blocks[other]
                        .taken
                        .iter()
                        .map(|(col, own)| (*col, own + row)),
                );
            }
        }
        let own = &self.blocks[block];
        let reach = |cells: &BTreeSet<Cell>| {
            let rows = || cells.iter().map(|cell| cell.1);
            (rows().min().unwrap_or(0), rows().max().unwrap_or(0))
        };
        let ((top, foot), (own_top, own_foot)) = (reach(&taken), reach(&own.taken));
        if taken.is_empty() {
            return -own_top;
        }
        let links = self.links(block, placed);
        let draws = own.nodes.iter().any(|(node, _)| {
            matches!(
                self.graph.nodes[*node].kind,
                Kind::Draw | Kind::Drain | Kind::Tank(_)
            )
        });
        let cost = |row: i32| {
            let length: f64 = links
                .iter()
                .map(|(own, other, lean)| {
                    let down = f64::from(row + own - other);
                    down.abs()
                        + if *lean != 0.0 && down * lean <= 0.0 {
                            6.0
                        } else {
                            0.0
                        }
                })
                .sum();
            // A row of its own makes the sheet higher; what is drawn from hangs rather below.
            let grows = f64::from((top - row - own_top).max(0) + (row + own_foot - foot).max(0));
            let lean = f64::from(row) * if draws || !self.taste.rises { -1e-3 } else { 1e-3 };
            length + self.taste.grows * grows + lean
        };
        let free = |row: i32| {
            own.taken
                .iter()
                .all(|(col, cell)| !taken.contains(&(*col, cell + row)))
        };
        (top - own_foot - 1..=foot - own_top + 1)
            .filter(|row| free(*row))
            .min_by(|a, b| cost(*a).total_cmp(&cost(*b)))
            .unwrap_or(foot - own_top + 1)
    }
}
