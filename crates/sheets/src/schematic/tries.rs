//! Which rows and folds are tried, what they promise, and how well a layout reads.

use super::frame::{Frame, GAP_MM};
use super::graph::{Graph, Kind};
use super::lanes::{Cells, TASTES, cells};
use super::layout::Layout;
use super::measure::Size;
use super::rank::folds;
use crate::drawing::Point;

/// What a line from band to band counts as when columns are folded, mm of width: both are tried.
const CROSSING_MM: [f64; 3] = [3.0, 15.0, 60.0];
/// What such a line counts as that pours into a vessel (house rule).
const POURS: f64 = 0.4;
/// What such a line counts as that ends in the open (house rule).
const ENDS: f64 = 4.0;

/// Cells to try, and which sizes they are for.
pub(super) struct Try {
    pub(super) sizes: usize,
    pub(super) cells: Cells,
    pub(super) worth: f64,
    pub(super) height_mm: f64,
}

/// All ways to set the graph in so many bands.
pub(super) fn tries(
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
    let height: f64 = frame.rows_mm();
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

impl Layout {
    /// How badly it reads, in millimetres: its height, its bends and crossings, the length of its lines (house rule).
    pub(super) fn worth(&self) -> f64 {
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
