//! What flows at a moment: through the purifier, through lines, out of joints that are apart.

use station::plumbing::End;

use super::control::Hands;
use super::fault::FloatAt;
use super::marks::CLOSE_M3;
use super::network::{AtEnd, Flowing, Lines, Pattern};
use super::purifier::{Made, made};
use super::state::State;
use super::waters::{waters_of, waters_with_nobody_there};
use crate::method::Refusal;

/// Waters that differ by less salt, kg/m³, are one: a thirty thousand millionth part of the sea's.
const SAME_SALT_KG_M3: f64 = 1e-9;

/// What flows at a moment.
#[derive(Debug, Clone, Default)]
pub(crate) struct Now {
    pub(crate) made: Made,
    pub(crate) lines: Flowing,
    /// By vessel: what comes into it, and what goes out through lines, m³/s.
    pub(crate) comes: Vec<f64>,
    pub(crate) goes: Vec<f64>,
}

impl Now {
    /// What a vessel gains by the lines and the purifier, m³/s.
    pub(crate) fn net(&self, vessel: usize) -> f64 {
        self.comes[vessel] - self.goes[vessel]
    }
}

impl Hands<'_, '_> {
    /// Floats that let water in, and that weep, as bits.
    fn ways(&self, state: &mut State) -> (u64, u64) {
        let fills = self
            .ground
            .plant
            .purifier
            .as_ref()
            .map_or(&[][..], |own| &own.fills);
        let (mut ways, mut weeping) = (0, 0);
        for vessel in fills {
            let bit = 1 << vessel;
            // One behind the other: what all let through comes in, and drops where some are shut and all of those weep.
            let (mut is_open, mut passes) = (true, true);
            for at in FloatAt::ALL {
                if at.of(&self.ground.plant.vessels[*vessel]).is_none() {
                    continue;
                }
                let should = state.floats[at as usize] & bit != 0;
                state.trace.floats[at as usize][*vessel].note(should);
                let (open, weeps) = self.lens.float(*vessel, at, should);
                is_open &= open;
                passes &= open || weeps;
            }
            ways |= if is_open { bit } else { 0 };
            weeping |= if passes && !is_open { bit } else { 0 };
        }
        (ways, weeping)
    }

    /// What flows now; in every line too, where that is asked for.
    pub(crate) fn look(
        &self,
        state: &mut State,
        lines: Option<&mut Lines<'_>>,
        (thawed, tells_lines): (bool, bool),
        now: &mut Now,
    ) -> Result<(), Refusal> {
        let ways = self.ways(state);
        now.made = made(self.ground, self.lens, state.open, ways, thawed);
        state.trace.made |= now.made.permeate_m3_s > 0.0;
        state.trace.waited |= now.made.waits;
        state.trace.open |= now.made.floor_m3_s > 0.0;
        state.trace.valves_open |= state.valves;
        state.trace.valves_shut |= !state.valves;
        let filled = (now.made.fills, now.made.share_m3_s);
        self.look_at_lines(state, lines, (filled, tells_lines), &mut now.lines)?;
        self.leave_out_rounds(state, now);
        self.sum(state, now);
        Ok(())
    }

    fn look_at_lines(
        &self,
        state: &mut State,
        lines: Option<&mut Lines<'_>>,
        (filled, tells_lines): ((u64, f64), bool),
        out: &mut Flowing,
    ) -> Result<(), Refusal> {
        out.ends.clear();
        out.joints.clear();
        out.pumps.clear();
        out.lines.clear();
        let Some(lines) = lines else { return Ok(()) };
        let pattern = Pattern {
            open: state.valves,
            runs: state.runs,
            apart: self.lens.apart,
        };
        let mut vessels = self.vessels(state)?;
        let reached = lines.reached(pattern, &vessels, true);
        // A pump that runs feels every joint: it draws air or gets rid of water there.
        state.trace.joints |= if pattern.runs == 0 {
            reached.joints
        } else {
            u64::MAX
        };
        if reached.joints == 0 && pattern.runs == 0 {
            return Ok(());
        }
        self.flows_at_brims(state, lines, (pattern, filled, tells_lines), &mut vessels, out)
    }

