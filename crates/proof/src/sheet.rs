//! The sheet: fields and figures as one graph, evaluated once for the values and again for each draw.
//!
//! A field of the file is a leaf and is drawn once per draw, whoever uses it, so that figures which share an
//! input stay correlated. A figure is made *by* evaluating its method on other nodes: what is shown as its
//! inputs is what was used. The draws are a Latin hypercube keyed by the field's path, so that a remedy and
//! the station it mends share theirs (JCGM 101:2008; McKay, Beckman & Conover 1979).

use std::collections::BTreeMap;

use physics::stats::{Placement, latin_hypercube, normal_quantile, quantile_of_sorted};
use station::quantity::{Kind, Spread, SpreadShape};
use station::register::{Field, Origin};

use crate::estimate::Estimate;
use crate::figure::{Figure, Input};
use crate::method::{Method, Refusal};

/// Draws behind an interval.
const DRAWS: usize = 256;
/// Seed of every proof: the same file gives the same bytes.
const SEED: u64 = 0x5EA_3A17;

/// A node of the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct NodeId(usize);

#[derive(Debug)]
struct Node {
    value: f64,
    kind: Kind,
    source: Source,
}

#[derive(Debug)]
enum Source {
    Leaf {
        spread: Spread,
        path: String,
        origin: String,
    },
    Figure {
        method: &'static Method,
        inputs: Vec<NodeId>,
        names: Option<Vec<String>>,
        key: String,
        title: String,
        headline: bool,
        /// A point of a curve or a table: it has an interval, but isn't asked about by its key.
        quiet: bool,
    },
}

/// Fields and figures of one station.
#[derive(Debug, Default)]
pub(crate) struct Sheet {
    nodes: Vec<Node>,
    leaves: BTreeMap<String, NodeId>,
    quiet: bool,
}

impl Sheet {
    /// A field of the file; the same path gives the same node.
    pub(crate) fn field(&mut self, field: &Field<f64>, kind: Kind) -> NodeId {
        if let Some(id) = self.leaves.get(&field.path) {
            return *id;
        }
        let origin = match &field.origin {
            Origin::Given(_) => field.path.clone(),
            Origin::Default(reason) => format!("default of {}: {reason}", field.path),
        };
        self.leaf(field.path.clone(), field.value, kind, field.spread, origin)
    }

    /// A typed field of the file.
    pub(crate) fn given<T: station::quantity::Quantity>(&mut self, field: &Field<T>) -> NodeId {
        self.field(&Field::of(field), T::KIND)
    }

    /// A value that no field holds, with its reason.
    pub(crate) fn assumed(
        &mut self,
        path: &str,
        value: f64,
        kind: Kind,
        spread: Spread,
        reason: &str,
    ) -> NodeId {
        if let Some(id) = self.leaves.get(path) {
            return *id;
        }
        self.leaf(path.to_owned(), value, kind, spread, reason.to_owned())
    }

    fn leaf(&mut self, path: String, value: f64, kind: Kind, spread: Spread, origin: String) -> NodeId {
        let id = NodeId(self.nodes.len());
        self.nodes.push(Node {
            value,
            kind,
            source: Source::Leaf {
                spread,
                path: path.clone(),
                origin,
            },
        });
        self.leaves.insert(path, id);
        id
    }

    /// Makes a figure by evaluating its method.
    ///
    /// # Errors
    /// [`Refusal`] where the method doesn't hold for these inputs; the sheet is as before.
    pub(crate) fn figure(
        &mut self,
        key: impl Into<String>,
        title: impl Into<String>,
        method: &'static Method,
        inputs: &[NodeId],
    ) -> Result<NodeId, Refusal> {
        let values: Vec<f64> = inputs.iter().map(|id| self.value(*id)).collect();
        let value = method.evaluate(&values)?;
        let id = NodeId(self.nodes.len());
        self.nodes.push(Node {
            value,
            kind: method.output,
            source: Source::Figure {
                method,
                inputs: inputs.to_vec(),
                names: None,
                key: key.into(),
                title: title.into(),
                headline: false,
                quiet: self.quiet,
            },
        });
        Ok(id)
    }

    /// Makes figures that are points of a curve or a table, and so have no key of their own.
    pub(crate) fn quietly<T>(&mut self, make: impl FnOnce(&mut Self) -> T) -> T {
        let before = core::mem::replace(&mut self.quiet, true);
        let made = make(self);
        self.quiet = before;
        made
    }

    /// A value for a table, whose interval follows.
    pub(crate) fn estimate(&self, id: NodeId) -> Estimate {
        Estimate::new(self.value(id), self.nodes[id.0].kind, id)
    }

