//! Which of the water that stands in lines comes out where one opens them: by height.
//!
//! Lines are taken to be full, as after a run, and straight between their ends and their crest, half of the length on
//! either side, as flows have it. Water comes out of a stretch where it can run down to the opening, never rising above
//! its own height on the way; a crest without a hole is passed, since a full line pulls water over it.

use super::mesh::{Mesh, Piece};
use super::reach::Opening;

/// One rising stretch of a tube.
#[derive(Debug, Clone, Copy)]
struct Leg {
    foot_m: f64,
    top_m: f64,
    volume_m3: f64,
    /// Height from which on its water comes out.
    from_m: f64,
}

impl Leg {
    fn comes_m3(&self) -> f64 {
        if self.from_m <= self.foot_m {
            return self.volume_m3;
        }
        if self.from_m > self.top_m || self.top_m <= self.foot_m {
            return 0.0;
        }
        self.volume_m3 * (self.top_m - self.from_m) / (self.top_m - self.foot_m)
    }
}

/// Water that comes out of the lines at an opening, the part's own with it, with these valves closed, m³.
pub(super) fn standing_m3(mesh: &Mesh, opening: &Opening, closed: &[usize]) -> f64 {
    let barriers_m = barriers_m(mesh, opening, closed);
    let passes = |piece| match piece {
        Piece::Valve(_) => false,
        Piece::Tube(_) => Some(piece) != opening.removed,
    };
    let own_m3 = match opening.removed {
        Some(Piece::Tube(line)) => mesh.tubes[line].volume_m3,
        _ => 0.0,
    };
    mesh.joints
        .iter()
        .filter(|joint| passes(joint.piece))
        .map(|joint| match joint.piece {
            Piece::Tube(line) => comes_m3(mesh, line, joint.ends, &barriers_m),
            Piece::Valve(_) => 0.0,
        })
        .sum::<f64>()
        + own_m3
}

/// For each place the height over which water from it must rise to come out; infinite where no way leads.
fn barriers_m(mesh: &Mesh, opening: &Opening, closed: &[usize]) -> Vec<f64> {
    let mut barriers_m = vec![f64::INFINITY; mesh.places.len()];
    for place in &opening.places {
        barriers_m[*place] = mesh.places[*place].height_m;
    }
    // As many rounds as a way can have pieces: a station has a few dozen.
    for _ in 0..mesh.places.len() {
        let mut changed = false;
        for joint in &mesh.joints {
            if Some(joint.piece) == opening.removed {
                continue;
            }
            let crest_m = match joint.piece {
                Piece::Valve(valve) if closed.contains(&valve) => continue,
                Piece::Valve(_) => None,
                Piece::Tube(line) => mesh.tubes[line]
                    .crest_m
                    .map(|crest_m| (crest_m, mesh.tubes[line].hole_m)),
            };
            for (near, far) in [(joint.ends[0], joint.ends[1]), (joint.ends[1], joint.ends[0])] {
                let far_m = mesh.places[far].height_m;
                let over_m = match crest_m {
                    // Air at its hole: water must rise to the crest by itself.
                    Some((crest_m, Some(_))) => crest_m,
                    // An open end that is lower takes its side of the line with it.
                    Some((crest_m, None)) if mesh.ends_there(far) && far_m < barriers_m[near] => crest_m,
                    _ => far_m,
                };
                let through_m = barriers_m[near].max(over_m).max(far_m);
                if through_m < barriers_m[far] {
                    barriers_m[far] = through_m;
                    changed = true;
                }
            }
        }
        if !changed {
            break;
        }
    }
    barriers_m
}

/// What comes out of one tube.
fn comes_m3(mesh: &Mesh, line: usize, ends: [usize; 2], barriers_m: &[f64]) -> f64 {
    let tube = mesh.tubes[line];
    let [first, second] = ends.map(|place| (mesh.places[place].height_m, barriers_m[place]));
    let Some(crest_m) = tube.crest_m else {
        let (foot, top) = if first.0 <= second.0 {
            (first, second)
        } else {
            (second, first)
        };
        // A level tube empties to either side.
        let from_m = if top.0 <= foot.0 {
            foot.1.min(top.1)
        } else {
            foot.1
        };
        return Leg {
            foot_m: foot.0,
            top_m: top.0,
            volume_m3: tube.volume_m3,
            from_m,
        }
        .comes_m3();
    };
    [(first, second), (second, first)]
        .into_iter()
        .map(|(own, other)| {
            // Pulled over the crest, where its own end stands higher than where the other side lets it out.
            let pulled = tube.hole_m.is_none() && own.0 >= other.1;
            Leg {
                foot_m: own.0,
                top_m: crest_m,
                volume_m3: tube.volume_m3 / 2.0,
                from_m: if pulled { own.0 } else { own.1 },
            }
            .comes_m3()
        })
        .sum()
}
