//! A pump.
//!
//! A person starts it by switching it on; it stops when that is switched off, and at once when a vessel that it may be
//! drawing from is below its low cut-out, when what it fills is at its high cut-out, when none of the valves that it
//! runs only with is open, at a leak, at a fault of its own, and without power. Then it never starts again by itself,
//! even with the switch left on. Only a timer that recirculates starts it by itself, after its pause. A pump with a flow
//! switch that sees no flow for ten seconds has a fault until reset. Safe state: it stands.
//!
//! Where a pump can draw from several vessels, the valve nearest to each tells whether it may be drawing from it; one
//! that isn't closed counts as open. House rule: such a valve tells its position.

use super::super::block::{Kind, Read};
use super::super::settings::{PumpSettings, Settings};
use super::super::signal::{Alarm, Input, Mark, Output, Task};
use super::super::wiring::Wiring;
use super::common::{Common, DEBOUNCE_S, fault, switch};
use super::recirculation;
use crate::plumbing::End;

/// How long a pump may run without flow, s (common practice, no source: long enough to fill its lines, short enough for
/// its seal).
const DRY_S: f64 = 10.0;

pub(super) fn wire(wiring: &mut Wiring, settings: &Settings, at: usize, common: &Common) {
    let Some(own) = settings.pumps.get(at) else {
        return;
    };
    let name = &own.name;
    let dry = own.flow_switch.then(|| {
        let lasts = wiring.later(
            Kind::OnDelay { delay_s: DRY_S },
            format!("{name} has run without flow"),
        );
        let told = fault(
            wiring,
            lasts.wire,
            common.reset,
            &format!("{name} ran dry or closed"),
        );
        wiring.output(Output::Alarm(Alarm::DryPump(at)), told);
        (lasts, told)
    });

    let mut needs: Vec<Read> = vec![common.settled];
    needs.extend(common.leak.map(|fault| !fault));
    needs.extend(dry.as_ref().map(|(_, told)| !*told));
    cutouts(wiring, settings, own, &mut needs);
    highs(wiring, settings, own, &mut needs);
    if !own.runs_only_with.is_empty() {
        let valves: Vec<Read> = own
            .runs_only_with
            .iter()
            .map(|valve| position(wiring, settings, *valve))
            .collect();
        needs.push(wiring.any(&valves, format!("a valve that {name} runs only with is open")));
    }
    let may = wiring.all(&needs, format!("{name} may run"));

    let asked = wiring.input(
        Input::Ask(Task::Pump(at)),
        format!("a person has {name} switched on"),
    );
    let begins = wiring.rising_edge(asked, format!("{name} was just switched on"));
    let ends = wiring.any(&[!asked, !may], format!("{name} must stop"));
    let wanted = wiring.latch(begins, ends, format!("{name} runs for a person"));
    let mut wants: Vec<Read> = vec![wanted];
    for vessel in &own.recirculates {
        let Some(of) = settings.vessels.get(*vessel) else {
            continue;
        };
        let Some(by_timer) = of.recirculation else {
            continue;
        };
        let mut needs: Vec<Read> = vec![may];
        needs.extend(opened(wiring, settings, own, *vessel));
        wants.extend(recirculation::wire(wiring, by_timer, &needs, &of.name));
    }
    let runs = wiring.any(&wants, format!("{name} runs"));
    wiring.output(Output::Pump(at), runs);

    if let Some((lasts, _)) = dry {
        let flow = wiring.input(
            Input::FlowSeen { pump: at },
            format!("water flows through {name}"),
        );
        let without = wiring.all(&[runs, !flow], format!("{name} runs, and no water flows"));
        wiring.join(&lasts, &[without]);
    }
}

/// What must be on so that no vessel that the pump may be drawing from is below its low cut-out.
fn cutouts(wiring: &mut Wiring, settings: &Settings, own: &PumpSettings, needs: &mut Vec<Read>) {
    let alone = own.sources.len() == 1;
    for source in &own.sources {
        let Some(vessel) = settings
            .vessels
            .get(source.vessel)
            .filter(|vessel| vessel.low_cutout)
        else {
            continue;
        };
        let wet = switch(wiring, source.vessel, vessel, Mark::LowCutout);
        let name = format!("{} is above its low cut-out", vessel.name);
        let enough = wiring.on_delay(wet, DEBOUNCE_S, name);
        if alone || source.is_open || source.valves.is_empty() {
            needs.push(enough);
            continue;
        }
        let closed: Vec<Read> = source
            .valves
            .iter()
            .map(|valve| !position(wiring, settings, *valve))
            .collect();
        let closed = wiring.all(&closed, format!("{} is closed to {}", vessel.name, own.name));
        let name = format!("{} lets {} run", vessel.name, own.name);
        needs.push(wiring.any(&[enough, closed], name));
    }
}

/// Where a pump can draw from several vessels: whether a valve of this one isn't closed, so that a timer doesn't start
/// the pump on another.
fn opened(wiring: &mut Wiring, settings: &Settings, own: &PumpSettings, vessel: usize) -> Option<Read> {
    let source = own.sources.iter().find(|source| source.vessel == vessel)?;
    if own.sources.len() == 1 || source.is_open || source.valves.is_empty() {
        return None;
    }
    let valves: Vec<Read> = source
        .valves
        .iter()
        .map(|valve| position(wiring, settings, *valve))
        .collect();
    let name = settings.vessels.get(vessel).map_or("", |own| own.name.as_str());
    Some(wiring.any(&valves, format!("{name} is open to {}", own.name)))
}

/// What must be on so that nothing that the pump can fill is at its high cut-out.
fn highs(wiring: &mut Wiring, settings: &Settings, own: &PumpSettings, needs: &mut Vec<Read>) {
    for end in &own.fills {
        let full = match *end {
            End::Vessel(at) => settings
                .vessels
                .get(at)
                .filter(|vessel| vessel.high_cutout)
                .map(|vessel| switch(wiring, at, vessel, Mark::High)),
            End::Tank(at) => settings.tanks.get(at).filter(|(_, has)| *has).map(|(name, _)| {
                let name = format!("{name} stands at or above its high cut-out");
                wiring.input(Input::TankHigh { tank: at }, name)
            }),
            End::Pump(_) | End::Tee(_) | End::Draw(_) => None,
        };
        needs.extend(full.map(|full| !full));
    }
}

fn position(wiring: &mut Wiring, settings: &Settings, valve: usize) -> Read {
    let name = settings.valves.get(valve).map_or("", String::as_str);
    wiring.input(Input::ValveOpen { valve }, format!("valve {name} isn't closed"))
}
