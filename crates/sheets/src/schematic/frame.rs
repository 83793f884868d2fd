//! The grid with what stands in it, stretched to the paper: how wide its columns and channels are, how high its rows.

use super::graph::{Graph, Kind};
use super::grid::{Grid, Heading, Port};
use super::lanes::Cells;
use super::layout::Layout;
use super::measure::{FLOOR_MM, INSET_MM, MEMBRANE_MM, STEP_MM, Size};
use super::route::Way;
use super::symbols::sides;
use crate::drawing::{Point, at};

/// Between two columns where no line runs up or down; from what stands there to a line that does; between two such.
pub(super) const GAP_MM: f64 = 3.2;
const CLEAR_MM: f64 = 2.4;
const TRACK_MM: f64 = 2.6;
/// How much closer lines may stand where they must.
const CLOSE: f64 = 0.7;
/// The same between rows.
const ROW_GAP_MM: f64 = 2.4;
const ROW_CLEAR_MM: f64 = 1.6;
/// What a channel may be wider than it must where the paper has room (house rule).
const MOST_SLACK_MM: f64 = 7.0;
/// Least distance above and below a line that leaves a vessel.
const OUTLET_MM: f64 = 1.5;
/// White above and below.
const MARGIN_MM: f64 = 2.0;

/// The grid with the sizes of what stands in it.
pub(super) struct Frame {
    pub(super) grid: Grid,
    widths_mm: Vec<f64>,
    /// Above and below the line of each row.
    above_mm: Vec<f64>,
    below_mm: Vec<f64>,
}

impl Frame {
    pub(super) fn new(graph: &Graph, sizes: &[Size], cells: &Cells, tracks: usize) -> Self {
        let mut widths_mm = vec![0.0_f64; cells.columns];
        let mut lines = vec![1_usize; cells.columns];
        let mut above_mm = vec![0.0_f64; cells.rows];
        let mut below_mm = vec![0.0_f64; cells.rows];
        for (node, size) in sizes.iter().enumerate() {
            let (col, row) = (cells.col[node], cells.row[node]);
            widths_mm[col] = widths_mm[col].max(size.width_mm);
            let kind = graph.nodes[node].kind;
            let own = match kind {
                Kind::Membrane => 3,
                kind if kind.holds() => graph.into(node).count().max(1),
                _ => 1,
            };
            lines[col] = lines[col].max(own);
            above_mm[row] = above_mm[row].max(size.above_mm);
            let last = row + cells.span[node] - 1;
            below_mm[last] = below_mm[last].max(size.below_mm);
        }
        for (own, width) in lines.iter().zip(&mut widths_mm) {
            *width = width.max(2.0 * INSET_MM + (*own as f64 - 1.0) * STEP_MM);
        }
        // What holds water is as high as it must be: its first row goes down.
        for (node, size) in sizes.iter().enumerate() {
            let row = cells.row[node];
            let span = row..row + cells.span[node];
            // What leaves it does so at a distance from the next.
            for own in span.clone() {
                above_mm[own] = above_mm[own].max(OUTLET_MM);
                below_mm[own] = below_mm[own].max(OUTLET_MM);
            }
            let height = above_mm[span.clone()]
                .iter()
                .chain(&below_mm[row..span.end - 1])
                .sum::<f64>()
                + FLOOR_MM;
            above_mm[row] += (size.body_mm - height).max(0.0);
        }
        Self {
            grid: Grid::new(cells, lines, tracks, tracks),
            widths_mm,
            above_mm,
            below_mm,
        }
    }

    /// How high all rows are at the least.
    pub(super) fn rows_mm(&self) -> f64 {
        self.above_mm.iter().chain(&self.below_mm).sum()
    }

    /// How wide it is at the least.
    pub(super) fn least_mm(&self) -> f64 {
        self.widths_mm.iter().sum::<f64>() + GAP_MM * (self.widths_mm.len() as f64 - 1.0)
    }

    /// Places of the upright lines before it is known which are used.
    pub(super) fn nominal_x(&self) -> Vec<f64> {
        let all = vec![false; self.grid.width];
        self.x(&all, (1.0, 1.0), true).0
    }

    pub(super) fn nominal_y(&self) -> Vec<f64> {
        let all = vec![false; self.grid.height];
        self.y(&all, true).0
    }

