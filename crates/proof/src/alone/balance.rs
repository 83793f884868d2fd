//! A step to where two waters find their balance, taken backwards (Euler's implicit one): it ends where the flows at its end
//! have brought it there. The way from one vessel to the other is one number, and its error changes sign once, since what
//! flows falls as the difference of levels does.

use physics::numerics::{RootError, try_bracketed_root};

use super::control::Hands;
use super::flow::Now;
use super::network::Lines;
use super::state::State;
use crate::method::Refusal;

/// How near the end of a step by its own flows is found, as a share of the way.
const NEAR: f64 = 1e-4;

impl Hands<'_, '_> {
    /// The flows at the end of a step that ends where they have brought it; `now` has those of its middle. What the purifier
    /// brings is added on the way; what is sought is how far along the first flows of the lines it goes.
    ///
    /// Near the balance flows change steeply with that (by the root of the head that is left), so that those of a place just
    /// beside it would carry far past it: those of the nearest places on either side are blended, in the shares by which they
    /// bring it there.
    pub(super) fn to_balance(
        &self,
        state: &mut State,
        lines: &mut Option<Lines<'_>>,
        thawed: bool,
        (first, step_s): (&Now, f64),
        now: &mut Now,
    ) -> Result<(), Refusal> {
        let way: Vec<f64> = (0..state.contents.len())
            .map(|vessel| first.by_lines(vessel))
            .collect();
        let square: f64 = way.iter().map(|own| own * own).sum();
        let made: Vec<f64> = (0..way.len())
            .map(|vessel| first.net(vessel) - first.by_lines(vessel))
            .collect();
        let missed_by = |share: f64, now: &Now| {
            let along: f64 = way
                .iter()
                .enumerate()
                .map(|(vessel, own)| own * now.by_lines(vessel))
                .sum();
            share - along / square
        };
        // While nothing is made, beginning and middle of the step are places that were looked at already.
        let middle = missed_by(0.5, now);
        let is_known = middle > 0.0 && made.iter().all(|own| *own == 0.0);
        let end = if is_known { 0.5 } else { 1.0 };
        let mut look = |share: f64, now: &mut Now| -> Result<f64, Refusal> {
            let more_m3: Vec<f64> = way
                .iter()
                .zip(&made)
                .map(|(way, made)| step_s * (made + share * way))
                .collect();
            self.look_further(state, lines, thawed, (&more_m3, true), now)?;
            Ok(missed_by(share, now))
        };
        // Of both sides the place that was looked at last.
        let mut sides: [Option<(f64, Now)>; 2] = [None, None];
        let found = try_bracketed_root(
            |share| {
                if is_known && share == 0.0 {
                    return Ok(-1.0);
                }
                if is_known && share == end {
                    return Ok(middle);
                }
                let missed_by = look(share, now)?;
                sides[usize::from(missed_by > 0.0)] = Some((missed_by, now.clone()));
                Ok(missed_by)
            },
            0.0,
            end,
            NEAR,
        );
        match found {
            Ok(_) => {}
            Err(RootError::Function(refusal)) => return Err(refusal),
            // The first flows were no way to it: three waters at once. Their mean is as good as any.
            Err(_) => return look(0.5, now).map(|_| ()),
        }
        let mut side = |at: usize, its_end: f64| match sides[at].take() {
            Some(side) => Ok::<_, Refusal>(side),
            None => Ok((look(its_end, now)?, now.clone())),
        };
        let (short, before) = side(0, 0.0)?;
        let (past, beyond) = side(1, end)?;
        *now = before;
        if past > short {
            now.lines.blend(&beyond.lines, -short / (past - short));
            self.sum(state, now);
        }
        Ok(())
    }
}

impl Now {
    /// What a vessel gains by the lines alone, m³/s.
    pub(super) fn by_lines(&self, vessel: usize) -> f64 {
        self.net(vessel)
            - if self.made.fills >> vessel & 1 == 1 {
                self.made.share_m3_s
            } else {
                0.0
            }
    }
}
