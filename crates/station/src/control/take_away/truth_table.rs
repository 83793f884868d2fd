//! The control as truth tables: for what is switched, and for each thing that it remembers, what it comes to in each case.
//!
//! A column is a wire that isn't made of others in the same instant: an input, a timer that has run out, an edge, a
//! comparison, a latch, whose own table follows. A latch has itself as first column: `before`. What doesn't matter in a
//! row is left out, and rows that come to the same are merged. A table of more than sixteen rows is parted: what it reads
//! gets tables of its own.

use std::collections::VecDeque;

use super::super::block::{Block, Kind, Read};
use super::super::program::Program;
use super::cubes::{Cube, cover};
use super::facts::{Facts, time};

/// Most rows of a table that isn't parted.
pub const MOST_ROWS: usize = 16;
/// Most columns that are looked at together.
const MOST_COLUMNS: usize = 8;

/// One table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TruthTable {
    /// The wire that it tells of.
    pub wire: usize,
    /// What that says when it is on.
    pub says: String,
    /// Tags of what follows the wire.
    pub switches: Vec<String>,
    /// The columns.
    pub columns: Vec<Column>,
    /// The rows; every case fits one or more, and all that it fits say the same.
    pub rows: Vec<TruthRow>,
}

/// A column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// The wire; the table's own where it is what was before.
    pub wire: usize,
    /// What it says when it is on.
    pub says: String,
}

/// A row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TruthRow {
    /// For each column on, off, or nothing where it doesn't matter.
    pub cells: Vec<Option<bool>>,
    /// What the wire is then.
    pub on: bool,
}

impl TruthTable {
    /// What the wire is while the columns are so; `None` where no row fits, which a test rules out.
    pub fn look_up(&self, columns: &[bool]) -> Option<bool> {
        let fits = |row: &&TruthRow| {
            row.cells
                .iter()
                .zip(columns)
                .all(|(cell, is)| cell.is_none_or(|cell| cell == *is))
        };
        self.rows.iter().find(fits).map(|row| row.on)
    }
}

/// All tables of a program: first of what is switched, then of what those read.
pub(super) fn truth_tables(program: &Program, facts: &Facts) -> Vec<TruthTable> {
    let inputs = program.inputs().len();
    let mut todo: VecDeque<usize> = (0..program.outputs().len())
        .filter_map(|output| program.wire_of(output))
        .collect();
    let mut done = vec![false; inputs + program.blocks().len()];
    let mut tables = Vec::new();
    while let Some(wire) = todo.pop_front() {
        if core::mem::replace(&mut done[wire], true) {
            continue;
        }
        let Some(block) = wire.checked_sub(inputs).map(|at| &program.blocks()[at]) else {
            continue;
        };
        if !is_table(block) {
            // What a timer or an edge reads.
            todo.extend(program.reads(block).iter().map(|read| usize::from(read.wire)));
            continue;
        }
        let table = table(program, facts, wire, block);
        todo.extend(table.columns.iter().map(|column| column.wire));
        tables.push(table);
    }
    tables
}

/// Whether a block is told by a table; the others are columns.
fn is_table(block: &Block) -> bool {
    matches!(block.kind, Kind::All | Kind::Any | Kind::Latch { .. })
}

fn table(program: &Program, facts: &Facts, wire: usize, block: &Block) -> TruthTable {
    let whole = columns(program, wire, block, false);
    let rows = (whole.len() <= MOST_COLUMNS)
        .then(|| rows_of(program, block, wire, &whole))
        .filter(|rows| rows.len() <= MOST_ROWS);
    let (wires, rows) = match rows {
        Some(rows) => (whole, rows),
        None => {
            let near = columns(program, wire, block, true);
            let rows = match near.len() <= MOST_COLUMNS {
                true => rows_of(program, block, wire, &near),
                false => plain_rows(program, block, &near),
            };
            (near, rows)
        }
    };
    let (wires, rows) = that_matter(&wires, &rows);
    let tags = program.outputs().enumerate();
    TruthTable {
        wire,
        says: program.name(wire).to_owned(),
        switches: tags
            .filter(|(at, _)| program.wire_of(*at) == Some(wire))
            .map(|(_, output)| facts.counts.output(output))
            .collect(),
        columns: wires
            .iter()
            .map(|own| Column {
                wire: *own,
                says: said(program, facts, *own, wire),
            })
            .collect(),
        rows,
    }
}

/// Without the columns that matter in no row.
fn that_matter(wires: &[usize], rows: &[TruthRow]) -> (Vec<usize>, Vec<TruthRow>) {
    let matters: Vec<bool> = (0..wires.len())
        .map(|at| rows.iter().any(|row| row.cells[at].is_some()))
        .collect();
    let kept = |at: &usize| matters[*at];
    let row = |row: &TruthRow| TruthRow {
        cells: (0..wires.len()).filter(kept).map(|at| row.cells[at]).collect(),
        on: row.on,
    };
    (
        (0..wires.len()).filter(kept).map(|at| wires[at]).collect(),
        rows.iter().map(row).collect(),
    )
}

