//! Draws: the whole sheet evaluated again for each, and the intervals that come of it.

use std::collections::BTreeMap;

use physics::stats::{Placement, latin_hypercube, normal_quantile};
use station::quantity::SpreadShape;

use super::{Node, NodeId, Sheet, Source, When};
use crate::estimate::Estimate;
use crate::name_key::name_key;
use crate::threads::side_by_side;

/// Draws behind an interval.
const DRAWS: usize = 256;
/// Of so many draws one is used for a solution: a network for all its tasks takes a thousand times as long as a formula.
/// 64 draws still give the ends of an interval to about a tenth of its width.
const SOLUTION_EVERY: usize = 4;
/// Seed of every proof: the same file gives the same bytes.
const SEED: u64 = 0x5EA_3A17;

impl Sheet {
    /// The 2.5 % and 97.5 % points of every node whose doubt is told at that time, drawn in two halves side by side.
    pub(crate) fn intervals(&self, when: When) -> Intervals {
        let later = self.later().into_iter();
        self.intervals_of(later.map(|later| later == (when == When::Later)).collect())
    }

    /// Those of some nodes.
    pub(super) fn intervals_of(&self, wanted: Vec<bool>) -> Intervals {
        let first_of = self.first_of();
        let needed = self.needed(wanted.clone(), &first_of);
        let mut doubtful = self.doubtful();
        for (own, needed) in doubtful.iter_mut().zip(&needed) {
            *own &= needed;
        }
        let sparse = self.sparse();
        let columns = self.columns(&doubtful);
        let half = DRAWS / 2;
        let draws = |range| self.draws((&doubtful, &sparse), &columns, &first_of, range);
        let [first, second] = side_by_side(|| draws(0..half), || draws(half..DRAWS));
        let drawn: Vec<_> = first.into_iter().zip(second).zip(wanted).collect();
        let interval_of = |((sample, more), wanted): &((Vec<f64>, Vec<f64>), bool)| {
            let all = if *wanted {
                [sample.as_slice(), more].concat()
            } else {
                Vec::new()
            };
            Interval::of(all)
        };
        let (some, others) = drawn.split_at(drawn.len() / 2);
        let each = |some: &[_]| some.iter().map(interval_of).collect::<Vec<_>>();
        let [mut intervals, others] = side_by_side(|| each(some), || each(others));
        intervals.extend(others);
        Intervals(intervals).repeated(&first_of)
    }

    /// What some nodes come to in every draw: one row for each draw, in the order of the nodes. A draw for which one of
    /// them can't be had is left out. What rests on a solution is drawn every fourth time, and holds for the next three.
    pub(crate) fn drawn(&self, wanted: &[NodeId]) -> Vec<Vec<f64>> {
        let mut is_wanted = vec![false; self.nodes.len()];
        for id in wanted {
            is_wanted[id.0] = true;
        }
        let each: Vec<usize> = (0..self.nodes.len()).collect();
        let needed = self.needed(is_wanted, &each);
        let mut doubtful = self.doubtful();
        for (own, needed) in doubtful.iter_mut().zip(&needed) {
            *own &= needed;
        }
        let sparse = self.sparse();
        let columns = self.columns(&doubtful);
        let samples = self.draws((&doubtful, &sparse), &columns, &each, 0..DRAWS);
        (0..DRAWS)
            .map(|draw| {
                let of = |id: &NodeId| match (doubtful[id.0], sparse[id.0]) {
                    (false, _) => self.nodes[id.0].value,
                    (true, false) => samples[id.0][draw],
                    (true, true) => samples[id.0][draw / SOLUTION_EVERY],
                };
                wanted.iter().map(of).collect::<Vec<f64>>()
            })
            .filter(|row| row.iter().all(|value| value.is_finite()))
            .collect()
    }

    /// The draws of every leaf that is doubtful.
    fn columns(&self, doubtful: &[bool]) -> Vec<Option<Vec<f64>>> {
        let nodes = self.nodes.iter().zip(doubtful);
        nodes
            .map(|(node, doubtful)| if *doubtful { column(node) } else { None })
            .collect()
    }

