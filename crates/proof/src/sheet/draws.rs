//! Draws: the whole sheet evaluated again for each, and the intervals that come of it.

use std::collections::BTreeMap;

use physics::stats::{Placement, latin_hypercube, normal_quantile};
use station::quantity::SpreadShape;

use super::{Node, NodeId, Sheet, Source};
use crate::estimate::Estimate;
use crate::name_key::name_key;

/// Draws behind an interval.
const DRAWS: usize = 256;
/// Of so many draws one is used for a solution: a network for all its tasks takes a thousand times as long as a formula.
/// 64 draws still give the ends of an interval to about a tenth of its width.
const SOLUTION_EVERY: usize = 4;
/// Seed of every proof: the same file gives the same bytes.
const SEED: u64 = 0x5EA_3A17;

impl Sheet {
    /// The 2.5 % and 97.5 % points of every node, drawn in two halves side by side.
    pub(crate) fn intervals(&self) -> Intervals {
        let doubtful = self.doubtful();
        let sparse = self.sparse();
        let columns: Vec<Option<Vec<f64>>> = self.nodes.iter().map(column).collect();
        let first_of = self.first_of();
        let half = DRAWS / 2;
        let (first, second) = std::thread::scope(|scope| {
            let second = scope.spawn(|| self.draws((&doubtful, &sparse), &columns, &first_of, half..DRAWS));
            let first = self.draws((&doubtful, &sparse), &columns, &first_of, 0..half);
            let second = second
                .join()
                .unwrap_or_else(|panic| std::panic::resume_unwind(panic));
            (first, second)
        });
        Intervals(
            first
                .into_iter()
                .zip(second)
                .map(|(mut sample, more)| {
                    sample.extend(more);
                    Interval::of(sample)
                })
                .collect(),
        )
        .repeated(&first_of)
    }

    /// What some nodes come to in every draw: one row for each draw, in the order of the nodes. A draw for which one of
    /// them can't be had is left out. What rests on a solution is drawn every fourth time, and holds for the next three.
    pub(crate) fn drawn(&self, wanted: &[NodeId]) -> Vec<Vec<f64>> {
        let needed = self.needed(wanted);
        let mut doubtful = self.doubtful();
        for (own, needed) in doubtful.iter_mut().zip(&needed) {
            *own &= needed;
        }
        let sparse = self.sparse();
        let columns: Vec<Option<Vec<f64>>> = self
            .nodes
            .iter()
            .zip(&doubtful)
            .map(|(node, doubtful)| if *doubtful { column(node) } else { None })
            .collect();
        let each: Vec<usize> = (0..self.nodes.len()).collect();
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

    /// Whether each node is one of some, or something that they rest on.
    fn needed(&self, wanted: &[NodeId]) -> Vec<bool> {
        let mut needed = vec![false; self.nodes.len()];
        for id in wanted {
            needed[id.0] = true;
        }
        // Nodes rest on earlier ones only.
        for at in (0..self.nodes.len()).rev() {
            if !needed[at] {
                continue;
            }
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
        let mut samples: Vec<Vec<f64>> = doubtful
            .iter()
            .map(|d| Vec::with_capacity(if *d { DRAWS } else { 0 }))
            .collect();
        let mut values: Vec<f64> = self.nodes.iter().map(|node| node.value).collect();
        let mut inputs_now = Vec::new();
        let mut solved: Vec<Option<Vec<f64>>> = vec![None; self.solutions.len()];
        for draw in draws {
            solved.fill(None);
            for at in 0..self.nodes.len() {
                let left_out = sparse[at] && draw % SOLUTION_EVERY != 0;
                if !doubtful[at] || first_of[at] != at || left_out {
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