    /// Marks a figure for the letter.
    pub(crate) fn headline(&mut self, id: NodeId) -> NodeId {
        if let Source::Figure { headline, .. } = &mut self.nodes[id.0].source {
            *headline = true;
        }
        id
    }

    /// Gives the inputs names of their own, where the method takes any number.
    pub(crate) fn name_inputs(&mut self, id: NodeId, given: Vec<String>) {
        if let Source::Figure { names, .. } = &mut self.nodes[id.0].source {
            *names = Some(given);
        }
    }

    /// Overrides what a figure measures: the same formula serves calcium and alkalinity.
    pub(crate) fn measures(&mut self, id: NodeId, kind: Kind) {
        self.nodes[id.0].kind = kind;
    }

    /// The value of a node.
    pub(crate) fn value(&self, id: NodeId) -> f64 {
        self.nodes[id.0].value
    }

    /// The figure with this key.
    pub(crate) fn find(&self, wanted: &str) -> Option<NodeId> {
        self.nodes
            .iter()
            .position(|node| matches!(&node.source, Source::Figure { key, .. } if key == wanted))
            .map(NodeId)
    }

    /// All figures, with their intervals.
    pub(crate) fn figures(&self, intervals: &Intervals) -> Vec<Figure> {
        self.nodes
            .iter()
            .enumerate()
            .map(|(at, node)| (node, intervals.of(at)))
            .filter_map(|(node, interval)| match &node.source {
                Source::Leaf { .. } | Source::Figure { quiet: true, .. } => None,
                Source::Figure {
                    method,
                    inputs,
                    names,
                    key,
                    title,
                    headline,
                    ..
                } => Some(Figure {
                    key: key.clone(),
                    title: title.clone(),
                    value: node.value,
                    unit: node.kind.si_unit(),
                    low: interval.low,
                    high: interval.high,
                    method: method.key,
                    inputs: inputs
                        .iter()
                        .enumerate()
                        .map(|(at, id)| self.input(*id, name_of(method, names.as_ref(), at)))
                        .collect(),
                    remark: remark(interval.remark, self.caution(method, inputs)),
                    kind: node.kind,
                    headline: *headline,
                }),
            })
            .collect()
    }

    /// What the method says of these inputs, where they lie beyond its range.
    fn caution(&self, method: &Method, inputs: &[NodeId]) -> Option<String> {
        let values: Vec<f64> = inputs.iter().map(|id| self.value(*id)).collect();
        method.caution.and_then(|caution| caution(&values))
    }

    fn input(&self, id: NodeId, name: String) -> Input {
        let node = &self.nodes[id.0];
        let (half_width, origin) = match &node.source {
            Source::Leaf { spread, origin, .. } => (spread.half_width, origin.clone()),
            Source::Figure { key, .. } => (0.0, format!("figure {key}")),
        };
        Input {
            name,
            value: node.value,
            unit: node.kind.si_unit(),
            half_width,
            origin,
            kind: node.kind,
        }
    }

    /// The 2.5 % and 97.5 % points of every node.
    pub(crate) fn intervals(&self) -> Intervals {
        let doubtful = self.doubtful();
        let columns: Vec<Option<Vec<f64>>> = self.nodes.iter().map(column).collect();
        let mut samples: Vec<Vec<f64>> = doubtful
            .iter()
            .map(|d| Vec::with_capacity(if *d { DRAWS } else { 0 }))
            .collect();
        let mut refused = vec![0_usize; self.nodes.len()];
        let mut values: Vec<f64> = self.nodes.iter().map(|node| node.value).collect();
        let mut inputs_now = Vec::new();
        for draw in 0..DRAWS {
            for at in 0..self.nodes.len() {
                if !doubtful[at] {
                    continue;
                }
                values[at] = match &self.nodes[at].source {
                    Source::Leaf { .. } => columns[at]
                        .as_ref()
                        .map_or(self.nodes[at].value, |column| column[draw]),
                    Source::Figure { method, inputs, .. } => {
                        inputs_now.clear();
                        inputs_now.extend(inputs.iter().map(|id| values[id.0]));
                        method.evaluate(&inputs_now).unwrap_or(f64::NAN)
                    }
                };
                if values[at].is_nan() {
                    refused[at] += 1;
                } else {
                    samples[at].push(values[at]);
                }
            }
        }
        Intervals(
            samples
                .into_iter()
                .zip(refused)
                .map(|(sample, refused)| Interval::of(sample, refused))
                .collect(),
        )
    }