    /// Places of the upright lines, and the left edges of the columns; each inner channel wider by some.
    fn x(&self, used: &[bool], (slack_mm, pitch): (f64, f64), nominal: bool) -> (Vec<f64>, Vec<f64>) {
        let mut places = vec![0.0; self.grid.width];
        let mut edges = Vec::new();
        let mut left = 0.0;
        let columns = self.widths_mm.len();
        for col in 0..=columns {
            let first = self.grid.channel(col);
            let outer = col == 0 || col == columns;
            let least = if outer { 0.0 } else { GAP_MM + slack_mm };
            let clear_mm = pitch * CLEAR_MM;
            let clear = (
                if col == 0 { 0.0 } else { clear_mm },
                if col == columns { 0.0 } else { clear_mm },
            );
            let own = first..first + self.grid.upright;
            left += channel(
                &mut places[own.clone()],
                &used[own],
                left,
                least,
                clear,
                pitch * TRACK_MM,
                nominal,
            );
            if let Some(width) = self.widths_mm.get(col) {
                edges.push(left);
                for line in 0..self.grid.lines[col] {
                    places[self.grid.column(col) + line] = left + INSET_MM + line as f64 * STEP_MM;
                }
                left += width;
            }
        }
        edges.push(left);
        (places, edges)
    }

    /// Places of the level lines, and the whole height.
    fn y(&self, used: &[bool], nominal: bool) -> (Vec<f64>, f64) {
        let mut places = vec![0.0; self.grid.height];
        let mut top = MARGIN_MM;
        let rows = self.above_mm.len();
        for row in 0..=rows {
            let first = self.grid.gap(row);
            let outer = row == 0 || row == rows;
            // Rows in which nothing stands and nothing runs are none.
            let filled = |row: usize| {
                row < rows && (self.above_mm[row] + self.below_mm[row] > 0.0 || used[self.grid.row(row)])
            };
            let between = filled(row) && (0..row).any(filled);
            let least = if !outer && between { ROW_GAP_MM } else { 0.0 };
            let clear = (
                if row == 0 { 0.0 } else { ROW_CLEAR_MM },
                if row == rows { 0.0 } else { ROW_CLEAR_MM },
            );
            let own = first..first + self.grid.level;
            top += channel(
                &mut places[own.clone()],
                &used[own],
                top,
                least,
                clear,
                TRACK_MM,
                nominal,
            );
            if row < rows {
                let runs = used[self.grid.row(row)];
                let least = if runs { ROW_CLEAR_MM / 2.0 } else { 0.0 };
                top += self.above_mm[row].max(least);
                places[self.grid.row(row)] = top;
                top += self.below_mm[row].max(least);
            }
        }
        (places, top + MARGIN_MM)
    }

