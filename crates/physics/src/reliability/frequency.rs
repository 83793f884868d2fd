//! How often a set of faults comes together.

use super::{
    diagram::Diagram, error::ReliabilityError, event_set::EventSet, limits::RATE,
    unavailability::require_share,
};

/// A part as a set sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Failures per second while it is up; 0 for one that only fails when called, which can't be the last to fail.
    pub rate_per_s: f64,
    /// Share of the time that it is down.
    pub unavailability: f64,
}

impl Part {
    /// Failures per second of calendar time, `λ(1 − q)`.
    fn failures_per_s(&self) -> f64 {
        self.rate_per_s * (1.0 - self.unavailability)
    }

    fn check(&self) -> Result<(), ReliabilityError> {
        RATE.require(self.rate_per_s)?;
        require_share(self.unavailability)?;
        Ok(())
    }
}

/// Returns how often something that happens at a moment meets all its barriers down, per second: its rate times the
/// product of their unavailabilities.
///
/// # Errors
/// [`ReliabilityError::OutOfRange`] for a rate outside 0 to 1 per second or an unavailability that is no share.
///
/// # Source
/// `NUREG-0492`: an initiating event and enabling ones. Independent barriers; for those that are tested together take
/// the mean of their product as one of them, [`tested_together_mean`](super::tested_together_mean).
pub fn initiated_frequency_per_s(
    initiator_per_s: f64,
    unavailabilities: &[f64],
) -> Result<f64, ReliabilityError> {
    unavailabilities
        .iter()
        .try_fold(RATE.require(initiator_per_s)?, |rate, unavailability| {
            Ok(rate * require_share(*unavailability)?)
        })
}

/// Returns how often all parts come to be down together, per second: `Σᵢ λᵢ(1 − qᵢ) Πⱼ≠ᵢ qⱼ`.
///
/// The set becomes whole in a short `dt` when one part, up until then (`1 − qᵢ`), fails (`λᵢ dt`) while all others are
/// down (`Π qⱼ`); two at once have `dt²`, so the ways add up. That holds at every moment with the unavailabilities of
/// that moment, and for means if the parts' ups and downs are unrelated in time. No parts: 0.
///
/// # Errors
/// As [`initiated_frequency_per_s`].
///
/// # Source
/// `VESELY-1970`, the parameter w of a cut set.
///
/// # Examples
/// ```
/// use physics::reliability::{Part, set_frequency_per_s};
///
/// // A valve that sticks open once in 10⁸ s and is mended in a tenth of that, behind it a float down half the time.
/// let valve = Part { rate_per_s: 1e-8, unavailability: 0.1 };
/// let float = Part { rate_per_s: 0.0, unavailability: 0.5 };
/// assert!((set_frequency_per_s(&[valve, float])? - 0.45e-8).abs() < 1e-23);
/// # Ok::<(), physics::reliability::ReliabilityError>(())
/// ```
pub fn set_frequency_per_s(parts: &[Part]) -> Result<f64, ReliabilityError> {
    parts.iter().try_for_each(Part::check)?;
    Ok(coming_together(parts, || 0..parts.len()))
}

/// Returns the sum of [`set_frequency_per_s`] over minimal sets: an upper bound of how often the harm begins, close
/// where sets are rarely whole.
///
/// # Arguments
/// * `parts`: one for each event, in order.
///
/// # Errors
/// As [`set_frequency_per_s`]; [`ReliabilityError::NoSuchEvent`] for an event without a part.
///
/// # Source
/// `VESELY-1970`: each beginning of the harm makes at least one minimal set whole.
pub fn sets_frequency_per_s(minimal_sets: &[EventSet], parts: &[Part]) -> Result<f64, ReliabilityError> {
    Ok(frequencies(minimal_sets, parts)?.iter().sum())
}

/// Returns how often the harm itself begins, per second, sets that share parts and all: `Σᵢ Bᵢ·λᵢ(1 − qᵢ)`, `Bᵢ` being
/// Birnbaum's importance.
///
/// # Arguments
/// * `parts`: one for each event of the diagram, in order.
///
/// # Errors
/// As [`set_frequency_per_s`]; [`ReliabilityError::Unpaired`].
///
/// # Source
/// `RAUSAND-HOYLAND-2004`: a part begins the harm if it fails while the others leave everything to it.
pub fn system_frequency_per_s(diagram: &Diagram, parts: &[Part]) -> Result<f64, ReliabilityError> {
    parts.iter().try_for_each(Part::check)?;
    let down: Vec<f64> = parts.iter().map(|part| part.unavailability).collect();
    let importance = diagram.birnbaum(&down)?;
    Ok(importance
        .iter()
        .zip(parts)
        .map(|(importance, part)| importance * part.failures_per_s())
        .sum())
}

/// Returns for each part which share of the sum of frequencies comes from sets with it: Fussell and Vesely's importance
/// for a frequency.
///
/// # Errors
/// As [`sets_frequency_per_s`]; [`ReliabilityError::NeverHappens`] when no set ever comes together.
///
/// # Source
/// `FUSSELL-VESELY-1972`, carried over to frequencies.
pub fn frequency_shares(minimal_sets: &[EventSet], parts: &[Part]) -> Result<Vec<f64>, ReliabilityError> {
    let frequencies = frequencies(minimal_sets, parts)?;
    let all: f64 = frequencies.iter().sum();
    if all <= 0.0 {
        return Err(ReliabilityError::NeverHappens);
    }
    let mut shares = vec![0.0; parts.len()];
    for (set, frequency) in minimal_sets.iter().zip(frequencies) {
        for event in set.iter() {
            shares[event] += frequency / all;
        }
    }
    Ok(shares)
}

fn frequencies(minimal_sets: &[EventSet], parts: &[Part]) -> Result<Vec<f64>, ReliabilityError> {
    parts.iter().try_for_each(Part::check)?;
    minimal_sets
        .iter()
        .map(|set| {
            set.require_within(parts.len())?;
            Ok(coming_together(parts, || set.iter()))
        })
        .collect()
}

/// The sum over which part of a set comes last.
fn coming_together<I: Iterator<Item = usize>>(parts: &[Part], set: impl Fn() -> I) -> f64 {
    set()
        .map(|last| {
            let others = set().filter(|other| *other != last);
            let down: f64 = others.map(|other| parts[other].unavailability).product();
            parts[last].failures_per_s() * down
        })
        .sum()
}
