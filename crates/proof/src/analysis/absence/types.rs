//! What is told of an absence, as plain data.

use serde::Serialize;

use super::top::Top;
use super::tree::Branch;
use crate::finding::{Finding, RemedyEdit};

/// A time with nobody there.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Absence {
    /// How long, h.
    pub hours: f64,
    /// Whether one can go away, in one sentence.
    pub answer: String,
    /// Whether that is a yes, be it with the tap shut.
    pub may_leave: bool,
    /// Why, in a few more.
    pub reasons: Vec<String>,
    /// Faults that parts can have.
    pub faults_known: usize,
    /// Beginnings that single faults were looked at from, and pairs.
    pub phases: Vec<String>,
    /// Those of them that pairs were looked at from, too.
    pub phases_of_pairs: Vec<String>,
    /// Pairs that were told, and those of them that needed a run of their own.
    pub pairs_told: usize,
    /// Those that were run; the others change nothing of the run with one of them.
    pub pairs_run: usize,
    /// Runs that were broken off, since levels that find their balance swayed without end: what came before is told.
    pub broken_off: usize,
    /// Single faults that do harm, and pairs that together do what neither does alone.
    pub faults: Vec<FaultSet>,
    /// The least that leads to each harm: single faults, pairs with a part that protects, other pairs; each likeliest first.
    pub minimal_sets: Vec<MinimalSet>,
    /// How often each harm is to be expected.
    pub probability_per_year: Vec<Chance>,
    /// How much each part has to do with water on the floor.
    pub parts: Vec<PartShare>,
    /// What leads to water on the floor, as a fault tree; nothing where no fault or pair does.
    pub tree: Option<Branch>,
    /// Parts that alone stand between a fault and the floor.
    pub barriers: Vec<Barrier>,
    /// What was assumed of each class of parts.
    pub assumptions: Vec<Assumption>,
    /// What to test, and how.
    pub tests: Vec<TestRow>,
    /// Changes that were tried, best for their money first.
    pub remedies: Vec<TriedGuard>,
    /// What to say beside.
    pub findings: Vec<Finding>,
    /// What to keep in mind of all this.
    pub caution: &'static str,
    /// Worst balance of water and of salt of all runs, as a share.
    pub residual: f64,
}

/// One fault or two, and what comes of them.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FaultSet {
    /// The faults, in words.
    pub set: Vec<String>,
    /// What went on when everybody left.
    pub phase: String,
    /// What comes of it, gravest first; of a pair only what is new.
    pub outcome: Vec<String>,
    /// The harms' kinds.
    pub kinds: Vec<Top>,
    /// Water on the floor, m³.
    pub spilled_m3: f64,
    /// Until the first of it, h.
    pub hours_to_harm: f64,
    /// What a person would notice who comes back.
    pub noticed: Vec<String>,
}

/// The least that leads to a harm.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MinimalSet {
    /// The harm.
    pub harm: Top,
    /// The faults, in words.
    pub set: Vec<String>,
    /// Beginnings from which they do.
    pub phases: Vec<String>,
    /// Water on the floor at the most, m³.
    pub spilled_m3: f64,
    /// Until the first harm at the soonest, h.
    pub hours_to_harm: f64,
    /// About once in so many years at the soonest, and at the latest; nothing for what nobody can tell.
    pub years: Option<[f64; 2]>,
    /// Its share of how often the harm is to be expected, 0 to 1.
    pub share: f64,
    /// Whether one of them is a part that protects.
    pub protects: bool,
    /// What makes it begin.
    pub by: By,
}

/// How often a harm is to be expected.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Chance {
    /// The harm.
    pub harm: Top,
    /// `parts` where a part fails by itself, `people` where something was left open, on or unended.
    pub by: By,
    /// A year, nine times in ten between these.
    pub low: f64,
    /// The upper end.
    pub high: f64,
    /// About once in so many years, rounded outwards: at the soonest, at the latest.
    pub years: [f64; 2],
    /// In words.
    pub sentence: String,
}

/// What makes a set begin.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum By {
    /// Parts that fail by themselves, in a station that was left as it should be.
    Parts,
    /// Something that a person left open, on or unended.
    People,
}

/// How much a part has to do with a wet floor.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartShare {
    /// The part.
    pub part: String,
    /// Share of what is to be expected that it takes part in, 0 to 1 (Fussell and Vesely).
    pub share: f64,
}

/// A part that alone stands between something and the floor.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Barrier {
    /// The part.
    pub part: String,
    /// What it holds back alone.
    pub holds: Vec<String>,
    /// How it is tested.
    pub tested: String,
}

/// What was assumed of a class of parts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Assumption {
    /// The class, by its name in the file.
    pub class: &'static str,
    /// One fails once in so long, y; of acts once in so many acts.
    pub once_in: [f64; 2],
    /// What it is counted by: `years` or `acts`.
    pub by: &'static str,
    /// Where that comes from.
    pub source: &'static str,
    /// How often it is tested, y; nothing where nobody does.
    pub tested_every_years: Option<f64>,
}

/// A row of the test sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct TestRow {
    /// The part.
    pub part: String,
    /// What to wet, lift or unplug.
    pub does: String,
    /// What must happen.
    pub must: String,
    /// How often.
    pub every: &'static str,
}

/// A change that was tried.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TriedGuard {
    /// What to do.
    pub sentence: String,
    /// The edits of the station file; empty for what is a habit.
    pub edits: Vec<RemedyEdit>,
    /// Its price as the file gives it, in the station's currency; nothing where it doesn't.
    pub price: Option<f64>,
    /// How often water on the floor by failing parts is to be expected afterwards, as a share of now, 0 to 1.
    pub left: f64,
    /// The same by what people leave open, on or unended.
    pub left_by_people: f64,
    /// Faults of parts that alone still put water on the floor, likeliest first.
    pub still: Vec<String>,
    /// What to keep in mind about it.
    pub caution: Option<&'static str>,
}
