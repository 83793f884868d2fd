//! From a survey to plain data: fault sets, least sets with their chances, shares of parts.

use physics::reliability::return_period_years;

use super::chance::Rates;
use super::minimal::{Least, least};
use super::survey::FromStart;
use super::top::Top;
use super::types::{Absence, By, Chance, FaultSet, MinimalSet, PartShare};
use super::words::Words;
use super::{AbsenceFault, Away, Looked, barriers, test_sheet, tree};
use crate::alone::{Fault, Harm, HarmKind, Outcome, Phase};
use crate::method::Refusal;

const CAUTION: &str = "Mains near water: sockets above splashes, behind a residual-current device of 30 mA or less, drip \
                       loops, a licensed electrician. Rates are orders of magnitude from industry and house rules; your \
                       file can say better. Local codes go first.";

/// Everything but the changes, the answer and the findings.
pub(super) fn tell(looked: &Looked<'_>, away: &Away) -> Result<Absence, AbsenceFault> {
    let (words, rates) = (looked.words(), looked.rates(away));
    let survey = &looked.survey;
    let mut told = Absence {
        hours: away.hours,
        answer: String::new(),
        may_leave: false,
        reasons: Vec::new(),
        faults_known: survey.faults.len(),
        phases: survey.starts.iter().map(|own| words.phase(own.phase)).collect(),
        phases_of_pairs: survey
            .starts
            .iter()
            .filter(|own| own.told > 0)
            .map(|own| words.phase(own.phase))
            .collect(),
        pairs_told: survey.starts.iter().map(|own| own.told).sum(),
        pairs_run: survey.starts.iter().map(|own| own.ran).sum(),
        broken_off: outcomes(looked).filter(|outcome| outcome.restless).count(),
        faults: Vec::new(),
        minimal_sets: Vec::new(),
        probability_per_year: Vec::new(),
        parts: Vec::new(),
        tree: tree::tree(looked, &rates)?,
        barriers: Vec::new(),
        assumptions: rates.assumed(),
        tests: test_sheet::rows(looked),
        remedies: Vec::new(),
        findings: Vec::new(),
        caution: CAUTION,
        residual: residual(looked),
    };
    for own in &survey.starts {
        sets_from(own, &survey.faults, &words, &mut told.faults);
    }
    for top in Top::ALL {
        for by in [By::Parts, By::People] {
            let sets = least(survey, top, by);
            let mut own = likely(&rates, &sets)?;
            // A stable sort: of the same kind the likeliest stay first.
            own.sort_by_key(|(own, _)| (own.faults.len(), !rates.protects(own)));
            let refs: Vec<&Least> = own.iter().map(|(own, _)| *own).collect();
            let Some(chance) = rates.of(&refs).map_err(Refusal::from)? else {
                continue;
            };
            told.probability_per_year
                .extend(chance_of((top, by), chance.low, chance.high));
            if (top, by) == (Top::WetFloor, By::Parts) {
                told.parts = shares(&words, &survey.faults, &own);
                told.barriers = barriers::barriers(looked, &rates, &own);
            }
            let sum: f64 = own.iter().map(|(_, mean)| mean).sum();
            for (own, mean) in own {
                told.minimal_sets.push(minimal_set(
                    (&words, &rates, &survey.faults),
                    (top, by, own),
                    if sum > 0.0 { mean / sum } else { 0.0 },
                )?);
            }
        }
    }
    Ok(told)
}

impl By {
    /// After the harm, in a sentence.
    fn words(self) -> &'static str {
        match self {
            Self::Parts => "",
            Self::People => ", by something left open or on, or by a part amid a task",
        }
    }
}

/// The worst balance of all runs.
fn residual(looked: &Looked<'_>) -> f64 {
    outcomes(looked)
        .map(|outcome| outcome.residual)
        .fold(0.0, f64::max)
}

/// What came of all runs that are kept: single faults, and pairs that do something new.
fn outcomes<'l>(looked: &'l Looked<'_>) -> impl Iterator<Item = &'l Outcome> {
    looked.survey.starts.iter().flat_map(|own| {
        let singles = own.singles.iter().map(|single| &single.outcome);
        singles.chain(own.pairs.iter().map(|pair| &pair.outcome))
    })
}

