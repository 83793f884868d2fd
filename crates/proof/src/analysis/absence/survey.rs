//! Every fault alone and every two together, from each beginning.
//!
//! A pair is run only where each of its faults changes something of the other's run; otherwise it is the run of one of
//! them ([`Trace::is_silent`]). All pairs are told from idle, from filling, and from the task that does most harm when
//! nobody ends it; the other tasks are looked at with single faults.

use std::sync::Arc;

use crate::alone::{Fault, Ground, Harm, Lines, Outcome, Path, Phase, Start, Trace, run};
use crate::method::Refusal;
use crate::progress::{Progress, Stage};

use super::deal::dealt;
use super::minimal::Least;
use super::top::Top;
use super::wet::Wet;

/// What one fault does from one beginning.
#[derive(Debug, Clone)]
pub(super) struct Single {
    pub(super) fault: usize,
    pub(super) outcome: Outcome,
    trace: Trace,
    /// What it has asked of the lines: kept until its pairs have run.
    path: Option<Arc<Path>>,
}

/// Two faults that together do what neither does alone.
#[derive(Debug, Clone)]
pub(super) struct Pair {
    pub(super) faults: [usize; 2],
    pub(super) outcome: Outcome,
    /// What only both do.
    pub(super) tops: Vec<Top>,
}

/// All of it from one beginning.
#[derive(Debug, Clone)]
pub(super) struct FromStart {
    pub(super) phase: Phase,
    /// How long what is in hand should take, s.
    planned_s: f64,
    /// With every part sound.
    pub(super) sound: Outcome,
    pub(super) singles: Vec<Single>,
    /// Pairs that do something new; empty where only single faults were looked at.
    pub(super) pairs: Vec<Pair>,
    /// Pairs that were told, and of them those that needed a run of their own.
    pub(super) told: usize,
    pub(super) ran: usize,
}

impl FromStart {
    /// The first harm of a run to a thing that matters which isn't done with every part sound as well.
    pub(super) fn adds<'o>(&self, outcome: &'o Outcome, top: Top) -> Option<&'o Harm> {
        let is_new = |harm: &&Harm| !self.sound.harms.iter().any(|own| own.kind == harm.kind);
        let own = outcome.harms.iter().filter(|harm| Top::of(harm.kind) == top);
        own.filter(is_new).min_by(|a, b| a.at_s.total_cmp(&b.at_s))
    }
}

/// Questions that the runs of a row keep for those after them (house rule: some 50 MB).
const MOST_KEPT: usize = 100_000;

/// Pairs of a row that do something new, how many were told, and how many ran.
type Row = (Vec<Pair>, usize, usize);

/// All beginnings.
#[derive(Debug, Clone)]
pub(super) struct Survey {
    pub(super) faults: Vec<Fault>,
    pub(super) starts: Vec<FromStart>,
}

impl Survey {
    /// What comes of a set, from each beginning from which it does its harm.
    pub(super) fn of<'s>(&'s self, set: &'s Least) -> impl Iterator<Item = &'s Outcome> {
        let starts = self.starts.iter().filter(|own| set.phases.contains(&own.phase));
        starts.filter_map(|own| match set.faults.as_slice() {
            [fault] => own
                .singles
                .iter()
                .find(|single| single.fault == *fault)
                .map(|own| &own.outcome),
            faults => own
                .pairs
                .iter()
                .find(|pair| pair.faults == faults)
                .map(|own| &own.outcome),
        })
    }
}

/// What a run does to a thing that matters: the first harm of its kind.
pub(super) fn first(outcome: &Outcome, top: Top) -> Option<&Harm> {
    outcome
        .harms
        .iter()
        .filter(|harm| Top::of(harm.kind) == top)
        .min_by(|a, b| a.at_s.total_cmp(&b.at_s))
}

/// What a survey is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum For {
    /// Every harm.
    All,
    /// The least sets that wet the floor: a pair isn't run where it can't be one of them.
    WetFloor,
}

