//! Parts and changes that may clear a cause: a few for each kind of harm. Whether one does is tried.

use station::plumbing::End;
use station::{Edit, Station};

use super::super::plumbing::{Lineups, Pipework, STILL_M3_S, highest_m};
use super::cause::Group;
use super::kind::Kind;
use super::outcome::Exchange;
use super::part::{Part, Recipe};
use super::survey::{Ground, Survey};
use crate::analysis::speak::set_length;
use crate::method::Refusal;

/// How far under the top of a line a hole is drilled, m (house rule).
const UNDER_TOP_M: f64 = 0.02;
/// How far over the water a line ends in air, m: twice the bore of a small line, never under 25 mm (common practice, no
/// source).
const AIR_GAP_M: f64 = 0.05;
/// How far over its outlet a pump's cut-out is set, m (house rule).
const CUTOUT_OVER_OUTLET_M: f64 = 0.04;
/// What may clear a cause.
pub(super) fn recipes(
    ground: &Ground<'_>,
    lineups: &Lineups,
    surveys: &mut [Survey<'_>],
    group: &Group,
) -> Result<Vec<Recipe>, Refusal> {
    let (station, worst) = (ground.station, *group.worst());
    // Where waters mix, the least that does it says most of what is wrong.
    let position = if group.least == 0 {
        worst.position
    } else {
        group.least
    };
    let exchanges = surveys[worst.situation].exchanges(position)?;
    let own = Own {
        station,
        pipework: ground.pipework,
        lineups,
        exchanges,
    };
    let mut all = Vec::new();
    match (group.kind, group.victim) {
        (Kind::SaltIntoFresh | Kind::FreshIntoSalt, victim) => {
            let open = ground.switches.open_valves(group.least);
            for valve in &open {
                own.three_way(*valve, &mut all);
            }
            own.checks(victim, &open, &mut all);
            for valve in &open {
                own.elsewhere(*valve, &mut all);
            }
            own.breaks(victim, &mut all);
        }
        (Kind::ToFloor, End::Draw(draw)) => own.self_closing(draw, &mut all),
        (Kind::PumpDry | Kind::PumpAgainstClosed, End::Pump(pump)) => {
            own.pump_switches(pump, group.kind, &mut all);
        }
        (Kind::OverRim | Kind::SiphonIntoTank | Kind::TankDrawnBack, victim) => {
            own.breaks(victim, &mut all);
            own.air_gap(victim, &mut all);
            own.checks_at(victim, &mut all);
            if group.kind == Kind::OverRim {
                own.high_cutout(victim, &mut all);
            }
        }
        (Kind::BackflowToFeed, End::Vessel(vessel)) => {
            let fill = format!("vessels.{}.fill_end_level", station.vessels[vessel].name);
            let rim_m = station.vessels[vessel].height_m();
            all.push(Recipe::of(
                Part::Moved,
                vec![set_length(station, fill, rim_m, false)],
            ));
            all.push(Recipe::of(
                Part::Check,
                vec![yes("purifier.check_valve".to_owned())],
            ));
        }
        (Kind::HeaterUncovered, End::Vessel(vessel)) => {
            let path = format!("vessels.{}.heater_cutout", station.vessels[vessel].name);
            all.push(Recipe::of(Part::HeaterCutout, vec![yes(path)]));
        }
        (
            Kind::ToFloor
            | Kind::PumpDry
            | Kind::PumpAgainstClosed
            | Kind::BackflowToFeed
            | Kind::HeaterUncovered,
            _,
        ) => {}
    }
    Ok(all)
}

fn yes(path: String) -> Edit {
    Edit {
        path,
        text: "true".to_owned(),
    }
}

/// What the recipes are made from.
struct Own<'a> {
    station: &'a Station,
    pipework: &'a Pipework,
    lineups: &'a Lineups,
    exchanges: Vec<Exchange>,
}

