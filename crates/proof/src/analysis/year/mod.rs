//! A year of the station, many times over: what it takes, what it costs, whether the reserve is there.
//!
//! Owns: the plants of a station's years (`prepare`), the years themselves (`run`), what they come to together. Doesn't own:
//! what happens in a year (`plant`).

mod changes;
mod cost;
mod find;
mod outside;
mod outside_plant;
mod paces;
mod prepare;
mod reserve;
mod run;
mod say;
mod statistics;
mod summary;
mod types;
mod unfollowed;

use station::Station;

use crate::method::Refusal;
use crate::progress::{Progress, Stage};
pub use changes::TriedChange;
pub(crate) use cost::cost_of;
pub use outside::{PlainDraws, PlainOddFeed, PlainTotals, PlainVisit, PlainYears};
pub use outside_plant::{
    PlainFeed, PlainMix, PlainPeople, PlainPlant, PlainPurifier, PlainSwitch, PlainTank, PlainTimes,
    PlainVessel, PlainWarmth, PlainWay,
};
pub use paces::{Followed, Paces, Stretch, paces};
pub(crate) use prepare::{Prepared, pair, prepare};
pub(crate) use run::{OneYear, many_years};
pub use types::{
    Band, CostItem, Emergencies, EnergyUse, Leanest, Over, RunBin, Share, Shortfall, Wear, Week, WorkTime,
    Year, YearCost,
};
pub(crate) use unfollowed::unfollowed;

/// How many years, and of which chance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Years {
    /// Years to simulate, 2 and more.
    pub years: u32,
    /// What their chance begins with.
    pub seed: u64,
    /// Threads to work on; the bytes are the same on any number.
    pub threads: usize,
}

impl Default for Years {
    fn default() -> Self {
        Self {
            years: 1000,
            seed: 1,
            threads: 2,
        }
    }
}

impl Years {
    pub(crate) fn check(&self) -> Result<(), YearFault> {
        if (2..=MOST_YEARS).contains(&self.years) {
            Ok(())
        } else {
            Err(YearFault::Years { given: self.years })
        }
    }
}

/// Most vessels of a station whose year is followed.
pub(crate) const MOST_VESSELS: usize = 64;

/// Most years of one call: what fits into a minute on an ordinary core, and into its memory.
pub const MOST_YEARS: u32 = 100_000;

/// Simulates many years of a station, and tries what may help. Where somebody asks for an end meanwhile, it tells of the years
/// that were done by then, just as if only those had been asked for, and of the changes that were tried in all their years.
///
/// # Errors
/// [`YearFault`]; also where an end was asked for before two years were done.
pub fn year(station: &Station, years: &Years, progress: &Progress) -> Result<Year, YearFault> {
    year_told(station, years, progress, |_| ())
}

/// The same; before changes are tried, which takes longer, `first` hears what is known without them.
///
/// # Errors
/// As [`year`].
pub fn year_told(
    station: &Station,
    years: &Years,
    progress: &Progress,
    first: impl FnOnce(&Year),
) -> Result<Year, YearFault> {
    years.check()?;
    let prepared = prepare(station, true)?;
    progress.begin(Stage::Years, years.years as usize);
    let all = many_years(&prepared, years.years, years.seed, years.threads.max(1), progress)?;
    if all.len() < 2 {
        return Err(Refusal::Stopped.into());
    }
    let mut year = summary::summary(station, &prepared, &all, years.seed);
    year.findings = find::find(station, &year);
    year.put_in_words(station);
    first(&year);
    year.changes = changes::changes(station, &prepared, &year, years.threads.max(1), progress)?;
    year.findings = find::find(station, &year);
    year.best_change = find::best(&year);
    year.put_in_words(station);
    Ok(year)
}

/// Why a station has no year.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum YearFault {
    /// There is nothing to simulate.
    #[error("the station has no vessels: give it one to store water in")]
    NoVessels,
    /// More vessels than the simulation follows.
    #[error("a year is followed for at most {MOST_VESSELS} vessels, and the station has {given}")]
    Vessels {
        /// Those there are.
        given: usize,
    },
    /// Too few years for a mean, or more than a minute's work.
    #[error("{given} years can't be simulated: from 2 to {MOST_YEARS}")]
    Years {
        /// Those asked for.
        given: u32,
    },
    /// One station alone.
    #[error("one station alone has nothing to be compared with: name two files or more")]
    Alone,
    /// Its control is larger than a program can be.
    #[error("its control can't be built: {reason}")]
    Control {
        /// Why.
        reason: String,
    },
    /// The plant can't be driven.
    #[error("its year can't be computed: {0}")]
    Refused(#[from] Refusal),
}

#[cfg(test)]
mod tests {
    use std::thread;

    use super::*;

    /// Somebody ends a hundred thousand years once fifty are done: what is told is what as many years as were done by then
    /// come to when only they are asked for, to the last bit; their changes weren't tried.
    #[test]
    fn years_that_were_done_are_told_as_if_only_they_had_been_asked_for() {
        let text = include_str!("../../../../../stations/juniper-street-school.toml");
        let station = Station::read(text).expect("an example");
        let asked = Years {
            years: MOST_YEARS,
            ..Years::default()
        };
        let progress = Progress::default();
        let ended = thread::scope(|scope| {
            let ended = scope.spawn(|| year(&station, &asked, &progress));
            while progress.reached().done < 50 && !ended.is_finished() {
                thread::yield_now();
            }
            progress.enough();
            ended.join().expect("it ends")
        });
        let mut ended = ended.expect("more than two years");
        assert!((40..MOST_YEARS).contains(&ended.years), "{}", ended.years);
        assert!(ended.changes.is_empty());
        let only = Years {
            years: ended.years,
            threads: 1,
            ..asked
        };
        let mut whole = year(&station, &only, &Progress::default()).expect("a year");
        // Its findings name changes.
        for own in [&mut ended, &mut whole] {
            own.changes.clear();
            own.findings.clear();
            own.best_change = None;
        }
        assert_eq!(ended, whole);
    }

    #[test]
    fn nothing_is_told_of_fewer_than_two_years() {
        let text = include_str!("../../../../../stations/juniper-street-school.toml");
        let station = Station::read(text).expect("an example");
        for end in [Progress::enough, Progress::stop] {
            let progress = Progress::default();
            end(&progress);
            let fault = year(&station, &Years::default(), &progress).expect_err("no years");
            assert_eq!(fault, YearFault::Refused(Refusal::Stopped));
        }
    }
}
