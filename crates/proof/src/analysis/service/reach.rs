//! From which sides water can reach a part, and the valves nearest to it that keep it away.

use std::collections::BTreeSet;

use super::drain::standing_m3;
use super::mesh::{Mesh, Piece, Spring};

/// Water that nobody closes a valve or counts a bucket for, m³: a cup (house rule).
pub(super) const CUP_M3: f64 = 1e-4;

/// Where the station is opened for a part.
#[derive(Debug, Clone)]
pub(super) struct Opening {
    /// The piece that is taken out; nothing for a pump or a vessel.
    pub(super) removed: Option<Piece>,
    /// The places that are open then.
    pub(super) places: Vec<usize>,
    /// What is emptied with the part itself, so that it gives no water of its own: a vessel, a hose lifted out.
    pub(super) emptied: Vec<usize>,
}

/// What keeps water away from a part, and what doesn't.
#[derive(Debug, Clone)]
pub(super) struct Kept {
    /// Valves to close.
    pub(super) close: Vec<usize>,
    /// The first valve on every branch, those among them beyond which no water is.
    pub(super) nearest: Vec<usize>,
    /// Springs that no valve holds, and the height at which each comes out.
    pub(super) open_springs: Vec<(usize, f64)>,
    /// Lines that are opened to the air with those to close closed.
    pub(super) opened: Vec<usize>,
    /// The same with every nearest valve closed.
    pub(super) cut_off: Vec<usize>,
    /// Water in lines that comes out, m³.
    pub(super) standing_m3: f64,
}

/// The valves nearest to a part on each side that water can come from: by its height, by a siphon, pushed by a pump, or
/// as it stands in lines above.
pub(super) fn keep_away(mesh: &Mesh, opening: &Opening) -> Kept {
    let nearest = nearest(mesh, opening);
    let with_all_m3 = standing_m3(mesh, opening, &nearest);
    let comes = |closed: &[usize]| {
        let mut springs: BTreeSet<usize> = reaching(mesh, opening, closed)
            .iter()
            .map(|(at, _)| *at)
            .collect();
        springs.extend(pushed(mesh, opening, closed));
        springs.len()
    };
    let with_all = comes(&nearest);
    let close: Vec<usize> = nearest
        .iter()
        .copied()
        .filter(|valve| {
            let others: Vec<usize> = nearest.iter().copied().filter(|other| other != valve).collect();
            // What nothing holds anyway doesn't ask for this valve.
            comes(&others) > with_all || standing_m3(mesh, opening, &others) > with_all_m3 + CUP_M3
        })
        .collect();
    Kept {
        open_springs: reaching(mesh, opening, &close),
        opened: opened(mesh, opening, &close),
        cut_off: opened(mesh, opening, &nearest),
        standing_m3: standing_m3(mesh, opening, &close),
        close,
        nearest,
    }
}

/// The first valve on every branch, whatever lies beyond.
fn nearest(mesh: &Mesh, opening: &Opening) -> Vec<usize> {
    let mut found = Vec::new();
    walk(mesh, opening, &mut |piece| match piece {
        Piece::Valve(valve) if mesh.by_hand[valve] => {
            if !found.contains(&valve) {
                found.push(valve);
            }
            false
        }
        _ => true,
    });
    found
}

/// Lines whose water is joined to the part's place, with these valves closed.
fn opened(mesh: &Mesh, opening: &Opening, closed: &[usize]) -> Vec<usize> {
    let mut found: Vec<usize> = match opening.removed {
        Some(Piece::Tube(line)) => vec![line],
        _ => Vec::new(),
    };
    walk(mesh, opening, &mut |piece| match piece {
        Piece::Valve(valve) => !closed.contains(&valve),
        Piece::Tube(line) => {
            if !found.contains(&line) {
                found.push(line);
            }
            true
        }
    });
    found
}

