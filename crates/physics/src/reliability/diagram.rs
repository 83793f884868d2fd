//! The decision diagram of a harm: one way through it for each state of the events.

use std::collections::BTreeMap;

use super::{
    error::ReliabilityError,
    event_set::{EventSet, MOST_EVENTS},
    limits::MOST_STEPS,
    tree::{Input, Tree},
};

/// The harm doesn't happen.
const NO: u32 = 0;
/// The harm happens.
const YES: u32 = 1;

/// A question: has this event happened?
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Node {
    /// Place of the event in the order in which events are asked for.
    level: u8,
    /// Where to go on when it has.
    then: u32,
    /// Where to go on when it hasn't.
    otherwise: u32,
}

/// When a harm happens, as a reduced ordered binary decision diagram: events are asked for in one order, no question is
/// asked twice, and none whose answer doesn't matter. From it the probability of the harm is exact, shared events and
/// all, in one pass.
///
/// # Properties
/// The size hangs on the order of the events, and can double with each at worst. Here it is that in which they are met
/// from the top down, a usual choice.
///
/// # Source
/// `BRYANT-1986` for the diagram and its reduction, `RAUZY-1993` for its use with fault trees.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagram {
    /// Each after those it leads to; number 2 is the first, 0 and 1 being the answers.
    nodes: Vec<Node>,
    root: u32,
    /// The event asked for at each level.
    order: Vec<usize>,
    events: usize,
}

impl Diagram {
    /// The diagram of a tree.
    ///
    /// # Errors
    /// [`ReliabilityError::DiagramTooLarge`] when it takes more than [`MOST_STEPS`].
    pub fn of_tree(tree: &Tree) -> Result<Self, ReliabilityError> {
        let order = met_from_the_top(tree);
        let levels = levels(&order);
        let mut builder = Builder::default();
        let mut roots = vec![NO; tree.gates().len()];
        for &number in tree.order() {
            let gate = &tree.gates()[number];
            let wanted = gate.wanted();
            // At place j, when j of the inputs so far are true.
            let mut reached = vec![NO; wanted + 1];
            reached[0] = YES;
            for (before, input) in gate.inputs.iter().enumerate() {
                let root = match *input {
                    Input::Gate(below) => roots[below],
                    Input::Event(event) => builder.node(levels[event], YES, NO),
                };
                for place in (1..=wanted.min(before + 1)).rev() {
                    let with = builder.apply(Join::And, reached[place - 1], root)?;
                    reached[place] = builder.apply(Join::Or, reached[place], with)?;
                }
            }
            roots[number] = reached[wanted];
        }
        Ok(builder.finish(roots[tree.top()], order, tree.events()))
    }

    /// The diagram of a harm that happens when all events of any one of the sets have.
    ///
    /// No sets: it never happens. The empty set: it always does. The sets need not be minimal.
    ///
    /// # Errors
    /// As [`of_tree`](Self::of_tree); an event that isn't among `0..events`.
    pub fn of_sets(sets: &[EventSet], events: usize) -> Result<Self, ReliabilityError> {
        for set in sets {
            set.require_within(events)?;
        }
        let mut order = Vec::new();
        let mut met = EventSet::EMPTY;
        for set in sets {
            order.extend(set.without(met));
            met = met.union(*set);
        }
        let levels = levels(&order);
        let mut builder = Builder::default();
        let mut root = NO;
        for set in sets {
            let mut asked: Vec<u8> = set.iter().map(|event| levels[event]).collect();
            asked.sort_unstable();
            let all = asked
                .iter()
                .rev()
                .fold(YES, |then, level| builder.node(*level, then, NO));
            root = builder.apply(Join::Or, root, all)?;
        }
        Ok(builder.finish(root, order, events))
    }

    /// How many events there are.
    pub fn events(&self) -> usize {
        self.events
    }

    /// How many questions it has.
    pub fn size(&self) -> usize {
        self.nodes.len()
    }

