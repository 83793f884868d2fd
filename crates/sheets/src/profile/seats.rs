//! Where valves sit in their pipes: where those run straight, and nothing else is.

use station::Station;
use station::sections::Valve;

use super::area::{Area, area_of, drops, long_mm, stretches};
use super::parts::Parts;
use super::ways::Way;
use crate::schematic::measure::VALVE_MM;
use crate::schematic::symbols::Turn;

/// White between a valve and a bend, and between two valves.
const BEND_MM: f64 = 0.7;
/// White between a valve and another pipe.
const AROUND_MM: f64 = 0.6;

/// A valve with its place.
#[derive(Debug, Clone)]
pub(super) struct Seat {
    pub(super) valve: usize,
    pub(super) place_mm: (f64, f64),
    pub(super) turn: Turn,
    /// What its symbol takes.
    pub(super) area: Area,
}

/// Places of valves, where their pipes run straight and nothing else is, and the pieces of those that have none. Of several in
/// a pipe each is as near to its share of the way as it can be.
pub(super) fn seats(
    station: &Station,
    parts: &Parts,
    ways: &[Way],
    taken: &[Area],
) -> (Vec<Seat>, Vec<usize>) {
    let mut seats: Vec<Seat> = Vec::new();
    let mut missing = Vec::new();
    for (at, (piece, way)) in parts.pieces.iter().zip(ways).enumerate() {
        let others = ways.iter().enumerate().filter(|(other, _)| *other != at);
        let mut others: Vec<Area> = others
            .flat_map(|(_, way)| stretches(way).chain(drops(way)).map(area_of))
            .chain(taken.iter().copied())
            .collect();
        others.extend(seats.iter().map(|seat| seat.area));
        let long: f64 = stretches(way).map(long_mm).sum();
        let mut after_mm = 0.0;
        for (number, valve) in piece.valves.iter().enumerate() {
            let kind = station.valves[*valve].fields.kind.value;
            let wanted_mm = match piece.valves.len() {
                1 => None,
                count => Some(long * (number as f64 + 0.5) / count as f64),
            };
            let spots = spots(way).into_iter().filter(|spot| spot.along_mm >= after_mm);
            let free = spots.filter_map(|spot| {
                let seat = spot.seat(*valve, kind);
                let around = seat.area.wider(AROUND_MM);
                let is_free = !others.iter().any(|other| around.meets(&other.wider(0.05)));
                is_free.then_some((spot, seat))
            });
            let best = free.min_by(|(a, _), (b, _)| a.cost(wanted_mm).total_cmp(&b.cost(wanted_mm)));
            let Some((spot, seat)) = best else {
                missing.push(at);
                continue;
            };
            after_mm = spot.along_mm + 2.0 * VALVE_MM.0 + BEND_MM;
            seats.push(seat);
        }
    }
    (seats, missing)
}

/// Where a valve might sit.
#[derive(Debug, Clone, Copy)]
struct Spot {
    place_mm: (f64, f64),
    turn: Turn,
    /// From the beginning of the way.
    along_mm: f64,
    /// To the nearer end of its stretch.
    off_mm: f64,
}

impl Spot {
    /// What speaks against it: a single valve stands in the middle of a long stretch.
    fn cost(&self, wanted_mm: Option<f64>) -> f64 {
        wanted_mm.map_or(-self.off_mm, |wanted| (wanted - self.along_mm).abs())
    }

    fn seat(&self, valve: usize, kind: Valve) -> Seat {
        let (place_mm, turn, reach) = (self.place_mm, self.turn, reach_mm(kind));
        let mut area = match turn {
            Turn::Right | Turn::Left => Area::about(place_mm, VALVE_MM),
            Turn::Up | Turn::Down => Area::about(place_mm, (VALVE_MM.1, VALVE_MM.0)),
        };
        // What works it reaches to one side.
        match turn {
            Turn::Right => area.upright.1 = place_mm.1 + reach,
            Turn::Left => area.upright.0 = place_mm.1 - reach,
            Turn::Up => area.across.0 = place_mm.0 - reach,
            Turn::Down => area.across.1 = place_mm.0 + reach,
        }
        Seat {
            valve,
            place_mm,
            turn,
            area,
        }
    }
}

/// All that are far enough from bends.
fn spots(way: &Way) -> Vec<Spot> {
    let mut spots = Vec::new();
    let mut before_mm = 0.0;
    for stretch in stretches(way) {
        let ((x, y), (to_x, to_y)) = stretch;
        let long = long_mm(stretch);
        let turn = match (to_x - x, to_y - y) {
            (x, _) if x > 0.0 => Turn::Right,
            (x, _) if x < 0.0 => Turn::Left,
            (_, y) if y > 0.0 => Turn::Up,
            _ => Turn::Down,
        };
        let least = VALVE_MM.0 + BEND_MM;
        let steps = ((long - 2.0 * least) / STEP_MM).floor();
        if steps >= 0.0 {
            let spare = long - 2.0 * least - steps * STEP_MM;
            spots.extend((0..=steps as usize).map(|step| {
                let off = least + 0.5 * spare + step as f64 * STEP_MM;
                let share = off / long;
                Spot {
                    place_mm: (x + share * (to_x - x), y + share * (to_y - y)),
                    turn,
                    along_mm: before_mm + off,
                    off_mm: off.min(long - off),
                }
            }));
        }
        before_mm += long;
    }
    spots
}

/// From one place that is tried for a valve to the next.
const STEP_MM: f64 = 0.5;

/// How far a valve's symbol reaches to the side of what works it.
fn reach_mm(kind: Valve) -> f64 {
    match kind {
        Valve::Solenoid | Valve::Float => 6.6,
        Valve::Diaphragm | Valve::Needle => 4.0,
        Valve::SpringCheck => 2.4,
        _ => VALVE_MM.1,
    }
}
