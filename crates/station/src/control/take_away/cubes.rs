//! Rows of a truth table with what doesn't matter merged: two-level minimisation by prime implicants (Quine and McCluskey,
//! from memory), for few columns.

use std::collections::BTreeSet;

/// Columns that have this bit in `care` must be as in `value`; the others don't matter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Cube {
    pub(super) care: u32,
    pub(super) value: u32,
}

impl Cube {
    pub(super) fn holds(self, state: u32) -> bool {
        state & self.care == self.value
    }
}

/// Few cubes that hold together exactly these states of so many columns. A state is a number with one bit for each
/// column, at the most ten of them.
pub(super) fn cover(columns: u32, states: &[u32]) -> Vec<Cube> {
    let mut primes = primes(columns, states);
    // Those that hold most first; then as they are ordered, so that the same states give the same rows.
    primes.sort_by_key(|cube| (cube.care.count_ones(), *cube));
    let mut open: BTreeSet<u32> = states.iter().copied().collect();
    let mut kept: Vec<Cube> = Vec::new();
    // What only one cube holds needs that cube.
    for state in states {
        let mut holding = primes.iter().filter(|cube| cube.holds(*state));
        if let (Some(only), None) = (holding.next(), holding.next())
            && !kept.contains(only)
        {
            kept.push(*only);
            open.retain(|state| !only.holds(*state));
        }
    }
    while !open.is_empty() {
        let holds = |cube: &Cube| open.iter().filter(|state| cube.holds(**state)).count();
        // The first of those that hold most of what is open.
        let mut best: Option<(usize, Cube)> = None;
        for cube in &primes {
            let count = holds(cube);
            if count > best.map_or(0, |(most, _)| most) {
                best = Some((count, *cube));
            }
        }
        let Some((_, cube)) = best else { break };
        kept.push(cube);
        open.retain(|state| !cube.holds(*state));
    }
    kept
}

/// Cubes that hold nothing but these states and can't be made larger.
fn primes(columns: u32, states: &[u32]) -> Vec<Cube> {
    let all = (1_u32 << columns) - 1;
    let mut level: BTreeSet<Cube> = states
        .iter()
        .map(|value| Cube {
            care: all,
            value: *value,
        })
        .collect();
    let mut primes = Vec::new();
    while !level.is_empty() {
        let mut next = BTreeSet::new();
        for cube in &level {
            let mut merged = false;
            for bit in (0..columns)
                .map(|at| 1_u32 << at)
                .filter(|bit| cube.care & bit != 0)
            {
                let other = Cube {
                    care: cube.care,
                    value: cube.value ^ bit,
                };
                if level.contains(&other) {
                    merged = true;
                    next.insert(Cube {
                        care: cube.care & !bit,
                        value: cube.value & !bit,
                    });
                }
            }
            if !merged {
                primes.push(*cube);
            }
        }
        level = next;
    }
    primes
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every function of three columns, and some of five.
    #[test]
    fn a_cover_holds_what_it_should_and_nothing_else() {
        let functions = (0..256_u64)
            .map(|bits| (3, bits))
            .chain((0..400_u64).map(|seed| (5, seed.wrapping_mul(0x9E37_79B9_7F4A_7C15))));
        for (columns, bits) in functions {
            let count = 1_u32 << columns;
            let states: Vec<u32> = (0..count).filter(|state| bits >> state & 1 == 1).collect();
            let cubes = cover(columns, &states);
            for state in 0..count {
                let held = cubes.iter().any(|cube| cube.holds(state));
                assert_eq!(held, states.contains(&state), "{columns} {bits:x} {state}");
            }
            for without in 0..cubes.len() {
                let holds = |state: &u32| {
                    cubes
                        .iter()
                        .enumerate()
                        .any(|(at, cube)| at != without && cube.holds(*state))
                };
                assert!(
                    columns > 3 || !states.iter().all(holds),
                    "{bits:x}: one row too many"
                );
            }
        }
    }

    #[test]
    fn all_and_any_have_one_row_more_than_columns() {
        let and = |on: bool| (0..64).filter(|state| (*state == 63) == on).collect::<Vec<u32>>();
        assert_eq!(cover(6, &and(true)).len() + cover(6, &and(false)).len(), 7);
    }
}
