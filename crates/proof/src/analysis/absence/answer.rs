//! The answer: can one go away? In one sentence, and why in a few more.

use station::quantity::{Kind, format_rough};

use super::minimal::{Least, least};
use super::survey::{FromStart, first_of};
use super::tell::{likely, once_in};
use super::top::Top;
use super::types::{Absence, By};
use super::{Away, Looked};
use crate::alone::{Fault, HarmKind, Phase, Spot};
use crate::analysis::speak::{list, say};

/// Fills in the answer and its reasons.
pub(super) fn answer(looked: &Looked<'_>, away: &Away, told: &mut Absence) {
    let sets = least(&looked.survey, Top::WetFloor, By::Parts);
    let rates = looked.rates(away);
    let properly: Vec<&Least> = likely(&rates, &sets)
        .unwrap_or_default()
        .into_iter()
        .map(|(own, _)| own)
        .collect();
    let singles: Vec<&Least> = properly
        .iter()
        .copied()
        .filter(|own| own.faults.len() == 1)
        .collect();
    let pairs = properly.len() - singles.len();
    let tap = told.remedies.iter().find(|own| own.edits.is_empty());
    let dry_with_tap_shut = tap.is_some_and(|own| own.still.is_empty());
    let span = span(away.hours);
    told.answer = match (singles.first(), dry_with_tap_shut) {
        _ if leaks(looked).is_some() => format!(
            "No, not for {span}: {}.",
            leaks(looked).map_or_else(String::new, |own| as_it_stands(looked, own))
        ),
        (None, _) => match told.barriers.first() {
            Some(barrier) => format!(
                "Yes, you can go away for {span}: no single fault puts water on the floor; {} is what stands between {} and it.",
                barrier.part,
                held(&barrier.holds)
            ),
            None => format!("Yes, you can go away for {span}: no single fault puts water on the floor."),
        },
        (Some(worst), true) => format!(
            "Yes, you can go away for {span} if you shut the tap first: with it open, {}.",
            with_wettest(looked, worst, &singles)
        ),
        (Some(worst), false) => {
            // What the tap can't help against is worse to leave.
            let stays = tap.and_then(|own| own.still.first());
            let words = looked.words();
            let named = |own: &&&Least| {
                let fault = own.faults.first();
                fault
                    .map(|fault| words.fault(looked.survey.faults[*fault]))
                    .as_ref()
                    == stays
            };
            match singles.iter().find(named) {
                Some(own) => {
                    let open = wetter(own, &singles)
                        .map(|most| format!("; with it open, {}", alone(looked, most, 1)));
                    format!(
                        "No, not for {span}: even with the tap shut, {}{}.",
                        alone(looked, own, tap.map_or(1, |own| own.still.len())),
                        open.unwrap_or_default()
                    )
                }
                None => format!("No, not for {span}: {}.", with_wettest(looked, worst, &singles)),
            }
        }
    };
    told.may_leave = leaks(looked).is_none() && (singles.is_empty() || dry_with_tap_shut);
    told.reasons = reasons(looked, away, told, (&singles, pairs));
}

/// What runs out of a station that is left as it should be, with every part sound, at its worst.
pub(super) fn leaks<'l>(looked: &'l Looked<'_>) -> Option<&'l FromStart> {
    let properly = looked.survey.starts.iter();
    let properly = properly.filter(|own| !matches!(own.phase, Phase::Transfer(_)));
    properly
        .filter(|own| first_of(&own.sound, Top::WetFloor))
        .max_by(|a, b| a.sound.floor_m3.total_cmp(&b.sound.floor_m3))
}

/// "as it stands, with every part sound, 270 L run out under low".
pub(super) fn as_it_stands(looked: &Looked<'_>, own: &FromStart) -> String {
    let words = looked.words();
    let station = looked.station;
    let spots: Vec<String> = own
        .sound
        .harms
        .iter()
        .filter_map(|harm| match harm.kind {
            HarmKind::Floor(spot) => Some(words.spot(spot)),
            HarmKind::TankOver(tank) => Some(words.spot(Spot::Tank(tank))),
            _ => None,
        })
        .collect();
    let spots: Vec<&str> = spots.iter().map(String::as_str).collect();
    format!(
        "as it stands, with every part sound, {} run out {}",
        format_rough(
            Kind::Volume,
            own.sound.floor_m3,
            station.units(),
            &station.currency()
        ),
        list(&spots)
    )
}

/// "64 hours", "a week".
fn span(hours: f64) -> String {
    if hours < 48.0 {
        format!("{hours:.0} hours")
    } else if (hours - 64.0).abs() < 0.5 {
        "a long weekend (64 hours)".to_owned()
    } else {
        format!("{:.1} days", hours / 24.0).replace(".0 days", " days")
    }
}

/// What a barrier holds back, the first two by name.
fn held(holds: &[String]) -> String {
    let shown: Vec<&str> = holds.iter().take(2).map(String::as_str).collect();
    match holds.len() {
        0..=2 => list(&shown),
        more => format!("{}, {} more such faults", shown.join(", "), more - 2),
    }
}

