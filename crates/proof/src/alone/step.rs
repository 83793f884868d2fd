//! One step of the lines: by the flows of its middle, or, where two waters find their balance, by those of its end.
//!
//! Levels of joined vessels run towards each other ever slower, and with flows that go by the root of what is left they are
//! there in finite time. Past that the flow of a step's middle points back, and a step by it would sway around the balance
//! without end. Such a step is taken backwards ([`super::balance`]).

use super::control::Hands;
use super::flow::Now;
use super::marks::Met;
use super::network::Lines;
use super::state::State;
use crate::method::Refusal;
use crate::plant::Amount;

/// A step so short, s, has no middle that differs from its beginning.
const HARDLY_S: f64 = 0.01;
/// What sways by less than this, m³/s, isn't swaying: a litre in a weekend.
const SWAYS_M3_S: f64 = 4e-9;

impl Hands<'_, '_> {
    /// How far it goes, and what is met there; `now` is left with the flows of that step.
    pub(crate) fn step(
        &self,
        state: &mut State,
        lines: &mut Option<Lines<'_>>,
        thawed: bool,
        now: &mut Now,
        left_s: f64,
    ) -> Result<(f64, Option<Met>), Refusal> {
        let longest_s = self.longest_s(state, now).min(left_s);
        let (step_s, met) = self.meets(state, now, longest_s);
        if now.lines.ends.is_empty() || step_s < HARDLY_S {
            return Ok((step_s, or_level(met, step_s, left_s)));
        }
        let at_first = now.clone();
        let along: Vec<f64> = (0..state.contents.len())
            .map(|vessel| 0.5 * step_s * at_first.net(vessel))
            .collect();
        self.look_further(state, lines, thawed, (&along, false), now)?;
        let dies_away = (0..state.contents.len()).all(|vessel| now.by_lines(vessel) == 0.0);
        if dies_away {
            // What dies away within the step goes on to its end as it began: a trickle.
            *now = at_first;
        } else if turns_back(&at_first, now) {
            self.to_balance(state, lines, thawed, (&at_first, step_s), now)?;
        }
        let (step_s, met) = self.meets(state, now, step_s);
        Ok((step_s, or_level(met, step_s, left_s)))
    }

    /// What would flow with so much more in each vessel, m³; in each line too, where that is asked for.
    pub(super) fn look_further(
        &self,
        state: &mut State,
        lines: &mut Option<Lines<'_>>,
        thawed: bool,
        (more_m3, tells_lines): (&[f64], bool),
        now: &mut Now,
    ) -> Result<(), Refusal> {
        let begun: Vec<Amount> = state.contents.clone();
        for (vessel, more_m3) in more_m3.iter().enumerate() {
            let volume_m3 = state.volume_m3(self.ground, vessel);
            // Only the level matters here, not what the water holds.
            state.contents[vessel] = match volume_m3 > 0.0 {
                true => begun[vessel].times(((volume_m3 + more_m3) / volume_m3).max(0.0)),
                false => Amount::water(more_m3.max(0.0)),
            };
        }
        let looked = self.look(state, lines.as_mut(), (thawed, tells_lines), now);
        state.contents = begun;
        looked
    }
}

/// Whether the lines bring to a vessel in the middle of a step what they took from it at its beginning, or the reverse.
fn turns_back(first: &Now, middle: &Now) -> bool {
    (0..first.comes.len()).any(|vessel| {
        let (before, after) = (first.by_lines(vessel), middle.by_lines(vessel));
        before * after < 0.0 && before.abs().max(after.abs()) > SWAYS_M3_S
    })
}

/// A step that was cut short by its own length ends where flows must be looked at anew.
fn or_level(met: Option<Met>, step_s: f64, left_s: f64) -> Option<Met> {
    met.or((step_s < left_s).then_some(Met::Level))
}
