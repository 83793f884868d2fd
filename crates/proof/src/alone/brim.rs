//! A vessel that stands at the brim of an outlet: more than comes in would run out just above it, nothing just below.
//!
//! In the world it stays there, and what runs out is what comes in. A step that knew only the one side or the other would
//! chatter from each to the other without end. Of vessels that lines fill one is held at a time: two at once haven't been
//! met, and a run in which they chatter is broken off and counted.

use station::plumbing::End;

use super::control::Hands;
use super::ground::Brim;
use super::marks::CLOSE_M3;
use super::network::{AtEnd, Fares, Flowing, Lines, Pattern, Question};
use super::state::State;
use crate::method::Refusal;

impl Hands<'_, '_> {
    /// The flows of the lines, with vessels at a brim held there. `filled` are the vessels that the purifier fills, as bits,
    /// and what each gets, m³/s; every line is told where that is asked for.
    pub(super) fn flows_at_brims(
        &self,
        state: &State,
        lines: &mut Lines<'_>,
        (pattern, filled, tells_lines): (Pattern, (u64, f64), bool),
        vessels: &mut [(f64, f64)],
        out: &mut Flowing,
    ) -> Result<(), Refusal> {
        let brims: Vec<(usize, f64)> = (0..vessels.len())
            .filter_map(|vessel| Some((vessel, self.brim_m(state, vessel)?)))
            .collect();
        let (by_purifier, others): (Vec<_>, Vec<_>) = brims
            .into_iter()
            .partition(|(vessel, _)| filled.0 >> vessel & 1 == 1);
        for (vessel, brim_m) in &by_purifier {
            vessels[*vessel].0 = vessels[*vessel].0.max(*brim_m);
        }
        let mut ask = |vessels: &[(f64, f64)], out: &mut Flowing| {
            let question = Question {
                pattern,
                vessels,
                // Two answers that are mixed may have a source each.
                tells_lines: tells_lines || !others.is_empty(),
            };
            lines.flows(question, out)
        };
        ask(vessels, out)?;
        for (vessel, brim_m) in &others {
            let fills_m3_s = self.gains_m3_s(*vessel, out);
            if fills_m3_s <= 0.0 {
                continue;
            }
            let level_m = vessels[*vessel].0;
            vessels[*vessel].0 = level_m.max(*brim_m);
            let mut above = Flowing::default();
            ask(vessels, &mut above)?;
            let empties_m3_s = -self.gains_m3_s(*vessel, &above);
            if empties_m3_s > 0.0 {
                out.blend(&above, fills_m3_s / (fills_m3_s + empties_m3_s));
                break;
            }
            vessels[*vessel].0 = level_m;
        }
        let mut share: f64 = 1.0;
        for (vessel, _) in &by_purifier {
            let goes: f64 = out
                .ends
                .iter()
                .filter(|own| own.end == End::Vessel(*vessel))
                .map(|own| -own.flow_m3_s)
                .sum();
            if goes > filled.1 {
                share = share.min(filled.1 / goes);
            }
        }
        // What comes in runs on at once.
        if share < 1.0 {
            out.scale(share);
        }
        Ok(())
    }

    /// A level just above an outlet at whose brim a vessel stands.
    fn brim_m(&self, state: &State, vessel: usize) -> Option<f64> {
        let volume_m3 = state.volume_m3(self.ground, vessel);
        let at = |brim: &&Brim| {
            volume_m3 >= brim.outlet_m3 - 2.0 * CLOSE_M3 && volume_m3 <= brim.above_m3 + 2.0 * CLOSE_M3
        };
        self.ground.brims[vessel].iter().find(at).map(|brim| brim.above_m)
    }

    /// What a vessel gains by the lines, m³/s.
    fn gains_m3_s(&self, vessel: usize, flowing: &Flowing) -> f64 {
        let ends = flowing.ends.iter().filter(|own| own.end == End::Vessel(vessel));
        ends.filter(|own| own.flow_m3_s < 0.0 || self.lens.slipped >> own.line & 1 == 0)
            .map(|own| own.flow_m3_s)
            .sum()
    }
}

impl Flowing {
    fn scale(&mut self, share: f64) {
        for own in &mut self.ends {
            own.flow_m3_s *= share;
        }
        for (_, flow_m3_s) in &mut self.joints {
            *flow_m3_s *= share;
        }
        for line in &mut self.lines {
            line.begins_m3_s *= share;
            line.ends_m3_s *= share;
        }
    }

    /// Becomes what flows if it flows like another for a share of the time, and as it is for the rest.
    pub(super) fn blend(&mut self, other: &Self, share: f64) {
        self.scale(1.0 - share);
        for own in &other.ends {
            let flow_m3_s = share * own.flow_m3_s;
            match self
                .ends
                .iter_mut()
                .find(|there| (there.line, there.end) == (own.line, own.end))
            {
                Some(there) => there.flow_m3_s += flow_m3_s,
                None => self.ends.push(AtEnd { flow_m3_s, ..*own }),
            }
        }
        for (joint, flow_m3_s) in &other.joints {
            match self.joints.iter_mut().find(|(there, _)| there == joint) {
                Some((_, there)) => *there += share * flow_m3_s,
                None => self.joints.push((*joint, share * flow_m3_s)),
            }
        }
        for (line, own) in self.lines.iter_mut().zip(&other.lines) {
            line.begins_m3_s += share * own.begins_m3_s;
            line.ends_m3_s += share * own.ends_m3_s;
        }
        // Water that comes now and then keeps a pump's seal wet.
        for (pump, own) in self.pumps.iter_mut().zip(&other.pumps) {
            if *own == Fares::Moves {
                *pump = Fares::Moves;
            }
        }
    }
}
