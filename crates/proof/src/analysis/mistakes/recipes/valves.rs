//! Changes at valves: other kinds, other places, more of them.

use station::Edit;
use station::plumbing::End;

use super::super::part::{Part, Recipe};
use super::{Own, yes};

impl Own<'_> {
    /// One three-way valve in place of the moved valve and another where its line meets others.
    pub(super) fn three_way(&self, valve: usize, all: &mut Vec<Recipe>) {
        let plumbing = &self.station.plumbing;
        let line = plumbing.line_of_valve[valve];
        let joint = [plumbing.lines[line].from, plumbing.lines[line].to]
            .into_iter()
            .find(|end| matches!(end, End::Tee(_)));
        let Some(joint) = joint else { return };
        let name = &self.station.valves[valve].name;
        for other in plumbing.lines_at(joint).filter(|other| *other != line) {
            let joined = &plumbing.lines[other];
            // Where the pump draws both together it must draw one of the two.
            if matches!(joined.from, End::Pump(_)) || matches!(joined.to, End::Pump(_)) {
                continue;
            }
            let partner = plumbing.valves_of(other).find(|valve| {
                self.station.valves[*valve].fields.kind.value.is_set() && plumbing.other_way[*valve].is_none()
            });
            match partner {
                Some(partner) => {
                    // Told once, at the later of the two in the file.
                    let named = |valve: usize| &self.station.valves[valve].name;
                    let path = format!("valves.{}.three_way_with", named(valve.max(partner)));
                    let edit = Edit::quoted(path, named(valve.min(partner)));
                    let recipe = Recipe::of(Part::ThreeWay, vec![edit]);
                    if !all.contains(&recipe) {
                        all.push(recipe);
                    }
                }
                None => all.push(self.new_way(name, other)),
            }
        }
    }

    /// A three-way valve whose other way stands in a line that has no valve; tasks that go through it open it.
    pub(super) fn new_way(&self, name: &str, line: usize) -> Recipe {
        let line_name = &self.station.lines[line].name;
        let added = self.unused(&format!("{line_name}-way"));
        let mut edits = vec![Edit {
            path: format!("valves.{added}"),
            text: format!("{{ line = \"{line_name}\", kind = \"ball\", three_way_with = \"{name}\" }}"),
        }];
        for (at, lineup) in self.station.lineups.iter().enumerate() {
            let (Some(open), Some(own)) = (&lineup.fields.open, &self.station.plumbing.tasks[at].open) else {
                continue;
            };
            let through = self.lineups.lineups[at].lines.contains(line_name);
            let holds_other = own.iter().any(|valve| self.station.valves[*valve].name == *name);
            if through && !holds_other {
                let list = match open.value.trim() {
                    "none" => added.clone(),
                    list => format!("{list}, {added}"),
                };
                edits.push(Edit::quoted(format!("lineups.{}.open", lineup.name), &list));
            }
        }
        Recipe::of(Part::ThreeWay, edits)
    }

    /// A valve moved into a line beside its own that has none.
    pub(super) fn elsewhere(&self, valve: usize, all: &mut Vec<Recipe>) {
        let plumbing = &self.station.plumbing;
        let line = plumbing.line_of_valve[valve];
        let own = &plumbing.lines[line];
        for joint in [own.from, own.to] {
            if !matches!(joint, End::Tee(_)) {
                continue;
            }
            for other in plumbing.lines_at(joint).filter(|other| *other != line) {
                if plumbing.valves_of(other).next().is_none() {
                    let path = format!("valves.{}.line", self.station.valves[valve].name);
                    let edit = Edit::quoted(path, &self.station.lines[other].name);
                    all.push(Recipe::of(Part::Moved, vec![edit]));
                }
            }
        }
    }

    /// A check valve where water comes in backwards, and one in each branch that is joined: the first holds one way, all
    /// together hold both.
    pub(super) fn checks(&self, victim: End, open: &[usize], all: &mut Vec<Recipe>) {
        let plumbing = &self.station.plumbing;
        // Out of a vessel only: a check valve lets water leave it and none come back.
        let leaves = |line: &usize| matches!(plumbing.lines[*line].from, End::Vessel(_));
        let arriving: Vec<usize> = self.arriving(victim).filter(leaves).collect();
        let mut every = arriving.clone();
        every.extend(
            open.iter()
                .map(|valve| plumbing.line_of_valve[*valve])
                .filter(leaves),
        );
        every.sort_unstable();
        every.dedup();
        self.check_valves(&arriving, all);
        if every != arriving {
            self.check_valves(&every, all);
        }
    }

    /// A check valve in each line by which water comes to or leaves an end the wrong way round.
    pub(super) fn checks_at(&self, victim: End, all: &mut Vec<Recipe>) {
        let plumbing = &self.station.plumbing;
        let backwards = self.exchanges.iter().filter(|exchange| exchange.end == victim);
        let lines: Vec<usize> = backwards
            .filter(|exchange| {
                let joined = &plumbing.lines[exchange.line];
                (exchange.flow_m3_s > 0.0) == (joined.from == victim)
            })
            .map(|exchange| exchange.line)
            .collect();
        self.check_valves(&lines, all);
    }

    pub(super) fn check_valves(&self, lines: &[usize], all: &mut Vec<Recipe>) {
        let wanted: Vec<usize> = lines
            .iter()
            .copied()
            .filter(|line| {
                let mut valves = self.station.plumbing.valves_of(*line);
                !valves.any(|valve| self.station.valves[valve].fields.kind.value.is_check())
            })
            .collect();
        if wanted.is_empty() {
            return;
        }
        let edits = wanted
            .iter()
            .map(|line| {
                let name = &self.station.lines[*line].name;
                Edit {
                    path: format!("valves.{}", self.unused(&format!("{name}-check"))),
                    text: format!("{{ line = \"{name}\", kind = \"swing check\" }}"),
                }
            })
            .collect();
        all.push(Recipe {
            edits,
            part: Part::Check,
            count: wanted.len(),
        });
    }

    pub(super) fn self_closing(&self, draw: usize, all: &mut Vec<Recipe>) {
        for line in self.station.plumbing.lines_at(End::Draw(draw)) {
            for valve in self.station.plumbing.valves_of(line) {
                let own = &self.station.valves[valve];
                if own.fields.kind.value.is_set() && !own.fields.self_closing.value {
                    let path = format!("valves.{}.self_closing", own.name);
                    all.push(Recipe::of(Part::SelfClosing, vec![yes(path)]));
                }
            }
        }
    }
}
