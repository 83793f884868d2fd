//! The tasks of a station while something is out: which go on, which by other valves, which are lost.

use std::collections::{BTreeMap, BTreeSet};

use station::plumbing::{End, Task};
use station::sections::Water;
use station::{Station, lowest_drawable_m};

use super::words;
use super::{Lost, Still};
use crate::analysis::plumbing::{Lineups, State, Tried, Without, try_task};

/// What is out.
pub(super) struct Out<'a> {
    /// Lines that can't be used while their ends are open and the valves closed.
    pub(super) shut: Without,
    /// Lines that can't be used even with every open end capped.
    pub(super) alone: Without,
    /// Valves that are closed.
    pub(super) closed: &'a [usize],
    /// The vessel that is out.
    pub(super) vessel: Option<usize>,
    /// What is drained for it.
    pub(super) drained: BTreeSet<End>,
}

impl Out<'_> {
    pub(super) fn has(&self, end: End) -> bool {
        self.is_vessel(end) || self.drained.contains(&end)
    }

    fn is_vessel(&self, end: End) -> bool {
        self.vessel.map(End::Vessel) == Some(end)
    }
}

/// What goes on and what doesn't.
pub(super) struct Gone {
    pub(super) still: Vec<Still>,
    pub(super) capped: Vec<String>,
    pub(super) lost: Vec<Lost>,
}

/// A task and what is missing.
type Asked = ((End, End, Option<usize>), Without);

/// The station's tasks, and those that were tried in their place.
pub(super) struct Tasks<'a> {
    pub(super) station: &'a Station,
    state: State<'a>,
    /// For each lineup its lines and the valves open in it; nothing where it doesn't work.
    usual: Vec<Option<(Vec<usize>, Vec<usize>)>>,
    /// Lines that carry salt water in one of them.
    salty: BTreeSet<usize>,
    /// The level in every full vessel.
    levels_m: &'a [f64],
    tried: BTreeMap<Asked, Option<Tried>>,
}

impl<'a> Tasks<'a> {
    pub(super) fn new(
        station: &'a Station,
        state: State<'a>,
        lineups: Option<&Lineups>,
        levels_m: &'a [f64],
    ) -> Self {
        let line = |name: &String| station.lines.iter().position(|line| line.name == *name);
        let valve = |name: &String| station.valves.iter().position(|valve| valve.name == *name);
        let usual: Vec<Option<(Vec<usize>, Vec<usize>)>> = lineups
            .into_iter()
            .flat_map(|all| &all.lineups)
            .map(|lineup| {
                let open = lineup.valves_open.as_ref()?;
                lineup.moments.first()?.nominal.0?;
                Some((
                    lineup.lines.iter().filter_map(line).collect(),
                    open.iter().filter_map(valve).collect(),
                ))
            })
            .collect();
        let salty = usual
            .iter()
            .zip(&station.plumbing.tasks)
            .filter(|(_, task)| is_salt(station, task.from))
            .filter_map(|(usual, _)| usual.as_ref())
            .flat_map(|(lines, _)| lines.iter().copied())
            .collect();
        Self {
            station,
            state,
            usual,
            salty,
            levels_m,
            tried: BTreeMap::new(),
        }
    }

    /// Every task with something out.
    pub(super) fn without(&mut self, out: &Out<'_>) -> Gone {
        let mut gone = Gone {
            still: Vec::new(),
            capped: Vec::new(),
            lost: Vec::new(),
        };
        for at in 0..self.usual.len() {
            let Some((lines, open)) = self.usual[at].clone() else {
                continue;
            };
            let task = self.station.plumbing.tasks[at].clone();
            let name = self.station.lineups[at].name.clone();
            let held = out.has(task.from) || out.has(task.to);
            let free = |without: &Without| lines.iter().all(|line| !without.0.contains(line));
            if !held && free(&out.shut) && open.iter().all(|valve| !out.closed.contains(valve)) {
                gone.still.push(Still {
                    lineup: name,
                    by_other_valves: None,
                });
                continue;
            }
            let wanted = Task { open: None, ..task };
            if !held && let Some(tried) = self.attempt(&wanted, &out.shut) {
                gone.still.push(Still {
                    lineup: name,
                    by_other_valves: Some(self.names(&tried.open)),
                });
                continue;
            }
            if !held && free(&out.alone) {
                gone.capped.push(name.clone());
            }
            let instead = self.instead(at, &wanted, out);
            gone.lost.push(Lost {
                sentence: words::lost(self.station, at, instead.as_ref(), out.vessel),
                lineup: name,
                instead,
            });
        }
        gone
    }

    /// The draw point at which gravity empties a vessel quickest.
    pub(super) fn emptied_at(&mut self, vessel: usize) -> Option<usize> {
        let (draw, ..) = self.best_draw(End::Vessel(vessel), None, &Without::nothing())?;
        Some(draw)
    }

