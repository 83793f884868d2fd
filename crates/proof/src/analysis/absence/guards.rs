//! One more part, or one more habit: each tried on a copy of the file, best for its money first.

use station::plumbing::End;
use station::quantity::Kind;
use station::sections::{FailureClass, Water};
use station::{Edit, Station, edit};

use super::minimal::{Least, least};
use super::top::Top;
use super::types::{Absence, By, TriedGuard};
use super::{AbsenceFault, Away, Looked, looked_at};
use crate::alone::{Fault, FeedFault, phases_left_properly, run};
use crate::analysis::speak::{set_length, set_round};
use crate::finding::RemedyEdit;
use crate::method::Refusal;
use crate::remedy::told_edits;

/// How far over the stop mark a backup is hung, and how far under the rim an overflow begins, m (house rules).
const BACKUP_OVER_STOP_M: f64 = 0.03;
const OVERFLOW_UNDER_RIM_M: f64 = 0.05;
/// How much longer than a fill the longest run is set (house rule).
const LONGER: f64 = 1.5;
/// What a limiter passes over what the purifier takes (house rule).
const LIMITER: f64 = 1.3;
/// A change that leaves more than this of the chance isn't offered (house rule).
const HARDLY: f64 = 0.97;
/// Most changes that are tried.
const MOST: usize = 14;

/// A change to try.
struct Guard {
    edits: Vec<Edit>,
    /// What to do, where the edits don't say it well.
    says: Option<String>,
    price: Option<f64>,
    caution: Option<&'static str>,
}

const MAINS: &str = "Mains near water: behind a residual-current device of 30 mA or less, by a licensed electrician where \
                     your code asks for one.";
const DRAIN: &str =
    "Into the drain through an air gap, and never smaller than what can come: your plumbing code decides.";

