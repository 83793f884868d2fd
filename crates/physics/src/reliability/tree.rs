//! A tree of gates above basic events.

use super::{
    error::ReliabilityError,
    event_set::{EventSet, MOST_EVENTS},
};

/// What a gate hangs on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Input {
    /// A gate, by its number in the tree.
    Gate(usize),
    /// A basic event, by its number.
    Event(usize),
}

/// When a gate is true.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// When one input is, at least.
    Or,
    /// When all inputs are.
    And,
    /// When so many inputs are, at least.
    AtLeast(usize),
}

/// A gate with its inputs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gate {
    /// When it is true.
    pub kind: Kind,
    /// What it hangs on, each once.
    pub inputs: Vec<Input>,
}

impl Gate {
    /// How many of its inputs must be true.
    pub(super) fn wanted(&self) -> usize {
        match self.kind {
            Kind::Or => 1,
            Kind::And => self.inputs.len(),
            Kind::AtLeast(wanted) => wanted,
        }
    }
}

/// A coherent tree of gates: more faults never undo a harm. Gates and events may be shared.
///
/// # Source
/// `NUREG-0492`: gates and what a tree means.
///
/// # Examples
/// ```
/// use physics::reliability::{EventSet, Gate, Input, Kind, Tree};
///
/// // The vessel overflows when the valve (0) sticks and one of float (1) and relay (2) does.
/// let top = Gate { kind: Kind::And, inputs: vec![Input::Event(0), Input::Gate(1)] };
/// let trip = Gate { kind: Kind::Or, inputs: vec![Input::Event(1), Input::Event(2)] };
/// let tree = Tree::new(vec![top, trip], 0, 3)?;
/// assert!(tree.happens(EventSet::of(&[0, 2])?));
/// assert!(!tree.happens(EventSet::of(&[1, 2])?));
/// # Ok::<(), physics::reliability::ReliabilityError>(())
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tree {
    gates: Vec<Gate>,
    top: usize,
    events: usize,
    /// What hangs under the top, each gate after its inputs; the top is the last.
    order: Vec<usize>,
}

impl Tree {
    /// A tree of these gates, of which `top` is the harm, above the events `0..events`.
    ///
    /// Gates that don't hang under the top, and events that no gate names, are allowed.
    ///
    /// # Errors
    /// [`ReliabilityError`] for more than 128 events; for a top or an input that isn't there; for a gate that is
    /// empty, names an input twice, wants none or more than all of its inputs, or depends on itself. Gates that
    /// don't hang under the top are looked at, too.
    pub fn new(gates: Vec<Gate>, top: usize, events: usize) -> Result<Self, ReliabilityError> {
        if events > MOST_EVENTS {
            return Err(ReliabilityError::TooManyEvents {
                given: events,
                most: MOST_EVENTS,
            });
        }
        let count = gates.len();
        if top >= count {
            return Err(ReliabilityError::NoSuchGate {
                gate: top,
                gates: count,
            });
        }
        for (number, gate) in gates.iter().enumerate() {
            check(number, gate, count, events)?;
        }
        let mut order = Vec::with_capacity(count);
        let mut visits = vec![Visit::Not; count];
        descend(&gates, top, &mut visits, &mut order)?;
        let under_top = order.len();
        for start in 0..count {
            descend(&gates, start, &mut visits, &mut order)?;
        }
        order.truncate(under_top);
        Ok(Self {
            gates,
            top,
            events,
            order,
        })
    }

    /// The gates, by number.
    pub fn gates(&self) -> &[Gate] {
        &self.gates
    }

    /// The gate that is the harm.
    pub fn top(&self) -> usize {
        self.top
    }

    /// How many basic events there are.
    pub fn events(&self) -> usize {
        self.events
    }

    /// Whether the harm happens when exactly these events have; events beyond those of the tree don't matter.
    pub fn happens(&self, failed: EventSet) -> bool {
        let mut states = vec![false; self.gates.len()];
        for &number in &self.order {
            let gate = &self.gates[number];
            let happened = gate.inputs.iter().filter(|input| match **input {
                Input::Gate(below) => states[below],
                Input::Event(event) => failed.contains(event),
            });
            states[number] = happened.count() >= gate.wanted();
        }
        states[self.top]
    }

    /// What hangs under the top, each gate after its inputs; the top is the last.
    pub(super) fn order(&self) -> &[usize] {
        &self.order
    }
}

