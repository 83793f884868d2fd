//! In which order things stand from left to right, and where: the shortest pipes, with those that have room below others
//! standing there.

use std::cmp::Reverse;

use super::parts::{Join, Parts, Piece, Stand, Thing};

/// What a pipe may pass over or under without a detour has at least so much room.
const CLEAR_MM: f64 = 1.6;
/// What one more thing between the ends of a pipe costs, in millimetres of way (house rule).
const BETWEEN_MM: f64 = 4.0;
/// Things one above the other keep so far apart.
const UPRIGHT_MM: f64 = 5.0;
const TEE_MM: f64 = 1.4;
/// Least and widest room between two things that stand beside each other.
const ROOM_MM: (f64, f64) = (4.6, 22.0);
/// What two vessels in another order than the file's cost (house rule).
const TURNED_MM: f64 = 12.0;
/// What a valve without a place costs (house rule).
const NARROW_MM: f64 = 60.0;
/// Rounds in which each is moved to its best place.
const ROUNDS: usize = 6;

/// Places of all stands: the middle of each, from the left.
#[derive(Debug, Clone)]
pub(super) struct Places {
    pub(super) middle_mm: Vec<f64>,
    pub(super) width_mm: f64,
}

/// Orders that are worth laying pipes for, the cheapest first. Each begins with the vessels and what has most pipes, in another
/// turn; then each thing is moved to its best place until none gains by it.
pub(super) fn orders(parts: &Parts) -> Vec<Vec<usize>> {
    let stands = &parts.stands;
    let pipes = |at: usize| {
        let ends = parts
            .pieces
            .iter()
            .filter(|own| own.ends.iter().any(|end| end.stand() == at));
        ends.count()
    };
    // What has most pipes first, so that its neighbours gather about it.
    let mut first: Vec<usize> = (0..stands.len()).collect();
    first.sort_by_key(|at| (!is_vessel(&stands[*at]), Reverse(pipes(*at)), *at));
    let mut found: Vec<(f64, Vec<usize>)> = Vec::new();
    for start in 0..STARTS {
        let mut turn = first.clone();
        let count = turn.len();
        // Other beginnings: so many of the first behind the others, and each second one backwards.
        turn.rotate_left((start / 2 * 3) % count.max(1));
        if start % 2 == 1 {
            turn.reverse();
        }
        let mut row = Vec::new();
        for stand in &turn {
            best_place(parts, &mut row, *stand);
        }
        for _ in 0..ROUNDS {
            let before = row.clone();
            for stand in &turn {
                row.retain(|own| own != stand);
                best_place(parts, &mut row, *stand);
            }
            if row == before {
                break;
            }
        }
        // Seen from the other side where the file has its vessels so.
        let mirrored: Vec<usize> = row.iter().rev().copied().collect();
        if turned(stands, &mirrored) < turned(stands, &row) {
            row = mirrored;
        }
        found.push((cost(parts, &row), row));
    }
    found.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    found.dedup_by(|a, b| a.1 == b.1);
    found.into_iter().map(|(_, row)| row).take(ORDERS).collect()
}

/// Beginnings, and how many orders are worth it.
const STARTS: usize = 12;
const ORDERS: usize = 8;

fn is_vessel(stand: &Stand) -> bool {
    matches!(stand.thing, Thing::Vessel { .. })
}

/// Vessels that stand before one which the file has before them: their neighbours in the row.
pub(super) fn turned(stands: &[Stand], row: &[usize]) -> usize {
    let vessels: Vec<usize> = row.iter().copied().filter(|at| is_vessel(&stands[*at])).collect();
    vessels.windows(2).filter(|pair| pair[0] > pair[1]).count()
}

/// Puts one more where it costs least.
fn best_place(parts: &Parts, row: &mut Vec<usize>, stand: usize) {
    let tried = (0..=row.len()).map(|at| {
        let mut with = row.clone();
        with.insert(at, stand);
        (cost(parts, &with), at)
    });
    let best = tried.min_by(|(a, _), (b, _)| a.total_cmp(b));
    row.insert(best.map_or(0, |(_, at)| at), stand);
}