    /// The paper: every line of the grid at its place, and everything on it.
    pub(super) fn stretched(
        &self,
        graph: &Graph,
        sizes: &[Size],
        cells: &Cells,
        ways: &[Way],
        room_mm: f64,
    ) -> Option<Layout> {
        let (mut upright, mut level) = (vec![false; self.grid.width], vec![false; self.grid.height]);
        for way in ways {
            for pair in way.points.windows(2) {
                match pair[0].0 == pair[1].0 {
                    true => upright[pair[0].0] = true,
                    false => level[pair[0].1] = true,
                }
            }
        }
        // Lines stand closer where the paper is too narrow otherwise.
        let mut pitch = 1.0;
        let mut least = self.x(&upright, (0.0, pitch), false).1.last().copied()?;
        if least > room_mm + 1e-9 {
            pitch = CLOSE;
            least = self.x(&upright, (0.0, pitch), false).1.last().copied()?;
        }
        if least > room_mm + 1e-9 {
            return None;
        }
        let inner = (self.widths_mm.len() as f64 - 1.0).max(1.0);
        // Channels that lines run in have room already; the rest is shared, and checked again.
        let mut slack = ((room_mm - least) / inner).min(MOST_SLACK_MM);
        let (mut x, mut edges) = self.x(&upright, (slack, pitch), false);
        while edges.last().is_some_and(|right| *right > room_mm + 1e-9) && slack > 1e-3 {
            slack *= 0.8;
            (x, edges) = self.x(&upright, (slack, pitch), false);
        }
        let width_mm = edges.last().copied()?;
        let (y, height_mm) = self.y(&level, false);
        let row = |row: usize| y[self.grid.row(row)];
        let mut places = Vec::new();
        let mut bodies = Vec::new();
        let mut widths_mm = Vec::new();
        for (node, size) in sizes.iter().enumerate() {
            let (col, first) = (cells.col[node], cells.row[node]);
            let last = first + cells.span[node] - 1;
            places.push(at(edges[col], row(first)));
            widths_mm.push(match graph.nodes[node].kind {
                Kind::Joint | Kind::Membrane => size.width_mm,
                kind if kind.holds() => size.width_mm,
                _ => self.widths_mm[col],
            });
            bodies.push((row(first) - self.above_mm[first], row(last) + FLOOR_MM));
        }
        let mut layout = Layout {
            graph: graph.clone(),
            sizes: sizes.to_vec(),
            places,
            widths_mm,
            bodies,
            ways: Vec::new(),
            width_mm,
            height_mm,
        };
        for (edge, way) in graph.edges.iter().zip(ways) {
            let mut points = vec![layout.port(edge.from, way.from, &x, &y, (cells, &self.grid))];
            points.extend(way.points.iter().map(|(v, h)| at(x[*v], y[*h])));
            points.push(layout.port(edge.to, way.to, &x, &y, (cells, &self.grid)));
            layout.ways.push(straightened(points));
        }
        Some(layout)
    }
}

impl Layout {
    /// Where a pipe meets a node.
    fn port(&self, node: usize, port: Port, x: &[f64], y: &[f64], (cells, grid): (&Cells, &Grid)) -> Point {
        let upright = x[grid.column(cells.col[node]) + port.line];
        let level = y[grid.row(cells.row[node] + port.row)];
        let [left, right] = sides(self, node);
        let (top, foot) = match self.graph.nodes[node].kind {
            kind if kind.holds() => self.bodies[node],
            Kind::Membrane => {
                let half = MEMBRANE_MM.1 / 2.0;
                (level - half, level + half)
            }
            _ => (level, level),
        };
        match port.side {
            Heading::East => at(right, level),
            Heading::West => at(left, level),
            Heading::North => at(upright, top),
            Heading::South => at(upright, foot),
        }
    }
}

/// Places within one channel of those tracks that are used; says how wide it is.
fn channel(
    places: &mut [f64],
    used: &[bool],
    from_mm: f64,
    least_mm: f64,
    (before, behind): (f64, f64),
    apart_mm: f64,
    nominal: bool,
) -> f64 {
    if nominal {
        for (at, place) in places.iter_mut().enumerate() {
            *place = from_mm + 1.0 + 0.6 * at as f64;
        }
        return 2.0 + 0.6 * places.len() as f64;
    }
    let count = used.iter().filter(|used| **used).count();
    let need = match count {
        0 => 0.0,
        count => before + behind + (count as f64 - 1.0) * apart_mm,
    };
    let wide = least_mm.max(need);
    // Those that are used stand in the middle; each other one with the next that is.
    let mut next = from_mm + before + (wide - need) / 2.0;
    for (place, used) in places.iter_mut().zip(used) {
        *place = next.min(from_mm + wide);
        if *used {
            next += apart_mm;
        }
    }
    wide
}

/// Without points that lie on a straight line between their neighbours.
fn straightened(points: Vec<Point>) -> Vec<Point> {
    let mut out: Vec<Point> = Vec::new();
    for point in points {
        if out.last().is_some_and(|last| near(*last, point)) {
            continue;
        }
        if let [.., a, b] = out.as_slice()
            && ((a.x_mm - b.x_mm).abs() < 1e-9 && (b.x_mm - point.x_mm).abs() < 1e-9
                || (a.y_mm - b.y_mm).abs() < 1e-9 && (b.y_mm - point.y_mm).abs() < 1e-9)
        {
            out.pop();
        }
        out.push(point);
    }
    out
}

fn near(a: Point, b: Point) -> bool {
    (a.x_mm - b.x_mm).abs() < 1e-9 && (a.y_mm - b.y_mm).abs() < 1e-9
}
