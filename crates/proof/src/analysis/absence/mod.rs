//! A long weekend with nobody there: what every fault does, alone and with a second one, how often that is to be
//! expected, which part alone stands between it and the floor, and what one more part or test changes.
//!
//! Owns: what is thought of how often parts fail (`class`, `chance`), the survey of all faults and pairs, the least sets,
//! the answer. Doesn't own: what a fault does (`crate::alone`), how sets of rates add up (`physics::reliability`).

mod answer;
mod barriers;
mod chance;
mod class;
mod deal;
mod factor;
mod find;
mod guard;
mod guards;
mod habits;
mod minimal;
mod survey;
mod tell;
mod test_sheet;
mod top;
mod tree;
mod types;
mod wet;
mod words;

use station::Station;
use station::register::Date;

use super::year::{YearFault, prepare};
use super::{plain_network, settings};
use crate::alone::{Fault, Ground, faults, phases};
use crate::assess::{Scope, assess};
use crate::method::Refusal;
use crate::progress::Progress;
use chance::{Habits, Rates};
use survey::{For, Survey, survey};

pub use tell::{as_often, once_in};
pub use top::Top;
pub use tree::{Branch, Gate};
pub use types::{
    Absence, Assumption, Barrier, By, Chance, FaultSet, MinimalSet, PartShare, TestRow, TriedGuard,
};
pub(crate) use words::Words as FaultWords;

/// A time with nobody there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Away {
    /// How long, h: 1 to 1000.
    pub hours: f64,
    /// The day on which everybody leaves, by which tests are counted; nothing where only their rhythm counts.
    pub from: Option<Date>,
    /// Threads to work on; the bytes are the same on any number.
    pub threads: usize,
    /// Whether changes are tried that take long; without them only what one does by hand before going.
    pub remedies: bool,
}

impl Default for Away {
    /// From Friday evening to Monday morning.
    fn default() -> Self {
        Self {
            hours: 64.0,
            from: None,
            threads: 2,
            remedies: true,
        }
    }
}

impl Away {
    /// As long as the station's people are away at the longest.
    pub fn of(station: &Station) -> Self {
        Self {
            hours: station.people.longest_absence.value.s() / 3600.0,
            ..Self::default()
        }
    }
}

/// The longest absence that is followed, h.
pub const MOST_HOURS: f64 = 1000.0;

/// Why nothing can be said of an absence.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum AbsenceFault {
    /// Too short or too long.
    #[error("an absence of {given} h can't be followed: from 1 h to {MOST_HOURS} h")]
    Hours {
        /// What was asked for.
        given: f64,
    },
    /// The station has no plant to be left alone.
    #[error(transparent)]
    Plant(#[from] YearFault),
    /// Its flows can't be computed.
    #[error("what faults do can't be computed: {0}")]
    Refused(#[from] Refusal),
}

/// What faults do while nobody is there.
///
/// # Errors
/// [`AbsenceFault`].
pub fn absence(station: &Station, away: &Away) -> Result<Absence, AbsenceFault> {
    absence_told(station, away, &Progress::default(), |_| ())
}

/// The same, while somebody watches how far it is. Before changes are tried that take long, `first` hears what is known
/// without them; that is also what is told where somebody asks for an end while they are tried.
///
/// # Errors
/// [`AbsenceFault`]; also where an end was asked for before every fault was looked at.
pub fn absence_told(
    station: &Station,
    away: &Away,
    progress: &Progress,
    first: impl FnOnce(&Absence),
) -> Result<Absence, AbsenceFault> {
    if !(1.0..=MOST_HOURS).contains(&away.hours) {
        return Err(AbsenceFault::Hours { given: away.hours });
    }
    looked_at(
        station,
        (away, For::All),
        progress,
        |_| true,
        |looked| {
            let short = Away {
                remedies: false,
                ..*away
            };
            let known = tell::tell(looked, away)?;
            let tap = guards::tap(looked, away)?;
            let told = |own: &Away, remedies| {
                let mut told = known.clone();
                told.remedies = remedies;
                answer::answer(looked, own, &mut told);
                find::find(looked, &mut told);
                told.put_in_words(station);
                told
            };
            let without = told(&short, guards::habits(&tap));
            if !away.remedies {
                return Ok(without);
            }
            first(&without);
            match guards::guards(looked, away, tap, progress) {
                Ok(tried) => Ok(told(away, tried)),
                Err(AbsenceFault::Refused(Refusal::Stopped)) if !progress.is_stopped() => Ok(without),
                Err(fault) => Err(fault),
            }
        },
    )
}

/// A station that was looked at whole.
struct Looked<'a> {
    station: &'a Station,
    ground: &'a Ground<'a>,
    survey: Survey,
    habits: Habits,
}