/// Walks away from the part; `passes` says whether to go on through a piece.
fn walk(mesh: &Mesh, opening: &Opening, passes: &mut impl FnMut(Piece) -> bool) -> Vec<bool> {
    walk_round(mesh, opening, None, passes)
}

/// The same without going on at one place.
fn walk_round(
    mesh: &Mesh,
    opening: &Opening,
    but: Option<usize>,
    passes: &mut impl FnMut(Piece) -> bool,
) -> Vec<bool> {
    let mut seen = vec![false; mesh.places.len()];
    if let Some(but) = but {
        seen[but] = true;
    }
    let mut ahead = opening.places.clone();
    for place in &ahead {
        seen[*place] = true;
    }
    while let Some(place) = ahead.pop() {
        for joint in mesh.joints_at(place) {
            if Some(joint.piece) == opening.removed || !passes(joint.piece) {
                continue;
            }
            let far = joint.far(place);
            if !seen[far] {
                seen[far] = true;
                ahead.push(far);
            }
        }
    }
    seen
}

/// The springs whose water comes to the part with these valves closed and all others open, and the lowest place that it
/// comes out at, m above the room's floor.
pub(super) fn reaching(mesh: &Mesh, opening: &Opening, closed: &[usize]) -> Vec<(usize, f64)> {
    mesh.springs
        .iter()
        .enumerate()
        .filter(|(at, _)| !opening.emptied.contains(at))
        .filter_map(|(at, spring)| {
            let lowest_m = comes_out_at_m(mesh, opening, spring, closed)?;
            spring.is_above(lowest_m).then_some((at, lowest_m))
        })
        .collect()
}

/// The lowest open place to which a way leads without a closed valve, and without a hole that lets air in above the
/// surface.
fn comes_out_at_m(mesh: &Mesh, opening: &Opening, spring: &Spring, closed: &[usize]) -> Option<f64> {
    let seen = flooded(mesh, opening, spring, closed);
    opening
        .places
        .iter()
        .filter(|place| seen[**place])
        .map(|place| mesh.places[*place].height_m)
        .min_by(f64::total_cmp)
}

/// The places that a spring's water can come to by itself.
fn flooded(mesh: &Mesh, opening: &Opening, spring: &Spring, closed: &[usize]) -> Vec<bool> {
    let from_spring = Opening {
        places: vec![spring.place],
        ..opening.clone()
    };
    walk(mesh, &from_spring, &mut |piece| match piece {
        Piece::Valve(valve) => !closed.contains(&valve),
        Piece::Tube(line) => !mesh.tubes[line]
            .hole_m
            .is_some_and(|hole_m| spring.is_broken_by(hole_m)),
    })
}

/// The springs whose water a pump would push to the part if somebody started it: that come to it, where its outlet leads
/// on without a closed valve. A hole stops a siphon, no pump.
fn pushed(mesh: &Mesh, opening: &Opening, closed: &[usize]) -> BTreeSet<usize> {
    let leads = |(place, outlets): &&(usize, Vec<usize>)| {
        if opening.places.contains(place) {
            return false;
        }
        let beyond = Opening {
            places: outlets
                .iter()
                .map(|joint| &mesh.joints[*joint])
                .filter(|joint| Some(joint.piece) != opening.removed)
                .filter(|joint| !matches!(joint.piece, Piece::Valve(valve) if closed.contains(&valve)))
                .map(|joint| joint.far(*place))
                .collect(),
            ..opening.clone()
        };
        let seen = walk_round(mesh, &beyond, Some(*place), &mut |piece| match piece {
            Piece::Valve(valve) => !closed.contains(&valve),
            Piece::Tube(_) => true,
        });
        opening.places.iter().any(|open| seen[*open])
    };
    mesh.outlets
        .iter()
        .filter(leads)
        .flat_map(|(place, _)| {
            mesh.springs
                .iter()
                .enumerate()
                .filter(|(at, spring)| {
                    !opening.emptied.contains(at) && flooded(mesh, opening, spring, closed)[*place]
                })
                .map(|(at, _)| at)
        })
        .collect()
}
