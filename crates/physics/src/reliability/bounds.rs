//! What the probability of a harm can't exceed or fall below, without the work of the exact one.

use super::{diagram::require_probabilities, error::ReliabilityError, event_set::EventSet};

/// Returns the probability that all events of a set happen: the product of theirs. The empty set: 1.
///
/// # Errors
/// [`ReliabilityError::NoSuchEvent`] for an event without a probability; [`ReliabilityError::NotAProbability`].
///
/// # Source
/// `DEFINITION` of independence.
pub fn set_probability(set: EventSet, probabilities: &[f64]) -> Result<f64, ReliabilityError> {
    require_probabilities(probabilities, probabilities.len())?;
    set.require_within(probabilities.len())?;
    Ok(product(set, probabilities))
}

/// Returns the sum of the probabilities of the sets, an upper bound that is close where all are small. It may exceed 1.
///
/// # Errors
/// As [`set_probability`].
///
/// # Source
/// `NUREG-0492`, the rare-event approximation.
pub fn rare_event_sum(sets: &[EventSet], probabilities: &[f64]) -> Result<f64, ReliabilityError> {
    check(sets, probabilities)?;
    Ok(sets.iter().map(|set| product(*set, probabilities)).sum())
}

/// Returns `1 − Π(1 − Pᵢ)` over the minimal cut sets: an upper bound, never above 1 or the rare-event sum, and exact
/// where no two sets share an event.
///
/// # Errors
/// As [`set_probability`].
///
/// # Source
/// `ESARY-PROSCHAN-1963`: coherent structures of independent parts.
pub fn min_cut_upper_bound(sets: &[EventSet], probabilities: &[f64]) -> Result<f64, ReliabilityError> {
    check(sets, probabilities)?;
    // Through logarithms, so that small bounds keep their digits; a certain set gives −∞ and so 1.
    let log_none: f64 = sets
        .iter()
        .map(|set| libm::log1p(-product(*set, probabilities)))
        .sum();
    Ok(-libm::expm1(log_none))
}

/// Returns a lower bound: the sum over the sets less that over all pairs of them, or the likeliest set by itself if
/// that is more.
///
/// # Errors
/// As [`set_probability`].
///
/// # Source
/// `NUREG-0492`: inclusion and exclusion broken off after its second term (Bonferroni's inequality); that no single
/// set is likelier than all needs no source.
pub fn lower_bound(sets: &[EventSet], probabilities: &[f64]) -> Result<f64, ReliabilityError> {
    check(sets, probabilities)?;
    let mut distinct = sets.to_vec();
    distinct.sort_unstable();
    distinct.dedup();
    let (mut sum, mut likeliest) = (0.0, 0.0_f64);
    for (place, set) in distinct.iter().enumerate() {
        let alone = product(*set, probabilities);
        let pairs: f64 = distinct[..place]
            .iter()
            .map(|other| product(set.union(*other), probabilities))
            .sum();
        sum += alone - pairs;
        likeliest = likeliest.max(alone);
    }
    Ok(likeliest.max(sum))
}

fn check(sets: &[EventSet], probabilities: &[f64]) -> Result<(), ReliabilityError> {
    require_probabilities(probabilities, probabilities.len())?;
    sets.iter()
        .try_for_each(|set| set.require_within(probabilities.len()))
}

fn product(set: EventSet, probabilities: &[f64]) -> f64 {
    set.iter().map(|event| probabilities[event]).product()
}
