//! The minimal sets of events that together do a harm.

use super::{
    error::ReliabilityError,
    event_set::{EventSet, MOST_EVENTS},
    limits::MOST_SETS,
    tree::{Input, Tree},
};

/// Reduces a family of sets to its minimal ones, in order of size, then content: of a set and its superset only the set
/// stays.
///
/// The empty set is everything's subset: with it, it stays alone.
///
/// # Source
/// `NUREG-0492`: absorption, `A + A·B = A`.
pub fn minimise(sets: &mut Vec<EventSet>) {
    sets.sort_unstable();
    sets.dedup();
    if sets.first().is_some_and(|set| set.is_empty()) {
        sets.truncate(1);
        return;
    }
    // The lowest event of a subset is in the superset, too, so that only sets kept under one of its events can absorb it;
    // and only smaller ones, which stand first.
    let mut kept: Vec<Vec<EventSet>> = vec![Vec::new(); MOST_EVENTS];
    sets.retain(|set| {
        let size = set.count();
        let absorbed = set.iter().any(|event| {
            let mut smaller = kept[event].iter().take_while(|other| other.count() < size);
            smaller.any(|other| other.is_subset(*set))
        });
        if !absorbed && let Some(lowest) = set.iter().next() {
            kept[lowest].push(*set);
        }
        !absorbed
    });
}

/// Returns the minimal cut sets of a tree: the least sets of events that do the harm, in order of size, then content.
///
/// From the bottom up, each gate's sets are made of those of its inputs and reduced at once. A gate that wants `k` of
/// its inputs is built input by input: `j` of the first `i` are `j` of the ones before, or `j − 1` of them with the
/// `i`-th.
///
/// # Errors
/// [`ReliabilityError::TooManySets`] when a gate comes to more than [`MOST_SETS`] before they are reduced.
///
/// # Source
/// `FUSSELL-VESELY-1972` for the sets; the order of work, from the bottom up, is in `NUREG-0492`.
///
/// # Examples
/// ```
/// use physics::reliability::{EventSet, Gate, Input, Kind, Tree, minimal_cut_sets};
///
/// // The same supply (0) feeds two barriers (1 and 2).
/// let both = Gate { kind: Kind::And, inputs: vec![Input::Gate(1), Input::Gate(2)] };
/// let first = Gate { kind: Kind::Or, inputs: vec![Input::Event(0), Input::Event(1)] };
/// let second = Gate { kind: Kind::Or, inputs: vec![Input::Event(0), Input::Event(2)] };
/// let sets = minimal_cut_sets(&Tree::new(vec![both, first, second], 0, 3)?)?;
/// assert_eq!(sets, [EventSet::of(&[0])?, EventSet::of(&[1, 2])?]);
/// # Ok::<(), physics::reliability::ReliabilityError>(())
/// ```
pub fn minimal_cut_sets(tree: &Tree) -> Result<Vec<EventSet>, ReliabilityError> {
    let mut families: Vec<Vec<EventSet>> = vec![Vec::new(); tree.gates().len()];
    for &number in tree.order() {
        let gate = &tree.gates()[number];
        let wanted = gate.wanted();
        // At place j, the least sets that make j of the inputs so far true.
        let mut reached: Vec<Vec<EventSet>> = vec![Vec::new(); wanted + 1];
        reached[0].push(EventSet::EMPTY);
        for (before, input) in gate.inputs.iter().enumerate() {
            let single;
            let family = match *input {
                Input::Gate(below) => families[below].as_slice(),
                Input::Event(event) => {
                    single = [EventSet::EMPTY.with(event)?];
                    &single
                }
            };
            // What can't be brought up to the number wanted any more isn't built.
            let left = gate.inputs.len() - before;
            for place in (wanted.saturating_sub(left - 1).max(1)..=wanted.min(before + 1)).rev() {
                let (below, at) = reached.split_at_mut(place);
                add_products(&mut at[0], &below[place - 1], family)?;
            }
        }
        families[number] = reached.pop().unwrap_or_default();
    }
    Ok(std::mem::take(&mut families[tree.top()]))
}

/// Adds each union of a set of one family with one of the other, and reduces.
fn add_products(
    to: &mut Vec<EventSet>,
    first: &[EventSet],
    second: &[EventSet],
) -> Result<(), ReliabilityError> {
    let given = first.len().saturating_mul(second.len()).saturating_add(to.len());
    if given > MOST_SETS {
        return Err(ReliabilityError::TooManySets {
            given,
            most: MOST_SETS,
        });
    }
    for a in first {
        to.extend(second.iter().map(|b| a.union(*b)));
    }
    minimise(to);
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn set(events: &[usize]) -> EventSet {
        EventSet::of(events).unwrap()
    }

    #[test]
    fn supersets_go() {
        let mut sets = vec![
            set(&[1, 2, 3]),
            set(&[2, 9]),
            set(&[2, 1]),
            set(&[9]),
            set(&[1, 2]),
        ];
        minimise(&mut sets);
        assert_eq!(sets, [set(&[9]), set(&[1, 2])]);
        sets.push(EventSet::EMPTY);
        minimise(&mut sets);
        assert_eq!(sets, [EventSet::EMPTY]);
        sets.clear();
        minimise(&mut sets);
        assert!(sets.is_empty());
    }

    #[test]
    fn too_many_sets_are_refused_and_not_waited_for() {
        use super::super::tree::{Gate, Kind};
        // 64 of 128 events: some 2·10³⁷ sets.
        let gate = Gate {
            kind: Kind::AtLeast(64),
            inputs: (0..128).map(Input::Event).collect(),
        };
        let tree = Tree::new(vec![gate], 0, 128).unwrap();
        assert!(matches!(
            minimal_cut_sets(&tree),
            Err(ReliabilityError::TooManySets { .. })
        ));
    }
}
