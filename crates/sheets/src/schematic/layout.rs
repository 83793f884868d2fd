//! From the graph to places on the paper: columns, folds, rows, ways, and the grid stretched to what stands in it.

use super::graph::{Graph, Kind};
use super::grid::{Grid, Heading, Port};
use super::lanes::{Cells, TASTES, cells};
use super::measure::{FLOOR_MM, INSET_MM, STEP_MM, Size, size, words};
use super::rank::{folds, ranks};
use super::route::{Way, route};
use crate::drawing::{EDGE_MM, Point, at};

/// Between two columns where no line runs up or down; from what stands there to a line that does; between two such.
const GAP_MM: f64 = 3.2;
const CLEAR_MM: f64 = 2.4;
const TRACK_MM: f64 = 2.6;
/// How much closer lines may stand where they must.
const CLOSE: f64 = 0.7;
/// The same between rows.
const ROW_GAP_MM: f64 = 2.4;
const ROW_CLEAR_MM: f64 = 1.6;
/// What a channel may be wider than it must where the paper has room (house rule).
const MOST_SLACK_MM: f64 = 7.0;
/// Widths of names that are tried, the widest first.
const NAMES_MM: [f64; 7] = [26.0, 21.0, 17.0, 14.0, 12.0, 10.0, 8.0];
/// Least distance above and below a line that leaves a vessel.
const OUTLET_MM: f64 = 1.5;
/// White above and below.
const MARGIN_MM: f64 = 2.0;

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

