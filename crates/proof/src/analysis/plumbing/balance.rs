//! What comes into each vessel and leaves it at a moment: by its lines, and from the purifier.

use serde::Serialize;
use station::Station;
use station::plumbing::End;

use super::fill::{self, fills};
use super::state::State;

/// What comes into a vessel and leaves it at the moment.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VesselBalance {
    /// The vessel.
    pub vessel: String,
    /// What the lines bring, less what they take.
    pub from_lines_m3_per_s: f64,
    /// What the purifier brings: 0 where its fill doesn't run at this level.
    pub permeate_m3_per_s: f64,
    /// Both together: below 0 its level falls.
    pub net_m3_per_s: f64,
    /// Why the fill runs or doesn't; `None` where a person fills it.
    pub why: Option<String>,
}

/// What comes into each vessel and leaves it, the purifier's fill included.
pub(super) fn balances(station: &Station, state: &State<'_>, permeate_m3_s: f64) -> Vec<VesselBalance> {
    let levels_m: Vec<f64> = (0..station.vessels.len()).map(|at| state.level_m(at)).collect();
    let fills = fills(station, &levels_m, permeate_m3_s);
    let each = station.vessels.iter().zip(&levels_m).zip(fills).enumerate();
    each.map(|(at, ((vessel, level_m), fill))| {
        let (permeate_m3_per_s, why) = match fill {
            Some(fill::State::Runs(filling, why)) => (filling.flow_m3_s(*level_m), Some(why)),
            Some(fill::State::Waits(_, why) | fill::State::Never(why)) => (0.0, Some(why)),
            None => (0.0, None),
        };
        let from_lines_m3_per_s = state.gained_m3_s(End::Vessel(at));
        VesselBalance {
            vessel: vessel.name.clone(),
            from_lines_m3_per_s,
            permeate_m3_per_s,
            net_m3_per_s: from_lines_m3_per_s + permeate_m3_per_s,
            why,
        }
    })
    .collect()
}
