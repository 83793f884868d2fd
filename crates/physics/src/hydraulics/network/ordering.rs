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

    /// An elimination with room for the whole pattern.
    pub(super) fn room(&self) -> Elimination {
        Elimination {
            columns: Vec::with_capacity(self.size),
            entries: Vec::with_capacity(self.rows.len()),
            targets: Vec::with_capacity(self.targets.len()),
            full: vec![false; self.rows.len()],
        }
    }

    /// Lays out the elimination of some columns, in their order, where only the entries at some places hold anything at
    /// first (`usize::MAX` is none). The others stay 0 but for those that the elimination fills.
    pub(super) fn lay_out(
        &self,
        columns: &[usize],
        entries: impl Iterator<Item = usize>,
        out: &mut Elimination,
    ) {
        out.columns.clear();
        out.entries.clear();
        out.targets.clear();
        out.full.fill(false);
        let between = entries.filter(|place| *place != usize::MAX);
        // A ring that ends where it begins adds nothing beside the diagonal.
        for entry in between.filter_map(|place| place.checked_sub(self.size)) {
            out.full[entry] = true;
        }
        for column in columns.iter().copied() {
            let first = self.starts[column];
            let (first_entry, first_target) = (out.entries.len(), out.targets.len());
            let mut targets = self.targets[self.first_target[column]..].iter().copied();
            for a in first..self.starts[column + 1] {
                for (b, target) in (first..=a).zip(&mut targets) {
                    if out.full[a] && out.full[b] {
                        out.targets.push(target);
                        if let Some(entry) = target.checked_sub(self.size) {
                            out.full[entry] = true;
                        }
                    }
                }
                if out.full[a] {
                    out.entries.push((self.size + a, self.rows[a]));
                }
            }
            let last_entry = out.entries.len();
            let below = match out.entries[first_entry..] {
                [] => Below::Nothing,
                [(entry, row)] => Below::One { entry, row },
                _ => Below::Many {
                    entries: (first_entry, last_entry),
                    first_target,
                },
            };
            out.columns.push(Column { column, below });
        }
    }
}

/// One column of an elimination.
#[derive(Debug, Clone, Copy)]
struct Column {
    column: usize,
    below: Below,
}

/// What a column holds below its diagonal.
#[derive(Debug, Clone, Copy)]
enum Below {
    Nothing,
    /// By far the most, even where there are rings.
    One {
        entry: usize,
        row: usize,
    },
    Many {
        /// The range of its entries.
        entries: (usize, usize),
        first_target: usize,
    },
}

/// The elimination of those columns and entries that hold anything: what is 0 throughout isn't touched.
#[derive(Debug, Clone)]
pub(super) struct Elimination {
    columns: Vec<Column>,
    /// Place and row of each entry, column by column.
    entries: Vec<(usize, usize)>,
    /// For each column and each pair of its entries, in order, the place that the pair changes.
    targets: Vec<usize>,
    /// By entry of the pattern: whether it holds anything.
    full: Vec<bool>,
}

impl Elimination {
    /// Solves for `right`, in place. The matrix is left factored.
    #[inline]
    pub(super) fn solve(&self, values: &mut [f64], right: &mut [f64]) {
        for own in &self.columns {
            let inverse = 1.0 / values[own.column];
            let carried = right[own.column];
            right[own.column] = carried * inverse;
            match own.below {
                Below::Nothing => {}
                Below::One { entry, row } => {
                    let value = values[entry];
                    let factor = value * inverse;
                    values[entry] = factor;
                    values[row] -= factor * value;
                    right[row] -= factor * carried;
                }
                Below::Many {
                    entries: (first, last),
                    first_target,
                } => {
                    let entries = &self.entries[first..last];
                    let mut targets = self.targets[first_target..].iter();
                    for (at, (a, row)) in entries.iter().enumerate() {
                        let factor = values[*a] * inverse;
                        for ((b, _), target) in entries[..=at].iter().zip(&mut targets) {
                            values[*target] -= factor * values[*b];
                        }
                        right[*row] -= factor * carried;
                    }
                    for (entry, _) in entries {
                        values[*entry] *= inverse;
                    }
                }
            }
        }
        for own in self.columns.iter().rev() {
            match own.below {
                Below::Nothing => {}
                Below::One { entry, row } => right[own.column] -= values[entry] * right[row],
                Below::Many {
                    entries: (first, last),
                    ..
                } => {
                    let entries = &self.entries[first..last];
                    let above = entries.iter().map(|(entry, row)| values[*entry] * right[*row]);
                    right[own.column] = above.fold(right[own.column], |value, above| value - above);
                }
            }
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
