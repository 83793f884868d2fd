//! One more part, or one more habit: each tried on a copy of the file, best for its money first.

use station::quantity::{Kind, format_rough};
use station::{Station, edit};

use super::chance::Rates;
use super::deal::dealt;
use super::guard::{Guard, candidates};
use super::minimal::{Least, least};
use super::survey::{For, Survey};
use super::tell::likely;
use super::top::Top;
use super::types::{By, TriedGuard};
use super::words::Words;
use super::{AbsenceFault, Away, Looked, looked_at};
use crate::alone::{Fault, FeedFault, phases_left_properly, run};
use crate::assess::{Scope, assess};
use crate::finding::{Finding, RemedyEdit, Severity};
use crate::method::Refusal;
use crate::progress::{Progress, Stage};
use crate::remedy::{told_edits, told_in_short, with_what_it_brings};

/// A change that leaves more than this of the chance isn't offered (house rule).
const HARDLY: f64 = 0.97;
/// Most changes that are tried.
const MOST: usize = 14;
/// Share by which the most water on the floor grows before it is told (house rule: a survey's steps are no finer).
const MORE_WATER: f64 = 0.05;

/// What one does by hand before going: it costs nothing and is tried at once. Nothing where there is no tap to shut, or no
/// part of which a failure wets the floor.
///
/// # Errors
/// [`AbsenceFault`] where the station as it is can't be computed.
pub(super) fn tap(looked: &Looked<'_>, away: &Away) -> Result<Option<TriedGuard>, AbsenceFault> {
    let before = floor(&looked.survey, &looked.rates(away))?;
    match before[0] > 0.0 {
        true => tap_shut(looked, away, before[0]),
        false => Ok(None),
    }
}

/// Habits that are worth it.
pub(super) fn habits(tap: &Option<TriedGuard>) -> Vec<TriedGuard> {
    tap.iter().filter(|own| own.left < HARDLY).cloned().collect()
}

/// Tries them all, beside the habit that was tried already.
///
/// # Errors
/// [`AbsenceFault`] where the station as it is can't be computed; [`Refusal::Stopped`] where somebody asked for a stop or an
/// end: which is best isn't known before all were tried.
pub(super) fn guards(
    looked: &Looked<'_>,
    away: &Away,
    tap: Option<TriedGuard>,
    progress: &Progress,
) -> Result<Vec<TriedGuard>, AbsenceFault> {
    let before = floor(&looked.survey, &looked.rates(away))?;
    if before[0] + before[1] <= 0.0 {
        return Ok(Vec::new());
    }
    let mut all: Vec<TriedGuard> = tap.into_iter().collect();
    let known = known(looked);
    let mut guards = candidates(looked);
    guards.truncate(MOST);
    progress.begin(Stage::Guards, guards.len());
    // Each whole on one thread.
    let each = Away { threads: 1, ..*away };
    let ranked = dealt(
        away.threads,
        guards.len(),
        || (),
        |(), at| {
            if progress.is_ended() {
                return None;
            }
            let own = tried(looked, &each, (before, &known), &guards[at], &progress.beside());
            progress.step();
            own
        },
    );
    if progress.is_ended() {
        return Err(Refusal::Stopped.into());
    }
    all.extend(ranked.into_iter().flatten());
    all.retain(|own| own.left.min(own.left_by_people) < HARDLY);
    // Habits cost nothing; a part without a price is ranked as the dearest of those that have one.
    let dearest = all.iter().filter_map(|own| own.price).fold(1.0, f64::max);
    let worth = |own: &TriedGuard| {
        (1.0 - own.left.min(own.left_by_people)) / own.price.unwrap_or(dearest).max(0.02 * dearest)
    };
    all.sort_by(|a, b| worth(b).total_cmp(&worth(a)));
    Ok(all)
}

/// How often water on the floor is to be expected, 1/y: by parts, by people.
fn floor(survey: &Survey, rates: &Rates<'_>) -> Result<[f64; 2], AbsenceFault> {
    let mut both = [0.0; 2];
    for (own, by) in both.iter_mut().zip([By::Parts, By::People]) {
        let sets = least(survey, Top::WetFloor, by);
        let refs: Vec<&Least> = sets.iter().collect();
        let chance = rates.of(&refs).map_err(Refusal::from)?;
        *own = chance.map_or(0.0, |own| own.mean);
    }
    Ok(both)
}

