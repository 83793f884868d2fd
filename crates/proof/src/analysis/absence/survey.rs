//! Every fault alone and every two together, from each beginning.
//!
//! A pair is run only where each of its faults changes something of the other's run; otherwise it is the run of one of
//! them ([`Trace::is_silent`]). All pairs are told from idle, from filling, and from the task that does most harm when
//! nobody ends it; the other tasks are looked at with single faults.

use std::thread;

use crate::alone::{Fault, Ground, Harm, Outcome, Phase, Start, Trace, run};
use crate::method::Refusal;

use super::minimal::Least;
use super::top::Top;

/// What one fault does from one beginning.
#[derive(Debug, Clone)]
pub(super) struct Single {
    pub(super) fault: usize,
    pub(super) outcome: Outcome,
    trace: Trace,
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
    /// With every part sound.
    pub(super) sound: Outcome,
    pub(super) singles: Vec<Single>,
    /// Pairs that do something new; empty where only single faults were looked at.
    pub(super) pairs: Vec<Pair>,
    /// Pairs that were told, and of them those that needed a run of their own.
    pub(super) told: usize,
    pub(super) ran: usize,
}

/// Pairs of some rows that do something new, how many were told, and how many ran.
type Rows = (Vec<Pair>, usize, usize);

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

/// Looks at everything.
///
/// # Errors
/// [`Refusal`] where flows can't be computed.
pub(super) fn survey(
    ground: &Ground<'_>,
    starts: &[Start],
    faults: Vec<Fault>,
    until_s: f64,
    threads: usize,
) -> Result<Survey, Refusal> {
    let mut all = Vec::with_capacity(starts.len());
    for start in starts {
        all.push(singles(ground, start, &faults, until_s)?);
    }
    let worst = worst_task(&all, &faults);
    for (at, own) in all.iter_mut().enumerate() {
        let whole = !matches!(own.phase, Phase::Transfer(_)) || Some(at) == worst;
        if whole {
            pairs(ground, &starts[at], own, &faults, until_s, threads)?;
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
    lines: &mut Option<crate::alone::Lines<'_>>,
    start: &Start,
    until_s: f64,
) -> Result<f64, Refusal> {
    let (sound, _) = run(ground, lines, start, until_s, &[], until_s)?;
    Ok(sound.ended_s.unwrap_or(until_s))
}

fn singles(ground: &Ground<'_>, start: &Start, faults: &[Fault], until_s: f64) -> Result<FromStart, Refusal> {
    let mut lines = ground.lines();
    let planned_s = planned_s(ground, &mut lines, start, until_s)?;
    let (sound, trace) = run(ground, &mut lines, start, planned_s, &[], until_s)?;
    let mut singles = Vec::with_capacity(faults.len());
    for (at, fault) in faults.iter().enumerate() {
        let (outcome, trace) = if trace.is_silent(*fault, ground.joints()) {
            (sound.clone(), trace.clone())
        } else {
            run(ground, &mut lines, start, planned_s, &[*fault], until_s)?
        };
        singles.push(Single {
            fault: at,
            outcome,
            trace,
        });
    }
    Ok(FromStart {
        phase: start.phase,
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
    faults: &[Fault],
    until_s: f64,
    threads: usize,
) -> Result<(), Refusal> {
    let planned_s = planned_s(ground, &mut ground.lines(), start, until_s)?;
    let singles = &own.singles;
    let threads = threads.clamp(1, faults.len().max(1));
    // Rows dealt in turn: the first have most to do. Their order doesn't matter, for they are sorted afterwards.
    let rows = |first: usize| -> Result<Rows, Refusal> {
        let mut lines = ground.lines();
        let (mut found, mut told, mut ran) = (Vec::new(), 0, 0);
        for a in (first..faults.len()).step_by(threads) {
            for b in a + 1..faults.len() {
                if faults[a].excludes(faults[b]) {
                    continue;
                }
                told += 1;
                if is_silent(ground, singles, faults, a, b) {
                    continue;
                }
                ran += 1;
                let both = [faults[a], faults[b]];
                let (outcome, _) = run(ground, &mut lines, start, planned_s, &both, until_s)?;
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
        }
        Ok((found, told, ran))
    };
    let parts: Vec<Result<Rows, Refusal>> = thread::scope(|scope| {
        let handles: Vec<_> = (1..threads).map(|at| scope.spawn(move || rows(at))).collect();
        let mut parts = vec![rows(0)];
        parts.extend(handles.into_iter().map(|handle| {
            handle
                .join()
                .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
        }));
        parts
    });
    for part in parts {
        let (found, told, ran) = part?;
        own.pairs.extend(found);
        own.told += told;
        own.ran += ran;
    }
    own.pairs.sort_by_key(|pair| pair.faults);
    Ok(())
}

fn first_of(outcome: &Outcome, top: Top) -> bool {
    outcome.harms.iter().any(|harm| Top::of(harm.kind) == top)
}

/// Whether one of two faults changes nothing of the other's run.
fn is_silent(ground: &Ground<'_>, singles: &[Single], faults: &[Fault], a: usize, b: usize) -> bool {
    let joints = ground.joints();
    singles[a].trace.is_silent(faults[b], joints) || singles[b].trace.is_silent(faults[a], joints)
}
