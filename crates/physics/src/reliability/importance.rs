//! Which event matters for a harm, and in what sense.

use super::{diagram::Diagram, error::ReliabilityError, event_set::EventSet};

/// How much one event matters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Importance {
    /// By how much the probability of the harm rises from the event never happening to it always happening, 0 to 1.
    pub birnbaum: f64,
    /// Share of the harm in which the event has happened and is what tips it: Birnbaum's, times the event's
    /// probability, by that of the harm; 0 to 1.
    pub criticality: f64,
    /// Share of the harm in which a minimal set with this event is whole; 0 to 1, never below the criticality.
    pub fussell_vesely: f64,
    /// How many times likelier the harm would be if the event always happened; 1 or more.
    pub risk_achievement_worth: f64,
    /// How many times rarer the harm would be if the event never happened; 1 or more, infinite where nothing of the
    /// harm would be left.
    pub risk_reduction_worth: f64,
}

/// Returns how much each event matters for a harm, from its minimal sets and the probabilities of its events, one entry
/// for each event.
///
/// # Errors
/// As [`Diagram::of_sets`] and [`Diagram::probability`]; [`ReliabilityError::NeverHappens`] for a harm of
/// probability 0.
///
/// # Source
/// `BIRNBAUM-1969`; `FUSSELL-VESELY-1972` for theirs, here exactly as the probability of the union of the sets and not
/// as a sum; `RAUSAND-HOYLAND-2004` for criticality and the two worths. Works differ in how they define the worths:
/// ratios here.
///
/// # Examples
/// ```
/// use physics::reliability::{EventSet, importances};
///
/// // A part alone, and two that must coincide.
/// let sets = [EventSet::of(&[0])?, EventSet::of(&[1, 2])?];
/// let of = importances(&sets, &[0.001, 0.01, 0.02])?;
/// assert!(of[0].birnbaum > of[1].birnbaum);
/// assert!((of[0].birnbaum - 0.9998).abs() < 1e-15);
/// # Ok::<(), physics::reliability::ReliabilityError>(())
/// ```
pub fn importances(
    minimal_sets: &[EventSet],
    probabilities: &[f64],
) -> Result<Vec<Importance>, ReliabilityError> {
    let events = probabilities.len();
    let diagram = Diagram::of_sets(minimal_sets, events)?;
    let harm = diagram.probability(probabilities)?;
    if harm <= 0.0 {
        return Err(ReliabilityError::NeverHappens);
    }
    let birnbaum = diagram.birnbaum(probabilities)?;
    let mut changed = probabilities.to_vec();
    let mut importances = Vec::with_capacity(events);
    for (event, birnbaum) in birnbaum.into_iter().enumerate() {
        let mut with = |p: f64| {
            changed[event] = p;
            let harm = diagram.probability(&changed);
            changed[event] = probabilities[event];
            harm
        };
        let (always, never) = (with(1.0)?, with(0.0)?);
        let involved: Vec<EventSet> = minimal_sets
            .iter()
            .copied()
            .filter(|set| set.contains(event))
            .collect();
        let involved = Diagram::of_sets(&involved, events)?.probability(probabilities)?;
        importances.push(Importance {
            birnbaum,
            // Rounding may carry an exact 1 or the like over.
            criticality: (birnbaum * probabilities[event] / harm).min(1.0),
            fussell_vesely: (involved / harm).min(1.0),
            risk_achievement_worth: (always / harm).max(1.0),
            risk_reduction_worth: (harm / never).max(1.0),
        });
    }
    Ok(importances)
}
