//! Where in a step a watched function passes zero.
//!
//! Each function is below, above or on zero. One that is on zero, at the start or after an event, has had its event
//! and waits until it has left; only then can it come back.

use super::dense::interpolate;
use super::{Direction, Effort, OdeError, Seen, System, Watch};
use crate::numerics::{RootError, try_bracketed_root};

/// Parts in which a step is looked at.
const PARTS: u32 = 2;
/// Events in one part after which something is wrong.
const MOST_EVENTS: u32 = 64;

#[derive(Debug, Clone, Copy, PartialEq)]
enum Side {
    Below,
    On,
    Above,
}

impl Side {
    fn of(value: f64) -> Self {
        if value < 0.0 {
            Self::Below
        } else if value > 0.0 {
            Self::Above
        } else {
            Self::On
        }
    }
}

/// Values and sides of the watched functions.
#[derive(Debug, Clone)]
pub(super) struct Watcher {
    sides: Vec<Side>,
    at_from: Vec<f64>,
    at_to: Vec<f64>,
    at_probe: Vec<f64>,
    /// State at the last point looked at; at the event that ended the integration.
    pub(super) state: Vec<f64>,
}

/// The step that is looked at.
pub(super) struct Passed<'a> {
    pub(super) t: f64,
    pub(super) h: f64,
    pub(super) arrival: f64,
    pub(super) start: &'a [f64],
    pub(super) bend: &'a [Vec<f64>; 4],
}

impl Passed<'_> {
    /// The time at a share of the step; at its end without rounding.
    pub(super) fn time(&self, share: f64) -> f64 {
        if share < 1.0 {
            self.t + share * self.h
        } else {
            self.arrival
        }
    }
}

impl Watcher {
    pub(super) fn new(states: usize, events: usize) -> Self {
        Self {
            sides: vec![Side::On; events],
            at_from: vec![0.0; events],
            at_to: vec![0.0; events],
            at_probe: vec![0.0; events],
            state: vec![0.0; states],
        }
    }

    pub(super) fn count(&self) -> usize {
        self.sides.len()
    }

    /// Notes on which side each function starts.
    pub(super) fn start<S: System>(
        &mut self,
        system: &mut S,
        t: f64,
        state: &[f64],
        effort: &mut Effort,
    ) -> Result<(), OdeError<S::Refusal>> {
        look(system, t, state, &mut self.at_from, effort)?;
        for (side, value) in self.sides.iter_mut().zip(&self.at_from) {
            *side = Side::of(*value);
        }
        Ok(())
    }