/// What a column says, with the time or the temperature of what isn't told by a table.
fn said(program: &Program, facts: &Facts, column: usize, own: usize) -> String {
    let name = program.name(column);
    if column == own {
        return format!("{name}, before");
    }
    let Some(block) = column
        .checked_sub(program.inputs().len())
        .map(|at| &program.blocks()[at])
    else {
        let height = program.inputs().get(column).map(|input| facts.height_of(*input));
        return format!("{name}{}", height.unwrap_or_default());
    };
    let read = || {
        let first = program.reads(block).first();
        first.map_or_else(String::new, |read| facts.said(program, read))
    };
    match block.kind {
        Kind::OnDelay { delay_s } => format!("{name} ({}, for {})", read(), time(delay_s)),
        Kind::RisingEdge => format!("{name} (only as that begins: {})", read()),
        Kind::Colder {
            on_below_c, off_at_c, ..
        } => format!(
            "{name} (on below {}, off from {} on)",
            facts.temperature(on_below_c),
            facts.temperature(off_at_c)
        ),
        Kind::Daily { for_s, .. } => format!("{name} (for {} a day)", time(for_s)),
        Kind::All | Kind::Any | Kind::Latch { .. } => name.to_owned(),
    }
}

/// The wires that a block depends on in an instant; only those that it reads itself where `near` is asked. A latch's own
/// stands first.
fn columns(program: &Program, wire: usize, block: &Block, near: bool) -> Vec<usize> {
    let mut found: Vec<usize> = Vec::new();
    if matches!(block.kind, Kind::Latch { .. }) {
        found.push(wire);
    }
    let mut todo: Vec<usize> = reads_of(program, block);
    while let Some(next) = todo.pop() {
        match combined(program, next) {
            Some(block) if !near => todo.extend(reads_of(program, block)),
            _ if !found.contains(&next) => found.push(next),
            _ => {}
        }
    }
    found
}

/// The reads of a block, the first on top of a stack.
fn reads_of(program: &Program, block: &Block) -> Vec<usize> {
    let reads = program.reads(block).iter().rev();
    reads.map(|read| usize::from(read.wire)).collect()
}

/// The block of a wire, where that is made of others in an instant.
fn combined(program: &Program, wire: usize) -> Option<&Block> {
    let block = program.blocks().get(wire.checked_sub(program.inputs().len())?)?;
    matches!(block.kind, Kind::All | Kind::Any).then_some(block)
}

/// Rows by looking at every case.
fn rows_of(program: &Program, block: &Block, wire: usize, columns: &[usize]) -> Vec<TruthRow> {
    let count = u32::try_from(columns.len()).unwrap_or(u32::MAX);
    let mut cases: [Vec<u32>; 2] = [Vec::new(), Vec::new()];
    for state in 0..1_u32 << count {
        let on = |wire: usize| {
            let at = columns.iter().position(|own| *own == wire);
            at.map(|at| state >> at & 1 == 1)
        };
        cases[usize::from(is_on(program, block, wire, &on))].push(state);
    }
    let mut rows: Vec<TruthRow> = Vec::new();
    for (on, states) in [(true, &cases[1]), (false, &cases[0])] {
        let mut cubes: Vec<Cube> = cover(count, states);
        // Those that say most first, in the order of the columns.
        cubes.sort_by_key(|cube| (cube.care.reverse_bits(), cube.value.reverse_bits()));
        cubes.reverse();
        rows.extend(cubes.into_iter().map(|cube| {
            TruthRow {
                cells: (0..count)
                    .map(|at| (cube.care >> at & 1 == 1).then_some(cube.value >> at & 1 == 1))
                    .collect(),
                on,
            }
        }));
    }
    rows
}

/// What a block comes to while its columns are so.
fn is_on(program: &Program, block: &Block, wire: usize, column: &impl Fn(usize) -> Option<bool>) -> bool {
    let value = |read: &Read| {
        let wire = usize::from(read.wire);
        let on = column(wire).unwrap_or_else(|| match combined(program, wire) {
            Some(block) => is_on(program, block, wire, column),
            None => false,
        });
        on != read.negated
    };
    let reads = program.reads(block);
    match block.kind {
        Kind::All => reads.iter().all(value),
        Kind::Any => reads.iter().any(value),
        Kind::Latch { .. } => {
            let [set, reset] = [reads.first().is_some_and(value), reads.get(1).is_some_and(value)];
            !reset && (set || column(wire).unwrap_or_default())
        }
        Kind::OnDelay { .. } | Kind::RisingEdge | Kind::Colder { .. } | Kind::Daily { .. } => false,
    }
}

/// Rows of a block with more reads than can be looked at together. Only all and any have so many.
fn plain_rows(program: &Program, block: &Block, columns: &[usize]) -> Vec<TruthRow> {
    let all = matches!(block.kind, Kind::All);
    // What each column must be for the block to be on, or to be off where one is enough.
    let wanted: Vec<bool> = columns
        .iter()
        .map(|wire| {
            let mut reads = program.reads(block).iter();
            !reads.any(|read| usize::from(read.wire) == *wire && read.negated)
        })
        .collect();
    let together = TruthRow {
        cells: wanted.iter().map(|on| Some(*on == all)).collect(),
        on: all,
    };
    let single = (0..columns.len()).map(|at| TruthRow {
        cells: wanted
            .iter()
            .enumerate()
            .map(|(own, on)| (own == at).then_some(*on != all))
            .collect(),
        on: !all,
    });
    core::iter::once(together).chain(single).collect()
}
