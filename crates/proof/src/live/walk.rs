//! The walk: a step is planned, walked to its end, and what is met there is done.

use station::control::{Event, Output};
use station::sections::Water as Holds;

use super::air::Air;
use super::books::Books;
use super::ledger::Ledger;
use super::tank::{tank_waters, until_caught_s, until_let_go_s};
use super::warmth::{Body, warm};
use crate::alone::{
    Fault, Ground, Hands, HarmKind, Lens, Lines, Met, Now, READY_WITHIN, Start, State, Waters, follow,
    waters_of,
};
use crate::method::Refusal;

/// A step moves this share at most of what the run alone lets a step move: so that waters that mix are followed.
const FINER: f64 = 0.05;
/// The shortest step of that rule, s, and the longest that thermometers wait, s.
const SHORTEST_S: f64 = 0.5;
const READ_EVERY_S: f64 = 60.0;
/// More events than that within a second are a chatter: then steps go on for at least so long, s.
const MOST_EVENTS: u32 = 200;
const AT_LEAST_S: f64 = 0.05;

/// A step that is planned.
#[derive(Debug, Clone, Default)]
struct Planned {
    now: Now,
    step_s: f64,
    met: Option<Met>,
}

/// The walk as it is shown: with what flows at that moment.
pub(super) struct Shown {
    pub(super) walk: Walk,
    pub(super) now: Now,
    pub(super) waters: Waters,
}

/// What doesn't change while it is walked.
pub(super) struct Place<'g> {
    pub(super) ground: &'g Ground<'g>,
    pub(super) bodies: Vec<Body>,
    pub(super) room_c: f64,
    pub(super) feed_c: f64,
    pub(super) air: Air,
    /// The tasks that put fresh water into a salt vessel for a batch.
    pub(super) making: Vec<Making>,
}

/// A task that puts fresh water into a salt vessel: its valves among those of its part of the plumbing, as bits.
#[derive(Debug, Clone, Copy)]
pub(super) struct Making {
    pub(super) open: u64,
    pub(super) among: u64,
    pub(super) pump: Option<usize>,
    pub(super) vessel: usize,
}

impl Making {
    /// Whether valves stand as it wants them and its pump runs, and it is this vessel that it fills.
    fn is_on(self, open: u64, runs: u64, vessel: usize) -> bool {
        let pumps = self.pump.is_none_or(|pump| runs >> pump & 1 == 1);
        let is_set = self.among != 0 || self.pump.is_some();
        self.vessel == vessel && is_set && pumps && open & self.among == self.open
    }
}

/// The station as somebody plays with it.
#[derive(Debug, Clone)]
pub(super) struct Walk {
    pub(super) start: Start,
    pub(super) lens: Lens,
    pub(super) faults: Vec<Fault>,
    pub(super) state: State,
    pub(super) ledger: Ledger,
    /// Salt on the floor of each vessel, kg.
    pub(super) grains_kg: Vec<f64>,
    /// The time that is shown: within the step that is planned.
    pub(super) shown_s: f64,
    /// The task in hand.
    pub(super) task: Option<usize>,
    /// The task whose card somebody follows. Only who looks ahead knows of it: a card is no part of the record.
    pub(super) card: Option<usize>,
    /// When power comes back and the feed thaws.
    pub(super) power_back_s: Option<f64>,
    pub(super) thaws_s: Option<f64>,
    planned: Planned,
    /// The second in which events are counted, and how many.
    busy: (f64, u32),
}

impl Walk {
    pub(super) fn new(start: Start, state: State, ledger: Ledger) -> Self {
        Self {
            start,
            lens: Lens::default(),
            faults: Vec::new(),
            grains_kg: vec![0.0; state.contents.len()],
            state,
            ledger,
            shown_s: 0.0,
            task: None,
            card: None,
            power_back_s: None,
            thaws_s: None,
            planned: Planned::default(),
            busy: (0.0, 0),
        }
    }

    /// Goes on to a time.
    pub(super) fn go_to(
        &mut self,
        place: &Place<'_>,
        lines: &mut Option<Lines<'_>>,
        until_s: f64,
    ) -> Result<(), Refusal> {
        while self.state.t_s + self.planned.step_s <= until_s {
            let planned = core::mem::take(&mut self.planned);
            self.spend(place, &planned.now, planned.step_s);
            self.arrived(place, planned.met);
            self.plan(place, lines)?;
        }
        self.shown_s = self.shown_s.max(until_s);
        Ok(())
    }