    /// The draw point that gives most of a source's water.
    pub(super) fn best_draw(
        &mut self,
        from: End,
        pump: Option<usize>,
        without: &Without,
    ) -> Option<(usize, Task, Tried)> {
        let mut best: Option<(usize, Task, Tried)> = None;
        for draw in 0..self.station.draw_points.len() {
            let to_draw = Task {
                from,
                to: End::Draw(draw),
                pump,
                open: None,
            };
            if let Some(tried) = self.attempt(&to_draw, without)
                && best
                    .as_ref()
                    .is_none_or(|(_, _, most)| tried.flow_m3_s > most.flow_m3_s)
            {
                best = Some((draw, to_draw, tried));
            }
        }
        best
    }

    pub(super) fn names(&self, valves: &[usize]) -> Vec<String> {
        valves
            .iter()
            .map(|valve| self.station.valves[*valve].name.clone())
            .collect()
    }

    /// A task to the end of what its source gives, tried once.
    pub(super) fn attempt(&mut self, task: &Task, without: &Without) -> Option<Tried> {
        let asked = ((task.from, task.to, task.pump), without.clone());
        if let Some(known) = self.tried.get(&asked) {
            return known.clone();
        }
        let tried = try_task(self.station, &mut self.state, task, without, f64::INFINITY).filter(|tried| {
            self.runs_by_itself(task, tried)
                && self.stays_fresh(task, tried)
                && self.is_let(task, &tried.open)
        });
        self.tried.insert(asked, tried.clone());
        tried
    }

    /// Whether gravity begins it: over a point above its source somebody would have to suck it.
    fn runs_by_itself(&self, task: &Task, tried: &Tried) -> bool {
        if task.pump.is_some() {
            return true;
        }
        let surface_m = match task.from {
            End::Vessel(at) => {
                Some(self.station.vessels[at].fields.floor_height.value.m() + self.levels_m[at])
            }
            End::Tank(at) => self.station.tanks[at]
                .fields
                .water_height
                .as_ref()
                .map(|height| height.value.m()),
            End::Pump(_) | End::Tee(_) | End::Draw(_) => None,
        };
        let top_m = tried
            .lines
            .iter()
            .map(|line| &self.state.pipework.lines[*line])
            .map(|line| {
                let ends_m = line.from_height_m.max(line.to_height_m);
                line.crest.map_or(ends_m, |(_, crest_m)| ends_m.max(crest_m))
            })
            .fold(f64::NEG_INFINITY, f64::max);
        // A line that begins over the rim ends in air above the surface: it gives nothing either.
        surface_m.is_some_and(|surface_m| top_m <= surface_m)
    }

    /// Whether three-way valves and interlocks let these valves be open.
    fn is_let(&self, task: &Task, open: &[usize]) -> bool {
        let plumbing = &self.station.plumbing;
        let both = open
            .iter()
            .any(|valve| plumbing.other_way[*valve].is_some_and(|other| open.contains(&other)));
        let runs = task.pump.is_none_or(|pump| {
            let needed = &plumbing.runs_only_with[pump];
            needed.is_empty() || needed.iter().any(|valve| open.contains(valve))
        });
        runs && !both
    }

    /// Whether fresh water stays so: not drawn for a tank through a line that carries salt water (house rule).
    fn stays_fresh(&self, task: &Task, tried: &Tried) -> bool {
        is_salt(self.station, task.from)
            || is_salt(self.station, task.to)
            || tried.lines.iter().all(|line| !self.salty.contains(line))
    }

    /// What a task moves: what its file says, a container at a draw point, or all that its source gives.
    pub(super) fn volume_m3(&self, at: usize, task: &Task) -> f64 {
        let own = self.station.lineups[at].fields.volume.as_ref();
        match (own, task.to, task.from) {
            (Some(volume), ..) => volume.value.m3(),
            (None, End::Draw(draw), _) => self.station.draw_points[draw].fields.container.value.m3(),
            (None, _, End::Vessel(vessel)) => {
                let level_m = self.levels_m[vessel];
                let vessel = &self.station.vessels[vessel];
                let volume = |level_m: f64| vessel.shape.volume_m3(level_m).unwrap_or(0.0);
                (volume(level_m) - volume(lowest_drawable_m(vessel))).max(0.0)
            }
            (None, ..) => 0.0,
        }
    }
}

fn is_salt(station: &Station, end: End) -> bool {
    match end {
        End::Vessel(at) => station.vessels[at].fields.holds.value == Water::Salt,
        End::Tank(_) => true,
        End::Pump(_) | End::Tee(_) | End::Draw(_) => false,
    }
}