/// Each least set with how often it is to be expected, 1/y, likeliest first.
pub(super) fn likely<'s>(
    rates: &Rates<'_>,
    sets: &'s [Least],
) -> Result<Vec<(&'s Least, f64)>, AbsenceFault> {
    let mut each = Vec::with_capacity(sets.len());
    for own in sets {
        let mean = rates
            .of(&[own])
            .map_err(Refusal::from)?
            .map_or(0.0, |own| own.mean);
        each.push((own, mean));
    }
    each.sort_by(|a, b| b.1.total_cmp(&a.1));
    Ok(each)
}

fn minimal_set(
    (words, rates, faults): (&Words<'_>, &Rates<'_>, &[Fault]),
    (top, by, own): (Top, By, &Least),
    share: f64,
) -> Result<MinimalSet, AbsenceFault> {
    let chance = rates.of(&[own]).map_err(Refusal::from)?;
    let years = chance
        .filter(|own| own.low > 0.0)
        .and_then(|own| return_period_years(own.low, own.high).ok());
    Ok(MinimalSet {
        harm: top,
        set: own
            .faults
            .iter()
            .map(|fault| words.fault(faults[*fault]))
            .collect(),
        phases: own.phases.iter().map(|phase| words.phase(*phase)).collect(),
        spilled_m3: own.floor_m3,
        hours_to_harm: own.first_s / 3600.0,
        years: years.map(|(soonest, latest)| [soonest, latest]),
        share,
        protects: rates.protects(own),
        by,
    })
}

/// How often, in words, from once in so many years at the soonest to once in so many at the latest: "about once in 3 to 300
/// years". Never with decimals.
pub fn once_in([soonest, latest]: [f64; 2]) -> String {
    if soonest >= MOST_YEARS {
        return format!("less than once in {} years", number(MOST_YEARS));
    }
    if soonest < 1.0 {
        let often = (1.0 / soonest).round();
        return match latest {
            latest if latest <= 1.0 => {
                format!("about {:.0} to {often:.0} times a year", (1.0 / latest).round())
            }
            latest if latest > MOST_YEARS => format!("{often:.0} times a year at the most"),
            latest => format!("from {often:.0} times a year to once in {} years", number(latest)),
        };
    }
    if latest > MOST_YEARS {
        return format!("once in {} years at the soonest", number(soonest));
    }
    if soonest >= latest {
        return format!("about once in {} years", number(soonest));
    }
    format!("about once in {} to {} years", number(soonest), number(latest))
}

/// What is left of how often something is to be expected, as a share of now, in words: "6 % as often".
pub fn as_often(left: f64) -> String {
    match left {
        left if left < 0.02 => "all but never".to_owned(),
        left if left >= STAYS => "as often".to_owned(),
        left => format!("{:.0} % as often", left * 100.0),
    }
}

/// From this share on nothing has changed (house rule).
const STAYS: f64 = 0.97;

/// Whole years up to [`MOST_YEARS`], thousands apart.
fn number(years: f64) -> String {
    let thousands = libm::floor(years / 1000.0);
    match thousands {
        0.0 => format!("{years:.0}"),
        thousands => format!("{thousands:.0} {:03.0}", years - 1000.0 * thousands),
    }
}

/// Beyond this nothing honest can be said, y.
const MOST_YEARS: f64 = 100_000.0;

fn chance_of((harm, by): (Top, By), low: f64, high: f64) -> Option<Chance> {
    let (soonest, latest) = return_period_years(low, high).ok()?;
    let years = [soonest, latest];
    let sentence = format!("{}{}: {}", harm.words(), by.words(), once_in(years));
    Some(Chance {
        harm,
        by,
        low,
        high,
        years,
        sentence,
    })
}

/// Share of the sum that comes from sets with each part (Fussell and Vesely), largest first.
fn shares(words: &Words<'_>, faults: &[Fault], each: &[(&Least, f64)]) -> Vec<PartShare> {
    let sum: f64 = each.iter().map(|(_, mean)| mean).sum();
    let mut parts: Vec<(String, f64)> = Vec::new();
    for (own, mean) in each {
        let mut names: Vec<String> = own
            .faults
            .iter()
            .map(|fault| words.part(faults[*fault]))
            .collect();
        names.sort_unstable();
        names.dedup();
        for name in names {
            match parts.iter_mut().find(|(own, _)| *own == name) {
                Some((_, share)) => *share += mean,
                None => parts.push((name, *mean)),
            }
        }
    }
    parts.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    parts
        .into_iter()
        .filter(|_| sum > 0.0)
        .map(|(part, own)| PartShare {
            part,
            share: own / sum,
        })
        .collect()
}