    /// Walks the part of the step that lies behind what is shown, so that an act finds it so. It is planned anew after.
    pub(super) fn cut(&mut self, place: &Place<'_>) {
        let planned = core::mem::take(&mut self.planned);
        let seconds = self.shown_s - self.state.t_s;
        if seconds > 0.0 {
            self.spend(place, &planned.now, seconds);
        }
        self.arrived(place, None);
    }

    /// The walk at the time that is shown.
    pub(super) fn shown(&self, place: &Place<'_>) -> Shown {
        let mut walk = self.clone();
        let now = core::mem::take(&mut walk.planned).now;
        let seconds = walk.shown_s - walk.state.t_s;
        if seconds > 0.0 {
            walk.spend(place, &now, seconds);
        }
        let vessels = waters_of(place.ground, &walk.state, &now, 0.0);
        let tanks = tank_waters(place.ground, &walk.ledger);
        let waters = follow(place.ground, (&vessels, &tanks), place.feed_c, &now);
        Shown { walk, now, waters }
    }

    /// Forgets the harm that was done and what lies on the floor: what comes from here on is told by itself. What holds now
    /// is no harm to come; it is left out of what is noted later. A leak detector that has felt nothing yet feels the floor
    /// anew.
    pub(super) fn forget_harm(&mut self, place: &Place<'_>) -> Vec<HarmKind> {
        let warmth = |kind: &HarmKind| matches!(kind, HarmKind::Cooked(_) | HarmKind::Chilled(_));
        let done = core::mem::take(&mut self.state.outcome.harms);
        let mut holds: Vec<HarmKind> = done.iter().map(|own| own.kind).filter(warmth).collect();
        self.state.floor.clear();
        let t_s = self.state.t_s;
        hands(place.ground, &self.lens, &self.start).note(&mut self.state, &[], t_s, 0.0);
        self.note_doses(place.ground);
        self.note_tanks(place.ground);
        self.note_buckets(place.ground);
        holds.extend(self.state.outcome.harms.drain(..).map(|own| own.kind));
        holds
    }

    /// Plans the next step.
    pub(super) fn plan(&mut self, place: &Place<'_>, lines: &mut Option<Lines<'_>>) -> Result<(), Refusal> {
        let ground = place.ground;
        self.planned = Planned::default();
        let hands = hands(ground, &self.lens, &self.start);
        let thawed = self.thaws_s.is_none();
        let state = &mut self.state;
        let mut now = Now::default();
        hands.find(state, lines, thawed, &mut now)?;
        let t_s = state.t_s;
        let mut left_s = READ_EVERY_S;
        let mut due = |at_s: f64| left_s = left_s.min((at_s - t_s).max(0.0));
        if let Some(timer_s) = ground.program().due_s(&state.control)
            && state.powered
        {
            due(timer_s);
        }
        for at_s in [self.power_back_s, self.thaws_s].into_iter().flatten() {
            due(at_s);
        }
        if let Some((_, round_s)) = state.in_hand {
            due(round_s);
        }
        let left_s = hands.until_harm_s(state, &now, left_s);
        let left_s = left_s.min(until_caught_s(ground, &self.ledger, &now));
        let held = if self.task.is_none() { self.start.open } else { 0 };
        let left_s = left_s.min(until_let_go_s(ground, held, &self.ledger, &now));
        let finer_s = (FINER * hands.longest_s(state, &now)).max(SHORTEST_S);
        let (mut step_s, met) = hands.step(state, lines, thawed, &mut now, left_s.min(finer_s))?;
        if self.busy.1 > MOST_EVENTS {
            step_s = step_s.max(goes_on_s(&hands, state, &now));
        }
        self.planned = Planned { now, step_s, met };
        Ok(())
    }

