//! A card that somebody follows: which step is next, told by how valves and pumps stand.
//!
//! Nothing here does anything: it looks, and what it looks at doesn't know of it. The order of steps is the one that the
//! mistakes' search gives from how everything stands (`crate::analysis::leg`).

use serde::Serialize;
use station::control::{Input, Task};
use station::plumbing::End;
use station::sections::Water;

use super::act::Act;
use super::begin::Live;
use super::fault::LiveFault;
use super::watch::{Ended, Left, Watch};
use crate::analysis::{Leg, Position, Switch, Switches, leg, set_beside};

/// Less in a container is an empty one, m³.
const EMPTY_M3: f64 = 1e-6;
/// A tank stands at its own level within this share of what a change brings (house rule: nobody sees less).
const LEVEL_WITHIN: f64 = 0.01;

/// A part of a card.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Part {
    /// To where the task's water runs.
    There,
    /// While it runs.
    Watch,
    /// Back to where everything stands between tasks.
    Back,
}

/// A step of a card.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// Its part.
    pub part: Part,
    /// The single move; nothing where one watches.
    pub act: Option<Act>,
    /// How valves and pumps stand after it.
    #[serde(skip)]
    after: Position,
}

/// A card in somebody's hand.
#[derive(Debug, Clone)]
pub struct Follow {
    task: usize,
    pub(super) switches: Switches,
    /// How everything stands between tasks, and in the task.
    pub(super) rest: Position,
    setting: Position,
    /// How everything stood when the next step was come to.
    pub(super) stands: Position,
    steps: Vec<Step>,
    next: usize,
    watch: Watch,
    ended: Option<Ended>,
    /// Positions that somebody went through beside the card, the last one now.
    pub(super) beside: Vec<Position>,
}

impl Follow {
    /// The task, by its place in the station.
    pub fn task(&self) -> usize {
        self.task
    }

    /// Every step.
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// The step that is next, by its place; as many as there are where all are done.
    pub fn next_at(&self) -> usize {
        self.next
    }

    /// The step that is next; nothing where all are done.
    pub fn next_step(&self) -> Option<&Step> {
        self.steps.get(self.next)
    }

    /// What ended the watch.
    pub fn ended(&self) -> Option<Ended> {
        self.ended
    }

    /// Whether one watches.
    pub fn watches(&self) -> bool {
        self.next_step().is_some_and(|step| step.part == Part::Watch)
    }

    /// Whether something was turned that isn't the card's.
    pub fn is_beside(&self) -> bool {
        !self.beside.is_empty()
    }

    /// Ends the watch: it is enough.
    pub fn enough(&mut self) {
        if self.watches() {
            self.ended = Some(Ended::Enough);
            self.next += 1;
        }
    }
}