impl Own<'_> {
    /// One three-way valve in place of the moved valve and another where its line meets others.
    fn three_way(&self, valve: usize, all: &mut Vec<Recipe>) {
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
    fn new_way(&self, name: &str, line: usize) -> Recipe {
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
    fn elsewhere(&self, valve: usize, all: &mut Vec<Recipe>) {
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
    fn checks(&self, victim: End, open: &[usize], all: &mut Vec<Recipe>) {
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
    fn checks_at(&self, victim: End, all: &mut Vec<Recipe>) {
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

    fn check_valves(&self, lines: &[usize], all: &mut Vec<Recipe>) {
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

    /// A hole that breaks the siphon in each line by which water comes, or leaves a tank, over a high point.
    fn breaks(&self, victim: End, all: &mut Vec<Recipe>) {
        for exchange in self.exchanges.iter().filter(|exchange| exchange.end == victim) {
            let (line, fields) = (exchange.line, &self.station.lines[exchange.line].fields);
            let top_m = highest_m(self.pipework, line);
            let surface_m = self.surface_m(victim);
            let opens = self.station.plumbing.lines[line].to == victim;
            if !opens || fields.siphon_break.is_some() || top_m - UNDER_TOP_M <= surface_m {
                continue;
            }
            let path = format!("lines.{}.siphon_break", self.station.lines[line].name);
            let edit = set_length(self.station, path, top_m - UNDER_TOP_M, false);
            all.push(Recipe::of(Part::Hole, vec![edit]));
        }
    }

    /// Ends each line in the air above the water that it ends in.
    fn air_gap(&self, victim: End, all: &mut Vec<Recipe>) {
        for exchange in self.exchanges.iter().filter(|exchange| exchange.end == victim) {
            let line = exchange.line;
            if self.station.plumbing.lines[line].to != victim {
                continue;
            }
            let name = &self.station.lines[line].name;
            let edit = match victim {
                End::Vessel(vessel) => set_length(
                    self.station,
                    format!("lines.{name}.to_level"),
                    self.station.vessels[vessel].height_m(),
                    false,
                ),
                _ => set_length(
                    self.station,
                    format!("lines.{name}.tank_height"),
                    self.surface_m(victim) + AIR_GAP_M,
                    true,
                ),
            };
            all.push(Recipe::of(Part::Moved, vec![edit]));
        }
    }

    fn self_closing(&self, draw: usize, all: &mut Vec<Recipe>) {
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

    fn pump_switches(&self, pump: usize, kind: Kind, all: &mut Vec<Recipe>) {
        let name = &self.station.pumps[pump].name;
        let path = format!("pumps.{name}.flow_switch");
        all.push(Recipe::of(Part::FlowSwitch, vec![yes(path)]));
        if kind != Kind::PumpDry {
            self.interlock(pump, all);
            return;
        }
        for exchange in &self.exchanges {
            let End::Vessel(vessel) = exchange.end else {
                continue;
            };
            let own = &self.station.vessels[vessel];
            if exchange.flow_m3_s < -STILL_M3_S && own.fields.low_cutout_level.is_none() {
                // Where no task tells from which level on its pump draws air.
                let least = self.lineups.pumps.iter().filter(|work| {
                    let task = self
                        .lineups
                        .lineups
                        .iter()
                        .find(|lineup| lineup.name == work.lineup);
                    task.is_some_and(|task| task.from == own.name)
                });
                let level_m = least
                    .filter_map(|work| work.least_level_m)
                    .fold(own.fields.outlet_level.value.m() + CUTOUT_OVER_OUTLET_M, f64::max);
                let path = format!("vessels.{}.low_cutout_level", own.name);
                let edit = set_length(self.station, path, level_m, true);
                all.push(Recipe::of(Part::Cutout, vec![edit]));
            }
        }
    }

    /// The pump runs only where one of the valves that its tasks end with is open.
    fn interlock(&self, pump: usize, all: &mut Vec<Recipe>) {
        let own = &self.station.pumps[pump];
        if own.fields.runs_only_with.is_some() {
            return;
        }
        let mut names: Vec<&str> = Vec::new();
        for lineup in self
            .lineups
            .lineups
            .iter()
            .filter(|lineup| lineup.pumps_on.contains(&own.name))
        {
            let last = lineup.lines.iter().rev().find_map(|line| {
                let line = self.station.lines.iter().position(|own| own.name == *line)?;
                let mut valves = self.station.plumbing.valves_of(line);
                valves.find(|valve| self.station.valves[*valve].fields.kind.value.is_set())
            });
            if let Some(valve) = last.map(|valve| self.station.valves[valve].name.as_str())
                && !names.contains(&valve)
            {
                names.push(valve);
            }
        }
        if !names.is_empty() {
            let path = format!("pumps.{}.runs_only_with", own.name);
            all.push(Recipe::of(
                Part::Interlock,
                vec![Edit::quoted(path, &names.join(", "))],
            ));
        }
    }

    /// A switch that stops the pumps before it runs over.
    fn high_cutout(&self, victim: End, all: &mut Vec<Recipe>) {
        let path = match victim {
            End::Vessel(vessel) => format!("vessels.{}.high_cutout", self.station.vessels[vessel].name),
            End::Tank(tank) => format!("tanks.{}.high_cutout", self.station.tanks[tank].name),
            End::Draw(_) | End::Pump(_) | End::Tee(_) => return,
        };
        all.push(Recipe::of(Part::Cutout, vec![yes(path)]));
    }

    /// Lines by which water comes to an end.
    fn arriving(&self, end: End) -> impl Iterator<Item = usize> + '_ {
        self.exchanges
            .iter()
            .filter(move |exchange| exchange.end == end && exchange.flow_m3_s > 0.0)
            .map(|exchange| exchange.line)
    }

    fn surface_m(&self, end: End) -> f64 {
        match end {
            End::Tank(tank) => self.station.tanks[tank]
                .fields
                .water_height
                .as_ref()
                .map_or(0.0, |height| height.value.m()),
            // A hole must stay above all that the vessel can hold.
            End::Vessel(vessel) => {
                let own = &self.station.vessels[vessel];
                own.fields.floor_height.value.m() + own.height_m() - own.fields.freeboard.value.m()
            }
            End::Draw(_) | End::Pump(_) | End::Tee(_) => 0.0,
        }
    }

    /// A name that no valve has.
    fn unused(&self, wanted: &str) -> String {
        let taken = |name: &str| self.station.valves.iter().any(|valve| valve.name == name);
        let mut name = wanted.to_owned();
        while taken(&name) {
            name.push_str("-2");
        }
        name
    }
}
