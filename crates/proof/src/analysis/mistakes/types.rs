//! What is told of mistakes, as plain data.

use serde::Serialize;

use super::kind::Kind;
use super::rank::Leading;
use crate::estimate::Estimate;
use crate::finding::{RemedyEdit, Severity};

/// What is told in place of a cure until changes have been tried.
pub const BEING_TRIED: &str = "What helps against it is being tried.";

/// What wrong valves do.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Mistakes {
    /// Every position.
    #[serde(flatten)]
    pub map: MistakeMap,
    /// Single wrong moves by what they lead to, worst first.
    pub causes: Vec<Cause>,
    /// Changes that were tried and clear something, cheapest first.
    pub remedies: Vec<TriedRemedy>,
    /// The cheapest change of each cause, all of them together.
    pub together: Option<Together>,
    /// From each task every single wrong move that does harm.
    pub one_step: Vec<WrongMove>,
    /// What each task comes to that is left too long, or begun at the wrong moment: what it is there for, too much of it.
    pub left_on: Vec<WrongMove>,
    /// The mistakes that matter most, worst first, of both.
    #[serde(skip)]
    pub leading: Vec<Leading>,
    /// Whether changes against them are still being tried: then no cure is known of any, nor the doubt of a figure.
    #[serde(skip)]
    pub being_tried: bool,
}

/// Every position of valves and pumps, and what they do.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MistakeMap {
    /// Valves and pumps that can be turned.
    pub switches: usize,
    /// Positions of valves and pumps, each in every situation.
    pub states_tried: u64,
    /// Those that do no harm.
    pub harmless: u64,
    /// How often each kind of harm is among them.
    pub counts: Vec<KindCount>,
    /// The situations: `start`, `full`, `worst`, and `crossed` with purified water low and salt water full; of two with
    /// the same levels, one.
    pub situations: Vec<String>,
    /// Connected patterns of lines that were solved for them.
    pub patterns_solved: usize,
    /// What was looked at without a gap, and what wasn't.
    pub exhaustive: String,
    /// The least that does each harm.
    pub hazards: Vec<Hazard>,
}

/// How many states do one kind of harm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct KindCount {
    /// The kind.
    pub kind: Kind,
    /// States.
    pub states: u64,
}

/// The least that does one harm.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hazard {
    /// Valves that are open; all others are closed.
    pub valves_open: Vec<String>,
    /// Pumps that run.
    pub pumps_on: Vec<String>,
    /// The situation in which it comes soonest.
    pub situation: String,
    /// What it does.
    pub kind: Kind,
    /// To what: a vessel, tank, draw point or pump.
    pub victim: String,
    /// The flow that does it.
    pub flow_m3_per_s: f64,
    /// Until it is done.
    pub seconds_to_harm: f64,
    /// Where the flow between two vessels turns round.
    pub balance: Option<Balance>,
}

/// The level at which water between two joined vessels stands still; beyond it, it runs the other way.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Balance {
    /// The vessel with purified water.
    pub vessel: String,
    /// Its level above its floor.
    pub level_m: f64,
    /// The vessel that it is joined with.
    pub other: String,
    /// That one's level in the situation, above its floor.
    pub other_level_m: f64,
}

/// A single wrong move out of a task.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WrongMove {
    /// The task.
    pub lineup: String,
    /// The valve or pump; empty where the task does it by itself.
    pub moved: String,
    /// `opened`, `closed`, `started` or `stopped`; empty where the task does it by itself.
    pub turned: &'static str,
    /// The situation in which it comes soonest.
    pub situation: String,
    /// What it does.
    pub kind: Kind,
    /// To what.
    pub victim: String,
    /// The flow that does it.
    pub flow_m3_per_s: f64,
    /// Until it is done.
    pub seconds_to_harm: f64,
}

/// Which wrong move.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct MoveOfCause {
    /// The task.
    pub lineup: String,
    /// The valve or pump; empty where the task does it by itself.
    pub moved: String,
    /// `opened`, `closed`, `started` or `stopped`; empty where the task does it by itself.
    pub turned: &'static str,
}

/// Wrong moves with one cause.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cause {
    /// Its name, with which the keys of its figures begin.
    pub key: String,
    /// What it does.
    pub kind: Kind,
    /// To what.
    pub victim: String,
    /// How much it matters.
    pub severity: Severity,
    /// The valves and pumps that do it, each by one wrong move.
    pub moved: Vec<String>,
    /// The tasks out of which they do.
    pub lineups: Vec<String>,
    /// Each of them, soonest first.
    pub moves: Vec<MoveOfCause>,
    /// One sentence with the figures of the move that does it soonest.
    pub sentence: String,
    /// Until it is done, by that move.
    pub seconds_to_harm: f64,
    /// Its flow.
    pub flow_m3_per_s: f64,
    /// Its flow, with its doubt once the proof is whole; `None` where none flows.
    pub flow: Option<Estimate>,
    /// Its time, likewise; `None` where it is done at once, or the network says nothing of it.
    pub time: Option<Estimate>,
    /// Where the flow between two vessels turns round.
    pub balance: Option<Balance>,
    /// The cheapest change that clears it, as its place among the remedies.
    pub remedy: Option<usize>,
    /// What was tried against it where none clears it: a part, and the valves or lines that it was tried at.
    pub tried: Vec<String>,
    /// Path in the station file: the valve, pump or task.
    #[serde(rename = "where")]
    pub place: String,
}

/// A change that was tried.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TriedRemedy {
    /// What to do.
    pub sentence: String,
    /// The edits of the station file.
    pub edits: Vec<RemedyEdit>,
    /// Its price as the file gives it, in the station's currency; `None` where it doesn't.
    pub price: Option<f64>,
    /// How many of the causes it clears.
    pub clears: usize,
    /// What to keep in mind about it.
    pub caution: Option<&'static str>,
}

/// The cheapest change of each cause, all made in one copy of the file and proved.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Together {
    /// Their places among the remedies.
    pub remedies: Vec<usize>,
    /// What they cost together, in the station's currency; `None` where the file doesn't tell a price.
    pub price: Option<f64>,
    /// Causes that are left.
    pub left: usize,
    /// Whether a wrong move comes up that wasn't there before.
    pub brings: bool,
}
