//! Parts that alone stand between a fault and the floor.

use super::chance::Rates;
use super::minimal::Least;
use super::types::Barrier;
use super::{Looked, test_sheet};

/// Those parts, by how often they are to be called on and found broken.
pub(super) fn barriers(looked: &Looked<'_>, rates: &Rates<'_>, each: &[(&Least, f64)]) -> Vec<Barrier> {
    let words = looked.words();
    let faults = &looked.survey.faults;
    let mut all: Vec<(Barrier, f64)> = Vec::new();
    for (own, mean) in each {
        let [a, b] = own.faults.as_slice() else { continue };
        // The part that hides is the one that protects; it is called on by the other.
        let (guard, called_by) = match (rates.hides(*a), rates.hides(*b)) {
            (true, false) => (*a, *b),
            (false, true) => (*b, *a),
            _ => continue,
        };
        let part = words.part(faults[guard]);
        let held = words.fault(faults[called_by]);
        match all.iter_mut().find(|(own, _)| own.part == part) {
            Some((own, sum)) => {
                *sum += mean;
                if !own.holds.contains(&held) {
                    own.holds.push(held);
                }
            }
            None => all.push((
                Barrier {
                    part,
                    holds: vec![held],
                    tested: test_sheet::how(looked, faults[guard]),
                },
                *mean,
            )),
        }
    }
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    all.into_iter().map(|(own, _)| own).collect()
}
