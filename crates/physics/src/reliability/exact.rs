//! The exact probability of a harm.

use super::{diagram::Diagram, error::ReliabilityError, event_set::EventSet, tree::Tree};

/// Returns the probability of a tree's top, its events being independent. Shared gates and events count once.
///
/// For several answers from one tree, keep its [`Diagram`].
///
/// # Errors
/// As [`Diagram::of_tree`] and [`Diagram::probability`].
///
/// # Source
/// `RAUZY-1993`.
pub fn probability_of_tree(tree: &Tree, probabilities: &[f64]) -> Result<f64, ReliabilityError> {
    Diagram::of_tree(tree)?.probability(probabilities)
}

/// Returns the probability that all events of one set or another have happened, the events being independent.
///
/// # Errors
/// As [`Diagram::of_sets`] and [`Diagram::probability`]; there is an event for each probability.
///
/// # Source
/// `RAUZY-1993`.
///
/// # Examples
/// ```
/// use physics::reliability::{EventSet, probability_of_sets};
///
/// // Two sets that share event 0: 0.5·(1 − 0.8·0.9).
/// let sets = [EventSet::of(&[0, 1])?, EventSet::of(&[0, 2])?];
/// assert!((probability_of_sets(&sets, &[0.5, 0.2, 0.1])? - 0.14).abs() < 1e-16);
/// # Ok::<(), physics::reliability::ReliabilityError>(())
/// ```
pub fn probability_of_sets(sets: &[EventSet], probabilities: &[f64]) -> Result<f64, ReliabilityError> {
    Diagram::of_sets(sets, probabilities.len())?.probability(probabilities)
}