/// Faults of parts that alone put water on the floor of a station that was left as it should be, likeliest first.
fn alone(words: &Words<'_>, rates: &Rates<'_>, sets: &[Least]) -> Result<Vec<String>, AbsenceFault> {
    let each = likely(rates, sets)?;
    Ok(each
        .into_iter()
        .filter_map(|(own, _)| match own.faults.as_slice() {
            [fault] => Some(words.fault(rates.faults[*fault])),
            _ => None,
        })
        .collect())
}

/// What is left of wet floors, and which single faults still do it.
fn left(
    survey: &Survey,
    words: &Words<'_>,
    rates: &Rates<'_>,
) -> Result<([f64; 2], Vec<String>), AbsenceFault> {
    let sets = least(survey, Top::WetFloor, By::Parts);
    Ok((floor(survey, rates)?, alone(words, rates, &sets)?))
}

/// What is left, as a share; all of nothing.
fn share(after: f64, before: f64) -> f64 {
    if before > 0.0 {
        (after / before).clamp(0.0, 1.0)
    } else {
        1.0
    }
}

/// Faults of lines, valves and pumps that wet the floor now: a guard adds none, so that others of them needn't be tried.
fn known(looked: &Looked<'_>) -> Vec<Fault> {
    [By::Parts, By::People]
        .into_iter()
        .flat_map(|by| least(&looked.survey, Top::WetFloor, by))
        .flat_map(|own| own.faults)
        .map(|fault| looked.survey.faults[fault])
        .collect()
}

/// Whether a fault is to be tried of a station with a guard.
fn matters(known: &[Fault], fault: Fault) -> bool {
    match fault {
        Fault::Apart(_)
        | Fault::Slipped { .. }
        | Fault::Valve { .. }
        | Fault::PumpStands { .. }
        | Fault::Heater { .. } => known.contains(&fault),
        _ => true,
    }
}

/// What the letter says of a station with a guard that it didn't say of it without, where that is worth fixing; nothing where
/// the guard brings something that must be fixed: it isn't offered.
fn new_findings(station: &Station, mended: &Station) -> Option<Vec<String>> {
    let before = assess(station, Scope::Findings).findings;
    let assessed = assess(mended, Scope::Findings);
    let had = |own: &Finding| {
        let same = |old: &Finding| old.identity() == own.identity() && old.severity >= own.severity;
        before.iter().any(same)
    };
    let new: Vec<&Finding> = assessed
        .findings
        .iter()
        .filter(|own| own.severity >= Severity::Should && !had(own))
        .collect();
    let is_grave = new.iter().any(|own| own.severity == Severity::Must);
    (!is_grave).then(|| told_in_short(mended, &assessed, &new))
}

/// Most water that any fault, or two together, put on the floor, m³.
fn wettest_m3(survey: &Survey) -> f64 {
    [By::Parts, By::People]
        .into_iter()
        .flat_map(|by| least(survey, Top::WetFloor, by))
        .map(|own| own.floor_m3)
        .fold(0.0, f64::max)
}