    /// Shows the events of a step in order; gives the share of the step and the place of the one that ends it.
    pub(super) fn scan<S: System>(
        &mut self,
        system: &mut S,
        passed: &Passed<'_>,
        watches: &[Watch],
        tolerance: f64,
        effort: &mut Effort,
        seen: &mut impl FnMut(Seen<'_>),
    ) -> Result<Option<(f64, usize)>, OdeError<S::Refusal>> {
        // Shares of a step are told apart to a few roundings, no finer.
        let tolerance = (tolerance / passed.h.abs()).max(4.0 * f64::EPSILON);
        let mut from = 0.0;
        for part in 1..=PARTS {
            let to = f64::from(part) / f64::from(PARTS);
            self.state_at(passed, to);
            look(system, passed.time(to), &self.state, &mut self.at_to, effort)?;
            let mut events = 0;
            while let Some((share, first)) =
                self.earliest(system, passed, watches, from, to, tolerance, effort)?
            {
                if events == MOST_EVENTS {
                    let t = passed.time(share);
                    return Err(OdeError::TooManyEvents { t, most: MOST_EVENTS });
                }
                events += 1;
                if let Some(index) = self.fire(system, passed, watches, share, first, effort, seen)? {
                    return Ok(Some((share, index)));
                }
                from = share;
                if from >= to {
                    break;
                }
            }
            for (side, value) in self.sides.iter_mut().zip(&self.at_to) {
                *side = Side::of(*value);
            }
            std::mem::swap(&mut self.at_from, &mut self.at_to);
            from = to;
        }
        Ok(None)
    }

    /// The first event between two shares of the step: its share, on the far side of zero, and its place.
    #[allow(
        clippy::too_many_arguments,
        reason = "the parts of a scan, kept apart so that they can be borrowed"
    )]
    fn earliest<S: System>(
        &mut self,
        system: &mut S,
        passed: &Passed<'_>,
        watches: &[Watch],
        from: f64,
        to: f64,
        tolerance: f64,
        effort: &mut Effort,
    ) -> Result<Option<(f64, usize)>, OdeError<S::Refusal>> {
        let mut found: Option<(f64, usize)> = None;
        for (index, watch) in watches.iter().enumerate() {
            if !crosses(self.sides[index], self.at_to[index], watch.direction) {
                continue;
            }
            let (at_from, at_to) = (self.at_from[index], self.at_to[index]);
            // The end of the last bracket beyond zero, so that whoever goes on from there doesn't meet it again.
            let mut far = to;
            let root = try_bracketed_root(
                |share| {
                    if share <= from {
                        return Ok(at_from);
                    }
                    if share >= to {
                        return Ok(at_to);
                    }
                    interpolate(share, passed.start, passed.bend, &mut self.state);
                    look(
                        system,
                        passed.time(share),
                        &self.state,
                        &mut self.at_probe,
                        effort,
                    )?;
                    let value = self.at_probe[index];
                    if value == 0.0 || (value < 0.0) == (at_to < 0.0) {
                        far = far.min(share);
                    }
                    Ok(value)
                },
                from,
                to,
                tolerance,
            );
            // Without a change of sign the function differs from one look to the next; then the far end is it.
            if let Err(RootError::Function(error)) = root {
                return Err(error);
            }
            if found.is_none_or(|(earliest, _)| far < earliest) {
                found = Some((far, index));
            }
        }
        Ok(found)
    }

    /// Shows all events that have happened by then; gives the first that ends the integration.
    #[allow(
        clippy::too_many_arguments,
        reason = "the parts of a scan, kept apart so that they can be borrowed"
    )]
    fn fire<S: System>(
        &mut self,
        system: &mut S,
        passed: &Passed<'_>,
        watches: &[Watch],
        share: f64,
        first: usize,
        effort: &mut Effort,
        seen: &mut impl FnMut(Seen<'_>),
    ) -> Result<Option<usize>, OdeError<S::Refusal>> {
        let t = passed.time(share);
        self.state_at(passed, share);
        look(system, t, &self.state, &mut self.at_probe, effort)?;
        let mut ending = None;
        for (index, watch) in watches.iter().enumerate() {
            let value = self.at_probe[index];
            if index == first || crosses(self.sides[index], value, watch.direction) {
                let state = &self.state;
                seen(Seen::Event { index, t, state });
                if watch.ends && ending.is_none() {
                    ending = Some(index);
                }
            }
            self.sides[index] = Side::of(value);
        }
        std::mem::swap(&mut self.at_from, &mut self.at_probe);
        Ok(ending)
    }

    fn state_at(&mut self, passed: &Passed<'_>, share: f64) {
        interpolate(share, passed.start, passed.bend, &mut self.state);
    }
}

fn crosses(side: Side, value: f64, direction: Direction) -> bool {
    match side {
        Side::Below => value >= 0.0 && direction != Direction::Falling,
        Side::Above => value <= 0.0 && direction != Direction::Rising,
        Side::On => false,
    }
}

fn look<S: System>(
    system: &mut S,
    t: f64,
    state: &[f64],
    values: &mut [f64],
    effort: &mut Effort,
) -> Result<(), OdeError<S::Refusal>> {
    values.fill(f64::NAN);
    effort.event_evaluations = effort.event_evaluations.saturating_add(1);
    system
        .events(t, state, values)
        .map_err(|refusal| OdeError::Refused { t, refusal })?;
    match values.iter().enumerate().find(|(_, value)| !value.is_finite()) {
        Some((index, &value)) => Err(OdeError::EventNotFinite { t, index, value }),
        None => Ok(()),
    }
}
