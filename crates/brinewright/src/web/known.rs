//! What is known of the newest text by now, and what somebody wants of it.

use std::sync::Arc;

use proof::{Absence, Comparison, Progress, Proof, Reached, Year};
use serde::{Deserialize, Serialize};

use crate::task::year::FEW;

/// Work that takes long.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Long {
    /// The long weekend.
    Away,
    /// The years.
    Year,
}

/// What is known, each with the revision that it is of.
#[derive(Debug)]
pub(crate) struct Results {
    pub(crate) proof: Option<(u64, Arc<Proof>)>,
    pub(crate) away: Option<Known<Absence>>,
    pub(crate) year: Option<Known<Years>>,
    /// How many years somebody wants.
    pub(crate) years: u32,
    /// What is to be begun again, of the same text: by the order of [`Long`].
    pub(crate) again: [bool; 2],
    /// What is being done.
    pub(crate) going: Option<Going>,
    /// The first revision of the station on the desk: what is known of another says nothing of this one.
    pub(crate) since: u64,
}

impl Default for Results {
    fn default() -> Self {
        Self {
            proof: None,
            away: None,
            year: None,
            years: FEW,
            again: [false; 2],
            going: None,
            since: 0,
        }
    }
}

/// What came of long work.
#[derive(Debug)]
pub(crate) struct Known<T> {
    pub(crate) revision: u64,
    /// Nothing where there is nothing to tell.
    pub(crate) value: Option<Arc<T>>,
    pub(crate) end: End,
}

impl<T> Clone for Known<T> {
    fn clone(&self) -> Self {
        Self {
            revision: self.revision,
            value: self.value.clone(),
            end: self.end.clone(),
        }
    }
}

impl<T> Known<T> {
    /// As it is told after what was known before: until all of it is there, what was known of the same text stays if it tells
    /// more, by how much of it there is.
    pub(crate) fn after(self, before: Option<&Self>, how_much: impl Fn(&T) -> usize) -> Self {
        let told = |own: &Self| own.value.as_ref().map(|value| how_much(value));
        let kept = before
            .filter(|own| own.revision == self.revision && self.end != End::Whole && told(own) > told(&self));
        Self {
            value: kept.map_or(self.value, |own| own.value.clone()),
            ..self
        }
    }
}

/// Whether more comes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum End {
    /// This is all of it.
    Whole,
    /// More is being computed.
    More,
    /// Somebody stopped it, this far.
    Stopped(String),
}

/// A few years, and how they compare with those of the station as it was opened, where that differs.
#[derive(Debug)]
pub(crate) struct Years {
    pub(crate) year: Year,
    pub(crate) compared: Option<Comparison>,
}

/// Long work that is being done.
#[derive(Debug, Clone)]
pub(crate) struct Going {
    pub(crate) work: Long,
    pub(crate) progress: Arc<Progress>,
    /// Where it was when somebody stopped it.
    pub(crate) stopped_at: Option<Reached>,
    /// What pages are told of it; nothing while it may be short.
    pub(crate) told: Option<Told>,
}

/// How far it is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Told {
    pub(crate) work: Long,
    pub(crate) revision: u64,
    pub(crate) said: String,
    /// 0 to 1.
    pub(crate) share: f64,
}

#[cfg(test)]
mod tests {
    use super::{End, Known};
    use std::sync::Arc;

    fn known(revision: u64, value: Option<usize>, end: &End) -> Known<usize> {
        Known {
            revision,
            value: value.map(Arc::new),
            end: end.clone(),
        }
    }

    #[test]
    fn until_all_is_there_what_tells_more_stays() {
        let stopped = End::Stopped("64 of 10 000 years".to_owned());
        // What was known, at which revision; what comes, and how it ended; what is told then.
        let cases = [
            (1, Some(100), Some(64), &stopped, Some(100)),
            (1, Some(100), None, &stopped, Some(100)),
            (1, Some(100), Some(640), &stopped, Some(640)),
            (1, Some(100), Some(64), &End::More, Some(100)),
            (1, Some(100), Some(64), &End::Whole, Some(64)),
            (1, Some(100), None, &End::Whole, None),
            (1, None, Some(64), &stopped, Some(64)),
            (0, Some(100), Some(64), &stopped, Some(64)),
            (0, Some(100), None, &stopped, None),
        ];
        for (revision, before, comes, end, told) in cases {
            let before = known(revision, before, &End::Whole);
            let after = known(1, comes, end).after(Some(&before), |own| *own);
            assert_eq!(
                after.value.as_deref().copied(),
                told,
                "{revision} {before:?} {comes:?} {end:?}"
            );
            assert_eq!((after.revision, &after.end), (1, end));
        }
        let alone = known(1, Some(64), &stopped).after(None, |own| *own);
        assert_eq!(alone.value.as_deref().copied(), Some(64));
    }
}
