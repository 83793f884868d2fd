//! The sheet: fields and figures as one graph, evaluated once for the values and again for each draw.
//!
//! A field of the file is a leaf and is drawn once per draw, whoever uses it, so that figures which share an
//! input stay correlated. A figure is made *by* evaluating its method on other nodes: what is shown as its
//! inputs is what was used. The draws are a Latin hypercube keyed by the field's path, so that a remedy and
//! the station it mends share theirs (JCGM 101:2008; McKay, Beckman & Conover 1979).

mod doubts;
mod draws;
#[cfg(test)]
mod tests;
mod trial;

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use station::quantity::{Kind, Spread};
use station::register::{Field, Origin};

use crate::estimate::Estimate;
use crate::figure::{Figure, Input};
use crate::method::{Beyond, Method, Refusal};

pub(crate) use draws::Intervals;

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
    /// One of the values of a solution.
    Output {
        solution: usize,
        at: usize,
        method: &'static Method,
        /// Which inputs of the solution are shown as this one's.
        shown: Vec<usize>,
        key: String,
        title: String,
        headline: bool,
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

/// Many values at once, from the inputs in their order; NaN where one of them can't be had.
pub(crate) type Solve = Arc<dyn Fn(&[f64]) -> Vec<f64> + Send + Sync>;

/// A computation that gives many values together: a network solved for all its tasks.
struct Solution {
    inputs: Vec<NodeId>,
    names: Vec<String>,
    solve: Solve,
    when: When,
}

/// When the doubt of a figure is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum When {
    /// With its value.
    AtOnce,
    /// Behind what is told first, since it takes long: until then the figure is told without.
    Later,
}

impl fmt::Debug for Solution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Solution")
            .field("names", &self.names)
            .finish_non_exhaustive()
    }
}

/// What a value of a solution is told as.
pub(crate) struct Told {
    pub(crate) key: String,
    pub(crate) title: String,
    pub(crate) method: &'static Method,
    /// Which of the solution's inputs it rests on.
    pub(crate) shown: Vec<usize>,
}

/// Fields and figures of one station.
#[derive(Debug, Default)]
pub(crate) struct Sheet {
    nodes: Vec<Node>,
    solutions: Vec<Solution>,
    leaves: BTreeMap<String, NodeId>,
    /// Figures that are asked about by their key.
    keys: BTreeMap<String, NodeId>,
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
        let key = key.into();
        // The first with a key keeps it.
        if !self.quiet {
            self.keys.entry(key.clone()).or_insert(id);
        }
        self.nodes.push(Node {
            value,
            kind: method.output,
            source: Source::Figure {
                method,
                inputs: inputs.to_vec(),
                names: None,
                key,
                title: title.into(),
                headline: false,
                quiet: self.quiet,
            },
        });
        Ok(id)
    }

    /// Takes in a computation that gives many values together.
    pub(crate) fn solution(
        &mut self,
        inputs: Vec<NodeId>,
        names: Vec<String>,
        (when, solve): (When, Solve),
    ) -> usize {
        self.solutions.push(Solution {
            inputs,
            names,
            solve,
            when,
        });
        self.solutions.len() - 1
    }

    /// One value of a solution, as it came out for the inputs' values.
    pub(crate) fn output(&mut self, solution: usize, at: usize, value: f64, told: Told) -> NodeId {
        let id = NodeId(self.nodes.len());
        self.keys.entry(told.key.clone()).or_insert(id);
        self.nodes.push(Node {
            value,
            kind: told.method.output,
            source: Source::Output {
                solution,
                at,
                method: told.method,
                shown: told.shown,
                key: told.key,
                title: told.title,
                headline: false,
            },
        });
        id
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
        if let Source::Figure { headline, .. } | Source::Output { headline, .. } =
            &mut self.nodes[id.0].source
        {
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

    /// The method behind a figure and what it was evaluated on.
    pub(crate) fn formula(&self, id: NodeId) -> Option<(&'static Method, &[NodeId])> {
        match &self.nodes[id.0].source {
            Source::Figure { method, inputs, .. } => Some((method, inputs)),
            Source::Leaf { .. } | Source::Output { .. } => None,
        }
    }

    /// The leaf at this path, where something has put it there.
    pub(crate) fn leaf_at(&self, path: &str) -> Option<NodeId> {
        self.leaves.get(path).copied()
    }

    /// The figure with this key.
    pub(crate) fn find(&self, wanted: &str) -> Option<NodeId> {
        self.keys.get(wanted).copied()
    }

    /// All figures, with their intervals.
    pub(crate) fn figures(&self, intervals: &Intervals, beyond: &Cautions) -> Vec<Figure> {
        self.nodes
            .iter()
            .enumerate()
            .map(|(at, node)| (node, intervals.of(at), beyond.0.get(at).cloned().flatten()))
            .filter_map(|(node, interval, beyond)| match &node.source {
                Source::Leaf { .. } | Source::Figure { quiet: true, .. } => None,
                Source::Output {
                    solution,
                    method,
                    shown,
                    key,
                    title,
                    headline,
                    ..
                } => {
                    let solution = &self.solutions[*solution];
                    Some(Figure {
                        key: key.clone(),
                        title: title.clone(),
                        value: node.value,
                        unit: node.kind.si_unit(),
                        low: interval.low,
                        high: interval.high,
                        method: method.key,
                        inputs: shown
                            .iter()
                            .map(|at| self.input(solution.inputs[*at], solution.names[*at].clone()))
                            .collect(),
                        remark: remark(interval.remark, beyond),
                        kind: node.kind,
                        headline: *headline,
                    })
                }
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
                    remark: remark(
                        // Told where it arises, not at everything that follows from it.
                        interval
                            .remark
                            .filter(|own| !inputs.iter().any(|id| intervals.remark(*id) == Some(own))),
                        beyond,
                    ),
                    kind: node.kind,
                    headline: *headline,
                }),
            })
            .collect()
    }

    /// For each node what to say where it lies beyond what its method was made for, or rests on one that does.
    pub(crate) fn beyond(&self, say: impl Fn(&Beyond) -> String) -> Cautions {
        let mut said: Vec<Option<String>> = Vec::with_capacity(self.nodes.len());
        for node in &self.nodes {
            let own = match &node.source {
                Source::Leaf { .. } | Source::Output { .. } => None,
                Source::Figure { method, inputs, .. } => method
                    .caution
                    .and_then(|caution| {
                        let values: Vec<f64> = inputs.iter().map(|id| self.value(*id)).collect();
                        caution(&values)
                    })
                    .map(|beyond| say(&beyond))
                    .or_else(|| inputs.iter().find_map(|id| said.get(id.0).cloned().flatten())),
            };
            said.push(own);
        }
        Cautions(said)
    }

    fn input(&self, id: NodeId, name: String) -> Input {
        let node = &self.nodes[id.0];
        let (half_width, origin) = match &node.source {
            Source::Leaf { spread, origin, .. } => (spread.half_width, origin.clone()),
            Source::Figure { key, .. } | Source::Output { key, .. } => (0.0, format!("figure {key}")),
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
}

/// What there is to say of each node whose range was left.
#[derive(Debug, Default)]
pub(crate) struct Cautions(Vec<Option<String>>);

impl Cautions {
    /// What there is to say of one.
    pub(crate) fn of(&self, id: NodeId) -> Option<String> {
        self.0.get(id.0).cloned().flatten()
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
