//! A set of basic events.

use std::cmp::Ordering;

use super::error::ReliabilityError;

/// The most events that a set tells apart.
pub const MOST_EVENTS: usize = 128;

/// A set of basic events, numbered from 0 to 127: a bit for each.
///
/// Sets are in order of size, and among equals in that of the first event that only one of them has.
///
/// # Examples
/// ```
/// use physics::reliability::EventSet;
///
/// let both = EventSet::of(&[4, 1])?;
/// assert!(EventSet::of(&[4])?.is_subset(both));
/// assert_eq!(both.iter().collect::<Vec<_>>(), [1, 4]);
/// # Ok::<(), physics::reliability::ReliabilityError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct EventSet(u128);

impl EventSet {
    /// The set without events.
    pub const EMPTY: Self = Self(0);

    /// The set of the given events, in any order.
    ///
    /// # Errors
    /// [`ReliabilityError::NoSuchEvent`] for a number of 128 or more.
    pub fn of(events: &[usize]) -> Result<Self, ReliabilityError> {
        events.iter().try_fold(Self::EMPTY, |set, event| set.with(*event))
    }

    /// The set of the events `0..count`.
    ///
    /// # Errors
    /// [`ReliabilityError::TooManyEvents`] for more than 128.
    pub fn all(count: usize) -> Result<Self, ReliabilityError> {
        match count {
            0 => Ok(Self::EMPTY),
            1..=MOST_EVENTS => Ok(Self(u128::MAX >> (MOST_EVENTS - count))),
            _ => Err(ReliabilityError::TooManyEvents {
                given: count,
                most: MOST_EVENTS,
            }),
        }
    }

    /// The set whose events are the ones of a number's bits, the lowest bit being event 0.
    pub fn from_bits(bits: u128) -> Self {
        Self(bits)
    }

    /// A bit for each event, the lowest for event 0.
    pub fn bits(self) -> u128 {
        self.0
    }

    /// This set with one more event.
    ///
    /// # Errors
    /// As [`of`](Self::of).
    pub fn with(self, event: usize) -> Result<Self, ReliabilityError> {
        if event < MOST_EVENTS {
            Ok(Self(self.0 | 1 << event))
        } else {
            Err(ReliabilityError::NoSuchEvent {
                event,
                events: MOST_EVENTS,
            })
        }
    }

    /// What is in either of two sets.
    pub fn union(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// What is in both of two sets.
    pub fn intersection(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }

    /// What is in this set and not in the other.
    pub fn without(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// Whether an event is in the set.
    pub fn contains(self, event: usize) -> bool {
        event < MOST_EVENTS && self.0 >> event & 1 == 1
    }

    /// Whether every event of this set is in the other, too.
    pub fn is_subset(self, other: Self) -> bool {
        self.0 & !other.0 == 0
    }

    /// Whether it has no events.
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// How many events are in it.
    pub fn count(self) -> usize {
        self.0.count_ones() as usize
    }

    /// The events, lowest first.
    pub fn iter(self) -> Events {
        Events(self.0)
    }

    /// Refuses events that aren't among the first `events`.
    pub(super) fn require_within(self, events: usize) -> Result<(), ReliabilityError> {
        match self.without(Self::all(events)?).iter().next() {
            Some(event) => Err(ReliabilityError::NoSuchEvent { event, events }),
            None => Ok(()),
        }
    }
}

impl Ord for EventSet {
    fn cmp(&self, other: &Self) -> Ordering {
        // Turned round, the lowest event weighs most; the set that has it comes first.
        self.count()
            .cmp(&other.count())
            .then_with(|| other.0.reverse_bits().cmp(&self.0.reverse_bits()))
    }
}

impl PartialOrd for EventSet {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl IntoIterator for EventSet {
    type Item = usize;
    type IntoIter = Events;

    fn into_iter(self) -> Events {
        self.iter()
    }
}

/// The events of a set, lowest first.
#[derive(Debug, Clone)]
pub struct Events(u128);

impl Iterator for Events {
    type Item = usize;

    fn next(&mut self) -> Option<usize> {
        let event = self.0.trailing_zeros() as usize;
        (event < MOST_EVENTS).then(|| {
            self.0 &= self.0 - 1;
            event
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sets_do_what_sets_do() {
        let a = EventSet::of(&[127, 0, 64]).unwrap();
        let b = EventSet::of(&[0, 5]).unwrap();
        assert_eq!(a.iter().collect::<Vec<_>>(), [0, 64, 127]);
        assert_eq!((a.count(), EventSet::EMPTY.count()), (3, 0));
        assert_eq!(a.union(b).count(), 4);
        assert_eq!(a.intersection(b), EventSet::of(&[0]).unwrap());
        assert_eq!(a.without(b), EventSet::of(&[64, 127]).unwrap());
        assert!(a.contains(127) && !a.contains(128) && !a.contains(1));
        assert!(EventSet::EMPTY.is_subset(b) && b.is_subset(b) && !a.is_subset(b));
        assert_eq!(EventSet::all(128).unwrap().count(), 128);
        assert_eq!(EventSet::all(0).unwrap(), EventSet::EMPTY);
        assert!(EventSet::all(129).is_err() && EventSet::of(&[128]).is_err());
        assert!(b.require_within(6).is_ok() && b.require_within(5).is_err());
    }

    #[test]
    fn smaller_sets_come_first_then_lower_events() {
        let order: [&[usize]; 6] = [&[], &[9], &[0, 8], &[0, 9], &[1, 2], &[0, 1, 2]];
        let sets: Vec<EventSet> = order.iter().map(|events| EventSet::of(events).unwrap()).collect();
        assert!(sets.is_sorted_by(|a, b| a < b));
    }
}