fn tried(
    looked: &Looked<'_>,
    away: &Away,
    (before, known): ([f64; 2], &[Fault]),
    guard: &Guard,
    progress: &Progress,
) -> Option<TriedGuard> {
    let text = edit::apply(&looked.station.text, &guard.edits).ok()?;
    let mended = Station::read(&text).ok()?;
    let mut brings = new_findings(looked.station, &mended)?;
    let wettest_before_m3 = wettest_m3(&looked.survey);
    let (after, still, wettest_after_m3) = if guard.is_of_rates() {
        // What faults do stays as it is.
        let rates = Rates {
            station: &mended,
            ..looked.rates(away)
        };
        left(&looked.survey, &looked.words(), &rates).map(|(after, still)| (after, still, wettest_before_m3))
    } else {
        looked_at(
            &mended,
            (away, For::WetFloor),
            progress,
            |fault| matters(known, fault),
            |then| {
                let (after, still) = left(&then.survey, &then.words(), &then.rates(away))?;
                Ok((after, still, wettest_m3(&then.survey)))
            },
        )
    }
    .ok()?;
    if wettest_after_m3 > wettest_before_m3 * (1.0 + MORE_WATER) {
        let rough = |m3: f64| {
            let (units, currency) = (looked.station.units(), looked.station.currency());
            format_rough(Kind::Volume, m3, units, &currency)
        };
        brings.push(format!(
            "at worst {} on the floor, not {}",
            rough(wettest_after_m3),
            rough(wettest_before_m3)
        ));
    }
    let says = guard.says.clone().unwrap_or_else(|| told_edits(&guard.edits));
    Some(TriedGuard {
        sentence: with_what_it_brings(says, &brings),
        edits: guard.edits.iter().map(RemedyEdit::of).collect(),
        price: guard.price,
        left: share(after[0], before[0]),
        left_by_people: share(after[1], before[1]),
        still,
        caution: guard.caution,
    })
}

/// The habit that costs nothing: the tap shut by hand before everybody goes.
fn tap_shut(looked: &Looked<'_>, away: &Away, before: f64) -> Result<Option<TriedGuard>, AbsenceFault> {
    if looked.station.purifier.is_none() {
        return Ok(None);
    }
    let sets = least(&looked.survey, Top::WetFloor, By::Parts);
    let starts = phases_left_properly(looked.ground);
    let mut lines = looked.ground.lines();
    let mut left: Vec<Least> = Vec::new();
    for own in &sets {
        let mut faults: Vec<Fault> = own
            .faults
            .iter()
            .map(|fault| looked.survey.faults[*fault])
            .collect();
        faults.retain(|fault| !matches!(fault, Fault::Feed(_)));
        faults.push(Fault::Feed(FeedFault::Lost));
        let mut floods = false;
        for start in &starts {
            let (outcome, _) = run(
                looked.ground,
                &mut lines,
                start,
                0.0,
                &faults,
                away.hours * 3600.0,
            )?;
            floods |= outcome.floods();
        }
        if floods {
            left.push(own.clone());
        }
    }
    let refs: Vec<&Least> = left.iter().collect();
    let after = looked.rates(away).of(&refs).map_err(Refusal::from)?;
    let still = alone(&looked.words(), &looked.rates(away), &left)?;
    Ok(Some(TriedGuard {
        sentence: "shut the tap by hand before you go".to_owned(),
        edits: Vec::new(),
        price: Some(0.0),
        left: share(after.map_or(0.0, |own| own.mean), before),
        left_by_people: 1.0,
        still,
        caution: Some(
            "Nothing is made meanwhile: see that what is stored lasts, and hang a note at the tap to open it again.",
        ),
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A guard that only changes rates is told from the survey that there is; a whole new one comes to the same, to the
    /// last bit.
    #[test]
    fn guards_of_rates_need_no_survey() {
        let text = include_str!("../../../../../stations/larkhaven.toml");
        let station = Station::read(text).expect("an example");
        let away = Away::default();
        looked_at(
            &station,
            (&away, For::All),
            &Progress::default(),
            |_| true,
            |looked| {
                let mut compared = 0;
                for guard in candidates(looked).iter().filter(|guard| guard.is_of_rates()) {
                    let text = edit::apply(&station.text, &guard.edits).expect("an edit");
                    let mended = Station::read(&text).expect("a station");
                    let rates = Rates {
                        station: &mended,
                        ..looked.rates(&away)
                    };
                    let quick = left(&looked.survey, &looked.words(), &rates)?;
                    let known = known(looked);
                    for all in [true, false] {
                        let tries = |fault| all || matters(&known, fault);
                        let whole =
                            looked_at(&mended, (&away, For::All), &Progress::default(), tries, |then| {
                                left(&then.survey, &then.words(), &then.rates(&away))
                            })?;
                        assert_eq!(quick, whole, "{:?}", guard.says);
                    }
                    compared += 1;
                }
                assert!(compared > 0);
                Ok(())
            },
        )
        .expect("flows");
    }
}
