//! The grid that lines run on: tracks in the channels between columns and rows, the row of each train, and the lines of
//! each column that lead into things from above and below.
//!
//! A point is where an upright and a level line of the grid cross. What stands in a cell keeps its points; the grid is
//! stretched afterwards, so that what doesn't meet here doesn't meet on the paper.

use super::lanes::Cells;

/// Indices of an upright and of a level line.
pub(super) type Point = (usize, usize);

/// Where a line goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Heading {
    East,
    South,
    West,
    North,
}

impl Heading {
    pub(crate) const ALL: [Self; 4] = [Self::East, Self::South, Self::West, Self::North];

    pub(crate) fn back(self) -> Self {
        match self {
            Self::East => Self::West,
            Self::South => Self::North,
            Self::West => Self::East,
            Self::North => Self::South,
        }
    }

    pub(crate) fn is_level(self) -> bool {
        matches!(self, Self::East | Self::West)
    }
}

/// A way into a node, or out of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Port {
    /// On which side of the node.
    pub(super) side: Heading,
    /// Which of the lines of its column, for the upper and lower side.
    pub(super) line: usize,
    /// Which of its rows.
    pub(super) row: usize,
}

/// Sizes of the grid.
#[derive(Debug, Clone)]
pub(super) struct Grid {
    /// Tracks in each channel between columns, and between rows.
    pub(super) upright: usize,
    pub(super) level: usize,
    /// Upright lines within each column.
    pub(super) lines: Vec<usize>,
    column: Vec<usize>,
    pub(super) width: usize,
    pub(super) height: usize,
}

impl Grid {
    pub(super) fn new(cells: &Cells, lines: Vec<usize>, upright: usize, level: usize) -> Self {
        let mut column = Vec::with_capacity(lines.len());
        let mut next = upright;
        for own in &lines {
            column.push(next);
            next += own + upright;
        }
        Self {
            upright,
            level,
            lines,
            column,
            width: next,
            height: cells.rows * (level + 1) + level,
        }
    }

    /// The first upright line of a column.
    pub(super) fn column(&self, col: usize) -> usize {
        self.column[col]
    }

    /// The first track of the channel left of a column.
    pub(super) fn channel(&self, col: usize) -> usize {
        match self.column.get(col) {
            Some(first) => first - self.upright,
            None => self.width - self.upright,
        }
    }

    /// The level line of a row.
    pub(super) fn row(&self, row: usize) -> usize {
        row * (self.level + 1) + self.level
    }

    /// The first track of the channel above a row.
    pub(super) fn gap(&self, row: usize) -> usize {
        row * (self.level + 1)
    }

    pub(super) fn index(&self, (v, h): Point) -> usize {
        h * self.width + v
    }

    /// The next point that way.
    pub(super) fn next(&self, (v, h): Point, heading: Heading) -> Option<Point> {
        match heading {
            Heading::East => (v + 1 < self.width).then_some((v + 1, h)),
            Heading::West => v.checked_sub(1).map(|v| (v, h)),
            Heading::South => (h + 1 < self.height).then_some((v, h + 1)),
            Heading::North => h.checked_sub(1).map(|h| (v, h)),
        }
    }

    /// The first point outside a node behind its port.
    pub(super) fn outside(&self, cells: &Cells, node: usize, port: Port) -> Point {
        let (col, row) = (cells.col[node], cells.row[node]);
        let upright = self.column(col) + port.line;
        match port.side {
            Heading::East => (self.channel(col + 1), self.row(row + port.row)),
            Heading::West => (self.channel(col) + self.upright - 1, self.row(row + port.row)),
            Heading::North => (upright, self.gap(row) + self.level - 1),
            Heading::South => (upright, self.gap(row + cells.span[node])),
        }
    }
}