    /// What stands in salt vessels is a batch, which nothing may thin, from when it is as salty as it should be; no longer
    /// once somebody puts water in for the next one, as long as there is room for it.
    fn know_batches(&mut self, place: &Place<'_>) {
        let ground = place.ground;
        for (vessel, own) in ground.plant.vessels.iter().enumerate() {
            let there = self.state.contents[vessel];
            let is_ready =
                || (ground.plant.brine.practical_salinity(there) - own.target).abs() < READY_WITHIN;
            // Over its full mark nobody makes a batch.
            let has_room = ground.plant.brine.volume_m3(there) < own.full_m3;
            let is_making = || {
                let mut making = place.making.iter();
                has_room && making.any(|own| own.is_on(self.start.open, self.state.runs, vessel))
            };
            if own.holds == Holds::Salt && (is_making() || is_ready()) {
                self.start.contents[vessel] = there;
            }
        }
    }

    /// Books a step, and notes the harm that it has done.
    fn spend(&mut self, place: &Place<'_>, now: &Now, seconds: f64) {
        self.know_batches(place);
        let hands = hands(place.ground, &self.lens, &self.start);
        let state = &mut self.state;
        let (before, t_s) = (state.floor.clone(), state.t_s);
        warm(&hands, state, &place.bodies, place.room_c, seconds);
        let mut books = Books {
            ledger: &mut self.ledger,
            feed_c: place.feed_c,
        };
        books.flow(&hands, state, now, seconds);
        place.air.dry(place.ground, state, &mut self.ledger, seconds);
        hands.note(state, &before, t_s, seconds);
        self.dissolve(place.ground, now, seconds);
        self.note_doses(place.ground);
        self.note_tanks(place.ground);
        self.note_buckets(place.ground);
    }

    /// What is met at the end of a step is done: switches, floats, timers, thermometers, the leak detector.
    fn arrived(&mut self, place: &Place<'_>, met: Option<Met>) {
        let ground = place.ground;
        self.count();
        match met {
            Some(Met::Done) => self.done(ground),
            Some(met) => hands(ground, &self.lens, &self.start).meet(&mut self.state, met),
            None => {}
        }
        let t_s = self.state.t_s;
        if self.power_back_s.is_some_and(|at_s| at_s <= t_s) {
            self.power_back_s = None;
            hands(ground, &self.lens, &self.start).power(&mut self.state, true);
        }
        if self.thaws_s.is_some_and(|at_s| at_s <= t_s) {
            self.thaws_s = None;
        }
        if self.state.in_hand.is_some_and(|(_, round_s)| round_s <= t_s) {
            self.done(ground);
        }
        let program = ground.program();
        if self.state.powered {
            if program
                .due_s(&self.state.control)
                .is_some_and(|due_s| due_s <= t_s)
            {
                program.step(&mut self.state.control, t_s, Event::Due);
            }
            for vessel in 0..self.state.contents.len() {
                if program.output(Output::Heater(vessel)).is_some() {
                    let event = Event::Reading {
                        vessel,
                        temperature_c: self.state.temperature_c[vessel],
                    };
                    program.step(&mut self.state.control, t_s, event);
                }
            }
        }
        self.look_at_tanks(ground);
        self.let_go(ground);
        hands(ground, &self.lens, &self.start).detect(&mut self.state);
    }

    /// High cut-outs of tanks, whose water somebody's hands may have changed.
    pub(super) fn look_at_tanks(&mut self, ground: &Ground<'_>) {
        for (tank, input, room_m3) in &ground.tank_highs {
            let high = self.state.gained_m3[*tank] >= room_m3 - 1e-9;
            if self.state.truth[*input] != high {
                hands(ground, &self.lens, &self.start).set(&mut self.state, *input, high);
            }
        }
    }

    fn count(&mut self) {
        let t_s = self.state.t_s;
        if t_s - self.busy.0 > 1.0 {
            self.busy = (t_s, 0);
        }
        self.busy.1 = self.busy.1.saturating_add(1);
    }
}

/// Every part, by its faults, with somebody at it.
pub(super) fn hands<'r, 'a>(ground: &'r Ground<'a>, lens: &'r Lens, start: &'r Start) -> Hands<'r, 'a> {
    Hands {
        ground,
        lens,
        start,
        keeps_rounds: true,
    }
}

/// How long a chatter is left to itself, s: no vessel may run out meanwhile.
fn goes_on_s(hands: &Hands<'_, '_>, state: &State, now: &Now) -> f64 {
    let mut least_s = AT_LEAST_S;
    for vessel in 0..state.contents.len() {
        let net = now.net(vessel);
        if net < 0.0 {
            least_s = least_s.min(state.volume_m3(hands.ground, vessel) / -net);
        }
    }
    least_s
}