/// Tries them.
///
/// # Errors
/// [`AbsenceFault`] where the station as it is can't be computed.
pub(super) fn guards(
    looked: &Looked<'_>,
    away: &Away,
    _told: &Absence,
) -> Result<Vec<TriedGuard>, AbsenceFault> {
    let before = floor(looked, away)?;
    if before[0] + before[1] <= 0.0 {
        return Ok(Vec::new());
    }
    let mut all = Vec::new();
    all.extend(tap_shut(looked, away, before[0])?);
    let known = known(looked);
    for guard in candidates(looked).into_iter().take(MOST) {
        all.extend(tried(looked.station, away, (before, &known), guard));
    }
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
fn floor(looked: &Looked<'_>, away: &Away) -> Result<[f64; 2], AbsenceFault> {
    let mut both = [0.0; 2];
    for (own, by) in both.iter_mut().zip([By::Parts, By::People]) {
        let sets = least(&looked.survey, Top::WetFloor, by);
        let refs: Vec<&Least> = sets.iter().collect();
        let chance = looked.rates(away).of(&refs).map_err(Refusal::from)?;
        *own = chance.map_or(0.0, |own| own.mean);
    }
    Ok(both)
}

/// Single faults of parts that put water on the floor of a station that was left as it should be.
fn singles_on_the_floor(looked: &Looked<'_>) -> usize {
    least(&looked.survey, Top::WetFloor, By::Parts)
        .iter()
        .filter(|own| own.faults.len() == 1)
        .count()
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

fn tried(
    station: &Station,
    away: &Away,
    (before, known): ([f64; 2], &[Fault]),
    guard: Guard,
) -> Option<TriedGuard> {
    let text = edit::apply(&station.text, &guard.edits).ok()?;
    let mended = Station::read(&text).ok()?;
    let matters = |fault| match fault {
        Fault::Apart(_)
        | Fault::Slipped { .. }
        | Fault::Valve { .. }
        | Fault::PumpStands { .. }
        | Fault::Heater { .. } => known.contains(&fault),
        _ => true,
    };
    let (after, singles_left) = looked_at(&mended, away, matters, |then| {
        Ok((floor(then, away)?, singles_on_the_floor(then)))
    })
    .ok()?;
    Some(TriedGuard {
        sentence: guard.says.unwrap_or_else(|| told_edits(&guard.edits)),
        edits: guard
            .edits
            .iter()
            .map(|edit| RemedyEdit {
                path: edit.path.clone(),
                text: edit.text.trim_matches('"').to_owned(),
            })
            .collect(),
        price: guard.price,
        left: share(after[0], before[0]),
        left_by_people: share(after[1], before[1]),
        singles_left,
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
    let mut left: Vec<&Least> = Vec::new();
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
            left.push(own);
        }
    }
    let after = looked.rates(away).of(&left).map_err(Refusal::from)?;
    let singles_left = left.iter().filter(|own| own.faults.len() == 1).count();
    Ok(Some(TriedGuard {
        sentence: "shut the tap by hand before you go".to_owned(),
        edits: Vec::new(),
        price: Some(0.0),
        left: share(after.map_or(0.0, |own| own.mean), before),
        left_by_people: 1.0,
        singles_left,
        caution: Some(
            "Nothing is made meanwhile: see that what is stored lasts, and hang a note at the tap to open it again.",
        ),
    }))
}

fn yes(path: &str) -> Edit {
    Edit {
        path: path.to_owned(),
        text: "true".to_owned(),
    }
}

fn candidates(looked: &Looked<'_>) -> Vec<Guard> {
    let station = looked.station;
    let mut all = Vec::new();
    if let Some(purifier) = &station.purifier {
        at_the_feed(looked, &purifier.fields, &mut all);
        for vessel in station.filled() {
            at_a_vessel(station, vessel, &mut all);
        }
    }
    let prices = &station.prices;
    if station.room.tray.is_none() {
        all.push(Guard {
            edits: vec![Edit::quoted("room.tray", "60 L"), yes("room.tray_drained")],
            says: Some("stand the station in a tray that runs to the drain".to_owned()),
            price: prices.tray.as_ref().map(|own| own.value.amount()),
            caution: Some(DRAIN),
        });
    }
    draws(station, &mut all);
    tests(station, &mut all);
    all
}

fn at_the_feed(looked: &Looked<'_>, fields: &station::sections::PurifierFields, all: &mut Vec<Guard>) {
    let station = looked.station;
    let prices = &station.prices;
    let valve = prices.feed_valve.as_ref().map(|own| own.value.amount());
    if !fields.feed_valve.value {
        all.push(Guard {
            edits: vec![yes("purifier.feed_valve")],
            says: Some("have an electric feed valve at the tap, closed without power".to_owned()),
            price: valve,
            caution: Some(MAINS),
        });
    }
    if !fields.leak_detector.value {
        let detector = prices.leak_detector.as_ref().map(|own| own.value.amount());
        let mut edits = vec![yes("purifier.leak_detector")];
        let mut price = detector;
        let mut says = "have a leak detector that shuts the feed valve and stops the pumps".to_owned();
        if !fields.feed_valve.value {
            edits.push(yes("purifier.feed_valve"));
            price = detector.zip(valve).map(|(detector, valve)| detector + valve);
            says = "have a leak detector and an electric feed valve at the tap that it shuts".to_owned();
        }
        all.push(Guard {
            edits,
            says: Some(says),
            price,
            caution: Some(MAINS),
        });
    }
    if fields.feed_valve.value && fields.longest_run.is_none() {
        let hours = looked.ground.longest_fill_s() * LONGER / 3600.0;
        if hours > 0.0 && hours < 700.0 {
            all.push(Guard {
                edits: vec![Edit::quoted(
                    "purifier.longest_run",
                    &format!("{:.0} h", hours.ceil()),
                )],
                says: Some(format!(
                    "let the control shut the feed after a run of {:.0} h",
                    hours.ceil()
                )),
                price: Some(0.0),
                caution: None,
            });
        }
    }
    if fields.feed_valve.value && !fields.shut_when_away.value {
        all.push(Guard {
            edits: vec![yes("purifier.shut_when_away")],
            says: Some("keep the feed shut while nobody is there".to_owned()),
            price: Some(0.0),
            caution: Some(
                "Then water is only made while somebody is there: see that the visits are long enough.",
            ),
        });
    }
    if fields.feed_limiter.is_none() {
        let takes_m3_s = looked.ground.takes_m3_s();
        if takes_m3_s > 0.0 {
            all.push(Guard {
                edits: vec![set_round(
                    station,
                    "purifier.feed_limiter",
                    Kind::Flow,
                    LIMITER * takes_m3_s,
                )],
                says: None,
                price: prices.feed_limiter.as_ref().map(|own| own.value.amount()),
                caution: Some("It floods slower, not less often."),
            });
        }
    }
}

fn at_a_vessel(station: &Station, vessel: usize, all: &mut Vec<Guard>) {
    let own = &station.vessels[vessel];
    let fields = &own.fields;
    let prices = &station.prices;
    if let (Some(stop), None) = (&fields.stop_level, &fields.backup_level) {
        let level_m = stop.value.m() + BACKUP_OVER_STOP_M;
        if level_m < own.height_m() {
            all.push(Guard {
                edits: vec![set_length(
                    station,
                    format!("vessels.{}.backup_level", own.name),
                    level_m,
                    true,
                )],
                says: Some(format!(
                    "hang a float valve of its own in {} as a second stop",
                    crate::analysis::speak::shown(&own.name)
                )),
                price: prices.float_valve.as_ref().map(|own| own.value.amount()),
                caution: Some(
                    "A second stop that is never tested is hardly worth having: lift it each month.",
                ),
            });
        }
    }
    if fields.overflow_level.is_none() && fields.holds.value == Water::Fresh {
        let level_m = own.height_m() - OVERFLOW_UNDER_RIM_M;
        all.push(Guard {
            edits: vec![set_length(
                station,
                format!("vessels.{}.overflow_level", own.name),
                level_m,
                true,
            )],
            says: Some(format!(
                "lead an overflow pipe from {} to the drain",
                crate::analysis::speak::shown(&own.name)
            )),
            price: prices.overflow_pipe.as_ref().map(|own| own.value.amount()),
            caution: Some(DRAIN),
        });
    }
}

/// Valves that close by themselves before each draw point that has none.
fn draws(station: &Station, all: &mut Vec<Guard>) {
    let open: Vec<&str> = station
        .plumbing
        .lines
        .iter()
        .enumerate()
        .filter(|(_, line)| matches!(line.to, End::Draw(_)))
        .filter(|(line, _)| {
            let mut valves = station.plumbing.valves_of(*line);
            !valves.any(|valve| station.valves[valve].fields.self_closing.value)
        })
        .filter_map(|(line, _)| station.plumbing.valves_of(line).last())
        .map(|valve| station.valves[valve].name.as_str())
        .collect();
    if open.is_empty() {
        return;
    }
    let price = station.prices.self_closing_valve.as_ref();
    all.push(Guard {
        edits: open
            .iter()
            .map(|name| yes(&format!("valves.{name}.self_closing")))
            .collect(),
        says: (open.len() > 1).then(|| "take valves that close by themselves at every draw point".to_owned()),
        price: price.map(|own| own.value.amount() * open.len() as f64),
        caution: None,
    });
}

/// Classes of parts that hide, and what testing them is called.
const TESTED: [(FailureClass, &str); 3] = [
    (FailureClass::BackupFloat, "the backup floats"),
    (FailureClass::LeakDetector, "the leak detector"),
    (FailureClass::CutOutSwitch, "the cut-outs"),
];

fn tests(station: &Station, all: &mut Vec<Guard>) {
    for (class, what) in TESTED {
        let often = station
            .failure(class)
            .and_then(|own| own.tested_every.as_ref())
            .is_some_and(|every| every.value.s() < 40.0 * 86_400.0);
        if often {
            continue;
        }
        all.push(Guard {
            edits: vec![Edit::quoted(
                format!("failures.{}.tested_every", class.name()),
                "1 month",
            )],
            says: Some(format!("test {what} each month, by the sheet")),
            price: Some(0.0),
            caution: None,
        });
    }
}