    /// Whether each node is one of some, or something that they rest on, or the one that such is drawn as.
    fn needed(&self, wanted: Vec<bool>, first_of: &[usize]) -> Vec<bool> {
        let mut needed = wanted;
        // Nodes rest on earlier ones only.
        for at in (0..self.nodes.len()).rev() {
            if !needed[at] {
                continue;
            }
            needed[first_of[at]] = true;
            let inputs = match &self.nodes[at].source {
                Source::Leaf { .. } => continue,
                Source::Figure { inputs, .. } => inputs,
                Source::Output { solution, .. } => &self.solutions[*solution].inputs,
            };
            for id in inputs {
                needed[id.0] = true;
            }
        }
        needed
    }

    /// For each node itself, or the earlier figure of the same method on the same inputs: it is drawn once for both.
    fn first_of(&self) -> Vec<usize> {
        let mut first_of: Vec<usize> = (0..self.nodes.len()).collect();
        let mut made: BTreeMap<(&str, Vec<usize>), usize> = BTreeMap::new();
        for (at, node) in self.nodes.iter().enumerate() {
            if let Source::Figure { method, inputs, .. } = &node.source {
                let inputs = inputs.iter().map(|id| first_of[id.0]).collect();
                first_of[at] = *made.entry((method.key, inputs)).or_insert(at);
            }
        }
        first_of
    }

    /// What every doubtful node comes to in some of the draws; NaN where its method refuses.
    fn draws(
        &self,
        (doubtful, sparse): (&[bool], &[bool]),
        columns: &[Option<Vec<f64>>],
        first_of: &[usize],
        draws: core::ops::Range<usize>,
    ) -> Vec<Vec<f64>> {
        let drawn: Vec<usize> = (0..self.nodes.len())
            .filter(|at| doubtful[*at] && first_of[*at] == *at)
            .collect();
        let mut samples: Vec<Vec<f64>> = vec![Vec::new(); self.nodes.len()];
        for at in &drawn {
            samples[*at].reserve_exact(draws.len());
        }
        let mut values: Vec<f64> = self.nodes.iter().map(|node| node.value).collect();
        let mut inputs_now = Vec::new();
        let mut solved: Vec<Option<Vec<f64>>> = vec![None; self.solutions.len()];
        for draw in draws {
            solved.fill(None);
            let leaves_out = draw % SOLUTION_EVERY != 0;
            for at in drawn.iter().copied() {
                if leaves_out && sparse[at] {
                    continue;
                }
                values[at] = match &self.nodes[at].source {
                    Source::Leaf { .. } => columns[at]
                        .as_ref()
                        .map_or(self.nodes[at].value, |column| column[draw]),
                    Source::Output {
                        solution, at: output, ..
                    } => {
                        let from = &self.solutions[*solution];
                        let all = solved[*solution].get_or_insert_with(|| {
                            inputs_now.clear();
                            inputs_now.extend(from.inputs.iter().map(|id| values[first_of[id.0]]));
                            (from.solve)(&inputs_now)
                        });
                        all.get(*output).copied().unwrap_or(f64::NAN)
                    }
                    Source::Figure { method, inputs, .. } => {
                        inputs_now.clear();
                        inputs_now.extend(inputs.iter().map(|id| values[first_of[id.0]]));
                        method.evaluate(&inputs_now).unwrap_or(f64::NAN)
                    }
                };
                samples[at].push(values[at]);
            }
        }
        samples
    }

    /// Whether a node rests on a solution, and so has a value for some of the draws only.
    fn sparse(&self) -> Vec<bool> {
        let mut sparse = vec![false; self.nodes.len()];
        for (at, node) in self.nodes.iter().enumerate() {
            sparse[at] = match &node.source {
                Source::Leaf { .. } => false,
                Source::Output { .. } => true,
                Source::Figure { inputs, .. } => inputs.iter().any(|id| sparse[id.0]),
            };
        }
        sparse
    }

    /// Whether a node rests on a solution whose doubt is told later.
    fn later(&self) -> Vec<bool> {
        let mut later = vec![false; self.nodes.len()];
        for (at, node) in self.nodes.iter().enumerate() {
            later[at] = match &node.source {
                Source::Leaf { .. } => false,
                Source::Output { solution, .. } => self.solutions[*solution].when == When::Later,
                Source::Figure { inputs, .. } => inputs.iter().any(|id| later[id.0]),
            };
        }
        later
    }