    /// How much of a figure's doubt each field brings, greatest first: each is moved by its standard uncertainty,
    /// both ways, while the others stand still (JCGM 100, 5.1.4). Shares of the variance, so that they add to one.
    pub(crate) fn shares_of_doubt(&self, figure: NodeId) -> Vec<(String, f64)> {
        let wanted = self.ancestors(figure);
        let mut shares: Vec<(String, f64)> = Vec::new();
        for (leaf, node) in self.nodes.iter().enumerate() {
            let Source::Leaf { spread, path, .. } = &node.source else {
                continue;
            };
            if !wanted[leaf] || spread.is_none() {
                continue;
            }
            let at = |value: f64| self.moved(figure, leaf, value, &wanted);
            let step = spread.standard_uncertainty();
            if let (Some(high), Some(low)) = (at(node.value + step), at(node.value - step)) {
                shares.push((path.clone(), (high - low) * (high - low)));
            }
        }
        let sum: f64 = shares.iter().map(|(_, share)| share).sum();
        if sum <= 0.0 {
            return Vec::new();
        }
        for (_, share) in &mut shares {
            *share /= sum;
        }
        shares.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        shares
    }

    /// A figure's value with one leaf moved.
    fn moved(&self, figure: NodeId, leaf: usize, value: f64, wanted: &[bool]) -> Option<f64> {
        let mut values: Vec<f64> = self.nodes.iter().map(|node| node.value).collect();
        values[leaf] = value;
        for at in (leaf + 1)..=figure.0 {
            if !wanted[at] {
                continue;
            }
            if let Source::Figure { method, inputs, .. } = &self.nodes[at].source {
                let inputs: Vec<f64> = inputs.iter().map(|id| values[id.0]).collect();
                values[at] = method.evaluate(&inputs).ok()?;
            }
        }
        Some(values[figure.0])
    }

    /// Which nodes a figure rests on, itself among them.
    fn ancestors(&self, figure: NodeId) -> Vec<bool> {
        let mut wanted = vec![false; self.nodes.len()];
        wanted[figure.0] = true;
        for at in (0..=figure.0).rev() {
            if let (true, Source::Figure { inputs, .. }) = (wanted[at], &self.nodes[at].source) {
                for input in inputs {
                    wanted[input.0] = true;
                }
            }
        }
        wanted
    }

    /// Whether a node depends on any spread.
    fn doubtful(&self) -> Vec<bool> {
        let mut doubtful = vec![false; self.nodes.len()];
        for (at, node) in self.nodes.iter().enumerate() {
            doubtful[at] = match &node.source {
                Source::Leaf { spread, .. } => !spread.is_none(),
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

    fn of(&self, at: usize) -> Interval {
        self.0.get(at).cloned().unwrap_or_default()
    }

    /// Gives a value of a table its interval.
    pub(crate) fn fill(&self, estimate: &mut Estimate) {
        if let Some(interval) = self.0.get(estimate.node.0) {
            (estimate.low, estimate.high) = (interval.low, interval.high);
        }
    }
}

#[derive(Debug, Clone, Default)]
struct Interval {
    low: Option<f64>,
    high: Option<f64>,
    remark: Option<String>,
}

impl Interval {
    fn of(mut sample: Vec<f64>, refused: usize) -> Self {
        if sample.is_empty() && refused == 0 {
            return Self::default();
        }
        if refused * 2 > DRAWS {
            let remark = Some(
                "most of the values within the spreads are impossible, so no interval is given".to_owned(),
            );
            return Self {
                low: None,
                high: None,
                remark,
            };
        }
        sample.sort_by(f64::total_cmp);
        // The draws sit in the middle of their slices, so the p-quantile lies at n p - 1/2 (Hazen's rule); the
        // library's rule counts from the ends, hence the shift.
        let n = sample.len() as f64;
        let at =
            |p: f64| quantile_of_sorted(&sample, ((n * p - 0.5) / (n - 1.0).max(1.0)).clamp(0.0, 1.0)).ok();
        let remark = (refused > 0).then(|| {
            format!(
                "{} % of the values within the spreads are impossible and are left out",
                (100 * refused).div_ceil(DRAWS)
            )
        });
        Self {
            low: at(0.025),
            high: at(0.975),
            remark,
        }
    }
}

/// Both remarks, where there are two.
fn remark(first: Option<String>, second: Option<String>) -> Option<String> {
    match (first, second) {
        (Some(first), Some(second)) => Some(format!("{first}; {second}")),
        (first, second) => first.or(second),
    }
}

fn name_of(method: &Method, names: Option<&Vec<String>>, at: usize) -> String {
    match names {
        Some(names) => names.get(at).cloned().unwrap_or_default(),
        None => method
            .inputs
            .get(at)
            .or(method.inputs.last())
            .map_or_else(String::new, |name| (*name).to_owned()),
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
    let slices = latin_hypercube(SEED, fnv1a(path), DRAWS as u32, Placement::Midpoint);
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

/// A key of 64 bits for a path (Fowler, Noll and Vo, variant 1a; from memory).
fn fnv1a(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}