    /// Water that comes back as it went, as in mixing, moves nothing: only what a vessel gains or loses counts then. What
    /// arrives with another salinity counts whole.
    fn leave_out_rounds(&self, state: &mut State, now: &mut Now) {
        for own in &now.lines.ends {
            if own.flow_m3_s > 0.0 {
                state.trace.arrived |= 1 << own.line;
            }
        }
        if self.keeps_rounds || !goes_round(&now.lines.ends) {
            return;
        }
        let own = waters_of(self.ground, state, now, 0.0);
        let waters = waters_with_nobody_there(self.ground, &own, now);
        let ends = &mut now.lines.ends;
        for (vessel, water) in own.iter().enumerate() {
            let comes_back = |at: usize, end: &AtEnd| {
                end.end == End::Vessel(vessel)
                    && end.flow_m3_s > 0.0
                    && self.lens.slipped >> end.line & 1 == 0
                    && (waters.ends[at].salt_kg_m3 - water.salt_kg_m3).abs() < SAME_SALT_KG_M3
            };
            let leaves = |end: &AtEnd| end.end == End::Vessel(vessel) && end.flow_m3_s < 0.0;
            let (mut back, mut gone) = (0.0, 0.0);
            for (at, end) in ends.iter().enumerate() {
                if comes_back(at, end) {
                    back += end.flow_m3_s;
                } else if leaves(end) {
                    gone -= end.flow_m3_s;
                }
            }
            let round = f64::min(back, gone);
            if round <= 0.0 {
                continue;
            }
            for (at, end) in ends.iter_mut().enumerate() {
                if comes_back(at, end) {
                    end.flow_m3_s *= 1.0 - round / back;
                } else if leaves(end) {
                    end.flow_m3_s *= 1.0 - round / gone;
                }
            }
        }
    }

    fn vessels(&self, state: &State) -> Result<Vec<(f64, f64)>, Refusal> {
        let brine = &self.ground.plant.brine;
        (0..state.contents.len())
            .map(|vessel| {
                let volume_m3 = state.volume_m3(self.ground, vessel);
                let mut level_m = self.ground.level_m(vessel, volume_m3)?;
                // At the brim of an outlet nothing more comes out of it.
                let brims = &self.ground.brims[vessel];
                if brims
                    .iter()
                    .any(|own| (volume_m3 - own.outlet_m3).abs() <= 2.0 * CLOSE_M3)
                {
                    level_m -= 1e-4;
                }
                Ok((level_m, brine.practical_salinity(state.contents[vessel])))
            })
            .collect()
    }

    pub(super) fn sum(&self, state: &State, now: &mut Now) {
        let vessels = state.contents.len();
        now.comes.clear();
        now.comes.resize(vessels, 0.0);
        now.goes.clear();
        now.goes.resize(vessels, 0.0);
        for vessel in 0..vessels {
            if now.made.fills >> vessel & 1 == 1 {
                now.comes[vessel] += now.made.share_m3_s;
            }
        }
        for own in &now.lines.ends {
            if let End::Vessel(vessel) = own.end {
                if own.flow_m3_s < 0.0 {
                    now.goes[vessel] -= own.flow_m3_s;
                } else if self.lens.slipped >> own.line & 1 == 0 {
                    now.comes[vessel] += own.flow_m3_s;
                }
            }
        }
    }
}

/// Whether some vessel is left and arrived at.
fn goes_round(ends: &[AtEnd]) -> bool {
    let leaves = ends.iter().filter(|own| own.flow_m3_s < 0.0);
    let mut from = leaves.map(|own| own.end);
    from.any(|end| ends.iter().any(|own| own.end == end && own.flow_m3_s > 0.0))
}
