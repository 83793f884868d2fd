//! Random small trees, and the slow ways to the same answers.

#![allow(dead_code, reason = "each test file uses its share")]

use physics::reliability::{EventSet, Gate, Input, Kind, Tree};
use proptest::prelude::*;

/// Events of a random tree.
pub(crate) const EVENTS: usize = 8;
/// Gates of a random tree.
pub(crate) const GATES: usize = 7;

/// Trees of 7 gates above 8 events, in which each gate takes any of the events and of the gates after it: both are
/// shared at will, and gates may hang under no top.
pub(crate) fn trees() -> impl Strategy<Value = Tree> {
    let row = (0..4_u8, any::<u16>(), any::<u16>(), 0..EVENTS, 0..8_usize);
    proptest::collection::vec(row, GATES).prop_map(|rows| {
        let gates = rows.into_iter().enumerate().map(gate).collect();
        Tree::new(gates, 0, EVENTS).expect("gates that name only those after them")
    })
}

/// A gate by its number and what was drawn for it: each event is an input with a chance of a quarter, each gate after
/// it with one of a half, and one event for sure.
fn gate((number, (kind, some, others, surely, wanted)): (usize, (u8, u16, u16, usize, usize))) -> Gate {
    let picked = some & others;
    let events = (0..EVENTS).filter(|event| *event == surely || picked >> event & 1 == 1);
    let below = (number + 1..GATES).filter(|gate| some >> (EVENTS + gate) & 1 == 1);
    let inputs: Vec<Input> = events.map(Input::Event).chain(below.map(Input::Gate)).collect();
    let kind = match kind {
        0 => Kind::Or,
        1 => Kind::And,
        _ => Kind::AtLeast(1 + wanted % inputs.len()),
    };
    Gate { kind, inputs }
}

/// A probability for each event, from the rare to the certain.
pub(crate) fn probabilities() -> impl Strategy<Value = Vec<f64>> {
    let one = prop_oneof![
        6 => 0.0..1.0_f64,
        3 => (-8.0..-1.0_f64).prop_map(libm::exp10),
        1 => prop_oneof![Just(0.0), Just(1.0)],
    ];
    proptest::collection::vec(one, EVENTS)
}

/// Every state of the events.
pub(crate) fn states() -> impl Iterator<Item = EventSet> {
    (0..1_u128 << EVENTS).map(EventSet::from_bits)
}

/// The probability of one state.
pub(crate) fn state_probability(state: EventSet, probabilities: &[f64]) -> f64 {
    let each = |(event, p): (usize, &f64)| if state.contains(event) { *p } else { 1.0 - p };
    probabilities.iter().enumerate().map(each).product()
}

/// The probability that something is so, summed over every state.
pub(crate) fn enumerated(probabilities: &[f64], so: impl Fn(EventSet) -> bool) -> f64 {
    states()
        .filter(|state| so(*state))
        .map(|state| state_probability(state, probabilities))
        .sum()
}