    /// The probability that the harm happens, each event having its own, independent of the others.
    ///
    /// Only sums and products of numbers that aren't negative, so that small probabilities keep their digits.
    ///
    /// # Errors
    /// [`ReliabilityError::Unpaired`] unless there is a probability for each event;
    /// [`ReliabilityError::NotAProbability`] for one outside 0 to 1 or NaN.
    ///
    /// # Source
    /// `RAUZY-1993`: Shannon's expansion, `P = p·P₁ + (1 − p)·P₀` at each question.
    pub fn probability(&self, probabilities: &[f64]) -> Result<f64, ReliabilityError> {
        require_probabilities(probabilities, self.events)?;
        Ok(self.values(probabilities)[self.root as usize])
    }

    /// How much each event moves the probability of the harm: that of the harm when the event has happened, less that
    /// when it hasn't (Birnbaum's importance, the derivative by the event's probability).
    ///
    /// Two passes for all events together.
    ///
    /// # Errors
    /// As [`probability`](Self::probability).
    ///
    /// # Properties
    /// None is negative. As the difference of two probabilities it is good to about 10⁻¹⁶ absolutely.
    ///
    /// # Source
    /// `BIRNBAUM-1969`.
    pub fn birnbaum(&self, probabilities: &[f64]) -> Result<Vec<f64>, ReliabilityError> {
        require_probabilities(probabilities, self.events)?;
        let values = self.values(probabilities);
        let mut arrives = vec![0.0; values.len()];
        arrives[self.root as usize] = 1.0;
        let mut importance = vec![0.0; self.events];
        for (place, node) in self.nodes.iter().enumerate().rev() {
            let event = self.order[usize::from(node.level)];
            let (then, otherwise) = (node.then as usize, node.otherwise as usize);
            let here = arrives[place + 2];
            arrives[then] += here * probabilities[event];
            arrives[otherwise] += here * (1.0 - probabilities[event]);
            // More faults don't undo a harm; rounding may turn an exact 0 over.
            importance[event] += here * (values[then] - values[otherwise]).max(0.0);
        }
        Ok(importance)
    }

    /// The probability of the harm from each node on.
    fn values(&self, probabilities: &[f64]) -> Vec<f64> {
        let mut values = Vec::with_capacity(self.nodes.len() + 2);
        values.extend([0.0, 1.0]);
        for node in &self.nodes {
            let p = probabilities[self.order[usize::from(node.level)]];
            values.push(p * values[node.then as usize] + (1.0 - p) * values[node.otherwise as usize]);
        }
        values
    }
}

/// Refuses what isn't a probability for each event.
pub(super) fn require_probabilities(probabilities: &[f64], events: usize) -> Result<(), ReliabilityError> {
    if probabilities.len() != events {
        return Err(ReliabilityError::Unpaired {
            given: probabilities.len(),
            needed: events,
        });
    }
    match probabilities.iter().position(|p| !(0.0..=1.0).contains(p)) {
        Some(index) => Err(ReliabilityError::NotAProbability {
            index,
            value: probabilities[index],
        }),
        None => Ok(()),
    }
}

/// The events in the order in which they are met going down from the top, the inputs of a gate in their order.
fn met_from_the_top(tree: &Tree) -> Vec<usize> {
    let mut met = EventSet::EMPTY;
    let mut order = Vec::new();
    let mut seen = vec![false; tree.gates().len()];
    let mut stack = vec![Input::Gate(tree.top())];
    while let Some(input) = stack.pop() {
        match input {
            Input::Event(event) if !met.contains(event) => {
                met = met.union(EventSet::from_bits(1 << event));
                order.push(event);
            }
            Input::Gate(number) if !seen[number] => {
                seen[number] = true;
                stack.extend(tree.gates()[number].inputs.iter().rev());
            }
            _ => {}
        }
    }
    order
}

/// The level of each event; of those that aren't asked for, 0.
fn levels(order: &[usize]) -> [u8; MOST_EVENTS] {
    let mut levels = [0; MOST_EVENTS];
    for (level, &event) in (0..).zip(order) {
        levels[event] = level;
    }
    levels
}

/// How two conditions are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Join {
    And,
    Or,
}

/// A diagram in the making: no node twice, no join worked out twice.
#[derive(Default)]
struct Builder {
    nodes: Vec<Node>,
    known: BTreeMap<Node, u32>,
    joined: BTreeMap<(Join, u32, u32), u32>,
}