/// What a line from band to band counts as when columns are folded, mm of width: both are tried.
const CROSSING_MM: [f64; 3] = [3.0, 15.0, 60.0];
/// What such a line counts as that pours into a vessel (house rule).
const POURS: f64 = 0.4;
/// What such a line counts as that ends in the open (house rule).
const ENDS: f64 = 4.0;

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
        let mut tries = tries(graph, &sized, (&columns, &rows), bands, room_mm);
        if bands < count {
            let more = self::tries(graph, &sized, (&columns, &rows), bands + 1, room_mm);
            tries.extend(more);
        }
        let promise = |one: &Try| one.worth + OVER * (one.height_mm - most_mm).max(0.0);
        tries.sort_by(|a, b| promise(a).total_cmp(&promise(b)));
        let mut best: Option<(f64, Layout)> = None;
        let (mut left, mut failed) = (MOST_TRIES, 0);
        for one in tries {
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

/// Cells to try, and which sizes they are for.
struct Try {
    sizes: usize,
    cells: Cells,
    worth: f64,
    height_mm: f64,
}

/// All ways to set the graph in so many bands.
fn tries(
    graph: &Graph,
    sized: &[Vec<Size>],
    (columns, rows): (&[usize], &[Option<usize>]),
    bands: usize,
    room_mm: f64,
) -> Vec<Try> {
    let mut out: Vec<Try> = Vec::new();
    let mut seen: Vec<Vec<usize>> = Vec::new();
    for crossing_mm in CROSSING_MM {
        for (at, sizes) in sized.iter().enumerate() {
            let Some(starts) = fold(graph, sizes, columns, (bands, crossing_mm), room_mm) else {
                continue;
            };
            // Narrower names of the same bands leave more room for lines.
            if seen.iter().filter(|seen| **seen == starts).count() > 1 {
                continue;
            }
            for taste in TASTES {
                let cells = cells(graph, columns, &starts, rows, taste);
                if !out.iter().any(|one| one.sizes == at && one.cells == cells) {
                    let (worth, height_mm) = promise(graph, sizes, &cells);
                    out.push(Try {
                        sizes: at,
                        cells,
                        worth,
                        height_mm,
                    });
                }
            }
            seen.push(starts);
        }
    }
    out
}

/// How badly cells will read, before their lines have ways; and how high they are at the least.
fn promise(graph: &Graph, sizes: &[Size], cells: &Cells) -> (f64, f64) {
    let frame = Frame::new(graph, sizes, cells, 2);
    let (x, y) = (frame.nominal_x(), frame.nominal_y());
    let height: f64 = frame.above_mm.iter().chain(&frame.below_mm).sum();
    let lines: f64 = graph
        .edges
        .iter()
        .enumerate()
        .map(|(at, edge)| {
            let (from, to) = (edge.from, edge.to);
            let pours = graph.nodes[to].kind.holds();
            let (from_row, to_row) = (
                cells.row[from] + cells.side[at],
                cells.row[to] - usize::from(pours),
            );
            let apart = |places: &[f64], a: usize, b: usize| (places[a] - places[b]).abs();
            let way = apart(
                &x,
                frame.grid.column(cells.col[from]),
                frame.grid.column(cells.col[to]),
            ) + apart(&y, frame.grid.row(from_row), frame.grid.row(to_row));
            let back = cells.col[to] <= cells.col[from];
            let bends = match (from_row == to_row, back) {
                (true, false) => 0.0,
                (false, false) => 1.5,
                (_, true) => 4.0,
            };
            LENGTH * way + BEND_MM * bends
        })
        .sum();
    (height + lines, height)
}

/// What a bend, a crossing and a millimetre of line count as in millimetres of height (house rule).
const BEND_MM: f64 = 2.5;
const CROSSING_MM_OF_HEIGHT: f64 = 8.0;
const LENGTH: f64 = 0.05;

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

/// Where bands begin; nothing where one of them is wider than the room.
fn fold(
    graph: &Graph,
    sizes: &[Size],
    columns: &[usize],
    (bands, crossing_mm): (usize, f64),
    room_mm: f64,
) -> Option<Vec<usize>> {
    let count = columns.iter().max()? + 1;
    let mut widths = vec![0.0_f64; count];
    for (node, size) in sizes.iter().enumerate() {
        widths[columns[node]] = widths[columns[node]].max(size.width_mm + GAP_MM);
    }
    // What pours in from above may as well come from the band above.
    let crossing: Vec<f64> = (0..count)
        .map(|col| {
            let crosses = graph
                .edges
                .iter()
                .filter(|edge| (columns[edge.from] < col) != (columns[edge.to] < col));
            crosses
                .map(|edge| match graph.nodes[edge.to].kind {
                    Kind::Draw | Kind::Drain => ENDS,
                    kind if kind.holds() => POURS,
                    _ => 1.0,
                })
                .sum()
        })
        .collect();
    let starts = folds(&widths, &crossing, bands, crossing_mm)?;
    let widest = starts.iter().enumerate().map(|(band, start)| {
        let end = starts.get(band + 1).copied().unwrap_or(count);
        widths[*start..end].iter().sum::<f64>() - GAP_MM
    });
    (widest.fold(0.0, f64::max) <= room_mm).then_some(starts)
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

/// The grid with the sizes of what stands in it.
struct Frame {
    grid: Grid,
    widths_mm: Vec<f64>,
    /// Above and below the line of each row.
    above_mm: Vec<f64>,
    below_mm: Vec<f64>,
}

impl Frame {
    fn new(graph: &Graph, sizes: &[Size], cells: &Cells, tracks: usize) -> Self {
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

    fn least_mm(&self) -> f64 {
        self.widths_mm.iter().sum::<f64>() + GAP_MM * (self.widths_mm.len() as f64 - 1.0)
    }

    /// Places of the upright lines before it is known which are used.
    fn nominal_x(&self) -> Vec<f64> {
        let all = vec![false; self.grid.width];
        self.x(&all, (1.0, 1.0), true).0
    }

    fn nominal_y(&self) -> Vec<f64> {
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
    fn stretched(
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
    /// How badly it reads, in millimetres: its height, its bends and crossings, the length of its lines (house rule).
    fn worth(&self) -> f64 {
        let bends: usize = self.ways.iter().map(|way| way.len().saturating_sub(2)).sum();
        let pieces: Vec<(usize, [Point; 2])> = self
            .ways
            .iter()
            .enumerate()
            .flat_map(|(at, way)| way.windows(2).map(move |pair| (at, [pair[0], pair[1]])))
            .collect();
        let crossings = pieces
            .iter()
            .enumerate()
            .map(|(at, (way, one))| {
                let others = pieces[at + 1..].iter().filter(|(other, _)| other != way);
                others.filter(|(_, two)| cross(one, two)).count()
            })
            .sum::<usize>();
        let length: f64 = pieces
            .iter()
            .map(|(_, [a, b])| (a.x_mm - b.x_mm).abs() + (a.y_mm - b.y_mm).abs())
            .sum();
        self.height_mm + BEND_MM * bends as f64 + CROSSING_MM_OF_HEIGHT * crossings as f64 + LENGTH * length
    }

    /// Where a pipe meets a node.
    fn port(&self, node: usize, port: Port, x: &[f64], y: &[f64], (cells, grid): (&Cells, &Grid)) -> Point {
        let upright = x[grid.column(cells.col[node]) + port.line];
        let level = y[grid.row(cells.row[node] + port.row)];
        let [left, right] = super::symbols::sides(self, node);
        let (top, foot) = match self.graph.nodes[node].kind {
            kind if kind.holds() => self.bodies[node],
            Kind::Membrane => {
                let half = super::measure::MEMBRANE_MM.1 / 2.0;
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

/// Whether an upright and a level stretch run through each other.
fn cross(one: &[Point; 2], two: &[Point; 2]) -> bool {
    let within = |place: f64, a: f64, b: f64| place > a.min(b) + 1e-6 && place < a.max(b) - 1e-6;
    let through = |upright: &[Point; 2], level: &[Point; 2]| {
        (upright[0].x_mm - upright[1].x_mm).abs() < 1e-9
            && (level[0].y_mm - level[1].y_mm).abs() < 1e-9
            && within(upright[0].x_mm, level[0].x_mm, level[1].x_mm)
            && within(level[0].y_mm, upright[0].y_mm, upright[1].y_mm)
    };
    through(one, two) || through(two, one)
}

fn near(a: Point, b: Point) -> bool {
    (a.x_mm - b.x_mm).abs() < 1e-9 && (a.y_mm - b.y_mm).abs() < 1e-9
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
