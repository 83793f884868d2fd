//! Ordinary differential equations: a state followed through time, with events found on the way.
//!
//! Owns: the embedded pair of Runge-Kutta formulas of orders 5 and 4 with steps that fit a tolerance, the state
//! between two steps, the time at which a watched function passes zero.
//!
//! Must not know: what the state means. Time and state are numbers without units; tolerances come from the caller.
//!
//! Not for stiff equations: there the steps get so short that [`OdeError::TooManySteps`] tells. Nothing is allocated
//! in a step; a [`Workspace`] is made once and used again. The effort is bounded, whatever the equation does.

mod dense;
mod drive;
mod error;
mod event;
mod step;

use std::convert::Infallible;

pub use dense::{Step, StepError};
pub use drive::{Workspace, integrate};
pub use error::OdeError;

/// What is followed through time.
///
/// A closure `|t: f64, state: &[f64], slopes: &mut [f64]| -> Result<(), _>` is a system without events.
pub trait System {
    /// Why the system refuses a state; [`Infallible`] when it never does.
    type Refusal;

    /// Writes the slope of every component of the state at time `t`.
    ///
    /// May be asked about states that are never reached, a little beyond the end of a step.
    ///
    /// # Errors
    /// A refusal inside a trial step makes the step shorter; only one that no shorter step avoids is passed on. A slope
    /// that is left unwritten is taken for not a number.
    fn slopes(&mut self, t: f64, state: &[f64], slopes: &mut [f64]) -> Result<(), Self::Refusal>;

    /// Writes the watched functions, one for each [`Watch`]: an event is where one of them passes zero.
    ///
    /// # Errors
    /// A refusal ends the integration. A value that is left unwritten is taken for not a number.
    fn events(&mut self, t: f64, state: &[f64], values: &mut [f64]) -> Result<(), Self::Refusal> {
        let _ = (t, state, values);
        Ok(())
    }
}

impl<F, E> System for F
where
    F: FnMut(f64, &[f64], &mut [f64]) -> Result<(), E>,
{
    type Refusal = E;

    fn slopes(&mut self, t: f64, state: &[f64], slopes: &mut [f64]) -> Result<(), E> {
        self(t, state, slopes)
    }
}

/// Which way through zero makes an event, in the direction in which the integration runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// From below zero to zero or above.
    Rising,
    /// From above zero to zero or below.
    Falling,
    /// Either.
    Any,
}

/// How one of the functions of [`System::events`] is watched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Watch {
    /// Which way through zero counts.
    pub direction: Direction,
    /// Whether the integration ends there.
    pub ends: bool,
}

/// How exactly, and with how much effort at most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings<'a> {
    /// Error of a step as a share of each component, `1e-14..=1`.
    pub relative_tolerance: f64,
    /// Error of a step that is let pass in each component whatever its size, above 0; one for each, in its unit.
    pub absolute_tolerance: &'a [f64],
    /// Length of the first step, above 0 and no more than the longest; none to have it estimated.
    pub first_step: Option<f64>,
    /// Longest step, above 0; infinity for no limit. Only the last may be a hundredth longer, so as not to leave a crumb.
    /// A function that passes zero and back within half a step is not seen to do so: this is the guard against that.
    pub longest_step: f64,
    /// Steps after which to give up, those rejected included, 1 or more.
    pub most_steps: u32,
    /// Width to which the time of an event is narrowed, above 0; no finer than rounding allows.
    pub event_tolerance: f64,
    /// One for each function that [`System::events`] writes.
    pub watches: &'a [Watch],
}

/// What the integration took.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Effort {
    /// Steps kept.
    pub steps: u32,
    /// Trial steps that were too inexact, or refused.
    pub rejected: u32,
    /// How often the slopes were asked for.
    pub evaluations: u32,
    /// How often the events were asked for.
    pub event_evaluations: u32,
}

/// Where the integration ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// Time of the state now.
    pub t: f64,
    /// The event that ended it, by its place; none at the end of the interval. Of several at the same time the first.
    pub event: Option<usize>,
    /// What it took.
    pub effort: Effort,
}

/// What is shown to the caller on the way.
#[derive(Debug)]
pub enum Seen<'a> {
    /// An event, whether or not it ends the integration.
    Event {
        /// Its place among the watches.
        index: usize,
        /// When.
        t: f64,
        /// The state then.
        state: &'a [f64],
    },
    /// A step that was kept, after the events in it; cut short by an event that ends the integration.
    Step(&'a Step<'a>),
}

/// An equation that never refuses.
pub type Never = Infallible;