impl Live<'_> {
    /// A task's card, to be followed from how everything stands now.
    ///
    /// # Errors
    /// [`LiveFault`] where there is no such task, nobody knows its valves, it would bring nothing, or no order of moves is
    /// known that does no harm.
    pub fn follow(&self, task: &str) -> Result<Follow, LiveFault> {
        let ground = self.place.ground;
        let at = self.names.task(task)?;
        let setting = self.names.setting(at).ok_or_else(|| LiveFault::NoSetting {
            name: task.to_owned(),
        })?;
        let switches = Switches::of(ground.station)?;
        let stands = self.stands(&switches);
        let rest = rest(&switches, ground.rest_open);
        let setting = set_beside(ground.station, switches.position_of(setting), stands & rest)?;
        let mut own = Follow {
            task: at,
            rest,
            setting,
            stands,
            steps: Vec::new(),
            next: 0,
            watch: Watch::before(self, at),
            ended: None,
            beside: Vec::new(),
            switches,
        };
        if own.watch.wants_nothing() {
            return Err(LiveFault::NothingToCome {
                name: task.to_owned(),
            });
        }
        own.steps = self
            .bucket(&own)
            .into_iter()
            .chain(self.taken_out_first(&own))
            .collect();
        let none = || LiveFault::NoOrder {
            name: task.to_owned(),
        };
        let there = self.moves(&own, Part::There, stands)?.ok_or_else(none)?;
        own.steps.extend(there);
        own.steps.push(Step {
            part: Part::Watch,
            act: None,
            after: own.setting,
        });
        let back = self.moves(&own, Part::Back, own.setting)?.ok_or_else(none)?;
        own.steps.extend(back);
        Ok(own)
    }

    /// Looks how everything stands: ticks what is done, and notes what isn't the card's. Tells whether a watch has just
    /// come to its end.
    pub fn look_on(&self, own: &mut Follow) -> bool {
        let now = self.stands(&own.switches);
        let mut has_ended = false;
        while let Some(step) = own.steps.get(own.next) {
            let done = match (&step.act, step.part) {
                (Some(Act::Bucket { draw }), _) if self.is_empty_under(draw) => {
                    own.watch.emptied();
                    true
                }
                (Some(Act::Bucket { .. }), _) => false,
                (Some(Act::TakeOut { .. }), _) if self.too_full_m3(own.task) <= 0.0 => {
                    own.watch.taken_out(self);
                    true
                }
                // Who turns valves first goes without.
                (Some(Act::TakeOut { .. }), _) if now == own.stands => false,
                (None, _) if own.ended.is_some() => true,
                (None, _) if now == own.stands => {
                    own.ended = own.watch.look(self);
                    has_ended = own.ended.is_some();
                    has_ended
                }
                (_, part) => match further(own, now) {
                    Some(to) => {
                        own.next = to;
                        own.stands = now;
                        continue;
                    }
                    None if part == Part::Back => false,
                    // Whatever stands beside the card, its water runs.
                    None => {
                        if own.ended.is_none() {
                            own.ended = own.watch.has_come(self);
                            has_ended = own.ended.is_some();
                        }
                        if own.ended.is_some() && part == Part::There {
                            self.turn_back(own, now);
                        }
                        own.ended.is_some() && part == Part::Watch
                    }
                },
            };
            if !done {
                break;
            }
            own.next += 1;
        }
        if own.next == own.steps.len() {
            // A card that is done minds nothing any more.
            own.stands = now;
        }
        if now == own.stands {
            own.beside.clear();
        } else if let Some(at) = own.beside.iter().position(|passed| *passed == now) {
            own.beside.truncate(at + 1);
        } else {
            own.beside.push(now);
        }
        has_ended
    }

    /// What is still to come while one watches.
    pub fn left(&self, own: &Follow) -> Option<Left> {
        own.watches().then(|| own.watch.left(self))
    }

    /// What is to come in all while one watches.
    pub fn whole(&self, own: &Follow) -> Left {
        own.watch.whole(self)
    }

    /// Whether water still comes to where the card's goes.
    pub fn still_comes(&self, own: &Follow) -> bool {
        own.watch.still_comes(self)
    }

    /// Until the watch has ended: after how long to look again at the latest, s, so that its end isn't missed.
    pub fn look_again_s(&self, own: &Follow) -> Option<f64> {
        let is_to_come = own.ended.is_none() && own.next_step().is_some_and(|step| step.part != Part::Back);
        is_to_come.then(|| own.watch.next_look_s(self))
    }

    /// All has come before the card's last step to it: what is next is the way back, where one is known.
    fn turn_back(&self, own: &mut Follow, now: Position) {
        if let Ok(Some(back)) = self.moves(own, Part::Back, now) {
            own.steps.truncate(own.next);
            own.steps.extend(back);
            own.stands = now;
        }
    }

    /// Goes on from how everything stands: the steps to come are ordered anew.
    ///
    /// # Errors
    /// [`LiveFault::NoOrder`] where no order from here does no harm; then the card is as it was.
    pub fn go_on(&self, own: &mut Follow) -> Result<(), LiveFault> {
        let now = self.stands(&own.switches);
        let part = match own.next_step().map(|step| step.part) {
            Some(Part::There | Part::Watch) if own.ended.is_none() => Part::There,
            _ => Part::Back,
        };
        let moves = self.moves(own, part, now)?.ok_or_else(|| LiveFault::NoOrder {
            name: self.place.ground.station.lineups[own.task].name.clone(),
        })?;
        let (mut first, mut later) = (Vec::new(), Vec::new());
        for step in own.steps.split_off(own.next) {
            if matches!(step.act, Some(Act::Bucket { .. } | Act::TakeOut { .. })) {
                first.push(step);
            } else if step.part > part && (step.part == Part::Back || own.ended.is_none()) {
                later.push(step);
            }
        }
        own.steps.extend(first.into_iter().chain(moves).chain(later));
        own.stands = now;
        own.beside.clear();
        Ok(())
    }

    /// How valves and pumps were put.
    pub(super) fn stands(&self, switches: &Switches) -> Position {
        let walk = &self.walk;
        let is_on = |bit: &usize| match switches.switch(*bit) {
            Switch::Valve(valve) => walk.start.open >> valve & 1 == 1,
            Switch::Pump(pump) => {
                let ask = self.place.ground.program().input(Input::Ask(Task::Pump(pump)));
                ask.is_some_and(|ask| walk.state.truth[ask])
            }
        };
        (0..switches.count())
            .filter(is_on)
            .fold(0, |position, bit| position | 1 << bit)
    }

    fn moves(&self, own: &Follow, part: Part, from: Position) -> Result<Option<Vec<Step>>, LiveFault> {
        let ground = self.place.ground;
        let to = if part == Part::Back { own.rest } else { own.setting };
        let wanted = Leg {
            from,
            to,
            task: &ground.station.plumbing.tasks[own.task],
        };
        let Some(found) = leg(ground.station, ground.usual.permeate_m3_s, &wanted)? else {
            return Ok(None);
        };
        let mut after = from;
        let mut steps = Vec::with_capacity(found.len());
        for own_move in found {
            let named = |bit: &usize| match own.switches.switch(*bit) {
                Switch::Valve(valve) => {
                    matches!(own_move.turn, "open" | "close")
                        && ground.station.valves[valve].name == own_move.what
                }
                Switch::Pump(pump) => {
                    matches!(own_move.turn, "start" | "stop")
                        && ground.station.pumps[pump].name == own_move.what
                }
            };
            let Some(bit) = (0..own.switches.count()).find(named) else {
                continue;
            };
            after = own.switches.moved(after, bit).unwrap_or(after);
            steps.push(Step {
                part,
                act: Some(self.turn(&own.switches, bit, after >> bit & 1 == 1)),
                after,
            });
        }
        Ok(Some(steps))
    }

    pub(super) fn turn(&self, switches: &Switches, bit: usize, on: bool) -> Act {
        let station = self.place.ground.station;
        match switches.switch(bit) {
            Switch::Valve(valve) => Act::Valve {
                valve: station.valves[valve].name.clone(),
                open: on,
            },
            Switch::Pump(pump) => Act::Pump {
                pump: station.pumps[pump].name.clone(),
                on,
            },
        }
    }

    /// A card that ends at a draw point begins with an empty container, where the one there isn't.
    fn bucket(&self, own: &Follow) -> Option<Step> {
        let station = self.place.ground.station;
        let End::Draw(draw) = station.plumbing.tasks[own.task].to else {
            return None;
        };
        let draw = &station.draw_points[draw].name;
        (!self.is_empty_under(draw)).then(|| Step {
            part: Part::There,
            act: Some(Act::Bucket { draw: draw.clone() }),
            after: own.stands,
        })
    }

    /// A change begins with taking out what it brings, so that the tank stands at its own level afterwards.
    fn taken_out_first(&self, own: &Follow) -> Option<Step> {
        let station = self.place.ground.station;
        let End::Tank(tank) = station.plumbing.tasks[own.task].to else {
            return None;
        };
        let volume_m3 = self.too_full_m3(own.task);
        (volume_m3 > 0.0).then(|| Step {
            part: Part::There,
            act: Some(Act::TakeOut {
                tank: station.tanks[tank].name.clone(),
                volume_m3,
            }),
            after: own.stands,
        })
    }

    /// How much too high the tank of a change would stand after it, m³; nothing of other tasks, such as topping off, nor where
    /// nothing says how much comes.
    fn too_full_m3(&self, task: usize) -> f64 {
        let station = self.place.ground.station;
        let own = &station.plumbing.tasks[task];
        let (End::Vessel(from), End::Tank(tank)) = (own.from, own.to) else {
            return 0.0;
        };
        if station.vessels[from].fields.holds.value != Water::Salt {
            return 0.0;
        }
        let walk = &self.walk.shown(&self.place).walk;
        let brings_m3 = walk.card_m3(self.place.ground, task);
        let gained_m3 = walk.state.gained_m3[tank];
        // What the air took is topped off with fresh water: a change leaves the tank as much short of it as it was.
        let short_m3 = walk.ledger.dried_m3[tank].min((-gained_m3).max(0.0));
        let too_full_m3 = gained_m3 + short_m3 + brings_m3;
        if too_full_m3.is_finite() && too_full_m3 > LEVEL_WITHIN * brings_m3 {
            let holds_m3 = station.tanks[tank].fields.volume.value.m3() + gained_m3;
            too_full_m3.min(holds_m3)
        } else {
            0.0
        }
    }

    fn is_empty_under(&self, draw: &str) -> bool {
        let walk = &self.walk.shown(&self.place).walk;
        let brine = &self.place.ground.plant.brine;
        let at = self.names.draw(draw);
        at.is_ok_and(|draw| brine.volume_m3(walk.ledger.caught[draw]) < EMPTY_M3)
    }
}

/// Where the card stands when everything stands so: behind the step that brings it there, in the part that is next, or from
/// the watch on behind any.
fn further(own: &Follow, now: Position) -> Option<usize> {
    let until = own
        .steps
        .iter()
        .skip(own.next)
        .position(|step| step.part == Part::Watch)
        .filter(|ahead| *ahead > 0)
        .map_or(own.steps.len(), |ahead| own.next + ahead);
    let ahead = own.steps.get(own.next..until)?;
    // While one watches everything stands as the step says: what comes next counts.
    let found = ahead
        .iter()
        .position(|step| step.part != Part::Watch && step.after == now)?;
    Some(own.next + found + 1)
}

/// How everything stands between tasks.
fn rest(switches: &Switches, open: u64) -> Position {
    (0..switches.count())
        .filter(|bit| matches!(switches.switch(*bit), Switch::Valve(valve) if open >> valve & 1 == 1))
        .fold(0, |position, bit| position | 1 << bit)
}