/// "the drain blocked alone puts 1 400 L on the floor; 6 others wet it as well".
fn alone(looked: &Looked<'_>, worst: &Least, count: usize) -> String {
    let others = match count {
        0 | 1 => String::new(),
        2 => "; one other fault wets it as well".to_owned(),
        more => format!("; {} others wet it as well", more - 1),
    };
    format!(
        "{} alone puts {} on the floor{others}",
        fault(looked, worst),
        spilt(looked, worst)
    )
}

fn fault(looked: &Looked<'_>, own: &Least) -> String {
    let first = own.faults.first();
    first.map_or_else(String::new, |fault| {
        looked.words().fault(looked.survey.faults[*fault])
    })
}

/// What lies on the floor of it, to the digits that tables have.
fn spilt(looked: &Looked<'_>, own: &Least) -> String {
    let station = looked.station;
    format_rough(Kind::Volume, own.floor_m3, station.units(), &station.currency())
}

/// The likeliest alone, and with it the fault that wets the floor most: ", the feed tube off with 23 100 L".
fn with_wettest(looked: &Looked<'_>, worst: &Least, singles: &[&Least]) -> String {
    let most =
        wetter(worst, singles).map(|own| format!(", {} with {}", fault(looked, own), spilt(looked, own)));
    alone(looked, worst, singles.len()) + &most.unwrap_or_default()
}

/// The fault that wets the floor most, where it does so more than another.
fn wetter<'l>(than: &Least, singles: &[&'l Least]) -> Option<&'l Least> {
    let most = singles.iter().max_by(|a, b| a.floor_m3.total_cmp(&b.floor_m3));
    most.copied().filter(|own| own.floor_m3 > than.floor_m3)
}

fn reasons(
    looked: &Looked<'_>,
    away: &Away,
    told: &Absence,
    (singles, pairs): (&[&Least], usize),
) -> Vec<String> {
    let mut all = Vec::new();
    if let Some(chance) = chance_of(told, By::Parts) {
        let mut sentence = format!(
            "Parts that fail put water on the floor {}; such rates are known within a factor of ten at best.",
            once_in(chance.years)
        );
        if let Some(part) = told.parts.first() {
            let share = (part.share * 100.0).round();
            sentence.push_str(&format!(" {share:.0} % of that goes by way of {}.", part.part));
        }
        all.push(sentence);
    }
    let words = looked.words();
    if singles.len() > 1 {
        let faults: Vec<String> = singles
            .iter()
            .skip(1)
            .take(4)
            .filter_map(|own| own.faults.first())
            .map(|fault| words.fault(looked.survey.faults[*fault]))
            .collect();
        let refs: Vec<&str> = faults.iter().map(String::as_str).collect();
        all.push(format!(
            "Alone, too, with the station left as it should be: {}.",
            list(&refs)
        ));
    }
    if pairs > 0 {
        let barrier = told.barriers.first().map_or_else(String::new, |own| {
            let holds = match own.holds.len() {
                1 => "one fault".to_owned(),
                more => format!("{more} faults"),
            };
            format!(
                " {} alone holds back {holds}. To test it: {}.",
                capital(&own.part),
                begun_small(&own.tested)
            )
        });
        all.push(format!(
            "Two faults together do it in {pairs} more ways.{barrier}"
        ));
    }
    if let Some(left_on) = left_on(looked, told) {
        all.push(left_on);
    }
    if let Some(best) = told.remedies.first().filter(|_| away.remedies) {
        let factor = 1.0 / best.left.min(best.left_by_people).max(1e-3);
        let less = match factor {
            factor if factor >= 20.0 => "all but gone".to_owned(),
            factor if factor >= 1.95 => format!("{factor:.0} times rarer"),
            _ => format!(
                "{:.0} % rarer",
                (1.0 - best.left.min(best.left_by_people)) * 100.0
            ),
        };
        all.push(format!(
            "Best worth doing: {}; a wet floor by {} is then {less}.",
            best.sentence,
            if best.left <= best.left_by_people {
                "failing parts"
            } else {
                "something left open"
            }
        ));
    }
    all
}

fn chance_of(told: &Absence, by: By) -> Option<&super::types::Chance> {
    let mut all = told.probability_per_year.iter();
    all.find(|own| (own.harm, own.by) == (Top::WetFloor, by))
}

/// What a task comes to that everybody forgets.
fn left_on(looked: &Looked<'_>, told: &Absence) -> Option<String> {
    let words = looked.words();
    let left_on = looked
        .survey
        .faults
        .iter()
        .position(|fault| *fault == Fault::NobodyEndsIt)?;
    let worst = looked
        .survey
        .starts
        .iter()
        .filter_map(|own| {
            let single = own.singles.iter().find(|single| single.fault == left_on)?;
            (single.outcome.floor_m3 > 1e-3).then_some((own.phase, single.outcome.floor_m3))
        })
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    let floor = say(looked.station, Kind::Volume, worst.1);
    let often = chance_of(told, By::People).map_or_else(String::new, |chance| {
        format!(
            " Something left open or on, or a part that fails amid a task, does it {}.",
            once_in(chance.years)
        )
    });
    Some(format!(
        "Never leave with a task in hand: called away {}, with nobody to end it, {floor} end on the floor.{often}",
        words.phase(worst.0)
    ))
}

fn begun_small(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |first| first.to_lowercase().chain(chars).collect())
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