/// What single faults and pairs do from one beginning, gravest first.
fn sets_from(own: &FromStart, faults: &[Fault], words: &Words<'_>, out: &mut Vec<FaultSet>) {
    let sound = &own.sound;
    for single in &own.singles {
        let is_new = |harm: &&Harm| !sound.harms.iter().any(|known| known.kind == harm.kind);
        let harms: Vec<&Harm> = single.outcome.harms.iter().filter(is_new).collect();
        out.extend(fault_set(
            (own.phase, &[single.fault]),
            harms,
            &single.outcome,
            faults,
            words,
        ));
    }
    for pair in &own.pairs {
        let is_new = |harm: &&Harm| pair.tops.contains(&Top::of(harm.kind));
        let harms: Vec<&Harm> = pair.outcome.harms.iter().filter(is_new).collect();
        out.extend(fault_set(
            (own.phase, &pair.faults),
            harms,
            &pair.outcome,
            faults,
            words,
        ));
    }
}

fn fault_set(
    (phase, set): (Phase, &[usize]),
    mut harms: Vec<&Harm>,
    outcome: &Outcome,
    faults: &[Fault],
    words: &Words<'_>,
) -> Option<FaultSet> {
    if harms.is_empty() {
        return None;
    }
    harms.sort_by(|a, b| {
        Top::of(a.kind)
            .cmp(&Top::of(b.kind))
            .then(a.at_s.total_cmp(&b.at_s))
    });
    let mut kinds: Vec<Top> = harms.iter().map(|harm| Top::of(harm.kind)).collect();
    kinds.dedup();
    let first_s = harms.iter().map(|harm| harm.at_s).fold(f64::INFINITY, f64::min);
    Some(FaultSet {
        set: set.iter().map(|fault| words.fault(faults[*fault])).collect(),
        phase: words.phase(phase),
        outcome: harms.iter().map(|harm| words.harm(harm)).collect(),
        kinds,
        spilled_m3: outcome.floor_m3,
        hours_to_harm: first_s / 3600.0,
        noticed: noticed(outcome, words),
    })
}

/// What somebody notices who comes back: alarms first, then what can be seen and heard.
fn noticed(outcome: &Outcome, words: &Words<'_>) -> Vec<String> {
    let mut all: Vec<String> = outcome
        .alarms
        .iter()
        .filter_map(|alarm| words.alarm(*alarm))
        .collect();
    let seen = |kind: &HarmKind| match kind {
        HarmKind::Floor(_) | HarmKind::TankOver(_) => "a wet floor",
        HarmKind::TankDrawnBack(_)
        | HarmKind::BatchThinned(_)
        | HarmKind::BatchSalted(_)
        | HarmKind::TankThinned(_)
        | HarmKind::TankSalted(_)
        | HarmKind::TankDried(_)
        | HarmKind::BucketMixed(_)
        | HarmKind::BucketOfOther(..)
        | HarmKind::SaltInFresh(_) => "levels that aren't what they were; only a meter shows the salt",
        HarmKind::FeedInFresh(_) => "tap water that only a meter behind the membranes shows",
        HarmKind::HeaterDry(_) => "a heater in the air, perhaps a smell",
        HarmKind::Cooked(_) => "warm walls and a wet lid",
        HarmKind::Chilled(_) => "cold water",
        HarmKind::PumpDry(_) | HarmKind::PumpClosed(_) => "a hot or a loud pump",
        HarmKind::ReserveGone(_) => "a low level",
        HarmKind::ResinWasted | HarmKind::DrainWasted => "water running to the drain",
    };
    for harm in &outcome.harms {
        let seen = seen(&harm.kind).to_owned();
        if !all.contains(&seen) {
            all.push(seen);
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::once_in;

    #[test]
    fn how_often_is_said_without_decimals_and_no_further_than_is_known() {
        for (years, said) in [
            ([3.0, 300.0], "about once in 3 to 300 years"),
            ([50.0, 50.0], "about once in 50 years"),
            ([0.5, 10.0], "from 2 times a year to once in 10 years"),
            ([0.1, 0.5], "about 2 to 10 times a year"),
            ([0.2, 1e6], "5 times a year at the most"),
            ([3000.0, 20_000.0], "about once in 3 000 to 20 000 years"),
            ([5000.0, 2e6], "once in 5 000 years at the soonest"),
            ([2e5, 5e7], "less than once in 100 000 years"),
        ] {
            assert_eq!(once_in(years), said);
        }
    }
}
