//! The feed: who calls for it, and what keeps it shut.
//!
//! By its control the purifier is called by the marks of its vessels, by a clock, by a person, or always, where a float
//! in the vessel is all there is: the float is a mechanical device and no block. Whoever calls, the feed stays shut
//! while a vessel that it fills is full, while a fault holds, and while nobody is here, where that is wanted. What calls
//! by itself starts it at most twelve times an hour, whatever the switches do. Safe state: shut. Where a float alone
//! stops the feed and no electric valve is there, no output is made: nothing could shut it.
//!
//! Several vessels are filled through one feed that can't choose between them: it opens for any that is low and shuts
//! for any that is full (house rule).

use super::super::block::{Kind, Read};
use super::super::settings::{PurifierSettings, Settings, VesselSettings};
use super::super::signal::{Alarm, Input, Mark, Output};
use super::super::wiring::Wiring;
use super::common::{Common, DEBOUNCE_S, fault, switch};
use super::{attended, level_fill, timer_fill};
use crate::sections::Control;

/// How long the feed rests before what calls by itself opens it again, s (house rule: twelve starts an hour).
const REST_S: f64 = 300.0;

pub(super) fn wire(wiring: &mut Wiring, settings: &Settings, purifier: &PurifierSettings, common: &Common) {
    if purifier.control == Control::Float && !purifier.feed_valve {
        return;
    }
    let filled: Vec<(usize, &VesselSettings)> = purifier
        .fills
        .iter()
        .filter_map(|at| Some((*at, settings.vessels.get(*at)?)))
        .collect();
    let mut may: Vec<Read> = Vec::new();
    let mut fulls: Vec<Option<Read>> = Vec::new();
    for (at, vessel) in &filled {
        let full = level_fill::full(wiring, *at, vessel);
        may.extend(full.map(|full| !full));
        fulls.push(full);
    }
    may.extend(overfull(wiring, &filled, common).map(|fault| !fault));
    may.extend(common.leak.map(|fault| !fault));
    if purifier.shut_when_away {
        may.push(wiring.input(Input::SomebodyHere, "somebody is here"));
    }
    let too_long = purifier.longest_run_s.map(|delay_s| {
        let lasts = wiring.later(Kind::OnDelay { delay_s }, "the run has lasted longer than it may");
        let told = fault(wiring, lasts.wire, common.reset, "a run was too long");
        wiring.output(Output::Alarm(Alarm::RunTooLong), told);
        may.push(!told);
        lasts
    });

    let call = match purifier.control {
        Control::Attended => None,
        Control::Float => Some(wiring.all(&[], "a float alone asks for water")),
        Control::Timer => Some(timer_fill::wire(wiring, purifier)),
        Control::Levels => {
            let mut calls: Vec<Read> = Vec::new();
            for ((at, vessel), full) in filled.iter().zip(fulls) {
                calls.extend(level_fill::wire(wiring, *at, vessel, full, common));
            }
            Some(wiring.any(&calls, "a vessel calls for water"))
        }
    };
    let feed = match call {
        None => attended::wire(wiring, purifier, &may, common),
        Some(call) => {
            may.push(call);
            rested(wiring, &may)
        }
    };
    if let Some(lasts) = too_long {
        wiring.join(&lasts, &[feed]);
    }
    wiring.output(Output::Feed, feed);
}

/// The feed opens on all that must be on, but only after its rest.
fn rested(wiring: &mut Wiring, may: &[Read]) -> Read {
    let rest = wiring.later(Kind::OnDelay { delay_s: REST_S }, "the feed has rested");
    let go = wiring.all(may, "the feed may be open");
    let begins = wiring.all(&[go, rest.wire], "the feed may open");
    let feed = wiring.latch(begins, !go, "the feed is open");
    wiring.join(&rest, &[!feed]);
    feed
}

/// A backup that was reached: the stop mark failed, and the feed stays shut until reset.
fn overfull(wiring: &mut Wiring, filled: &[(usize, &VesselSettings)], common: &Common) -> Option<Read> {
    let mut reached: Vec<Read> = Vec::new();
    for (at, vessel) in filled.iter().filter(|(_, vessel)| vessel.backup) {
        let wet = switch(wiring, *at, vessel, Mark::Backup);
        let name = format!("the backup of {} closes", vessel.name);
        reached.push(wiring.on_delay(wet, DEBOUNCE_S, name));
    }
    if reached.is_empty() {
        return None;
    }
    let any = wiring.any(&reached, "a backup closes");
    let told = fault(wiring, any, common.reset, "a vessel was overfull");
    wiring.output(Output::Alarm(Alarm::Overfull), told);
    Some(told)
}
