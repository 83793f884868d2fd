//! The order in which junctions are eliminated, found once; and the elimination, done at every step.
//!
//! The matrix of a network is symmetric and positive definite, and nearly as sparse as a tree. Eliminating the
//! junction with the fewest neighbours first keeps it so (minimum degree, `TINNEY-WALKER-1967`). The places of all
//! entries that ever arise are laid out here, so that the numbers later need no search and no memory of their own.

use std::collections::BTreeSet;

/// A symmetric matrix with a fixed pattern: first the diagonal, then the entries below it, column by column.
#[derive(Debug, Clone)]
pub(super) struct Pattern {
    size: usize,
    /// For each column the range of its entries, and for each entry its row.
    starts: Vec<usize>,
    rows: Vec<usize>,
    /// For each column and each pair of its entries, in order, the entry that the pair changes.
    targets: Vec<usize>,
    /// For each column the first of its targets.
    first_target: Vec<usize>,
}

impl Pattern {
    /// The order of elimination for a graph of junctions: `order[k]` is the k-th to go.
    pub(super) fn order(size: usize, edges: &[(usize, usize)]) -> Vec<usize> {
        let mut neighbours = adjacency(size, edges);
        let mut left: BTreeSet<usize> = (0..size).collect();
        let mut order = Vec::with_capacity(size);
        while let Some(next) = left.iter().copied().min_by_key(|node| neighbours[*node].len()) {
            left.remove(&next);
            let around = core::mem::take(&mut neighbours[next]);
            for a in &around {
                neighbours[*a].remove(&next);
                for b in &around {
                    if a != b {
                        neighbours[*a].insert(*b);
                    }
                }
            }
            order.push(next);
        }
        order
    }

    /// The pattern of a graph whose junctions are numbered in the order of elimination.
    pub(super) fn new(size: usize, edges: &[(usize, usize)]) -> Self {
        let mut neighbours = adjacency(size, edges);
        let (mut starts, mut rows) = (vec![0], Vec::new());
        for column in 0..size {
            let below: Vec<usize> = neighbours[column]
                .iter()
                .copied()
                .filter(|row| *row > column)
                .collect();
            for a in &below {
                for b in &below {
                    if a != b {
                        neighbours[*a].insert(*b);
                    }
                }
            }
            rows.extend(below);
            starts.push(rows.len());
        }
        let mut pattern = Self {
            size,
            starts,
            rows,
            targets: Vec::new(),
            first_target: Vec::new(),
        };
        let mut targets = Vec::new();
        for column in 0..size {
            pattern.first_target.push(targets.len());
            let entries = &pattern.rows[pattern.starts[column]..pattern.starts[column + 1]];
            for (at, a) in entries.iter().enumerate() {
                for b in &entries[..=at] {
                    targets.push(pattern.place(*a, *b));
                }
            }
        }
        pattern.targets = targets;
        pattern
    }

    /// Numbers that a matrix of this pattern has.
    pub(super) fn len(&self) -> usize {
        self.size + self.rows.len()
    }

    /// Place of the entry of a row and a column that the pattern holds.
    pub(super) fn place(&self, a: usize, b: usize) -> usize {
        if a == b {
            return a;
        }
        let (row, column) = (a.max(b), a.min(b));
        let entries = &self.rows[self.starts[column]..self.starts[column + 1]];
        match entries.iter().position(|entry| *entry == row) {
            Some(at) => self.size + self.starts[column] + at,
            None => unreachable!("an edge of the graph the pattern was made of"),
        }
    }

    /// Solves for `right`, in place, in some columns in their order; the others must hold nothing and are left as they are.
    /// The matrix is left factored.
    #[inline]
    pub(super) fn solve(&self, columns: &[usize], values: &mut [f64], right: &mut [f64]) {
        let (diagonal, below) = values.split_at_mut(self.size);
        for column in columns.iter().copied() {
            let inverse = 1.0 / diagonal[column];
            let entries = self.starts[column]..self.starts[column + 1];
            let carried = right[column];
            let mut targets = self.targets[self.first_target[column]..].iter();
            for a in entries.clone() {
                let factor = below[a] * inverse;
                for (b, target) in (entries.start..=a).zip(&mut targets) {
                    let less = factor * below[b];
                    match target.checked_sub(self.size) {
                        None => diagonal[*target] -= less,
                        Some(at) => below[at] -= less,
                    }
                }
                right[self.rows[a]] -= factor * carried;
            }
            for entry in &mut below[entries] {
                *entry *= inverse;
            }
            right[column] = carried * inverse;
        }
        for column in columns.iter().rev().copied() {
            let entries = self.starts[column]..self.starts[column + 1];
            let mut value = right[column];
            for (entry, row) in below[entries.clone()].iter().zip(&self.rows[entries]) {
                value -= entry * right[*row];
            }
            right[column] = value;
        }
    }
}

fn adjacency(size: usize, edges: &[(usize, usize)]) -> Vec<BTreeSet<usize>> {
    let mut neighbours = vec![BTreeSet::new(); size];
    for (a, b) in edges {
        if a != b {
            neighbours[*a].insert(*b);
            neighbours[*b].insert(*a);
        }
    }
    neighbours
}