impl Looked<'_> {
    fn rates(&self, away: &Away) -> Rates<'_> {
        Rates {
            station: self.station,
            program: self.ground.program(),
            faults: &self.survey.faults,
            habits: &self.habits,
            today: away.from,
        }
    }

    fn words(&self) -> words::Words<'_> {
        words::Words {
            station: self.station,
            program: self.ground.program(),
        }
    }
}

/// The least sets that wet the floor: by parts, by people.
fn least_by(survey: &Survey) -> [Vec<minimal::Least>; 2] {
    [By::Parts, By::People].map(|by| minimal::least(survey, Top::WetFloor, by))
}

/// Looks at a station, at those of its faults that matter, and does something with that.
fn looked_at<T>(
    station: &Station,
    (away, purpose): (&Away, For),
    progress: &Progress,
    matters: impl Fn(Fault) -> bool,
    act: impl FnOnce(&Looked<'_>) -> Result<T, AbsenceFault>,
) -> Result<T, AbsenceFault> {
    let plant = prepare(station, false)?.nominal;
    let assessment = assess(station, Scope::All);
    let pipework = match station.is_plumbed() {
        true => plain_network(station).ok(),
        false => None,
    };
    let settings = pipework
        .as_ref()
        .map_or_else(Vec::new, |pipework| settings(station, pipework));
    let ground = Ground::new(station, &plant, pipework, &settings)?;
    let starts = phases(&ground, &settings);
    let mut all = faults(station, &plant, ground.program());
    all.retain(|fault| matters(*fault));
    let until_s = away.hours * 3600.0;
    let survey = survey(&ground, &starts, all, until_s, (purpose, away.threads), progress)?;
    let habits = habits::habits(station, &assessment, &plant);
    act(&Looked {
        station,
        ground: &ground,
        survey,
        habits,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A line without a valve runs out by itself: one can't go away, whatever else is sound, and what fails besides is told
    /// as before.
    #[test]
    fn a_station_that_runs_out_as_it_stands_is_not_left() {
        let text = include_str!("../../../../../stations/larkhaven.toml");
        let leaking = text.replace(
            "\n[valves]\n",
            "\n[lines.bare]\nfrom = \"salt\"\nto = \"low\"\ntube = \"vinyl hose\"\nsize = \"25 mm\"\nlength = \"50 cm\"\nbarbs = 2\n\n[valves]\n",
        );
        let leaking = leaking.replace(
            "[draw_points]\n",
            "[draw_points]\nlow = { height = \"300 mm\" }\n",
        );
        let short = Away {
            remedies: false,
            ..Away::default()
        };
        let [before, after] = [text, &leaking]
            .map(|text| absence(&Station::read(text).expect("a station"), &short).expect("an answer"));
        // The salt vessel stands full at the batch of 270 L, and its outlet is at its floor.
        assert_eq!(
            after.answer,
            "No, not for a long weekend (64 hours): as it stands, with every part sound, 270 L run out under Low."
        );
        let must: Vec<&str> = after
            .findings
            .iter()
            .filter(|own| own.severity == crate::Severity::Must)
            .map(|own| own.id)
            .collect();
        assert_eq!(must, ["runs-out-as-it-stands"]);
        assert!(
            before
                .findings
                .iter()
                .all(|own| own.severity != crate::Severity::Must)
        );
        // All that wetted the floor alone does still, but for joints of the vessel that is empty now.
        let alone = |own: &Absence| -> Vec<String> {
            let sets = own.minimal_sets.iter();
            let wet = sets.filter(|set| (set.harm, set.by, set.set.len()) == (Top::WetFloor, By::Parts, 1));
            wet.map(|set| set.set[0].clone()).collect()
        };
        let (before, after) = (alone(&before), alone(&after));
        assert!(before.len() > 3);
        for fault in before.iter().filter(|own| !own.contains("joint")) {
            assert!(after.contains(fault), "{fault}: {after:?}");
        }
    }

    /// An end while changes are tried leaves what is known without them, to the last bit; a stop leaves nothing, nor does an
    /// end before every fault was looked at.
    #[test]
    fn an_end_leaves_what_is_known_by_then() {
        let text = include_str!("../../../../../stations/larkhaven.toml");
        let station = Station::read(text).expect("an example");
        let whole = Away::default();
        let short = Away {
            remedies: false,
            ..whole
        };
        let stopped = Err(AbsenceFault::Refused(Refusal::Stopped));
        let progress = Progress::default();
        let mut heard = None;
        let ended = absence_told(&station, &whole, &progress, |first| {
            heard = Some(first.clone());
            progress.enough();
        });
        let known = absence(&station, &short).expect("an answer");
        assert_eq!(ended.as_ref(), Ok(&known));
        assert_eq!(heard, Some(known));
        let progress = Progress::default();
        let ended = absence_told(&station, &whole, &progress, |_| progress.stop());
        assert_eq!(ended, stopped);
        for end in [Progress::enough, Progress::stop] {
            let progress = Progress::default();
            end(&progress);
            assert_eq!(absence_told(&station, &whole, &progress, |_| ()), stopped);
        }
    }
}