/// Looks at everything that it is for.
///
/// # Errors
/// [`Refusal`] where flows can't be computed; [`Refusal::Stopped`] where somebody asked for a stop or an end.
pub(super) fn survey(
    ground: &Ground<'_>,
    starts: &[Start],
    faults: Vec<Fault>,
    until_s: f64,
    (purpose, threads): (For, usize),
    progress: &Progress,
) -> Result<Survey, Refusal> {
    let lines = || ground.lines();
    progress.begin(Stage::Faults, starts.len() * faults.len());
    let mut all = dealt(threads, starts.len(), lines, |lines, at| {
        singles(ground, lines, &starts[at], &faults, until_s, progress)
    })
    .into_iter()
    .collect::<Result<Vec<FromStart>, Refusal>>()?;
    let worst = worst_task(&all, &faults);
    let wet = (purpose == For::WetFloor).then(|| Wet::of(&all, &faults));
    let is_whole = |own: &FromStart, at| !matches!(own.phase, Phase::Transfer(_)) || Some(at) == worst;
    let whole = all
        .iter()
        .enumerate()
        .filter(|(at, own)| is_whole(own, *at))
        .count();
    progress.begin(Stage::Pairs, whole * faults.len());
    for (at, own) in all.iter_mut().enumerate() {
        if is_whole(own, at) {
            pairs(
                ground,
                &starts[at],
                own,
                (&faults, wet.as_ref()),
                until_s,
                (threads, progress),
            )?;
        }
    }
    Ok(Survey { faults, starts: all })
}

/// The task that puts most on the floor when nobody ends it.
fn worst_task(all: &[FromStart], faults: &[Fault]) -> Option<usize> {
    let left_on = faults.iter().position(|fault| *fault == Fault::NobodyEndsIt)?;
    let floor_m3 = |own: &FromStart| {
        let single = own.singles.iter().find(|single| single.fault == left_on);
        single.map_or(0.0, |single| single.outcome.floor_m3)
    };
    let mut worst: Option<usize> = None;
    for (at, own) in all.iter().enumerate() {
        if matches!(own.phase, Phase::Transfer(_))
            && worst.is_none_or(|last| floor_m3(own) > floor_m3(&all[last]))
        {
            worst = Some(at);
        }
    }
    worst
}

/// How long what is in hand should take: as it does with every part sound.
fn planned_s(
    ground: &Ground<'_>,
    lines: &mut Option<Lines<'_>>,
    start: &Start,
    until_s: f64,
) -> Result<f64, Refusal> {
    let (sound, _) = run(ground, lines, start, until_s, &[], until_s)?;
    Ok(sound.ended_s.unwrap_or(until_s))
}

fn singles(
    ground: &Ground<'_>,
    lines: &mut Option<Lines<'_>>,
    start: &Start,
    faults: &[Fault],
    until_s: f64,
    progress: &Progress,
) -> Result<FromStart, Refusal> {
    let planned_s = planned_s(ground, lines, start, until_s)?;
    let path = |lines: &mut Option<Lines<'_>>| lines.as_mut().map(Lines::path);
    if let Some(lines) = lines {
        lines.keep_paths();
    }
    let (sound, trace) = run(ground, lines, start, planned_s, &[], until_s)?;
    let sound_path = path(lines);
    let mut singles = Vec::with_capacity(faults.len());
    for (at, fault) in faults.iter().enumerate() {
        if progress.is_ended() {
            return Err(Refusal::Stopped);
        }
        progress.step();
        let (outcome, trace, path) = if trace.is_silent(*fault, ground.joints()) {
            (sound.clone(), trace.clone(), sound_path.clone())
        } else {
            if let Some(lines) = lines {
                lines.beside(&sound_path);
            }
            let (outcome, trace) = run(ground, lines, start, planned_s, &[*fault], until_s)?;
            (outcome, trace, path(lines))
        };
        singles.push(Single {
            fault: at,
            outcome,
            trace,
            path,
        });
    }
    Ok(FromStart {
        phase: start.phase,
        planned_s,
        sound,
        singles,
        pairs: Vec::new(),
        told: 0,
        ran: 0,
    })
}