    /// Whether a node depends on any spread.
    fn doubtful(&self) -> Vec<bool> {
        let mut doubtful = vec![false; self.nodes.len()];
        for (at, node) in self.nodes.iter().enumerate() {
            doubtful[at] = match &node.source {
                Source::Leaf { spread, .. } => !spread.is_none(),
                Source::Output { solution, .. } => {
                    let inputs = &self.solutions[*solution].inputs;
                    inputs.iter().any(|id| doubtful[id.0])
                }
                Source::Figure { inputs, .. } => inputs.iter().any(|id| doubtful[id.0]),
            };
        }
        doubtful
    }
}

/// The intervals of every node of a sheet.
#[derive(Debug)]
pub(crate) struct Intervals(Vec<Interval>);

impl Intervals {
    /// No interval for anything: where only values are wanted.
    pub(crate) fn none() -> Self {
        Self(Vec::new())
    }

    /// Whether there are any.
    pub(crate) fn are_told(&self) -> bool {
        !self.0.is_empty()
    }

    /// These, with those that were told later.
    pub(crate) fn with(mut self, later: Self) -> Self {
        for (own, later) in self.0.iter_mut().zip(later.0) {
            if later.is_told() {
                *own = later;
            }
        }
        self
    }

    /// Nodes that repeat an earlier one have its interval.
    fn repeated(mut self, first_of: &[usize]) -> Self {
        for (at, first) in first_of.iter().enumerate() {
            if *first != at {
                self.0[at] = self.0[*first].clone();
            }
        }
        self
    }

    pub(super) fn of(&self, at: usize) -> Interval {
        self.0.get(at).cloned().unwrap_or_default()
    }

    /// What is to say of a node's interval.
    pub(super) fn remark(&self, id: NodeId) -> Option<&String> {
        self.0.get(id.0)?.remark.as_ref()
    }

    /// Gives a value of a table its interval.
    pub(crate) fn fill(&self, estimate: &mut Estimate) {
        if let Some(interval) = self.0.get(estimate.node.0) {
            (estimate.low, estimate.high) = (interval.low, interval.high);
        }
    }
}

#[derive(Debug, Clone, Default)]
pub(super) struct Interval {
    pub(super) low: Option<f64>,
    pub(super) high: Option<f64>,
    pub(super) remark: Option<String>,
}

impl Interval {
    fn is_told(&self) -> bool {
        self.low.is_some() || self.remark.is_some()
    }

    /// From all draws of a node; none for one without doubt.
    fn of(mut sample: Vec<f64>) -> Self {
        let drawn = sample.len();
        if drawn == 0 {
            return Self::default();
        }
        sample.retain(|value| !value.is_nan());
        let refused = drawn - sample.len();
        if refused * 2 > drawn {
            let remark = Some(
                "most of the values within the spreads are impossible, so no interval is given".to_owned(),
            );
            return Self {
                low: None,
                high: None,
                remark,
            };
        }
        // The draws sit in the middle of their slices, so the p-quantile lies at n p - 1/2 (Hazen's rule).
        let at = |p: f64, sample: &mut [f64]| {
            let place = (sample.len() as f64 * p - 0.5).clamp(0.0, (sample.len() - 1) as f64);
            let below = libm::floor(place) as usize;
            let (_, low, above) = sample.select_nth_unstable_by(below, f64::total_cmp);
            let low = *low;
            let high = above.iter().copied().min_by(f64::total_cmp).unwrap_or(low);
            low + (high - low) * (place - below as f64)
        };
        let remark = (refused > 0).then(|| {
            format!(
                "{} % of the values within the spreads are impossible and are left out",
                (100 * refused).div_ceil(drawn)
            )
        });
        Self {
            low: Some(at(0.025, &mut sample)),
            high: Some(at(0.975, &mut sample)),
            remark,
        }
    }
}

/// The draws of a leaf with a spread.
fn column(node: &Node) -> Option<Vec<f64>> {
    let Source::Leaf { spread, path, .. } = &node.source else {
        return None;
    };
    if spread.is_none() {
        return None;
    }
    let slices = latin_hypercube(SEED, name_key(path), DRAWS as u32, Placement::Midpoint);
    Some(
        slices
            .into_iter()
            .map(|p| match spread.shape {
                SpreadShape::Normal => {
                    node.value + spread.standard_uncertainty() * normal_quantile(p).unwrap_or(0.0)
                }
                SpreadShape::Limits => node.value + spread.half_width * (2.0 * p - 1.0),
            })
            .collect(),
    )
}
