//! Methods: how a figure is computed, told once and used as told.
//!
//! Owns: the shape of a method. The register of all of them is [`crate::METHODS`].

use core::convert::Infallible;

use physics::OutOfRange;
use physics::carbon::CarbonError;
use physics::carbonate::CarbonateError;
use physics::dilution::DilutionError;
use physics::heat::HeatError;
use physics::hydraulics::HydraulicsError;
use physics::hydraulics::parts::PartError;
use physics::jet::JetError;
use physics::membrane::MembraneError;
use physics::mixing::MixingError;
use physics::reliability::ReliabilityError;
use physics::resin::ResinError;
use physics::vessel::{LevelError, VesselError};
use station::quantity::Kind;

/// A formula with its name, its sources and its range.
#[derive(Debug)]
pub struct Method {
    /// Stable key.
    pub key: &'static str,
    /// What it gives, in words.
    pub title: &'static str,
    /// The formula as one reads it.
    pub formula: &'static str,
    /// Names of its inputs, in order; a method for measured tables takes any number.
    pub inputs: &'static [&'static str],
    /// What it gives.
    pub output: Kind,
    /// Keys of `docs/sources.md`.
    pub sources: &'static [&'static str],
    /// Where it holds.
    pub range: &'static str,
    /// What to say of inputs beyond that range for which it still gives a number.
    pub caution: Option<Caution>,
    /// The computation, on plain SI numbers in the order of `inputs`.
    pub eval: fn(&[f64]) -> Result<f64, Refusal>,
}

/// What a method says of inputs beyond its range.
pub type Caution = fn(&[f64]) -> Option<Beyond>;

/// A range that was left, within which the model is a fair picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beyond {
    /// What left it.
    pub quantity: &'static str,
    /// What that measures.
    pub kind: Kind,
    /// Its ends, in the stored unit.
    pub ends: [f64; 2],
}

impl From<Infallible> for Refusal {
    fn from(never: Infallible) -> Self {
        match never {}
    }
}

/// Why a method gives no number.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Refusal {
    /// A correlation was left.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// The mix can't be made.
    #[error(transparent)]
    Mixing(#[from] MixingError),
    /// The level or volume isn't in the vessel.
    #[error(transparent)]
    Vessel(#[from] VesselError),
    /// The level isn't in the vessel.
    #[error(transparent)]
    Level(#[from] LevelError),
    /// The dilution can't be done.
    #[error(transparent)]
    Dilution(#[from] DilutionError),
    /// The membrane can't work like that.
    #[error(transparent)]
    Membrane(#[from] MembraneError),
    /// The feed can't be such water.
    #[error(transparent)]
    Carbonate(#[from] CarbonateError),
    /// The resin can't be told.
    #[error(transparent)]
    Resin(#[from] ResinError),
    /// The carbon can't be told.
    #[error(transparent)]
    Carbon(#[from] CarbonError),
    /// The network can't be such.
    #[error(transparent)]
    Hydraulics(#[from] HydraulicsError),
    /// A part of it can't be such.
    #[error(transparent)]
    Part(#[from] PartError),
    /// A jet can't be reckoned so.
    #[error(transparent)]
    Jet(#[from] JetError),
    /// Heat can't be reckoned so.
    #[error(transparent)]
    Heat(#[from] HeatError),
    /// How often faults come together can't be reckoned so.
    #[error(transparent)]
    Reliability(#[from] ReliabilityError),
    /// The figure comes of a network as a whole.
    #[error("this is solved for all lines together")]
    Solved,
    /// No water comes.
    #[error("no water comes through")]
    NoFlow,
    /// More than is looked at.
    #[error("{given} {what} are more than the {most} that are looked at")]
    TooMany {
        /// Of what.
        what: &'static str,
        /// How many there are.
        given: usize,
        /// The most.
        most: usize,
    },
    /// An integration through time gave up.
    #[error("flows can't be followed through time: {reason}")]
    Unfollowed {
        /// Why.
        reason: String,
    },
    /// Events come without rest.
    #[error(
        "something switches on and off without rest, more than {most} times a day: set its marks further apart"
    )]
    Restless {
        /// The most that are followed.
        most: u32,
    },
    /// Somebody asked for a stop.
    #[error("it was stopped before its end")]
    Stopped,
    /// The wrong number of inputs.
    #[error("the method was given {given} inputs")]
    Inputs {
        /// How many.
        given: usize,
    },
    /// No number at all.
    #[error("an input or the result isn't a number")]
    NotANumber,
}

/// The inputs by name, or a refusal where their number is wrong.
pub(crate) fn take<const N: usize>(inputs: &[f64]) -> Result<[f64; N], Refusal> {
    match inputs.try_into() {
        Ok(named) => Ok(named),
        Err(_) => Err(Refusal::Inputs { given: inputs.len() }),
    }
}

impl Method {
    /// Evaluates, and never gives NaN or infinity.
    ///
    /// # Errors
    /// [`Refusal`] where the method doesn't hold.
    pub fn evaluate(&self, inputs: &[f64]) -> Result<f64, Refusal> {
        if !inputs.iter().all(|input| input.is_finite()) {
            return Err(Refusal::NotANumber);
        }
        let value = (self.eval)(inputs)?;
        if value.is_finite() {
            Ok(value)
        } else {
            Err(Refusal::NotANumber)
        }
    }
}