fn pairs(
    ground: &Ground<'_>,
    start: &Start,
    own: &mut FromStart,
    (faults, wet): (&[Fault], Option<&Wet>),
    until_s: f64,
    (threads, progress): (usize, &Progress),
) -> Result<(), Refusal> {
    let from = &*own;
    let singles = &from.singles;
    // By the second fault, the last to fail first: what people leave open stands last, moves most water and takes longest;
    // and beside it many first faults come to the same, so that each run follows those before it.
    let row = |lines: &mut Option<Lines<'_>>, at: usize| -> Result<Row, Refusal> {
        let b = faults.len() - 1 - at;
        let (mut found, mut told, mut ran) = (Vec::new(), 0, 0);
        let mut paths: Vec<Arc<Path>> = singles[b].path.iter().cloned().collect();
        let mut kept = 0;
        for a in 0..b {
            if faults[a].excludes(faults[b]) {
                continue;
            }
            if progress.is_ended() {
                return Err(Refusal::Stopped);
            }
            told += 1;
            if wet.is_some_and(|wet| !wet.may(from, faults, [a, b]))
                || is_silent(ground, singles, faults, a, b)
            {
                continue;
            }
            ran += 1;
            if let Some(lines) = lines {
                lines.beside(paths.iter().chain(&singles[a].path));
            }
            let both = [faults[a], faults[b]];
            let (outcome, _) = run(ground, lines, start, from.planned_s, &both, until_s)?;
            if let Some(path) = lines.as_mut().and_then(Lines::new_path)
                && kept + path.len() <= MOST_KEPT
            {
                kept += path.len();
                paths.push(path);
            }
            let tops: Vec<Top> = Top::ALL
                .into_iter()
                .filter(|top| {
                    first_of(&outcome, *top)
                        && !first_of(&singles[a].outcome, *top)
                        && !first_of(&singles[b].outcome, *top)
                })
                .collect();
            if !tops.is_empty() {
                found.push(Pair {
                    faults: [a, b],
                    outcome,
                    tops,
                });
            }
        }
        progress.step();
        Ok((found, told, ran))
    };
    let lines = || {
        let mut lines = ground.lines();
        if let Some(lines) = &mut lines {
            lines.keep_paths();
        }
        lines
    };
    let rows = dealt(threads, faults.len(), lines, row);
    for row in rows {
        let (found, told, ran) = row?;
        own.pairs.extend(found);
        own.told += told;
        own.ran += ran;
    }
    own.pairs.sort_by_key(|pair| pair.faults);
    for single in &mut own.singles {
        single.path = None;
    }
    Ok(())
}

/// Whether a run does harm to a thing that matters.
pub(super) fn first_of(outcome: &Outcome, top: Top) -> bool {
    outcome.harms.iter().any(|harm| Top::of(harm.kind) == top)
}

/// Whether one of two faults changes nothing of the other's run.
fn is_silent(ground: &Ground<'_>, singles: &[Single], faults: &[Fault], a: usize, b: usize) -> bool {
    let joints = ground.joints();
    singles[a].trace.is_silent(faults[b], joints) || singles[b].trace.is_silent(faults[a], joints)
}

#[cfg(test)]
mod tests {
    use station::Station;

    use super::*;
    use crate::alone::{faults, phases};
    use crate::analysis::absence::minimal::least;
    use crate::analysis::absence::types::By;
    use crate::analysis::{plain_network, prepare, settings};

    /// A survey for wet floors finds the least sets of the whole one, from the same beginnings; and runs fewer pairs.
    #[test]
    fn a_survey_for_wet_floors_finds_them_all() {
        for text in [
            include_str!("../../../../../stations/larkhaven.toml"),
            include_str!("../../../../../stations/juniper-street-school.toml"),
            include_str!("../../../../../stations/skelder-hatchery.toml"),
        ] {
            let station = Station::read(text).expect("an example");
            let plant = prepare(&station, false).expect("a plant").nominal;
            let pipework = plain_network(&station).ok();
            let settings = pipework
                .as_ref()
                .map_or_else(Vec::new, |pipework| settings(&station, pipework));
            let ground = Ground::new(&station, &plant, pipework, &settings).expect("within bounds");
            let starts = phases(&ground, &settings);
            let of = |purpose: For| {
                let all = faults(&station, &plant, ground.program());
                survey(
                    &ground,
                    &starts,
                    all,
                    64.0 * 3600.0,
                    (purpose, 2),
                    &Progress::default(),
                )
                .expect("flows")
            };
            let (whole, wet) = (of(For::All), of(For::WetFloor));
            for by in [By::Parts, By::People] {
                let sets = least(&whole, Top::WetFloor, by);
                assert_eq!(sets, least(&wet, Top::WetFloor, by), "{:?} {by:?}", station.title);
                assert!(!sets.is_empty());
            }
            let ran = |own: &Survey| own.starts.iter().map(|own| own.ran).sum::<usize>();
            assert!(
                ran(&wet) < ran(&whole),
                "{:?}: {} {}",
                station.title,
                ran(&wet),
                ran(&whole)
            );
        }
    }
}