impl Builder {
    fn node(&mut self, level: u8, then: u32, otherwise: u32) -> u32 {
        if then == otherwise {
            return then;
        }
        let node = Node {
            level,
            then,
            otherwise,
        };
        let nodes = &mut self.nodes;
        *self.known.entry(node).or_insert_with(|| {
            nodes.push(node);
            // Steps are limited far below what 32 bits hold.
            u32::try_from(nodes.len() + 1).unwrap_or(u32::MAX)
        })
    }

    /// Joins two conditions. It calls itself once for each level at most.
    fn apply(&mut self, join: Join, first: u32, second: u32) -> Result<u32, ReliabilityError> {
        match (join, first.min(second), first.max(second)) {
            (_, a, b) if a == b => return Ok(a),
            (Join::And, NO, _) => return Ok(NO),
            (Join::Or, NO, b) | (Join::And, YES, b) => return Ok(b),
            (Join::Or, YES, _) => return Ok(YES),
            _ => {}
        }
        let key = (join, first.min(second), first.max(second));
        if let Some(&result) = self.joined.get(&key) {
            return Ok(result);
        }
        if self.joined.len() >= MOST_STEPS {
            return Err(ReliabilityError::DiagramTooLarge { most: MOST_STEPS });
        }
        let (a, b) = (self.nodes[key.1 as usize - 2], self.nodes[key.2 as usize - 2]);
        let level = a.level.min(b.level);
        let split = |node: Node, number: u32| {
            if node.level == level {
                (node.then, node.otherwise)
            } else {
                (number, number)
            }
        };
        let (a, b) = (split(a, key.1), split(b, key.2));
        let then = self.apply(join, a.0, b.0)?;
        let otherwise = self.apply(join, a.1, b.1)?;
        let result = self.node(level, then, otherwise);
        self.joined.insert(key, result);
        Ok(result)
    }

    /// Keeps what hangs under the root, each node after those it leads to.
    fn finish(self, root: u32, order: Vec<usize>, events: usize) -> Diagram {
        let mut wanted = vec![false; self.nodes.len() + 2];
        wanted[root as usize] = true;
        for (place, node) in self.nodes.iter().enumerate().rev() {
            if wanted[place + 2] {
                wanted[node.then as usize] = true;
                wanted[node.otherwise as usize] = true;
            }
        }
        let mut number: Vec<u32> = vec![NO, YES];
        let mut nodes = Vec::new();
        let mut next = 2;
        for (place, node) in self.nodes.iter().enumerate() {
            number.push(next);
            if wanted[place + 2] {
                nodes.push(Node {
                    then: number[node.then as usize],
                    otherwise: number[node.otherwise as usize],
                    ..*node
                });
                next += 1;
            }
        }
        Diagram {
            nodes,
            root: number[root as usize],
            order,
            events,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ends_are_never_and_always() {
        let never = Diagram::of_sets(&[], 2).unwrap();
        assert_eq!((never.probability(&[0.5, 0.5]), never.size()), (Ok(0.0), 0));
        let always = Diagram::of_sets(&[EventSet::of(&[1]).unwrap(), EventSet::EMPTY], 2).unwrap();
        assert_eq!((always.probability(&[0.5, 0.5]), always.size()), (Ok(1.0), 0));
        assert_eq!(always.birnbaum(&[0.5, 0.5]), Ok(vec![0.0, 0.0]));
    }

    #[test]
    fn a_vote_has_the_least_diagram() {
        // k of n take k·(n − k + 1) questions in any order: each count of yes so far, as long as it matters.
        let vote = super::super::tree::Gate {
            kind: super::super::tree::Kind::AtLeast(20),
            inputs: (0..40).map(Input::Event).collect(),
        };
        let tree = Tree::new(vec![vote], 0, 40).unwrap();
        assert_eq!(Diagram::of_tree(&tree).unwrap().size(), 20 * 21);
    }

    #[test]
    fn a_diagram_beyond_reason_is_refused() {
        // Pairs asked for far apart: all the first halves, then all the second. Twice the size with each pair.
        let pairs: Vec<EventSet> = (0..30).map(|i| EventSet::of(&[i, i + 30]).unwrap()).collect();
        let mut sets: Vec<EventSet> = vec![EventSet::all(30).unwrap()];
        sets.extend(pairs);
        let refused = Diagram::of_sets(&sets, 60);
        assert_eq!(
            refused,
            Err(ReliabilityError::DiagramTooLarge { most: MOST_STEPS })
        );
    }
}
