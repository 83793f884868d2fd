//! The way of each pipe on the grid: one after the other, the shortest first, each by the cheapest way that is left (`router`),
//! in the order in which all of them come out cheapest.

use std::cmp::Reverse;

use super::grid::{Grid, Mouth};
use super::order::Places;
use super::parts::Parts;
use super::router::Router;
use crate::schematic::grid::Heading;

/// A way: its corners from end to end, millimetres across and above the floor; what comes down from its end into a vessel or
/// to a tank is told apart, as the height there.
#[derive(Debug, Clone)]
pub(super) struct Way {
    pub(super) corners_mm: Vec<(f64, f64)>,
    /// For each end the height that it comes down to.
    pub(super) drops_mm: [Option<f64>; 2],
    /// Whether it rises or falls further than the file has it, to get past something.
    pub(super) strays: bool,
    /// On which side of what it joins each end is.
    pub(super) sides: [Heading; 2],
}

/// The ways of all pieces; nothing where one of them finds none. What was laid late and had to go far round is laid first in
/// the next of a few rounds, and the cheapest round counts.
///
/// `outside` is how many times as dear a way is that rises or falls further than its pipe does; `lacking` tells which pieces
/// have no place for a valve; gives what the round cost, with its ways.
pub(super) fn ways(
    parts: &Parts,
    places: &Places,
    outside: u64,
    lacking: impl Fn(&[Way]) -> Vec<usize>,
) -> Option<(u64, Vec<Way>)> {
    let grid = Grid::of(parts, places);
    let mouths: Vec<[Vec<Mouth>; 2]> = parts
        .pieces
        .iter()
        .map(|piece| [0, 1].map(|end| grid.mouths(parts, places, &piece.ends[end])))
        .collect();
    let mut router = Router::on(&grid, outside);
    let distance = |at: usize| {
        let [from, to] = &mouths[at];
        let apart = from
            .iter()
            .flat_map(|a| to.iter().map(|b| router.apart(a.point, b.point)));
        apart.min().unwrap_or(0)
    };
    let straight: Vec<u64> = (0..parts.pieces.len()).map(distance).collect();
    let mut order: Vec<usize> = (0..parts.pieces.len()).collect();
    order.sort_by_key(|at| (straight[*at], *at));
    let mut best: Option<(u64, Vec<Way>)> = None;
    let mut vain = 0;
    for _ in 0..ROUNDS {
        let laid = router.round(parts, &mouths, &order);
        let first = match laid {
            Ok(laid) => {
                let excess = |at: &usize| laid[*at].0 - straight[*at].min(laid[*at].0);
                let far = order.iter().copied().max_by_key(|at| (excess(at), Reverse(*at)));
                let spent: u64 = laid.iter().map(|(spent, _)| spent).sum();
                let ways: Vec<Way> = laid.into_iter().map(|(_, way)| way).collect();
                let lacking = lacking(&ways);
                let strays = ways.iter().filter(|way| way.strays).count();
                let total = spent + LACKING * lacking.len() as u64 + STRAY * strays as u64;
                match best.as_ref().is_none_or(|(least, _)| total < *least) {
                    true => (vain, best) = (0, Some((total, ways))),
                    false => vain += 1,
                }
                lacking.into_iter().find(|own| order.first() != Some(own)).or(far)
            }
            Err(none) => Some(none),
        };
        let Some(first) = first.filter(|first| vain < VAIN && order.first() != Some(first)) else {
            break;
        };
        order.retain(|own| *own != first);
        order.insert(0, first);
    }
    best
}

/// What a valve without a place costs, and a pipe that rises or falls further than it does.
const LACKING: u64 = 10_000;
const STRAY: u64 = 6_000;

/// Rounds in which ways are laid.
const ROUNDS: usize = 10;
/// After so many that brought nothing it is left at that.
const VAIN: usize = 4;
