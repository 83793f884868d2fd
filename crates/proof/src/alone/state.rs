//! Where a station that is left alone stands at a moment.

use station::control;

use super::fault::FloatAt;
use super::ground::Ground;
use super::lens::Lens;
use super::outcome::{HarmKind, Outcome, Spot};
use super::start::Start;
use super::trace::Trace;
use crate::plant::Amount;

/// The whole state of a run.
#[derive(Debug, Clone)]
pub(crate) struct State {
    pub(crate) t_s: f64,
    pub(crate) contents: Vec<Amount>,
    /// Tap water that came through a torn membrane, by vessel, m³.
    pub(crate) tap_m3: Vec<f64>,
    /// What each input truly is.
    pub(crate) truth: Vec<bool>,
    pub(crate) control: control::State,
    /// Outputs as they stood when the controller hung.
    pub(crate) held: Option<Vec<bool>>,
    pub(crate) powered: bool,
    /// Floats that stand open, as bits: first ones and second ones.
    pub(crate) floats: [u64; 2],
    /// Whether the feed valve stands open.
    pub(crate) open: bool,
    /// Valves that stand open and pumps that run, as bits.
    pub(crate) valves: u64,
    pub(crate) runs: u64,
    /// What is still to be moved by hand, m³, and until when somebody waits for it, s; nothing when nobody does.
    pub(crate) in_hand: Option<(f64, f64)>,
    /// Room left in the container under a draw point, m³.
    pub(crate) container_m3: f64,
    pub(crate) floor: Vec<(Spot, f64)>,
    /// What stands in the tray, m³.
    pub(crate) tray_m3: f64,
    /// What each tank has gained, m³.
    pub(crate) gained_m3: Vec<f64>,
    /// To the drain, over overflow pipes and with the reject; what was made, m³.
    pub(crate) drain_m3: f64,
    pub(crate) made_m3: f64,
    pub(crate) starts: f64,
    /// By pump: how long it has run dry and against closed valves, s. By vessel: its heater in the air.
    pub(crate) dry_s: Vec<f64>,
    pub(crate) closed_s: Vec<f64>,
    pub(crate) heater_dry_s: Vec<f64>,
    pub(crate) temperature_c: Vec<f64>,
    /// What lines took from all vessels and tanks, and what came out of them: what the balance is measured by.
    pub(crate) out: Amount,
    pub(crate) arrived: Amount,
    pub(crate) outcome: Outcome,
    pub(crate) trace: Trace,
}

/// A person's patience over the time that a task should take (house rule).
const PATIENCE: f64 = 1.2;

impl State {
    /// At the beginning, control warmed up as it stands with every part sound.
    pub(crate) fn begin(ground: &Ground<'_>, start: &Start, lens: &Lens, planned_s: f64) -> Self {
        let plant = ground.plant;
        let program = ground.program();
        let vessels = start.contents.len();
        let volumes: Vec<f64> = start
            .contents
            .iter()
            .map(|own| plant.brine.volume_m3(*own))
            .collect();
        let mut trace = Trace::new(program.inputs().len(), program.outputs().len(), vessels);
        for (vessel, switches) in plant.wiring.switches.iter().enumerate() {
            for switch in switches {
                trace.vessel_of[switch.input] = Some(vessel);
            }
        }
        let has_hand = matches!(start.phase, super::Phase::Transfer(_)) || start.attended;
        let in_hand = (has_hand && !lens.nobody_ends_it)
            .then_some((start.left_m3, start.round_s.unwrap_or(PATIENCE * planned_s)));
        trace.in_hand = has_hand;
        let mut truth = plant.wiring.inputs_at(&volumes);
        for valve in &plant.wiring.at_rest {
            truth[*valve] = false;
        }
        let mut floats = [0; 2];
        for (vessel, own) in plant.vessels.iter().enumerate() {
            for at in FloatAt::ALL {
                if let Some((closes_m3, _)) = at.of(own) {
                    floats[at as usize] |= u64::from(volumes[vessel] < closes_m3 * (1.0 - 1e-9)) << vessel;
                }
            }
        }
        Self {
            t_s: 0.0,
            tap_m3: vec![0.0; vessels],
            control: warmed_up(ground, start, &mut truth, has_hand && in_hand.is_some()),
            truth,
            held: None,
            powered: true,
            floats,
            open: false,
            valves: 0,
            runs: 0,
            in_hand,
            container_m3: start.container_m3,
            floor: Vec::new(),
            tray_m3: 0.0,
            gained_m3: vec![0.0; ground.station.tanks.len()],
            drain_m3: 0.0,
            made_m3: 0.0,
            starts: 0.0,
            dry_s: vec![0.0; ground.station.pumps.len()],
            closed_s: vec![0.0; ground.station.pumps.len()],
            heater_dry_s: vec![0.0; vessels],
            temperature_c: plant
                .vessels
                .iter()
                .map(|own| own.heat.map_or(ground.room_c.1, |heat| heat.set_c))
                .collect(),
            out: Amount::default(),
            arrived: Amount::default(),
            contents: start.contents.clone(),
            outcome: Outcome::default(),
            trace,
        }
    }

    pub(crate) fn volume_m3(&self, ground: &Ground<'_>, vessel: usize) -> f64 {
        ground.plant.brine.volume_m3(self.contents[vessel])
    }

    /// Notes a harm, the first time only.
    pub(crate) fn harm(&mut self, kind: HarmKind, at_s: f64, amount: f64) {
        if !self.outcome.harms.iter().any(|harm| harm.kind == kind) {
            self.outcome.harms.push(super::Harm { kind, at_s, amount });
        }
    }
}

/// How long control has been on before everybody leaves, s: longer than any rest of the feed.
const WARM_S: f64 = 900.0;

/// Control that has stood so for a while, then what a person switches on as the last thing.
fn warmed_up(ground: &Ground<'_>, start: &Start, truth: &mut [bool], here: bool) -> control::State {
    let plant = ground.plant;
    let program = ground.program();
    let wiring = &plant.wiring;
    if let Some(input) = wiring.here {
        truth[input] = here;
    }
    for (at, input) in program.inputs().iter().enumerate() {
        if let control::Input::ValveOpen { valve } = input {
            truth[at] = start.open >> valve & 1 == 1;
        }
    }
    let mut state = program.start(-WARM_S, truth);
    for (vessel, own) in plant.vessels.iter().enumerate() {
        if let Some(heat) = own.heat {
            // The room is colder than it is kept, so that its thermostat calls.
            let event = control::Event::Reading {
                vessel,
                temperature_c: heat.set_c - 5.0,
            };
            program.step(&mut state, -WARM_S, event);
        }
    }
    let due = |state: &mut control::State, until_s: f64| {
        // Each timer runs out once at most in this time but for clocks; a bound keeps it from going on for ever.
        for _ in 0..10_000 {
            match program.due_s(state) {
                Some(due_s) if due_s <= until_s => {
                    program.step(state, due_s, control::Event::Due);
                }
                _ => break,
            }
        }
    };
    due(&mut state, -30.0);
    let mut asked = Vec::new();
    if let Some(pump) = start.pump {
        asked.extend(wiring.pumps[pump].ask);
        // Water flows as soon as it runs.
        asked.extend(wiring.pumps[pump].flow);
    }
    if start.attended {
        asked.extend(wiring.ask_fill);
    }
    let changes: Vec<(usize, bool)> = asked.iter().map(|input| (*input, true)).collect();
    for (input, on) in &changes {
        truth[*input] = *on;
    }
    if !changes.is_empty() {
        program.step_together(&mut state, -30.0, &changes);
    }
    due(&mut state, 0.0);
    state
}