fn check(number: usize, gate: &Gate, gates: usize, events: usize) -> Result<(), ReliabilityError> {
    let inputs = gate.inputs.len();
    if inputs == 0 {
        return Err(ReliabilityError::EmptyGate { gate: number });
    }
    if let Kind::AtLeast(wanted) = gate.kind
        && !(1..=inputs).contains(&wanted)
    {
        return Err(ReliabilityError::AtLeast {
            gate: number,
            wanted,
            inputs,
        });
    }
    for (place, input) in gate.inputs.iter().enumerate() {
        match *input {
            Input::Gate(gate) if gate >= gates => return Err(ReliabilityError::NoSuchGate { gate, gates }),
            Input::Event(event) if event >= events => {
                return Err(ReliabilityError::NoSuchEvent { event, events });
            }
            _ if gate.inputs[..place].contains(input) => {
                return Err(ReliabilityError::RepeatedInput { gate: number, place });
            }
            _ => {}
        }
    }
    Ok(())
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Visit {
    Not,
    Within,
    Done,
}

/// Goes down from a gate and appends what is found to `order`, each gate after its inputs. A stack of its own, so that
/// a deep tree can't overflow the program's.
fn descend(
    gates: &[Gate],
    start: usize,
    visits: &mut [Visit],
    order: &mut Vec<usize>,
) -> Result<(), ReliabilityError> {
    if visits[start] == Visit::Done {
        return Ok(());
    }
    visits[start] = Visit::Within;
    let mut stack = vec![(start, 0)];
    while let Some((number, next)) = stack.pop() {
        match gates[number].inputs.get(next) {
            None => {
                visits[number] = Visit::Done;
                order.push(number);
            }
            Some(input) => {
                stack.push((number, next + 1));
                if let Input::Gate(below) = *input {
                    match visits[below] {
                        Visit::Done => {}
                        Visit::Within => return Err(ReliabilityError::Cycle { gate: below }),
                        Visit::Not => {
                            visits[below] = Visit::Within;
                            stack.push((below, 0));
                        }
                    }
                }
            }
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gate(kind: Kind, inputs: &[Input]) -> Gate {
        Gate {
            kind,
            inputs: inputs.to_vec(),
        }
    }

    #[test]
    fn what_is_no_tree_is_refused_at_its_place() {
        use Input::{Event, Gate as Of};
        let of = |gates: &[Gate]| Tree::new(gates.to_vec(), 0, 3).unwrap_err();
        assert_eq!(of(&[]), ReliabilityError::NoSuchGate { gate: 0, gates: 0 });
        assert_eq!(
            of(&[gate(Kind::Or, &[])]),
            ReliabilityError::EmptyGate { gate: 0 }
        );
        assert_eq!(
            of(&[gate(Kind::Or, &[Event(3)])]),
            ReliabilityError::NoSuchEvent { event: 3, events: 3 }
        );
        assert_eq!(
            of(&[gate(Kind::Or, &[Of(1)])]),
            ReliabilityError::NoSuchGate { gate: 1, gates: 1 }
        );
        assert_eq!(
            of(&[gate(Kind::Or, &[Event(1), Event(1)])]),
            ReliabilityError::RepeatedInput { gate: 0, place: 1 }
        );
        for wanted in [0, 3] {
            let expected = ReliabilityError::AtLeast {
                gate: 0,
                wanted,
                inputs: 2,
            };
            assert_eq!(
                of(&[gate(Kind::AtLeast(wanted), &[Event(0), Event(1)])]),
                expected
            );
        }
        assert_eq!(
            of(&[gate(Kind::Or, &[Of(0)])]),
            ReliabilityError::Cycle { gate: 0 }
        );
        // A circle that doesn't hang under the top is one all the same.
        let apart = [
            gate(Kind::Or, &[Event(0)]),
            gate(Kind::And, &[Of(2), Event(1)]),
            gate(Kind::And, &[Of(1)]),
        ];
        assert_eq!(of(&apart), ReliabilityError::Cycle { gate: 1 });
        let many = Tree::new(vec![gate(Kind::Or, &[Event(0)])], 0, 129);
        assert!(matches!(many, Err(ReliabilityError::TooManyEvents { .. })));
    }

    #[test]
    fn a_deep_tree_is_walked_without_the_programs_stack() {
        let depth = 200_000;
        let mut gates: Vec<Gate> = (1..depth)
            .map(|below| gate(Kind::Or, &[Input::Gate(below)]))
            .collect();
        gates.push(gate(Kind::Or, &[Input::Event(0)]));
        let tree = Tree::new(gates, 0, 1).unwrap();
        assert!(tree.happens(EventSet::of(&[0]).unwrap()));
        assert!(!tree.happens(EventSet::EMPTY));
    }
}