/// What the pipes between those that stand there come to.
fn cost(parts: &Parts, row: &[usize]) -> f64 {
    let places = places(parts, row, ROOM_MM.0 + 2.0);
    let is_there = |stand: usize| row.contains(&stand);
    let pieces = parts
        .pieces
        .iter()
        .filter(|own| own.ends.iter().all(|end| is_there(end.stand())));
    let pipes: f64 = pieces
        .map(|own| {
            let ends = own.ends.map(|end| {
                (
                    places.middle_mm[end.stand()],
                    end.height_mm(&parts.stands),
                    end.stand(),
                )
            });
            let (left, right) = (ends[0].0.min(ends[1].0), ends[0].0.max(ends[1].0));
            let between = row.iter().filter(|at| ends.iter().all(|end| end.2 != **at));
            let detours: f64 = between
                .filter(|at| (left..right).contains(&places.middle_mm[**at]))
                .map(|at| detour_mm(&parts.stands[*at], [ends[0].1, ends[1].1]))
                .sum();
            right - left + detours + narrow_mm(own, ends.map(|end| (end.0, end.1)), &parts.stands)
        })
        .sum();
    // A narrow drawing is a large one; tanks stand elsewhere, at the ends.
    let tanks: f64 = row
        .iter()
        .filter(|at| matches!(parts.stands[**at].thing, Thing::Tank))
        .map(|at| (places.width_mm - places.middle_mm[*at]).min(places.middle_mm[*at]))
        .sum();
    pipes + 0.5 * places.width_mm + tanks + TURNED_MM * turned(&parts.stands, row) as f64
}

/// What a pipe costs more that has no stretch as long as its valves need.
fn narrow_mm(piece: &Piece, ends: [(f64, f64); 2], stands: &[Stand]) -> f64 {
    if piece.valves.is_empty() {
        return 0.0;
    }
    let needed = VALVE_MM * piece.valves.len() as f64 + 2.0;
    // From a wall it goes on outside.
    let out = |at: usize| match piece.ends[at] {
        Join::Wall { stand, .. } | Join::Pump { stand, .. } => stands[stand].half_mm,
        _ => 0.0,
    };
    let across = ((ends[0].0 - ends[1].0).abs() - out(0) - out(1)).abs();
    let upright = (ends[0].1 - ends[1].1).abs();
    if across.max(upright) < needed {
        NARROW_MM
    } else {
        0.0
    }
}

/// What a thing costs a pipe that has to get past it, at the height of either of its ends if that is free.
fn detour_mm(stand: &Stand, heights_mm: [f64; 2]) -> f64 {
    let past = heights_mm.map(|own| {
        let (below, above) = (stand.low_mm - CLEAR_MM, stand.high_mm + CLEAR_MM);
        match own {
            own if own <= below || own >= above => 0.0,
            own if below > CLEAR_MM => (own - below).min(above - own),
            own => above - own,
        }
    });
    BETWEEN_MM + 2.0 * past[0].min(past[1])
}

/// Where things stand in an order, with so much room beside each other.
pub(super) fn places(parts: &Parts, row: &[usize], room_mm: f64) -> Places {
    let stands = &parts.stands;
    let mut middle_mm = vec![0.0; stands.len()];
    let mut width_mm: f64 = 0.0;
    let mut before_mm: f64 = 0.0;
    for (at, stand) in row.iter().enumerate() {
        let own = &stands[*stand];
        let left_mm = row[..at]
            .iter()
            .filter(|other| beside(own, &stands[**other]))
            .map(|other| {
                middle_mm[*other] + stands[*other].half_mm + room_mm.max(between_mm(parts, *stand, *other))
            })
            .fold(0.0, f64::max);
        // The order is kept, whatever stands below what.
        let middle = (left_mm + own.half_mm).max(before_mm + room_mm.min(UPRIGHT_MM));
        middle_mm[*stand] = middle;
        before_mm = middle;
        width_mm = width_mm.max(middle + own.half_mm);
    }
    Places { middle_mm, width_mm }
}

/// What two that a pipe joins need between them for the valves in it.
fn between_mm(parts: &Parts, one: usize, other: usize) -> f64 {
    let joins = |piece: &&Piece| {
        let ends = piece.ends.map(|end| end.stand());
        ends == [one, other] || ends == [other, one]
    };
    let valves = parts
        .pieces
        .iter()
        .filter(joins)
        .map(|piece| piece.valves.len())
        .max()
        .unwrap_or(0);
    if valves == 0 {
        0.0
    } else {
        VALVE_MM * valves as f64 + 2.0
    }
}

/// What a valve takes of a pipe, with a little white.
const VALVE_MM: f64 = 7.6;

/// Whether two can't stand one above the other.
fn beside(one: &Stand, other: &Stand) -> bool {
    // Tees have no names.
    let tees = one.thing == Thing::Joints || other.thing == Thing::Joints;
    let apart_mm = if tees { TEE_MM } else { UPRIGHT_MM };
    one.low_mm < other.high_mm + apart_mm && other.low_mm < one.high_mm + apart_mm
}

/// The places with as much room between things as the width has; nothing where it has too little.
pub(super) fn spread(parts: &Parts, row: &[usize], width_mm: f64) -> Option<Places> {
    let (mut least, mut most) = ROOM_MM;
    if places(parts, row, least).width_mm > width_mm {
        return None;
    }
    for _ in 0..20 {
        let middle = 0.5 * (least + most);
        match places(parts, row, middle).width_mm <= width_mm {
            true => least = middle,
            false => most = middle,
        }
    }
    Some(places(parts, row, least))
}
